"""How the parts of the living drawing move when the guard acts."""

from __future__ import annotations

from dataclasses import replace

from ..build import Build
from ..build.guide import lever_arms
from ..scene.forms import Rect

LIFT, MOST = 4.0, 30.0  # the script's exaggeration of a lift; mm of paper that are left for it at most


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


def near_edge(build: Build) -> float:
    """How far the fan is seen to rise for each millimetre of lift: a tilting one at its near edge, further than over its pin."""
    guard = build.guard
    return build.riser[0].depth.value / guard.pivot_distance.value if guard.kind in ("edge tilt", "lever tilt") else 1.0


def headroom(build: Build) -> float:
    """Room over the drawing for the fan at its stop, mm, drawn as many times as high as the script draws it."""
    return 0.0 if build.guard.element is None else min(LIFT * 1e3 * build.guard.stop.value * near_edge(build), MOST)


def own_pin(pin: Rect, element: Rect) -> Rect:
    """The element's own pin, which comes out of it as it pushes: behind the push pin while the fan is down."""
    out, width = min(pin.height, element.height), 0.7 * pin.width
    return replace(
        element, part="element's pin", x=pin.x + 0.5 * (pin.width - width), y=element.y - out, width=width, height=out
    )
