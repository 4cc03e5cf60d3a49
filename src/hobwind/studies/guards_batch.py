"""Many changed builds through the same evening at once: only the closing figures, a fraction of a verdict's cost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..build import Build, forces, standing
from ..lifting.room import lacks
from ..physics import wax
from ..stack.curves import PlateCurve, built_in
from ..stack.evening import HUNTING_LIFTS, run_many
from ..stack.keeping import FINISHED, End
from ..stack.prepare import Stack
from .at_modules import neighbours

Floats = NDArray[np.float64]
LONGER = 5.0  # K of margin that a guard must have more to be worth a longer riser for its small parts. Source: choice
COARSE = 0.2  # K a step; 19 peaks in 20 then move by 0.1 K at most, far below what any size is known to
FACE = "module, hot face"
TRAVEL = "travel of the wax element"  # in mm, unlike the others


def run_stacks(stacks: Sequence[Stack], curves: Sequence[PlateCurve], tolerance: float = COARSE) -> Floats:
    """Closing figures of many evenings, those with the same choices together.

    Args:
        stacks: prepared builds.
        curves: the fire of each, all with the same corners in time.
        tolerance: largest error of a step. [K]

    Returns:
        One row for each, in the order of `End`, (m, len(End)). [SI]
    """
    ends = np.full((len(stacks), len(End)), np.nan)
    groups: dict[bytes, list[int]] = defaultdict(list)
    for i, (stack, curve) in enumerate(zip(stacks, curves, strict=True)):
        groups[stack.q.tobytes() + curve.time.tobytes()].append(i)
    for members in groups.values():
        first = members[0]
        inputs = np.array([stacks[i].p for i in members])
        plates = np.array([curves[i].plate for i in members])
        found = np.zeros((len(members), len(End)))
        run_many(inputs, stacks[first].q, curves[first].time, plates, tolerance, found)
        ends[members] = found
    return ends


def fire_of(build: Build, shape: str) -> PlateCurve:
    """One of the built-in evenings on a build's own stove."""
    stove = build.stove
    return built_in(shape, stove.room.value, stove.usual_plate.value, stove.worst_plate.value)


def part_margins(build: Build, end: Floats) -> dict[str, float]:
    """How far the parts that an evening's closing figures tell of stay below their limits, K; millimetres of the wax's travel too.

    Those are modules, what lives at them, motor and wax element.

    Args:
        build: the build.
        end: closing figures. [SI]

    Returns:
        Margin by part. [K, and mm for the travel]
    """
    found = {
        FACE: float(end[End.worst_margin]),
        "module, cold face": min(use.part.cold_limit.value for use in build.modules) - float(end[End.peak_cold]),
        "motor body": build.motor.part.limit.value - float(end[End.peak_motor]),
    } | {one.part: one.limit - float(end[one.end]) for one in neighbours(build)}
    element = build.guard.element
    if element is not None:
        hottest = float(end[End.peak_element])
        pushed = wax.stroke(hottest, element.opens.value, element.full.value, element.travel.value, element.creep.value)
        found["wax element"] = element.bursts.value - hottest
        found[TRAVEL] = (element.most_travel.value - float(pushed)) * 1e3
    return found


def calm(end: Floats) -> bool:
    """Whether an evening ran to its end and the guard did not hunt in it."""
    return bool(end[End.outcome] == FINISHED and end[End.run] < HUNTING_LIFTS)


def merit(build: Build, fired: Floats, hand: float) -> tuple[float, ...]:
    """What makes one wax guard better than another, the weightiest first; the last is kelvin in hand on either side.

    Args:
        build: with the guard.
        fired: closing figures of its over-fired evening.
        hand: what it leaves in hand in normal burning. [K]

    Returns:
        To be compared with that of others.
    """
    left = part_margins(build, fired)
    lives = min(left.values()) > 0.0
    margin = min(value for part, value in left.items() if part != TRAVEL)
    wanted, has = forces.lifting_force(build)
    back = bool(np.isfinite(fired[End.sit_at])) or fired[End.lifts] == 0.0
    stands = standing.tip_margin(build) >= standing.SLOPE_MARGIN
    roomy = not lacks(build)
    fits = roomy or not build.found  # a fan that is still to be made may get a longer riser, but is none the better for it
    return lives, calm(fired), stands, has >= wanted, back, fits, min(margin, hand) - (0.0 if roomy else LONGER)
