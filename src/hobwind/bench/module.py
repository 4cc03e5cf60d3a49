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
from .measured import Instrument, Line, Measured, combine, even, fit_line
from .ratings import MERIT_NEW, SHAPE_DOUBT, WARMEST, unmeasured_conductance, within
from .result import Curve, Figure, Result

QUICK = 1.0  # s; later readings carry volts of the test current's own temperature difference
SMALL = 10.0  # K; smaller differences tell little
FAR_OFF = 4.5  # a reading this many times its own doubt away from the others is named
RISEN = 1.5  # ohms over new beyond which a module is not worth its place
HALF = 0.5  # merit over new below which it is not


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


@dataclass(frozen=True)
class Kind:
    """What a new one of this kind has at 300 K, from the catalogue: seebeck [V/K], resistance [ohm], conductance [W/K]."""

    name: str
    seebeck: Measured
    resistance: Measured
    conductance: Measured

    @property
    def merit(self) -> float:
        """Z, a^2/(R K). [1/K]"""
        return self.seebeck.value**2 / (self.resistance.value * self.conductance.value)


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


def _mean(one: OpenReading | LoadReading | HeaterReading) -> float:
    return 0.5 * (one.hot + one.cold)


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
        keep = [j for j in range(len(x)) if j != i]
        rest = _line([x[j] for j in keep], [y[j] for j in keep], [ux[j] for j in keep], [uy[j] for j in keep], nought)
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


