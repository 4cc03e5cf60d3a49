"""Guards that leave a usual fire alone, among them a central lift beside the fan, outside the loop that hunts.

Its element stands on a thin foot, cooled by a ring, and follows the stove plate alone. Foot, element and lost motion are
chosen as the comparison of guards chooses them: the fan must be left alone on the usual plate, held for hours, with a little
to spare, and live through a hard fire.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..build import Build
from ..build.checks import impossible
from ..build.geometry import riser_height
from ..build.guide import fitted_beside
from ..lifting.room import lacks
from ..stack.fields import Seen
from ..stack.prepare import prepare
from ..stack.steady import Rest, settled_map
from .guards_batch import fire_of, merit, run_stacks
from .guards_sizes import Place, Sized, at_place, bare, places, wax_guards
from .headline import LEAST_RESERVE, MOST_RESERVE
from .mends import Changes, riser_length

KIND = "central lift"
TALLER = 80  # mm by which a riser may be made longer for the height of a guard's small parts
MOST, KEPT = 4, 40  # sizes offered; looked at when none leaves a usual fire alone


def rested_at(build: Build, kind: str, place: Place) -> float | None:
    """Temperature of an element at a place on the usual plate, settled, the fan held down, K; None where it cannot be held there."""
    made, stove = at_place(build, kind, place), build.stove
    if impossible(made, []):
        return None
    plates = np.linspace(stove.room.value, stove.usual_plate.value, 6)
    point = settled_map(prepare(made), plates, "held down").from_rest[-1]
    return float(point.seen[Seen.element]) if point.outcome is Rest.SETTLED else None


def reserves(build: Build, kind: str, beside: bool) -> list[tuple[float, Sized]]:
    """Every guard of a kind, at every place (beside the fan only, or anywhere), with its reserve of plate over the usual one, K."""
    found = []
    for place in places(build, beside):
        rested = rested_at(build, kind, place)
        if rested is not None:
            found += wax_guards(build, kind, place, rested)
    return found


def waiting(build: Build, found: list[tuple[float, Sized]]) -> list[tuple[float, Sized]]:
    """Elements, places and lost motions that let a usual fire alone.

    Args:
        build: the build they are for.
        found: guards with their reserves. [K]

    Returns:
        Each with what it has in hand on a slowly warming plate: kelvin of plate from the usual one to lifting, or kelvin of
        the face below its limit where it lifts, whichever is less; where none has reserve enough, those that have most.
    """
    stove = build.stove
    usual = stove.usual_plate.value
    plates = np.linspace(stove.room.value, usual + MOST_RESERVE, 12)
    rested = settled_map(prepare(bare(build)), plates).from_rest
    margin = [float(p.seen[Seen.margin]) if p.outcome is Rest.SETTLED else np.nan for p in rested]
    late = [pair for pair in found if LEAST_RESERVE <= pair[0] <= MOST_RESERVE]
    kept = late or sorted(found, key=lambda pair: pair[0], reverse=True)[:KEPT]
    return [(min(k, float(np.interp(usual + k, plates, margin))), one) for k, one in kept]


def heightened(build: Build) -> tuple[Build, str]:
    """The same guard beside the fan on a riser so much taller, in whole millimetres, that its small parts find height.

    Args:
        build: with a guard.

    Returns:
        The build as it was where nothing is lacking, where the fan is a found one, or where no riser helps; and in words what was
        changed, empty where nothing was.
    """
    if build.found or build.guard.held_in != "plate" or not lacks(build):
        return build, ""
    tall = riser_height(build)

    def taller(more: int) -> Build:
        made = riser_length(build, round(tall + 1e-3 * more, 4))
        return replace(made, guard=fitted_beside(made))

    low, high = 0, TALLER
    if lacks(taller(high)):
        return build, ""
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if lacks(taller(middle)) else (low, middle)
    return taller(high), f"a riser {high} mm longer, so that its small parts find height"


def own_foot(build: Build) -> Changes:
    """The few that keep most in hand, between the usual plate and the lift as well as below every limit of the hard fire."""
    late = [pair for pair in waiting(build, reserves(build, KIND, True)) if not impossible(pair[1].build, [])]
    fired = run_stacks([prepare(one.build) for _, one in late], [fire_of(one.build, "over-fired") for _, one in late])
    judged = [merit(one.build, end, hand) for (hand, one), end in zip(late, fired, strict=True)]
    for i in sorted(range(len(late)), key=lambda i: judged[i], reverse=True)[:MOST]:
        made, longer = heightened(late[i][1].build)
        verb = "a guard (central lift, " if build.guard.kind == "none" else "holding an element ("
        assert made.guard.element is not None
        foot = f"{made.guard.holder_conductance.value * 1e3:.0f} mW/K"
        yield (
            f'{verb}"{made.guard.element.name}") on a thin foot of its own on the stove plate ({foot})'
            + (f", and {longer}" if longer else ""),
            made,
        )
