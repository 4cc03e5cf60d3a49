"""Reading what was measured from outside on an existing fan whose inside is unknown.

Sections that a build file has too (stove, wish, motor, blade, screws) are kept as they stand and judged by its reader.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..errors import BuildError
from ..files import read_text
from ..parts.catalogue import Shelf
from ..units import NORMAL, Spread
from .heading import FOUND, headed_table
from .reader import Notes, Section
from .sections import BEFORE_LIMITS

KEPT = ("stove", "wish", "motor", "blade", "screws")
SIGNS = ("open", "high ohms", "moves when pressed", "cracked", "soft joints", "low volts", "leaks to ceramic", "sound")
GRADES = ("cooler", "generator")
MOST_SEEN = 20
ZERO = 273.15
FELT = 4.0  # K; how far a temperature may be off that comes without a spread
COUNTED = 0.05  # of a speed that comes without a spread
PLACES = ("base", "top", "sink")  # where a temperature may be taken


@dataclass(frozen=True)
class Sighting:
    """One settled look at the fan: plate and room [K], temperatures by place [K], speed [rad/s], whether it turned."""

    plate: float
    room: float | None
    temperatures: tuple[tuple[str, Spread], ...]
    speed: Spread | None
    turns: bool


@dataclass(frozen=True)
class Outside:
    """What was measured from outside; lengths in m, None where not given. `kept` are sections as a build file has them."""

    name: str
    says: str
    file: str
    weight: Spread
    is_round: bool
    base_width: Spread
    base_depth: Spread
    height: Spread
    sink_from: Spread | None
    plate: tuple[Spread, Spread, Spread] | None
    sink_width: Spread
    sink_depth: Spread
    fins: int
    fin_thickness: Spread
    hub: Spread
    hub_before: Spread | None
    blade_diameter: Spread
    vanes: int
    motor_diameter: Spread
    metal: str
    module_size: Spread
    module_thickness: Spread | None
    module_count: int | None
    grade: str
    signs: tuple[str, ...]
    screw_spare: Spread | None
    seen: tuple[Sighting, ...]
    kept: Mapping[str, Any]


def load_outside(path: Path) -> Outside:
    """Read and check a file of outside measurements.

    Args:
        path: of the TOML file.

    Returns:
        What was measured.

    Raises:
        FileError: the file cannot be read.
        BuildError: with every problem found in it.
    """
    return outside_from_text(read_text(path), path.name, path.parent)


def outside_from_text(text: str, file: str = "fan", beside: Path | None = None) -> Outside:
    """Read and check the text of outside measurements.

    Args:
        text: TOML.
        file: what to call it in messages.
        beside: folder whose `parts` are looked up first.

    Returns:
        What was measured.

    Raises:
        BuildError: with every problem found.
    """
    table = headed_table(text, file, FOUND)
    notes = Notes(Shelf(beside))
    found = _outside(table, file, notes)
    if notes.problems:
        raise BuildError(file, tuple(notes.problems))
    return found


def _outside(table: Mapping[str, Any], file: str, notes: Notes) -> Outside:
    top = Section(notes, "file", table)
    top.known += [*KEPT, "format", "fan", "module", "seen"]
    name, says = top.words("name", "found fan", 80), top.words("says", "")
    top.close()
    fan = Section(notes, "fan", table.get("fan"))

    def long(key: str, default: str | None, low: float, high: float) -> Spread:
        return fan.quantity(key, "length", default, low, high, "practice")

    is_round = fan.has("base_diameter")
    if is_round:
        width = depth = long("base_diameter", None, 0.01, 0.3)
    else:
        width, depth = long("base_width", None, 0.01, 0.3), long("base_depth", None, 0.01, 0.3)
    given = [key for key in ("plate_width", "plate_depth", "plate_thickness") if fan.has(key)]
    plate = None
    if given:
        plate = (
            long("plate_width", None, 0.01, 0.4),
            long("plate_depth", None, 0.01, 0.4),
            long("plate_thickness", None, 1e-3, 0.05),
        )
    height, sink_from = long("height", None, 0.04, 0.6), fan.maybe("sink_from", "length", 0.01, 0.5)
    if sink_from is not None and sink_from.value >= height.value - 5e-3:
        notes.complain("fan.sink_from", "must be at least 5 mm below height; both are measured up from the stove plate")
    weight = fan.quantity("weight", "mass", None, 0.1, 20.0)
    fan.known += ["plate_width", "plate_depth", "plate_thickness"]
    module = Section(notes, "module", table.get("module"))
    thickness = module.maybe("thickness", "length", 2e-3, 0.01)
    count = module.count("count", 1, 1, 8) if module.has("count") else None
    module.known.append("count")
    kept = {key: _plain(notes, key, table[key]) for key in KEPT if key in table}
    spare = None
    if "spare" in kept.get("screws", {}):
        spare = Section(notes, "screws", {"spare": kept["screws"].pop("spare")}).quantity("spare", "length", None, 0.0, 0.1)
    found = Outside(
        name=name, says=says, file=file, weight=weight, is_round=is_round, base_width=width, base_depth=depth, height=height,
        sink_from=sink_from, plate=plate,
        sink_width=long("sink_width", None, 0.02, 0.5), sink_depth=long("sink_depth", None, 0.02, 0.5),
        fins=fan.count("fins", None, 3, 100), fin_thickness=long("fin_thickness", "1.8 ± 0.7 mm", 3e-4, 0.01),
        hub=long("hub", None, 0.03, 0.8), hub_before=fan.maybe("hub_before", "length", *BEFORE_LIMITS),
        blade_diameter=long("blade_diameter", None, 0.05, 0.4),
        vanes=fan.count("vanes", 4, 2, 12), motor_diameter=long("motor_diameter", "24 ± 4 mm", 0.01, 0.06),
        metal=fan.words("metal", "aluminium 6082", 80),
        module_size=module.quantity("size", "length", "40 mm", 0.015, 0.08, "practice"), module_thickness=thickness,
        module_count=count, grade=module.choice("grade", GRADES, "cooler"), signs=_signs(module, notes), screw_spare=spare,
        seen=tuple(_sighting(notes, i, row) for i, row in enumerate(_rows(notes, table))), kept=kept,
    )  # fmt: skip
    fan.close()
    module.close()
    if found.metal not in notes.shelf.names("material"):
        notes.complain("fan.metal", f'got "{found.metal}"; name a material, see: hobwind parts material')
    return found


def _plain(notes: Notes, key: str, section: object) -> dict[str, Any]:
    """A section that is kept as it stands, without what no build file has: it is written out again."""
    if not isinstance(section, Mapping):
        notes.complain(key, f"got {section!r:.60}; a section such as [{key}] with its keys below it is wanted")
        return {}
    found = {}
    for name, value in section.items():
        try:
            json.dumps(value, allow_nan=False)
            found[name] = value
        except (TypeError, ValueError):
            notes.complain(f"{key}.{name}"[:120], f"got {value!r:.60}; text with a unit, a word or a whole number is wanted")
    return found


def _signs(module: Section, notes: Notes) -> tuple[str, ...]:
    module.known.append("shows")
    given = module.table.get("shows", [])
    rows = [given] if isinstance(given, str) else given
    if not isinstance(rows, list) or any(row not in SIGNS for row in rows):
        listed = ", ".join(f'"{sign}"' for sign in SIGNS)
        notes.complain("module.shows", f"got {given!r:.60}; one of {listed}, or a list of some, is wanted")
        return ()
    if "sound" in rows and len(set(rows)) > 1:
        notes.complain("module.shows", 'got "sound" beside other signs; a sound module shows none of them')
    return tuple(dict.fromkeys(rows))


def _rows(notes: Notes, table: Mapping[str, Any]) -> list[Any]:
    rows = table.get("seen", [])
    rows = [rows] if isinstance(rows, Mapping) else rows
    if not isinstance(rows, list) or len(rows) > MOST_SEEN:
        got = f"{len(rows)} of them" if isinstance(rows, list) else repr(rows)[:60]
        notes.complain("seen", f"got {got}; up to {MOST_SEEN} sections headed [[seen]] are wanted")
        return []
    return rows


def _sighting(notes: Notes, i: int, row: object) -> Sighting:
    s = Section(notes, f"seen[{i + 1}]", row)
    plate = s.quantity("plate", "temperature", None, ZERO + 40, ZERO + 500).value
    room = s.maybe("room", "temperature", ZERO - 30, ZERO + 45)
    warm = []
    for place in PLACES:
        read = s.maybe(place, "temperature", ZERO - 30, ZERO + 500)
        if read is not None:
            warm.append((place, read if read.half > 0.0 else Spread(read.value, FELT, NORMAL)))
            if s.has("plate") and read.value > plate + FELT:
                notes.complain(f"{s.place}.{place}", "is hotter than the plate; were the two exchanged?")
    speed = s.maybe("speed", "turning", 0.0, 2000.0)
    if speed is not None and speed.half == 0.0:
        speed = Spread(speed.value, max(COUNTED * speed.value, 1.0), NORMAL)
    turns = s.table.get("turns", speed is not None and speed.value > 0.0)
    s.known.append("turns")
    if not isinstance(turns, bool):
        notes.complain(f"{s.place}.turns", f"got {turns!r:.40}; true or false is wanted")
    if not warm and speed is None:
        notes.complain(s.place, f"holds no reading; give one of {', '.join(PLACES)}, speed")
    s.close()
    return Sighting(plate, None if room is None else room.value, tuple(warm), speed, turns is True)
