"""A bin's text changed: an entry put in or taken out, a way of guarding ticked, a wish; every change is checked before it is given back."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from ..build.bin_file import bin_so_far
from ..build.bin_sections import KINDS
from ..errors import BuildError, InputError, Problem
from ..files import toml_table
from .bin_ways import WAYS
from .bins import NO_TOOLS, WANTED
from .keeping import MOST_TEXT, Folder

HEADING = re.compile(r"\s*\[\[?\s*(?P<name>[\w.\"' -]+?)\s*\]\]?\s*(#.*)?$")


def _problems(text: str, folder: Folder) -> set[Problem]:
    return {one for one in bin_so_far(text, "bin", folder.path)[1] if not one.says.startswith(WANTED)}


def _spelled(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return json.dumps(value, ensure_ascii=False)


def put_in(text: str, heading: str, entry: Mapping[str, Any], folder: Folder) -> str:
    """Add an entry at the end of a bin's text; a name that is taken gets a number.

    Args:
        text: of the bin.
        heading: such as "module", or "guard".
        entry: its keys and values.
        folder: beside whose files parts are looked up.

    Returns:
        The new text.

    Raises:
        InputError: no such heading.
        BuildError: the entry cannot be; every problem it brings.
    """
    if heading not in (*KINDS, "guard", "buy"):
        raise InputError(f'"{heading[:40]}" is no kind of part; one of {", ".join(KINDS)} is wanted')
    read, before = bin_so_far(text, "bin", folder.path)
    named = dict(entry)
    wanted = str(named.get("name") or named.get("part") or named.get("material") or f"own {heading}")
    taken = {item.name for item in read.items if item.kind == heading}
    if heading in KINDS and wanted in taken:
        named["name"] = next(f"{wanted} {n}" for n in range(2, 1000) if f"{wanted} {n}" not in taken)
    order = {key: named.pop(key) for key in ("kind", "name", "part") if key in named} | named
    lines = [f"[[{heading}]]", *(f"{key} = {_spelled(value)}" for key, value in order.items())]
    new = f"{text.rstrip()}\n\n" + "\n".join(lines) + "\n"
    if len(new) > MOST_TEXT:
        raise InputError(f"the bin would hold {len(new)} letters; at most {MOST_TEXT} are taken")
    brought = [one for one in bin_so_far(new, "bin", folder.path)[1] if one not in before and not one.says.startswith(WANTED)]
    if brought:
        raise BuildError("bin", tuple(brought))
    return new


def _reach(lines: list[str], heading: str, number: int) -> tuple[int, int]:
    """Lines from the numbered heading to before the next one; what is remarked above that one stays with it."""
    count, start = 0, -1
    for i, line in enumerate(lines):
        found = HEADING.match(line)
        if found is None:
            continue
        if start >= 0 and not found["name"].startswith(f"{heading}."):
            end = i
            while end > start + 1 and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
                end -= 1
            return start, end
        if found["name"] == heading and start < 0:
            count += 1
            start = i if count == number else -1
    return start, len(lines)


def take_out(text: str, heading: str, number: int) -> str:
    """Take one entry out of a bin's text; everything else stays as the maker wrote it.

    Args:
        text: of the bin.
        heading: such as "module" or "buy".
        number: of the entry among those under this heading, from 1. [-]

    Returns:
        The new text.

    Raises:
        InputError: there is no such entry, or it stands in a way that cannot be cut out.
    """
    lines = text.splitlines(keepends=True)
    start, end = _reach(lines, heading, number)
    if start < 0:
        raise InputError(f"there is no {heading} {number} in the bin's text")
    new = "".join([*lines[:start], *lines[end:]])
    try:
        was, now = toml_table(text), toml_table(new)
    except ValueError as error:
        raise InputError(f"{heading} {number} cannot be cut out by itself; take it out of the text by hand") from error
    kept = was.get(heading)
    if isinstance(kept, list):
        was[heading] = [one for i, one in enumerate(kept) if i != number - 1]
    else:
        was.pop(heading, None)
    if not was.get(heading):
        was.pop(heading, None)
    if was != now:
        raise InputError(f"{heading} {number} cannot be cut out by itself; take it out of the text by hand")
    return new


def set_way(text: str, key: str, on: bool, folder: Folder) -> str:
    """Try a way of guarding, or no longer.

    Args:
        text: of the bin.
        key: of `WAYS`.
        on: whether it is to be tried.
        folder: beside whose files parts are looked up.

    Returns:
        The new text: with the way at usual sizes at its end, or without any section of that way.

    Raises:
        InputError: no such way, or its sections cannot be cut out.
        BuildError: the bin is none, or the way brings problems.
    """
    if key not in WAYS:
        raise InputError(f'"{key[:40]}" is no way of guarding; one of {", ".join(WAYS)} is wanted')
    entry = WAYS[key][1]
    wanted = (entry["kind"], entry["held_in"])
    rows = [(way.guard.kind, way.guard.held_in) for way in bin_so_far(text, "bin", folder.path)[0].guards]
    if on:
        return text if wanted in rows else put_in(text, "guard", entry, folder)
    for number in range(len(rows), 0, -1):
        if rows[number - 1] == wanted:
            text = take_out(text, "guard", number)
    return text


def wish_value(place: str, typed: str) -> str | int | float | bool | list[str] | None:
    """A wish as its file holds it.

    Args:
        place: of the wish.
        typed: as typed; "" takes it out; of tools a row of them, or "none".

    Returns:
        The value.

    Raises:
        InputError: the words or figure cannot be.
    """
    typed = typed.strip()
    if not typed:
        return None
    if place == "wish.tools":
        return [one.strip() for one in typed.split(",")] if typed != NO_TOOLS else []
    if place == "wish.guard":
        return typed == "yes"
    if place == "wish.most_modules":
        return int(typed) if typed.isdigit() and len(typed) < 3 else typed
    if place == "wish.money":
        try:
            return float(typed.replace(",", "."))
        except ValueError as error:
            raise InputError(f'money: got "{typed[:40]}"; a plain number such as 25 is wanted') from error
    return typed


def check_change(text: str, new: str, folder: Folder) -> None:
    """Refuse a change of a bin that brings new problems.

    Raises:
        BuildError: with the problems it brings.
    """
    brought = _problems(new, folder) - _problems(text, folder)
    if brought:
        raise BuildError("bin", tuple(sorted(brought, key=lambda one: one.place)))
