"""What quantities are: values with a spread, dimensions, and the factor of every spelling of a unit to SI.

pint is the authority on units; a table of ready factors spares loading it for the spellings in daily use.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pint

EXACT, NORMAL, EVEN = "exact", "normal", "even"
LARGEST = 1e13  # SI; a larger number is a slip of the finger


class QuantityError(ValueError):
    """A text that is no quantity of the wanted kind; the message says what was got and what is allowed."""


@dataclass(frozen=True)
class Spread:
    """A value and how far it may be off, SI and kelvin.

    `half` is two standard deviations of a normal spread, or half the width of an even one; `shape` says which.
    """

    value: float
    half: float = 0.0
    shape: str = EXACT

    @property
    def sd(self) -> float:
        """One standard deviation."""
        return self.half / (math.sqrt(3.0) if self.shape == EVEN else 2.0)

    @property
    def low(self) -> float:
        """Lower end: 19 in 20 lie above it, or all when even."""
        return self.value - self.half

    @property
    def high(self) -> float:
        """Upper end."""
        return self.value + self.half

    def scaled(self, factor: float) -> Spread:
        """The same spread times a factor."""
        return Spread(self.value * factor, self.half * abs(factor), self.shape)


def plain(value: float) -> Spread:
    """A value without spread."""
    return Spread(value)


@dataclass(frozen=True)
class Dimension:
    """One kind of quantity: its SI unit as pint writes it, the unit shown, what one looks like."""

    name: str
    si: str
    shown: str
    example: str
    digits: int = 3


def _table(rows: str) -> dict[str, Dimension]:
    found = {}
    for row in rows.strip().splitlines():
        name, si, shown, example = (cell.strip() for cell in row.split("|"))
        found[name] = Dimension(name, si, shown, example)
    return found


DIMENSIONS = _table("""
temperature               | K               | °C         | 82 ± 2 °C
temperature_difference    | K               | K          | 4 ± 1.5 K
length                    | m               | mm         | 55 mm
roughness                 | m               | µm         | 1.6 ± 0.8 µm
area                      | m**2            | mm²        | 8.78 mm²
number                    | dimensionless   |            | 0.92 ± 0.04
conductivity              | W/m/K           | W/(m K)    | 185 ± 20 W/(m K)
per_kelvin                | 1/K             | 1/K        | 0.0003 1/K
expansion                 | 1/K             | µm/(m K)   | 23.4 ± 0.6 µm/(m K)
density                   | kg/m**3         | kg/m³      | 2700 kg/m³
specific_heat             | J/kg/K          | J/(kg K)   | 897 J/(kg K)
heat_capacity             | J/K             | J/K        | 25 ± 10 J/K
pressure                  | Pa              | MPa        | 1.0 ± 0.4 MPa
seebeck                   | V/K             | mV/K       | 51 ± 8 mV/K
ohms                      | ohm             | Ω          | 2.0 ± 0.5 Ω
thermal_conductance       | W/K             | W/K        | 0.5 ± 0.2 W/K
thermal_resistance        | K/W             | K/W        | 1.2 ± 0.2 K/W
resistance_area           | m**2*K/W        | K mm²/W    | 20 ± 10 K mm²/W
heat_transfer_coefficient | W/m**2/K        | W/(m² K)   | 35 ± 15 W/(m² K)
torque_constant           | N*m/A           | mN·m/A     | 7.5 ± 1 mN·m/A
torque                    | N*m             | µN·m       | 120 ± 60 µN·m
rotary_drag               | N*m*s           | nN·m·s     | 40 nN·m·s
voltage                   | V               | V          | 0.05 V
current                   | A               | A          | 0.2 A
power                     | W               | W          | 40 W
mass                      | kg              | g          | 80 ± 20 g
creep                     | m/K             | mm/K       | 0.08 mm/K
time                      | s               | s          | 20 s
force                     | N               | N          | 8 ± 3 N
spring_rate               | N/m             | N/mm       | 0.5 N/mm
speed                     | m/s             | m/s        | 1.2 m/s
turning                   | rad/s           | rpm        | 900 rpm
frequency                 | 1/s             | Hz         | 54 Hz
air_flow                  | m**3/s          | m³/h       | 40 m³/h
angle                     | rad             | °          | 3 °
""")

_CALLED = {"per_kelvin": "change per kelvin", "ohms": "resistance in ohms"}


def complaint(text: str, dimension: Dimension, why: str) -> QuantityError:
    """The error for a text that is no such quantity: what was got and what is wanted."""
    name = _CALLED.get(dimension.name, dimension.name.replace("_", " "))
    article = "an" if name[0] in "aeio" else "a"
    return QuantityError(f'got "{text[:60]}"{why}; {article} {name} such as "{dimension.example}" is wanted')


_GLYPHS = str.maketrans({
    "\u03a9": "ohm", "\u2126": "ohm", "\u00b5": "u", "\u03bc": "u", "²": "**2", "³": "**3", "·": "*", "\u22c5": "*",
    "\u2212": "-", "″": "in", '"': "in",
})  # fmt: skip
# Powers of powers and of numbers: 9**9**9 would keep the machine busy for ever. A unit needs one small exponent.
_TOWER = re.compile(r"\*\*(?!\s*-?\d(?!\d|\s*\*\*))|[)\d.]\s*\*\*")
_WEIGHT = re.compile(r"^(k?g|oz|lb)\s*\*?\s*(?=(?:[cm]?m|in|ft)$)")
_REWRITES = tuple(
    (re.compile(pattern), instead)
    for pattern, instead in (
        (r"\b([a-z]*m)([23])\b", r"\1**\2"),
        (r"(?i)\brpm\b", "revolutions_per_minute"),
        (r"(?i)\bcfm\b", "(ft**3/min)"),
        (r"\b([munk]?N)m\b", r"\1*m"),
        # Whoever writes W/m·K or W/mK means W/(m K): nobody conducts in watt kelvin per metre.
        (r"^(\w+)/(m|m\*\*2|kg)\s*\*?\s*K$", r"\1/(\2*K)"),
        (r"\bh\b", "hour"),
        (r"°\s*([CFK])\b", r"deg\1"),
        (r"^°$", "deg"),
        (r"(?<=[\w)])\s+(?=[A-Za-z(])", "*"),
    )
)


def _spelled(unit: str, dimension: str) -> str:
    """A unit as pint reads it."""
    text = unit.strip().translate(_GLYPHS)
    if dimension == "torque":  # g·cm on a motor's sheet means the weight of a gram
        text = _WEIGHT.sub(r"\1f*", text)
    for pattern, instead in _REWRITES:
        text = pattern.sub(instead, text)
    return text


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry[float]:
    import pint  # late: a quarter of a second that most runs do not need

    return pint.UnitRegistry(cache_folder=None)


# Factors to SI of the spellings in daily use, so that a run need not load pint; a test compares every row with pint.
READY: dict[tuple[str, str], float] = {}


def _fill_ready() -> None:
    rows = {
        "length": "m 1 mm 1e-3 cm 1e-2 µm 1e-6 um 1e-6 in 0.0254 ft 0.3048",
        "roughness": "m 1 mm 1e-3 µm 1e-6 um 1e-6",
        "area": "m² 1 mm² 1e-6 cm² 1e-4 mm2 1e-6",
        "temperature_difference": f"K 1 °C 1 degC 1 C 1 °F {5 / 9!r} degF {5 / 9!r} F {5 / 9!r}",
        "conductivity": "W/(m|K) 1 W/mK 1 W/m·K 1 W/m/K 1",
        "per_kelvin": "1/K 1",
        "expansion": "1/K 1 µm/(m|K) 1e-6",
        "density": "kg/m³ 1 g/cm³ 1e3",
        "specific_heat": "J/(kg|K) 1",
        "heat_capacity": "J/K 1",
        "pressure": "Pa 1 kPa 1e3 MPa 1e6 GPa 1e9 bar 1e5",
        "seebeck": "V/K 1 mV/K 1e-3 µV/K 1e-6",
        "ohms": "Ω 1 ohm 1 mΩ 1e-3",
        "thermal_conductance": "W/K 1",
        "thermal_resistance": "K/W 1",
        "resistance_area": "K|mm²/W 1e-6 m²|K/W 1",
        "heat_transfer_coefficient": "W/(m²|K) 1",
        "torque_constant": "mN·m/A 1e-3 N·m/A 1",
        "torque": "N·m 1 mN·m 1e-3 µN·m 1e-6",
        "rotary_drag": "nN·m·s 1e-9 N·m·s 1",
        "voltage": "V 1 mV 1e-3",
        "current": "A 1 mA 1e-3",
        "power": "W 1",
        "mass": "kg 1 g 1e-3",
        "creep": "mm/K 1e-3",
        "time": "s 1 min 60 h 3600",
        "force": "N 1",
        "spring_rate": "N/m 1 N/mm 1e3",
        "speed": "m/s 1",
        "frequency": "Hz 1 kHz 1e3",
        "air_flow": f"m³/h {1 / 3600!r} m³/s 1",
        "angle": f"rad 1 ° {math.pi / 180!r} deg {math.pi / 180!r}",
    }
    for dimension, row in rows.items():
        cells = row.split(" ")
        for spelling, factor in zip(cells[::2], cells[1::2], strict=True):
            READY[dimension, spelling.replace("|", " ")] = float(factor)


_fill_ready()


def factor_of(unit: str, dimension: Dimension, text: str) -> float:
    """SI per unit.

    Args:
        unit: as people spell it.
        dimension: what it should measure.
        text: the whole quantity, for messages.

    Returns:
        Factor to SI.

    Raises:
        QuantityError: unknown unit, or one of another dimension.
    """
    ready = READY.get((dimension.name, unit))
    return _asked_of_pint(unit, dimension, text) if ready is None else ready


def _asked_of_pint(unit: str, dimension: Dimension, text: str) -> float:
    if len(unit) > 40 or not re.fullmatch(r"[\w\s/*().²³\u00b5\u03bc\u03a9\u2126·\u22c5°\"″\u2212-]+", unit):
        raise complaint(text, dimension, ", whose unit cannot be read")
    spelled = _spelled(unit, dimension.name)
    if _TOWER.search(spelled):
        raise complaint(text, dimension, ", whose unit cannot be read")
    import pint

    try:
        if dimension.name == "temperature_difference":  # else pint would count the scale's zero point in
            spelled = re.sub(r"^deg(?=[CF]$)", "delta_deg", spelled)
        return float(_registry().Quantity(1.0, spelled).to(dimension.si).magnitude)
    except pint.DimensionalityError as error:
        raise complaint(text, dimension, ", which measures something else") from error
    except Exception as error:  # pint raises tokenizer, attribute and arithmetic errors alike for nonsense
        raise complaint(text, dimension, f', whose unit "{unit}" is not known') from error
