"""Quantities as people write them, and back.

A quantity is a value with a spread: `12 ± 2 K` (19 in 20 within; two standard deviations), `12 ± 2 K (1s)`, `8..11 K`
(anything between is equally likely). Inside hobwind everything is SI and kelvin.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache

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
        """The same spread times a positive factor."""
        return Spread(self.value * factor, self.half * factor, self.shape)


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
air_flow                  | m**3/s          | m³/h       | 40 m³/h
angle                     | rad             | °          | 3 °
""")

_TEMPERATURE = {"°c": "C", "degc": "C", "c": "C", "celsius": "C", "k": "K", "°f": "F", "degf": "F", "f": "F"}
_NUMBER = r"[+-]?(?:\d+(?:[.,](?!\.)\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?"
_FRACTION = r"[+-]?(?:\d+[ -])?\d+\s*/\s*\d+"
_VALUE = rf"(?:{_FRACTION}(?=\s*(?:in\b|inch|\"|″|$))|{_NUMBER})"
_FORM = re.compile(
    rf"^\s*(?P<first>{_VALUE})\s*(?:(?P<pm>±|\+/-|\+-)\s*(?P<half>{_VALUE})|\.\.\s*(?P<last>{_VALUE}))?"
    r"\s*(?P<unit>[^()]*?(?:\([^()]*\)[^()]*?)*?)\s*(?P<one>\(1s\))?\s*$"
)
_THOUSANDS = re.compile(r"(?<![\d.])\d{1,3},\d{3}(?!\d)")


def _complain(text: str, dimension: Dimension, why: str) -> QuantityError:
    return QuantityError(f'got "{text[:60]}"{why}; such as "{dimension.example}" is wanted')


def _number(text: str, whole: str, dimension: Dimension) -> float:
    if "/" in text:
        entire, _, share = text.strip().replace("-", " ").rpartition(" ")
        top, bottom = share.split("/")
        if int(bottom) == 0:
            raise _complain(whole, dimension, ", a fraction over nothing")
        return (float(entire) if entire.strip() else 0.0) + int(top) / int(bottom)
    return float(text.replace(",", "."))


def _spelled(unit: str) -> str:
    """A unit as pint reads it."""
    text = unit.strip().replace("″", "in").replace('"', "in")
    for old, new in (("Ω", "ohm"), ("µ", "u"), ("μ", "u"), ("²", "**2"), ("³", "**3"), ("·", "*"), ("−", "-")):
        text = text.replace(old, new)
    text = re.sub(r"\b([a-z]*m)([23])\b", r"\1**\2", text)
    text = re.sub(r"\brpm\b", "(rad*0.10471975511965977/s)", text)
    text = re.sub(r"\bcfm\b", "(ft**3/min)", text)
    text = re.sub(r"W/mK\b", "W/(m*K)", text)
    text = re.sub(r"W/m\*\*2K\b", "W/(m**2*K)", text)
    text = re.sub(r"J/kgK\b", "J/(kg*K)", text)
    text = re.sub(r"\bh\b", "hour", text)
    text = text.replace("°", "deg") if text.strip() == "°" else text
    return re.sub(r"(?<=[\w)])\s+(?=[A-Za-z(])", "*", text)


@lru_cache(maxsize=1)
def _registry() -> object:
    import pint  # late: a quarter of a second that most runs do not need

    return pint.UnitRegistry(cache_folder=None)


# Factors to SI of the spellings in daily use, so that a run need not load pint; a test compares every row with pint.
READY: dict[tuple[str, str], float] = {}


def _fill_ready() -> None:
    rows = {
        "length": "m 1 mm 1e-3 cm 1e-2 µm 1e-6 um 1e-6 in 0.0254 ft 0.3048",
        "roughness": "m 1 mm 1e-3 µm 1e-6 um 1e-6",
        "area": "m² 1 mm² 1e-6 cm² 1e-4 mm2 1e-6",
        "temperature_difference": "K 1",
        "conductivity": "W/(m|K) 1 W/mK 1 W/m/K 1",
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
        "air_flow": f"m³/h {1 / 3600!r} m³/s 1",
        "angle": f"rad 1 ° {math.pi / 180!r} deg {math.pi / 180!r}",
    }
    for dimension, row in rows.items():
        cells = row.split(" ")
        for spelling, factor in zip(cells[::2], cells[1::2], strict=True):
            READY[dimension, spelling.replace("|", " ")] = float(factor)


