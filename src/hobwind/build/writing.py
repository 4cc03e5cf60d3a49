"""A build made whole, as a build file: every looked-up value written in, its source beside it, no catalogue needed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields
from typing import Any

from ..parts.kinds import MAKERS, Part
from ..parts.part_fields import FIELDS
from ..units import DIMENSIONS, Spread
from .heading import FORMAT
from .sections import Build, HandOn, JointFace, RiserPart, Screws
from .whole import digest

KIND_OF = {maker: kind for kind, maker in MAKERS.items()}
USUAL = "usual value"
UNKNOWN = ("wiring.solder",)  # written, a guess about a thing in hand would pass for what its maker knows of it
COUNTS = ("count", "shim_count", "washers", "nested")


def _quantity(spread: Spread, dimension: str) -> str:
    """A spread as text that reads back the same."""
    unit = "" if dimension == "number" else f" {DIMENSIONS[dimension].si}"
    if spread.half == 0.0:
        return f"{spread.value!r}{unit}"
    return f"{spread.value!r} ± {spread.half!r}{unit}" if spread.shape == "normal" else f"{spread.low!r}..{spread.high!r}{unit}"


def _word(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _part_fields(part: Part) -> Iterator[tuple[str, str]]:
    """Keys of a part and their TOML values, parts inside it as tables."""
    kind = KIND_OF[type(part)]
    for key, how in FIELDS[kind].items():
        value = getattr(part, key)
        unused = value is None or (not how.needed and (value == 0 or (isinstance(value, Spread) and value.value == 0.0)))
        if unused:  # a sink's sizes of another shape
            continue
        if isinstance(value, Part):
            yield key, _table(value)
        elif isinstance(value, Spread):
            yield key, f"[{_word(_quantity(value, how.kind))}, {_word(part.sources.get(key, 'not said'))}]"
        else:
            yield key, _word(str(value))
    for key in ("says", "caution"):
        if getattr(part, key):
            yield key, _word(getattr(part, key))


def _table(part: Part) -> str:
    """A part as an inline table."""
    inside = ", ".join(f"{key} = {value}" for key, value in [("name", _word(part.name)), *_part_fields(part)])
    return f"{{ {inside} }}"


def build_words(hand_on: HandOn) -> list[str]:
    """The maker's own words as lines of a build file."""
    rows = (("maker", hand_on.maker), ("notes", hand_on.notes), ("terms", hand_on.terms))
    return [f"{key} = {_word(text)}" for key, text in rows if text]


class _Writer:
    """Writes the sections of one build; quantities as they were typed or defaulted."""

    def __init__(self, build: Build) -> None:
        self.build = build
        self.records = {record.place: record for record in build.records}
        self.lines: list[str] = []

    def typed(self, place: str, key: str) -> None:
        """One quantity or word of a section, with where it came from."""
        record = self.records.get(f"{place}.{key}")
        if record is not None and not (f"{place}.{key}" in UNKNOWN and record.origin.startswith(USUAL)):
            value = record.text if record.text.isdigit() and key in COUNTS else _word(record.text)
            self.lines.append(f"{key} = {value}  # {record.origin}")

    def part(self, key: str, part: Part | None) -> None:
        """A part under its own key."""
        if part is not None:
            self.lines.append(f"{key} = {_table(part)}  # {part.origin}")

    def spread_out(self, part: Part) -> None:
        """A part's fields as keys of the section itself."""
        self.lines.append(f"name = {_word(part.name)}  # {part.origin}")
        self.lines += [f"{key} = {value}" for key, value in _part_fields(part)]

    def section(self, head: str, place: str, thing: Any) -> None:
        """A section whose fields are quantities, words and parts."""
        self.lines += ["", head]
        for field in fields(thing):
            value = getattr(thing, field.name)
            if field.name == "part":
                self.spread_out(value)
            elif isinstance(value, Part):
                self.part(field.name, value)
            elif isinstance(thing, RiserPart) and thing.shape == "cylinder" and field.name in ("width", "depth"):
                if field.name == "width":
                    self.typed(place, "diameter")
            elif field.name == "strings":
                if thing.arrangement == "groups":
                    self.lines.append(f"strings = {json.dumps(value)}")
            elif value is not None:
                self.typed(place, field.name)

    def hand_on(self) -> None:
        """What the maker says to those who follow; photos stay out, since a build file carries no pictures."""
        said = build_words(self.build.hand_on)
        if said:
            self.lines += ["", "[hand_on]", *said]

    def joint(self, name: str, face: JointFace) -> None:
        """One joint."""
        self.lines += ["", f"[joint.{name}]"]
        if face.fill is None:
            self.lines.append('fill = "dry"')
        else:
            self.part("fill", face.fill)
        self.part("surface", face.surface)


def whole_text(build: Build) -> str:
    """The build as a file that needs no catalogue.

    Args:
        build: a checked build.

    Returns:
        TOML; read back it is the same build to twelve digits.
    """
    w = _Writer(build)
    w.lines = [
        f"# Made whole from {build.file}: every looked-up value written in. Build {digest(build)}.",
        f"format = {FORMAT}",
        f"name = {_word(build.name)}",
        f"says = {_word(build.says)}",
    ]
    w.section("[stove]", "stove", build.stove)
    w.section("[wish]", "wish", build.wish)
    for i, part in enumerate(build.riser):
        w.section("[[riser]]", f"riser[{i + 1}]", part)
    w.section("[seat]", "seat", build.seat)
    for name in ("riser", "hot_plate", "hot", "cold", "sink"):
        w.joint(name, getattr(build.joint, name))
    for name in ("hot_plate", "spreader"):
        if getattr(build, name) is not None:
            w.section(f"[{name}]", name, getattr(build, name))
    for i, use in enumerate(build.modules):
        w.section("[[modules]]", f"modules[{i + 1}]", use)
    w.section("[wiring]", "wiring", build.wiring)
    w.lines += ["", "[clamp]"]
    for key in ("pressure", "torque", "friction", "tool"):
        w.typed("clamp", key)
    w.lines += ["", "[surround]"]
    if build.surround is None:
        w.lines.append('fill = "air"')
    w.part("fill", build.surround)
    screws: Screws | None = build.screws
    for name, thing in (("sink", build.sink), ("screws", screws), ("motor", build.motor), ("blade", build.blade)):
        if thing is not None:
            w.section(f"[{name}]", name, thing)
    w.section("[guard]", "guard", build.guard)
    if build.mass is not None or build.found:
        w.lines += [
            "",
            "[fan]",
            *(['made = "found"'] if build.found else []),
            *(['modules = "new"'] if build.new_modules else []),
        ]
        w.typed("fan", "mass")
    if any(record.place.startswith("measured.") for record in build.records):
        w.section("[measured]", "measured", build.measured)
    w.hand_on()
    return "\n".join(w.lines) + "\n"
