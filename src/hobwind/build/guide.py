"""Where a guard's pin pushes, by which lever, and how long the guide of a fan must be that is pushed up off its middle."""

from __future__ import annotations

import math
from dataclasses import dataclass

from .geometry import high_plate, low_plate, module_thickness, riser_height, sink_base
from .pin import SHORTEST_PIN, pin_depth, pin_gap, sink_height, with_pin
from .sections import Build, Guard

STAND = 10e-3  # m that the thin foot of an element beside the fan takes at least
UNDER, LEG_AREA, LEG_CONDUCTIVITY = 3e-3, 6e-6, 17.0  # m of base under the foot; m2 of one leg at least, W/(m K) of it
CHEEK = (
    16e-3  # m wide; the strips that carry a lever's pivot, and other strips of a guard: one length of flat bar. Source: choice
)
LEVER_BAR = 12e-3  # m, height of a lever over the pin that pushes it. Source: choice
BESIDE, LEVER_END = (
    4e-3,
    3e-3,
)  # m between the riser's side and what stands beside it; a lever's end past its contact, less than that
ARM = 25e-3  # m from a lever's pivot to its push pin, the shorter one that turns little. Source: choice
SWING = math.radians(10.0)  # a lever that turns further slides along its pin. Source: common practice
FRICTION = 0.2  # share of the load by which guide and pin friction raise the force wanted
RUB = 0.2  # [-] friction of a steel guide in a dry hole. Source: memory.


def push_arm(build: Build) -> float:
    """How far off the middle of the foot the guard's pin pushes, m.

    In the riser it runs down the middle; on a foot of its own the element stands beside the riser, with a lever so much further out
    that its long end reaches the fan; held in a plate, at that plate's side.
    """
    guard, foot = build.guard, 0.5 * build.riser[0].width.value
    if guard.element is None or guard.held_in == "riser":
        return 0.0
    half = 0.5 * guard.element.diameter.value
    if guard.held_in == "plate":
        beside = 0.5 * max(part.width.value for part in build.riser) + BESIDE
        arms = lever_arms(build)
        return beside + half if arms is None else max(beside + half, beside + arms[1] - arms[0])
    width = {"hot plate": low_plate(build)[0], "spreader": high_plate(build)[0]}.get(guard.held_in, sink_base(build)[0])
    return max(0.5 * width, foot) + half


def lever_arms(build: Build) -> tuple[float, float] | None:
    """From a lever's pivot to its push pin and to what it lifts, m; None for a guard without a lever.

    Both lie on the same side of the pivot, for pin and fan both rise. The short arm is a choice: longer only where the pin's travel
    would turn it too far.
    """
    if build.guard.element is None or build.guard.kind != "lever tilt":
        return None
    short = max(ARM, math.ceil(pin_gap(build.guard) / math.sin(SWING) * 1e3 - 1e-9) * 1e-3)
    return short, short * build.guard.lever_ratio.value


def free_beyond(build: Build) -> float:
    """From the middle of an element beside the fan outward to what stands there: the cheeks of its lever, else nothing; m."""
    arms = lever_arms(build)
    return math.inf if arms is None or build.guard.held_in != "plate" else arms[0] - 0.5 * CHEEK


def lifted_at(build: Build) -> float:
    """How far off the middle the fan itself is pushed up: by the pin, or by the lever's far end, m."""
    arms = lever_arms(build)
    return push_arm(build) if arms is None else push_arm(build) - (arms[1] - arms[0])


@dataclass(frozen=True)
class Face:
    """What may hang over a pin beside the riser: its name, width, depth and height over the stove plate, m."""

    name: str
    width: float
    depth: float
    height: float


def faces(build: Build) -> tuple[Face, Face, Face]:
    """Undersides from the lowest up: hot plate or riser's top, spreader or sink's base, sink's base."""
    hot = riser_height(build)
    above = hot + (0.0 if build.hot_plate is None else build.hot_plate.thickness.value) + module_thickness(build)
    return (
        Face("riser" if build.hot_plate is None else "hot plate", *low_plate(build), hot),
        Face("sink's base" if build.spreader is None else "spreader", *high_plate(build), above),
        Face("sink's base", *sink_base(build), sink_height(build)),
    )


