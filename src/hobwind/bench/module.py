"""A module tested as a generator: volts with nothing connected, volts into known resistors, heater watts if there are any.

Everything is brought to a mean of 300 K before a line is drawn, with d what the two thermometers disagree by:

    V/s = a (dT + d)          nothing connected; the slope is a whatever d is
    (E - V)/r = R I           I = V/ohms, E the open line at the same faces
    Q/k = K (dT + d)          heater, nothing connected

s, r, k are the bismuth telluride shapes. What all readings share (the meter's and thermometers' scale, the resistors' ohm
meter, the stray heat, the shapes) is carried once, not averaged away; what each reading has alone goes into the lines.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..errors import InputError
from ..physics.thermoelectric import conductance_shape, resistance_shape, seebeck_shape
from .health import Kind, against_new
from .measured import Instrument, Line, Measured, combine, even, fit_line
from .ratings import MERIT_NEW, SHAPE_DOUBT, WARMEST, bent_shape, blurred, unmeasured_conductance, wider, within
from .result import Curve, Figure, Result

QUICK = 1.0  # s; later readings carry volts of the test current's own temperature difference
STRAY = 0.1  # of the most heater watts: heat from or to the room that stays the same all through the test
SMALL = 10.0  # K; smaller differences tell little
FAR_OFF = 4.5  # a reading this many times its own doubt away from the others is named


@dataclass(frozen=True)
class OpenReading:
    """Nothing connected. Args: hot, cold face [K]; volts [V]."""

    hot: float
    cold: float
    volts: float


@dataclass(frozen=True)
class LoadReading:
    """A known resistor connected. Args: ohms [ohm], volts [V]; hot, cold face [K]; seconds after connecting [s]."""

    ohms: float
    volts: float
    hot: float
    cold: float
    seconds: float = 0.5


@dataclass(frozen=True)
class HeaterReading:
    """Settled on a heater, nothing connected. Args: watts [W]; hot, cold face [K]."""

    watts: float
    hot: float
    cold: float


@dataclass(frozen=True)
class Instruments:
    """What the readings may be off by, all as ± limits.

    Args:
        apart: the two thermometers against each other, the same all through the test. [K]
        step: last figure and unrest of one thermometer reading. [K]
        thermometer_share: of the difference between them. [-]
        volts: share and last figures of the voltmeter; the share is the same all through. [-, V]
        load_share: ohms of the resistors, by one ohm meter. [-]
        heater_share: heater watts, stray heat included. [-]
        shape_share: of the change of a, R, K between the test's mean and 300 K. [-]
    """

    apart: float = 3.0
    step: float = 0.2
    thermometer_share: float = 0.01
    volts: Instrument = Instrument(0.005, 0.002)
    load_share: float = 0.01
    heater_share: float = 0.05
    shape_share: float = SHAPE_DOUBT

    @property
    def one_difference(self) -> float:
        """Standard uncertainty of one difference between two thermometer readings, without what they share. [K]"""
        return math.sqrt(2.0) * even(self.step)


@dataclass(frozen=True)
class ModuleReadings:
    """All readings of one module.

    Args:
        opens: nothing connected; at least one, four or more at different faces are wanted.
        loads: resistor connected; at least one, three or more different resistors are wanted.
        heaters: heater watts; may be empty.
        instruments: their ± limits.
        kind: the catalogue's new one; None when unknown.
        far_side: thermometers sit beyond the joints, not on the module's faces.
        joints: the most both joints together may take, used with far_side. [K/W]
        reread: both faces were read again with the load on, at the moment of the volts.
    """

    opens: Sequence[OpenReading]
    loads: Sequence[LoadReading]
    heaters: Sequence[HeaterReading] = ()
    instruments: Instruments = Instruments()
    kind: Kind | None = None
    far_side: bool = False
    joints: float = 0.5
    reread: bool = False


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


def _check(readings: ModuleReadings) -> None:
    rows = [("open", one.hot, one.cold, one.volts) for one in readings.opens]
    rows += [("load", one.hot, one.cold, one.volts) for one in readings.loads]
    rows += [("heater", one.hot, one.cold, one.watts) for one in readings.heaters]
    counts = {"open": 0, "load": 0, "heater": 0}
    for name, hot, cold, value in rows:
        counts[name] += 1
        place = f"{name} reading {counts[name]}"
        within(f"{place}, hot face", hot, 200.0, 700.0, "K", "give kelvin: °C and 273.15")
        within(f"{place}, cold face", cold, 200.0, 700.0, "K", "give kelvin: °C and 273.15")
        within(f"{place}, {'watts' if name == 'heater' else 'volts'}", value, -1e6, 1e6, "", "type the number again")
    for number, load in enumerate(readings.loads, 1):
        within(f"load reading {number}, resistor", load.ohms, 1e-4, 1e6, "Ω", "measure the resistor")
        within(f"load reading {number}, seconds", load.seconds, 0.0, 1e6, "s", "give the time after connecting")
    within("joints", readings.joints, 0.0, 100.0, "K/W", "0.1 to 0.5 K/W is usual for both joints of a 40 mm module")
    for name in ("open", "load"):
        if not counts[name]:
            raise InputError(f"{name} readings: got none; one is needed and four are wanted; take them at different heats")
    if max(abs(hot - cold) for _, hot, cold, _ in rows[: counts["open"]]) < 1.0:
        raise InputError("open readings: got less than 1 K between the faces; 10 K or more is wanted; heat one face more")


def _odd_one(x: list[float], y: list[float], ux: list[float], uy: list[float], nought: tuple[float, float]) -> int | None:
    """Which reading stands far from the line of all the others, if one does and there are enough to tell."""
    if len(x) < 4:
        return None
    worst, far = None, FAR_OFF
    for i in range(len(x)):
        rest = _line(_without(x, i), _without(y, i), _without(ux, i), _without(uy, i), nought)
        there = rest.at(x[i])
        off = abs(y[i] - there.value) / math.sqrt(there.u**2 + uy[i] ** 2 + (rest.slope.value * ux[i]) ** 2)
        if off > far:
            worst, far = i, off
    return worst


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


def _without(rows: list[float], odd: int) -> list[float]:
    return rows[:odd] + rows[odd + 1 :]


@dataclass(frozen=True)
class _Opened:
    """The open line at 300 K, the sign the volts were taken with, and what the thermometers disagree by."""

    line: Line
    sign: float
    apart: Measured
    points: list[tuple[float, float]]


def _opened(readings: ModuleReadings, doubts: list[str], bend: float = 0.0) -> _Opened:
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
    odd = _odd_one(x, y, ux, uy, nought)
    if odd is not None:
        rest = _line(_without(x, odd), _without(y, odd), _without(ux, odd), _without(uy, odd), nought)
        doubts.append(_told("Open", odd, y[odd] * shape[odd], rest.at(x[odd]).value * shape[odd]))
    apart, _ = combine(lambda i, a: i / a, {"i": line.intercept, "a": line.slope})
    if odd is None and abs(apart.value) > max(0.5, 2.0 * apart.u):
        doubts.append(
            f"The two thermometers disagree by {abs(apart.value):.1f} K. The slope is used, so this drops out of the volts per "
            "kelvin; put both into one cup of water and note what each says."
        )
    largest = max(abs(one) for one in x)
    if largest < SMALL:
        doubts.append(f"The temperature difference is small, {largest:.1f} K at most; with 20 K or more all gets sharper.")
    return _Opened(line, sign, apart, list(zip(x, y, strict=True)))


@dataclass(frozen=True)
class _Loaded:
    """Ohms at 300 K as the load readings show them; `late`: with the current's own temperature difference in them."""

    line: Line
    seen: Measured
    late: bool
    points: list[tuple[float, float]]


