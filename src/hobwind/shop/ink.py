"""What every sheet is drawn with: layers, pens, lettering that is never wider than reckoned, and words that find room."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ..scene.forms import Circle, Dimension, Line, Polyline, Rect, Shape, Text, bounds

# Layers of a drawing for saw, mill or laser. What cannot be made stands on FAULT, in red, so that no machine cuts it.
CUT, MARK, TEXT, FAULT = "CUT", "MARK", "TEXT", "FAULT"
INK_LAYERS = (CUT, MARK, TEXT, FAULT)
CENTRE, FACE = "centre", "face"  # styles beside those of scene.forms: long and short dashes; hides what lies behind
ADVANCE = 0.6021  # width of each letter over its size: the lettering is fixed in width
SMALL, USUAL, LARGE = 2.4, 2.9, 4.4  # mm, sizes of lettering
CROSS = 2.0  # mm a centre-punch cross stands out of its hole

Box = tuple[float, float, float, float]


def wide(text: str, height: float) -> float:
    """Width of a line of lettering, mm."""
    return ADVANCE * height * len(text)


def moved(shape: Shape, x: float, y: float, scale: float = 1.0) -> Shape:
    """A shape scaled about the origin, then moved; the size of lettering stays.

    Args:
        shape: any.
        x: across. [mm]
        y: up. [mm]
        scale: paper over thing. [-]

    Returns:
        The shape in its new place.
    """

    def at(px: float, py: float) -> tuple[float, float]:
        return scale * px + x, scale * py + y

    match shape:
        case Rect():
            px, py = at(shape.x, shape.y)
            return replace(shape, x=px, y=py, width=scale * shape.width, height=scale * shape.height)
        case Circle():
            px, py = at(shape.x, shape.y)
            return replace(shape, x=px, y=py, diameter=scale * shape.diameter)
        case Text():
            px, py = at(shape.x, shape.y)
            return replace(shape, x=px, y=py)
        case Polyline():
            return replace(shape, points=tuple(at(*point) for point in shape.points))
        case Line() | Dimension():
            (x1, y1), (x2, y2) = at(shape.x1, shape.y1), at(shape.x2, shape.y2)
            if isinstance(shape, Line):
                return replace(shape, x1=x1, y1=y1, x2=x2, y2=y2)
            return replace(shape, x1=x1, y1=y1, x2=x2, y2=y2, at=at(shape.at, shape.at)[0 if shape.upright else 1])


def box_of(shapes: Iterable[Shape]) -> Box:
    """Left, bottom, right and top of all of them, mm."""
    plain = [one for shape in shapes for one in (drawn(shape) if isinstance(shape, Dimension) else [shape])]
    boxes = [bounds(shape) for shape in plain]
    return (
        min(box[0] for box in boxes), min(box[1] for box in boxes),
        max(box[2] for box in boxes), max(box[3] for box in boxes),
    )  # fmt: skip


def drawn(size: Dimension, scale: float = 1.0) -> list[Shape]:
    """A dimension as plain lines and its figure, always level: witness lines, slanted ticks, the length in mm.

    Args:
        size: already on paper.
        scale: paper over thing. [-]

    Returns:
        Lines and a text.
    """
    text = f"{size.measure / scale:.1f}".removesuffix(".0")
    ends = ((size.at, size.y1), (size.at, size.y2)) if size.upright else ((size.x1, size.at), (size.x2, size.at))
    found: list[Shape] = [Line(size.part, size.layer, *ends[0], *ends[1])]
    for (ax, ay), (bx, by) in zip(((size.x1, size.y1), (size.x2, size.y2)), ends, strict=True):
        if (ax, ay) != (bx, by):
            found.append(Line(size.part, size.layer, ax, ay, bx, by))
        found.append(Line(size.part, size.layer, bx - 0.9, by - 0.9, bx + 0.9, by + 0.9, "solid"))
    if size.upright:
        x, y = size.at - 1.2 - wide(text, SMALL), 0.5 * (size.y1 + size.y2) - 0.36 * SMALL
    else:
        x, y = 0.5 * (size.x1 + size.x2) - 0.5 * wide(text, SMALL), size.at + 0.9
    return [*found, Text(size.part, TEXT, x, y, SMALL, text)]


def _meet(one: Box, other: Box) -> float:
    """Area two boxes share, mm2."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    up = min(one[3], other[3]) - max(one[1], other[1])
    return across * up if across > 0.0 and up > 0.0 else 0.0


def cross(part: str, layer: str, x: float, y: float, diameter: float) -> list[Shape]:
    """A centre-punch cross that stands a little out of its hole, mm."""
    reach = 0.5 * diameter + CROSS
    return [Line(part, layer, x - reach, y, x + reach, y), Line(part, layer, x, y - reach, x, y + reach)]


class Wording:
    """Finds room for words beside holes, so that no two lie on each other."""

    def __init__(self, taken: Iterable[Box], inside: Box | None = None) -> None:
        self.taken, self.inside = list(taken), inside

    def beside(self, part: str, layer: str, lines: tuple[str, ...], x: float, y: float, radius: float) -> list[Shape]:
        """Lines of small lettering near a place: right, left, above or below, wherever least is covered.

        Args:
            part: what they are about.
            layer: to write on.
            lines: from the top.
            x: of the place. [mm]
            y: of the place. [mm]
            radius: to keep clear of. [mm]

        Returns:
            Texts.
        """
        width, step = max(wide(line, SMALL) for line in lines), 1.35 * SMALL
        tall = step * (len(lines) - 1) + 0.8 * SMALL
        middle = x - 0.5 * width
        if self.inside is not None:  # near an edge, words above or below move inwards with their whole length
            middle = max(min(middle, self.inside[2] - width - 1.0), self.inside[0] + 1.0)
        best: tuple[float, Box] | None = None
        for far, gap in enumerate((radius + 1.2, radius + 4.0, radius + 8.0, radius + 13.0)):
            for turn, (left, low) in enumerate(
                (
                    (x + gap, y + 0.9), (x - gap - width, y + 0.9), (x + gap, y - tall - 0.9), (x - gap - width, y - tall - 0.9),
                    (middle, y + gap), (middle, y - gap - tall),
                )
            ):  # fmt: skip
                box = (left, low, left + width, low + tall)
                grown = (left - 0.5, low - 0.8, left + width + 0.5, low + tall + 0.5)
                cost = 10.0 * sum(_meet(grown, other) for other in self.taken) + far + 0.1 * turn
                if self.inside is not None:
                    cost += 3.0 * (width * tall - _meet(box, self.inside)) / (width * tall)
                if best is None or cost < best[0] - 1e-9:
                    best = cost, box
        assert best is not None  # there are always twenty-four places to choose from
        left, low, _, _ = best[1]
        self.taken.append(best[1])
        top = low + step * (len(lines) - 1)
        return [Text(part, layer, left, top - step * i, SMALL, line) for i, line in enumerate(lines)]