_fill_ready()


def _factor(unit: str, dimension: Dimension, text: str) -> float:
    ready = READY.get((dimension.name, unit))
    if ready is not None:
        return ready
    if len(unit) > 40 or not re.fullmatch(r"[\w\s/*().²³µμΩ·°\"″−-]+", unit):
        raise _complain(text, dimension, f", whose unit cannot be read; {_a(dimension)}")
    import pint

    registry = _registry()
    try:
        found = registry.Quantity(1.0, _spelled(unit))  # type: ignore[attr-defined]
        return float(found.to(dimension.si).magnitude)
    except pint.DimensionalityError as error:
        raise _complain(text, dimension, f", but {_a(dimension)}") from error
    except Exception as error:  # pint raises tokenizer, attribute and arithmetic errors alike for nonsense
        raise _complain(text, dimension, f', whose unit "{unit}" is not known; {_a(dimension)}') from error


def _a(dimension: Dimension) -> str:
    name = dimension.name.replace("_", " ")
    return f"{'an' if name[0] in 'aeio' else 'a'} {name}"


def read_quantity(text: str, dimension: str) -> Spread:
    """Read a quantity as people write it.

    Args:
        text: such as "55 mm", "12 ± 2 K", "12 +- 2 K (1s)", "8..11 K", "1/4 in", "2,5 mm".
        dimension: a key of `DIMENSIONS`.

    Returns:
        Value and spread. [SI, K]

    Raises:
        QuantityError: no such quantity, wrong dimension, no unit, ambiguous comma, or no finite number.
    """
    kind = DIMENSIONS[dimension]
    if len(text) > 200:
        raise _complain(text, kind, ", far too long")
    doubtful = _THOUSANDS.search(text)
    if doubtful:
        one = doubtful.group()
        unit = text[text.rfind(one) + len(one) :].strip()
        raise QuantityError(
            f'got "{text}", which may mean {one.replace(",", ".")} {unit} or {one.replace(",", "")} {unit}; write one of them'
        )
    match = _FORM.match(text.replace("–", "-").replace("\u2212", "-"))
    if match is None:
        raise _complain(text, kind, f", which is not a number with a unit; {_a(kind)}")
    value = _number(match["first"], text, kind)
    half = _number(match["half"], text, kind) if match["half"] else 0.0
    last = _number(match["last"], text, kind) if match["last"] else None
    unit = match["unit"].strip()
    if half < 0.0:
        raise _complain(text, kind, ": the figure after ± must not be negative")
    if last is not None and last < value:
        raise QuantityError(f'got "{text}"; write the smaller figure first')
    if dimension == "temperature":
        return _finite(_temperature(value, half, last, unit, text, kind), text, kind, bool(match["one"]))
    if dimension == "number":
        if unit not in ("", "%"):
            raise _complain(text, kind, ", but a number without a unit")
        factor = 0.01 if unit == "%" else 1.0
    elif not unit:
        raise _complain(text, kind, f" without a unit; {_a(kind)}")
    else:
        factor = _factor(unit, kind, text)
    if last is not None:
        middle, width = 0.5 * (value + last) * factor, 0.5 * (last - value) * factor
        return _finite(Spread(middle, width, EVEN if width > 0.0 else EXACT), text, kind, False)
    return _finite(Spread(value * factor, half * factor, NORMAL if half > 0.0 else EXACT), text, kind, bool(match["one"]))


