"""One wax guard by itself: its stroke against the element's temperature, gap and force along the stroke, and where it may sit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..build import Build, forces, standing
from ..build.checks import impossible
from ..physics import wax
from ..stack.fields import Seen
from ..stack.prepare import prepare
from ..stack.steady import Rest, settled_map
from .guards_sizes import Place, at_place, places
from .headline import lifts_at

Floats = NDArray[np.float64]
BELOW, BEYOND, POINTS = 15.0, 15.0, 121  # K below opening and past full-open that the loop shows, and its points
STEPS = 6  # settled plates on the way up to the one asked for


@dataclass(frozen=True)
class Loop:
    """A guard's stroke opening and closing, and gap and force along it; lengths in m, forces in N, temperatures in K.

    `opening` and `closing` are the pin's stroke at `element`, warming and cooling. `gap_near` and `gap_far` are the gap at
    either edge of the foot at each `stroke`, `force` what the element must give there. `lifts_at` and `sits_at` are the
    element's temperatures at which the seat opens and closes, riser cold.
    """

    element: Floats
    opening: Floats
    closing: Floats
    stroke: Floats
    gap_near: Floats
    gap_far: Floats
    force: Floats
    lost_motion: float
    stop_at: float
    lifts_at: float
    sits_at: float
    wanted: float
    has: float
    has_weakest: float


def stroke_loop(build: Build) -> Loop | None:
    """The stroke loop of a build's own guard.

    Args:
        build: a checked build.

    Returns:
        The loop; None without a wax element.
    """
    guard, element = build.guard, build.guard.element
    if element is None:
        return None
    opens, full, travel, creep = element.opens.value, element.full.value, element.travel.value, element.creep.value
    back = element.hysteresis.value
    heat = np.linspace(opens - back - BELOW, full + BEYOND, POINTS)

    def pushed(memory: float) -> float:
        return float(wax.stroke(memory, opens, full, travel, creep))

    lost, lever, stop = guard.lost_motion.value, guard.lever_ratio.value, guard.stop.value
    stop_at = lost + stop / lever
    longest = max(pushed(float(heat[-1])), stop_at)
    along = np.unique(np.append(np.linspace(0.0, longest, POINTS), [lost - 1e-9, lost, stop_at]).clip(0.0, longest))
    lift = np.minimum(lever * (along - lost), stop)
    near, far = standing.gap_factors(build)
    wanted, has = forces.lifting_force(build)
    opens_at = lifts_at(element, lost)
    # Cooling, the remembered temperature follows `back` behind; below the hottest one met it waits there.
    hottest = float(heat[-1])
    return Loop(
        element=heat,
        opening=np.array([pushed(float(k)) for k in heat]),
        closing=np.array([pushed(float(wax.play(hottest, float(k), back))) for k in heat]),
        stroke=along,
        gap_near=near * np.maximum(lift, 0.0),
        gap_far=far * np.maximum(lift, 0.0),
        force=np.array([forces.force_at(build, float(one)) for one in lift]),
        lost_motion=lost,
        stop_at=stop_at,
        lifts_at=opens_at,
        sits_at=opens_at - back,
        wanted=wanted,
        has=has,
        has_weakest=element.force.low,
    )


@dataclass(frozen=True)
class Seated:
    """What an element reads at one place with the fan down, settled on the usual and on the worst plate, K; NaN without rest."""

    place: Place
    usual: float
    worst: float


def own_place(build: Build) -> Place | None:
    """Where the build's own element sits; None without one."""
    guard = build.guard
    if guard.element is None:
        return None
    holder, high = guard.holder_conductance.value, guard.element_height.value
    where = "on a foot of its own on the stove plate" if guard.held_in == "plate" else f"in the {guard.held_in}"
    where += f" at {high * 1e3:.0f} mm" if guard.held_in == "riser" else ""
    says = f"{where} ({holder * 1e3:.0f} mW/K)"
    return Place(guard.held_in, high, holder, guard.element_loss.value, guard.pin_length.value, says)


def same_place(one: Place, other: Place) -> bool:
    """Whether an element gets as warm at both: held alike, in the riser at the same height."""
    high = one.held_in != "riser" or abs(one.height - other.height) < 0.5e-3
    alike = np.allclose([one.holder, one.loss], [other.holder, other.loss], rtol=0.02, atol=0.0)
    return one.held_in == other.held_in and high and bool(alike)


def element_places(build: Build) -> tuple[Seated, ...]:
    """Where a wax element could sit along a fan, and how warm it gets there, from the stove plate up.

    Args:
        build: a checked build; any guard of its own is laid aside.

    Returns:
        The places that can be made, that of the build's own element among them.
    """
    found = []
    stove, own = build.stove, own_place(build)
    usual = list(places(build, False))
    for place in usual if own is None or any(same_place(one, own) for one in usual) else [own, *usual]:
        made = at_place(build, "central lift", place)
        if not impossible(made, []):
            stack = prepare(made)
            reads = []
            for plate in (stove.usual_plate.value, stove.worst_plate.value):
                point = settled_map(stack, np.linspace(stove.room.value, plate, STEPS), "held down").from_rest[-1]
                reads.append(float(point.seen[Seen.element]) if point.outcome is Rest.SETTLED else float("nan"))
            found.append(Seated(place, *reads))
    return tuple(sorted(found, key=lambda one: (one.place.held_in != "plate", one.place.height, one.usual)))
