"""How a fan stands on the stove plate, down and lifted: on what, how much more slope it bears, and what its lift then is.

The parts' places are those of `geometry`; motor and blade hang out before the fins and draw the weight with them.
"""

from __future__ import annotations

import math

from .geometry import Place, centre_before, centre_height, centre_of_mass, foot_reach, pivot_back, tilt_angle, tilts
from .sections import Build
from .statics import Point, round_support, tipping_angle

SLOPE_MARGIN = math.radians(3.0)  # a fan must bear this much beyond the plate's own slope, down and lifted


def foot_wanted(build: Build) -> float:
    """Radius of the foot on which a centrally lifted fan stands, m: h_cm tan(slope + margin), and how far off it the centre lies."""
    angle = build.guard.plate_slope.value + SLOPE_MARGIN
    return centre_height(build) * math.tan(angle) + math.hypot(build.guard.pin_offset.value, centre_before(build))


def seated_support(build: Build, centre: Place) -> list[Point]:
    """Corners of what a fan of that centre of mass stands on when it is down: its foot, m."""
    foot = build.riser[0]
    if foot.shape == "cylinder":
        return round_support(0.5 * foot.width.value, (0.0, 0.0), centre[:2])
    x, y = 0.5 * foot.width.value, 0.5 * foot.depth.value
    return [(-x, -y), (x, -y), (x, y), (-x, y)]


def lifted_support(build: Build, centre: Place) -> list[Point] | None:
    """Corners of what a fan of that centre of mass stands on when the guard has lifted it, m; None where a guide holds it, or no guard
    lifts."""
    guard, offset = build.guard, build.guard.pin_offset.value
    if guard.kind == "central lift" and guard.stands != "guide":
        radius = guard.foot_radius.value
        if guard.stands == "foot":
            return round_support(radius, (offset, 0.0), centre[:2])
        turns = [2.0 * math.pi * i / 3.0 for i in range(3)]
        return [(offset + radius * math.cos(turn), radius * math.sin(turn)) for turn in turns]
    if tilts(build):
        half, back = 0.5 * guard.pivot_edge.value, -pivot_back(build)
        return [(back, half), (back, -half), (back + guard.pivot_distance.value, -offset)]
    return None


def lifted_margin(build: Build, centre: Place | None = None) -> float:
    """Further slope that the fan bears on this plate before it falls while its guard lifts it, rad; infinite in a guide.

    Least at one end of the travel: as the pin takes the weight, or tilted to the stop, leant towards the pivot edge. A tilt turns
    about an edge along the fins: how far the centre of mass lies before the middle stays.

    Args:
        build: a checked build.
        centre: of mass; None: as the parts stand. [m]

    Returns:
        Slope; negative where it falls on this plate. [rad]

    Source: exact.
    Check: 110 mm up and 7.5 mm before the middle of a foot of 30 mm radius: atan(22.5/110) = 11.56 degrees, 15.26 without.
    """
    aside, along, high = stands = centre or centre_of_mass(build)
    support = lifted_support(build, stands)
    if support is None:
        return math.inf
    back, least = pivot_back(build), math.inf
    for angle in {0.0, tilt_angle(build)}:
        leant = (back + aside) * math.cos(angle) - high * math.sin(angle) - back
        raised = (back + aside) * math.sin(angle) + high * math.cos(angle)
        least = min(least, tipping_angle(support, (leant, along), raised))
    return least - build.guard.plate_slope.value


def seated_margin(build: Build, centre: Place | None = None) -> float:
    """Further slope that the fan bears on this plate before it falls while it is down, rad; `centre` as in `lifted_margin`."""
    aside, along, high = stands = centre or centre_of_mass(build)
    return tipping_angle(seated_support(build, stands), (aside, along), high) - build.guard.plate_slope.value


def tip_margin(build: Build, centre: Place | None = None) -> float:
    """Further slope that the fan bears on this plate before it falls, down or lifted, whichever is less, rad."""
    return min(seated_margin(build, centre), lifted_margin(build, centre))


def stands_when_lifted(build: Build) -> bool:
    """Whether a lifted fan keeps standing as the guard means it; a central lift otherwise tips to a wedge."""
    return lifted_margin(build) >= SLOPE_MARGIN


def gap_factors(build: Build) -> tuple[float, float]:
    """Gap under the two sides of the foot, the pivot edge's and the pin's, for each metre of lift where the guard pushes."""
    guard = build.guard
    if guard.kind == "central lift":
        return (1.0, 1.0) if stands_when_lifted(build) else (0.0, 2.0)
    if tilts(build):
        return 0.0, foot_reach(build) / guard.pivot_distance.value
    return 1.0, 1.0
