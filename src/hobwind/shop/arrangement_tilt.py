"""The general arrangement of a fan that its guard tilts: seen along the fins, so that tilt and guard lie in the drawing's plane.

Solid: cold, seated, the guard where it stands. Dashed: tilted to its stop about the foot's far edge. Motor and blade are left out.
"""

from __future__ import annotations

import math
from dataclasses import replace

from ..build import Build, standing
from ..build import geometry as g
from ..build.guide import lever_arms, lifted_at, push_arm
from ..build.pin import pin_gap
from ..scene.forms import (
    GUARD,
    HIDDEN,
    HOT_PLATE,
    MODULES,
    RISER,
    SINK,
    SPREADER,
    STOVE,
    THIN,
    Circle,
    Dimension,
    Polyline,
    Rect,
    Scene,
    Shape,
    mm,
)
from ..scene.shapes import section
from .arrangement import view_sheet
from .ink import MARK, box_of
from .paper import Heading, Page

FAN = (RISER, HOT_PLATE, MODULES, SPREADER, SINK)
ON_PLATE = ("push pin", "stop collar")  # what stays there when an element that hangs on the fan pushes down


def _turned(shape: Rect, x: float, y: float, angle: float) -> Polyline:
    """A rectangle turned about a place, anticlockwise, dashed."""
    cos, sin = math.cos(angle), math.sin(angle)
    right, top = shape.x + shape.width, shape.y + shape.height
    corners = ((shape.x, shape.y), (right, shape.y), (right, top), (shape.x, top))
    points = tuple((x + cos * (px - x) - sin * (py - y), y + sin * (px - x) + cos * (py - y)) for px, py in corners)
    return Polyline(shape.part, MARK, points, True, HIDDEN)


def tilt_scene(build: Build) -> Scene:
    """Fan and guard, cold, seen along the fins; the sink as a box, modules without their faces.

    Args:
        build: a checked build.

    Returns:
        Shapes from back to front, mm.
    """
    whole = section(build)
    fins = [one for one in whole.shapes if one.layer == SINK]
    left, bottom, right, top = box_of(fins)
    kept: list[Shape] = [one for one in whole.shapes if one.layer in (RISER, HOT_PLATE, SPREADER) or one.part == "module"]
    kept += [Rect("sink", SINK, left, bottom, right - left, top - bottom), *(one for one in whole.shapes if one.layer == GUARD)]
    left, _, right, _ = box_of(kept)
    plate = mm(build.stove.plate_thickness.value)
    kept.insert(0, Rect("stove plate", STOVE, left - 8.0, -plate, right - left + 16.0, plate))
    parts = {one.part for one in kept}
    return Scene(f"{build.name}: cold and tilted", tuple(kept), tuple(one for one in whole.labels if one.part in parts))


def tilted(build: Build, scene: Scene) -> list[Shape]:
    """What moves, at the guard's stop: the fan turned, the pin and its collar raised, a lever turned about its pivot.

    Args:
        build: a checked build whose guard tilts the fan.
        scene: of `tilt_scene`.

    Returns:
        Outlines, dashed, and the edge as a small circle.
    """
    guard, about, angle = build.guard, -mm(g.pivot_back(build)), g.tilt_angle(build)
    beside, arms, found = guard.held_in == "plate", lever_arms(build), list[Shape]()
    pivot = next((one for one in scene.shapes if isinstance(one, Circle) and one.part == "lever pivot"), None)
    rise = guard.stop.value / guard.lever_ratio.value
    for one in scene.shapes:
        if not isinstance(one, Rect):
            continue
        hangs = one.layer == GUARD and not beside and one.part not in ON_PLATE
        if one.layer in FAN or hangs:
            found.append(_turned(one, about, 0.0, angle))
        elif beside and one.part in ON_PLATE:  # drawn up to what it pushes; the collar has its lost motion to go, too
            up = rise if one.part == "push pin" else pin_gap(guard)
            found.append(replace(one, y=one.y + mm(up), layer=MARK, style=HIDDEN))
        elif one.part == "lever" and pivot is not None and arms is not None:
            found.append(_turned(one, pivot.x, pivot.y, -math.asin(min(rise / arms[0], 1.0))))
    return [*found, Circle("pivot edge", MARK, about, 0.0, 3.0, THIN)]


def _sizes(build: Build, bottom: float, top: float) -> list[tuple[Dimension, int]]:
    """From the edge it tilts about to where it is pushed up, to the pin, to a lever's pivot; and the height of it all."""
    guard, arms, edge = build.guard, lever_arms(build), -mm(g.pivot_back(build))
    if guard.held_in == "riser":
        places = [("push pin", g.pin_spot(build)[0])]
    else:
        places = [("push pin", push_arm(build))]
        if arms is not None and guard.held_in == "plate":
            lifted, pin = lifted_at(build), push_arm(build)
            above = [("lifted", lifted)] if abs(lifted - pin) > 1e-4 else []  # a lever of equal arms lifts right over its pin
            places = [*above, *places, ("lever pivot", pin + arms[0])]
    found = [
        (Dimension(part, MARK, edge, 0.0, mm(x), 0.0, bottom, False), row)
        for row, (part, x) in enumerate(sorted(places, key=lambda one: one[1]), 1)
    ]
    foot = 0.5 * mm(build.riser[0].width.value)
    return [
        *found,
        (Dimension("riser", MARK, -foot, 0.0, -foot, mm(g.riser_height(build)), 0.0, True), 1),
        (Dimension("fan", MARK, 0.0, 0.0, 0.0, top, 0.0, True), 2),
    ]


def _says(build: Build, top: float) -> tuple[str, ...]:
    guard, angle = build.guard, g.tilt_angle(build)
    where = "where the lever lifts it" if lever_arms(build) is not None and guard.held_in == "plate" else "at the pin"
    leans = top * math.sin(angle)
    tip = mm(build.blade.height.value + 0.5 * build.blade.part.diameter.value)
    far = 1e3 * standing.gap_factors(build)[1] * guard.stop.value
    return (
        "Seen along the fins. Solid: cold, seated, the guard where it stands. Dashed: tilted to its stop about the foot's far edge, across "
        f"from the pin: {1e3 * guard.stop.value:g} mm {where}, {math.degrees(angle):.1f}°.",
        f"The foot's other side then stands {far:.1f} mm off the stove plate, and the sink's top leans {leans:.0f} mm aside, "
        f"the blade's upper tip, {tip:.0f} mm up, {tip * math.sin(angle):.0f} mm, away from the pin: keep that free. Sizes below: from "
        "that edge. Motor and blade are left out.",
    )


def tilt_sheet(build: Build, heading: Heading, paper: str, only: frozenset[int]) -> Page:
    """The sheet.

    Args:
        build: a checked build whose guard tilts the fan.
        heading: of every sheet.
        paper: A4 or Letter.
        only: numbers of the parts to point at.

    Returns:
        One page.
    """
    scene = tilt_scene(build)
    _, bottom, _, top = box_of(scene.shapes)
    return view_sheet(
        build, "arrangement-tilt", "General arrangement, cold and tilted", scene, tilted(build, scene), _sizes(build, bottom, top),
        _says(build, top), heading, paper, only,
    )  # fmt: skip
