"""The guard's general arrangements: what stands beside, on or under the fan to lift it, numbered, with the sizes it is set up by.

One along the fins, fan and guide with it; one from above where anything stands beside the fan, and where the element does one from
its end, away from the fan: there the thin foot's bends and the studs are seen.
"""

from __future__ import annotations

from ..build import Build
from ..build.guide import CHEEK, lever_arms, push_arm, pushed_at, stands_at
from ..build.guide_posts import SHEET, guide_for
from ..build.pin import BRIDGE, STUD_NUT, STUD_PAST, pin_depth
from ..lifting.clip import EAR, clip_for
from ..lifting.foot import ROD, ROUND, Strip, legs_reach, rods_apart, strip_for
from ..lifting.frame import CHEEK_TOP, KEPT, STRIP, base_for, bridge_height, cheek_axis, rod_length
from ..lifting.heat import ring_for
from ..lifting.train import COLLAR, train
from ..scene.forms import (
    GUARD,
    HOT_PLATE,
    RISER,
    STOVE,
    THIN,
    Circle,
    Dimension,
    Label,
    Polyline,
    Rect,
    Scene,
    Shape,
    middle_rect,
    mm,
)
from ..scene.shapes import section
from .arrangement import parts_table, view_sheet
from .arrangement_guard_plan import guard_plan
from .guard_small import small_parts
from .ink import MARK, box_of
from .made_parts import numbered
from .paper import Heading, Page

AROUND = 8.0  # mm of stove plate drawn past the guard
NUT_ACROSS = 7.0  # mm; width of a nut M4. Source: iso-4032
BETWEEN = 10.0  # mm from one cooling ring to the next
POINTED = {
    "cooling ring": 0.9,
    "guard base": 0.2,
    "lever cheeks": 0.8,
    "bridge studs": 0.5,
    "element clip": 0.1,
    "keeper": 0.1,
    "stud nuts": 0.5,
    "over-travel capsule": 0.8,
    "return spring": 0.9,
    "bead": 0.5,
}


def _behind(build: Build, pin: Rect, element: Rect) -> list[Shape]:
    """Studs, ring and base: they stand behind pin and element, or round them."""
    found: list[Shape] = []
    base, x = base_for(build), pin.x + 0.5 * pin.width
    rod = rod_length(build)
    if build.guard.held_in == "plate" and rod is not None:
        found.append(middle_rect("bridge studs", GUARD, x, 0.0, mm(ROD), mm(rod)))
    if base is not None:
        left, right, half = mm(base.left), mm(base.right), 0.5 * mm(base.window[0])
        found.append(Rect("guard base", GUARD, left, 0.0, -half - left, mm(SHEET)))
        found.append(Rect("guard base", GUARD, half, 0.0, right - half, mm(SHEET)))
    ear = clip_for(build)
    if ear is not None:
        under = element.y + 0.5 * element.height
        found.append(Rect("element clip", GUARD, mm(ear.inner), under - mm(EAR), mm(ear.outer - ear.inner), mm(EAR)))
        found.append(middle_rect("keeper", GUARD, x, element.y + element.height, mm(STRIP), mm(KEPT)))
        if rod is not None:
            low = element.y + element.height + mm(KEPT + STUD_PAST) - mm(rod)
            found.append(middle_rect("bridge studs", GUARD, x, low, mm(ROD), mm(rod)))
    arms = lever_arms(build)
    if arms is not None and build.guard.held_in == "plate":
        tall = mm(cheek_axis(build) + CHEEK_TOP)
        found.append(middle_rect("lever cheeks", GUARD, x + mm(arms[0]), mm(SHEET), mm(CHEEK), tall))
    ring = ring_for(build)
    return found if ring is None else [*found, *_rings(build, element, x - mm(ring.near), mm(ring.side))]


def _rings(build: Build, element: Rect, left: float, wide: float) -> list[Shape]:
    """The cooling rings round the element's middle, their left edges and width given."""
    ring = ring_for(build)
    if ring is None:
        return []
    # At a plate's side the clip has the element's middle.
    share = 0.5 if build.guard.held_in == "plate" else 0.25
    thick, middle = mm(ring.thickness), element.y + share * element.height
    rows = [middle + BETWEEN * (i - 0.5 * (ring.count - 1)) for i in range(ring.count)]
    return [Rect("cooling ring", GUARD, left, high - 0.5 * thick, wide, thick) for high in rows]


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
    own = mm(guard.piston_out.value)
    if made.capsule is not None:
        found.append(along("over-travel capsule", own, own + mm(made.capsule[1]), mm(made.capsule[0])))
    if made.back is not None:
        half, turns = 0.5 * mm(made.back.coil), max(round(made.back.turns), 2)
        step = (1.0 if up else -1.0) * (mm(made.bridge) - 1.5) / (2 * turns)
        first = start + (own + 1.5 if up else -own - 1.5)
        points = tuple((x + (half if i % 2 else -half), first + i * step) for i in range(2 * turns + 1))
        found.append(Polyline("return spring", GUARD, points, False, THIN))
        found.append(along("return spring", own, own + 1.5, mm(made.back.coil + made.back.wire)))
    return found


