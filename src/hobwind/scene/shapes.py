"""A build as flat shapes in millimetres: the section seen along the fins, and the plate below the modules from above.

Section: x across, y up from the top of the stove plate. Plan: x across, y along the fins. Origin: middle of the foot.
"""

from __future__ import annotations

from ..build import Build
from ..build import geometry as g
from ..build.motor_strut import strut_for
from .forms import (
    BLADE,
    GUARD,
    HIDDEN,
    HOT_PLATE,
    MODULES,
    MOTOR,
    RISER,
    SCREWS,
    SIZES,
    SPREADER,
    STOVE,
    THIN,
    Circle,
    Dimension,
    Label,
    Rect,
    Scene,
    Shape,
    bounds,
    middle_rect,
    mm,
)
from .guard_forms import guard_shapes
from .sink_forms import base_top, sink_shapes
from .sunk import Sunk, from_above, in_section

MODULE_SKIN = 0.2  # share of a module's thickness drawn as each ceramic
ENGAGED = 1.5  # thread diameters a screw is drawn beyond its free length
SPACE = 9.0  # mm from one dimension line to the next


class _Stack:
    """Shapes gathered from the stove plate upward."""

    def __init__(self, build: Build) -> None:
        self.build = build
        self.shapes: list[Shape] = []
        self.labels: list[Label] = []
        self.y = 0.0

    def slab(self, part: str, layer: str, width: float, thick: float) -> None:
        """One thing on top of what is there, in mm."""
        self.shapes.append(middle_rect(part, layer, 0.0, self.y, width, thick))
        self.labels.append(Label(part, part, 0.5 * width - min(3.0, 0.25 * width), self.y + 0.5 * thick))
        self.y += thick

    def modules(self) -> None:
        """Every module once across; those behind another are not seen."""
        thick = mm(g.module_thickness(self.build))
        seen: set[tuple[float, float]] = set()
        right = 0.0
        for x, _, wide, _ in g.module_places(self.build):
            across, width = mm(x), mm(wide)
            if (across, width) in seen:
                continue
            seen.add((across, width))
            right = max(right, across + 0.5 * width)
            skin = MODULE_SKIN * thick
            self.shapes += [
                middle_rect("module", MODULES, across, self.y, width, thick),
                middle_rect("module hot face", MODULES, across, self.y, width, skin),
                middle_rect("module cold face", MODULES, across, self.y + thick - skin, width, skin),
            ]
        for part, share in (("module hot face", 0.5 * MODULE_SKIN), ("module cold face", 1.0 - 0.5 * MODULE_SKIN)):
            self.labels.append(Label(part, part, right - 2.0, self.y + share * thick))
        self.y += thick


def section(build: Build, held: Sunk | None = None) -> Scene:
    """The whole fan on its stove plate, seen along the fins.

    Args:
        build: a checked build.
        held: screws that hold the hot plate on its riser.

    Returns:
        Shapes from back to front.
    """
    stack = _Stack(build)
    hub, motor = mm(build.blade.height.value), mm(build.motor.part.diameter.value)
    strut = None if build.found else strut_for(build)
    if strut is not None:  # seen on edge, behind the fins that it is screwed to
        foot = hub - mm(strut.free + strut.lap)
        stack.shapes.append(middle_rect("motor strut", MOTOR, 0.0, foot, mm(strut.thickness), hub - foot))
        stack.labels.append(
            Label("motor strut", "motor strut", 0.0, hub - 0.5 * (motor + mm(strut.free)) if mm(strut.free) > motor else foot)
        )
    stack.shapes.append(Circle("motor", MOTOR, 0.0, hub, motor))
    stack.labels.append(Label("motor", "motor", 0.3 * motor, hub))
    for i, part in enumerate(build.riser):
        stack.slab(f"riser {i + 1}", RISER, mm(part.width.value), mm(part.length.value))
    under_hot, hot = stack.y, build.hot_plate
    if hot is not None:
        stack.slab("hot plate", HOT_PLATE, mm(hot.width.value), mm(hot.thickness.value))
        if held is not None:
            sunk, name = in_section(held, stack.y)
            stack.shapes += sunk
            stack.labels.append(name)
    stack.modules()
    under_high, spreader = stack.y, build.spreader
    if spreader is not None:
        stack.slab("spreader", SPREADER, mm(spreader.width.value), mm(spreader.thickness.value))
    under_sink = stack.y
    fins, label = sink_shapes(build, under_sink)
    stack.shapes += fins
    stack.labels.append(label)
    _add_screws(stack, under_high, under_sink)
    shapes, labels = guard_shapes(build, under_hot, under_high, under_sink)
    stack.shapes += shapes
    stack.labels += labels
    across = mm(build.blade.part.diameter.value)
    stack.shapes.append(Circle("blade", BLADE, 0.0, hub, across, THIN))
    stack.labels.append(Label("blade", "blade", 0.35355 * across, hub + 0.35355 * across))
    _add_stove(stack)
    _add_sizes(stack, hub, across)
    return Scene(f"{build.name}: section along the fins", tuple(stack.shapes), tuple(stack.labels))


