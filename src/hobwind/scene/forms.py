"""What a picture is made of: flat shapes in millimetres, y upward, each with the part it belongs to and its layer."""

from __future__ import annotations

from dataclasses import dataclass

SOLID, THIN, HIDDEN = "solid", "thin", "hidden"  # outline of a face; an outline without a face; behind something

# Layers in the order they are listed in a drawing.
STOVE, RISER, GUARD, HOT_PLATE, MODULES, SPREADER = "STOVE", "RISER", "GUARD", "HOT_PLATE", "MODULES", "SPREADER"
SINK, SCREWS, MOTOR, BLADE, SIZES, WORDS = "SINK", "SCREWS", "MOTOR", "BLADE", "SIZES", "WORDS"
LAYERS = (STOVE, RISER, GUARD, HOT_PLATE, MODULES, SPREADER, SINK, SCREWS, MOTOR, BLADE, SIZES, WORDS)


@dataclass(frozen=True)
class Rect:
    """A rectangle by its lower left corner."""

    part: str
    layer: str
    x: float
    y: float
    width: float
    height: float
    style: str = SOLID


@dataclass(frozen=True)
class Circle:
    """A circle by its middle."""

    part: str
    layer: str
    x: float
    y: float
    diameter: float
    style: str = SOLID


@dataclass(frozen=True)
class Line:
    """A straight line."""

    part: str
    layer: str
    x1: float
    y1: float
    x2: float
    y2: float
    style: str = THIN


@dataclass(frozen=True)
class Polyline:
    """Straight lines from point to point."""

    part: str
    layer: str
    points: tuple[tuple[float, float], ...]
    closed: bool = True
    style: str = SOLID


@dataclass(frozen=True)
class Text:
    """Words on the drawing, from their lower left corner."""

    part: str
    layer: str
    x: float
    y: float
    height: float
    text: str


@dataclass(frozen=True)
class Dimension:
    """A measured length between two points; its line stands at `at` (an x when upright, else a y)."""

    part: str
    layer: str
    x1: float
    y1: float
    x2: float
    y2: float
    at: float
    upright: bool

    @property
    def measure(self) -> float:
        """What it measures, mm."""
        return abs(self.y2 - self.y1) if self.upright else abs(self.x2 - self.x1)


@dataclass(frozen=True)
class Label:
    """Where a part is pointed at; not drawn itself. `named` is the key of its temperature."""

    part: str
    named: str
    x: float
    y: float


Shape = Rect | Circle | Line | Polyline | Text | Dimension


@dataclass(frozen=True)
class Scene:
    """One picture: its title, its shapes from back to front, and where each part is labelled."""

    title: str
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...]

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of everything, dimension lines included, mm."""
        boxes = [bounds(shape) for shape in self.shapes]
        return (
            min(box[0] for box in boxes), min(box[1] for box in boxes),
            max(box[2] for box in boxes), max(box[3] for box in boxes),
        )  # fmt: skip


def mm(length: float) -> float:
    """Metres to millimetres, cut to a picometre-free figure so that a file does not change with the last bit."""
    return round(length * 1e3, 6)


def middle_rect(part: str, layer: str, x: float, y: float, width: float, height: float, style: str = SOLID) -> Rect:
    """A rectangle by the middle of its lower edge."""
    return Rect(part, layer, x - 0.5 * width, y, width, height, style)


def bounds(shape: Shape) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of one shape, mm."""
    match shape:
        case Rect():
            return shape.x, shape.y, shape.x + shape.width, shape.y + shape.height
        case Circle():
            radius = 0.5 * shape.diameter
            return shape.x - radius, shape.y - radius, shape.x + radius, shape.y + radius
        case Polyline():
            across, up = [p[0] for p in shape.points], [p[1] for p in shape.points]
        case Text():
            across, up = [shape.x, shape.x + 0.6 * shape.height * len(shape.text)], [shape.y, shape.y + shape.height]
        case Dimension():
            across, up = [shape.x1, shape.x2], [shape.y1, shape.y2]
            (across if shape.upright else up).append(shape.at)
        case Line():
            across, up = [shape.x1, shape.x2], [shape.y1, shape.y2]
    return min(across), min(up), max(across), max(up)
