"""A wax element in a pan of water: pin stroke against temperature, going up and coming down; a dunk; a kitchen scale.

The straight middle of the way up gives the opening and the full-open temperature, the way down the hysteresis, readings
beyond full-open the creep. A dunk into hot water gives the lag.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..errors import InputError
from .measured import Instrument, Line, Measured, combine, fit_line
from .result import Curve, Figure, Result

MIDDLE = (0.08, 0.85)  # of the largest stroke; between them the pin moves in a straight line
ODD = 3.5  # times its own doubt; a reading further off is named
ENOUGH = 3
LEAST_TRAVEL = 2e-3  # m; less does not lift a fan clear
MOST_HYSTERESIS = 8.0  # K
GRAVITY = 9.80665

Reading = tuple[float, float]


@dataclass(frozen=True)
class WaxReadings:
    """Readings of one element, SI and kelvin: (water, stroke) up and down; dunk as (start, bath, seconds to half stroke)."""

    up: Sequence[Reading]
    down: Sequence[Reading] = ()
    dunk: tuple[float, float, float] | None = None
    scale: float | None = None  # kg that the pin just lifts
    thermometer: Instrument = Instrument(0.0, 1.0)
    ruler: Instrument = Instrument(0.0, 0.3e-3)
    watch: Instrument = Instrument(0.0, 2.0)
    balance: Instrument = Instrument(0.02, 0.05)
    dunk_held: tuple[float, float, float] | None = None  # as dunk, in its own holder


def _middle(readings: Sequence[Reading], top: float) -> list[int]:
    low, high = MIDDLE[0] * top, MIDDLE[1] * top
    return [i for i, (_, stroke) in enumerate(readings) if low <= stroke <= high]


def _line(readings: Sequence[Reading], chosen: list[int], tools: WaxReadings) -> Line:
    # Temperature over stroke, so that the line can be asked for the temperature at a stroke.
    x = [readings[i][1] for i in chosen]
    y = [readings[i][0] for i in chosen]
    return fit_line(x, y, [tools.ruler.u(one) for one in x], [tools.thermometer.u(0.0)] * len(x))


def _checked(readings: WaxReadings) -> float:
    """Largest stroke; complains about readings that cannot be."""
    if len(readings.up) < ENOUGH:
        raise InputError(
            f"up: got {len(readings.up)} readings; at least {ENOUGH}, better ten, are wanted while the water warms"
        )
    for name, rows in (("up", readings.up), ("down", readings.down)):
        for i, (water, stroke) in enumerate(rows):
            if not 273.0 <= water <= 400.0 or not -1e-3 <= stroke <= 0.05:
                raise InputError(
                    f"{name} reading {i + 1}: got {water - 273.15:.0f} °C and {stroke * 1e3:.1f} mm; water from 0 to 125 °C and "
                    "0 to 50 mm are allowed"
                )
    top = max(stroke for _, stroke in readings.up)
    if top < 0.5e-3:
        raise InputError("up: the pin never moved by half a millimetre; heat further, or the element is dead")
    return top


def identify_wax(readings: WaxReadings) -> Result:
    """Opening, full-open, travel, hysteresis, creep, lag and force of a wax element.

    Args:
        readings: of the pan of water. [SI, K]

    Returns:
        The result; figures are fields of a part of kind "wax".

    Raises:
        InputError: too few readings, or readings that cannot be.

    Limits: read after the water has been stirred and held for a minute; the element hangs free.
    Source: vehicle-limits (what opening and travel are usual); gum for the doubts.
    """
    top, doubts = _checked(readings), []
    chosen = _middle(readings.up, top)
    if len(chosen) < ENOUGH:
        raise InputError(
            f"up: only {len(chosen)} readings lie between {MIDDLE[0]:.0%} and {MIDDLE[1]:.0%} of the stroke; at least {ENOUGH} "
            "are wanted: read every kelvin while the pin moves"
        )
    up = _line(readings.up, chosen, readings)
    for i, off in zip(chosen, up.off, strict=True):
        if abs(off) > ODD:
            water, stroke = readings.up[i]
            doubts.append(f"up reading {i + 1} ({water - 273.15:.0f} °C, {stroke * 1e3:.1f} mm) does not fit the others")
    offset = readings.thermometer.u(0.0)  # one thermometer: its error is shared by opening and full-open
    beyond = _beyond(readings, readings.up[chosen[-1]][0])
    travel = _travel(readings, up, beyond)
    opens = Measured(up.at(0.0).value, math.hypot(up.at(0.0).u, offset))
    full = Measured(up.at(travel.value).value, math.hypot(up.at(travel.value).u, offset))
    figures = [
        Figure("opens", "opens at", opens, "temperature"),
        Figure("full", "fully open at", full, "temperature"),
        Figure("travel", "travel", travel, "length"),
    ]
    creep = max(beyond.slope.value, 0.0) if beyond is not None else 0.0
    curves = [_curve(readings.up, opens.value, full.value, travel.value, creep, "going up")]
    hysteresis = _hysteresis(readings, up, travel.value, doubts)
    if hysteresis is not None:
        back = hysteresis.value
        curves.append(_curve(readings.down, opens.value - back, full.value - back, travel.value, creep, "coming down"))
    if hysteresis is not None:
        figures.append(Figure("hysteresis", "returns lower by", hysteresis, "temperature_difference"))
    if beyond is not None:
        figures.append(Figure("creep", "creeps on by", Measured(max(beyond.slope.value, 0.0), beyond.slope.u), "creep"))
    half_at = 0.5 * (opens.value + full.value)
    bare = _dunk(readings, readings.dunk, half_at, "dunk")
    held = _dunk(readings, readings.dunk_held, half_at, "dunk_held")
    if bare is not None:
        figures.append(Figure("lag", "answers after", bare, "time"))
    if held is not None:
        figures.append(Figure("lag_held", "answers in its holder after", held, "time"))
    if bare is not None and held is not None and held.value + 2.0 * held.u < bare.value - 2.0 * bare.u:
        doubts.append("It answers sooner in its holder than bare; were the two dunks exchanged, or the water not stirred?")
    if readings.scale is not None:
        force = Measured(readings.scale * GRAVITY, readings.balance.u(readings.scale) * GRAVITY)
        figures.append(Figure("force", "lifts", force, "force"))
    fit, verdict = _verdict(travel, hysteresis, full.value - opens.value)
    return Result("wax", "wax element, measured in a pan of water", tuple(figures), fit, verdict, tuple(doubts), tuple(curves))


def _curve(readings: Sequence[Reading], opens: float, full: float, travel: float, creep: float, name: str) -> Curve:
    points = [(water - 273.15, stroke * 1e3) for water, stroke in readings]
    corners = [(opens - 5.0, 0.0), (opens, 0.0), (full, travel), (full + 8.0, travel + 8.0 * creep)]
    return Curve("water, °C", "stroke, mm", points, [(t - 273.15, s * 1e3) for t, s in corners], name)


def _hysteresis(readings: WaxReadings, up: Line, travel: float, doubts: list[str]) -> Measured | None:
    chosen = _middle(readings.down, travel)
    if len(chosen) < ENOUGH:
        doubts.append("too few readings coming down: the hysteresis stays a guess; let the pan cool and read again")
        return None
    down = _line(readings.down, chosen, readings)
    half = 0.5 * travel
    # The thermometer's own error drops out of the difference.
    apart = Measured(up.at(half).value - down.at(half).value, math.hypot(up.at(half).u, down.at(half).u))
    if apart.value < -2.0 * apart.u:
        doubts.append(
            "the pin returned at a higher temperature than it rose: were up and down exchanged, or the water not stirred?"
        )
    return Measured(max(apart.value, 0.2), apart.u)


def _beyond(readings: WaxReadings, last: float) -> Line | None:
    """The line of stroke over temperature beyond full-open, where the molten wax only creeps; None with too few readings."""
    rows = [(water, stroke) for water, stroke in readings.up if water > last + 3.0]
    if len(rows) < ENOUGH or np.ptp([water for water, _ in rows]) < 3.0:
        return None
    x, y = [water for water, _ in rows], [stroke for _, stroke in rows]
    return fit_line(x, y, [readings.thermometer.u(0.0)] * len(x), [readings.ruler.u(one) for one in y])


def _travel(readings: WaxReadings, up: Line, beyond: Line | None) -> Measured:
    """Stroke at the corner where the pin stops moving briskly: where both lines meet, else the largest stroke."""
    top = max(stroke for _, stroke in readings.up)
    if beyond is None:
        return Measured(top, readings.ruler.u(top))
    # T = a + b s on the way up, s = c + d T beyond: s (1 - d b) = c + d a.
    a, b, c, d = up.intercept.value, up.slope.value, beyond.intercept.value, beyond.slope.value
    return Measured((c + d * a) / (1.0 - d * b), readings.ruler.u(top))


def _dunk(readings: WaxReadings, dunk: tuple[float, float, float] | None, half_at: float, place: str) -> Measured | None:
    if dunk is None:
        return None
    start, bath, seconds = dunk
    if not start < half_at < bath - 2.0:
        raise InputError(
            f"{place}: from {start - 273.15:.0f} °C into {bath - 273.15:.0f} °C never passes half stroke at {half_at - 273.15:.0f} °C "
            "with room to spare; use hotter water"
        )
    u = readings.thermometer.u(0.0)
    lag, _ = combine(
        lambda t, a, b, h: t / math.log((b - a) / (b - h)),
        {"t": Measured(seconds, readings.watch.u(seconds)), "a": Measured(start, u), "b": Measured(bath, u), "h": Measured(half_at, u)},
    )  # fmt: skip
    return lag


def _verdict(travel: Measured, hysteresis: Measured | None, window: float) -> tuple[bool, str]:
    if travel.value < LEAST_TRAVEL:
        return False, f"Scrap for a guard: {travel.value * 1e3:.1f} mm of travel does not lift a fan clear."
    if hysteresis is not None and hysteresis.value > MOST_HYSTERESIS:
        return False, f"Worn: it returns {hysteresis.value:.0f} K lower; a sound one returns within about five."
    if window > 25.0:
        return False, f"Leaky or air-locked: it takes {window:.0f} K to open; a sound one takes eleven to fifteen."
    return True, "Fit for a guard: it opens over the usual range and comes back."
