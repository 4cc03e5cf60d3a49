"""The three lines behind a module's values: open volts, volts lost inside, heater watts, all brought to 300 K."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..errors import InputError
from ..physics.thermoelectric import conductance_shape, resistance_shape, seebeck_shape
from .measured import Line, Measured, combine, even, fit_line, odd_one
from .module_readings import ModuleReadings
from .ratings import bent_shape

QUICK = 1.0  # s; later readings carry volts of the test current's own temperature difference
STRAY = 0.1  # of the most heater watts: heat from or to the room that stays the same all through the test
SMALL = 10.0  # K; smaller differences tell little
FAR_OFF = 4.5  # a reading this many times its own doubt away from the others is named


def _line(x: list[float], y: list[float], ux: list[float], uy: list[float], nought: tuple[float, float]) -> Line:
    """Line through the readings and "nothing at nothing", the latter with its own doubts; one reading will do."""
    x, y, ux, uy = [*x, 0.0], [*y, 0.0], [*ux, nought[0]], [*uy, nought[1]]
    if len(x) > 2:
        return fit_line(x, y, ux, uy)
    slope = y[0] / x[0]
    mine, other = math.hypot(uy[0], slope * ux[0]), math.hypot(uy[1], slope * ux[1])
    us = math.hypot(mine, other) / abs(x[0])
    together = -(other**2) / x[0] / (us * other) if other > 0.0 else 0.0
    return Line(Measured(slope, us), Measured(0.0, other), together, np.zeros(2))


def _odd(
    x: list[float], y: list[float], ux: list[float], uy: list[float], nought: tuple[float, float]
) -> tuple[int, float] | None:
    return odd_one(x, y, ux, uy, lambda a, b, c, d: _line([*a], [*b], [*c], [*d], nought), FAR_OFF)


def _told(name: str, at: int, got: float, wanted: float) -> str:
    """The doubt about one reading, with the likely slip."""
    ratio = got / wanted if wanted else math.inf
    if 300.0 < abs(ratio) < 3000.0:
        why = "that is a thousandfold: millivolts typed as volts?"
    elif 300.0 < 1.0 / max(abs(ratio), 1e-9) < 3000.0:
        why = "that is a thousandth: volts typed as millivolts?"
    elif -1.25 < ratio < -0.8:
        why = "its sign is turned round: leads or faces swapped for this one?"
    else:
        why = "read it again, or leave it out."
    return f"{name} reading {at + 1} does not go with the others: {got:.4g} V where they say {wanted:.4g} V; {why}"


@dataclass(frozen=True)
class Opened:
    """The open line at 300 K, the sign the volts were taken with, and what the thermometers disagree by."""

    line: Line
    sign: float
    apart: Measured
    points: list[tuple[float, float]]


def opened_line(readings: ModuleReadings, doubts: list[str], bend: float = 0.0) -> Opened:
    tools, opens = readings.instruments, readings.opens
    shape = [bent_shape(seebeck_shape, one.hot, one.cold, bend) for one in opens]
    x = [one.hot - one.cold for one in opens]
    y = [one.volts / s for one, s in zip(opens, shape, strict=True)]
    ux = [tools.one_difference] * len(x)
    uy, nought = [even(tools.volts.digits) / s for s in shape], (even(tools.apart), 0.0)
    line = _line(x, y, ux, uy, nought)
    if line.slope.value == 0.0:
        raise InputError("open readings: got no volts at all; volts that rise with the difference are wanted; check the leads")
    sign = math.copysign(1.0, line.slope.value)
    if sign < 0.0:
        doubts.append("The volts run the other way: leads or faces are swapped. Mark the plus lead for this hot face.")
        y = [-one for one in y]
        line = _line(x, y, ux, uy, nought)
    odd = _odd(x, y, ux, uy, nought)
    if odd is not None:
        doubts.append(_told("Open", odd[0], y[odd[0]] * shape[odd[0]], odd[1] * shape[odd[0]]))
    apart, _ = combine(lambda i, a: i / a, {"i": line.intercept, "a": line.slope}, {("i", "a"): line.together})
    if odd is None and abs(apart.value) > max(0.5, 2.0 * apart.u):
        doubts.append(
            f"The two thermometers disagree by {abs(apart.value):.1f} K. The slope is used, so this drops out of the volts per "
            "kelvin; put both into one cup of water and note what each says."
        )
    largest = max(abs(one) for one in x)
    if largest < SMALL:
        doubts.append(f"The temperature difference is small, {largest:.1f} K at most; with 20 K or more all gets sharper.")
    return Opened(line, sign, apart, list(zip(x, y, strict=True)))


@dataclass(frozen=True)
class Loaded:
    """Ohms at 300 K as the load readings show them; `late`: with the current's own temperature difference in them."""

    line: Line
    seen: Measured
    late: bool
    points: list[tuple[float, float]]