def _add_screws(stack: _Stack, under_high: float, under_sink: float) -> None:
    """Clamp screws from their heads down; the bush stands between head and plate."""
    screws = stack.build.screws
    if screws is None:
        return
    head, shank = mm(screws.part.head_diameter.value), mm(screws.part.diameter.value)
    free = mm(screws.free_length.value)
    places = sorted({mm(x) for x, _ in g.screw_places(screws)})
    bears_on = base_top(stack.build, under_sink)
    spreader = stack.build.spreader
    reach = 0.5 * mm(g.sink_base(stack.build)[0])
    if spreader is not None and (bears_on is None or max(abs(x) for x in places) > reach):
        bears_on = under_sink
    if bears_on is None:  # a sink without a base plate: the free length alone says where the heads are
        bears_on = under_high - mm(g.module_thickness(stack.build)) + free
    flange = mm(screws.bush.flange_thickness.value) if screws.bush is not None else 0.0
    under_head = bears_on + flange
    tail = under_head - free - ENGAGED * shank
    for x in places:
        if screws.bush is not None:
            sleeve, collar = mm(screws.bush.outer.value), mm(screws.bush.flange_diameter.value)
            stack.shapes.append(middle_rect("bushes", SCREWS, x, under_high, sleeve, bears_on - under_high))
            stack.shapes.append(middle_rect("bushes", SCREWS, x, bears_on, collar, flange))
        stack.shapes.append(middle_rect("clamp screws", SCREWS, x, tail, shank, under_head - tail))
        stack.shapes.append(middle_rect("clamp screws", SCREWS, x, under_head, head, shank))
    stack.labels.append(Label("clamp screws", "clamp screws", places[-1], under_head + 0.5 * shank))


def _add_stove(stack: _Stack) -> None:
    """The stove plate, drawn a little wider than all that stands over it; the real one goes on."""
    reach = max(max(abs(bounds(s)[0]), abs(bounds(s)[2])) for s in stack.shapes) + 8.0
    thick = mm(stack.build.stove.plate_thickness.value)
    stack.shapes.insert(0, Rect("stove plate", STOVE, -reach, -thick, 2.0 * reach, thick))
    stack.labels.append(Label("stove plate", "stove plate", reach - 4.0, -0.5 * thick))
    stack.labels.append(Label("seat", "plate under the seat", 0.5 * mm(stack.build.riser[0].width.value) - 6.0, -0.5))


