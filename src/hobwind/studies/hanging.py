"""Motor and blade that hang out before the fins: whether they are why a fan tips, and what mends it, by hand statics."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from ..build import Build, geometry
from ..build.pin import sink_height
from ..units import plain
from .file_keys import changed_keys

Margin = Callable[[Build, geometry.Place | None], float]
HUNG = ("motor", "blade", "fittings")  # of the table of masses: what moves with the blade
CLEAR = 5e-3  # m that a turning blade keeps from everything. Common practice
NEAREST = 12e-3  # m before the sink's front edge: there a blade that reaches below the fins' tips just clears them
HEAVIEST, STEP = 2.0, 0.01  # kg; counterweights that are tried
TRIES = 40  # halvings


def over_middle(build: Build) -> geometry.Place:
    """The fan's centre of mass if nothing hung out before the middle of its foot, m."""
    return 0.0, 0.0, geometry.centre_height(build)


def hangs_over(build: Build, margin: Margin, wanted: float) -> bool:
    """Whether a fan that does not stand as it should would, were nothing of it hung out before the middle."""
    return margin(build, None) < wanted <= margin(build, over_middle(build))


def reason(build: Build) -> str:
    """How far out the blade stands, and how far that draws the fan's weight, in words."""
    blade, drawn = 1e3 * geometry.blade_before(build), 1e3 * geometry.centre_before(build)
    side = "before" if drawn >= 0.0 else "behind"
    return f"motor and blade hang out, {abs(blade):.0f} mm {side} the foot's middle, and draw its weight {abs(drawn):.0f} mm {side} it"


def because(build: Build, margin: Margin, wanted: float) -> str:
    """The reason as the end of a sentence; empty where something else makes the fan tip."""
    return f": {reason(build)}" if hangs_over(build, margin, wanted) else ""


def _shift(build: Build) -> float:
    """How far motor and blade would have to come back for the fan's weight to lie over the middle of its foot, m."""
    rows = geometry.masses(build)
    hung = sum(one.mass for one in rows if one.name in HUNG)
    return geometry.centre_before(build) * sum(one.mass for one in rows) / hung


def nearer(build: Build, margin: Margin, wanted: float) -> Build | None:
    """The build with its blade no nearer to the fins than it must be for the fan to stand; None where it finds no room there.

    Args:
        build: whose motor and blade hang out too far.
        margin: what is to be kept, such as `standing.lifted_margin`.
        wanted: so much of it. [rad]

    Returns:
        The build, to the millimetre.
    """
    now = build.blade.before_sink.value
    tip = build.blade.height.value - 0.5 * build.blade.part.diameter.value
    over = tip >= sink_height(build) + geometry.sink_box(build)[2] + CLEAR
    nearest = now - _shift(build) if over else NEAREST

    def moved(to: float) -> Build:
        return replace(build, blade=replace(build.blade, before_sink=plain(round(to, 4))))

    if nearest >= now or margin(moved(nearest), None) < wanted:
        return None
    low, high = nearest, now  # stands at the one, tips at the other
    for _ in range(TRIES):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if margin(moved(middle), None) >= wanted else (low, middle)
    return moved(max(math.floor(low * 1e3 + 1e-6) * 1e-3, nearest))


def counterweight(build: Build, margin: Margin, wanted: float) -> float | None:
    """The least mass at the sink's back edge, halfway up it, with which the fan stands, kg; None where none of a sensible size does.

    Source: exact (the centre of mass of both).
    """
    whole, (_, along, high) = geometry.fan_mass(build), geometry.centre_of_mass(build)
    _, deep, tall = geometry.sink_box(build)
    back, up = math.copysign(0.5 * deep, -along), sink_height(build) + 0.5 * tall
    for many in range(1, round(HEAVIEST / STEP) + 1):
        more = many * STEP
        both = whole + more
        centre = (0.0, (whole * along + more * back) / both, (whole * high + more * up) / both)
        if margin(build, centre) >= wanted:
            return more
    return None


def mends(build: Build, margin: Margin, wanted: float) -> tuple[list[str], tuple[str, ...]]:
    """What takes the weight back over the foot, in words, and the lines of the build file for the first of it.

    Args:
        build: whose motor and blade hang out too far.
        margin: what is to be kept, such as `standing.lifted_margin`.
        wanted: so much of it. [rad]

    Returns:
        Words and lines; both empty where overhang is not what tips the fan.
    """
    if not hangs_over(build, margin, wanted):
        return [], ()
    drawn, weight = nearer(build, margin, wanted), counterweight(build, margin, wanted)
    told = []
    if drawn is not None:
        told.append(f"the blade {1e3 * (build.blade.before_sink.value - drawn.blade.before_sink.value):.0f} mm nearer")
    if weight is not None:
        told.append(
            f"a counterweight of {1e3 * weight:.0f} g at the sink's {'back' if geometry.centre_before(build) >= 0.0 else 'front'} edge"
        )
    return told, () if drawn is None else changed_keys(build, drawn)
