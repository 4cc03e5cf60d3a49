"""A module tested as a generator: volts with nothing connected, volts into known resistors, heater watts if there are any.

Everything is brought to a mean of 300 K before a line is drawn, with d what the two thermometers disagree by:

    V/s = a (dT + d)          nothing connected; the slope is a whatever d is
    (E - V)/r = R I           I = V/ohms, E the open line at the same faces
    Q/k = K (dT + d)          heater, nothing connected

s, r, k are the bismuth telluride shapes. What all readings share (the meter's and thermometers' scale, the resistors' ohm
meter, the stray heat, the shapes) is carried once, not averaged away; what each reading has alone goes into the lines.
"""

from __future__ import annotations

from ..errors import InputError
from ..physics.thermoelectric import conductance_shape, resistance_shape, seebeck_shape
from .health import against_new
from .measured import Line, Measured, combine, even
from .module_lines import QUICK, heated_line, loaded_line, opened_line
from .module_readings import ModuleReadings, check
from .ratings import MERIT_NEW, WARMEST, blurred, unmeasured_conductance, wider
from .result import Curve, Figure, Result


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
    check(readings)
    tools, kind, doubts = readings.instruments, readings.kind, list[str]()
    opened = opened_line(readings, doubts)
    loaded = loaded_line(readings, opened, doubts)
    heated = heated_line(readings, opened, doubts)
    for name, count in (("open", len(readings.opens)), ("load", len(readings.loads))):
        if count < 3:
            doubts.append(f"Too few {name} readings: {count}; with four or more at different places a slip would show.")
    means = [0.5 * (one.hot + one.cold) for one in readings.opens] + [0.5 * (one.hot + one.cold) for one in readings.loads]
    mean = sum(means) / len(means)
    if min(means) < 250.0 or max(means) > WARMEST:
        worst = max(means, key=lambda one: abs(one - 350.0))
        doubts.append(f"The faces' mean was {worst:.0f} K; the way back to 300 K is only known from 250 to {WARMEST:.0f} K.")
    bend, blur = even(tools.shape_share), even(0.5 * tools.apart)  # which thermometer is wrong is not known: so the mean is not
    bent = opened_line(readings, [], bend)
    slope = blurred(wider(opened.line.slope, bent.line.slope), seebeck_shape, mean, blur)
    seen = wider(loaded.seen, loaded_line(readings, opened, [], (0.0, bend)).seen)
    seen = blurred(wider(seen, loaded_line(readings, bent, [], (bend, 0.0)).seen), resistance_shape, mean, blur)
    if heated is not None:
        heated = wider(heated, heated_line(readings, opened, [], bend) or heated)
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
