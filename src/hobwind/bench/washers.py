"""A stack of disc washers: force and travel from its sizes, checked on a scale where that was tried, for the clamp."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ..errors import InputError
from .measured import Measured, combine, even
from .result import Curve, Figure, Result

STEEL, POISSON = 206e9, 0.3  # Pa, -; spring steel, en-16984
WORKING = 0.75  # of the dish; beyond it a disc sets and its force is no longer sure
RUB = 0.03  # ± share of force for each disc nested in another; en-16984 gives 2 to 5 %
WANTED = (1.0e6, 1.4e6)  # Pa on the modules; assembly-notes
SOFT = 0.7  # measured over computed force below which discs are annealed, cracked, or not what they look


@dataclass(frozen=True)
class Disc:
    """One disc: outer, inner diameter, thickness, dish (free height less thickness), all m."""

    outer: float
    inner: float
    thickness: float
    dish: float


@dataclass(frozen=True)
class WasherReadings:
    """A stack: its disc; how many lie the same way and how many such packs face each other; what the sizes may be off by.

    `pressed`: (squeeze of the whole stack, force), m and N. `squeeze`: of the whole stack when clamped, m; None takes three quarters.
    `screws` and `area`: stacks sharing the clamp, and the modules' pressed area, m2; None when not asked for.
    """

    disc: Disc
    nested: int = 1
    packs: int = 1
    pressed: Sequence[tuple[float, float]] = ()
    squeeze: float | None = None
    screws: int = 1
    area: float | None = None
    caliper: float = 0.02e-3  # ±
    gauge: float = 0.05e-3  # ± of the squeeze
    scale_share: float = 0.03  # ±


def disc_force(disc: Disc, travel: float, modulus: float = STEEL) -> float:
    """Force of one disc washer at a travel, after Almen and László.

        F = 4 E/(1 - v^2) t^4/(K1 D^2) (s/t) [(h/t - s/t)(h/t - s/(2t)) + 1]
        K1 = ((d - 1)/d)^2/(pi [(d + 1)/(d - 1) - 2/ln d]),   d = D_outer/D_inner

    Args:
        disc: its sizes. [m]
        travel: squeeze of this one disc. [m]
        modulus: of its steel. [Pa]

    Returns:
        Force. [N]

    Limits: discs without ground ends, up to three quarters of the dish.
    Source: en-16984, almen-laszlo-1936.
    Check: 8 x 4.2 x 0.4 x 0.2 mm at 0.15 mm: 210 N.

    >>> round(disc_force(Disc(8e-3, 4.2e-3, 0.4e-3, 0.2e-3), 0.15e-3))
    210
    """
    ratio, t = disc.outer / disc.inner, disc.thickness
    k1 = ((ratio - 1.0) / ratio) ** 2 / (math.pi * ((ratio + 1.0) / (ratio - 1.0) - 2.0 / math.log(ratio)))
    s, h = travel / t, disc.dish / t
    return 4.0 * modulus / (1.0 - POISSON**2) * t**4 / (k1 * disc.outer**2) * s * ((h - s) * (h - 0.5 * s) + 1.0)


def _check(readings: WasherReadings) -> None:
    d = readings.disc
    if not d.inner < d.outer:
        raise InputError(f"inner: got {d.inner * 1e3:g} mm for an outer of {d.outer * 1e3:g}; the hole must be smaller")
    if not 0.0 < d.dish <= 2.0 * d.thickness:
        raise InputError(
            f"dish: got {d.dish * 1e3:g} mm on {d.thickness * 1e3:g} mm of thickness; above nothing and up to twice the thickness is "
            "allowed. The dish is the free height less the thickness"
        )
    whole = d.dish * readings.packs
    for i, (squeeze, force) in enumerate(readings.pressed, 1):
        if not 0.0 < squeeze <= whole * 1.05 or force <= 0.0:
            raise InputError(
                f"pressed {i}: got {squeeze * 1e3:g} mm and {force:g} N; above nothing and up to {whole * 1e3:.2f} mm, flat, is allowed"
            )
    if readings.squeeze is not None and not 0.0 < readings.squeeze <= whole:
        raise InputError(
            f"squeeze: got {readings.squeeze * 1e3:g} mm; above nothing and up to {whole * 1e3:.2f} mm, where the stack is flat, is "
            "allowed"
        )


def identify_washers(readings: WasherReadings) -> Result:
    """Force, rate and travel of a stack of disc washers.

    Args:
        readings: sizes, and forces where they were tried. [SI]

    Returns:
        The result; figures fill a part of kind "washer", lines are keys of a build's clamp.

    Raises:
        InputError: sizes or readings that cannot be.

    Source: en-16984, almen-laszlo-1936; gum for the doubts.
    """
    _check(readings)
    doubts: list[str] = []
    disc, packs = readings.disc, readings.packs
    squeeze = readings.squeeze or WORKING * disc.dish * packs
    inputs = _inputs(readings)

    def stack(at: float) -> Callable[..., float]:
        def force(outer: float, inner: float, thickness: float, dish: float, rub: float, modulus: float) -> float:
            one = Disc(outer, inner, thickness, max(dish, 1e-6))
            return readings.nested * (1.0 + rub) * disc_force(one, at / packs, modulus)

        return force

    force, _ = combine(stack(squeeze), inputs)
    step = 0.02 * disc.dish * packs
    rate, _ = combine(lambda **given: (stack(squeeze + step)(**given) - stack(squeeze - step)(**given)) / (2.0 * step), inputs)
    scale = Measured(1.0, 0.0)
    if readings.pressed:
        scale = _scale(readings, stack, inputs, doubts)
        # What was pressed rules over what was computed, where the doubt of the scale is the smaller.
        force = Measured(force.value * scale.value, force.value * scale.u)
        rate = Measured(rate.value * scale.value, math.hypot(rate.value * scale.u, 0.1 * rate.value))
    figures = [
        Figure("force", f"force at {squeeze * 1e3:.2f} mm of squeeze", force, "force"),
        Figure("rate", "rate there", rate, "spring_rate"),
        Figure("travel", "travel to three quarters", Measured(WORKING * disc.dish * packs, 0.0), "length"),
    ]
    for name in ("outer", "inner", "thickness"):
        figures.append(Figure(name, name, inputs[name], "length"))
    lines: tuple[str, ...] = ()
    if readings.area is not None:
        pressure = Measured(force.value * readings.screws / readings.area, force.u * readings.screws / readings.area)
        figures.append(Figure("pressure", f"clamps with {readings.screws} of them", pressure, "pressure"))
        if not WANTED[0] <= pressure.value <= WANTED[1]:
            doubts.append(
                f"{pressure.value / 1e6:.2f} MPa on the modules; {WANTED[0] / 1e6:.1f} to {WANTED[1] / 1e6:.1f} satisfies all makers. "
                f"{'Squeeze less' if pressure.value > WANTED[1] else 'Squeeze more, or nest them'}."
            )
        lines = ("[clamp]", f'pressure = "{pressure.value / 1e6:.3g} ± {2e-6 * pressure.u:.2g} MPa"')
    if squeeze > WORKING * disc.dish * packs * 1.001:
        doubts.append("Squeezed beyond three quarters of the dish: such discs set, and the force falls over the winters.")
    flat = disc.dish * packs
    drawn = [(flat * i / 40, scale.value * stack(flat * i / 40)(**{n: m.value for n, m in inputs.items()})) for i in range(41)]
    points = [(one * 1e3, pressed) for one, pressed in readings.pressed]
    curve = Curve("squeeze of the stack, mm", "force, N", points, [(a * 1e3, b) for a, b in drawn])
    fit, verdict = _verdict(scale, force, readings)
    return Result(
        "washer", "disc washers, by size and on a scale" if points else "disc washers, by size",
        tuple(figures), fit, verdict, tuple(doubts), (curve,), lines=lines,
    )  # fmt: skip


def _inputs(readings: WasherReadings) -> dict[str, Measured]:
    u, disc = even(readings.caliper), readings.disc
    return {
        "outer": Measured(disc.outer, u),
        "inner": Measured(disc.inner, u),
        "thickness": Measured(disc.thickness, u),
        "dish": Measured(disc.dish, math.sqrt(2.0) * u),
        "rub": Measured(0.0, even(RUB * max(readings.nested - 1, 0) + 0.01)),
        "modulus": Measured(STEEL, 0.02 * STEEL),
    }


def _scale(
    readings: WasherReadings, stack: Callable[[float], Callable[..., float]], inputs: dict[str, Measured], doubts: list[str]
) -> Measured:
    """Pressed force over computed force, and how sure that is."""
    values = {name: one.value for name, one in inputs.items()}
    ratios, own = [], []
    for squeeze, force in readings.pressed:
        computed = stack(squeeze)(**values)
        slope = (stack(squeeze * 1.01)(**values) - computed) / (0.01 * squeeze)
        ratios.append(force / computed)
        own.append(even(readings.gauge) * abs(slope) / computed)
    weights = [1.0 / max(u, 1e-6) ** 2 for u in own]
    mean = sum(w * r for w, r in zip(weights, ratios, strict=True)) / sum(weights)
    for i, (ratio, u) in enumerate(zip(ratios, own, strict=True), 1):
        if len(ratios) > 2 and abs(ratio - mean) > 3.5 * max(u, 0.02):
            doubts.append(f"pressed {i} does not go with the others: {ratio / mean:.2f} times what they say; read it again")
    shared = math.hypot(1.0 / math.sqrt(sum(weights)), even(readings.scale_share) * mean)
    if mean < SOFT or mean > 1.0 / SOFT:
        doubts.append(f"The scale says {mean:.2f} times what size and spring steel call for.")
    return Measured(mean, shared)


def _verdict(scale: Measured, force: Measured, readings: WasherReadings) -> tuple[bool, str]:
    if scale.value < SOFT:
        return False, "Unfit: much weaker than spring steel of that size. Annealed, cracked, or plain dished washers."
    if scale.value > 1.0 / SOFT:
        return False, "Stiffer than spring steel of that size can be: measure thickness and dish again, and count how they lie."
    if force.u > 0.25 * force.value:
        return (
            False,
            "Too unsure to clamp by: measure the thickness to a hundredth of a millimetre, or press the stack on a scale.",
        )
    way = f"{readings.nested} the same way, {readings.packs} facing"
    return True, f"Fit: {force.value:.0f} N on each stack ({way}). Squeeze up to three quarters of the dish."
