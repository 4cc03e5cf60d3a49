"""Quantities as people write them, and back.

A quantity is a value with a spread: `12 ± 2 K` (19 in 20 within; two standard deviations), `12 ± 2 K (1s)`, `8..11 K`
(anything between is equally likely). Inside hobwind everything is SI and kelvin.
"""

from __future__ import annotations

import codecs
import math
import re
from collections.abc import Iterable

from .quantities import (
    DIMENSIONS,
    EVEN,
    EXACT,
    LARGEST,
    NORMAL,
    READY,
    Dimension,
    QuantityError,
    Spread,
    complaint,
    factor_of,
    plain,
)

__all__ = [
    "DIMENSIONS",
    "EVEN",
    "EXACT",
    "INCH",
    "LARGEST",
    "NORMAL",
    "READY",
    "Dimension",
    "QuantityError",
    "Spread",
    "plain",
    "printable",
    "read_quantity",
    "show",
    "show_spread",
]

_TEMPERATURE = {"°c": "C", "degc": "C", "c": "C", "celsius": "C", "k": "K", "°f": "F", "degf": "F", "f": "F"}
_NUMBER = r"[+-]?(?:\d+(?:[.,](?!\.)\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?"
_FRACTION = r"[+-]?(?:\d+[ -])?\d+\s*/\s*\d+"
_VALUE = rf"(?:{_FRACTION}(?=\s*(?:in\b|inch|\"|″|±|\+|\.\.|$))|{_NUMBER})"
_FORM = re.compile(
    rf"^\s*(?P<first>{_VALUE})\s*(?:(?P<pm>±|\+/-|\+-)\s*(?P<half>{_VALUE})|\.\.\s*(?P<last>{_VALUE}))?"
    r"\s*(?P<unit>[^()]*?(?:\([^()]*\)[^()]*?)*?)\s*(?P<one>\(1s\))?\s*$"
)
# A leading 0 settles it: 0,250 can only be a decimal comma.
_THOUSANDS = re.compile(r"(?<![\d,])(?<!\d\.)[1-9]\d{0,2}(?:,\d{3})+(?!\d)(?P<rest>\.\d)?")


def _number(text: str, whole: str, dimension: Dimension) -> float:
    if "/" in text:
        sign = -1.0 if text.startswith("-") else 1.0
        *entire, top, bottom = (int(figure) for figure in re.findall(r"\d+", text))
        if bottom == 0:
            raise complaint(whole, dimension, ", a fraction over nothing")
        return sign * (sum(entire) + top / bottom)
    return float(text.replace(",", "."))


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
        raise complaint(text, kind, ", far too long")
    doubtful = _THOUSANDS.search(text)
    if doubtful:
        raise _doubt(text, doubtful)
    match = _FORM.match(text.replace("–", "-").replace("\u2212", "-"))
    if match is None:
        raise complaint(
            text, kind, ", which is no number with a unit" if kind.si != "dimensionless" else ", which is no number"
        )
    value = _number(match["first"], text, kind)
    half = _number(match["half"], text, kind) if match["half"] else 0.0
    last = _number(match["last"], text, kind) if match["last"] else None
    unit = match["unit"].strip()
    if half < 0.0:
        raise complaint(text, kind, ": the figure after ± must not be negative")
    if last is not None and last < value:
        raise QuantityError(f'got "{text}"; write the smaller figure first')
    if dimension == "temperature":
        return _finite(_temperature(value, half, last, unit, text, kind), text, kind, bool(match["one"]))
    if dimension == "number":
        if unit not in ("", "%"):
            raise complaint(text, kind, ", which has a unit")
        factor = 0.01 if unit == "%" else 1.0
    elif not unit:
        raise complaint(text, kind, " without a unit")
    else:
        factor = factor_of(unit, kind, text)
    if last is not None:
        middle, width = 0.5 * (value + last) * factor, 0.5 * (last - value) * factor
        return _finite(Spread(middle, width, EVEN if width > 0.0 else EXACT), text, kind, False)
    return _finite(Spread(value * factor, half * factor, NORMAL if half > 0.0 else EXACT), text, kind, bool(match["one"]))


def _doubt(text: str, found: re.Match[str]) -> QuantityError:
    """The error for a comma that may part decimals or thousands."""
    one = found.group()
    if found["rest"] or one.count(",") > 1:
        return QuantityError(f'got "{text}"; write the number without commas between thousands')
    tail = re.match(r"\s*([^\d±+(]*)", text[found.end() :])
    unit = tail[1].strip(" .") if tail else ""
    small, large = f"{float(one.replace(',', '.')):g} {unit}".strip(), f"{one.replace(',', '')} {unit}".strip()
    return QuantityError(f'got "{text}", which may mean {small} or {large}; write one of them')


def _temperature(value: float, half: float, last: float | None, unit: str, text: str, kind: Dimension) -> Spread:
    scale = _TEMPERATURE.get(unit.replace(" ", "").lower())
    if scale is None:
        raise complaint(
            text, kind, " without a unit (°C, K or °F)" if not unit else f', whose unit "{unit}" is none of °C, K and °F'
        )
    step = 5.0 / 9.0 if scale == "F" else 1.0

    def kelvin(number: float) -> float:
        return {"C": number + 273.15, "K": number, "F": (number - 32.0) * 5.0 / 9.0 + 273.15}[scale]

    if last is not None:
        return Spread(0.5 * (kelvin(value) + kelvin(last)), 0.5 * (last - value) * step, EVEN if last > value else EXACT)
    return Spread(kelvin(value), half * step, NORMAL if half > 0.0 else EXACT)


