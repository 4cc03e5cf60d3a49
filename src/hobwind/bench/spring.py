"""A return spring on a kitchen scale: force at two or more lengths gives its rate, its free length, its force in the guard."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..errors import InputError
from .measured import Instrument, Line, Measured, combine, even, fit_line, odd_one
from .result import Curve, Figure, Result

GRAVITY = 9.80665
STEEL_SHEAR = 79.3e9  # Pa, spring wire; shigley-springs
UNLIKE = 1.6  # measured rate over that of its wire beyond which a unit or a count is wrong


@dataclass(frozen=True)
class Wire:
    """What the spring is wound from: wire and mean coil diameter [m], turns that work."""

    diameter: float
    coil: float
    turns: float


@dataclass(frozen=True)
class SpringReadings:
    """One spring: (length, force) [m, N]; the length it will have in the guard, cold [m]; its wire, None when not measured."""

    readings: Sequence[tuple[float, float]]
    fitted: float | None = None
    wire: Wire | None = None
    ruler: Instrument = Instrument(0.0, 0.3e-3)
    balance: Instrument = Instrument(0.01, 0.05)


def wire_rate(wire: Wire, shear: float = STEEL_SHEAR) -> float:
    """Rate of a coil spring from its wire.

        k = G d^4/(8 D^3 n)

    Args:
        wire: diameter, mean coil diameter, working turns. [m, m, -]
        shear: modulus of the wire's metal. [Pa]

    Returns:
        Rate. [N/m]

    Limits: round wire, D/d above 4.
    Source: shigley-springs.

    >>> round(wire_rate(Wire(1e-3, 10e-3, 8.0)))
    1239
    """
    return shear * wire.diameter**4 / (8.0 * wire.coil**3 * wire.turns)


def identify_spring(readings: SpringReadings) -> Result:
    """Rate, free length and force of a return spring.

    Args:
        readings: of one spring. [m, N]

    Returns:
        The result; its lines are keys of a build's guard.

    Raises:
        InputError: too few readings, or readings that cannot be.

    Limits: cold; within the straight part, before coils touch.
    Source: shigley-springs; gum for the doubts.
    """
    _check(readings)
    doubts: list[str] = []
    lengths, forces = [one[0] for one in readings.readings], [one[1] for one in readings.readings]
    ux, uy = [readings.ruler.u(one) for one in lengths], [even(readings.balance.digits)] * len(forces)
    line = _line(lengths, forces, ux, uy)
    odd = odd_one(lengths, forces, ux, uy)
    if odd is not None:
        doubts.append(
            f"reading {odd[0] + 1} ({lengths[odd[0]] * 1e3:.1f} mm, {forces[odd[0]]:.1f} N) does not go with the others, which say "
            f"{odd[1]:.1f} N: were coils touching, or the scale held?"
        )
    if len(lengths) == 2:
        doubts.append("Two readings make a line whatever they say; with four a slip would show.")
    pushes = line.slope.value < 0.0
    # One scale is off by the same share all through: it turns the rate and is not averaged away.
    share = even(readings.balance.share)
    rate = Measured(abs(line.slope.value), math.hypot(line.slope.u, share * line.slope.value))
    free, _ = combine(lambda a, b: -a / b, {"a": line.intercept, "b": line.slope}, {("a", "b"): line.together})
    figures = [
        Figure("spring_rate", "rate", rate, "spring_rate"),
        Figure("free_length", "length without force", free, "length"),
    ]
    lines = [f'spring_rate = "{rate.value / 1e3:.4g} ± {2e-3 * rate.u:.2g} N/mm"']
    if readings.fitted is not None:
        there = line.at(readings.fitted)
        ruler = line.slope.value * readings.ruler.u(readings.fitted)
        force = Measured(there.value, math.sqrt(there.u**2 + ruler**2 + (share * there.value) ** 2))
        figures.append(Figure("spring_force", f"force at {readings.fitted * 1e3:.1f} mm", force, "force"))
        lines.insert(0, f'spring_force = "{force.value:.4g} ± {2.0 * force.u:.2g} N"')
        if not min(lengths) <= readings.fitted <= max(lengths):
            doubts.append("The length in the guard lies outside the lengths read; read one reading there.")
    if readings.wire is not None:
        _beside_wire(readings.wire, rate, doubts)
    curve = Curve(
        "length, mm", "force, N",
        [(a * 1e3, b) for a, b in readings.readings],
        [(a * 1e3, line.at(a).value) for a in (min(lengths), max(lengths))],
    )  # fmt: skip
    fit, verdict = _verdict(figures, pushes, doubts)
    return Result(
        "", "spring, tested on a scale", tuple(figures), fit, verdict, tuple(doubts), (curve,), lines=("[guard]", *lines)
    )


def _check(readings: SpringReadings) -> None:
    if len(readings.readings) < 2:
        raise InputError(f"squeezed: got {len(readings.readings)} readings; two or more lengths are wanted, better four")
    for i, (length, force) in enumerate(readings.readings, 1):
        if not 1e-3 <= length <= 1.0 or not 0.0 <= force <= 2000.0:
            raise InputError(
                f"squeezed {i}: got {length * 1e3:g} mm and {force:g} N; 1 to 1000 mm and 0 to 2000 N are allowed. Are the units right?"
            )
    lengths = [one[0] for one in readings.readings]
    least = 4.0 * readings.ruler.u(0.0)
    if max(lengths) - min(lengths) <= least:
        raise InputError(
            f"squeezed: lengths from {min(lengths) * 1e3:.1f} to {max(lengths) * 1e3:.1f} mm cannot be told apart by that ruler; "
            f"more than {least * 1e3:.1f} mm between them is wanted"
        )
    forces = [one[1] for one in readings.readings]
    if max(forces) - min(forces) <= 4.0 * readings.balance.u(0.0):
        raise InputError(
            f"squeezed: forces from {min(forces):.2g} to {max(forces):.2g} N cannot be told apart by that scale; squeeze it more"
        )


def _line(x: list[float], y: list[float], ux: list[float], uy: list[float]) -> Line:
    if len(x) > 2:
        return fit_line(x, y, ux, uy)
    # Two readings: the line through both, doubts carried.
    span = x[1] - x[0]
    slope = (y[1] - y[0]) / span
    ends = [math.hypot(b, slope * a) for a, b in zip(ux, uy, strict=True)]
    us = math.hypot(*ends) / abs(span)
    ui = math.hypot(ends[0] * x[1], ends[1] * x[0]) / abs(span)
    both = -(ends[0] ** 2 * x[1] + ends[1] ** 2 * x[0]) / span**2
    return Line(Measured(slope, us), Measured(y[0] - slope * x[0], ui), both / (us * ui) if us * ui > 0.0 else 0.0, np.zeros(2))


def _beside_wire(wire: Wire, rate: Measured, doubts: list[str]) -> None:
    ratio = rate.value / wire_rate(wire)
    if ratio > UNLIKE or ratio < 1.0 / UNLIKE:
        ten = " A factor of ten: grams or newtons, kilograms or pounds?" if 7.0 < max(ratio, 1.0 / ratio) < 14.0 else ""
        doubts.append(
            f"Its wire and turns call for {wire_rate(wire) / 1e3:.3g} N/mm, the scale says {rate.value / 1e3:.3g}: a unit, the count of "
            f"turns, or wire that is no steel.{ten}"
        )


def _verdict(figures: list[Figure], pushes: bool, doubts: list[str]) -> tuple[bool, str]:
    if any("call for" in doubt for doubt in doubts):
        return False, "Not to be used before the rate and the wire agree."
    rate = figures[0].measured
    if rate.u > 0.25 * rate.value:
        return False, "Too unsure to use: take lengths further apart, or a finer scale."
    force = next((one.measured for one in figures if one.name == "spring_force"), None)
    way = "pushes" if pushes else "pulls"
    if force is None:
        return True, f"Fit as far as one can tell: it {way}. Give the length it will have in the guard to know its force there."
    if force.value <= 2.0 * force.u:
        return False, f"Slack in the guard: it {way} with nothing sure at that length. Fit it shorter."
    if not pushes:
        return (
            True,
            f"It pulls with {force.value:.1f} N: fit where a spring is stretched; a push pin's return wants one that pushes.",
        )
    return True, (
        f"Fit: it pushes back with {force.value:.1f} N. A wax element wants some 20 to 30 % of its working force to come back."
    )
