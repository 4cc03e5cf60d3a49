"""The settled map as a verdict needs it: finer where something switches, and asked whether what it shows really stands.

A settled balance with the guard half open may be stable against a small push and yet hunt, because the wax has play: it
waits, overshoots and comes back. So every stretch of half-open plates is confirmed by evenings held there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ..stack.curves import Floats, held
from ..stack.evening import Hunting, evening
from ..stack.fields import P, Seen
from ..stack.prepare import Stack
from ..stack.steady import MapPoint, Rest, SettledMap, settled_map

FINER = 9  # parts into which a stretch is cut where the blade starts, stops, or the guard lifts
HELD_HOURS, HELD_EVERY = 3.0, 60.0
LOOKS = 5  # held evenings at most along one map


def held_band(stack: Stack, plate: float) -> Hunting | None:
    """How the guard hunts on a plate held at one temperature, K; None when it comes to rest."""
    return evening(stack, held(plate, float(stack.p[P.room]), HELD_HOURS), HELD_EVERY).hunting


def _switches(before: MapPoint, after: MapPoint) -> bool:
    lifted = (before.seen[Seen.lift] > 0.0) != (after.seen[Seen.lift] > 0.0)
    return bool(lifted or before.seen[Seen.spin] != after.seen[Seen.spin])


def fine_map(stack: Stack, plates: Sequence[float] | Floats, looks: int = LOOKS) -> SettledMap:
    """The settled map over `plates`, cut finer where something switches, half-open points confirmed.

    Args:
        stack: a prepared build.
        plates: rising. [K]
        looks: held evenings at most. [-]

    Returns:
        The map.
    """
    found = settled_map(stack, plates)
    extra: set[float] = set()
    for branch in (found.from_rest, found.running_down):
        for before, after in zip(branch, branch[1:], strict=False):
            if _switches(before, after):
                extra |= {float(t) for t in np.linspace(before.plate, after.plate, FINER + 1)[1:-1]}
    if extra:
        found = settled_map(stack, sorted({float(t) for t in plates} | extra))
    return confirmed(stack, found, looks)


def _half_open(stack: Stack, point: MapPoint) -> bool:
    return bool(point.outcome is Rest.SETTLED and 0.0 < point.seen[Seen.lift] < float(stack.p[P.stop]) - 1e-6)


def confirmed(stack: Stack, found: SettledMap, looks: int = LOOKS) -> SettledMap:
    """The same map with half-open points marked as hunting where an evening held there, or near there, hunts.

    Args:
        stack: a prepared build.
        found: as the balance alone gave it.
        looks: held evenings at most. [-]

    Returns:
        The map.
    """
    plates = sorted({p.plate for p in (*found.from_rest, *found.running_down) if _half_open(stack, p)})
    if not plates or looks < 1:
        return found
    chosen = [plates[i] for i in sorted({round(k) for k in np.linspace(0, len(plates) - 1, min(looks, len(plates)))})]
    if looks == 1:
        chosen = [plates[len(plates) // 2]]
    hunts = {plate: held_band(stack, plate) is not None for plate in chosen}

    def marked(point: MapPoint) -> MapPoint:
        if not _half_open(stack, point):
            return point
        nearest = min(chosen, key=lambda plate: abs(plate - point.plate))
        return replace(point, outcome=Rest.HUNTS) if hunts[nearest] else point

    return replace(found, from_rest=tuple(map(marked, found.from_rest)), running_down=tuple(map(marked, found.running_down)))
