"""What holds a guard to its place: its base on the stove plate, and the studs of its bridge.

The element stands on the base that carries the guide: the pin's push and the guide's turning are then one pair of forces within
the base, and what is left is the fan's weight at its middle. An element beside a base would tip it. Sizes are choices unless they
follow from the build; posts and eyes are those of `build.guide_posts`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..build import Build
from ..build import geometry as g
from ..build.guide import lever_arms, push_arm
from ..build.guide_posts import SHEET, foot_size, guide_for
from ..build.pin import BRIDGE
from .guard_foot import TOE, strip_for
from .guard_heat import ring_for
from .guard_train import train

AROUND = 2e-3  # m between base and foot
RAIL = 15e-3  # m of sheet left beside the foot and behind the posts
EYE_ROOM = 0.3e-3  # m by which an eye is wider than its post: slides though rusty
ROD = 4e-3  # m; M4 studs that hold the bridge
FLANGE = 12e-3  # m of an eye's strip that is bent and screwed to the fan


@dataclass(frozen=True)
class Base:
    """Sheet on the stove plate round the foot; metres, from the fan's middle. `window` is what is cut out for the foot."""

    left: float
    right: float
    deep: float
    window: tuple[float, float]
    round_window: bool


def rods_apart(build: Build) -> float:
    """Between the middles of the bridge's two rods, clear of ring, element and return spring, m."""
    ring, made, element = ring_for(build), train(build), build.guard.element
    wide = 0.0 if element is None else element.diameter.value
    if ring is not None:
        wide = max(wide, ring.side)
    if made is not None and made.back is not None:
        wide = max(wide, made.back.coil + made.back.wire)
    return math.ceil((wide + 2.0 * ROD) * 1e3) * 1e-3


def base_for(build: Build) -> Base | None:
    """The base of a guard that stands on the stove plate, or of a guide.

    Args:
        build: a checked build.

    Returns:
        The base; None where the guard hangs on the fan and needs no guide.
    """
    guard, guide = build.guard, guide_for(build)
    if guard.element is None or (guard.held_in != "plate" and guide is None):
        return None
    wide, deep = (one + 2.0 * AROUND for one in foot_size(build))
    left = -0.5 * wide - RAIL if guide is None else guide.x - RAIL
    right, rods = 0.5 * wide + RAIL, 0.0
    if guard.held_in == "plate":
        right, rods = max(push_arm(build) + 0.5 * guard.element.diameter.value + TOE, right), rods_apart(build)
        arms = lever_arms(build)
        right = right if arms is None else max(right, push_arm(build) + arms[0] + RAIL)
    tall = max(deep + 2.0 * RAIL, rods + 2.0 * RAIL)
    return Base(left, right, tall, (wide, deep), build.riser[0].shape == "cylinder")


def bridge_height(build: Build) -> float | None:
    """How far the bridge's near face stands from the face that the element's foot or clip rests on, m; None in the riser."""
    made, guard = train(build), build.guard
    if made is None or made.bridge is None or guard.element is None:
        return None
    strip = strip_for(build)
    below = strip.length if guard.held_in == "plate" and strip is not None else 0.0
    return below + guard.element.length.value + guard.piston_out.value + made.bridge


def rod_length(build: Build) -> float | None:
    """Length of the studs that hold the bridge: through it with a nut on either side, m."""
    high = bridge_height(build)
    return None if high is None else math.ceil((high + BRIDGE + 10e-3) * 200.0) / 200.0


def rail_stress(build: Build, base: Base) -> float:
    """Bending in the base's two rails beside the foot when the pin holds the fan off its middle, Pa: force · arm over two sections."""
    width = 0.5 * (base.deep - base.window[1])
    return 6.0 * g.force_at(build, build.guard.stop.value) * push_arm(build) / (2.0 * width * SHEET**2)
