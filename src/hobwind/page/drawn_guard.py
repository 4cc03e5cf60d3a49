"""How the parts of the living drawing move when the guard acts."""

from __future__ import annotations

import math
from dataclasses import replace

from ..build import Build
from ..build.geometry import pivot_back, sink_box, tilt_angle, tilts
from ..build.guide import lever_arms
from ..scene.forms import Rect, mm

LIFT, MOST = 4.0, 30.0  # the script's exaggeration of a lift; mm of paper that are left for it at most
LEAN = 20.0  # mm by which a tilted fan's top is drawn aside at most: beyond, it would leave the paper


def beside(build: Build) -> bool:
    """Whether the element stands on the stove plate and pushes the fan up."""
    return build.guard.held_in == "plate"


def moves(build: Build, part: str) -> str:
    """With what a part goes when the guard acts: with the fan, with a pin that pushes it up, or with nothing."""
    still = (
        "stove plate",
        "seat",
        "guide posts",
        *(("wax element", "lever") if beside(build) else ("push pin", "stop collar")),
    )
    if part in still:
        return ""
    return ' data-moves="pin"' if part in ("push pin", "stop collar") else ' data-moves="fan"'


def pin_share(build: Build) -> float:
    """How far a pin that pushes up rises for each millimetre of the guard's lift: all of it, or less by a lever."""
    return 1.0 if lever_arms(build) is None else 1.0 / build.guard.lever_ratio.value


def times(build: Build) -> float:
    """How many times as far as it does the fan is drawn to move: less where it would lean off the paper, but no less than it does."""
    if build.guard.element is None or not tilts(build):
        return LIFT
    leans = mm(build.blade.height.value + 0.5 * build.blade.part.diameter.value) * math.tan(tilt_angle(build))
    return min(max(round(LEAN / leans, 1), 1.0), LIFT)


def headroom(build: Build) -> float:
    """Room over the drawing for the fan at its stop, mm, drawn as many times as high as the script draws it."""
    guard = build.guard
    if guard.element is None:
        return 0.0
    # Of a tilting fan the sink's side across from the pivot edge rises most.
    reach = (pivot_back(build) + 0.5 * sink_box(build)[0]) / guard.pivot_distance.value if tilts(build) else 1.0
    return min(times(build) * mm(guard.stop.value) * reach, MOST)


def own_pin(pin: Rect, element: Rect) -> Rect:
    """The element's own pin, which comes out of it as it pushes: behind the push pin while the fan is down."""
    out, width = min(pin.height, element.height), 0.7 * pin.width
    return replace(
        element, part="element's pin", x=pin.x + 0.5 * (pin.width - width), y=element.y - out, width=width, height=out
    )