def overhang(build: Build) -> float | None:
    """How high the lowest part is that stands out over the place where the fan is pushed up, m; None where nothing does."""
    return min((one.height for one in faces(build) if 0.5 * one.width > lifted_at(build)), default=None)


def guide_length(build: Build) -> tuple[float, float] | None:
    """How far apart the two bearings of a central lift's guide must be.

    A push off the middle by an arm `a` turns the fan in its guide: bearings `L` apart press with F·a/L each, and rub with twice that
    times the friction. Shorter than 2·friction·a nothing moves however hard it is pushed; the friction that the force is reckoned with
    (`FRICTION` of the load) is kept to by 2·friction·a·(1 + FRICTION)/FRICTION.

    Args:
        build: a checked build.

    Returns:
        Length that keeps to the reckoned friction, and length at which it binds [m]; None where no guide holds the lifted fan or
        the pin pushes in the middle.

    Source: exact (balance of moments); friction from memory.
    """
    guard, arm = build.guard, push_arm(build)
    if guard.kind != "central lift" or guard.stands != "guide" or arm == 0.0:
        return None
    binds = 2.0 * RUB * arm
    return binds * (1.0 + FRICTION) / FRICTION, binds


def standing_height(build: Build) -> float | None:
    """How high over the stove plate the lower end of an element beside the fan must stand for its pin to reach what it pushes, m.

    What the pin pushes is the lowest part that overhangs it, or the lever under that; below come lost motion, push pin, the
    element's own pin, the carrier tube under its shoulder, and the element. Negative: pin and element together are too long to
    stand there.

    Args:
        build: a checked build.

    Returns:
        The height; None where the element does not stand beside the fan, or nothing overhangs what is pushed.
    """
    guard, over = build.guard, pushed_at(build)
    if guard.element is None or guard.held_in != "plate" or over is None:
        return None
    return over - pin_depth(guard, guard.pin_length.value) - guard.element.length.value


def stands_at(build: Build) -> float:
    """How high an element beside the fan stands: where its pin then reaches what it pushes; on a low foot where nothing hangs over
    it; on the plate, as a fault, where it is too long; m."""
    high = standing_height(build)
    return STAND if high is None else max(high, 0.0)


def pushed_at(build: Build) -> float | None:
    """Height of what the pin of an element beside the fan pushes up, the fan down: a part that overhangs it, or a lever below; m."""
    over = overhang(build)
    return None if over is None else over - (LEVER_BAR if build.guard.kind == "lever tilt" else 0.0)


def foot_height(guard: Guard) -> float:
    """How high an element beside the fan stands on the lightest strip that its thin foot may be made of, m.

    Lower, a strip that carries so little would be too thin to bear the pin.

    Args:
        guard: with its foot's conductance.

    Returns:
        Height over the stove plate, the base's sheet included. [m]

    Source: exact (G = 2 k A / L turned round for L); the strip's least section from memory.
    Check: 25 mW/K by two legs of 6 mm2 and 17 W/(m K): 8.2 mm, and 3 mm of base.
    """
    return max(STAND, UNDER + 2.0 * LEG_CONDUCTIVITY * LEG_AREA / guard.holder_conductance.value)


def fitted_beside(build: Build) -> Guard:
    """The guard of an element beside the fan with the longest pin that leaves its thin foot room to stand.

    Args:
        build: with the element on the stove plate and its lost motion; under a lever the lever's bar takes its share.

    Returns:
        The guard; where even the shortest pin finds no room it has that one, and the stack-up says so.
    """
    guard, over = build.guard, pushed_at(build)
    if guard.element is None or over is None:
        return guard
    room = over - guard.element.length.value - foot_height(guard) - pin_depth(guard, 0.0)
    return with_pin(guard, max(math.floor(room * 1e3 + 1e-6) * 1e-3, SHORTEST_PIN))
