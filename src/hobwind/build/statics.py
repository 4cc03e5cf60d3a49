"""Plane statics of a thing that stands on a few points: how far the ground may slope before it falls over."""

from __future__ import annotations

import math
from collections.abc import Sequence

Point = tuple[float, float]
SIDES = 72  # of the polygon that stands for a round foot; its sides touch the circle


def round_support(radius: float, middle: Point = (0.0, 0.0), centre: Point = (0.0, 0.0)) -> list[Point]:
    """A round foot as a polygon whose sides touch the circle, one of them where a centre of mass is nearest to the rim, m."""
    out = radius / math.cos(math.pi / SIDES)
    nearest = math.atan2(centre[1] - middle[1], centre[0] - middle[0])
    turns = [nearest + (i + 0.5) * 2.0 * math.pi / SIDES for i in range(SIDES)]
    return [(middle[0] + out * math.cos(turn), middle[1] + out * math.sin(turn)) for turn in turns]


def tipping_angle(support: Sequence[Point], centre: Point, height: float) -> float:
    """Slope of the ground at which a standing body begins to fall over its nearest edge.

        angle = atan(d / h), the smallest over the sides of the polygon

    Args:
        support: corners of the polygon it stands on, counter-clockwise. [m]
        centre: where the centre of mass lies over it. [m]
        height: of the centre of mass. [m]

    Returns:
        Angle; negative when the centre is outside already, so that it falls on level ground. [rad]

    Source: exact.

    >>> round(math.degrees(tipping_angle([(0, 0), (2, 0), (2, 2), (0, 2)], (1, 1), 1.0)), 6)
    45.0
    """
    least = math.inf
    for i, (x, y) in enumerate(support):
        across, along = support[(i + 1) % len(support)]
        side = math.hypot(across - x, along - y)
        inside = ((across - x) * (centre[1] - y) - (along - y) * (centre[0] - x)) / side if side > 0.0 else math.inf
        least = min(least, inside)
    return math.atan2(least, height)
