"""What holds a guard to its place: its base on the stove plate, and the studs of its bridge.

The element stands on the base that carries the guide: the pin's push and the guide's turning are then one pair of forces within
the base, and what is left is the fan's weight at its middle. An element beside a base would tip it. Sizes are choices unless they
follow from the build; posts and eyes are those of `build.guide_posts`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..build import Build
from ..build.forces import force_at
from ..build.guide import CHEEK, LEVER_BAR, lever_arms, push_arm, pushed_at, stands_at
from ..build.guide_posts import EYE_SIDE, FLANGE, SHEET, foot_size, guide_for
from ..build.pin import BRIDGE, STUD_PAST
from .apart import PLAY
from .foot import PAST_ROD, rods_apart, strip_for
from .heat import STILL_AIR
from .train import train

RAIL = 15e-3  # m of sheet left beside the foot and behind the posts
EYE_ROOM = 0.3e-3  # m by which an eye is wider than its post: slides though rusty
STRIP = CHEEK  # m wide: the bridge
CHEEK_TOP = 5e-3  # m of cheek over its pivot: below what the lever lifts. Source: choice
HIGHEST = 0.2  # m of a pivot where nothing is known to hang over the pin
BENT = 1.8  # thicknesses that a bend saves of the outer lengths, inner radius one. Source: exact, neutral line from memory
KEPT = 3e-3  # m; the keeper's sheet. Source: choice


@dataclass(frozen=True)
class Base:
    """Sheet on the stove plate round the foot; metres, from the fan's middle. `window` is what is cut out for the foot."""

    left: float
    right: float
    deep: float
    window: tuple[float, float]
    round_window: bool


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
    wide, deep = (one + 2.0 * PLAY for one in foot_size(build))
    left = -0.5 * wide - RAIL if guide is None else guide.x - RAIL
    right, rods = 0.5 * wide + RAIL, 0.0
    if guard.held_in == "plate":
        strip, arms = strip_for(build), lever_arms(build)
        across = max(guard.element.diameter.value, 0.0 if strip is None else strip.width)
        right, rods = max(push_arm(build) + 0.5 * across + PAST_ROD, right), rods_apart(build)
        right = right if arms is None else max(right, push_arm(build) + arms[0] + RAIL)
    tall = max(deep + 2.0 * RAIL, rods + 2.0 * RAIL)
    return Base(left, right, tall, (wide, deep), build.riser[0].shape == "cylinder")


def bridge_height(build: Build) -> float | None:
    """How far the bridge's near face stands from the stove plate, or from the upper end of an element at a plate's side, m.

    None in the riser.
    """
    made, guard = train(build), build.guard
    if made is None or made.bridge is None or guard.element is None:
        return None
    past = guard.element.length.value + guard.piston_out.value + made.bridge
    if guard.held_in != "plate":
        return past
    return stands_at(build) + past


def rod_length(build: Build) -> float | None:
    """Length of the studs that hold the bridge, m.

    Tapped into the base, flush with its underside, or into the clip; the bridge slides on them between two nuts, so that it can be
    set level. They end a nut and two threads past the bridge, short of the pin's tip; at a plate's side as much past the keeper.
    """
    high = bridge_height(build)
    if high is None:
        return None
    return high + BRIDGE + STUD_PAST + (0.0 if build.guard.held_in == "plate" else KEPT + STUD_PAST)


def eye_reach(reach: float) -> float:
    """How long an eye is cut, flat: its side past the posts' middle, the reach to the riser, and the flange round its bend, m."""
    return EYE_SIDE + reach + FLANGE - BENT * SHEET


def eyes_lose(build: Build) -> float:
    """What a guide's two eyes, as warm as the riser, give off into still air beyond its bare side, W/K; nought without a guide.

    Source: exact (both faces of what stands out); still air from memory.
    Check: 44 mm wide, 17 mm out, two faces, two eyes: 30 cm2 at 10 W/(m2 K) are 30 mW/K.
    """
    guide = guide_for(build)
    if guide is None:
        return 0.0
    out = math.fsum(EYE_SIDE + reach for reach in (guide.reach_low, guide.reach_high))
    return STILL_AIR * 2.0 * 2.0 * (guide.y + EYE_SIDE) * out


def cheek_axis(build: Build) -> float:
    """How high over the base a lever's pivot stands, m."""
    over = pushed_at(build)
    return (HIGHEST if over is None else over) + 0.5 * LEVER_BAR - SHEET


def cheek_length(build: Build) -> float:
    """How long a lever's cheek is cut, flat, m."""
    return cheek_axis(build) + CHEEK_TOP + FLANGE - BENT * SHEET


def rail_stress(build: Build, base: Base) -> float:
    """Bending in the base's two rails beside the foot when the pin holds the fan off its middle, Pa: force · arm over two sections."""
    width = 0.5 * (base.deep - base.window[1])
    return 6.0 * force_at(build, build.guard.stop.value) * push_arm(build) / (2.0 * width * SHEET**2)
