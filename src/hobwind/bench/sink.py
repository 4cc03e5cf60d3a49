"""A sink with known watts, or cooling by itself: kelvin per watt still and blown, and the heat it stores.

In still air a warm sink loses heat as rise^1.25, so its kelvin per watt fall as rise^-0.25, and while it cools
rise^-0.25 grows in a straight line over time, by 1/(4 C R rise0^0.25) a second. In a stream the logarithm of the rise falls
in a straight line, by 1/(C R). Watts give R, a cooling curve gives R C; mass gives C where watts are not known.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..errors import InputError
from .measured import Instrument, Line, Measured, combine, even, fit_line, odd_one
from .result import Curve, Figure, Result

ZERO = 273.15
LEAST_RISE = 8.0  # K; smaller rises are read too badly
ALUMINIUM = Measured(897.0, 20.0)  # J/(kg K); alloys of sinks, 6082-datasheet
REACH = 1.5  # least ratio of first to last rise of a cooling curve
HOLLOW = 1.4  # heat stored over that of so much aluminium beyond which one reading is wrong
GOOD_STILL, GOOD_BLOWN = 3.0, 1.2  # K/W; more lets one 40 mm module starve: practice
POWER = 0.25  # of rise, churchill-chu-1975 for laminar plates


@dataclass(frozen=True)
class Settled:
    """On a heater and at rest: watts [W], sink's base and room [K], air speed [m/s], 0 still."""

    watts: float
    sink: float
    room: float
    air_speed: float = 0.0


@dataclass(frozen=True)
class Cooling:
    """While cooling: seconds [s], sink's base [K]."""

    seconds: float
    sink: float


@dataclass(frozen=True)
class SinkReadings:
    """Readings of one sink; mass [kg] or None; room while it cooled [K] and air speed then [m/s]; size [m] or None.

    `apart`: the two thermometers against each other, `step`: one reading's last figure and unrest, both ± K; `watts_share`: ±,
    heat that strays past the sink included.
    """

    settled: Sequence[Settled] = ()
    cooling: Sequence[Cooling] = ()
    cooling_room: float = 293.15
    cooling_air_speed: float = 0.0
    mass: float | None = None
    size: tuple[float, float, float] | None = None
    apart: float = 1.0
    step: float = 0.3
    watts_share: float = 0.05
    anemometer: Instrument = Instrument(0.1, 0.1)
    balance: Instrument = Instrument(0.01, 2e-3)


def _check(readings: SinkReadings) -> None:
    if not readings.settled and not readings.cooling:
        raise InputError("sink: got neither settled nor cooling readings; known watts with temperatures at rest are wanted")
    for i, row in enumerate(readings.settled, 1):
        rise = row.sink - row.room
        if row.watts <= 0.0:
            raise InputError(
                f"settled {i}: got {row.watts:g} W; more than nothing is wanted. Volts times amperes at the heater"
            )
        if rise <= 0.0:
            raise InputError(
                f"settled {i}: the sink at {row.sink - ZERO:.1f} °C is no warmer than the room at {row.room - ZERO:.1f} °C; "
                "were the two exchanged?"
            )
        if rise < LEAST_RISE:
            raise InputError(
                f"settled {i}: got a rise of {rise:.1f} K; {LEAST_RISE:g} K or more is wanted, since two thermometers disagree by "
                "about one. Give it more watts"
            )
        if not 0.02 <= rise / row.watts <= 60.0:
            raise InputError(
                f"settled {i}: {rise:.0f} K on {row.watts:g} W makes {rise / row.watts:.3g} K/W; 0.02 to 60 K/W is allowed. "
                "Are the watts in milliwatts?"
            )
    if readings.cooling:
        rises = [row.sink - readings.cooling_room for row in readings.cooling]
        times = [row.seconds for row in readings.cooling]
        if len(rises) < 4:
            raise InputError(f"cooling: got {len(rises)} readings; four or more are wanted, better ten")
        if any(b <= a for a, b in zip(times, times[1:], strict=False)):
            raise InputError("cooling: times must rise from reading to reading; sort them")
        if min(rises) < 0.5 * LEAST_RISE:
            raise InputError(
                f"cooling: got a rise of {min(rises):.1f} K; stop {0.5 * LEAST_RISE:g} K above the room, where the thermometers' "
                "difference begins to rule"
            )
        if rises[0] < REACH * rises[-1]:
            raise InputError(
                f"cooling: rises from {rises[0]:.0f} to {rises[-1]:.0f} K are too near each other; the first must be {REACH:g} "
                "times the last. Start hotter or wait longer"
            )


