"""A small motor with a meter: ohms at several shaft positions, running without load, driven as a generator, breaking away.

Running without load at three or more voltages gives the constant and the brush drop (volts less winding drop against speed) and both
frictions (torque against speed). One reading gives the constant and one friction. A drill chuck gives the constant alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..errors import InputError
from .measured import Instrument, Line, Measured, combine, even, fit_line, odd_one
from .result import Curve, Figure, Result

RPM = math.pi / 30.0  # rad/s per turn a minute
ROUGH = 0.35  # scatter of the winding's ohms over the shaft's positions above which brushes or commutator are suspect
OCTAVE = 0.25  # how near a factor of two or a half must be to be named as a miscounted speed
STIFF = 0.6e-3  # N m; a break-away above this asks more than one module gives


@dataclass(frozen=True)
class Running:
    """Without load: volts at the terminals [V], current [A], speed [rad/s]."""

    volts: float
    amperes: float
    speed: float


@dataclass(frozen=True)
class MotorReadings:
    """Readings of one motor: winding ohms over shaft positions, running, (speed, volts) as a generator, volts at which it breaks
    away going up and at which it stops coming down."""

    ohms: Sequence[float]
    running: Sequence[Running] = ()
    generator: Sequence[tuple[float, float]] = ()
    breaks_at: Sequence[float] = ()
    stops_at: Sequence[float] = ()
    ohmmeter: Instrument = Instrument(0.01, 0.1)
    voltmeter: Instrument = Instrument(0.005, 0.005)
    ammeter: Instrument = Instrument(0.015, 0.3e-3)
    tachometer: Instrument = Instrument(0.005, 1.0)


def _checked(readings: MotorReadings) -> None:
    if not readings.ohms:
        raise InputError("ohms: none given; read the winding at five shaft positions or more, turning it a little each time")
    if not readings.running and not readings.generator:
        raise InputError("running: neither that nor generator readings given; without one the volts per speed stay unknown")
    for i, ohms in enumerate(readings.ohms):
        if not 0.05 <= ohms <= 2000.0:
            raise InputError(f"ohms {i + 1}: got {ohms:g} Ω; 0.05 to 2000 Ω is allowed. Is a governor still between the leads?")
    for i, row in enumerate(readings.running):
        if row.volts <= 0.0 or row.amperes <= 0.0 or row.speed <= 0.0:
            raise InputError(
                f"running {i + 1}: got {row.volts:g} V, {row.amperes:g} A, {row.speed / RPM:.0f} rpm; all must be above nothing. "
                "Turn both meters round if the motor runs backwards"
            )
    for i, (speed, volts) in enumerate(readings.generator):
        if speed <= 0.0 or volts <= 0.0:
            raise InputError(
                f"generator {i + 1}: got {volts:g} V at {speed / RPM:.0f} rpm; both must be above nothing. Turn the meter's leads round"
            )


def _winding(readings: MotorReadings, doubts: list[str]) -> Measured:
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


def _octaves(readings: MotorReadings, resistance: float, doubts: list[str]) -> None:
    """Name a speed that is twice or half what the others say: blades or flashes miscounted."""
    constants = [(row.volts - row.amperes * resistance) / row.speed for row in readings.running]
    if len(constants) < 3:
        return
    middle = float(np.median(constants))
    for i, one in enumerate(constants):
        for factor, word in ((2.0, "half"), (0.5, "twice")):
            if abs(one / middle / factor - 1.0) < OCTAVE:
                doubts.append(f"running {i + 1}: its speed is {word} what the others say; were blades or flashes miscounted?")


def _odd_running(readings: MotorReadings, resistance: float, doubts: list[str]) -> None:
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


def _from_running(readings: MotorReadings, resistance: Measured) -> tuple[Measured, Measured | None, Line | None]:
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


def identify_motor(readings: MotorReadings) -> Result:
    """Winding, constant, frictions, brush drop and break-away of a small brushed motor.

    Args:
        readings: of one motor. [SI]

    Returns:
        The result; figures are fields of a part of kind "motor".

    Raises:
        InputError: too few readings, or readings that cannot be.

    Limits: at room temperature; the blade is off.
    Source: mit-motor-notes; gum for the doubts.
    """
    _checked(readings)
    doubts: list[str] = []
    resistance = _winding(readings, doubts)
    _octaves(readings, resistance.value, doubts)
    brush, line, running = None, None, None
    if readings.running:
        running, brush, line = _from_running(readings, resistance)
    constant = _settled_constant(running, _driven(readings), doubts)
    _odd_running(readings, resistance.value, doubts)
    if constant.value <= 0.0:
        raise InputError(
            f"running: they give {constant.value * 1e3:.3g} mV·s for the constant; above nothing is wanted. Check ohms, volts and speeds"
        )
    figures = [
        Figure("resistance", "winding", resistance, "ohms"),
        Figure("torque_constant", "twist per ampere", constant, "torque_constant"),
    ]
    if brush is not None:
        figures.append(Figure("brush_drop", "lost at the brushes", brush, "voltage"))
    drop = brush or Measured(0.0, 0.02)
    stops = _at_rest(readings, readings.stops_at, constant, resistance, drop)
    figures += _frictions(readings, constant, stops, doubts)
    breaks = _at_rest(readings, readings.breaks_at, constant, resistance, drop)
    if breaks is not None:
        figures.append(Figure("breakaway", "breaks away at", breaks, "torque"))
    if breaks is not None and stops is not None and breaks.value + 2.0 * breaks.u < stops.value - 2.0 * stops.u:
        doubts.append("It stops at more volts than it breaks away at; were going up and coming down exchanged?")
    curves = _curves(readings, resistance, constant, line)
    fit, verdict = _verdict(figures, resistance)
    return Result("motor", "motor, tested on the bench", tuple(figures), fit, verdict, tuple(doubts), curves)


def _driven(readings: MotorReadings) -> Measured | None:
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


def _settled_constant(running: Measured | None, driven: Measured | None, doubts: list[str]) -> Measured:
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


def _curves(readings: MotorReadings, resistance: Measured, constant: Measured, line: Line | None) -> tuple[Curve, ...]:
    """Volts over speed, running and driven, each on its line."""
    axes, curves = ("speed, rpm", "volts less the winding's, V"), []
    if line is not None:
        points = [(row.speed / RPM, row.volts - row.amperes * resistance.value) for row in readings.running]
        ends = (min(p[0] for p in points), max(p[0] for p in points))
        curves.append(Curve(*axes, points, [(n, line.at(n * RPM).value) for n in ends], "running free"))
    if readings.generator:
        points = [(speed / RPM, volts) for speed, volts in readings.generator]
        ends = (0.0, max(p[0] for p in points))
        curves.append(Curve(*axes, points, [(n, constant.value * n * RPM) for n in ends], "in a drill chuck"))
    return tuple(curves)


def _frictions(readings: MotorReadings, constant: Measured, stops: Measured | None, doubts: list[str]) -> list[Figure]:
    """Running friction and drag from torque against speed; one reading gives friction alone, and so do volts at stopping."""
    rows = readings.running
    twist = [constant.value * row.amperes for row in rows]
    u = [math.hypot(constant.value * readings.ammeter.u(row.amperes), constant.u * row.amperes) for row in rows]
    running, drag = None, None
    if len(rows) >= 3:
        own = [constant.value * even(readings.ammeter.digits)] * len(rows)
        line = fit_line([row.speed for row in rows], twist, [even(readings.tachometer.digits) * RPM] * len(rows), own)
        shared = math.hypot(constant.relative, even(readings.ammeter.share))
        foot = max(line.intercept.value, 0.0)
        running = Measured(foot, math.hypot(line.intercept.u, shared * foot))
        if line.slope.value > 0.0:
            drag = Measured(line.slope.value, math.hypot(line.slope.u, shared * line.slope.value))
    elif rows:
        running = Measured(twist[0], u[0])
    if running is not None and stops is not None:
        if abs(running.value - stops.value) > 3.0 * math.hypot(running.u, stops.u):
            doubts.append(
                f"Running free asks {running.value * 1e6:.0f} µN·m, stopping {stops.value * 1e6:.0f}: dirt, a bent shaft, or volts "
                "lowered too fast; both are widened"
            )
            running = Measured(0.5 * (running.value + stops.value), 0.5 * abs(running.value - stops.value))
        else:
            a, b = 1.0 / max(running.u, 1e-12) ** 2, 1.0 / max(stops.u, 1e-12) ** 2
            running = Measured((a * running.value + b * stops.value) / (a + b), (a + b) ** -0.5)
    running = running or stops
    found = [] if running is None else [Figure("friction", "friction, running", running, "torque")]
    return found if drag is None else [*found, Figure("drag", "friction, more with speed", drag, "rotary_drag")]


def _at_rest(
    readings: MotorReadings, read: Sequence[float], constant: Measured, resistance: Measured, drop: Measured
) -> Measured | None:
    """Torque at a standstill from the volts at which it just breaks away or stops, over several shaft positions."""
    if not read:
        return None
    volts = np.array(read)
    scatter = float(volts.std(ddof=1)) / math.sqrt(volts.size) if volts.size > 1 else 0.2 * float(volts.mean())
    torque, _ = combine(
        lambda v, b, k, r: k * max(v - b, 0.0) / r,
        {
            "v": Measured(float(volts.mean()), math.hypot(scatter, readings.voltmeter.u(float(volts.mean())))),
            "b": drop,
            "k": constant,
            "r": resistance,
        },
    )
    return torque


def _verdict(figures: list[Figure], resistance: Measured) -> tuple[bool, str]:
    found = {one.name: one.measured for one in figures}
    if "breakaway" in found and found["breakaway"].value > STIFF:
        stiff = f"{found['breakaway'].value * 1e6:.0f} µN·m"
        return False, f"Too stiff for a small fan: {stiff} to break away is more than one or two modules give on a warm stove."
    if resistance.value > 60.0:
        return False, f"Wound for more volts than modules give: {resistance.value:.0f} Ω."
    if "breakaway" not in found:
        return (
            True,
            "Fit as far as one can tell; find the volts at which it just breaks away before you trust it to start early.",
        )
    return True, "Fit: it breaks away at little and turns freely."
