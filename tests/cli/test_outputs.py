"""Where a command may write is looked at before anything is computed, and messages are folded at the screen's width."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import typer

from hobwind.cli import app, main
from hobwind.folding import folded
from unfolding import unfolded

SHED = BIN = FAN = LOG = "none.toml"  # not there: what is told of the place to write comes even before that


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    """Run a command in an empty folder; returns exit code, output, complaints."""
    monkeypatch.chdir(tmp_path)

    def act(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["hobwind", *words])
        with pytest.raises(SystemExit) as stopped:
            main()
        said = capsys.readouterr()
        return int(stopped.value.code or 0), said.out, said.err

    return act


# Every option that names what is written: the command, the option, an ending that it takes, None for a folder.
WRITES = [
    (("check", SHED), "--out", None), (("evening", SHED), "--out", None), (("demo",), "--out", None),
    (("guards", SHED), "--out", None), (("faults", SHED), "--out", None), (("retrofit", FAN), "--out", None),
    (("retrofit", FAN), "--take", ".toml"), (("odds", SHED), "--out", None), (("worth", SHED), "--out", None),
    (("shop", SHED), "--out", None), (("dossier", SHED), "--out", ".pdf"), (("hand-on", SHED), "--out", ".toml"),
    (("from-dossier", "none.pdf"), "--out", ".toml"), (("trial", SHED, LOG), "--out", None),
    (("trial", SHED, LOG), "--take", ".toml"), (("pick", BIN), "--out", None), (("pick", BIN, "--take", "1"), "--as", ".toml"),
    (("follow", SHED, BIN), "--take", ".toml"), (("bench", "wax", "none.toml"), "--out", None),
    (("bench", "wax"), "--sheet", ".pdf"), (("diary", "show"), "--out", None), (("diary", "export"), "--out", ".zip"),
    (("diary", "check"), "--save-to", ""),
]  # fmt: skip


@pytest.mark.parametrize(("words", "option", "ending"), WRITES, ids=lambda one: "-".join(one)[:9] if one else "folder")
def test_a_place_that_takes_nothing_is_told_before_any_computing(words, option, ending, run, tmp_path) -> None:
    (tmp_path / "taken").write_text("x")
    code, out, err = run(*words, option, f"taken/x{ending or ''}")
    assert (code, out) == (2, "") and unfolded(err) == (
        f"Error: {option}: got {Path('taken') / ('x' + (ending or ''))}, where nothing can be written (taken is no folder); a place "
        "that you may write to is wanted: name another\n"
    )
    assert [one.name for one in tmp_path.iterdir()] == ["taken"]


@pytest.mark.parametrize(
    ("words", "option", "ending"),
    [row for row in WRITES if row[2] != ""],
    ids=lambda one: "-".join(one)[:9] if one else "folder",
)
def test_an_ending_that_is_not_known_is_told_before_any_computing(words, option, ending, run, tmp_path) -> None:
    code, out, err = run(*words, option, "mine.odt" if ending else "mine.png")
    assert (code, out) == (2, "") and list(tmp_path.iterdir()) == []
    if ending is None:
        told = "got mine.png, called like a file; a folder is wanted, several files go into it, such as mine"
    else:
        wanted = ".pdf or .svg is wanted, or a folder" if option == "--sheet" else f"{ending} is wanted"
        told = f"got mine.odt; a file ending in {wanted}, such as mine{ending}"
    assert unfolded(err) == f"Error: {option}: {told}\n"


def _writing(command: Any, above: str = "") -> set[tuple[str, str]]:
    if hasattr(command, "commands"):
        return {row for name, one in command.commands.items() for row in _writing(one, f"{above} {name}".strip())}
    return {
        (above, param.opts[0])
        for param in command.params
        if param.opts[0] in ("--out", "--take", "--as", "--sheet", "--save-to")
        and param.metavar in ("DIR", "FILE", "BUILD", "ZIP")
    }


def test_no_option_that_writes_is_left_out() -> None:
    listed = {(" ".join(words[:2]) if words[0] == "diary" else words[0], option) for words, option, _ in WRITES}
    assert _writing(typer.main.get_command(app)) == listed


def test_messages_fold_on_words_and_keep_paths_whole(run, tmp_path) -> None:
    name = "a folder with a long name, where fans are kept and nobody looks for anything that is not one of them/fan one.toml"
    code, _, err = run("check", name)
    lines = err.splitlines()
    assert code == 2 and name in err and max(len(line) for line in lines if name not in line) <= 79 and len(lines) > 1
    run("begin", "fan")
    code, out, _ = run("hand-on", "fan.toml", "--out", name)
    assert code == 0 and (tmp_path / name).is_file() and name in out.splitlines()[1]


@pytest.mark.parametrize("wide", [30, 50, 79])
def test_folding_loses_no_word(wide: int) -> None:
    text = "Error: x.toml: a long-winded sentence with --some-option and more words than a line takes, which goes on and on."
    lines = folded(text, wide).splitlines()
    assert max(map(len, lines)) <= wide and " ".join(line.strip() for line in lines) == text
    assert all(line.startswith("    ") and line[4] != " " for line in lines[1:])
    assert "long-winded" in folded(text, wide) and "--some-option" in folded(text, wide)  # neither is broken at its hyphens


@pytest.mark.parametrize(("columns", "most"), [(50, 50), (200, 79)])
def test_a_terminal_narrower_than_79_columns_is_kept_to(columns: int, most: int, tmp_path) -> None:
    """A real terminal of so many columns on the error output."""
    import fcntl
    import struct
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    words = [sys.executable, "-m", "hobwind", "check", "none.toml"]
    ran = subprocess.run(words, stderr=theirs, stdout=subprocess.PIPE, cwd=tmp_path, check=False)
    os.close(theirs)
    lines = os.read(ours, 4096).decode().splitlines()
    os.close(ours)
    assert ran.returncode == 2 and len(lines) > 1
    assert most - 12 < max(map(len, lines)) <= most
