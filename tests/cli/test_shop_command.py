"""`hobwind shop`: what it prints, writes and refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from builds import EXAMPLES, NAMES, ROOT
from hobwind.cli import app


def run(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["shop", *words])
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        return 2, str(done.exception)
    return done.exit_code, done.output


@pytest.mark.parametrize("name", NAMES)
def test_fits_the_screen_and_says_what_to_drill(name: str) -> None:
    code, text = run(str(EXAMPLES / f"{name}.toml"))
    assert code == 0
    assert len(text.splitlines()) <= 40 and max(map(len, text.splitlines())) <= 80
    assert "through" in text and "drill" in text
    code, whole = run(str(EXAMPLES / f"{name}.toml"), "--all", "--inch")
    assert code == 0 and "Saw riser 1 at" in whole and "drill no." in whole


def test_writes_one_pdf_and_every_drawing(tmp_path: Path) -> None:
    code, text = run(str(EXAMPLES / "boat-shed.toml"), "--out", str(tmp_path / "sheets"), "--paper", "letter")
    assert code == 0 and "sheets.pdf" in text
    names = {path.name for path in (tmp_path / "sheets").iterdir()}
    assert {"sheets.pdf", "hot-plate.svg", "hot-plate.dxf", "sink.dxf", "arrangement-plan.svg", "text-holes.svg"} <= names
    assert 'width="215.9mm"' in (tmp_path / "sheets" / "hot-plate.svg").read_text("utf-8")


def test_strange_paper_is_refused() -> None:
    code, text = run(str(EXAMPLES / "boat-shed.toml"), "--paper", "napkin")
    assert code == 2 and text == '--paper: got "napkin"; A4 or Letter is wanted'


def test_kept_off_words_are_kept_off(tmp_path: Path) -> None:
    words = (ROOT / "docs" / "words.md").read_text("utf-8").split("## Kept off")[1].split("These are better")[0]
    kept = [line.split("|")[1].strip() for line in words.splitlines() if line.startswith("| ")][1:]
    _, text = run(str(EXAMPLES / "boat-shed-hunting.toml"), "--all", "--inch")
    assert not [word for word in kept if word.lower() in text.lower()]
