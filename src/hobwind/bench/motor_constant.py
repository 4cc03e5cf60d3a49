"""A motor's winding and constant, from running free and from a drill chuck; miscounted and odd speeds named."""

from __future__ import annotations

import math

import numpy as np

from ..errors import InputError
from .measured import Line, Measured, combine, even, fit_line, odd_one
from .motor_readings import RPM, MotorReadings

ROUGH = 0.35  # scatter of the winding's ohms over the shaft's positions above which brushes or commutator are suspect
OCTAVE = 0.25  # how near a factor of two or a half must be to be named as a miscounted speed


def winding(readings: MotorReadings, doubts: list[str]) -> Measured:
    """Mean over the positions; the scatter of the commutator counts with the meter."""
    ohms = np.array(readings.ohms)
    mean = float(ohms.mean())
    scatter = float(ohms.std(ddof=1)) if ohms.size > 1 else 0.2 * mean
    if ohms.size == 1:
        doubts.append("only one reading of the winding: turn the shaft a little and read again, five times")
    if scatter > ROUGH * mean:
        doubts.append(
            f"the winding's ohms scatter by {scatter / mean:.0%} as the shaft turns: worn brushes, oil, or a dead segment"
        )
    return Measured(mean, math.hypot(scatter / math.sqrt(max(ohms.size, 1)), readings.ohmmeter.u(mean)))


def name_octaves(readings: MotorReadings, resistance: float, doubts: list[str]) -> None:
    """Name a speed that is twice or half what the others say: blades or flashes miscounted."""
    constants = [(row.volts - row.amperes * resistance) / row.speed for row in readings.running]
    middle = float(np.median(constants)) if constants else 0.0
    if len(constants) < 3 or middle <= 0.0:
        return
    for i, one in enumerate(constants):
        for factor, word in ((2.0, "half"), (0.5, "twice")):
            if abs(one / middle / factor - 1.0) < OCTAVE:
                doubts.append(f"running {i + 1}: its speed is {word} what the others say; were blades or flashes miscounted?")


def name_odd(readings: MotorReadings, resistance: float, doubts: list[str]) -> None:
    """Name the running reading that does not go with the others, unless its speed is a miscount named already."""
    rows = readings.running
    odd = odd_one(
        [row.speed for row in rows],
        [row.volts - row.amperes * resistance for row in rows],
        [readings.tachometer.u(row.speed / RPM) * RPM for row in rows],
        [math.hypot(readings.voltmeter.u(row.volts), readings.ammeter.u(row.amperes) * resistance) for row in rows],
    )
    if odd is not None and not any(doubt.startswith(f"running {odd[0] + 1}:") for doubt in doubts):
        row = rows[odd[0]]
        said = odd[1] + row.amperes * resistance
        slip = " Millivolts typed as volts, or the other way?" if not 0.01 < row.volts / max(said, 1e-9) < 100.0 else ""
        doubts.append(
            f"running {odd[0] + 1} does not go with the others: {row.volts:.3g} V where they say {said:.3g}; read it again, or "
            f"leave it out.{slip}"
        )


def from_running(readings: MotorReadings, resistance: Measured) -> tuple[Measured, Measured | None, Line | None]:
    """Constant, brush drop and the line behind them."""
    rows = readings.running
    if len(rows) < 3:
        row = rows[0]
        constant, _ = combine(
            lambda v, i, r, w: (v - i * r) / w,
            {
                "v": Measured(row.volts, readings.voltmeter.u(row.volts)),
                "i": Measured(row.amperes, readings.ammeter.u(row.amperes)),
                "r": resistance,
                "w": Measured(row.speed, readings.tachometer.u(row.speed / RPM) * RPM),
            },
        )
        return constant, None, None
    line = _back_volts(readings, resistance.value, 1.0)
    # What all readings share turns or lifts the line as one: the winding, and each meter's own share.
    others = [
        _back_volts(readings, resistance.value + resistance.u, 1.0),
        _back_volts(readings, resistance.value, 1.0 + even(readings.ammeter.share)),
    ]
    meters = math.hypot(even(readings.voltmeter.share), even(readings.tachometer.share)) * line.slope.value
    slope = math.hypot(line.slope.u, meters, *(one.slope.value - line.slope.value for one in others))
    foot = math.hypot(line.intercept.u, *(one.intercept.value - line.intercept.value for one in others))
    return Measured(line.slope.value, slope), Measured(max(line.intercept.value, 0.0), foot), line


def _back_volts(readings: MotorReadings, resistance: float, amperes: float) -> Line:
    """Volts less the winding's over speed, with each reading's own doubt."""
    rows = readings.running
    own = math.hypot(even(readings.voltmeter.digits), even(readings.ammeter.digits) * resistance)
    return fit_line(
        [row.speed for row in rows],
        [row.volts - amperes * row.amperes * resistance for row in rows],
        [even(readings.tachometer.digits) * RPM] * len(rows),
        [own] * len(rows),
    )


def from_chuck(readings: MotorReadings) -> Measured | None:
    """Constant from volts over speed in a drill chuck; what the readings share is not averaged away."""
    if not readings.generator:
        return None
    found = [volts / speed for speed, volts in readings.generator]
    own = [
        math.hypot(even(readings.voltmeter.digits) / volts, even(readings.tachometer.digits) * RPM / speed) * volts / speed
        for speed, volts in readings.generator
    ]
    weights = [1.0 / max(u, 1e-15) ** 2 for u in own]
    mean = sum(w * k for w, k in zip(weights, found, strict=True)) / sum(weights)
    scatter = math.sqrt(sum(w * (k - mean) ** 2 for w, k in zip(weights, found, strict=True)) / max(len(found) - 1, 1))
    shared = math.hypot(even(readings.voltmeter.share), even(readings.tachometer.share)) * mean
    return Measured(mean, math.hypot(max(scatter, 1.0) / math.sqrt(sum(weights)), shared))


def settled_constant(running: Measured | None, driven: Measured | None, doubts: list[str]) -> Measured:
    """Both together where both are there and agree; said and widened where they do not."""
    if running is None or driven is None:
        one = running or driven
        if one is None:
            raise InputError("running: neither that nor generator readings given; without one the volts per speed stay unknown")
        return one
    if abs(running.value - driven.value) > 3.0 * math.hypot(running.u, driven.u):
        ratio = running.value / driven.value
        slip = next((f" It is {word} as much: turns miscounted?" for r, word in ((2.0, "twice"), (0.5, "half"))
                     if abs(ratio / r - 1.0) < OCTAVE), "")  # fmt: skip
        doubts.append(
            f"Running says {running.value * 1e3:.3g} mV·s, the drill chuck {driven.value * 1e3:.3g}: a speed, or the winding's ohms, is "
            f"wrong.{slip}"
        )
        return Measured(0.5 * (running.value + driven.value), 0.5 * abs(running.value - driven.value))
    a, b = 1.0 / max(running.u, 1e-15) ** 2, 1.0 / max(driven.u, 1e-15) ** 2
    # The same meters read both, so together they are no better than the better one.
    return Measured((a * running.value + b * driven.value) / (a + b), min(running.u, driven.u))
