"""A small motor with a meter: ohms at several shaft positions, running without load, driven as a generator, breaking away.

Running without load at three or more voltages gives the constant and the brush drop (volts less winding drop against speed) and both
frictions (torque against speed). One reading gives the constant and one friction. A drill chuck gives the constant alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from ..errors import InputError
from .measured import Line, Measured, combine, even, fit_line
from .motor_constant import from_chuck, from_running, name_octaves, name_odd, settled_constant, winding
from .motor_readings import RPM, MotorReadings, check
from .result import Curve, Figure, Result

STIFF = 0.6e-3  # N m; a break-away above this asks more than one module gives


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
    check(readings)
    doubts: list[str] = []
    resistance = winding(readings, doubts)
    name_octaves(readings, resistance.value, doubts)
    brush, line, running = None, None, None
    if readings.running:
        running, brush, line = from_running(readings, resistance)
    constant = settled_constant(running, from_chuck(readings), doubts)
    name_odd(readings, resistance.value, doubts)
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
