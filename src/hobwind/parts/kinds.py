"""What a part is: fourteen kinds, each a frozen record. Numbers are `Spread`s in SI and kelvin.

`origin` says where a part came from, `sources` where each of its numbers did.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from ..units import Spread


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
    """Flat or disc washer; a disc washer stands `dish` higher than its thickness when free."""

    inner: Spread
    outer: Spread
    thickness: Spread
    dish: Spread | None
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


MAKERS: dict[str, Callable[..., Any]] = {
    "material": Material, "finish": Finish, "surface": Surface, "compound": Compound, "sheet": Sheet,
    "lagging": Lagging, "module": Module, "motor": Motor, "blade": Blade, "wax": Wax, "screw": Screw,
    "washer": Washer, "bush": Bush, "sink": Sink,
}  # fmt: skip
