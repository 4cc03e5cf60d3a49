"""Insulating sheets laid between foot and stove plate: so much more resistance in series with whatever coats the plate."""

from __future__ import annotations

from dataclasses import replace

from ..parts.kinds import Sheet
from .sections import Build, Seat, Stove

# One more face to face for each sheet, at a fan's own weight: 1.53 (1e-5)^-0.097 roughnesses of air, as the seat's own law.
STANDOFF = 4.674
AIR = 0.035  # W/(m K), near 150 °C


def shim_resistance(seat: Seat) -> float:
    """Resistance of the shims under one square metre of foot.

    Args:
        seat: of a build.

    Returns:
        Sum over the sheets of thickness over conductivity, and one more gap of air each. [m2 K/W]

    Limits: sheets that bend with the foot; what a clamp would press out of the faces stays in.
    Source: exact-series, yovanovich-gap.
    """
    if seat.shim is None:
        return 0.0
    faces = max(seat.shim.contact.value, STANDOFF * seat.roughness.value / AIR)
    return seat.shim_count * float(seat.shim.thickness.value / seat.shim.conductivity.value + faces)


def shimmed(stove: Stove, seat: Seat, times: float = 1.0) -> Stove:
    """The stove with the seat's shims counted into the coating of its plate (`times` -1 takes them out again)."""
    more = times * shim_resistance(seat) * stove.coating_conductivity.value
    return replace(stove, coating=replace(stove.coating, value=stove.coating.value + more))


def with_shim(build: Build, sheet: Sheet, count: int) -> Build:
    """The same build with `count` sheets under its foot, instead of what lay there."""
    seat = replace(build.seat, shim=sheet, shim_count=count)
    return replace(build, seat=seat, stove=shimmed(shimmed(build.stove, build.seat, -1.0), seat))
