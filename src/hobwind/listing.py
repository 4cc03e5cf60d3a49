"""The catalogue as a list, and one part with all its numbers."""

from __future__ import annotations

import difflib
import textwrap
from pathlib import Path
from typing import Any

from . import __version__
from .errors import InputError
from .parts.catalogue import KINDS, Shelf
from .parts.part_fields import EXTRA, FIELDS
from .sources import told

WIDE = 79
PLURALS = {f"{kind}s": kind for kind in KINDS} | {"finishes": "finish", "bushes": "bush", "waxes": "wax"}


def _kind(word: str) -> str:
    kind = PLURALS.get(word, word)
    if kind not in KINDS:
        near = difflib.get_close_matches(word, KINDS, 1)
        hint = f' Did you mean "{near[0]}"?' if near else ""
        raise InputError(f'no kind of part called "{word[:40]}".{hint} Kinds: {", ".join(KINDS)}')
    return kind


def _shelf() -> Shelf:
    return Shelf(Path())


def _cells(entry: Any) -> tuple[str, str]:
    if isinstance(entry, list) and len(entry) == 2:
        return str(entry[0]), str(entry[1])
    return str(entry), ""


def parts_text(kind: str | None, name: str | None, sources: bool) -> str:
    """The list for the screen.

    Args:
        kind: one kind, or None for a list of kinds.
        name: one part, or None.
        sources: show the source of every number.

    Returns:
        Text.

    Raises:
        InputError: no such kind.
        PartError: no such part.
    """
    shelf = _shelf()
    if kind is None:
        lines = ["Kinds of part, and how many are known. See one with: hobwind parts module", ""]
        for one in KINDS:
            names = shelf.names(one)
            lines.append(f"{one:<10}{len(names):>4}   such as {names[0]}")
        return "\n".join(lines)
    found = _kind(kind)
    if name is not None:
        return _one(shelf, found, name)
    lines = []
    for one in shelf.names(found):
        table, origin = shelf.table(found, one)
        mark = "" if origin == "catalogue" else f" ({origin})"
        lines += textwrap.wrap(f"{one}{mark}: {table.get('says', '')}", WIDE, subsequent_indent="    ")
        if sources:
            lines += ["    " + line for line in _numbers(found, table)]
    lines += ["", f'All numbers of one, with sources: hobwind parts {found} "{shelf.names(found)[0]}"']
    return "\n".join(lines)


def _numbers(kind: str, table: dict[str, Any]) -> list[str]:
    rows = []
    for field in FIELDS[kind]:
        if field in table:
            value, source = _cells(table[field])
            rows.append(f"{field:<22}{value:<26}{source}".rstrip())
    return rows


def _one(shelf: Shelf, kind: str, name: str) -> str:
    table, origin = shelf.table(kind, name)
    lines = [f"{kind} {name} ({origin})", *textwrap.wrap(str(table.get("says", "")), WIDE), ""]
    lines += _numbers(kind, table)
    if table.get("caution"):
        lines += ["", *textwrap.wrap(f"Caution: {table['caution']}", WIDE)]
    lines += ["", "± is 19 in 20. The last column is the source:"]
    for key in dict.fromkeys(_cells(table[field])[1] for field in FIELDS[kind] if field in table):
        if key:
            lines += textwrap.wrap(f"{key}: {told(key)}", WIDE, initial_indent="  ", subsequent_indent="    ")
    return "\n".join(lines)


def parts_json(kind: str | None, name: str | None) -> dict[str, Any]:
    """The same as data.

    Args:
        kind: one kind, or None for all.
        name: one part, or None.

    Returns:
        Parts with every number as text and its source.

    Raises:
        InputError: no such kind.
        PartError: no such part.
    """
    shelf = _shelf()
    kinds = KINDS if kind is None else (_kind(kind),)
    rows = []
    for one in kinds:
        for part in shelf.names(one) if name is None else [name]:
            table, origin = shelf.table(one, part)
            numbers = {
                field: dict(zip(("value", "source"), _cells(table[field]), strict=True))
                for field in FIELDS[one]
                if field in table
            }
            extra = {key: str(table.get(key, "")) for key in EXTRA}
            rows.append({"kind": one, "name": part, "origin": origin, "numbers": numbers, **extra})
    return {"shape": 1, "made_by": {"hobwind": __version__}, "parts": rows}
