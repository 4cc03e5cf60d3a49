"""A module with a kettle, ice and a volt meter only: what can be had, and what stays wide."""

from __future__ import annotations

from ..physics.thermoelectric import seebeck_shape
from .health import against_new
from .measured import Measured, combine, even
from .module_lines import opened_line
from .module_readings import ModuleReadings, check
from .ratings import MERIT_NEW, blurred, wider
from .result import Curve, Figure, Result

USUAL = Measured(0.5, 0.2)  # W/K of a 40 mm module, only to correct for joints; practice
AGED = 0.15  # ± of a new one's ohms and heat, for one that was never loaded; bench-practice


def identify_kettle(readings: ModuleReadings) -> Result:
    """Volts per kelvin alone; ohms and heat conductance from the kind, wide, where that is named.

    Args:
        readings: open readings; loads and heaters empty. [SI, K]

    Returns:
        Figure seebeck at 300 K, and resistance and conductance of the kind where one is named.

    Raises:
        InputError: no readings, no difference between the faces, numbers out of all reason.

    Limits: as `identify_generator`.
    Source: ioffe-1957, bi2te3-polynomials, bench-practice; gum for the doubts.
    """
    check(readings, ("open",))
    tools, kind, doubts = readings.instruments, readings.kind, list[str]()
    opened = opened_line(readings, doubts)
    if len(readings.opens) < 3:
        doubts.append(f"Too few open readings: {len(readings.opens)}; with four or more at different places a slip would show.")
    mean = sum(0.5 * (one.hot + one.cold) for one in readings.opens) / len(readings.opens)
    bent = opened_line(readings, [], even(tools.shape_share))
    slope = blurred(wider(opened.line.slope, bent.line.slope), seebeck_shape, mean, even(0.5 * tools.apart))
    half = 0.5 * readings.joints if readings.far_side else 0.0
    inputs = {
        "slope": slope,
        "meter": Measured(1.0, even(tools.volts.share)),
        "thermometer": Measured(1.0, even(tools.thermometer_share)),
        "joint": Measured(half, even(half)),
        "k": kind.conductance if kind else USUAL,
    }
    seebeck, _ = combine(lambda slope, meter, thermometer, joint, k: slope * meter / thermometer * (1.0 + joint * k), inputs)
    if half:
        doubts.append("The thermometers sat beyond the joints, which makes the volts per kelvin look small; grooves settle it.")
    figures = [Figure("seebeck", "volts per kelvin at 300 K", seebeck, "seebeck")]
    fit, verdict = True, "Its volts per kelvin are measured, nothing else; name its kind to judge them beside a new one."
    if kind is not None:
        resistance, conductance = (
            Measured(one.value, max(one.u, even(AGED) * one.value)) for one in (kind.resistance, kind.conductance)
        )
        figures += [
            Figure("resistance", "resistance of a new one", resistance, "ohms"),
            Figure("conductance", "heat conductance of a new one", conductance, "thermal_conductance"),
        ]
        fit, told = against_new(seebeck, resistance, None, kind)
        verdict = (
            told if not fit else f"Volts per kelvin are those of a sound {kind.name}; its ohms and heat were not measured."
        )
    low, high = (seebeck.value**2 / z for z in reversed(MERIT_NEW))
    doubts.append(
        f"Without a load the ohms, without watts the heat stay open: a sound one has {low:.2g} to {high:.2g} for ohms times W/K, and an "
        "aged one more ohms. One known resistor settles the ohms, a heater the heat."
    )
    ends = (0.0, max(x for x, _ in opened.points))
    curve = Curve(
        "difference between the faces, K", "open volts brought to 300 K, V", opened.points,
        [(end, opened.line.at(end).value) for end in ends],
    )  # fmt: skip
    base = kind.name if kind else ""
    return Result("module", "module, by kettle and ice", tuple(figures), fit, verdict, tuple(doubts), (curve,), base)