def _finite(spread: Spread, text: str, kind: Dimension, one: bool) -> Spread:
    if not (math.isfinite(spread.value) and math.isfinite(spread.half)) or abs(spread.value) + spread.half > LARGEST:
        raise complaint(text, kind, ", a number beyond all reason")
    if kind.name == "temperature" and spread.value < 0.0:
        raise complaint(text, kind, ", colder than absolute zero")
    return Spread(spread.value, 2.0 * spread.half, spread.shape) if one else spread


INCH = {
    "length": ("in", 0.0254), "temperature": ("°F", 1.0), "air_flow": ("cfm", 0.3048**3 / 60.0), "speed": ("ft/min", 0.3048 / 60.0),
}  # fmt: skip


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
    factor = factor_of(kind.shown, kind, kind.example)
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
    text = "0" if text == "-0" else text
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
    # One figure of the spread is enough, two where it starts with 1 or 2 and rounding would change it much.
    places = 0
    if half < 9.5:
        size = math.floor(math.log10(half))
        places = max(0, -size + (half < 2.95 * 10.0**size))
    if spread.shape == EVEN:
        return f"{number - half:.{places}f}..{number + half:.{places}f} {unit}".strip()
    return f"{number:.{places}f} ± {half:.{places}f} {unit}".strip()


_PLAINER = {
    "±": "+-", "°": "deg", "→": "->", "·": ".", "\u00b5": "u", "\u03bc": "u", "\u03a9": "ohm", "\u2126": "ohm", "²": "2",
    "³": "3", "≤": "<=", "≥": ">=", "–": "-", "—": "-", "\u2212": "-", "×": "x", "η": "eta", "…": "...",
}  # fmt: skip


def printable(text: str, encoding: str | None) -> str:
    """The text as a screen of that encoding can show it: ± becomes +-, °C degC, and so on.

    Args:
        text: to be printed.
        encoding: of the output; None or an unknown one counts as ASCII.

    Returns:
        Text that encodes without loss of lines.
    """
    try:
        codec = codecs.lookup(encoding or "ascii").name
    except LookupError:
        codec = "ascii"
    if _fits(text, codec):
        return text
    return "".join(one if _fits(one, codec) else _PLAINER.get(one, "?") for one in text)


def _fits(text: str, codec: str) -> bool:
    try:
        text.encode(codec)
    except UnicodeEncodeError:
        return False
    return True


# Unit, factor, shift, unit instead, and how many more decimals keep about what the figure told.
IN_TEXT: tuple[tuple[str, float, float, str, int], ...] = (
    ("°C", 1.8, 32.0, "°F", 0),
    ("m³/h", 0.5885777786915504, 0.0, "cfm", 0),
    ("m/s", 196.8503937007874, 0.0, "ft/min", -2),
    ("mm", 1.0 / 25.4, 0.0, "in", 2),
    ("K", 1.8, 0.0, "°F", 0),
)


# Two figures with one unit: a spread, whose second is a width, or a range, whose second is a figure like the first.
_FIGURE = r"[+-]?\d+(?:\.\d+)?"
_SPREAD, _RANGE = r"\s+±\s+", r"(?:\s+to\s+|\.\.|-|–)"  # a line may end between the two


def in_inches(text: str, names: Iterable[str] = ()) -> str:
    """A finished sentence with its temperatures, differences, lengths, speeds and flows in °F, in, ft/min and cfm.

    Args:
        text: such as "the face reaches 141 ± 9 °C".
        names: of parts, left as they are, such as "cooler 40 mm 6 A".

    Returns:
        The same with figures and units changed.
    """
    kept = [name for name in names if any(f" {row[0]}" in name for row in IN_TEXT)]
    found: list[str] = []  # as they stand in the text, which may be folded within a name

    def set_aside(match: re.Match[str]) -> str:
        found.append(match.group())
        return f"\0{len(found) - 1}\0"

    for name in kept:
        text = re.sub(r"\s+".join(map(re.escape, name.split())), set_aside, text)
    for unit, factor, off, instead, more in IN_TEXT:

        def changed(
            match: re.Match[str], factor: float = factor, off: float = off, instead: str = instead, more: int = more
        ) -> str:
            before, between, last, gap = match.groups()
            wide = before is not None and between.strip() == "±"
            told = "" if before is None else _changed(before, factor, off, more) + between
            return f"{told}{_changed(last, factor, 0.0 if wide else off, more)}{gap}{instead}"

        text = re.sub(
            rf"(?<![\w.])(?:({_FIGURE})({_SPREAD}|{_RANGE}))?({_FIGURE})(\s+){re.escape(unit)}(?![\w²³/])", changed, text
        )
    for k in reversed(range(len(found))):  # a longer name may hold a shorter one, set aside before it
        text = text.replace(f"\0{k}\0", found[k])
    return text


def in_column(figure: str, unit: str, setting: str) -> str:
    """A figure of a table, whose unit stands in the table's head.

    Args:
        figure: such as "85", "+12" or "-" for none, in that unit.
        unit: "°C", "K", "mm", "m³/h" or "m/s".
        setting: "metric" or "inch".

    Returns:
        The figure as wished, without its unit.
    """
    return in_inches(f"{figure} {unit}").rpartition(" ")[0] if setting == "inch" else figure


def head_of(unit: str, setting: str) -> str:
    """The unit that stands in the head of a table's column."""
    return next(row[3] for row in IN_TEXT if row[0] == unit) if setting == "inch" else unit


def _changed(figure: str, factor: float, off: float, more: int) -> str:
    value = float(figure) * factor + off
    places = max(len(figure.partition(".")[2]) + more, 0)
    return f"{value:{'+' if figure.startswith('+') else ''}.{places}f}"
