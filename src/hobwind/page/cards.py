"""The card of a part: every value with its spread, where it came from, and what it does."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, Field

from ..build import Build
from ..build.assemble import GUARD_KINDS, HELD, HELD_IN, RISER_SHAPES, STANDS
from ..errors import InputError
from ..files import toml_table
from ..parts.catalogue import Shelf
from ..parts.kinds import Part
from ..parts.part_fields import FIELDS
from ..sources import sources
from ..units import Spread, show, show_spread
from .meanings import build_meaning, part_meaning

# Words a value can be chosen from: fixed ones, or the names of a kind of part.
WORDS: dict[str, tuple[str, ...]] = {
    "riser.shape": RISER_SHAPES, "guard.kind": GUARD_KINDS, "guard.held_in": HELD_IN, "guard.stands": STANDS,
    "hot_plate.held": HELD,
    "wiring.arrangement": ("series", "parallel"),
}  # fmt: skip
PARTS = {
    "stove.plate_material": "material", "stove.plate_finish": "finish", "riser.material": "material", "riser.finish": "finish",
    "hot_plate.material": "material", "hot_plate.finish": "finish", "spreader.material": "material",
    "spreader.finish": "finish", "joint.surface": "surface", "modules.part": "module", "sink.part": "sink",
    "screws.part": "screw", "screws.bush": "bush", "screws.washer": "washer", "motor.part": "motor", "blade.part": "blade",
    "guard.element": "wax", "guard.pin_material": "material",
}  # fmt: skip


class Row(BaseModel):
    """One value of a build."""

    place: str = Field(description='where it stands in the file, such as "riser[1].length"')
    name: str
    value: str = Field(description="as it would be typed, with unit and spread")
    says: str
    source: str = Field(description="where it came from")
    cited: str = Field(default="", description="the source in full; empty where there is no more to say")
    given: bool = Field(description="whether the file gives it")
    engineers: bool
    choices: list[str] = Field(description="words to choose from; empty for what is typed")


class Group(BaseModel):
    """Values that belong together."""

    title: str
    rows: list[Row]


class Card(BaseModel):
    """What opens beside the drawing."""

    key: str
    title: str
    caution: str
    groups: list[Group]


@dataclass(frozen=True)
class Chapter:
    """One group of a card: a title, the place of a section, and the part whose fields follow, if any."""

    title: str
    place: str
    kind: str = ""
    deeper: str = ""


JOINTS = {"hot_plate": "joint under the hot plate", "hot": "joint under the modules", "cold": "joint over the modules",
          "sink": "joint under the sink", "riser": "joint between riser parts"}  # fmt: skip
TITLES = {
    "stove": "Stove plate", "seat": "Seat", "riser": "Riser", "hot plate": "Hot plate", "modules": "Modules",
    "cold side": "Cold side of the modules", "spreader": "Spreader", "sink": "Sink", "screws": "Clamp screws",
    "motor": "Motor", "blade": "Blade", "guard": "Guard", "guard pin": "Push pin and lift", "wish": "What you want of it",
}  # fmt: skip
CAUTIONS = {
    "stove": "A hot plate burns through gloves in seconds: measure with the fire out, or with a probe on a stick.",
    "riser": "Clamp it before you drill. Bars that spark white or feel too light may be magnesium: its chips burn.",
    "hot plate": "Clamp it before you drill; keep the dust of lapping wet.",
    "modules": "White ceramic insulators in old gear may be beryllia: never file, drill or break them.",
    "sink": "Amplifiers keep a charge after the plug is out; wait, and short their capacitors through a resistor.",
    "screws": "Yellow-green plated screws may carry cadmium: never heat or grind them.",
    "guard": "Wax elements and springs hold force: point them away from your face. Old coolant is poison.",
    "guard pin": "A lifted fan can fall: check that it stands, cold and hot, before you leave it alone.",
    "blade": "Fingers and hair away from a turning blade; it starts by itself when the stove warms.",
    "motor": "Microwave ovens and amplifiers can kill when opened: take motors from things that run on batteries.",
    "seat": "Old gaskets and lagging round a stove may be asbestos: do not scrape or sand them.",
}  # fmt: skip


def _chapters(build: Build, key: str) -> list[Chapter]:
    """Sections of the file that a card shows."""
    modules = [Chapter("Modules" if len(build.modules) == 1 else f"Modules, kind {i + 1}", f"modules[{i + 1}]", "module")
               for i in range(len(build.modules))]  # fmt: skip
    joint = {name: Chapter(says[0].upper() + says[1:], f"joint.{name}") for name, says in JOINTS.items()}
    guard = [] if build.guard.element is None else [Chapter("The wax element", "guard", "wax", "guard.element")]
    table = {
        "stove": [Chapter("Stove and room", "stove"), Chapter("Your wish", "wish")],
        "seat": [Chapter("Foot on plate", "seat"), Chapter("The whole fan", "fan")],
        "riser": [Chapter("Riser" if len(build.riser) == 1 else f"Riser part {i + 1}, from the foot up", f"riser[{i + 1}]")
                  for i in range(len(build.riser))] + ([joint["riser"]] if len(build.riser) > 1 else []),
        "hot plate": [Chapter("Hot plate", "hot_plate"), joint["hot_plate"]],
        "modules": [*modules, joint["hot"], Chapter("Wiring", "wiring")],
        "cold side": [joint["cold"], Chapter("Round the modules", "surround"), Chapter("Clamp", "clamp")],
        "spreader": [Chapter("Spreader", "spreader"), joint["sink"]],
        "sink": [Chapter("Sink", "sink", "sink")],
        "screws": [Chapter("Clamp screws", "screws", "screw"), Chapter("Clamp", "clamp")],
        "motor": [Chapter("Motor", "motor", "motor"), Chapter("Wiring", "wiring")],
        "blade": [Chapter("Blade", "blade", "blade")],
        "guard": [Chapter("Guard", "guard"), *guard],
        "guard pin": [Chapter("Guard", "guard"), *guard],
    }  # fmt: skip
    if key not in table:
        raise InputError(f'no card called "{key[:40]}"; one of {", ".join(table)} is wanted')
    return table[key]


def _choices(section: str, key: str, shelf: Shelf) -> list[str]:
    place = f"{section}.{key}"
    if place in WORDS:
        return list(WORDS[place])
    if place == "joint.fill":
        return ["dry", *shelf.names("compound"), *shelf.names("sheet")]
    if place == "surround.fill":
        return ["air", *shelf.names("lagging")]
    return list(shelf.names(PARTS[place])) if place in PARTS else []


def _told(origin: str) -> str:
    """Where a value came from, in words."""
    if origin == "given":
        return "as you typed it"
    if origin.startswith("usual value"):
        source = origin.removeprefix("usual value").strip(", ")
        return "a guess: the usual value" + (f" ({source})" if source else "")
    return f"from the {origin}" if origin == "catalogue" else origin


def _rows(build: Build, chapter: Chapter, shelf: Shelf, typed: frozenset[str]) -> Iterator[Row]:
    """Values of a section itself."""
    section = re.sub(r"\[\d+\]", "", chapter.place).split(".")[0]
    places = {record.place: record for record in build.records}  # the last word of several on one place
    for place, record in places.items():
        head, _, key = place.rpartition(".")
        meaning = build_meaning(section, key) if head == chapter.place else None
        if meaning is None:
            continue
        yield Row(
            place=place, name=meaning.name, value=record.text, says=meaning.says, source=_told(record.origin),
            given=place in typed, engineers=meaning.engineers, choices=_choices(section, key, shelf),
        )  # fmt: skip
    if chapter.place == "fan" and build.mass is None:
        meaning = build_meaning("fan", "mass")
        if meaning is not None:
            yield Row(place="fan.mass", name=meaning.name, value="", says=meaning.says, source="worked out from the sizes",
                      given=False, engineers=False, choices=[])  # fmt: skip
    if chapter.place == "surround" and not any(place.startswith("surround.") for place in places):
        meaning = build_meaning("surround", "fill")
        if meaning is not None:
            yield Row(place="surround.fill", name=meaning.name, value="air", says=meaning.says, source="the usual thing",
                      given=False, engineers=False, choices=_choices("surround", "fill", shelf))  # fmt: skip


def _part_at(build: Build, place: str) -> Part | None:
    """The part whose fields a chapter shows."""
    if place.startswith("modules["):
        return build.modules[int(place[8:-1]) - 1].part
    parts: dict[str, Any] = {
        "sink": build.sink.part, "motor": build.motor.part, "blade": build.blade.part,
        "screws": None if build.screws is None else build.screws.part, "guard.element": build.guard.element,
    }  # fmt: skip
    found: Part | None = parts.get(place)
    return found


def _part_rows(build: Build, chapter: Chapter, typed: frozenset[str]) -> Iterator[Row]:
    """Fields of the part that a section uses."""
    place = chapter.deeper or chapter.place
    part = _part_at(build, place)
    if part is None:
        return
    for key, how in FIELDS[chapter.kind].items():
        meaning, value = part_meaning(chapter.kind, key), getattr(part, key)
        if meaning is None or value is None or isinstance(value, Part):
            continue
        if isinstance(value, Spread):
            if value.value == 0.0 and not how.needed:
                continue
            text = show(value.value, how.kind) if value.half == 0.0 else show_spread(value, how.kind)
        elif value in ("", 0):
            continue
        else:
            text = str(value)
        here = f"{place}.{key}"
        mine = here in typed
        yield Row(place=here, name=meaning.name, value=text, says=meaning.says, given=mine,
                  source="as you typed it" if mine else _source(part, key), cited="" if mine else _cited(part, key),
                  engineers=meaning.engineers, choices=list(how.choices))  # fmt: skip


def _source(part: Part, key: str) -> str:
    return f"{part.origin}, {part.sources.get(key, 'not said')}"


def _cited(part: Part, key: str) -> str:
    found = sources().get(part.sources.get(key, ""))
    return "" if found is None else found.told


def typed_places(text: str) -> frozenset[str]:
    """Places that a build file itself gives.

    Args:
        text: of the file.

    Returns:
        Places such as "riser[1].length".
    """
    found: set[str] = set()

    def walk(place: str, value: Any) -> None:
        found.add(place)
        if isinstance(value, dict):
            for key, inner in value.items():
                walk(f"{place}.{key}" if place else key, inner)
        elif isinstance(value, list):
            for i, inner in enumerate(value):
                walk(f"{place}[{i + 1}]", inner)

    table = toml_table(text)
    table |= {key: [table[key]] for key in ("riser", "modules") if isinstance(table.get(key), dict)}
    walk("", table)
    return frozenset(found)


def card(build: Build, key: str, shelf: Shelf, typed: frozenset[str]) -> Card:
    """The card of one part.

    Args:
        build: a checked build.
        key: which card; see `TITLES`.
        shelf: where part names are looked up.
        typed: places that the file itself gives.

    Returns:
        The card.

    Raises:
        InputError: no such card.
    """
    groups = []
    for chapter in _chapters(build, key):
        rows = list(_rows(build, chapter, shelf, typed)) if not chapter.deeper else []
        if chapter.kind:
            rows += list(_part_rows(build, chapter, typed))
        if rows:
            groups.append(Group(title=chapter.title, rows=rows))
    return Card(key=key, title=TITLES[key], caution=CAUTIONS.get(key, ""), groups=groups)
