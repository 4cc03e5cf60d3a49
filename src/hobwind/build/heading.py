"""The head of the files that people write: their format, and which of the three kinds a file is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..errors import BuildError, Problem
from ..files import toml_table

FORMAT = 1
BUILD, BIN, FOUND = "build file", "bin file", "found fan's file"
READ_BY = {
    BUILD: "hobwind check judges it",
    BIN: "hobwind pick tries its combinations",
    FOUND: "hobwind retrofit reads it",
}


def kind_of(table: Mapping[str, Any]) -> str | None:
    """Which kind of file a table is, by the sections that only one kind has; None where it has none of them."""
    fan = table.get("fan")
    if "seen" in table or (isinstance(fan, Mapping) and "weight" in fan):
        return FOUND
    if "bar" in table or isinstance(table.get("motor"), list):
        return BIN
    return BUILD if "riser" in table or "modules" in table else None


def headed_table(text: str, file: str, wanted: str) -> dict[str, Any]:
    """Read a file's text as a table of the wanted kind and of a format that is known here.

    Args:
        text: TOML.
        file: what to call it in messages.
        wanted: BUILD, BIN or FOUND.

    Returns:
        The table.

    Raises:
        BuildError: it is no TOML, of another kind, without a format, or of a newer one.
    """
    try:
        table = toml_table(text)
    except ValueError as error:
        raise BuildError(file, (Problem("file", str(error)),)) from error
    kind, number = kind_of(table), table.get("format")
    if kind not in (None, wanted):
        raise BuildError(file, (Problem("file", f"is a {kind}: {READ_BY[kind]}; a {wanted} is wanted here"),))
    if number is None:
        raise BuildError(file, (Problem("format", f"missing; write format = {FORMAT} at the top"),))
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise BuildError(file, (Problem("format", f"got {number!r:.40}; format = {FORMAT} is wanted"),))
    if number > FORMAT:
        says = f"is {number}, made by a newer hobwind; this one reads up to {FORMAT}: update hobwind"
        raise BuildError(file, (Problem("format", says),))
    return table
