"""The living drawing: the section as SVG whose parts carry names, so that a script changes attributes and rebuilds nothing.

Groups, back to front: the stove and a guide's posts (still), the fan (moves when the guard acts), a pin that pushes it up with its
collar (rises with it), a lever (turns), the guard's foot and bridge, or a pin that reaches down to the plate (still), sizes of the fan
(move with it), item numbers. A fan that tilts turns about its foot's left edge, across from what pushes it; its sizes then stay.
What follows a temperature or a heat flow says so: `data-heat` a face, `data-share` a stop of a riser's shading, `data-band` a heat
band, `data-temp` a figure; `data-moves` what an item goes with. Joints are drawn thicker than they are, and the page says so.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from xml.sax.saxutils import escape, quoteattr

from ..build import Build
from ..build.geometry import pivot_back, tilts
from ..build.guide import lever_arms
from ..scene.forms import BLADE, RISER, SOLID, Circle, Dimension, Label, Line, Polyline, Rect, Scene, Shape, Text, mm
from ..scene.heat import RISER_FOOT, RISER_TOP, colour
from ..scene.shapes import section
from ..scene.svg import clean
from ..shop.plate_drawn import drawn_screws
from .drawn_guard import beside, headroom, moves, own_pin, pin_share, times

JOINT = 1.2  # mm, how thick a joint is drawn
BALLOON, ROW, FIGURE, AWAY, BESIDE = 6.0, 16.5, 8.0, 20.0, 31.0  # mm: item circles, their spacing, text, column, its width
MARGIN, SIZES_TEXT = 5.0, 5.5
TONES = 33  # colours handed to the script
BAND_SHARE = 0.62  # of the foot's width, taken by the heaviest heat flow
# Heat bands: name, share of the riser's height where they begin and end (0 foot, 1 top), or the layer they cross.
THROUGH = (("enters_W", 0.0, 0.5), ("riser_top_W", 0.5, 1.0))


@dataclass(frozen=True)
class Item:
    """One numbered part: its name for the list, the key of its temperature, and which card it opens."""

    number: int
    part: str
    name: str
    heat: str
    card: str


@dataclass(frozen=True)
class Drawing:
    """The SVG and its numbered parts."""

    svg: str
    items: tuple[Item, ...]


CARDS = {
    "stove plate": "stove", "seat": "seat", "hot plate": "hot plate", "module hot face": "modules",
    "module cold face": "cold side", "spreader": "spreader", "motor strut": "motor", "sink": "sink", "clamp screws": "screws",
    "wax element": "guard", "push pin": "guard pin", "stop collar": "guard", "lever": "guard", "guide posts": "guard",
    "motor": "motor", "blade": "blade",
}  # fmt: skip
NAMES = {
    "stop collar": "stop",
    "guide posts": "guide",
    "module hot face": "module, hot face",
    "module cold face": "module, cold face",
    "seat": "plate under the seat",
}


def card_of(part: str) -> str:
    """Which card a part opens."""
    return "riser" if part.startswith("riser ") else CARDS[part]


def _n(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".") if abs(number) >= 0.005 else "0"


class _Sheet:
    """Collects the drawing; x and y are millimetres of the scene, y upward, until written."""

    def __init__(self, build: Build, heats: Mapping[str, float], flows: Mapping[str, float], heaviest: float) -> None:
        self.build, self.heats, self.flows = build, heats, flows
        self.scene: Scene = section(build, drawn_screws(build))
        known = [value for value in heats.values() if math.isfinite(value)]
        room, worst = build.stove.room.value - 273.15, build.stove.worst_plate.value - 273.15
        self.low = 20.0 * math.floor(min([room, *known]) / 20.0)
        self.high = 20.0 * math.ceil(max([worst, *known]) / 20.0)
        self.left, self.bottom, self.right, self.top = self.scene.box
        self.width = self.right - self.left + AWAY + BESIDE + 2.0 * MARGIN
        self.risers = [s for s in self.scene.shapes if isinstance(s, Rect) and s.layer == RISER and s.part.startswith("riser ")]
        self.tall = max(s.y + s.height for s in self.risers)
        self.foot = self.risers[0].width
        self.per_watt = BAND_SHARE * self.foot / max(heaviest, 1.0)
        labels = [one for one in self.scene.labels if one.part in NAMES or one.part in CARDS or one.part.startswith("riser ")]
        self.labels = sorted(labels, key=lambda one: (-one.y, -one.x))
        self.head = headroom(build)
        self.height = max(self.top - self.bottom, ROW * len(self.labels)) + 2.0 * MARGIN + 6.0 + self.head
        self.lines: list[str] = []

    def x(self, x: float) -> str:
        return _n(MARGIN + x - self.left)

    def y(self, y: float) -> str:
        return _n(MARGIN + 4.0 + self.head + self.top - y)

    def tone(self, heat: float) -> str:
        return colour((heat - self.low) / (self.high - self.low))

    def shares(self, part: Rect) -> tuple[float, float]:
        """Where a riser part begins and ends between foot (0) and top (1)."""
        return part.y / self.tall, (part.y + part.height) / self.tall

    def between(self, share: float) -> float:
        """Temperature in the riser, °C."""
        foot, top = self.heats.get(RISER_FOOT, self.low), self.heats.get(RISER_TOP, self.low)
        return foot + share * (top - foot)

    def pen(self, shape: Rect | Circle | Line | Polyline) -> str:
        """Class, name and face of a shape."""
        said = f"data-part={quoteattr(shape.part)}"
        if shape.style != SOLID:
            return f'class="{shape.style}" {said}'
        if shape.part.startswith("riser ") and shape.layer == RISER:
            return f'class="face" {said} fill="url(#shade-{shape.part.split()[1]})"'
        heat = {"module": "module hot face"}.get(shape.part, shape.part)
        if heat in self.heats:
            return f'class="face" {said} data-heat={quoteattr(heat)} fill="{self.tone(self.heats[heat])}"'
        return f'class="face bare" {said}'

    def shape(self, shape: Shape) -> None:
        """One shape of the scene."""
        match shape:
            case Rect():
                self.lines.append(
                    f'<rect x="{self.x(shape.x)}" y="{self.y(shape.y + shape.height)}" width="{_n(shape.width)}" '
                    f'height="{_n(shape.height)}" {self.pen(shape)}/>'
                )
            case Circle():
                self.lines.append(
                    f'<circle cx="{self.x(shape.x)}" cy="{self.y(shape.y)}" r="{_n(0.5 * shape.diameter)}" {self.pen(shape)}/>'
                )
            case Line():
                self.lines.append(
                    f'<line x1="{self.x(shape.x1)}" y1="{self.y(shape.y1)}" x2="{self.x(shape.x2)}" y2="{self.y(shape.y2)}" '
                    f"{self.pen(shape)}/>"
                )
            case Polyline():
                points = " ".join(f"{self.x(x)},{self.y(y)}" for x, y in shape.points)
                self.lines.append(f'<{"polygon" if shape.closed else "polyline"} points="{points}" {self.pen(shape)}/>')
            case Dimension():
                self.size(shape)
            case Text():
                pass  # the section has none; its words are in the list beside it

    def size(self, size: Dimension) -> None:
        """A dimension: its line, ticks and figure in mm."""
        text = f"{size.measure:.1f}".removesuffix(".0")
        if size.upright:
            ends = ((size.at, size.y1), (size.at, size.y2))
            x, y = self.x(size.at - 1.5), self.y(0.5 * (size.y1 + size.y2))
            turn = f' transform="rotate(-90 {x} {y})"'
        else:
            ends = ((size.x1, size.at), (size.x2, size.at))
            x, y, turn = self.x(0.5 * (size.x1 + size.x2)), self.y(size.at + 1.5), ""
        self.lines.append('<g class="size">')
        for (ax, ay), (bx, by) in zip(((size.x1, size.y1), (size.x2, size.y2)), ends, strict=True):
            self.lines.append(f'<line class="hair" x1="{self.x(ax)}" y1="{self.y(ay)}" x2="{self.x(bx)}" y2="{self.y(by)}"/>')
            tick = f'x1="{self.x(bx - 1.2)}" y1="{self.y(by - 1.2)}" x2="{self.x(bx + 1.2)}" y2="{self.y(by + 1.2)}"'
            self.lines.append(f"<line {tick}/>")
        (ax, ay), (bx, by) = ends
        self.lines.append(f'<line x1="{self.x(ax)}" y1="{self.y(ay)}" x2="{self.x(bx)}" y2="{self.y(by)}"/>')
        self.lines.append(f'<text x="{x}" y="{y}" font-size="{SIZES_TEXT}" text-anchor="middle"{turn}>{text}</text></g>')

    def joints(self) -> None:
        """A line where two parts meet, thicker than the real joint."""
        solid = [s for s in self.scene.shapes if isinstance(s, Rect) and s.style == SOLID]
        names = {"hot plate": "joint", "module": "joint", "spreader": "joint", "sink": "joint"}
        rows: dict[float, tuple[float, str]] = {}
        for low in solid:
            for high in solid:
                meets = abs(low.y + low.height - high.y) < 1e-6 and low.part != high.part and high.part in names
                if meets and not low.part.startswith(("module ", "bush", "clamp", "wax", "push")):
                    width = min(low.width, high.width)
                    rows[round(high.y, 4)] = (max(width, rows.get(round(high.y, 4), (0.0, ""))[0]), "joint")
        rows[0.0] = (self.foot, "seat")
        for y, (width, name) in rows.items():
            self.lines.append(
                f'<rect class="joint" data-part="{name}" x="{self.x(-0.5 * width)}" y="{self.y(y + 0.5 * JOINT)}" '
                f'width="{_n(width)}" height="{JOINT}"/>'
            )

    def band(self, name: str, low: float, high: float) -> None:
        """A band up the middle whose width is watts."""
        width = max(self.flows.get(name, 0.0), 0.0) * self.per_watt
        middle = MARGIN - self.left
        self.lines.append(
            f'<rect class="band" data-band="{name}" data-middle="{_n(middle)}" data-per-watt="{self.per_watt:.5f}" '
            f'x="{_n(middle - 0.5 * width)}" y="{self.y(high)}" width="{_n(width)}" height="{_n(high - low)}"/>'
        )

    def bands(self) -> None:
        """Heat from the plate up into the sink."""
        module = next(s for s in self.scene.shapes if isinstance(s, Rect) and s.part == "module")
        sink = [s for s in self.scene.shapes if s.part == "sink" and isinstance(s, (Rect, Circle))]
        top = max(s.y + s.height if isinstance(s, Rect) else s.y + 0.5 * s.diameter for s in sink)
        under = min(s.y if isinstance(s, Rect) else s.y - 0.5 * s.diameter for s in sink)
        self.lines.append('<g id="bands" aria-hidden="true">')
        for name, low, high in THROUGH:
            self.band(name, low * self.tall, high * self.tall)
        self.band("riser_top_W", self.tall, module.y)
        self.band("module_W", module.y, module.y + module.height)
        self.band("sink_W", module.y + module.height, under + 0.45 * (top - under))
        self.lines.append("</g>")

    def rotor(self) -> None:
        """The blade seen face on: vanes round its hub, to be turned."""
        hub = next(s for s in self.scene.shapes if isinstance(s, Circle) and s.layer == BLADE)
        radius, count = 0.5 * hub.diameter, int(self.build.blade.part.count)
        self.lines.append(f'<g id="rotor" transform="translate({self.x(hub.x)} {self.y(hub.y)})" aria-hidden="true">')
        self.lines.append(f'<circle class="sweep" r="{_n(radius)}"/><g id="turning">')
        wide = radius * min(0.30, 0.9 / max(count, 2))
        for i in range(count):
            self.lines.append(
                f'<path class="vane" transform="rotate({_n(360.0 * i / count)})" d="M0 {_n(-0.1 * radius)}'
                f"C{_n(wide)} {_n(-0.3 * radius)} {_n(1.5 * wide)} {_n(-0.75 * radius)} {_n(0.9 * wide)} {_n(-0.95 * radius)}"
                f"Q{_n(0.2 * wide)} {_n(-1.04 * radius)} {_n(-0.35 * wide)} {_n(-0.9 * radius)}"
                f'C{_n(-0.2 * wide)} {_n(-0.6 * radius)} {_n(-0.2 * wide)} {_n(-0.3 * radius)} 0 {_n(-0.1 * radius)}Z"/>'
            )
        self.lines.append(f'<circle class="hub" r="{_n(0.12 * radius)}"/></g></g>')

    def balloons(self) -> tuple[Item, ...]:
        """Item numbers in a column, each with its temperature."""
        spread: list[float] = []
        for label in self.labels:
            at = float(self.y(label.y))
            spread.append(max(at, spread[-1] + ROW if spread else MARGIN + BALLOON + 1.0))
        lowest = self.height - MARGIN - BALLOON
        for i in reversed(range(len(spread))):
            spread[i] = min(spread[i], lowest)
            lowest = spread[i] - ROW
        column = MARGIN + self.right - self.left + AWAY
        items = []
        self.lines.append('<g id="items">')
        for number, (label, at) in enumerate(zip(self.labels, spread, strict=True), 1):
            items.append(self._balloon(number, label, column, at))
        self.lines.append("</g>")
        return tuple(items)

    def _balloon(self, number: int, label: Label, column: float, at: float) -> Item:
        x, y = self.x(label.x), self.y(label.y)
        name = NAMES.get(label.part, label.part)
        heat = label.part if label.part.startswith("riser ") else label.named
        points = f"{x},{y} {_n(column - 10.0)},{_n(at)} {_n(column - BALLOON)},{_n(at)}"
        self.lines += [
            f'<g class="item" data-item="{number}" data-card="{card_of(label.part)}"{moves(self.build, label.part)}>',
            f'<polyline class="leader under" points="{points}"/><polyline class="leader" points="{points}"/>',
            f'<circle class="dot" cx="{x}" cy="{y}" r="1.1"/>',
            f'<circle class="balloon" cx="{_n(column)}" cy="{_n(at)}" r="{BALLOON}"/>',
            f'<text class="number" x="{_n(column)}" y="{_n(at + 2.6)}" text-anchor="middle" font-size="7.5">{number}</text>',
            f'<text class="temp" data-temp={quoteattr(heat)} x="{_n(column + BALLOON + 2.0)}" y="{_n(at + 2.8)}" '
            f'font-size="{FIGURE}">{self._told(heat)}</text></g>',
        ]
        return Item(number, label.part, name, heat, card_of(label.part))

    def _told(self, heat: str) -> str:
        if heat.startswith("riser "):
            part = next((r for r in self.risers if r.part == heat), None)
            return "" if part is None or not self.heats else f"{self.between(sum(self.shares(part)) / 2.0):.0f}°"
        return f"{self.heats[heat]:.0f}°" if heat in self.heats and math.isfinite(self.heats[heat]) else ""

    def shading(self) -> None:
        """One shading for each riser part, cooler at its top."""
        self.lines.append("<defs>")
        for part in self.risers:
            low, high = self.shares(part)
            self.lines.append(f'<linearGradient id="shade-{part.part.split()[1]}" x1="0" y1="1" x2="0" y2="0">')
            for i in range(5):
                share = low + (high - low) * i / 4
                tone = self.tone(self.between(share))
                self.lines.append(f'<stop data-share="{share:.4f}" offset="{i / 4}" stop-color="{tone}"/>')
            self.lines.append("</linearGradient>")
        self.lines.append("</defs>")

    def draw(self) -> Drawing:
        """Everything, back to front."""
        tones = " ".join(colour(i / (TONES - 1)) for i in range(TONES))
        still = {"stove plate", "guide posts"}
        front = {"push pin", "stop collar"}
        if beside(self.build):
            front = {"push pin", "stop collar", "wax element", "thin foot", "bridge", "lever", "lever pivot"}
        shapes = [s for s in self.scene.shapes if not isinstance(s, Circle) or s.layer != BLADE]
        sizes = [s for s in shapes if isinstance(s, Dimension)]
        solid = [s for s in shapes if not isinstance(s, Dimension)]
        name = clean(f"{self.build.name}: section along the fins, to scale")
        about = f"{self.x(-mm(pivot_back(self.build)))} {self.y(0.0)} {_n(mm(self.build.guard.pivot_distance.value))}"
        about = about if tilts(self.build) else ""
        edge = f"{self.x(-0.5 * self.foot)} {self.y(0.0)}"
        pivot = next((s for s in solid if isinstance(s, Circle) and s.part == "lever pivot"), None)
        arms = lever_arms(self.build)
        turns = "" if pivot is None or arms is None else f"{self.x(pivot.x)} {self.y(pivot.y)} {_n(1e3 * arms[0])}"
        self.lines = [
            f'<svg xmlns="http://www.w3.org/2000/svg" id="drawing" class="living" viewBox="0 0 {_n(self.width)} {_n(self.height)}" '
            f'role="img" aria-label={quoteattr(name)} data-low="{self.low:.0f}" data-high="{self.high:.0f}" '
            f'data-tones="{tones}" data-pivot="{about}" data-edge="{edge}" data-foot="{_n(self.foot)}" '
            f'data-times="{times(self.build):g}" data-pin="{pin_share(self.build):.4f}" data-lever="{turns}">',
            f"<title>{escape(name)}</title>",
        ]  # fmt: skip
        self.shading()

        def group(key: str, shown: list[Shape], more: str = "") -> None:
            self.lines.append(f'<g id="{key}"{more}>')
            for one in shown:
                self.shape(one)

        group("still", [s for s in solid if s.part in still])
        self.lines.append("</g>")
        group("lifting", [s for s in solid if s.part not in still | front])
        self.joints()
        self.bands()
        self.rotor()
        pin, element = (
            next((s for s in solid if isinstance(s, Rect) and s.part == part), None) for part in ("push pin", "wax element")
        )
        if (
            pin is not None and element is not None and not beside(self.build)
        ):  # bridges the gap to a pin that stays on the stove plate
            self.shape(own_pin(pin, element))
        self.lines.append("</g>")
        # A pin that pushes upwards goes with the fan; its lower end is in the element.
        rises: list[Shape] = []
        if pin is not None and element is not None and beside(self.build):
            rises = [replace(pin, y=element.y, height=pin.y + pin.height - element.y)]
            rises += [s for s in solid if s.part == "stop collar"]
        group("pushing", rises)
        self.lines.append("</g>")
        group("lever", [s for s in solid if s.part in ("lever", "lever pivot")])
        self.lines.append("</g>")
        stays = front - {"lever", "lever pivot"} - ({"push pin", "stop collar"} if beside(self.build) else set())
        group("front", [s for s in solid if s.part in stays])
        self.lines.append("</g>")
        group("sizes", [s for s in sizes if s.part == "foot"], ' aria-hidden="true"')
        self.lines.append("</g>")
        group("sizes-fan", [s for s in sizes if s.part != "foot"], ' aria-hidden="true"')
        self.lines.append("</g>")
        items = self.balloons()
        self.lines.append("</svg>")
        return Drawing("".join(self.lines), items)


def draw(build: Build, heats: Mapping[str, float], flows: Mapping[str, float], heaviest: float) -> Drawing:
    """Draw a build at one instant.

    Args:
        build: a checked build.
        heats: temperature of each part by name; empty while none is known. [°C]
        flows: heat bands by name. [W]
        heaviest: the largest flow that will ever be shown, which sets the bands' scale. [W]

    Returns:
        The drawing.
    """
    return _Sheet(build, heats, flows, heaviest).draw()