def identify_sink(readings: SinkReadings) -> Result:
    """Kelvin per watt of a sink still and blown, and its heat capacity.

    Args:
        readings: of one sink. [SI, K]

    Returns:
        The result; figures are fields of a part of kind "sink", shape "measured".

    Raises:
        InputError: too few readings, or readings that cannot be.

    Limits: rises of 8 K and more; heater lagged on its other side; stands as it will in the fan.
    Source: churchill-chu-1975 (power of the rise), churchill-blend-1977; gum for the doubts; bench-practice for the verdict.
    """
    _check(readings)
    doubts: list[str] = []
    still_rows = [row for row in readings.settled if row.air_speed <= 0.0]
    blown_rows = [row for row in readings.settled if row.air_speed > 0.0]
    chilled = readings.cooling_air_speed > 0.0
    reference = _reference(readings, still_rows)
    capacity = _by_mass(readings)
    still = _resistance(readings, still_rows, reference, "still", doubts) if still_rows else None
    blown = _resistance(readings, blown_rows, 0.0, "blown", doubts) if blown_rows else None
    curves = []
    if readings.cooling:
        line, product, moved = _cooled(readings, reference, doubts)
        curves.append(_curve(readings, line))
        known = blown if chilled else still
        if known is not None:
            rows = blown_rows if chilled else still_rows
            rise = sum(row.sink - row.room for row in rows) / len(rows)
            # The thermometers' difference moves both the same way, so part of it drops out of the quotient.
            both = moved * known.value * even(readings.apart) / rise / (product.u * known.u)
            found, _ = combine(lambda p, r: p / r, {"p": product, "r": known}, {("p", "r"): max(-1.0, min(1.0, both))})
            weighed, capacity = capacity, found
            _compare(weighed, capacity, doubts)
        elif capacity is not None:
            found, _ = combine(lambda p, c: p / c, {"p": product, "c": capacity})
            still, blown = (still, found) if chilled else (found, blown)
        else:
            raise InputError(
                "cooling: gives only kelvin per watt times heat stored; add the sink's mass, or settled readings on known watts"
            )
    figures = []
    if still is not None:
        figures += [
            Figure("still", "kelvin per watt in still air", still, "thermal_resistance"),
            Figure("still_rise", "at a rise of", Measured(reference, 0.0), "temperature_difference"),
        ]
    if blown is not None:
        speeds = [row.air_speed for row in blown_rows] or [readings.cooling_air_speed]
        speed = sum(speeds) / len(speeds)
        if max(speeds) > 1.25 * min(speeds):
            doubts.append("The blown readings were taken at unlike air speeds; keep one speed, that of the fan.")
        at = Measured(speed, readings.anemometer.u(speed))
        figures.append(Figure("blown_seen", "kelvin per watt in the stream", blown, "thermal_resistance"))
        figures.append(Figure("blown", "of which the stream alone", _stream_alone(blown, still, doubts), "thermal_resistance"))
        figures.append(Figure("blown_at", "at an air speed of", at, "speed"))
    if capacity is not None:
        figures.append(Figure("heat_capacity", "stores", capacity, "heat_capacity"))
    if readings.mass is not None:
        figures.append(Figure("mass", "mass", Measured(readings.mass, readings.balance.u(readings.mass)), "mass"))
    if readings.size is not None:
        for name, length in zip(("width", "depth", "height"), readings.size, strict=True):
            figures.append(Figure(name, name, Measured(length, even(1e-3)), "length"))
    fit, verdict = _verdict(still, blown)
    return Result(
        "sink", "sink, tested on the bench", tuple(figures), fit, verdict, tuple(doubts), tuple(curves),
        words={"shape": "measured"},
    )  # fmt: skip


def _reference(readings: SinkReadings, rows: Sequence[Settled]) -> float:
    """The rise that the still figure holds at: the middle of what was read, in whole kelvin."""
    rises = [row.sink - row.room for row in rows] or [row.sink - readings.cooling_room for row in readings.cooling] or [40.0]
    return float(round(sum(rises) / len(rises)))


def _resistance(readings: SinkReadings, rows: Sequence[Settled], reference: float, word: str, doubts: list[str]) -> Measured:
    """Kelvin per watt; what all readings share (watts, thermometers apart) is carried once."""
    found, own = [], []
    for row in rows:
        rise = row.sink - row.room
        bend = (rise / reference) ** POWER if reference else 1.0
        found.append(rise / row.watts * bend)
        own.append(math.sqrt(2.0) * even(readings.step) / rise * found[-1])
    weights = [1.0 / max(u, 1e-12) ** 2 for u in own]
    mean = sum(w * r for w, r in zip(weights, found, strict=True)) / sum(weights)
    grown = math.sqrt(sum(w * (r - mean) ** 2 for w, r in zip(weights, found, strict=True)) / max(len(rows) - 1, 1))
    if len(rows) == 1:
        doubts.append(f"Only one settled reading {word}; with two or more a slip would show.")
    for i, (r, row) in enumerate(zip(found, rows, strict=True)):
        others = [one for j, one in enumerate(found) if j != i]
        if others and abs(r / (sum(others) / len(others)) - 1.0) > 0.2 and len(rows) > 2:
            doubts.append(
                f"The {word} reading on {row.watts:g} W says {r:.2f} K/W where the others say {sum(others) / len(others):.2f}; had it "
                "settled, and were the watts right?"
            )
    rise = sum(row.sink - row.room for row in rows) / len(rows)
    shared = math.hypot(even(readings.watts_share), even(readings.apart) / rise)
    result = Measured(mean, math.hypot(max(grown, 1.0) / math.sqrt(sum(weights)), shared * mean))
    if result.relative > 0.5:
        raise InputError(
            f"settled: the {word} readings say {min(found):.3g} to {max(found):.3g} K/W, too far apart to use; half of their mean is the "
            "most allowed. Check watts, and that all had settled"
        )
    return result


