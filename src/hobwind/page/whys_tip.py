"""The why of tipping over: the balance of moments written out from each part's mass and place.

It does not call what the figure is computed by, so that the two can be held against each other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..build import Build
from ..build.geometry import masses, tilts
from .whys_row import Filled, Look


@dataclass(frozen=True)
class _Way:
    """One way to fall: over which edge, and each part's mass [kg], arm about that edge and height above the plate [m]."""

    over: str
    parts: tuple[tuple[str, float, float, float], ...]

    @property
    def slope(self) -> float:
        """Slope of the ground on which the moments about the edge just cancel, rad."""
        holds = sum(mass * arm for _, mass, arm, _ in self.parts)
        topples = sum(mass * high for _, mass, _, high in self.parts)
        return math.atan2(holds, topples)


def _upright(build: Build, over: str, across: float, before: float) -> _Way:
    """Not tilted: an edge so far off the middle that lies in a direction, of which shares are across and before the fan."""
    return _Way(over, tuple((one.name, one.mass, across - before * one.before, one.height) for one in masses(build)))


def _seated(build: Build) -> list[_Way]:
    foot = build.riser[0]
    deep = foot.width.value if foot.shape == "cylinder" else foot.depth.value
    return [
        *(_upright(build, f"down, over the foot's {name} edge", 0.5 * deep, s) for name, s in (("front", 1.0), ("back", -1.0))),
        _upright(build, "down, over the foot's side", 0.5 * foot.width.value, 0.0),
    ]


def _risen(build: Build) -> list[_Way]:
    """A fan lifted in the middle: on a foot of its own, or on three pins, each side of them half a radius away."""
    guard, offset = build.guard, build.guard.pin_offset.value
    if guard.stands == "guide":
        return []
    radius = guard.foot_radius.value
    if guard.stands == "foot":
        # The rim is nearest straight out from the foot's own middle through the fan's, which lies before and across from it.
        rows = masses(build)
        out = sum(one.mass * one.before for one in rows) / sum(one.mass for one in rows)
        turn = math.atan2(out, -offset)
        return [_upright(build, "lifted, over its foot's rim", radius + offset * math.cos(turn), math.sin(turn))]
    sides = (math.radians(60.0), math.radians(180.0), math.radians(300.0))
    return [
        _upright(build, "lifted, over two of its pins", 0.5 * radius + offset * math.cos(side), math.sin(side))
        for side in sides
    ]


def _leant(build: Build) -> list[_Way]:
    """A tilted fan on its pivot edge and the pin, as the pin takes its weight and at the stop."""
    guard, foot = build.guard, build.riser[0]
    half, reach = 0.5 * guard.pivot_edge.value, guard.pivot_distance.value
    back = 0.5 * foot.width.value
    if foot.shape == "cylinder":
        back = math.sqrt(max((0.5 * foot.width.value) ** 2 - half**2, 0.0))
    ways = []
    for angle, when in ((0.0, "as the pin takes it"), (math.atan(guard.stop.value / reach), "at the stop")):
        # Each part turned about the pivot edge: how far before the edge it is, and how high.
        turned = [
            (
                one.name, one.mass, back * math.cos(angle) - one.height * math.sin(angle),
                back * math.sin(angle) + one.height * math.cos(angle), one.before,
            )
            for one in masses(build)
        ]  # fmt: skip
        ways.append(_Way(f"tilted, {when}, over the pivot edge", tuple(row[:4] for row in turned)))
        for side in (-1.0, 1.0):
            # From that end of the pivot edge to the pin: how far inside the middle of the fan is.
            end, pin = side * half, guard.pin_offset.value
            long = math.hypot(pin - end, reach)
            arms = tuple(
                (name, mass, side * ((pin - end) * inward + reach * (end - before)) / long, high)
                for name, mass, inward, high, before in turned
            )
            ways.append(_Way(f"tilted, {when}, along the edge, over its end and the pin", arms))
    return ways


def tip(look: Look) -> Filled:
    """The further slope before the fan falls, down or lifted, from the balance of moments."""
    build = look.solved.build
    ways = _seated(build)
    if build.guard.kind == "central lift":
        ways += _risen(build)
    elif tilts(build):
        ways += _leant(build)
    least, there = min(ways, key=lambda way: way.slope), math.degrees(build.guard.plate_slope.value)
    holds = " + ".join(f"{mass * 1e3:.0f} g · {arm * 1e3:.1f} mm" for _, mass, arm, _ in least.parts)
    topples = " + ".join(f"{mass * 1e3:.0f} g · {high * 1e3:.0f} mm ({name})" for name, mass, _, high in least.parts)
    if len({round(arm, 9) for _, _, arm, _ in least.parts}) == 1:
        whole = sum(mass for _, mass, _, _ in least.parts)
        holds = f"{whole * 1e3:.0f} g · {least.parts[0][2] * 1e3:.1f} mm"
    numbers = f"{least.over}: atan(({holds}) / ({topples})) = {math.degrees(least.slope):.2f}°, less {there:.1f}° of the plate"
    return Filled(numbers, math.degrees(least.slope) - there)
