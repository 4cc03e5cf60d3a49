"""The general arrangement: section and plan, each on one sheet with numbers and sizes; a fan that tilts has a sheet of that besides.

Drawn at one of the standard scales; the proof bar on these sheets is true all the same. Dashed: lifted to its stop.
"""

from __future__ import annotations

from dataclasses import replace

from ..build import Build, standing
from ..build import geometry as g
from ..build.guide import push_arm, standing_height
from ..build.motor_strut import strut_for
from ..build.pin import pin_depth
from ..scene.forms import (
    HIDDEN,
    HOT_PLATE,
    RISER,
    SINK,
    SOLID,
    SPREADER,
    THIN,
    Circle,
    Dimension,
    Label,
    Line,
    Polyline,
    Rect,
    Scene,
    Shape,
    Text,
    bounds,
    mm,
)
from ..scene.shapes import plan, section
from .guard_small import small_parts
from .ink import CENTRE, CUT, FACE, MARK, TEXT, USUAL, box_of, drawn, moved, wide
from .made_parts import numbered
from .paper import MARGIN, SHEETS, Heading, Page, foot_of
from .plate_drawn import drawn_screws
from .templates import Template

SCALES = ((1.0, "1:1"), (0.5, "1:2"), (0.2, "1:5"), (0.1, "1:10"))  # ISO 5455
LEFT, ROW, RIGHT, BELOW, ABOVE = 34.0, 10.0, 20.0, 16.0, 10.0  # mm of paper for sizes and numbers round the drawing
BENEATH = 8.0  # mm of paper from one size below the drawing to the next
BALLOON = 6.4  # mm across
BELOW_HEADS = ("washers", "spacers")  # not drawn: they are pointed at under a clamp screw's head
SAME = {"module hot face": "module", "module cold face": "module", "wax pocket": "wax element", "screw holes": "clamp screws"}


def fan_numbers(build: Build) -> frozenset[int]:
    """Numbers of all but the guard's small parts, which stand on a sheet of their own."""
    small = {one.name for one in small_parts(build)} - {"thin foot"}
    return frozenset(one.number for one in numbered(build) if one.name not in small)


def parts_table(build: Build, only: frozenset[int] | None = None) -> tuple[str, ...]:
    """The numbered parts, or some of them, as lines of fixed-width lettering."""
    rows = [
        (str(one.number), one.name, str(one.count), one.material, one.sizes)
        for one in numbered(build)
        if only is None or one.number in only
    ]
    rows.insert(0, ("no.", "part", "of", "material", "size, mm"))
    widths = [max(len(row[i]) for row in rows) for i in range(5)]
    return tuple("  ".join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True)).rstrip() for row in rows)


def _inked(shapes: tuple[Shape, ...]) -> list[Shape]:
    """A scene's shapes in black: faces hide what lies behind them; sizes are drawn anew for the scale."""
    found: list[Shape] = []
    for shape in shapes:
        if isinstance(shape, Dimension | Text):
            continue
        if isinstance(shape, Line):
            found.append(replace(shape, layer=MARK))
        elif shape.style == SOLID:
            found.append(replace(shape, layer=CUT, style=FACE))
        else:
            found.append(replace(shape, layer=MARK))
    return found


def _box(shapes: list[Shape]) -> Rect:
    """One box round many shapes."""
    left, bottom, right, top = box_of(shapes)
    return Rect("sink", MARK, left, bottom, right - left, top - bottom, HIDDEN)


def _lifted(build: Build, scene: Scene, lift: float) -> list[Shape]:
    """Outlines of what rises with the fan, raised, dashed."""
    found: list[Shape] = []
    for shape in scene.shapes:
        if isinstance(shape, Rect) and shape.layer in (RISER, HOT_PLATE, SPREADER):
            found.append(replace(shape, y=shape.y + lift, layer=MARK, style=HIDDEN))
        if (
            isinstance(shape, Rect) and shape.part == "push pin" and build.guard.held_in == "plate"
        ):  # its lost motion is used up by then
            found.append(replace(shape, y=shape.y + lift, layer=MARK, style=HIDDEN))
        if isinstance(shape, Circle) and shape.part == "blade":
            found.append(replace(shape, y=shape.y + lift, layer=MARK, style=HIDDEN))
    fins = [moved(shape, 0.0, lift) for shape in scene.shapes if shape.layer == SINK]
    return [*found, _box(fins)]


def _pointed(build: Build, scene: Scene) -> list[Label]:
    """Where each part is pointed at: its label, or the first shape of a part without one."""
    labels = list(scene.labels)
    known = {label.part for label in labels}
    heads = next((label for label in labels if label.part == "clamp screws"), None)
    for one in numbered(build):
        if one.name in BELOW_HEADS and heads is not None:
            assert build.screws is not None  # its heads are drawn
            labels.append(Label(one.name, one.name, heads.x, heads.y - 0.5 * mm(build.screws.part.diameter.value)))
        elif one.name not in known:
            shape = next((shape for shape in scene.shapes if shape.part == one.name), None)
            if shape is not None:
                left, bottom, right, top = bounds(shape)
                labels.append(Label(one.name, one.name, 0.5 * (left + right), bottom + 0.3 * (top - bottom)))
    return labels


