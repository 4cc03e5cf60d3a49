"""A scene as an SVG page in real millimetres: faces coloured by temperature, labels in a column beside it."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Mapping
from xml.sax.saxutils import escape

from .forms import HIDDEN, SOLID, Circle, Dimension, Line, Polyline, Rect, Scene, Shape, Text
from .heat import PALEST, STOVE_PLATE, colour, riser_ends, scale_ends

MARGIN, COLUMN, ROW = 8.0, 12.0, 6.2  # mm: round the page; from drawing to labels; from label to label
LETTER, TITLE, SMALL = 3.8, 5.0, 3.2  # mm, text heights
NARROWEST, BAR, TICKS = 120.0, 72.0, 4  # mm, page and legend widths; steps of the legend
INK, QUIET = "#222222", "#666666"
DASHES = {HIDDEN: ' stroke-dasharray="2.4 1.2"'}


def clean(text: str) -> str:
    """The text without the control characters that neither XML nor a drawing can hold."""
    kept = "".join(" " if unicodedata.category(letter) in ("Cc", "Cs", "Cn") else letter for letter in text)
    return " ".join(kept.split())


def wide(text: str, height: float) -> float:
    """How wide a line of text may come out, mm, on the generous side."""
    return height * sum(1.05 if unicodedata.east_asian_width(letter) in "WF" else 0.6 for letter in text)


def _n(number: float) -> str:
    return f"{number:.3f}".rstrip("0").rstrip(".").replace("-0", "0") if abs(number) < 5e-4 else f"{number:.3f}"


class _Page:
    """Collects the lines of one SVG; turns y over."""

    def __init__(self, scene: Scene, temperatures: Mapping[str, float]) -> None:
        self.scene, self.at = scene, temperatures
        self.ends = riser_ends(scene, temperatures)
        self.low, self.high = scale_ends(temperatures)
        self.left, self.bottom, self.right, self.top = scene.box
        self.texts = {label: self.label_text(label.part, label.named) for label in scene.labels}
        column = max((wide(text, LETTER) for text in self.texts.values()), default=0.0)
        self.column = MARGIN + (self.right - self.left) + COLUMN
        self.width = max(self.column + column + MARGIN, NARROWEST)
        plate = f", plate {temperatures[STOVE_PLATE]:.0f} °C" if STOVE_PLATE in temperatures else ""
        room = max(int((self.width - 2.0 * MARGIN) / (0.6 * TITLE)), 10)
        widest = max(wide(letter, 1.0) for letter in scene.title) / 0.6 if scene.title else 1.0
        self.title = textwrap.wrap(clean(scene.title) + plate, max(int(room / max(widest, 1.0)), 8)) or [""]
        self.head = MARGIN + 1.4 * TITLE * len(self.title) + 4.0
        drawn = max(self.top - self.bottom, ROW * len(self.texts)) + 5.0
        self.foot = self.head + drawn
        self.height = self.foot + (16.0 if temperatures else 0.0) + MARGIN
        self.lines: list[str] = []

    def label_text(self, part: str, named: str) -> str:
        """Name and temperature; a riser part has one at each end."""
        if part in self.ends:
            low, high = self.ends[part]
            return f"{named}, {low:.0f} to {high:.0f} °C"
        return f"{named}, {self.at[named]:.0f} °C" if named in self.at else named

    def x(self, x: float) -> float:
        return MARGIN + x - self.left

    def y(self, y: float) -> float:
        return self.head + self.top - y

    def tone(self, temperature: float) -> str:
        return colour((temperature - self.low) / (self.high - self.low))

    def fill(self, part: str, style: str) -> str:
        if style != SOLID:
            return "none"
        if part in self.ends:
            return f"url(#{part.replace(' ', '-')})"
        if part == "module" and "module hot face" in self.at:
            return self.tone(0.5 * (self.at["module hot face"] + self.at["module cold face"]))
        return self.tone(self.at[part]) if part in self.at else PALEST

    def write(self, x: float, y: float, height: float, text: str, more: str = "") -> None:
        """One line of text on the page."""
        self.lines.append(
            f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(height)}" fill="{INK}"{more}>{escape(clean(text))}</text>'
        )

    def line(self, x1: float, y1: float, x2: float, y2: float, more: str) -> None:
        """One straight line on the page."""
        self.lines.append(f'<line x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}" {more}/>')

    def shape(self, shape: Shape) -> None:
        """One shape of the scene."""
        if isinstance(shape, Dimension):
            self.dimension(shape)
            return
        if isinstance(shape, Text):
            self.write(self.x(shape.x), self.y(shape.y), shape.height, shape.text)
            return
        thick = 0.35 if shape.style == SOLID else 0.25
        pen = f'fill="{self.fill(shape.part, shape.style)}" stroke="{INK}" stroke-width="{thick}"'
        pen += DASHES.get(shape.style, "") + f' data-part="{escape(shape.part)}"'
        match shape:
            case Rect():
                corner = f'x="{_n(self.x(shape.x))}" y="{_n(self.y(shape.y + shape.height))}"'
                self.lines.append(f'<rect {corner} width="{_n(shape.width)}" height="{_n(shape.height)}" {pen}/>')
            case Circle():
                middle = f'cx="{_n(self.x(shape.x))}" cy="{_n(self.y(shape.y))}"'
                self.lines.append(f'<circle {middle} r="{_n(0.5 * shape.diameter)}" {pen}/>')
            case Line():
                self.line(self.x(shape.x1), self.y(shape.y1), self.x(shape.x2), self.y(shape.y2), pen)
            case Polyline():
                points = " ".join(f"{_n(self.x(x))},{_n(self.y(y))}" for x, y in shape.points)
                self.lines.append(f'<{"polygon" if shape.closed else "polyline"} points="{points}" {pen}/>')

    def dimension(self, size: Dimension) -> None:
        """Witness lines, the dimension line with slanted ticks, and its figure in mm."""
        pen = f'stroke="{QUIET}" stroke-width="0.2"'
        text = f"{size.measure:.1f}".removesuffix(".0")
        x1, y1, x2, y2 = self.x(size.x1), self.y(size.y1), self.x(size.x2), self.y(size.y2)
        if size.upright:
            at = self.x(size.at)
            ends = ((at, y1), (at, y2))
            starts = ((x1, y1), (x2, y2))
            x, y = at - 1.0, 0.5 * (y1 + y2)
            turn = f' text-anchor="middle" transform="rotate(-90 {_n(x)} {_n(y)})"'
        else:
            at = self.y(size.at)
            ends = ((x1, at), (x2, at))
            starts = ((x1, y1), (x2, y2))
            x, y = 0.5 * (x1 + x2), at - 1.0
            turn = ' text-anchor="middle"'
        for (ax, ay), (bx, by) in zip(starts, ends, strict=True):
            self.line(ax, ay, bx, by, pen)
            self.line(bx - 1.0, by + 1.0, bx + 1.0, by - 1.0, f'stroke="{INK}" stroke-width="0.35"')
        self.line(*ends[0], *ends[1], pen)
        self.write(x, y, SMALL, text, turn)

    def labels(self) -> None:
        """Labels in one column, in the order of their parts' heights, pushed apart until none touch."""
        order = sorted(self.texts, key=lambda label: (-label.y, -label.x, label.named))
        places: list[float] = []
        for label in order:
            places.append(max(self.y(label.y), places[-1] + ROW if places else self.head + LETTER))
        lowest = self.foot - 1.5
        for i in reversed(range(len(places))):
            places[i] = min(places[i], lowest)
            lowest = places[i] - ROW
        for label, place in zip(order, places, strict=True):
            x, y = self.x(label.x), self.y(label.y)
            points = f"{_n(x)},{_n(y)} {_n(self.column - 4.0)},{_n(place)} {_n(self.column - 1.0)},{_n(place)}"
            for ink, thick in (("#ffffff", 0.9), (INK, 0.2)):  # a white edge keeps the line visible on dark faces
                self.lines.append(f'<polyline points="{points}" fill="none" stroke="{ink}" stroke-width="{thick}"/>')
            dot = f'cx="{_n(x)}" cy="{_n(y)}" r="0.7" fill="{INK}" stroke="#ffffff" stroke-width="0.25"'
            self.lines.append(f"<circle {dot}/>")
            self.write(self.column, place + 0.35 * LETTER, LETTER, self.texts[label], ' class="label"')

    def gradients(self) -> None:
        """One for the legend and one for each riser part, which is cooler at its top."""
        self.lines.append('<linearGradient id="legend">')
        self.lines += [f'<stop offset="{i / 16}" stop-color="{colour(i / 16)}"/>' for i in range(17)]
        self.lines.append("</linearGradient>")
        for part, (low, high) in self.ends.items():
            self.lines.append(f'<linearGradient id="{part.replace(" ", "-")}" x1="0" y1="1" x2="0" y2="0">')
            steps = [(i / 4, self.tone(low + (high - low) * i / 4)) for i in range(5)]
            self.lines += [f'<stop offset="{at}" stop-color="{tone}"/>' for at, tone in steps]
            self.lines.append("</linearGradient>")

    def legend(self) -> None:
        """The colour scale with round figures in °C."""
        y = self.foot + 5.0
        self.lines.append(
            f'<rect x="{_n(MARGIN)}" y="{_n(y)}" width="{BAR}" height="4" fill="url(#legend)" stroke="{INK}" '
            'stroke-width="0.25"/>'
        )
        for i in range(TICKS + 1):
            x = MARGIN + BAR * i / TICKS
            unit = " °C" if i == TICKS else ""
            self.line(x, y + 4.0, x, y + 5.2, f'stroke="{INK}" stroke-width="0.25"')
            anchor = ' text-anchor="start"' if i in (0, TICKS) else ' text-anchor="middle"'
            self.write(x, y + 9.0, SMALL, f"{self.low + (self.high - self.low) * i / TICKS:.0f}{unit}", anchor)

    def text(self) -> str:
        """The whole SVG."""
        self.lines = [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(self.width)}mm" height="{_n(self.height)}mm" '
            f'viewBox="0 0 {_n(self.width)} {_n(self.height)}" font-family="sans-serif">',
            f"<title>{escape(clean(' '.join(self.title)))}</title>",
        ]
        if self.at:
            self.lines.append("<defs>")
            self.gradients()
            self.lines.append("</defs>")
        self.lines.append(f'<rect width="{_n(self.width)}" height="{_n(self.height)}" fill="#ffffff"/>')
        for i, row in enumerate(self.title):
            self.write(MARGIN, MARGIN + TITLE + 1.4 * TITLE * i - 1.0, TITLE, row, ' font-weight="bold"')
        for shape in self.scene.shapes:
            self.shape(shape)
        self.labels()
        if self.at:
            self.legend()
        return "\n".join([*self.lines, "</svg>", ""])


def to_svg(scene: Scene, temperatures: dict[str, float] | None = None) -> str:
    """Draw a scene on a page of its own size.

    Args:
        scene: a section or a plan.
        temperatures: by part name; None leaves every face white. [°C]

    Returns:
        SVG text; width, height and viewBox are in mm.
    """
    return _Page(scene, temperatures or {}).text()
