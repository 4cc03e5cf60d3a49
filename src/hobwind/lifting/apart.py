"""How far a guard's parts keep from the riser: further than the riser is free in the base's window, wherever it stands in it."""

from __future__ import annotations

from ..build import Build
from ..build.guide import push_arm

PLAY = 0.5e-3  # m between the foot and the base's window, all round: filed to it; when hot aluminium in steel takes a tenth. Source: choice
AIR = 1e-3  # m that is left when all of that play is on one side. Source: choice
CLEAR = PLAY + AIR  # m between the riser and what of a guard stands beside it


def riser_gap(build: Build, reach: float) -> float:
    """From the riser's side to what reaches so far towards it from the pin's middle, m.

    Args:
        build: a checked build.
        reach: from the pin's middle towards the riser. [m]

    Returns:
        The gap with the riser in the middle of its window; negative: it runs into the riser.
    """
    return push_arm(build) - 0.5 * max(part.width.value for part in build.riser) - reach
