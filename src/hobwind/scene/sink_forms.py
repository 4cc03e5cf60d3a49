"""The sink as shapes, seen along its fins."""

from __future__ import annotations

from ..build import Build
from ..build.geometry import sink_box
from ..parts.kinds import Sink
from .forms import SINK, THIN, Circle, Label, Line, Shape, middle_rect, mm

PART = "sink"


def sink_shapes(build: Build, bottom: float) -> tuple[list[Shape], Label]:
    """Shapes of the sink standing at a height, and where to point at it.

    Args:
        build: a checked build.
        bottom: height of its underside. [mm]

    Returns:
        Shapes from back to front, and the label.
    """
    sink = build.sink.part
    makers = {"plate fins": _plate_fins, "annular fins": _discs, "pin fins": _pins, "measured": _box}
    shapes = makers[sink.shape](build, bottom)
    width, _, height = (mm(size) for size in sink_box(build))
    at = 0.5 * width - 1.0
    if sink.shape == "plate fins":  # the last fin, not the air beside it
        at = 0.5 * mm(sink.fin_pitch.value) * (sink.fin_count - 1)
    if sink.shape == "pin fins":
        at = 0.5 * mm(sink.pin_pitch.value) * (_columns(sink) - 1)
    return shapes, Label(PART, PART, at, bottom + (0.5 if sink.shape == "annular fins" else 0.7) * height)


def base_top(build: Build, bottom: float) -> float | None:
    """Height of the upper side of a sink's base plate, mm; None when its shape has none."""
    sink = build.sink.part
    return bottom + mm(sink.base_thickness.value) if sink.shape in ("plate fins", "pin fins") else None


def _base(sink: Sink, bottom: float) -> Shape:
    return middle_rect(PART, SINK, 0.0, bottom, mm(sink.base_width.value), mm(sink.base_thickness.value))


def _plate_fins(build: Build, bottom: float) -> list[Shape]:
    sink = build.sink.part
    pitch, thick, tall = mm(sink.fin_pitch.value), mm(sink.fin_thickness.value), mm(sink.fin_height.value)
    top = bottom + mm(sink.base_thickness.value)
    across = [(i - 0.5 * (sink.fin_count - 1)) * pitch for i in range(sink.fin_count)]
    return [_base(sink, bottom), *(middle_rect(PART, SINK, x, top, thick, tall) for x in across)]


def _columns(sink: Sink) -> int:
    """Pins side by side: as many as the base has room for."""
    room = sink.base_width.value - sink.pin_diameter.value
    return max(1, min(int(room / sink.pin_pitch.value + 1e-9) + 1, sink.pin_count))


def _pins(build: Build, bottom: float) -> list[Shape]:
    sink = build.sink.part
    pitch, thick, tall = mm(sink.pin_pitch.value), mm(sink.pin_diameter.value), mm(sink.pin_height.value)
    top, columns = bottom + mm(sink.base_thickness.value), _columns(sink)
    across = [(i - 0.5 * (columns - 1)) * pitch for i in range(columns)]
    return [_base(sink, bottom), *(middle_rect(PART, SINK, x, top, thick, tall) for x in across)]


def _discs(build: Build, bottom: float) -> list[Shape]:
    sink = build.sink.part
    outer, core = mm(sink.outer_diameter.value), mm(sink.core_diameter.value)
    bore = mm(sink.bore.value)
    if sink.axis == "lying":
        middle = bottom + 0.5 * outer
        shapes: list[Shape] = [Circle(PART, SINK, 0.0, middle, outer), Circle(PART, SINK, 0.0, middle, core)]
        return [*shapes, Circle(PART, SINK, 0.0, middle, bore, THIN)] if bore > 0.0 else shapes
    pitch, thick = mm(sink.fin_pitch.value), mm(sink.fin_thickness.value)
    shapes = [middle_rect(PART, SINK, 0.0, bottom, core, pitch * sink.fin_count)]
    for i in range(sink.fin_count):
        shapes.append(middle_rect(PART, SINK, 0.0, bottom + (i + 0.5) * pitch - 0.5 * thick, outer, thick))
    if bore > 0.0:
        shapes.append(middle_rect(PART, SINK, 0.0, bottom, bore, pitch * sink.fin_count, THIN))
    return shapes


def _box(build: Build, bottom: float) -> list[Shape]:
    """A sink known only by its outside: a box with a cross, so that nobody takes it for a solid block."""
    width, _, tall = (mm(size) for size in sink_box(build))
    left, right, top = -0.5 * width, 0.5 * width, bottom + tall
    return [
        middle_rect(PART, SINK, 0.0, bottom, width, tall),
        Line(PART, SINK, left, bottom, right, top),
        Line(PART, SINK, left, top, right, bottom),
    ]
