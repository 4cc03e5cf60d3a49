"""Module values from what a seller prints: coolers by two published ways, generators from their power sheet.

Both cooler ways use the constant-property model of `physics.thermoelectric`. At the current of most cooling the cold face
gains nothing from more current, so I = a Tc/R; at the largest difference nothing is pumped, so a^2 Tc^2/(2 R) = K dT.
With Tc = Th - dT that leaves one free scale, taken either from the printed volts (V = a dT + I R = a Th, the way of
Lineykin and Ben-Yaakov) or from the printed heat (Q = a Th I - I^2 R/2 = a I (Th + dT)/2, derived here from the same
model). So both ways give the same Z, and their seebeck, resistance and conductance all differ by one ratio: printed over
predicted heat.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from ..errors import InputError
from ..physics.thermoelectric import (
    conductance_shape,
    from_cooler_ratings,
    predicted_qmax,
    resistance_shape,
    seebeck_shape,
)
from .measured import Measured, combine, even
from .result import Figure, Result

SHAPE_DOUBT = 0.2  # ± share of the change over temperature: makes of bismuth telluride differ about so much
MERIT_NEW = (1.6e-3, 2.9e-3)  # 1/K, a whole new module with the heat leaking round its legs
DISAGREE = 0.05  # printed figures further apart than this are not one test of one module
WARMEST = 450.0  # K, mean of both faces up to which the shapes hold

Shape = Callable[[float], float]


@dataclass(frozen=True)
class CoolerPrints:
    """A cooler's printed figures. Zero means not printed.

    Args:
        hot: hot face of the ratings. [K]
        volts: at the most cooling. [V]
        amperes: at the most cooling. [A]
        difference: largest, nothing pumped. [K]
        heat: most pumped, no difference. [W]
        resistance: by alternating current. [ohm]
        resistance_at: temperature of that; 0 takes `hot`. [K]
        share: how far any printed figure may be from the module in hand, as ± limits. [-]
    """

    hot: float
    volts: float
    amperes: float
    difference: float
    heat: float = 0.0
    resistance: float = 0.0
    resistance_at: float = 0.0
    share: float = 0.05


@dataclass(frozen=True)
class GeneratorPrints:
    """A generator's printed figures. Zero means not printed.

    Args:
        hot: hot face. [K]
        cold: cold face. [K]
        open_volts: nothing connected. [V]
        matched_volts: into the best load, half the open volts. [V]
        watts: into the best load. [W]
        ohms: the module's own, at these temperatures. [ohm]
        heat: into the hot face at the best load. [W]
        share: how far any printed figure may be from the module in hand, as ± limits. [-]
    """

    hot: float
    cold: float
    open_volts: float = 0.0
    matched_volts: float = 0.0
    watts: float = 0.0
    ohms: float = 0.0
    heat: float = 0.0
    share: float = 0.05


def within(place: str, got: float, low: float, high: float, unit: str, do: str) -> None:
    """Complain unless low <= got <= high.

    Raises:
        InputError: outside, or no number.
    """
    if not (math.isfinite(got) and low <= got <= high):
        raise InputError(f"{place}: got {got:g} {unit}; {low:g} to {high:g} {unit} is allowed; {do}")


def at_300(value: Measured, shape: Shape, mean: float, doubt: float = SHAPE_DOUBT) -> Measured:
    """Bring a value to a mean of 300 K, with the doubt of the shape.

    Args:
        value: at `mean`. [any]
        shape: ratio to 300 K.
        mean: of both faces. [K]
        doubt: ± share of the change. [-]

    Returns:
        Value at 300 K. [as value]

    Source: bi2te3-polynomials.
    """
    ratio = shape(mean)
    found = value.value / ratio
    return Measured(found, math.hypot(value.u / ratio, abs(found) * even(doubt * abs(ratio - 1.0) / ratio)))


def bent_shape(shape: Shape, hot: float, cold: float, bend: float) -> float:
    """A shape at these faces, its change from 300 K larger by the share `bend`."""
    return 1.0 + (shape(0.5 * (hot + cold)) - 1.0) * (1.0 + bend)


def wider(value: Measured, other: Measured) -> Measured:
    """The value with one doubt more: that another shape gives `other`."""
    return Measured(value.value, math.hypot(value.u, other.value - value.value))


def blurred(value: Measured, shape: Shape, mean: float, u: float) -> Measured:
    """The value with the doubt that its mean temperature was known no better than `u` [K]."""
    share = 0.5 * abs(shape(mean + u) - shape(mean - u)) / shape(mean)
    return Measured(value.value, math.hypot(value.u, share * value.value))


def heat_method(hot: float, heat: float, amperes: float, difference: float) -> tuple[float, float, float]:
    """Volts per kelvin, ohms and watts per kelvin from printed current, difference and heat, without the volts.

        a = 2 Q/(I (Th + dT)),   R = a (Th - dT)/I,   K = a I (Th - dT)/(2 dT)

    Args:
        hot: hot face of the ratings. [K]
        heat: most pumped, no difference. [W]
        amperes: at the most cooling. [A]
        difference: largest, nothing pumped. [K]

    Returns:
        seebeck, resistance, conductance. [V/K, ohm, W/K]

    Limits: as the module's first paragraph; constant properties.
    Source: derived there from ioffe-1957.

    >>> [round(x, 4) for x in heat_method(300.0, 74.5, 7.6, 70.0)]
    [0.053, 1.6036, 0.6616]
    """
    seebeck = 2.0 * heat / (amperes * (hot + difference))
    return seebeck, seebeck * (hot - difference) / amperes, 0.5 * seebeck * amperes * (hot - difference) / difference


def _middle(values: list[float]) -> Measured:
    low, high = min(values), max(values)
    return Measured(0.5 * (low + high), even(0.5 * (high - low)))


def from_cooler_prints(prints: CoolerPrints) -> Result:
    """A cooler's values at a mean of 300 K from its printed figures.

    Values are taken to hold at the printed hot face, as the published way does; that they may hold at the mean of both
    faces instead is part of the doubt, and so is half of the distance between the two ways.

    Args:
        prints: the printed figures. [SI, K]

    Returns:
        seebeck, resistance, conductance at 300 K; the same at the hot face as `*_printed`; `heat_predicted`; `apart`,
        predicted over printed heat less one.

    Raises:
        InputError: a figure is missing or out of all reason.

    Limits: bismuth telluride, hot face 250 to 400 K.
    Source: rated-value-method, ioffe-1957, bi2te3-polynomials.
    """
    within("hot face of the ratings", prints.hot, 250.0, 400.0, "K", "give the hot side the sheet names, often 300 or 323 K")
    within("largest volts", prints.volts, 0.01, 500.0, "V", "copy Vmax from the sheet")
    within("largest amperes", prints.amperes, 0.01, 500.0, "A", "copy Imax from the sheet")
    within("largest difference", prints.difference, 20.0, 110.0, "K", "copy ΔTmax of a single-stage module")
    for place, got, unit in (("most heat", prints.heat, "W"), ("AC resistance", prints.resistance, "Ω")):
        within(place, got, 0.0, 5000.0, unit, "leave it at 0 when the sheet does not print it")
    hot, mean = prints.hot, prints.hot - 0.5 * prints.difference
    by_volts = from_cooler_ratings(hot, prints.volts, prints.amperes, prints.difference)
    ways = [[one] for one in by_volts]
    heat = predicted_qmax(by_volts[0], by_volts[1], hot, prints.amperes)
    figures, doubts = [], []
    if prints.heat > 0.0:
        by_heat = heat_method(hot, prints.heat, prints.amperes, prints.difference)
        ways = [[one, other] for one, other in zip(by_volts, by_heat, strict=True)]
        apart = heat / prints.heat - 1.0
        figures.append(Figure("apart", "predicted over printed heat, less one", Measured(apart, 0.0), "number"))
        if abs(apart) > DISAGREE:
            doubts.append(
                f"The printed figures do not fit together: volts, amperes and difference call for {heat:.1f} W where "
                f"{prints.heat:.1f} W is printed ({100.0 * apart:+.0f} %). Measure the module rather than trust the sheet."
            )
    if prints.resistance > 0.0:
        at = prints.resistance_at or hot
        within("temperature of the AC resistance", at, 250.0, 400.0, "K", "leave it at 0 to take the hot face")
        printed = prints.resistance * resistance_shape(hot) / resistance_shape(at)
        off = printed / by_volts[1] - 1.0
        ways[1].append(printed)
        if abs(off) > DISAGREE:
            doubts.append(
                f"The printed AC resistance of {printed:.3g} Ω is {100.0 * off:+.0f} % from the {by_volts[1]:.3g} Ω that volts "
                "and amperes call for. Measure it cold, with both faces clamped in one block."
            )
    shapes: tuple[Shape, ...] = (seebeck_shape, resistance_shape, conductance_shape)
    names = (
        ("seebeck", "volts per kelvin", "seebeck"),
        ("resistance", "resistance", "ohms"),
        ("conductance", "heat conductance", "thermal_conductance"),
    )
    raw = []
    for (name, says, dimension), found, shape in zip(names, ways, shapes, strict=True):
        middle = _middle(found)
        # One printed figure's doubt, taken as carried by each value once: they come from one test.
        held = Measured(middle.value, math.hypot(middle.u, middle.value * even(prints.share)))
        brought = at_300(held, shape, hot)
        where = brought.value * even(abs(shape(hot) / shape(mean) - 1.0))
        figures.append(Figure(name, f"{says} at 300 K", Measured(brought.value, math.hypot(brought.u, where)), dimension))
        raw.append(Figure(f"{name}_printed", f"{says} as the sheet has it", held, dimension))
    figures += [*raw, Figure("heat_predicted", "heat the sheet should print", Measured(heat, 0.0), "power")]
    verdict = "The printed figures fit together; good enough for a first plan."
    if doubts:
        verdict = "The printed figures contradict each other; use these values with their doubt, and measure before building."
    return Result(
        "module",
        "module, from its printed cooler figures",
        tuple(figures),
        not doubts,
        verdict,
        tuple(doubts),
        source="printed-ratings",
    )


def from_generator_prints(prints: GeneratorPrints) -> Result:
    """A generator's values at a mean of 300 K from its power sheet.

        a = V0/dT,   R = V0^2/(4 P) or as printed,   K = (Q - a Th I + I^2 R/2)/dT with I = V0/(2 R)

    Args:
        prints: the printed figures. [SI, K]

    Returns:
        seebeck, resistance, conductance at 300 K; the same at the sheet's temperatures as `*_printed`.

    Raises:
        InputError: too little printed, or out of all reason.

    Limits: bismuth telluride; mean of both faces 250 to 450 K.
    Source: ioffe-1957, bi2te3-polynomials.
    """
    within("cold face", prints.cold, 230.0, 500.0, "K", "give kelvin")
    within("hot face", prints.hot, prints.cold + 5.0, 700.0, "K", "give the hotter face, in kelvin")
    for place, got, unit in (
        ("open volts", prints.open_volts, "V"), ("matched volts", prints.matched_volts, "V"), ("watts", prints.watts, "W"),
        ("ohms", prints.ohms, "Ω"), ("heat", prints.heat, "W"),
    ):  # fmt: skip
        within(place, got, 0.0, 5000.0, unit, "leave it at 0 when the sheet does not print it")
    opened = [volts for volts in (prints.open_volts, 2.0 * prints.matched_volts) if volts > 0.0]
    if not opened and prints.watts > 0.0 and prints.ohms > 0.0:
        opened = [2.0 * math.sqrt(prints.watts * prints.ohms)]
    if not opened or not (prints.watts > 0.0 or prints.ohms > 0.0):
        raise InputError("generator figures: got too few; volts with watts or ohms are wanted; copy two of them from the sheet")
    difference, mean = prints.hot - prints.cold, 0.5 * (prints.hot + prints.cold)
    volts = _middle(opened)
    own = [volts.value**2 / (4.0 * prints.watts)] if prints.watts > 0.0 else []
    own += [prints.ohms] if prints.ohms > 0.0 else []
    ohms, doubts = _middle(own), []
    for name, found in (("volts", opened), ("ohms", own)):
        if max(found) > (1.0 + DISAGREE) * min(found):
            doubts.append(
                f"The printed figures do not fit together: they call for {min(found):.3g} and for {max(found):.3g} {name} "
                f"({100.0 * (max(found) / min(found) - 1.0):.0f} % apart). Measure the module rather than trust the sheet."
            )
    if mean > WARMEST:
        doubts.append(f"The sheet's faces have a mean of {mean:.0f} K; the way to 300 K is only known up to {WARMEST:.0f} K.")
    scale = even(prints.share)
    seebeck = Measured(volts.value / difference, math.hypot(volts.u, scale * volts.value) / difference)
    resistance = Measured(ohms.value, math.hypot(ohms.u, scale * ohms.value))
    if prints.heat > 0.0:

        def leak(seebeck: float, resistance: float, heat: float) -> float:
            current = 0.5 * seebeck * difference / resistance
            return (heat - seebeck * prints.hot * current + 0.5 * current**2 * resistance) / difference

        given = {"seebeck": seebeck, "resistance": resistance, "heat": Measured(prints.heat, scale * prints.heat)}
        conductance, _ = combine(leak, given)
        if conductance.value <= 0.0:
            raise InputError(
                f"heat: got {prints.heat:g} W; more than {prints.heat - conductance.value * difference:.3g} W is needed to "
                "make the printed power; check that it is the heat into the hot face"
            )
        conductance = at_300(conductance, conductance_shape, mean)
    else:
        conductance = unmeasured_conductance(at_300(seebeck, seebeck_shape, mean), at_300(resistance, resistance_shape, mean))
        doubts.append("The sheet prints no heat: the conductance is what such modules usually have. Measure it with a heater.")
    figures = (
        Figure("seebeck", "volts per kelvin at 300 K", at_300(seebeck, seebeck_shape, mean), "seebeck"),
        Figure("resistance", "resistance at 300 K", at_300(resistance, resistance_shape, mean), "ohms"),
        Figure("conductance", "heat conductance at 300 K", conductance, "thermal_conductance"),
        Figure("seebeck_printed", "volts per kelvin as the sheet has it", seebeck, "seebeck"),
        Figure("resistance_printed", "resistance as the sheet has it", resistance, "ohms"),
    )
    fits = not any("do not fit" in doubt for doubt in doubts)
    verdict = "The printed figures fit together; good enough for a first plan." if fits else (
        "The printed figures contradict each other; measure before building."
    )  # fmt: skip
    return Result(
        "module", "module, from its printed generator figures", figures, fits, verdict, tuple(doubts), source="printed-ratings"
    )


def unmeasured_conductance(seebeck: Measured, resistance: Measured) -> Measured:
    """Conductance of a sound module from its volts per kelvin and ohms, anywhere a new one may lie.

        K = a^2/(R Z)

    Args:
        seebeck: at 300 K. [V/K]
        resistance: at 300 K. [ohm]

    Returns:
        Conductance at 300 K, wide. [W/K]

    Source: ioffe-1957; the range of Z is practice.
    """
    low, high = MERIT_NEW
    merit = Measured(0.5 * (low + high), even(0.5 * (high - low)))
    found, _ = combine(lambda a, r, z: a * a / (r * z), {"a": seebeck, "r": resistance, "z": merit})
    return found