def _loaded(readings: ModuleReadings, opened: _Opened, doubts: list[str], bends: tuple[float, float] = (0.0, 0.0)) -> _Loaded:
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
    odd = _odd_one(amps, lost, ua, ul, nought)
    if odd is not None:
        rest = _line(_without(amps, odd), _without(lost, odd), _without(ua, odd), _without(ul, odd), nought)
        part = loads[odd].ohms / (loads[odd].ohms + max(rest.slope.value, 0.0) * r[odd])
        doubts.append(_told("Load", used[odd], amps[odd] * loads[odd].ohms, emf[odd] * s[odd] * part))
    if line.slope.value <= 0.0:
        raise InputError(
            f"load readings: got {line.slope.value:.3g} Ω inside the module; more than nothing is wanted; check that open and "
            "load volts were not swapped, and their units"
        )
    return _Loaded(line, Measured(line.slope.value, math.hypot(line.slope.u, turned)), late, list(zip(amps, lost, strict=True)))


def _heated(readings: ModuleReadings, opened: _Opened, doubts: list[str], bend: float = 0.0) -> Measured | None:
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


def identify_generator(readings: ModuleReadings) -> Result:
    """Volts per kelvin, ohms and watts per kelvin of a module from a bench test, at a mean of 300 K.

    Args:
        readings: the readings and what they were taken with. [SI, K]

    Returns:
        Figures seebeck, resistance, conductance at 300 K; the same at the test's own mean as `*_here`; apart, what the
        thermometers disagree by [K]; merit. Two curves: open volts, and volts lost in the module over the current.

    Raises:
        InputError: no readings, no difference between the faces, numbers out of all reason.

    Limits: bismuth telluride, mean of both faces 250 to 450 K; resistors' ohms with leads and joints up to the voltmeter.
    Source: ioffe-1957, bi2te3-polynomials; doubts after the Guide to the Expression of Uncertainty in Measurement.
    """
    _check(readings)
    tools, kind, doubts = readings.instruments, readings.kind, list[str]()
    opened = _opened(readings, doubts)
    loaded = _loaded(readings, opened, doubts)
    heated = _heated(readings, opened, doubts)
    for name, count in (("open", len(readings.opens)), ("load", len(readings.loads))):
        if count < 3:
            doubts.append(f"Too few {name} readings: {count}; with four or more at different places a slip would show.")
    means = [0.5 * (one.hot + one.cold) for one in readings.opens] + [0.5 * (one.hot + one.cold) for one in readings.loads]
    mean = sum(means) / len(means)
    if min(means) < 250.0 or max(means) > WARMEST:
        worst = max(means, key=lambda one: abs(one - 350.0))
        doubts.append(f"The faces' mean was {worst:.0f} K; the way back to 300 K is only known from 250 to {WARMEST:.0f} K.")
    bend, blur = even(tools.shape_share), even(0.5 * tools.apart)  # which thermometer is wrong is not known: so the mean is not
    bent = _opened(readings, [], bend)
    slope = blurred(wider(opened.line.slope, bent.line.slope), seebeck_shape, mean, blur)
    seen = wider(loaded.seen, _loaded(readings, opened, [], (0.0, bend)).seen)
    seen = blurred(wider(seen, _loaded(readings, bent, [], (bend, 0.0)).seen), resistance_shape, mean, blur)
    if heated is not None:
        heated = wider(heated, _heated(readings, opened, [], bend) or heated)
        heated = blurred(heated, conductance_shape, mean, blur)
    ratios = (seebeck_shape(mean), resistance_shape(mean), conductance_shape(mean))
    half = 0.5 * readings.joints if readings.far_side else 0.0
    shared = {
        "joint": Measured(half, even(half)),
        "thermometer": Measured(1.0, even(tools.thermometer_share)),
    }
    if heated is not None:
        if heated.value * readings.joints >= 0.9 and readings.far_side:
            raise InputError(
                f"joints: got {readings.joints:g} K/W; the heater readings allow at most {0.9 / heated.value:.3g}; guess better"
            )
        inputs = {**shared, "read": heated, "watts": Measured(1.0, even(tools.heater_share))}
        conductance, _ = combine(lambda joint, thermometer, read, watts: 1.0 / (thermometer / (read * watts) - joint), inputs)
    elif kind is not None:
        conductance = Measured(kind.conductance.value, max(kind.conductance.u, 0.15 * kind.conductance.value))
    else:
        conductance = unmeasured_conductance(slope, seen)
    inputs = {**shared, "slope": slope, "volts": Measured(1.0, even(tools.volts.share))}
    inputs["k"] = conductance
    seebeck, _ = combine(lambda joint, thermometer, slope, volts, k: slope * volts / thermometer * (1.0 + joint * k), inputs)
    zt = (kind.merit if kind else 0.5 * sum(MERIT_NEW)) * mean
    inputs = {"seen": seen, "ohms": Measured(1.0, even(tools.load_share))}
    if loaded.late:
        inputs |= {"joint": shared["joint"], "k": conductance, "zt": Measured(zt, even(0.35 * zt))}
        inputs["behind"] = Measured(0.0 if half else 0.5, even(0.0 if half else 0.5))

    def true_ohms(seen: float, ohms: float, joint: float = 0.0, k: float = 0.0, zt: float = 0.0, behind: float = 0.0) -> float:
        """With no joint told of, anywhere from as seen to lowered by all that the current can do."""
        return seen * ohms * (1.0 - behind * zt / (1.0 + zt)) / (1.0 + zt * joint * k / (1.0 + joint * k))

    resistance, _ = combine(true_ohms, inputs)
    if heated is None and kind is None:
        conductance = unmeasured_conductance(seebeck, resistance)
    if half:
        doubts.append(
            "The thermometers sat beyond the joints, where the difference is larger than at the faces: "
            f"{half * conductance.value:.0%} is added to the volts per kelvin, give or take. Grooves at the faces settle it."
        )
    if loaded.late:
        doubts.append(
            f"Volts under load were read later than {QUICK:g} s, when the current has lessened the difference: the "
            f"resistance is lowered from {loaded.seen.value:.3g} to {resistance.value:.3g} Ω, give or take. Read in one second."
        )
    if heated is None:
        whence = f"the catalogue's for {kind.name}" if kind else "what such modules usually have"
        doubts.append(f"The conductance was not measured: it is {whence}, and wide. A heater of known watts settles it.")
    slip = ""
    if not 5e-4 <= seebeck.value <= 0.5:
        slip = "millivolts typed as volts" if seebeck.value > 0.5 else "volts typed as millivolts"
        doubts.append(f"{1e3 * seebeck.value:.3g} mV for every kelvin is not what a module makes: {slip}?")
    merit, _ = combine(lambda a, r, k: a * a / (r * k), {"a": seebeck, "r": resistance, "k": conductance})
    fit, verdict = against_new(seebeck, resistance, merit if heated is not None else None, kind)
    if slip:
        fit, verdict = False, f"Not to be used: {slip}? Check the units and enter the readings again."
    values = (
        ("seebeck", "volts per kelvin", seebeck, "seebeck"),
        ("resistance", "resistance", resistance, "ohms"),
        ("conductance", "heat conductance", conductance, "thermal_conductance"),
    )
    figures = [Figure(name, f"{says} at 300 K", value, kept) for name, says, value, kept in values]
    for (name, says, value, kept), ratio in zip(values, ratios, strict=True):
        figures.append(Figure(f"{name}_here", f"{says} as tested", Measured(value.value * ratio, value.u * ratio), kept))
    figures.append(Figure("apart", "kelvin the thermometers disagree by", opened.apart, "number"))
    figures.append(Figure("merit", "merit Z at 300 K", merit, "per_kelvin"))
    curves = (
        _curve("difference between the faces, K", "open volts brought to 300 K, V", opened.points, opened.line),
        _curve("current, A", "volts lost inside, brought to 300 K, V", loaded.points, loaded.line),
    )
    base = kind.name if kind else ""
    return Result("module", "module, tested on the bench", tuple(figures), fit, verdict, tuple(doubts), curves, base)


def _curve(x_title: str, y_title: str, points: list[tuple[float, float]], line: Line) -> Curve:
    ends = (min(0.0, *(x for x, _ in points)), max(0.0, *(x for x, _ in points)))
    drawn = [(end, line.intercept.value + line.slope.value * end) for end in ends]
    return Curve(x_title, y_title, points, drawn)
