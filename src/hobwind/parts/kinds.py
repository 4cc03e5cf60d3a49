"""What a part is: fourteen kinds, each a frozen record, and the one reader that checks them.

Numbers are `Spread`s in SI and kelvin. `origin` says where a part came from, `sources` where each number did.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from ..errors import PartError, Problem
from ..units import DIMENSIONS, QuantityError, Spread, read_quantity, show


@dataclass(frozen=True)
class Part:
    """What every part has."""

    name: str
    origin: str
    says: str
    caution: str
    sources: Mapping[str, str]


@dataclass(frozen=True)
class Finish(Part):
    """How a face radiates."""

    emissivity: Spread


@dataclass(frozen=True)
class Material(Part):
    """What bars, plates, screws and bushes are made of; conductivity at 300 K and its change per kelvin."""

    conductivity: Spread
    conductivity_slope: Spread
    density: Spread
    specific_heat: Spread
    expansion: Spread
    modulus: Spread
    hardness: Spread
    finish: Finish
    limit: Spread | None


@dataclass(frozen=True)
class Surface(Part):
    """How one face was made."""

    roughness: Spread
    slope: Spread
    flatness: Spread


@dataclass(frozen=True)
class Compound(Part):
    """Grease or paste."""

    conductivity: Spread
    yield_stress: Spread
    limit: Spread | None


@dataclass(frozen=True)
class Sheet(Part):
    """Something flat laid into a joint; contact counts both faces."""

    conductivity: Spread
    thickness: Spread
    contact: Spread
    limit: Spread | None


@dataclass(frozen=True)
class Lagging(Part):
    """Packed round the modules."""

    conductivity: Spread
    limit: Spread | None


@dataclass(frozen=True)
class Module(Part):
    """Thermoelectric module, whole, at a mean of 300 K."""

    width: Spread
    depth: Spread
    thickness: Spread
    seebeck: Spread
    resistance: Spread
    conductance: Spread
    couples: int
    hot_limit: Spread
    cold_limit: Spread
    solder: Spread
    heat_capacity: Spread
    pressure_low: Spread
    pressure_high: Spread
    grade: str


@dataclass(frozen=True)
class Motor(Part):
    """Small brushed motor."""

    resistance: Spread
    torque_constant: Spread
    friction: Spread
    breakaway: Spread
    drag: Spread
    brush_drop: Spread
    magnet: str
    magnet_coefficient: Spread
    limit: Spread
    diameter: Spread
    length: Spread
    mass: Spread
    heat_capacity: Spread


@dataclass(frozen=True)
class Blade(Part):
    """Blade or rotor; coefficients of the propeller custom, standing still."""

    diameter: Spread
    pitch: Spread
    count: int
    power_coefficient: Spread
    thrust_coefficient: Spread
    mass: Spread
    limit: Spread


@dataclass(frozen=True)
class Wax(Part):
    """Wax element."""

    opens: Spread
    full: Spread
    travel: Spread
    creep: Spread
    hysteresis: Spread
    lag: Spread
    heat_capacity: Spread
    force: Spread
    bursts: Spread
    most_travel: Spread
    diameter: Spread
    length: Spread


@dataclass(frozen=True)
class Screw(Part):
    """Clamp screw."""

    thread: str
    diameter: Spread
    pitch: Spread
    stress_area: Spread
    head_diameter: Spread
    material: Material


@dataclass(frozen=True)
class Washer(Part):
    """Flat or disc washer."""

    inner: Spread
    outer: Spread
    thickness: Spread
    material: Material


@dataclass(frozen=True)
class Bush(Part):
    """Insulating sleeve with a collar."""

    inner: Spread
    outer: Spread
    flange_diameter: Spread
    flange_thickness: Spread
    material: Material
    limit: Spread


@dataclass(frozen=True)
class Sink(Part):
    """Heat sink; `shape` says which of the numbers below it has, the others are zero and mean nothing."""

    shape: str
    material: Material
    finish: Finish
    base_width: Spread
    base_length: Spread
    base_thickness: Spread
    fin_height: Spread
    fin_thickness: Spread
    fin_pitch: Spread
    fin_count: int
    stands: str
    core_diameter: Spread
    outer_diameter: Spread
    bore: Spread
    axis: str
    pin_diameter: Spread
    pin_height: Spread
    pin_pitch: Spread
    pin_count: int
    width: Spread
    depth: Spread
    height: Spread
    mass: Spread
    heat_capacity: Spread
    still: Spread
    still_rise: Spread
    blown: Spread
    blown_at: Spread


@dataclass(frozen=True)
class Field:
    """How one field is read: a dimension, "count", "text" or "part"; its limits in SI; whether it may be left out."""

    kind: str
    low: float = 0.0
    high: float = 0.0
    needed: bool = True
    choices: tuple[str, ...] = ()


def _fields(rows: str) -> dict[str, Field]:
    """Rows: field | dimension | low | high; a ? after the field lets it be left out."""
    found = {}
    for row in rows.strip().splitlines():
        cells = [cell.strip() for cell in row.split("|")]
        name, kind = cells[0], cells[1]
        low, high = (float(cells[2]), float(cells[3])) if len(cells) > 3 else (0.0, 0.0)
        choices = tuple(word.strip() for word in cells[2].split(",")) if len(cells) == 3 else ()
        found[name.rstrip("?")] = Field(kind, low, high, not name.endswith("?"), choices)
    return found


FIELDS: dict[str, dict[str, Field]] = {
    "material": _fields("""
        conductivity | conductivity | 0.01 | 2500
        conductivity_slope | per_kelvin | -0.01 | 0.01
        density | density | 10 | 25000
        specific_heat | specific_heat | 50 | 6000
        expansion | expansion | -1e-5 | 5e-4
        modulus | pressure | 1e5 | 2e12
        hardness | pressure | 1e6 | 2e11
        finish | part
        limit? | temperature | 273 | 2500"""),
    "finish": _fields("emissivity | number | 0.01 | 1"),
    "surface": _fields("""
        roughness | roughness | 1e-8 | 2e-4
        slope | number | 0.005 | 1.5
        flatness | length | 0 | 3e-3"""),
    "compound": _fields("""
        conductivity | conductivity | 0.02 | 100
        yield_stress | pressure | 0.1 | 1e5
        limit? | temperature | 273 | 1500"""),
    "sheet": _fields("""
        conductivity | conductivity | 0.02 | 2500
        thickness | length | 1e-6 | 0.02
        contact | resistance_area | 0 | 0.1
        limit? | temperature | 273 | 2000"""),
    "lagging": _fields("""
        conductivity | conductivity | 0.005 | 10
        limit? | temperature | 273 | 2500"""),
    "module": _fields("""
        width | length | 3e-3 | 0.2
        depth | length | 3e-3 | 0.2
        thickness | length | 5e-4 | 0.03
        seebeck | seebeck | 1e-4 | 1
        resistance | ohms | 1e-3 | 500
        conductance | thermal_conductance | 1e-3 | 50
        couples | count | 1 | 2000
        hot_limit | temperature | 300 | 1300
        cold_limit | temperature | 300 | 1300
        solder | temperature | 300 | 1300
        heat_capacity | heat_capacity | 0.1 | 1000
        pressure_low | pressure | 1e3 | 1e8
        pressure_high | pressure | 1e3 | 1e8
        grade | text"""),
    "motor": _fields("""
        resistance | ohms | 0.01 | 2000
        torque_constant | torque_constant | 1e-5 | 1
        friction | torque | 0 | 0.1
        breakaway | torque | 0 | 0.1
        drag | rotary_drag | 0 | 1e-3
        brush_drop | voltage | 0 | 3
        magnet | text
        magnet_coefficient | per_kelvin | -0.02 | 0.005
        limit | temperature | 300 | 600
        diameter | length | 2e-3 | 0.3
        length | length | 2e-3 | 0.5
        mass | mass | 1e-4 | 20
        heat_capacity | heat_capacity | 0.1 | 20000"""),
    "blade": _fields("""
        diameter | length | 0.02 | 1
        pitch | length | 0 | 2
        count | count | 1 | 30
        power_coefficient | number | 0.001 | 3
        thrust_coefficient | number | 0.001 | 3
        mass | mass | 1e-4 | 5
        limit | temperature | 300 | 2000"""),
    "wax": _fields("""
        opens | temperature | 283 | 450
        full | temperature | 284 | 470
        travel | length | 5e-4 | 0.03
        creep | creep | 0 | 1e-3
        hysteresis | temperature_difference | 0.2 | 30
        lag | time | 0.5 | 600
        heat_capacity | heat_capacity | 1 | 500
        force | force | 1 | 2000
        bursts | temperature | 290 | 500
        most_travel | length | 5e-4 | 0.05
        diameter | length | 3e-3 | 0.08
        length | length | 5e-3 | 0.2"""),
    "screw": _fields("""
        thread | text
        diameter | length | 1e-3 | 0.02
        pitch | length | 1e-4 | 5e-3
        stress_area | area | 1e-7 | 5e-4
        head_diameter | length | 1e-3 | 0.05
        material | part"""),
    "washer": _fields("""
        inner | length | 1e-3 | 0.05
        outer | length | 2e-3 | 0.1
        thickness | length | 1e-4 | 0.01
        material | part"""),
    "bush": _fields("""
        inner | length | 1e-3 | 0.05
        outer | length | 1e-3 | 0.06
        flange_diameter | length | 1e-3 | 0.1
        flange_thickness | length | 1e-4 | 0.02
        material | part
        limit | temperature | 300 | 2000"""),
    "sink": _fields("""
        shape | text | plate fins, annular fins, pin fins, measured
        material | part
        finish | part
        base_width? | length | 5e-3 | 1
        base_length? | length | 5e-3 | 1
        base_thickness? | length | 5e-4 | 0.1
        fin_height? | length | 1e-3 | 0.5
        fin_thickness? | length | 1e-4 | 0.05
        fin_pitch? | length | 5e-4 | 0.2
        fin_count? | count | 1 | 500
        stands? | text | on a base, open below
        core_diameter? | length | 5e-3 | 0.5
        outer_diameter? | length | 5e-3 | 0.6
        bore? | length | 0 | 0.5
        axis? | text | upright, lying
        pin_diameter? | length | 2e-4 | 0.05
        pin_height? | length | 1e-3 | 0.5
        pin_pitch? | length | 5e-4 | 0.2
        pin_count? | count | 1 | 20000
        width? | length | 5e-3 | 1
        depth? | length | 5e-3 | 1
        height? | length | 5e-3 | 1
        mass? | mass | 0.005 | 50
        heat_capacity? | heat_capacity | 1 | 50000
        still? | thermal_resistance | 0.01 | 100
        still_rise? | temperature_difference | 1 | 300
        blown? | thermal_resistance | 0.005 | 100
        blown_at? | speed | 0.05 | 30"""),
}
MAKERS: dict[str, Callable[..., Any]] = {
    "material": Material, "finish": Finish, "surface": Surface, "compound": Compound, "sheet": Sheet,
    "lagging": Lagging, "module": Module, "motor": Motor, "blade": Blade, "wax": Wax, "screw": Screw,
    "washer": Washer, "bush": Bush, "sink": Sink,
}  # fmt: skip
NEEDS = {
    "plate fins": "base_width base_length base_thickness fin_height fin_thickness fin_pitch fin_count".split(),
    "annular fins": "core_diameter outer_diameter fin_thickness fin_pitch fin_count".split(),
    "pin fins": "base_width base_length base_thickness pin_diameter pin_height pin_pitch pin_count".split(),
    "measured": "width depth height mass still still_rise blown blown_at".split(),
}
EXTRA = ("says", "caution")
Lookup = Callable[[str, str], Any]


class _Reader:
    """Reads one part's table; collects problems."""

    def __init__(self, place: str, lookup: Lookup, problems: list[Problem]) -> None:
        self.place, self.lookup, self.problems = place, lookup, problems
        self.sources: dict[str, str] = {}

    def complain(self, field: str, says: str) -> None:
        self.problems.append(Problem(f"{self.place}.{field}", says))

    def field(self, name: str, how: Field, given: Any) -> Any:
        """The value of one field; None with a problem noted when it cannot be read."""
        text, source = given, "given"
        if isinstance(given, list) and len(given) == 2 and all(isinstance(one, str) for one in given):
            text, source = given
        if how.kind == "part":
            return self.part(name, text)
        if isinstance(text, (int, float)) and not isinstance(text, bool):
            text = str(text)
        if not isinstance(text, str):
            self.complain(name, f"got {repr(given)[:60]}; text in quotes is wanted")
            return None
        self.sources[name] = source
        if how.kind == "text":
            if how.choices and text not in how.choices:
                self.complain(name, f'got "{text[:60]}"; one of {", ".join(how.choices)} is wanted')
                return None
            return text
        try:
            spread = read_quantity(text, "number" if how.kind == "count" else how.kind)
        except QuantityError as error:
            self.complain(name, str(error))
            return None
        if how.kind == "count":
            if spread.value != round(spread.value) or not how.low <= spread.value <= how.high:
                self.complain(name, f'got "{text}"; a whole number from {how.low:.0f} to {how.high:.0f} is wanted')
                return None
            return int(spread.value)
        if not how.low <= spread.value <= how.high:
            self.complain(name, f'got "{text}"; allowed is {show(how.low, how.kind)} to {show(how.high, how.kind)}')
            return None
        return spread

    def part(self, name: str, given: Any) -> Any:
        if not isinstance(given, str):
            self.complain(name, f"got {repr(given)[:60]}; the name of a {name} is wanted")
            return None
        try:
            return self.lookup(name, given)
        except PartError as error:
            self.complain(name, str(error))
            return None


