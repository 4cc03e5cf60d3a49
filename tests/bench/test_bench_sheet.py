"""The printed sheet: one A4 page a test, everything on it, at true size."""

from __future__ import annotations

import re
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from typer.testing import CliRunner

from hobwind.bench.forms import INSTRUMENTS
from hobwind.bench.readings import TESTS
from hobwind.bench.setups import SETUPS
from hobwind.bench_sheet import sheet_file, sheet_svg
from hobwind.cli import app

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("name", TESTS)
def test_one_page_with_everything_on_it(name: str) -> None:
    root = ET.fromstring(sheet_svg(TESTS[name]))
    assert root.get("width") == "210mm" and root.get("height") == "297mm" and root.get("viewBox") == "0 0 210 297"
    texts = list(root.iter(f"{SVG}text"))
    said = " ".join(one.text or "" for one in texts)
    for word in (name, "You need", "1. ", "Mind: ", "date"):
        assert word in said
    for blank in TESTS[name].form.blanks:
        assert blank.key in said
    for group in TESTS[name].form.groups:
        if group.key != INSTRUMENTS:
            assert group.key in said and all(blank.key in said for blank in group.blanks)
    for one in texts:
        x, y, size = (float(one.get(key, "0")) for key in ("x", "y", "font-size"))
        assert 8.0 <= x <= 200.0 and 8.0 <= y <= 289.0, one.text
        if one.get("text-anchor") is None:  # a letter of a plain face is 0.56 of its height wide on the whole
            assert x + 0.56 * size * len(one.text or "") <= 206.0, one.text
    for line in root.iter(f"{SVG}polyline"):
        for x, y in re.findall(r"([\d.]+),([\d.]+)", line.get("points", "")):
            assert 8.0 <= float(x) <= 202.0 and 8.0 <= float(y) <= 290.0


def test_every_test_has_a_drawn_set_up() -> None:
    assert set(SETUPS) == set(TESTS) and all(len(one) >= 6 for one in SETUPS.values())
    for rows in SETUPS.values():
        for one in rows:
            if one.shape == "box":
                assert one.numbers[0] >= 0.0 and one.numbers[0] + one.numbers[2] <= 186.0
                assert one.numbers[1] >= 0.0 and one.numbers[1] + one.numbers[3] <= 58.5


def test_pdf_is_a4_at_true_size() -> None:
    """A4 is 210 x 297 mm: 595.276 x 841.890 points of 1/72 in (ISO 216)."""
    box = re.search(rb"MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", sheet_file(TESTS["wax"], ".pdf"))
    assert box is not None
    assert float(box[1]) == pytest.approx(210.0 / 25.4 * 72.0, abs=0.01)
    assert float(box[2]) == pytest.approx(297.0 / 25.4 * 72.0, abs=0.01)


def test_sheets_on_the_command_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)

    def run(*words: str) -> tuple[int, str]:
        done = CliRunner().invoke(app, ["bench", *words])
        return done.exit_code, done.output + str(done.exception or "")

    assert run("wax", "--sheet", "w.svg")[0] == 0 and Path("w.svg").read_text("utf-8").startswith("<svg")
    assert run("wax", "--sheet", "sheets")[0] == 0 and Path("sheets/wax.pdf").read_bytes()[:4] == b"%PDF"
    assert run("--sheet", "all")[0] == 0 and {one.stem for one in Path("all").iterdir()} == set(TESTS)
    code, said = run("wax", "--sheet", "w.odt")
    assert code != 0 and "ending in .pdf or .svg" in said
    code, said = run("--sheet", "w.pdf")
    assert code != 0 and "without a bench test" in said


def test_the_list_needs_no_heavy_library() -> None:
    import subprocess

    script = "import sys; sys.argv = ['hobwind', 'bench']\nfrom hobwind.cli import main\ntry:\n    main()\nexcept SystemExit:\n    pass\n"
    script += "print(sorted(set(sys.modules) & {'altair', 'vl_convert', 'scipy.stats', 'av', 'ezdxf'}))"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