def loaded_line(readings: ModuleReadings, opened: Opened, doubts: list[str], bends: tuple[float, float] = (0.0, 0.0)) -> Loaded:
    quick = [at for at, one in enumerate(readings.loads) if one.seconds <= QUICK]
    late = not readings.reread and len(quick) < min(2, len(readings.loads))
    used = list(range(len(readings.loads))) if readings.reread or late else quick
    if len(used) < len(readings.loads):
        doubts.append(f"{len(readings.loads) - len(used)} of the load readings came later than {QUICK:g} s and are left out.")
    loads = [readings.loads[at] for at in used]
    s = [bent_shape(seebeck_shape, one.hot, one.cold, bends[0]) for one in loads]
    r = [bent_shape(resistance_shape, one.hot, one.cold, bends[1]) for one in loads]
    x = [one.hot - one.cold for one in loads]
    pivot, nought = sum(x) / len(x), (0.0, opened.line.at(sum(x) / len(x)).u)
    amps = [opened.sign * one.volts / one.ohms for one in loads]
    if min(map(abs, amps)) <= 0.0:
        raise InputError("load readings: got no volts; more than nothing is wanted; check that the resistor is not a short")
    emf = [opened.line.at(one).value for one in x]
    lost = [(e * one_s - a * one.ohms) / one_r for e, one_s, a, one, one_r in zip(emf, s, amps, loads, r, strict=True)]
    ua, ul = [0.0] * len(x), []
    for one, one_s, one_r, volts_lost, current in zip(loads, s, r, lost, amps, strict=True):
        digit = even(readings.instruments.volts.digits) * (1.0 + abs(volts_lost * one_r / (current * one.ohms)))
        ul.append(math.hypot(opened.line.slope.value * one_s * readings.instruments.one_difference, digit) / one_r)
    line = _line(amps, lost, ua, ul, nought)
    # The open line turned about the loads' own mean difference moves them all together.
    turn = [opened.line.slope.u * (one - pivot) * a / b for one, a, b in zip(x, s, r, strict=True)]
    turned = _line(amps, [a + b for a, b in zip(lost, turn, strict=True)], ua, ul, nought).slope.value - line.slope.value
    odd = _odd(amps, lost, ua, ul, nought)
    if odd is not None:
        at, load = odd[0], loads[odd[0]]
        inside = max(odd[1] / amps[at], 0.0) * r[at]
        doubts.append(_told("Load", used[at], amps[at] * load.ohms, emf[at] * s[at] * load.ohms / (load.ohms + inside)))
    if line.slope.value <= 0.0:
        raise InputError(
            f"load readings: got {line.slope.value:.3g} Ω inside the module; more than nothing is wanted; check that open and "
            "load volts were not swapped, and their units"
        )
    return Loaded(line, Measured(line.slope.value, math.hypot(line.slope.u, turned)), late, list(zip(amps, lost, strict=True)))


def heated_line(readings: ModuleReadings, opened: Opened, doubts: list[str], bend: float = 0.0) -> Measured | None:
    """Heater watts per kelvin read, at 300 K."""
    heaters = readings.heaters
    if not heaters:
        return None
    if len(heaters) < 3:
        doubts.append(f"Too few heater readings: {len(heaters)}; with three or more a slip would show.")
    x = [one.hot - one.cold + opened.apart.value for one in heaters]
    y = [one.watts / bent_shape(conductance_shape, one.hot, one.cold, bend) for one in heaters]
    nought = (opened.apart.u, STRAY * max(abs(one) for one in y))
    found = _line(x, y, [readings.instruments.one_difference] * len(x), [0.0] * len(x), nought).slope
    if found.value <= 0.0:
        raise InputError(
            f"heater readings: got {found.value:.3g} W/K; more than nothing is wanted; check which face is the hot one"
        )
    return found