def part_from_table(
    kind: str, name: str, table: Mapping[str, Any], origin: str, place: str, lookup: Lookup, problems: list[Problem]
) -> Any:
    """Make a part from its table; every fault is added to `problems`.

    Args:
        kind: one of `FIELDS`.
        name: of the part.
        table: field to "quantity" or ["quantity", "source"].
        origin: where the table came from.
        place: where it stands, for messages.
        lookup: finds a part of another kind by kind and name.
        problems: added to.

    Returns:
        The part, or None when a problem was found.
    """
    fields, reader, before = FIELDS[kind], _Reader(place, lookup, problems), len(problems)
    for key in table:
        if key not in fields and key not in EXTRA:
            near = difflib.get_close_matches(key, [*fields, *EXTRA], 1)
            reader.complain(key[:60], f'unknown key of a {kind}{f"; did you mean {near[0]!r}?" if near else ""}')
    values: dict[str, Any] = {}
    needed = set(NEEDS.get(str(table.get("shape")), ())) if kind == "sink" else set()
    for field, how in fields.items():
        if field in table:
            values[field] = reader.field(field, how, table[field])
        elif how.needed or field in needed:
            example = DIMENSIONS[how.kind].example if how.kind in DIMENSIONS else f"the {field}"
            reader.complain(field, f'missing; a {kind} needs it, such as "{example}", or name a part that has it')
        elif kind == "sink" and how.kind != "text":
            values[field] = 0 if how.kind == "count" else Spread(0.0)
        elif kind == "sink":
            values[field] = how.choices[0]
        else:
            values[field] = None
    for extra in EXTRA:
        if not isinstance(table.get(extra, ""), str):
            reader.complain(extra, f"got {repr(table[extra])[:60]}; text in quotes is wanted")
    if len(problems) > before:
        return None
    said, caution = str(table.get("says", "")), str(table.get("caution", ""))
    return MAKERS[kind](
        name=name, origin=origin, says=said, caution=caution, sources=MappingProxyType(reader.sources), **values
    )