def identify_generator(readings: ModuleReadings) -> Result:
    """Volts per kelvin, ohms and watts per kelvin of a module from a bench test, at a mean of 300 K.

    Args:
        readings: the readings and what they were taken with. [SI, K]

    Returns:
        Figures seebeck, resistance, conductance at 300 K; seebeck_here, resistance_here at the test's own mean; apart, what
        the thermometers disagree by; merit. Two curves: open volts, and volts lost in the module over the current.

    Raises:
        InputError: no readings, no difference between the faces, numbers out of all reason.

    Limits: bismuth telluride, mean of both faces 250 to 450 K; resistors' ohms with leads and joints up to the voltmeter.
    Source: ioffe-1957, bi2te3-polynomials; doubts after the Guide to the Expression of Uncertainty in Measurement.
    """
    _check(readings)
    tools, doubts, fit = readings.instruments, [], True
    step, digit = math.sqrt(2.0) * even(tools.step), even(tools.volts.digits)

    # Nothing connected.
    shape = [seebeck_shape(_mean(one)) for one in readings.opens]
    x = [one.hot - one.cold for one in readings.opens]
    y = [one.volts / s for one, s in zip(readings.opens, shape, strict=True)]
    ux, uy, nought = [step] * len(x), [digit / s for s in shape], (even(tools.apart), 0.0)
    opened = _line(x, y, ux, uy, nought)
    sign = -1.0 if opened.slope.value < 0.0 else 1.0
    if sign < 0.0:
        doubts.append(
            "The volts run the other way: the leads or the two faces are swapped. Mark the plus lead for this hot face."
        )
        y = [-one for one in y]
        opened = _line(x, y, ux, uy, nought)
    odd = _odd_one(x, y, ux, uy, nought)
    if odd is not None:
        keep = [j for j in range(len(x)) if j != odd]
        rest = _line([x[j] for j in keep], [y[j] for j in keep], ux[1:], [uy[j] for j in keep], nought)
        doubts.append(_told("Open", odd, y[odd] * shape[odd], rest.at(x[odd]).value * shape[odd]))
    if opened.slope.value == 0.0:
        raise InputError("open readings: got no volts at all; volts that rise with the difference are wanted; check the leads")
    apart, _ = combine(lambda i, a: i / a, {"i": Measured(opened.intercept.value, opened.intercept.u), "a": opened.slope})
    if abs(apart.value) > max(0.5, 2.0 * apart.u):
        doubts.append(
            f"The two thermometers disagree by {abs(apart.value):.1f} K. The slope is used, so this drops out of the volts per "
            "kelvin; put both into one cup of water and note what each says."
        )
    if max(abs(one + apart.value) for one in x) < SMALL:
        doubts.append(
            f"The temperature difference is small, {max(map(abs, x)):.1f} K at most; with 20 K or more all gets sharper."
        )
    if len(x) < 4:
        doubts.append(f"Too few open readings: {len(x)}; with four or more at different heats a slip would show.")
    if len(readings.loads) < 3:
        doubts.append(f"Too few load readings: {len(readings.loads)}; with three or more resistors a slip would show.")
    means = [_mean(one) for one in (*readings.opens, *readings.loads)]
    mean = sum(means) / len(means)
    if not 250.0 <= mean <= WARMEST:
        doubts.append(f"The faces' mean was {mean:.0f} K; the way back to 300 K is only known from 250 to {WARMEST:.0f} K.")

    # Resistors connected; the quick ones alone when there are enough.
    quick = [at for at, one in enumerate(readings.loads) if one.seconds <= QUICK]
    late = not readings.reread and len(quick) < min(2, len(readings.loads))
    used = list(range(len(readings.loads))) if readings.reread or late else quick
    if len(used) < len(readings.loads):
        doubts.append(f"{len(readings.loads) - len(used)} load readings taken later than {QUICK:g} s are left out.")
    loads = [readings.loads[at] for at in used]
    pivot = sum(one.hot - one.cold for one in loads) / len(loads)

    def ohms_line(tilt: float) -> tuple[list[float], list[float], list[float], list[float], tuple[float, float], Line]:
        """The load readings with the open line turned a little about their own mean difference."""
        current, lost, u_current, u_lost = [], [], [], []
        for one in loads:
            difference = one.hot - one.cold
            s, r = seebeck_shape(_mean(one)), resistance_shape(_mean(one))
            emf = (opened.at(difference).value + tilt * (difference - pivot)) * s
            volts = sign * one.volts
            current.append(volts / one.ohms)
            lost.append((emf - volts) / r)
            own = abs(emf / volts - 1.0) if volts else 0.0  # the module's ohms over the resistor's, near enough
            u_current.append(0.0)
            u_lost.append(math.hypot(opened.slope.value * s * step, digit * (1.0 + own)) / r)
        fixed = (0.0, opened.at(pivot).u)
        if max(map(abs, current)) <= 0.0 or (len(current) == 1 and current[0] == 0.0):
            raise InputError("load readings: got no volts; more than nothing is wanted; check that the resistor is not a short")
        return current, lost, u_current, u_lost, fixed, _line(current, lost, u_current, u_lost, fixed)

    amps, lost, ua, ul, fixed, ohmic = ohms_line(0.0)
    turned = ohms_line(opened.slope.u)[-1].slope.value - ohmic.slope.value
    odd = _odd_one(amps, lost, ua, ul, fixed)
    if odd is not None:
        one = loads[odd]
        keep = [j for j in range(len(amps)) if j != odd]
        rest = _line([amps[j] for j in keep], [lost[j] for j in keep], ua[1:], [ul[j] for j in keep], fixed)
        s, r = seebeck_shape(_mean(one)), resistance_shape(_mean(one))
        wanted = opened.at(one.hot - one.cold).value * s * one.ohms / (one.ohms + max(rest.slope.value, 0.0) * r)
        doubts.append(_told("Load", used[odd], sign * one.volts, wanted))

    # Heater watts, if there are any.
    heated: Measured | None = None
    if readings.heaters:
        k = [conductance_shape(_mean(one)) for one in readings.heaters]
        hx = [one.hot - one.cold + apart.value for one in readings.heaters]
        hy = [one.watts / shape_k for one, shape_k in zip(readings.heaters, k, strict=True)]
        line = _line(hx, hy, [step] * len(hx), [0.0] * len(hx), (apart.u, 0.0))
        heated = line.slope
        if len(hx) < 3:
            doubts.append(f"Too few heater readings: {len(hx)}; with three or more a slip would show.")

    # What all readings share.
    def one_scale(share: float) -> Measured:
        return Measured(1.0, even(share))

    def shape_scale(ratio: float) -> Measured:
        return one_scale(tools.shape_share * abs(ratio - 1.0) / ratio)

    far = Measured(0.5 * readings.joints, even(0.5 * readings.joints)) if readings.far_side else Measured(0.0, 0.0)
    seen = Measured(ohmic.slope.value, math.hypot(ohmic.slope.u, turned))
    if seen.value <= 0.0:
        raise InputError(
            f"load readings: got {seen.value:.3g} Ω inside the module; more than nothing is wanted; check that the open and the "
            "load volts were not swapped"
        )
    merit = readings.kind.merit if readings.kind else 0.5 * sum(MERIT_NEW)
    rise = Measured(0.5, even(0.5)) if late and not readings.far_side else Measured(0.0, 0.0)

    def kept(kelvin_per_watt: float, conductance: float) -> float:
        """Difference read over difference at the faces."""
        return 1.0 + max(kelvin_per_watt, 0.0) * conductance

    def warmed(kelvin_per_watt: float, conductance: float, share: float, zt: float) -> float:
        """A late reading's ohms over the true ones."""
        behind = max(kelvin_per_watt, 0.0) * conductance
        return 1.0 + zt * (behind / (1.0 + behind) if late and readings.far_side else share)

    zt = Measured(merit * mean, even(0.35 * merit * mean))
    share = {"joint": far, "volts": one_scale(tools.volts.share), "thermometer": one_scale(tools.thermometer_share)}
    if heated is not None:
        given = {"read": heated, "joint": far, "watts": one_scale(tools.heater_share), "thermometer": share["thermometer"]}
        given["shape"] = shape_scale(conductance_shape(mean))
        per_watt = combine(
            lambda read, joint, watts, thermometer, shape: shape / (thermometer / (read * watts) - max(joint, 0.0)), given
        )
        conductance = per_watt[0]
        if conductance.value <= 0.0:
            raise InputError(
                f"joints: got {readings.joints:g} K/W; less than {2.0 / heated.value:.3g} K/W is allowed by the heater readings; "
                "guess the joints better"
            )
    elif readings.kind is not None:
        conductance = Measured(
            readings.kind.conductance.value, max(readings.kind.conductance.u, 0.15 * readings.kind.conductance.value)
        )
    else:
        conductance = unmeasured_conductance(opened.slope, seen)
    seebeck_inputs = {"slope": opened.slope, **share, "conductance": conductance, "shape": shape_scale(seebeck_shape(mean))}
    seebeck, _ = combine(
        lambda slope, joint, volts, thermometer, conductance, shape: (
            slope * volts / thermometer * kept(joint, conductance) * shape
        ),
        seebeck_inputs,
    )
    resistance_inputs = {
        "seen": seen, "load": one_scale(tools.load_share), "joint": far, "conductance": conductance, "share": rise, "zt": zt,
        "shape": shape_scale(resistance_shape(mean)),
    }  # fmt: skip
    resistance, _ = combine(
        lambda seen, load, joint, conductance, share, zt, shape: seen * load * shape / warmed(joint, conductance, share, zt),
        resistance_inputs,
    )
    if heated is None and readings.kind is None:
        conductance = unmeasured_conductance(seebeck, resistance)
    if readings.far_side:
        doubts.append(
            f"The thermometers sat beyond the joints: the faces were closer together than read, and {kept(far.value, conductance.value) - 1.0:.0%} "
            "is added to the volts per kelvin, give or take. Thermometers in grooves right at the faces would settle it."
        )
    if late:
        doubts.append(
            f"The volts under load were read later than {QUICK:g} s, when the current has cooled the hot face: the resistance is "
            f"lowered to {resistance.value:.3g} Ω from {seen.value:.3g} Ω, give or take. Read within a second of connecting."
        )
    if heated is None:
        whence = f"the catalogue's for {readings.kind.name}" if readings.kind else "what such modules usually have"
        doubts.append(f"The conductance was not measured: it is {whence}, and wide. A heater of known watts would settle it.")
    if seebeck.value > 0.5:
        fit = False
        doubts.append(f"{seebeck.value:.3g} V for every kelvin is far too much for a module: millivolts typed as volts?")
    elif seebeck.value < 5e-4:
        fit = False
        doubts.append(
            f"{1e3 * seebeck.value:.3g} mV for every kelvin is far too little for a module: volts typed as millivolts?"
        )
    z, _ = combine(lambda a, r, k: a * a / (r * k), {"a": seebeck, "r": resistance, "k": conductance})
    verdict = _verdict(fit, seebeck, resistance, z, readings.kind, heated is not None)
    figures = (
        Figure("seebeck", "volts per kelvin at 300 K", seebeck, "seebeck"),
        Figure("resistance", "resistance at 300 K", resistance, "ohms"),
        Figure("conductance", "heat conductance at 300 K", conductance, "thermal_conductance"),
        Figure("seebeck_here", "volts per kelvin at the test's mean", _here(seebeck, seebeck_shape(mean)), "seebeck"),
        Figure("resistance_here", "resistance at the test's mean", _here(resistance, resistance_shape(mean)), "ohms"),
        Figure(
            "conductance_here",
            "conductance at the test's mean",
            _here(conductance, conductance_shape(mean)),
            "thermal_conductance",
        ),
        Figure("apart", "what the thermometers disagree by, K", apart, "number"),
        Figure("merit", "merit Z, per kelvin", z, "per_kelvin"),
    )
    base = readings.kind.name if readings.kind else ""
    curves = (
        _curve("difference between the faces, K", "open volts brought to 300 K, V", x, y, opened),
        _curve("current, A", "volts lost inside, brought to 300 K, V", amps, lost, ohmic),
    )
    return Result("module", "module, tested on the bench", figures, *verdict, tuple(doubts), curves, base)


