"""A bin as the page gets it: what lies in it and what is still wanting; entries put in and taken out of its text."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel

from ..build.bin_file import bin_so_far
from ..build.bin_sections import FIRST, KINDS, TOOLS, Bin, Item
from ..errors import BuildError, InputError, Problem
from ..files import toml_table
from ..parts.catalogue import Shelf
from ..units import show
from .asking import ProblemOut
from .bin_ways import WAYS, WayOut, ways_of
from .keeping import MOST_TEXT, Folder

LOOKS_LIKE = re.compile(r"^\s*\[\[?(module|motor|blade|sink|bar|element|buy)\]\]?\s*(#.*)?$", re.M)
NOT_A_BIN = re.compile(r"^\s*\[\[?(modules|riser)\]\]?\s*(#.*)?$", re.M)
HEADING = re.compile(r"\s*\[\[?\s*(?P<name>[\w.\"' -]+?)\s*\]\]?\s*(#.*)?$")
WORDS = {
    "module": "modules", "motor": "motors", "blade": "blades", "sink": "sinks", "bar": "bars for the riser", "plate": "plates",
    "screws": "clamp screws", "bush": "insulating bushes", "element": "wax elements",
}  # fmt: skip
SHELVES = {
    "module": "module",
    "motor": "motor",
    "blade": "blade",
    "sink": "sink",
    "screws": "screw",
    "bush": "bush",
    "element": "wax",
}
WANTED = "nothing of it"
JOINED, NO_TOOLS = ", ", "none"


class Lying(BaseModel):
    """One entry: its kind, name, number among those of its kind, how many there are, what is known of it, its price."""

    kind: str
    name: str
    number: int
    count: int
    says: str
    price: float | None


class Wished(BaseModel):
    """One wish: its place in the file, what it is, as it stands, what may stand there; `several`: any of the choices, in a row."""

    place: str
    label: str
    value: str
    choices: list[str]
    several: bool = False


class BinOut(BaseModel):
    """A bin: what lies in it, ways of guarding, wishes; what is wrong with it and what a fan still wants."""

    name: str
    says: str
    items: list[Lying]
    guards: list[str]
    ways: list[WayOut]
    wishes: list[Wished]
    problems: list[ProblemOut]
    wanting: list[str]


class Adding(BaseModel):
    """What may be put in: kinds of part with the words for them, and the catalogue's names of each."""

    kinds: dict[str, str]
    names: dict[str, list[str]]
    materials: list[str]
    tools: list[str]


def adding(folder: Folder) -> Adding:
    """What may be put in."""
    shelf = Shelf(folder.path)
    names = {kind: shelf.names(on) for kind, on in SHELVES.items()}
    return Adding(kinds=WORDS, names=names, materials=shelf.names("material"), tools=list(TOOLS))


def bin_files(folder: Folder) -> list[str]:
    """Names of the files in the folder that look like bins; the others are builds."""
    found = []
    for name in folder.names():
        try:
            text = folder.read(name)
        except (InputError, OSError):
            continue
        if LOOKS_LIKE.search(text) and not NOT_A_BIN.search(text):
            found.append(name)
    return found


def _told(value: Any) -> str:
    if isinstance(value, Mapping):
        return str(value.get("part") or value.get("name") or "own")
    if isinstance(value, list):
        return ", ".join(_told(one) for one in value)
    return str(value)


def _says(item: Item) -> str:
    """What was typed of an entry, its name left out."""
    shown = {key: value for key, value in item.table.items() if key not in ("name", "kind")}
    part = shown.pop("part", None)
    if item.kind == "blade" and "count" in shown:
        shown["vanes"] = shown.pop("count")
    rest = [f"{key.replace('_', ' ')} {_told(value)}" for key, value in shown.items()]
    if item.kind == "bar" and item.thing is not None:
        rest.append("used at " + ", ".join(f"{one * 1e3:.0f}" for one in item.thing.lengths) + " mm")
    named = [] if part is None or part == item.name else [str(part)]
    return "; ".join([*named, *rest])


def _wishes(read: Bin) -> list[Wished]:
    w = read.wishes
    face = "" if w.hottest_face is None else show(w.hottest_face, "temperature")
    rows = [
        ("wish.starts_by", "turns by a plate of", show(w.starts_by, "temperature"), ()),
        ("wish.air", "air in normal burning", show(w.air, "air_flow"), ()),
        ("wish.hottest_face", "no module face hotter than", face, ()),
        ("wish.guard", "it must have a guard", "yes" if w.must_guard else "no", ("yes", "no")),
        ("wish.first", "what counts double once the wishes are met", w.first, FIRST),
        ("wish.most_modules", "modules in one fan, at most", str(w.most_modules), tuple("12345678")),
        ("wish.money", "money for one part of the price list", f"{w.money:g}", ()),
        ("stove.usual_plate", "plate in normal burning", show(read.base.stove.usual_plate.value, "temperature"), ()),
        ("stove.worst_plate", "plate when over-fired", show(read.base.stove.worst_plate.value, "temperature"), ()),
    ]  # fmt: skip
    found = [Wished(place=place, label=label, value=value, choices=list(choices)) for place, label, value, choices in rows]
    return [
        *found,
        Wished(place="wish.tools", label="tools on hand", value=JOINED.join(w.tools), choices=list(TOOLS), several=True),
    ]


def _numbers(table: Mapping[str, Any]) -> dict[tuple[str, str, str], list[int]]:
    """Where entries stand under their headings: by heading, kind and name; an unreadable one still counts."""
    found: dict[tuple[str, str, str], list[int]] = {}
    for heading in (*KINDS, "buy"):
        rows = table.get(heading, [])
        for number, row in enumerate([rows] if isinstance(rows, Mapping) else rows if isinstance(rows, list) else [], 1):
            if isinstance(row, Mapping):
                kind = str(row.get("kind")) if heading == "buy" else heading
                name = row.get("name") or row.get("part") or row.get("material") or f"own {kind}"
                found.setdefault((heading, kind, str(name)), []).append(number)
    return found


def look(text: str, folder: Folder) -> BinOut:
    """What a bin's text holds, however unfinished.

    Args:
        text: TOML.
        folder: beside whose files parts are looked up.

    Returns:
        What is in it.

    Raises:
        BuildError: it is no bin at all.
    """
    read, problems = bin_so_far(text, "bin", folder.path)
    wanting = [WORDS.get(one.place, one.place) for one in problems if one.says.startswith(WANTED)]
    numbers = _numbers(toml_table(text))
    items = []
    for item in read.items:
        at = numbers.get(("buy" if item.price is not None else item.kind, item.kind, item.name)) or [0]
        items.append(
            Lying(kind=item.kind, name=item.name, number=at.pop(0), count=item.count, says=_says(item), price=item.price)
        )
    guards = [
        f"{way.guard.kind}, element {'on its own foot' if way.guard.held_in == 'plate' else 'in the ' + way.guard.held_in}"
        for way in read.guards
    ]
    wrong = [ProblemOut(place=one.place, says=one.says) for one in problems if not one.says.startswith(WANTED)]
    return BinOut(
        name=read.name, says=read.says, items=items, guards=guards, ways=ways_of(read), wishes=_wishes(read), problems=wrong,
        wanting=wanting,
    )  # fmt: skip


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