def _by_mass(readings: SinkReadings) -> Measured | None:
    if readings.mass is None:
        return None
    mass = Measured(readings.mass, readings.balance.u(readings.mass))
    return combine(lambda m, c: m * c, {"m": mass, "c": ALUMINIUM})[0]


def _straight(rise: float, reference: float, chilled: bool) -> float:
    """What falls in a straight line while it cools, counted so that the slope is one over R C."""
    return math.log(rise) if chilled else -((rise / reference) ** -POWER) / POWER


def _cooled(readings: SinkReadings, reference: float, doubts: list[str]) -> tuple[Line, Measured, float]:
    """The straightened cooling curve, R C at the reference rise [s], and how far the thermometers' difference moves it. [s]"""
    chilled = readings.cooling_air_speed > 0.0

    def drawn(shift: float) -> tuple[list[float], list[float], list[float]]:
        rises = [row.sink - readings.cooling_room + shift for row in readings.cooling]
        bend = [1.0 / rise if chilled else (rise / reference) ** (-POWER - 1.0) / reference for rise in rises]
        y = [_straight(rise, reference, chilled) for rise in rises]
        return [row.seconds for row in readings.cooling], y, [even(readings.step) * one for one in bend]

    x, y, uy = drawn(0.0)
    ux = [even(1.0)] * len(x)
    line = fit_line(x, y, ux, uy)
    if line.slope.value >= 0.0:
        raise InputError("cooling: the sink grows warmer with time; give the readings in the order they were taken")
    odd = odd_one(x, y, ux, uy)
    if odd is not None:
        row = readings.cooling[odd[0]]
        doubts.append(
            f"cooling {odd[0] + 1} ({row.seconds:g} s, {row.sink - ZERO:.1f} °C) does not go with the others; read it again, or "
            "leave it out"
        )
    shifted = fit_line(x, drawn(even(readings.apart))[1], ux, uy)
    product = -1.0 / line.slope.value
    moved = -1.0 / shifted.slope.value - product
    return line, Measured(product, math.hypot(line.slope.u * product**2, moved)), moved


def _compare(weighed: Measured | None, capacity: Measured, doubts: list[str]) -> None:
    if weighed is None:
        return
    ratio = capacity.value / weighed.value
    if ratio > HOLLOW or ratio < 1.0 / HOLLOW:
        doubts.append(
            f"Cooling says it stores {capacity.value:.0f} J/K, its mass {weighed.value:.0f} if it is aluminium: copper or steel in it, "
            "a heater block left on it, or wrong watts."
        )


def _stream_alone(blown: Measured, still: Measured | None, doubts: list[str]) -> Measured:
    """The stream's own part: third powers of still and streaming conductance add, as they do in a build."""
    if still is None:
        doubts.append("Still air was not measured: all is laid to the stream, which makes it a little too good.")
        return blown
    if blown.value + blown.u >= still.value - still.u:
        raise InputError(
            f"sink: {blown.value:.2f} K/W blown is no better than {still.value:.2f} K/W still, or too near it to tell; were the two "
            "exchanged, or did the stream miss the fins?"
        )
    alone, _ = combine(lambda b, s: (b**-3 - s**-3) ** (-1.0 / 3.0), {"b": blown, "s": still})
    return alone


def _curve(readings: SinkReadings, line: Line) -> Curve:
    chilled, room = readings.cooling_air_speed > 0.0, readings.cooling_room
    reference = _reference(readings, [row for row in readings.settled if row.air_speed <= 0.0])
    last = readings.cooling[-1].seconds
    drawn = []
    for i in range(41):
        t = last * i / 40
        at = line.at(t).value
        rise = math.exp(at) if chilled else reference * (-POWER * at) ** (-1.0 / POWER)
        drawn.append((t / 60.0, room + rise - ZERO))
    return Curve("time, min", "sink, °C", [(row.seconds / 60.0, row.sink - ZERO) for row in readings.cooling], drawn)


def _verdict(still: Measured | None, blown: Measured | None) -> tuple[bool, str]:
    if blown is not None and blown.value > GOOD_BLOWN:
        return False, f"Too small for a fan with modules: {blown.value:.2f} K/W blown, {GOOD_BLOWN:g} or less is wanted."
    if still is not None and still.value > GOOD_STILL and blown is None:
        return False, f"Too small to start on: {still.value:.1f} K/W still, {GOOD_STILL:g} or less is wanted."
    if blown is None:
        return True, "Fit as far as still air can tell; measure it in the blade's stream before you trust the air it gives."
    return True, "Fit: it takes the heat of one or two modules in the blade's own stream."