def _here(value: Measured, ratio: float) -> Measured:
    return Measured(value.value * ratio, value.u * ratio)


def _curve(x_title: str, y_title: str, x: list[float], y: list[float], line: Line) -> Curve:
    ends = (min(0.0, *x), max(0.0, *x))
    drawn = [(end, line.intercept.value + line.slope.value * end) for end in ends]
    return Curve(x_title, y_title, list(zip(x, y, strict=True)), drawn)


def _verdict(
    fit: bool, seebeck: Measured, resistance: Measured, z: Measured, kind: Kind | None, heat: bool
) -> tuple[bool, str]:
    """Fit or not, and why."""
    if not fit:
        return False, "Not to be used: the readings cannot be of a module. Check the units and read again."
    new = kind.merit if kind else 0.5 * sum(MERIT_NEW)
    if kind is not None and resistance.value > RISEN * kind.resistance.value:
        return False, (
            f"Unfit: {resistance.value / kind.resistance.value:.1f} times the resistance of a new {kind.name}. "
            "A cracked leg or aged solder; look at the health test."
        )
    if kind is not None and seebeck.value < 0.7 * kind.seebeck.value:
        return (
            False,
            f"Unfit: only {seebeck.value / kind.seebeck.value:.0%} of the volts of a new {kind.name}. Couples are shorted or reversed.",
        )
    if (heat or kind is not None) and z.value < HALF * new:
        return (
            False,
            f"Unfit: it makes only {z.value / new:.0%} of a new one's merit; the same heat gives less than half the power.",
        )
    if not heat and kind is None:
        return True, "Fit as far as volts and resistance tell; name its kind or measure its heat to judge it against a new one."
    return True, f"Fit: {z.value / new:.0%} of a new one's merit."
