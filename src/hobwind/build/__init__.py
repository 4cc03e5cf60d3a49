"""One fan, described: read from a build file, checked, and measured out."""

from __future__ import annotations

from pathlib import Path

from ..errors import BuildError
from ..files import read_text
from ..parts.catalogue import Shelf
from .assemble import build_from_table
from .checks import impossible
from .heading import BUILD, FORMAT, headed_table
from .reader import Notes
from .sections import Build, Record
from .starter import starter_text
from .whole import digest
from .writing import whole_text

MOST_PROBLEMS = 40

__all__ = [
    "FORMAT",
    "Build",
    "Record",
    "build_from_text",
    "digest",
    "load_build",
    "starter_text",
    "whole_text",
]


def load_build(path: Path) -> Build:
    """Read and check a build file.

    Args:
        path: of the TOML file.

    Returns:
        The build.

    Raises:
        FileError: the file cannot be read.
        BuildError: with every problem found in it.
    """
    return build_from_text(read_text(path), path.name, path.parent)


def build_from_text(text: str, file: str = "build", beside: Path | None = None) -> Build:
    """Read and check the text of a build file.

    Args:
        text: TOML.
        file: what to call it in messages.
        beside: folder whose `parts` are looked up first.

    Returns:
        The build.

    Raises:
        BuildError: with every problem found.
    """
    table = headed_table(text, file, BUILD)
    notes = Notes(Shelf(beside))
    build = build_from_table(table, file, notes)
    problems = notes.problems + impossible(build, notes.problems)
    if problems:
        raise BuildError(file, tuple(problems))
    return build
