"""A bin as the page gets it: what lies in it and what is still wanting; entries put in and taken out of its text."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any

from pydantic import BaseModel

from ..build.bin_file import bin_so_far
from ..build.bin_sections import FIRST, KINDS, TOOLS, Bin, Item
from ..errors import InputError
from ..files import toml_table
from ..parts.catalogue import Shelf
from ..units import show
from .asking import ProblemOut
from .bin_ways import WayOut, ways_of
from .keeping import Folder

LOOKS_LIKE = re.compile(r"^\s*\[\[?(module|motor|blade|sink|bar|element|buy)\]\]?\s*(#.*)?$", re.M)
A_BUILD = re.compile(r"^\s*(\[\[?(modules|riser)\]\]?\s*(#.*)?$|(modules|riser)\s*=)", re.M)
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


def _texts(folder: Folder) -> Iterator[tuple[str, str]]:
    """Names and texts of the files in the folder; what cannot be read is left out."""
    for name in folder.names():
        with suppress(InputError, OSError):
            yield name, folder.read(name)


def bin_files(folder: Folder) -> list[str]:
    """Names of the files in the folder that look like bins."""
    return [name for name, text in _texts(folder) if LOOKS_LIKE.search(text) and not A_BUILD.search(text)]


def build_files(folder: Folder) -> list[str]:
    """Names of the files in the folder that look like builds, sound or not: neither bins nor readings nor columns of a log."""
    return [name for name, text in _texts(folder) if A_BUILD.search(text)]


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
