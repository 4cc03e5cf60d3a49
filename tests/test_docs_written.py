"""The written pages in docs are what the program would write now; `make docs` mends a failure here."""

from __future__ import annotations

import importlib.util
import shlex
from pathlib import Path
from types import ModuleType

import pytest
import typer

from hobwind.cli import app

DOCS = Path(__file__).parents[1] / "docs"


@pytest.fixture(scope="module")
def write() -> ModuleType:
    spec = importlib.util.spec_from_file_location("docs_write", DOCS / "write.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def pages(write: ModuleType) -> dict[str, str]:
    return write.pages()


def test_written_pages_are_fresh(pages: dict[str, str]) -> None:
    stale = [place for place, text in pages.items() if (DOCS / place).read_bytes() != text.encode()]
    assert stale == [], "run: make docs"


def test_no_schema_is_left_over(pages: dict[str, str]) -> None:
    assert {f"schemas/{path.name}" for path in (DOCS / "schemas").iterdir()} == {p for p in pages if p.startswith("schemas/")}


def test_every_command_has_help_and_an_example_that_is_understood(write: ModuleType, pages: dict[str, str]) -> None:
    commands = typer.main.get_command(app).commands
    assert set(write.EXAMPLES) == set(commands)
    for name, command in commands.items():
        program, word, *rest = shlex.split(write.EXAMPLES[name])
        assert (program, word) == ("hobwind", name)
        command.make_context(name, rest)
        assert f"Usage: hobwind {name} " in pages["commands.md"]


def test_the_screen_does_not_matter(write: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    before = write.help_text("check")
    for name, value in {"COLUMNS": "200", "TERMINAL_WIDTH": "120", "FORCE_COLOR": "1", "GITHUB_ACTIONS": "true"}.items():
        monkeypatch.setenv(name, value)
    assert write.help_text("check") == before
    assert max(map(len, before.splitlines())) <= 79 and "\x1b" not in before
