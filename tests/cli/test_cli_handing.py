"""dossier, from-dossier, hand-on: from build to paper and back, in an empty folder."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from builds import EXAMPLES
from hobwind.cli import app, main
from unfolding import unfolded

SHED = str(EXAMPLES / "boat-shed.toml")


@pytest.fixture(autouse=True)
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def code(monkeypatch: pytest.MonkeyPatch, *words: str) -> object:
    """Exit code of the whole command line."""
    monkeypatch.setattr(sys, "argv", ["hobwind", *words])
    with pytest.raises(SystemExit) as left:
        main()
    return left.value.code


def run(*words: str) -> str:
    done = CliRunner().invoke(app, words)
    assert done.exit_code == 0, done.output
    return done.output


def test_there_and_back(empty_folder: Path) -> None:
    assert "hobwind from-dossier boat-shed-dossier.pdf" in unfolded(run("dossier", SHED))
    run("hand-on", SHED)
    assert "Wrote boat-shed.toml" in run("from-dossier", "boat-shed-dossier.pdf")
    assert (empty_folder / "boat-shed.toml").read_bytes() == (empty_folder / "boat-shed-whole.toml").read_bytes()
    run("check", "boat-shed.toml")
    assert sorted(path.name for path in empty_folder.iterdir()) == [
        "boat-shed-dossier.pdf",
        "boat-shed-whole.toml",
        "boat-shed.toml",
    ]


def test_nothing_is_written_over(
    empty_folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (empty_folder / "boat-shed-whole.toml").write_text("mine")
    assert code(monkeypatch, "hand-on", SHED) == 2
    assert "boat-shed-whole.toml is there already" in capsys.readouterr().err
    assert (empty_folder / "boat-shed-whole.toml").read_text() == "mine"
    assert code(monkeypatch, "hand-on", SHED, "--force") == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("dossier", SHED, "--paper", "A3"), 'Error: --paper: got "A3"; A4 or Letter is wanted'),
        (("from-dossier", "none.pdf"), "Error: There is no file none.pdf"),
        (("from-dossier", SHED), "Error: boat-shed.toml cannot be read as a PDF"),
        (("dossier", "none.toml"), "Error: There is no file none.toml"),
    ],
)
def test_one_clear_sentence(
    words: tuple[str, ...], told: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert code(monkeypatch, *words) == 2
    error = unfolded(capsys.readouterr().err)
    assert error.startswith(told) and len(error.strip().splitlines()) == 1
