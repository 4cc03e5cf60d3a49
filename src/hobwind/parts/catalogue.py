"""Where parts are looked up: beside the build, in the user's folder, in the catalogue; the first that has the name wins."""

from __future__ import annotations

import difflib
import os
import re
import tomllib
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from ..errors import BuildError, FileError, PartError, Problem
from ..files import read_text, toml_table
from .part_fields import FIELDS
from .reading import part_from_table

KINDS = tuple(FIELDS)
BESIDE, USERS, CATALOGUE = "beside the build", "your parts folder", "catalogue"
Tables = dict[str, dict[str, Any]]


@cache
def _catalogue(kind: str) -> Tables:
    text = (resources.files("hobwind") / "parts" / "catalogue" / f"{kind}.toml").read_text("utf-8")
    return tomllib.loads(text)


def user_folder() -> Path:
    """The user's own parts: `HOBWIND_HOME`/parts, or the platform's place for a program's data."""
    home = os.environ.get("HOBWIND_HOME")
    if home:
        try:
            return Path(home).expanduser() / "parts"
        except RuntimeError as error:
            raise FileError(f'HOBWIND_HOME is "{home[:80]}", but there is no such user; name a folder') from error
    import platformdirs

    return Path(platformdirs.user_data_dir("hobwind")) / "parts"


def _folder_tables(folder: Path, kind: str) -> Tables:
    path = folder / f"{kind}.toml"
    try:
        there = path.exists()
    except OSError:
        there = True  # reading it tells what is wrong
    if not there:
        return {}
    try:
        tables = toml_table(read_text(path))
    except ValueError as error:
        raise BuildError(str(path), (Problem("file", str(error)),)) from error
    wrong = next((name for name, table in tables.items() if not isinstance(table, dict)), None)
    if wrong is not None:
        raise BuildError(str(path), (Problem(wrong, f'is not a section; a part is headed ["{wrong}"]'),))
    return tables


def shelf_mark(beside: Path | None) -> tuple[tuple[str, int, int], ...]:
    """What tells whether files of parts have changed since: each with its size and time of writing.

    Args:
        beside: folder of a build, whose `parts` are looked up first; None for none.

    Returns:
        Path, bytes and nanoseconds of each file beside the build and in the user's folder; empty without any.
    """
    found = []
    for folder in (*((beside / "parts",) if beside is not None else ()), user_folder()):
        for kind in KINDS:
            try:
                state = (folder / f"{kind}.toml").stat()
            except OSError:
                continue
            found.append((str(folder / f"{kind}.toml"), state.st_size, state.st_mtime_ns))
    return tuple(found)


class Shelf:
    """All parts within reach of one build."""

    def __init__(self, beside: Path | None = None) -> None:
        self._beside = beside / "parts" if beside is not None else None
        self._found: dict[tuple[str, str], Any] = {}
        self._places: dict[str, list[tuple[str, Tables]]] = {}

    def _shelves(self, kind: str) -> list[tuple[str, Tables]]:
        if kind not in KINDS:
            raise PartError(f'no kind of part is called "{kind[:60]}"; there are {", ".join(KINDS)}')
        if kind not in self._places:
            rows = [] if self._beside is None else [(BESIDE, _folder_tables(self._beside, kind))]
            self._places[kind] = [*rows, (USERS, _folder_tables(user_folder(), kind)), (CATALOGUE, _catalogue(kind))]
        return self._places[kind]

    def table(self, kind: str, name: str) -> tuple[dict[str, Any], str]:
        """A part's table and where it was found.

        Args:
            kind: one of `KINDS`.
            name: of the part.

        Returns:
            Table and origin.

        Raises:
            PartError: no such part; the message names the nearest.
        """
        for origin, tables in self._shelves(kind):
            if name in tables:
                return tables[name], origin
        near = difflib.get_close_matches(name, self.names(kind), 3, 0.4)
        listed = ", ".join(f'"{one}"' for one in near)
        nearest = f" Nearest: {listed}." if near else ""
        raise PartError(f'no {kind} named "{name[:60]}".{nearest} List all with: hobwind parts {kind}')

    def find(self, kind: str, name: str) -> Any:
        """A part, made once and kept.

        Args:
            kind: one of `KINDS`.
            name: of the part.

        Returns:
            The part.

        Raises:
            PartError: no such part.
            BuildError: the part's own file is wrong.
        """
        if (kind, name) not in self._found:
            table, origin = self.table(kind, name)
            problems: list[Problem] = []
            part = part_from_table(kind, name, table, origin, f"{kind} {name}", self.find, problems)
            if problems:
                raise BuildError(f"{kind}.toml, {origin}", tuple(problems))
            self._found[kind, name] = part
        return self._found[kind, name]

    def names(self, kind: str) -> list[str]:
        """Names of every part of a kind, nearest shelf first."""
        seen: dict[str, None] = {}
        for _, tables in self._shelves(kind):
            seen |= dict.fromkeys(tables)
        return list(seen)

    def origin(self, kind: str, name: str) -> str:
        """Where a part would be taken from."""
        return self.table(kind, name)[1]


@cache
def sized_names() -> tuple[str, ...]:
    """Names of parts in the catalogue that hold a size in millimetres, which is no figure to be put into inches."""
    shelf = Shelf()
    return tuple(name for kind in KINDS for name in shelf.names(kind) if re.search(r"\d mm\b", name))
