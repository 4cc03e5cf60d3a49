"""The guard's general arrangement: what stands beside, on or under the fan to lift it, numbered, with the sizes it is set up by."""

from __future__ import annotations

from ..build import Build
from ..build.guide import push_arm, standing_height
from ..build.guide_posts import SHEET, guide_for
from ..scene.forms import GUARD, HOT_PLATE, RISER, STOVE, THIN, Dimension, Label, Polyline, Rect, Scene, Shape, middle_rect, mm
from ..scene.shapes import section
from .arrangement import parts_table, view_sheet
from .guard_frame import ROD, base_for, bridge_height, rod_length
from .guard_heat import ring_for
from .guard_small import small_parts
from .guard_train import train
from .ink import MARK, box_of
from .made_parts import numbered
from .paper import Heading, Page

AROUND = 8.0  # mm of stove plate drawn past the guard
POINTED = {
    "cooling ring": 0.9,
    "guard base": 0.2,
    "bridge studs": 0.5,
    "over-travel capsule": 0.8,
    "return spring": 0.9,
    "bead": 0.5,
}


def _behind(build: Build, pin: Rect, element: Rect) -> list[Shape]:
    """Studs, ring and base: they stand behind pin and element, or round them."""
    found: list[Shape] = []
    base, ring, x = base_for(build), ring_for(build), pin.x + 0.5 * pin.width
    rod = rod_length(build)
    if build.guard.held_in == "plate" and rod is not None:
        found.append(middle_rect("bridge studs", GUARD, x, 0.0, mm(ROD), mm(rod)))
    if base is not None:
        left, right, half = mm(base.left), mm(base.right), 0.5 * mm(base.window[0])
        found.append(Rect("guard base", GUARD, left, 0.0, -half - left, mm(SHEET)))
        found.append(Rect("guard base", GUARD, half, 0.0, right - half, mm(SHEET)))
    if ring is not None:
        thick, middle = mm(ring.thickness), element.y + 0.5 * element.height
        rows = [middle + 10.0 * (i - 0.5 * (ring.count - 1)) for i in range(ring.count)]
        found += [Rect("cooling ring", GUARD, x - mm(ring.near), high - 0.5 * thick, mm(ring.side), thick) for high in rows]
    return found


def _along_pin(build: Build, pin: Rect) -> list[Shape]:
    """Capsule, return spring and bead, along the pin from the element."""
    made, guard, found = train(build), build.guard, list[Shape]()
    if made is None or made.bridge is None:
        return found
    up, x = guard.held_in == "plate", pin.x + 0.5 * pin.width
    start, long = (pin.y if up else pin.y + pin.height), pin.height - mm(guard.lost_motion.value)

    def along(part: str, near: float, far: float, wide: float) -> Rect:
        return middle_rect(part, GUARD, x, start + near if up else start - far, wide, far - near)

    if made.bead > 0.0:
        found.append(along("bead", long - mm(made.bead), long, pin.width))
    if made.capsule is not None:
        found.append(along("over-travel capsule", 0.0, mm(made.capsule[1]), mm(made.capsule[0])))
    if made.back is not None:
        half, turns = 0.5 * mm(made.back.coil), max(round(made.back.turns), 2)
        step = (1.0 if up else -1.0) * (mm(made.bridge) - 1.5) / (2 * turns)
        first = start + (1.5 if up else -1.5)
        points = tuple((x + (half if i % 2 else -half), first + i * step) for i in range(2 * turns + 1))
        found.append(Polyline("return spring", GUARD, points, False, THIN))
        found.append(along("return spring", 0.0, 1.5, mm(made.back.coil + made.back.wire)))
    return found


def _sizes(build: Build, left: float, bottom: float) -> list[tuple[Dimension, int]]:
    """Heights over the stove plate, and how far out pin and posts stand."""
    guide, found = guide_for(build), list[tuple[Dimension, int]]()
    bridge, arm = bridge_height(build), mm(push_arm(build))
    heights: list[tuple[str, float, float]] = []
    if guide is not None:
        heights += [("lower eye", mm(guide.low), mm(guide.x)), ("upper eye", mm(guide.high), mm(guide.x))]
        found.append((Dimension("guide posts", MARK, mm(guide.x), 0.0, 0.0, 0.0, bottom, False), 1))
    if bridge is not None and standing_height(build) is not None and build.guard.held_in == "plate":
        heights.append(("bridge", mm(bridge), arm))
    for row, (part, high, x) in enumerate(sorted(heights, key=lambda one: one[1]), 1):
        found.append((Dimension(part, MARK, x, 0.0, x, high, left, True), row))
    if arm > 0.0:
        found.append((Dimension("push pin", MARK, 0.0, 0.0, arm, 0.0, bottom, False), 1))
    return found


def guard_arrangement(build: Build, heading: Heading, paper: str) -> tuple[Page, ...]:
    """The guard's sheet.

    Args:
        build: a checked build.
        heading: of every sheet.
        paper: A4 or Letter.

    Returns:
        One page; none without a guard.
    """
    whole = section(build)
    pin, element = (
        next((one for one in whole.shapes if isinstance(one, Rect) and one.part == part), None)
        for part in ("push pin", "wax element")
    )
    if pin is None or element is None:
        return ()
    fan = [one for one in whole.shapes if one.layer in (RISER, HOT_PLATE)]
    guard = [one for one in whole.shapes if one.layer == GUARD]
    stops = [one for one in guard if one.part in ("bridge", "stop collar")]  # over the return spring
    own = [*_behind(build, pin, element), *(one for one in guard if one not in stops), *_along_pin(build, pin), *stops]
    shapes: list[Shape] = [*fan, *own]
    left, bottom, right, _ = box_of(shapes)
    plate = mm(build.stove.plate_thickness.value)
    shapes.insert(0, Rect("stove plate", STOVE, left - AROUND, -plate, right - left + 2.0 * AROUND, plate))
    labels = [one for one in whole.labels if one.part in {shape.part for shape in own}]
    for shape in own:
        if isinstance(shape, Rect) and shape.part in POINTED:
            x, y = shape.x + POINTED[shape.part] * shape.width, shape.y + 0.5 * shape.height
            labels.append(Label(shape.part, shape.part, x, y))
    small = {one.name for one in small_parts(build)} | {"wax element", "push pin"}
    only = frozenset(one.number for one in numbered(build) if one.name in small)
    says = (
        "Cold, the fan down. Posts, studs and the eyes' screws stand in pairs, one behind the other. Heights from the stove plate.",
        *parts_table(build, only),
    )
    scene = Scene(f"{build.name}: guard", tuple(shapes), tuple(labels))
    sizes = _sizes(build, left, bottom)
    return (view_sheet(build, "arrangement-guard", "General arrangement, guard", scene, [], sizes, says, heading, paper, only),)