def _sizes(build: Build, left: float, bottom: float) -> list[tuple[Dimension, int]]:
    """Heights over the stove plate, and how far out pin and posts stand."""
    guide, found = guide_for(build), list[tuple[Dimension, int]]()
    bridge, arm = bridge_height(build), mm(push_arm(build))
    heights: list[tuple[str, float, float]] = []
    if guide is not None:
        heights += [("lower eye", mm(guide.low), mm(guide.x)), ("upper eye", mm(guide.high), mm(guide.x))]
        found.append((Dimension("guide posts", MARK, mm(guide.x), 0.0, 0.0, 0.0, bottom, False), 1))
    if bridge is not None and build.guard.held_in == "plate":
        heights += [("thin foot", mm(stands_at(build)), arm), ("bridge", mm(bridge), arm)]
    for row, (part, high, x) in enumerate(sorted(heights, key=lambda one: one[1]), 1):
        found.append((Dimension(part, MARK, x, 0.0, x, high, left, True), row))
    if arm > 0.0:
        found.append((Dimension("push pin", MARK, 0.0, 0.0, arm, 0.0, bottom, False), 1))
    return found


def _table(strip: Strip, bottom: float) -> Polyline:
    """The thin foot from its end: the strip's outline round its bends, corners square."""
    thick, inner, tall = mm(strip.thickness), 0.5 * mm(strip.top) + mm(ROUND * strip.thickness), mm(strip.tall)
    outer, far = inner + thick, 0.5 * mm(strip.top) + mm(legs_reach(strip.thickness) + strip.toe)
    half = (
        (far, 0.0), (inner, 0.0), (inner, tall - thick), (-inner, tall - thick), (-inner, 0.0), (-far, 0.0), (-far, thick),
        (-outer, thick), (-outer, tall), (outer, tall), (outer, thick), (far, thick),
    )  # fmt: skip
    return Polyline("thin foot", GUARD, tuple((x, bottom + y) for x, y in half))


def end_view(build: Build) -> tuple[list[Shape], list[tuple[Dimension, int]]]:
    """The guard beside the fan from its end, away from the fan: fore and aft to the right, heights from the stove plate; mm.

    Args:
        build: a checked build whose element stands beside the fan.

    Returns:
        Shapes from back to front, and the sizes to set it up by; none for another guard.
    """
    guard, strip, bridge, rod, base = build.guard, strip_for(build), bridge_height(build), rod_length(build), base_for(build)
    if guard.element is None or guard.held_in != "plate" or bridge is None or rod is None or base is None:
        return [], []
    low, tall, apart = mm(stands_at(build)), mm(guard.element.length.value), mm(rods_apart(build))
    far = low + tall + mm(pin_depth(guard, guard.pin_length.value))
    element = middle_rect("wax element", GUARD, 0.0, low, mm(guard.element.diameter.value), tall)
    pin = middle_rect("push pin", GUARD, 0.0, low + tall, mm(guard.pin_diameter.value), far - low - tall)
    ring, over, deep = ring_for(build), pushed_at(build), mm(base.deep)
    found: list[Shape] = []
    if over is not None:
        name, layer = ("lever", GUARD) if guard.kind == "lever tilt" else ("what it pushes", HOT_PLATE)
        found.append(middle_rect(name, layer, 0.0, mm(over), 0.6 * deep if layer == HOT_PLATE else 5.0, 6.0))
    found.append(middle_rect("guard base", GUARD, 0.0, 0.0, deep, mm(SHEET)))
    found += [middle_rect("bridge studs", GUARD, y, 0.0, mm(ROD), mm(rod)) for y in (-0.5 * apart, 0.5 * apart)]
    found += [] if strip is None else [_table(strip, mm(SHEET))]
    toe = mm(SHEET) + (0.0 if strip is None else mm(strip.thickness))
    for under in (toe, mm(bridge - STUD_NUT), mm(bridge + BRIDGE)):
        found += [middle_rect("stud nuts", GUARD, y, under, NUT_ACROSS, mm(STUD_NUT)) for y in (-0.5 * apart, 0.5 * apart)]
    found += [
        element,
        pin,
        *([] if ring is None else _rings(build, element, -0.5 * mm(ring.deep), mm(ring.deep))),
        *_along_pin(build, pin),
    ]
    made = train(build)
    if made is not None:
        collar = low + tall + mm(guard.piston_out.value + made.collar)
        found.append(middle_rect("stop collar", GUARD, 0.0, collar, mm(guard.pin_diameter.value) + 7.0, mm(COLLAR)))
    found.append(middle_rect("bridge", GUARD, 0.0, mm(bridge), apart + mm(STRIP), mm(BRIDGE)))
    left = -0.5 * deep
    levels = [
        ("thin foot", low),
        ("wax element", low + tall),
        ("bridge", mm(bridge)),
        ("push pin", far - mm(guard.lost_motion.value)),
    ]
    sizes = [(Dimension(part, MARK, 0.0, 0.0, 0.0, high, left, True), row) for row, (part, high) in enumerate(levels, 1)]
    sizes.append((Dimension("bridge studs", MARK, -0.5 * apart, 0.0, 0.5 * apart, 0.0, 0.0, False), 1))
    if strip is not None:
        reach = 0.5 * mm(strip.top) + mm(legs_reach(strip.thickness) + strip.toe)
        sizes.append((Dimension("thin foot", MARK, -reach, 0.0, reach, 0.0, 0.0, False), 2))
    return found, sizes