def _temperature(value: float, half: float, last: float | None, unit: str, text: str, kind: Dimension) -> Spread:
    scale = _TEMPERATURE.get(unit.replace(" ", "").lower())
    if scale is None:
        raise _complain(text, kind, " without a temperature's unit; °C, K or °F" if not unit else f', unit "{unit}"; °C, K or °F')
    step = 5.0 / 9.0 if scale == "F" else 1.0

    def kelvin(number: float) -> float:
        return {"C": number + 273.15, "K": number, "F": (number - 32.0) * 5.0 / 9.0 + 273.15}[scale]

    if last is not None:
        return Spread(0.5 * (kelvin(value) + kelvin(last)), 0.5 * (last - value) * step, EVEN if last > value else EXACT)
    return Spread(kelvin(value), half * step, NORMAL if half > 0.0 else EXACT)


def _finite(spread: Spread, text: str, kind: Dimension, one: bool) -> Spread:
    if not (math.isfinite(spread.value) and math.isfinite(spread.half)) or abs(spread.value) + spread.half > LARGEST:
        raise _complain(text, kind, ", a number beyond all reason")
    return Spread(spread.value, 2.0 * spread.half, spread.shape) if one else spread


INCH = {"length": ("in", 0.0254), "temperature": ("°F", 1.0), "air_flow": ("cfm", 0.3048**3 / 60.0)}


def _shown(value: float, dimension: str, setting: str) -> tuple[float, str, float]:
    """Value in the shown unit, that unit, and SI per unit."""
    kind = DIMENSIONS[dimension]
    if setting == "inch" and dimension in INCH:
        unit, factor = INCH[dimension]
        if dimension == "temperature":
            return (value - 273.15) * 1.8 + 32.0, unit, 5.0 / 9.0
        return value / factor, unit, factor
    if dimension == "temperature":
        return value - 273.15, "°C", 1.0
    if dimension == "number":
        return value, "", 1.0
    if dimension == "turning":
        return value * 9.549296585513721, "rpm", 1.0 / 9.549296585513721
    factor = _factor(kind.shown, kind, kind.example)
    return value / factor, kind.shown, factor


def _figure(number: float) -> str:
    size = abs(number)
    if size >= 99.5 or size == 0.0:
        return f"{number:.0f}"
    return f"{number:.1f}" if size >= 9.95 else f"{number:.3g}"


def show(value: float, dimension: str, setting: str = "metric") -> str:
    """A quantity for people: "85 °C", "62.0 mm".

    Args:
        value: [SI, K]
        dimension: a key of `DIMENSIONS`.
        setting: "metric" or "inch".

    Returns:
        Text with the shown unit.
    """
    number, unit, _ = _shown(value, dimension, setting)
    text = f"{number:.0f}" if dimension == "temperature" else _figure(number)
    return f"{text} {unit}".strip()


def show_spread(spread: Spread, dimension: str, setting: str = "metric") -> str:
    """A quantity with its spread for people: "141 ± 9 °C".

    Args:
        spread: [SI, K]
        dimension: a key of `DIMENSIONS`.
        setting: "metric" or "inch".

    Returns:
        Text with the shown unit.
    """
    if spread.half == 0.0:
        return show(spread.value, dimension, setting)
    number, unit, factor = _shown(spread.value, dimension, setting)
    half = spread.half / factor
    places = max(0, 1 - math.floor(math.log10(half))) if half < 9.5 else 0
    if spread.shape == EVEN:
        return f"{number - half:.{places}f}..{number + half:.{places}f} {unit}".strip()
    return f"{number:.{places}f} ± {half:.{places}f} {unit}".strip()


_PLAINER = {
    "±": "+-", "°": "deg", "→": "->", "·": ".", "µ": "u", "Ω": "ohm", "²": "2", "³": "3", "≤": "<=", "≥": ">=",
    "–": "-", "—": "-", "×": "x", "η": "eta", "…": "...",
}  # fmt: skip


def printable(text: str, encoding: str | None) -> str:
    """The text as a screen of that encoding can show it: ± becomes +-, °C degC, and so on.

    Args:
        text: to be printed.
        encoding: of the output; None counts as ASCII.

    Returns:
        Text that encodes without loss of lines.
    """
    try:
        text.encode(encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        for letter, instead in _PLAINER.items():
            text = text.replace(letter, instead)
        return text.encode("ascii", "replace").decode()
    return text