def _add_sizes(stack: _Stack, hub: float, across: float) -> None:
    left, bottom, _, _ = bounds(stack.shapes[0])
    top = max(bounds(shape)[3] for shape in stack.shapes)
    foot, tall = mm(stack.build.riser[0].width.value), mm(g.riser_height(stack.build))
    upper = mm(stack.build.riser[-1].width.value)
    highest = next(shape for shape in stack.shapes if bounds(shape)[3] == top)
    edge = 0.0 if isinstance(highest, Circle) else bounds(highest)[0]
    blade = Dimension("blade", SIZES, -0.5 * across, hub, 0.5 * across, hub, top + SPACE, False)
    stack.shapes += [
        Dimension("riser", SIZES, -0.5 * foot, 0.0, -0.5 * upper, tall, left - 6.0, True),
        Dimension("fan", SIZES, left, 0.0, edge, top, left - 6.0 - SPACE, True),
        Dimension("foot", SIZES, -0.5 * foot, bottom, 0.5 * foot, bottom, bottom - SPACE, False),
        blade,
    ]


def plan(build: Build, held: Sunk | None = None) -> Scene:
    """The plate below the modules from above: modules, screw holes, and the element's pocket beneath.

    Args:
        build: a checked build.
        held: screws that hold the hot plate on its riser.

    Returns:
        Shapes from back to front; what lies below the plate is hidden.
    """
    width, depth = (mm(size) for size in g.low_plate(build))
    top, hot = build.riser[-1], build.hot_plate
    part, layer = ("hot plate", HOT_PLATE) if hot is not None else (f"riser {len(build.riser)}", RISER)
    shapes: list[Shape] = []
    labels = [Label(part, part, 0.5 * width - 2.0, -0.5 * depth + 2.0)]
    if hot is None and top.shape == "cylinder":
        shapes.append(Circle(part, layer, 0.0, 0.0, width))
        labels = [Label(part, part, 0.33 * width, -0.33 * width)]
    else:
        shapes.append(middle_rect(part, layer, 0.0, -0.5 * depth, width, depth))
    if held is not None:
        sunk, label = from_above(held)
        shapes += sunk
        labels.append(label)
    for i, (x, y, wide, deep) in enumerate(g.module_places(build)):
        name = f"module {i + 1}"
        low = mm(y) - 0.5 * mm(deep)
        shapes.append(middle_rect(name, MODULES, mm(x), low, mm(wide), mm(deep)))
        labels.append(Label(name, name, mm(x) + 0.1 * mm(wide), mm(y) + 0.2 * mm(deep) * i / (i + 1)))
    if hot is not None:
        across, along, name = mm(top.width.value), mm(top.depth.value), f"riser {len(build.riser)}"
        if top.shape == "cylinder":
            shapes.append(Circle(name, RISER, 0.0, 0.0, across, HIDDEN))
        else:
            shapes.append(middle_rect(name, RISER, 0.0, -0.5 * along, across, along, HIDDEN))
        labels.append(Label(name, name, 0.5 * across, -0.43 * along if top.shape == "block" else 0.0))
    if build.guard.element is not None and build.guard.held_in == "riser":
        x, y = (mm(one) for one in g.pin_spot(build))
        shapes.append(Circle("wax pocket", GUARD, x, y, mm(build.guard.element.diameter.value), HIDDEN))
        labels.append(Label("wax pocket", "wax pocket", x, y))
    if build.screws is not None:
        places = [(mm(x), mm(y)) for x, y in g.screw_places(build.screws)]
        hole = mm(build.screws.hole.value)
        shapes += [Circle("screw holes", SCREWS, x, y, hole) for x, y in places]
        labels.append(Label("screw holes", "screw holes", *places[0]))
    left, bottom = min(bounds(s)[0] for s in shapes), min(bounds(s)[1] for s in shapes)
    shapes += [
        Dimension("plate", SIZES, -0.5 * width, -0.5 * depth, 0.5 * width, -0.5 * depth, bottom - SPACE, False),
        Dimension("plate", SIZES, -0.5 * width, -0.5 * depth, -0.5 * width, 0.5 * depth, left - SPACE, True),
    ]
    return Scene(f"{build.name}: plate below the modules, from above", tuple(shapes), tuple(labels))
