"""What the two commands print, draw and refuse."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from guarded import compared, drilled
from typer.testing import CliRunner

from builds import EXAMPLES, NAMES
from hobwind.charts import picture
from hobwind.charts_guards import drill_chart, guards_chart
from hobwind.cli import app
from hobwind.guards_screen import drill_text, guards_text
from hobwind.studies.guards_report import drill_report, guards_report
from test_layers import kept_off


@pytest.mark.parametrize("name", NAMES)
def test_forty_lines_of_eighty_columns(name: str) -> None:
    for text in (guards_text(compared(name)), drill_text(drilled(name))):
        lines = text.splitlines()
        assert len(lines) <= 40 and max(map(len, lines)) < 80
    for text in (guards_text(compared(name), True), drill_text(drilled(name), True)):
        for word in kept_off():
            assert not re.search(rf"\b{re.escape(word)}\b", text, re.I), word


def test_the_table_says_what_was_found() -> None:
    text = guards_text(compared("boat-shed-hunting"))
    own = next(line for line in text.splitlines() if "as it stands" in line)
    assert re.search(r"hunts .* \d+/\d+h ", own)
    assert [line for line in text.splitlines() if line.startswith(">")][0].split()[1:3] == ["central", "lift"]
    assert "Recommended    none: no guard here serves" in guards_text(compared("boat-shed-soft-solder"))
    rows = [line for line in text.splitlines() if re.match(r"[> ] [a-z]", line)]
    assert len(rows) == len(compared("boat-shed-hunting").rows)


def test_a_recommended_element_beside_the_fan_has_its_foot_in_millimetres() -> None:
    text = " ".join(guards_text(compared("boat-shed-hunting")).split())
    assert "Its foot: a strip of stainless 304, " in text and "bent to a table" in text


def test_the_drill_says_what_kills_and_which_sign_shows_it() -> None:
    text = drill_text(drilled())
    stuck = next(line for line in text.splitlines() if line.startswith("element stuck cold"))
    assert re.search(r"KILLS +\d+ +\d+  hot face -\d+ K +fan not up \d+ min before", stuck)
    assert "element stuck cold: harmless by " in text
    every = drill_text(drilled(), True)
    for one in drilled().singles:
        assert one.fault.says.split(":")[0].split(",")[0][:20] in every
    assert sum(" + " in line for line in every.splitlines()) == len(drilled().pairs)
    assert "It does not live even with nothing wrong" in drill_text(drilled("boat-shed-soft-solder"))
    assert "No guard, so no pairs" in drill_text(drilled("boat-shed-no-guard"))


def test_pictures_carry_every_line() -> None:
    svg = picture(guards_chart(compared()), "svg").decode()
    for one in compared().rows:
        assert f">{one.kind}<" in svg
    svg = picture(drill_chart(drilled()), "svg").decode()
    for single in drilled().singles:
        assert single.drilled.name in svg


def test_the_same_bytes_twice() -> None:
    from builds import example
    from hobwind.studies.drill import drill
    from hobwind.studies.guards import guards

    assert json.dumps(guards_report(compared())) == json.dumps(guards_report(guards(example())))
    assert json.dumps(drill_report(drilled())) == json.dumps(drill_report(drill(example())))


@pytest.mark.parametrize(("command", "code"), [("guards", 3), ("faults", 3)])
def test_exit_codes_and_files(command: str, code: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(app, [command, str(EXAMPLES / "boat-shed-soft-solder.toml"), "--out", "seen"])
    assert done.exit_code == code
    assert sorted(path.name for path in Path("seen").iterdir()) == [
        f"{command}.{kind}" for kind in ("json", "png", "svg", "txt")
    ]
    assert json.loads(Path(f"seen/{command}.json").read_text("utf-8"))["name"] == "Boat shed, soft solder"
    assert CliRunner().invoke(app, [command, str(EXAMPLES / "boat-shed.toml")]).exit_code == 0
