"""Where a formula was used outside the range it was tested in: one plain line each, for the reader of the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from ..physics import air, contact, convection, drive, plate, thermoelectric
from . import fields
from .fields import ANNULAR_FINS, DRY, MEASURED, PIN_FINS, J, P, Q, R, Seen
from .prepare import Stack

Floats = NDArray[np.float64]
STILL_GAP = 6e-3  # m; a wider hot gap begins to stir its air
BRISK = 0.3  # m/s; below this a blown sink is hardly blown and the range of the blown formula says nothing


def _range(value: float, limits: tuple[float, float], what: str, unit: str = "") -> Iterator[str]:
    low, high = limits
    if value < low or value > high:
        yield f"{what} is {value:.3g}{unit}, outside the {low:.3g} to {high:.3g}{unit} its formula was tested for"


def _fixed(stack: Stack) -> Iterator[str]:
    p, q = stack.p, stack.q
    thin = p[P.plate_thickness] * np.sqrt((p[P.flame_coefficient] + 30.0) / (p[P.plate_conductivity] * p[P.plate_thickness]))
    yield from _range(thin, plate.LIMITS["thickness times root of h over k"], "the stove plate's thickness number")
    names = ("between riser parts", "riser to hot plate", "under the modules", "over the modules", "under the sink")
    there = (q[Q.risers] > 1, q[Q.has_hot_plate], True, True, q[Q.has_spreader])
    for which, name in enumerate(names):
        at = fields.JOINTS_AT + which * len(J)
        if there[which] and q[fields.FILLS_AT + which] == DRY:
            ratio = p[P.clamp_pressure] / p[at + J.hardness]
            yield from _range(
                ratio, contact.LIMITS["pressure_over_hardness"], f"the clamp over hardness of the dry joint {name}"
            )


def _moving(stack: Stack, seen: Floats) -> Iterator[str]:
    p, q = stack.p, stack.q
    mean = 0.5 * (seen[Seen.hot_face] + seen[Seen.cold_face])
    if mean > thermoelectric.LIMITS["mean temperature"][1]:
        low, high = thermoelectric.LIMITS["mean temperature"]
        yield (
            f"the modules' mean temperature reaches {mean - 273.15:.0f} °C, beyond the {low - 273.15:.0f} to "
            f"{high - 273.15:.0f} °C for which their curves are known"
        )
    film = 0.5 * (seen[Seen.foot] + seen[Seen.air])
    if air.outside(film):
        yield f"the air at the riser is taken at {film - 273.15:.0f} °C, beyond the table of air"
    nu, prandtl = air.kinematic_viscosity(film, p[P.pressure]), air.prandtl(film)
    tall = sum(p[fields.RISERS_AT + i * len(R) + R.length] for i in range(q[Q.risers]))
    rising = 9.80665 / film * abs(seen[Seen.foot] - seen[Seen.air]) / nu**2 * prandtl
    if rising > 0.0 and abs(seen[Seen.foot] - seen[Seen.air]) > 5.0:
        yield from _range(rising * tall**3, convection.LIMITS["vertical face"], "the rising air's strength at the riser")
    if seen[Seen.lift] > STILL_GAP:
        yield f"the lift of {seen[Seen.lift] * 1e3:.1f} mm is wide enough for its air to stir; it then carries more heat"
    yield from _sink(stack, seen)
    if seen[Seen.spin] > 0.5:
        turns = seen[Seen.speed] / (2.0 * np.pi)
        brisk = turns * p[P.blade_diameter] ** 2 / air.kinematic_viscosity(seen[Seen.air], p[P.pressure])
        yield from _range(brisk, drive.LIMITS["blade reynolds"], "the blade's briskness (speed times size over viscosity)")


def _sink(stack: Stack, seen: Floats) -> Iterator[str]:
    p, q = stack.p, stack.q
    shape = q[Q.sink_shape]
    if shape in (MEASURED, PIN_FINS):
        return
    film = 0.5 * (seen[Seen.sink] + seen[Seen.air])
    nu, prandtl = air.kinematic_viscosity(film, p[P.pressure]), air.prandtl(film)
    gap = p[P.sink_fin_pitch] - p[P.sink_fin_thickness]
    along = p[P.sink_width] + 2.0 * p[P.sink_fin_height] if shape == ANNULAR_FINS else p[P.sink_length]
    warm = abs(seen[Seen.sink] - seen[Seen.air])
    if warm > 5.0:
        number = 9.80665 / film * warm / nu**2 * prandtl * gap**4 / along
        yield from _range(number, convection.LIMITS["fin channel"], "the fins' channel number in still air")
    speed = p[P.sink_bypass] * seen[Seen.disc_speed]
    if speed > BRISK:
        yield from _range(speed * gap / nu * gap / along, convection.LIMITS["fin gap"], "the fins' gap number when blown")


def outside_limits(stack: Stack, rows: Iterable[Floats]) -> list[str]:
    """Every formula used outside its range at the given instants, each said once.

    Args:
        stack: a prepared build.
        rows: observations in the layout of `Seen`. [SI]

    Returns:
        Sentences, in order of appearance.
    """
    found: dict[str, str] = {}
    for sentence in _fixed(stack):
        found.setdefault(sentence.split(" is ")[0], sentence)
    for seen in rows:
        if np.all(np.isfinite(seen)):
            for sentence in _moving(stack, seen):
                found.setdefault(sentence[:28], sentence)
    return list(found.values())