def _stove(build: Build, shapes: list[Shape]) -> Rect:
    left, _, right, _ = box_of(shapes)
    plate = mm(build.stove.plate_thickness.value)
    return Rect("stove plate", STOVE, left - AROUND, -plate, right - left + 2.0 * AROUND, plate)


def _pointed(shapes: list[Shape], parts: dict[str, float]) -> list[Label]:
    return [
        Label(shape.part, shape.part, shape.x + parts[shape.part] * shape.width, shape.y + 0.5 * shape.height)
        for shape in shapes
        if isinstance(shape, Rect) and shape.part in parts
    ]


def _hidden(build: Build, shapes: list[Shape]) -> list[Label]:
    """Where the small things are that have no outline of their own: pivot, screws, the spring in its capsule."""
    found = [
        Label("pivot pin", "pivot pin", one.x, one.y) for one in shapes if isinstance(one, Circle) and one.part == "lever pivot"
    ]
    guide = guide_for(build)
    if guide is not None:
        found.append(Label("eye screws", "eye screws", mm(guide.x + guide.reach_low) - 1.0, mm(guide.screws[0])))
    for one in shapes:
        if isinstance(one, Rect) and one.part == "over-travel capsule":
            found.append(Label("over-travel spring", "over-travel spring", one.x + 0.3 * one.width, one.y + 0.4 * one.height))
        if isinstance(one, Rect) and one.part == "lever cheeks":
            found.append(Label("cheek screws", "cheek screws", one.x + 0.5 * one.width, one.y + 2.0))
    return found


def guard_arrangement(build: Build, heading: Heading, paper: str) -> tuple[Page, ...]:
    """The guard's sheets.

    Args:
        build: a checked build.
        heading: of every sheet.
        paper: A4 or Letter.

    Returns:
        Along the fins; from above where anything stands beside the fan; from its end where the element does; none without a guard.
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
    left, bottom, _, _ = box_of(shapes)
    labels = (
        [one for one in whole.labels if one.part in {shape.part for shape in own}]
        + _pointed(own, POINTED)
        + _hidden(build, own)
    )
    small = {one.name for one in small_parts(build)} | {"wax element", "push pin"}
    only = frozenset(one.number for one in numbered(build) if one.name in small)
    pairs = [
        *(["posts", "the eyes' screws"] if guide_for(build) is not None else []),
        *([] if rod_length(build) is None else ["studs"]),
    ]
    twice = f" In pairs, one behind the other: {', '.join(pairs)}." if pairs else ""
    says = (
        f"Cold, the fan down.{twice} Heights from the stove plate.",
        *parts_table(build, only),
    )
    scene = Scene(f"{build.name}: guard", (_stove(build, shapes), *shapes), tuple(labels))
    sizes = _sizes(build, left, bottom)
    pages = [view_sheet(build, "arrangement-guard", "General arrangement, guard", scene, [], sizes, says, heading, paper, only)]
    if build.guard.held_in != "riser" or guide_for(build) is not None:
        pages.append(guard_plan(build, heading, paper, only))
    ends, sizes = end_view(build)
    if ends:
        points = {**POINTED, "wax element": 0.75, "push pin": 0.5, "bridge": 0.9, "stop collar": 0.85}
        labels = _pointed(ends, points) + [Label("thin foot", "thin foot", 0.0, mm(SHEET) + 0.5)]
        scene = Scene(f"{build.name}: guard from its end", (_stove(build, ends), *ends), tuple(labels))
        says = (
            "Seen from the guard's end, away from the fan, cold; above, what the pin pushes. A lever's cheeks are left out. Heights: foot, "
            "element's upper end, bridge's near face, pin's tip. The thin foot's bends are drawn square.",
        )
        title = "General arrangement, guard from its end"
        pages.append(view_sheet(build, "arrangement-guard-end", title, scene, [], sizes, says, heading, paper, only))
    return tuple(pages)
