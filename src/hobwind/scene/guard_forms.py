"""The guard as shapes, seen along the fins: element, pin, what stops it, lever, and the guide of a lifted fan."""

from __future__ import annotations

from ..build import Build
from ..build.geometry import pin_spot
from ..build.guide import LEVER_BAR, LEVER_END, lever_arms, overhang, push_arm, stands_at
from ..build.guide_posts import EYE_SIDE, FLANGE, POST, SHEET, guide_for
from ..build.pin import BRIDGE, bridge_at, pin_gap
from ..lifting.foot import strip_for
from .forms import GUARD, Circle, Label, Rect, Shape, middle_rect, mm

THIN_FOOT = 1.5  # mm, how wide the strip under an element beside the fan is drawn where none serves
LEVER, PIVOT = mm(LEVER_BAR), 4.0  # mm, how high a lever's bar and how wide its pivot are drawn
COLLAR, ROUND, STRIP = 4.0, 7.0, 16.0  # mm: a stop collar's height, by how much it is wider than its pin; the bridge's width


def guard_shapes(build: Build, under_hot: float, under_high: float, under_sink: float) -> tuple[list[Shape], list[Label]]:
    """The wax element where it is held, the push pin between it and what it pushes, stop, lever and guide.

    Args:
        build: a checked build.
        under_hot: underside of the hot plate. [mm]
        under_high: underside of the spreader. [mm]
        under_sink: underside of the sink. [mm]

    Returns:
        Shapes from back to front, and where each part is labelled; none without a guard.
    """
    guard = build.guard
    if guard.element is None:
        return [], []
    shapes, labels = _guide(build)
    wide, tall = mm(guard.element.diameter.value), mm(guard.element.length.value)
    pin = mm(guard.pin_diameter.value)
    if guard.held_in == "riser":
        x, low = mm(pin_spot(build)[0]), max(mm(guard.element_height.value) - 0.5 * tall, 0.0)
        room = (0.0, low)
        pocket = 1.0
        shapes.append(middle_rect("wax pocket", GUARD, x, low, wide + pocket, tall + 0.5 * pocket))
    elif guard.held_in == "plate":  # it stands beside the riser and pushes up at whatever overhangs it first
        x, hangs = mm(push_arm(build)), overhang(build)
        over = tall + mm(guard.pin_length.value) if hangs is None else mm(hangs)
        if lever_arms(build) is not None:
            over -= LEVER
            more = _lever(build, x, over)
            shapes, labels = [*shapes, *more[0]], [*labels, *more[1]]
        low = mm(stands_at(build))
        tall = min(tall, 0.9 * over - low)
        room = (low + tall, over)
        if low > 0.0:  # the strip that carries heat from plate to element
            strip, base = strip_for(build), mm(SHEET)
            across = THIN_FOOT if strip is None else mm(strip.width)
            shapes.append(middle_rect("thin foot", GUARD, x, base, across, max(low - base, 0.0)))
    else:  # at the side of the plate that holds it, its pin reaching down past the riser
        y = {"hot plate": under_hot, "spreader": under_high}.get(guard.held_in, under_sink)
        x, low = mm(push_arm(build)), max(y - 0.5 * tall, 0.0)
        room = (0.0, low)
    shapes.append(middle_rect("wax element", GUARD, x, low, wide, tall))
    labels.append(Label("wax element", "wax element", x + 0.25 * wide, low + 0.5 * tall))
    if room[1] > room[0]:
        shapes.append(middle_rect("push pin", GUARD, x, room[0], pin, room[1] - room[0]))
        labels.append(Label("push pin", "push pin", x, room[0] + 0.4 * (room[1] - room[0])))
        if guard.held_in != "riser":
            more = _stop(build, x, room)
            shapes, labels = [*shapes, *more[0]], [*labels, *more[1]]
    return shapes, labels


def _stop(build: Build, x: float, room: tuple[float, float]) -> tuple[list[Shape], list[Label]]:
    """Collar and bridge, as far apart, cold, as the pin may travel; the tip is short of what it pushes by the lost motion."""
    guard, lost = build.guard, mm(build.guard.lost_motion.value)
    along = mm(bridge_at(guard, 1e-3 * (room[1] - room[0] - lost)))
    gap, wide = mm(pin_gap(guard)), mm(guard.pin_diameter.value) + ROUND
    if along - gap - COLLAR < 0.0:
        return [], []
    up = guard.held_in == "plate"
    bridge = room[0] + along if up else room[1] - along - mm(BRIDGE)
    collar = bridge - gap - COLLAR if up else bridge + mm(BRIDGE) + gap
    shapes: list[Shape] = [
        middle_rect("bridge", GUARD, x, bridge, STRIP, mm(BRIDGE)), middle_rect("stop collar", GUARD, x, collar, wide, COLLAR)
    ]  # fmt: skip
    labels = [
        Label("bridge", "bridge", x + 0.4 * STRIP, bridge + 0.5 * mm(BRIDGE)),
        Label("stop collar", "stop collar", x + 0.4 * wide, collar + 0.5 * COLLAR),
    ]
    return shapes, labels


def _lever(build: Build, x: float, low: float) -> tuple[list[Shape], list[Label]]:
    """The lever's bar from its pivot, outermost, over the pin at `x` to the fan."""
    arms = lever_arms(build)
    assert arms is not None  # asked before
    short, long = (mm(arm) for arm in arms)
    pivot = x + short
    near = pivot - max(short, long) - mm(LEVER_END)
    shapes: list[Shape] = [
        Rect("lever", GUARD, near, low, pivot + 0.5 * LEVER - near, LEVER), Circle("lever pivot", GUARD, pivot, low + 0.5 * LEVER, PIVOT)
    ]  # fmt: skip
    return shapes, [Label("lever", "lever", x + 0.5 * short, low + 0.5 * LEVER)]


def _guide(build: Build) -> tuple[list[Shape], list[Label]]:
    """Posts on the side away from the element, one behind the other, and the eyes between them and the fan."""
    guide = guide_for(build)
    if guide is None:
        return [], []
    x, back = mm(guide.x), mm(EYE_SIDE)
    shapes: list[Shape] = [middle_rect("guide posts", GUARD, x, 0.0, mm(POST), mm(guide.post))]
    for name, high, reach in (("lower eye", guide.low, guide.reach_low), ("upper eye", guide.high, guide.reach_high)):
        shapes.append(Rect(name, GUARD, x - back, mm(high - 0.5 * SHEET), back + mm(reach), mm(SHEET)))
        under = high - 0.5 * SHEET if name == "lower eye" else high + 0.5 * SHEET - FLANGE
        shapes.append(Rect(name, GUARD, x + mm(reach - SHEET), mm(under), mm(SHEET), mm(FLANGE)))
    labels = [
        Label("guide posts", "guide posts", x, 0.5 * mm(guide.low + guide.high)),
        Label("lower eye", "lower eye", x - 0.5 * back, mm(guide.low)),
        Label("upper eye", "upper eye", x - 0.5 * back, mm(guide.high)),
    ]
    return shapes, labels