def _balloons(
    build: Build,
    labels: list[Label],
    at: tuple[float, float, float],
    column: float,
    low: float,
    top: float,
    only: frozenset[int],
) -> list[Shape]:
    """Part numbers in a column beside the drawing, with a line to each part, pushed apart until none touch."""
    number = {one.name: one.number for one in reversed(numbered(build)) if one.number in only}
    scale, x0, y0 = at
    first: dict[int, tuple[float, float]] = {}
    for label in labels:
        part = SAME.get(label.part, "module" if label.part.startswith("module ") else label.part)
        if part in number:
            first.setdefault(number[part], (scale * label.x + x0, scale * label.y + y0))
    order = sorted(first, key=lambda one: (first[one][1], first[one][0], one))
    places: list[float] = []
    for one in order:
        places.append(max(first[one][1], places[-1] + BALLOON + 1.4 if places else low))
    highest = top
    for i in reversed(range(len(places))):
        places[i] = min(places[i], highest)
        highest = places[i] - BALLOON - 1.4
    found: list[Shape] = []
    for one, y in zip(order, places, strict=True):
        px, py = first[one]
        found += [
            Polyline("leader", MARK, ((px, py), (column - 0.5 * BALLOON - 3.0, y), (column - 0.5 * BALLOON, y)), False, THIN),
            Circle("leader end", MARK, px, py, 0.7, SOLID), Circle("number", MARK, column, y, BALLOON, THIN),
            Text("number", TEXT, column - 0.5 * wide(str(one), USUAL), y - 0.36 * USUAL, USUAL, str(one)),
        ]  # fmt: skip
    return found


def _level(part: str, y1: float, y2: float, x: float, at: float) -> Dimension:
    return Dimension(part, MARK, x, y1, x, y2, at, True)


def _guard_sizes(build: Build, left: float) -> list[tuple[Dimension, int]]:
    """The chain of an element beside the fan: what it stands on, the element, seat to what the pin pushes; outside them the pin."""
    height, guard = standing_height(build), build.guard
    if height is None or height <= 0.0 or guard.element is None:
        return []
    x, low, tall = mm(push_arm(build)), mm(height), mm(guard.element.length.value)
    pin, own = mm(guard.pin_length.value), mm(guard.piston_out.value)
    face = low + tall + mm(pin_depth(guard, guard.pin_length.value))
    tip = face - mm(guard.lost_motion.value)
    return [
        (_level("thin foot", 0.0, low, x, left), 4),
        (_level("wax element", low, low + tall, x, left), 4),
        (_level("seat to what the pin pushes", low + tall, face, x, left), 4),
        (_level("push pin", tip - pin, tip, x, left), 5),
        *([(_level("element's own pin", tip - pin - own, tip - pin, x, left), 5)] if own > 0.0 else []),
    ]


def _section_sizes(build: Build, box: tuple[float, float, float, float]) -> list[tuple[Dimension, int]]:
    """Sizes of the section in the fan's own mm, and how many rows out each stands."""
    left, bottom, _, top = box
    foot, hub = 0.5 * mm(build.riser[0].width.value), mm(build.blade.height.value)
    blade = 0.5 * mm(build.blade.part.diameter.value)
    return [
        *_guard_sizes(build, left),
        (_level("riser", 0.0, mm(g.riser_height(build)), -foot, left), 1),
        (_level("hub", 0.0, hub, 0.0, left), 2),
        (_level("fan", 0.0, top, 0.0, left), 3),
        (Dimension("foot", MARK, -foot, 0.0, foot, 0.0, bottom, False), 1),
        (Dimension("blade", MARK, -blade, hub, blade, hub, top, False), -1),
    ]  # fmt: skip


def _plan_sizes(build: Build, box: tuple[float, float, float, float]) -> list[tuple[Dimension, int]]:
    left, bottom, _, top = box
    width, depth = (0.5 * mm(one) for one in g.low_plate(build))
    found = [
        (Dimension("plate", MARK, -width, -depth, width, -depth, bottom, False), 1),
        (_level("plate", -depth, depth, -width, left), 2),
    ]
    if build.screws is not None:
        places = [(mm(x), mm(y)) for x, y in g.screw_places(build.screws)]
        x1, x2 = min(x for x, _ in places), max(x for x, _ in places)
        y1, y2 = min(y for _, y in places), max(y for _, y in places)
        if x2 - x1 > 1e-6:
            found.append((Dimension("screws", MARK, x1, y2, x2, y2, top, False), -1))
        if y2 - y1 > 1e-6:
            found.append((_level("screws", y1, y2, x1, left), 1))
    return found


def view_sheet(
    build: Build, key: str, title: str, scene: Scene, more: list[Shape], sizes: list[tuple[Dimension, int]],
    says: tuple[str, ...], heading: Heading, paper: str, only: frozenset[int],
) -> Page:  # fmt: skip
    """One view on one upright sheet at the largest standard scale that fits, with the numbers of some parts."""
    width, height = SHEETS[paper]
    shapes = [*_inked(scene.shapes), *more]
    box = box_of(shapes)
    below = max(BELOW, BENEATH * max((row for size, row in sizes if not size.upright), default=0))
    before = max(LEFT, ROW * max((row for size, row in sizes if size.upright), default=0) + 4.0)
    room_x = width - 2.0 * MARGIN - before - RIGHT
    for scale, named in SCALES:
        foot, low = foot_of(Template(key, f"{title}, {named}", says, ()), heading, (width, height), "Scale " + named)
        room_y = height - MARGIN - low - below - ABOVE
        if scale * (box[2] - box[0]) <= room_x and scale * (box[3] - box[1]) <= room_y:
            break
    x0 = MARGIN + before + 0.5 * (room_x - scale * (box[2] - box[0])) - scale * box[0]
    y0 = low + below + 0.5 * (room_y - scale * (box[3] - box[1])) - scale * box[1]
    placed = [moved(shape, x0, y0, scale) for shape in shapes]
    left, bottom, right, top = box_of(placed)
    for size, row in sizes:
        scaled = moved(size, x0, y0, scale)
        assert isinstance(scaled, Dimension)
        edge = left - 2.0 - ROW * (row - 1) if scaled.upright else (bottom - BENEATH * row if row > 0 else top - 5.0 * row)
        placed += drawn(replace(scaled, at=edge), scale)
    placed += _balloons(build, _pointed(build, scene), (scale, x0, y0), right + 0.6 * RIGHT, bottom + 4.0, top - 2.0, only)
    window = (0.0, 0.0, width, height)
    return Page(key, title, width, height, (), tuple([*placed, *foot]), window, (x0, y0))


def _tapped(build: Build, scene: Scene) -> Scene:
    """The plan with its screw holes as wide as the threads tapped there."""
    if build.screws is None:
        return scene
    thread = mm(build.screws.part.diameter.value)
    shapes = tuple(
        replace(shape, diameter=thread) if isinstance(shape, Circle) and shape.part == "screw holes" else shape
        for shape in scene.shapes
    )
    return replace(scene, shapes=shapes)


def _lift_says(build: Build) -> tuple[str, ...]:
    guard = build.guard
    if guard.element is None:
        return ("No guard: it does not lift.",)
    stop = f"{mm(guard.stop.value):g} mm"
    if guard.kind == "central lift":
        tips = (
            ""
            if standing.stands_when_lifted(build)
            else " Its foot is too small to stand level: it would tip (see the verdict)."
        )
        return (f"Solid: cold, seated. Dashed: lifted to its stop, {stop}.{tips}",)
    return (f"Cold, seated. The guard tilts it by {stop} where it is pushed up: see its own sheet.",)


def _stands_says(build: Build) -> tuple[str, ...]:
    height = standing_height(build)
    if height is None or height <= 0.0:
        return ()
    return (
        f"The wax element stands {mm(height):.4g} mm over the stove plate, {mm(push_arm(build)):.4g} mm off the fan's middle; sizes from "
        f"the plate up: foot, element, seat to what the pin pushes. Cold, the tip is {mm(build.guard.lost_motion.value):g} mm short.",
    )


def arrangement(build: Build, heading: Heading, paper: str) -> tuple[Page, ...]:
    """Section and plan.

    Args:
        build: a checked build.
        heading: of every sheet.
        paper: A4 or Letter.

    Returns:
        One page for each view.
    """
    own, held = fan_numbers(build), drawn_screws(build)
    guard, drawn_section, drawn_plan = build.guard, section(build, held), _tapped(build, plan(build, held))
    lifts = guard.element is not None and guard.kind == "central lift"
    more = _lifted(build, drawn_section, mm(guard.stop.value)) if lifts else []
    ends = [shape for shape in drawn_section.shapes if not isinstance(shape, Dimension)]
    says = (
        *_lift_says(build),
        *_stands_says(build),
        (
            "The motor's strut is a proposal: the build does not say how it is held."
            if strut_for(build) is not None and not build.found
            else "The build does not say how the motor is held: draw it in."
        )
        + (" The guard's small parts have a sheet of their own." if guard.element is not None else ""),
        *parts_table(build, own),
    )
    found = [
        view_sheet(build, "arrangement-section", "General arrangement, section along the fins", drawn_section, more,
               _section_sizes(build, box_of(ends)), says, heading, paper, own)
    ]  # fmt: skip
    lines: list[Shape] = []
    width, depth = (0.5 * mm(one) + 4.0 for one in g.low_plate(build))
    lines += [Line("centre", MARK, -width, 0.0, width, 0.0, CENTRE), Line("centre", MARK, 0.0, -depth, 0.0, depth, CENTRE)]
    flat_ends = [shape for shape in drawn_plan.shapes if not isinstance(shape, Dimension)]
    found.append(
        view_sheet(build, "arrangement-plan", "General arrangement, plate below the modules from above", drawn_plan, lines,
               _plan_sizes(build, box_of(flat_ends)), ("Dashed: what lies beneath the plate.",), heading, paper, own)
    )  # fmt: skip
    return tuple(found)
