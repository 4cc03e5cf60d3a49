"""Marking-out templates at true scale: what is cut, marked and written for each made part, in millimetres.

Flat ones are seen from above. A strip for a round bar is wrapped with its print outward and its upper edge at the bar's
upper end; to the right on the strip is anticlockwise on the bar, seen from above.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ..build import Build
from ..scene.forms import HIDDEN, SOLID, THIN, Circle, Dimension, Line, Polyline, Rect, Shape, Text, mm
from .callouts import NARROW, Named, above, aside
from .hole_checks import Spot, faults, red_spots
from .holes import Holes, size
from .ink import CENTRE, CUT, FAULT, MARK, SMALL, TEXT, Box, Wording, cross, wide
from .made_part import FACING, MadePart
from .made_parts import KERF, LEADS_ACROSS, LEADS_DEEP, made_parts

PAPER = 0.1  # mm, thickness of office paper of 80 g/m2
TAB = 12.0  # mm, overlap of a wrapped strip
NOTCH, BEYOND = 2.5, 3.0  # mm: V at the end of a centre line; centre line past the edge
SPACE = 8.0  # mm from outline to dimension line
SEEN = 0.3  # mm; thinner fins are drawn as single lines


@dataclass(frozen=True)
class Template:
    """One drawing at true scale, before it is laid on paper; `wrong` is written in red."""

    key: str
    title: str
    says: tuple[str, ...]
    shapes: tuple[Shape, ...]
    wrong: tuple[str, ...] = ()


def _outline(part: MadePart) -> list[Shape]:
    """The part's own edge, with the lead slot cut into it where it has one."""
    width, depth = mm(part.width), mm(part.depth)
    if part.shape == "round":
        return [Circle(part.name, CUT, 0.0, 0.0, width), *_window(part)]
    if part.outline:
        return [Polyline(part.name, CUT, tuple((mm(x), mm(y)) for x, y in part.outline)), *_window(part)]
    right, top = 0.5 * width, 0.5 * depth
    if not part.lead_slot:
        return [Rect(part.name, CUT, -right, -top, width, depth), *_window(part)]
    across, deep = 0.5 * mm(LEADS_ACROSS), mm(LEADS_DEEP)
    corners = (
        (-right, -top), (right, -top), (right, top), (across, top), (across, top - deep), (-across, top - deep),
        (-across, top), (-right, top),
    )  # fmt: skip
    return [Polyline(part.name, CUT, corners)]


def _window(part: MadePart) -> list[Shape]:
    """What is cut out of the part's middle."""
    if part.window is None:
        return []
    x, y, width, depth = (mm(one) for one in part.window)
    if depth == 0.0:
        return [Circle("cut out", CUT, x, y, width)]
    return [Rect("cut out", CUT, x - 0.5 * width, y - 0.5 * depth, width, depth)]


def _centre_lines(part: MadePart) -> list[Shape]:
    """Centre lines past the edges, and a V at each end: cut it out and the scribed line shows through."""
    right, top = 0.5 * mm(part.width) + BEYOND, 0.5 * mm(part.depth) + BEYOND
    name = part.name
    found: list[Shape] = [
        Line(name, MARK, -right, 0.0, right, 0.0, CENTRE),
        Line(name, MARK, 0.0, -top, 0.0, top, CENTRE),
    ]
    for x, y in ((right - BEYOND, 0.0), (BEYOND - right, 0.0), (0.0, top - BEYOND), (0.0, BEYOND - top)):
        out = (math.copysign(1.0, x) if x else 0.0, math.copysign(1.0, y) if y else 0.0)
        side = (0.5 * NOTCH * out[1], 0.5 * NOTCH * out[0])
        far = (x + NOTCH * out[0], y + NOTCH * out[1])
        points = ((x, y), (far[0] + side[0], far[1] + side[1]), (far[0] - side[0], far[1] - side[1]))
        found.append(Polyline(name, MARK, points, True, THIN))
    return found


def _marks(part: MadePart) -> list[Shape]:
    found: list[Shape] = []
    for mark in part.marks:
        x, y, width, depth = mm(mark.x), mm(mark.y), mm(mark.width), mm(mark.depth)
        if depth == 0.0:
            found.append(Circle(mark.says, MARK, x, y, width, HIDDEN))
        elif mark.cut:
            found.append(Rect(mark.says, MARK, x - 0.5 * width, y - 0.5 * depth, width, depth, SOLID))
        elif width > SEEN:
            found.append(Rect(mark.says, MARK, x - 0.5 * width, y - 0.5 * depth, width, depth, HIDDEN))
        else:
            found.append(Line(mark.says, MARK, x, y - 0.5 * depth, x, y + 0.5 * depth, HIDDEN))
    return found


def _holes(part: MadePart, red: frozenset[Spot]) -> list[Shape]:
    """Circles of what is drilled, the thread's width round it, and crosses to punch."""
    found: list[Shape] = []
    for holes in part.holes:
        for i, (x, y) in enumerate(holes.places):
            bad = (part.name, holes.letter, i) in red
            named = f"hole {holes.letter}{i + 1}"
            px, py = mm(x), mm(y)
            found.append(Circle(named, FAULT if bad else CUT, px, py, mm(holes.drill)))
            if holes.countersink is not None:
                found.append(Circle(f"{named} countersink", FAULT if bad else MARK, px, py, mm(holes.countersink), SOLID))
            if holes.thread is not None:
                found.append(Circle(f"{named} thread", FAULT if bad else MARK, px, py, mm(holes.thread.diameter), HIDDEN))
            found += cross(named, FAULT if bad else MARK, px, py, mm(holes.width))
    return found


def _hole_words(part: MadePart, red: frozenset[Spot], wording: Wording) -> list[Shape]:
    found: list[Shape] = []
    for holes in part.holes:
        for i, (x, y) in enumerate(holes.places):
            layer = FAULT if (part.name, holes.letter, i) in red else TEXT
            lines = (f"{holes.letter}{i + 1} {_first(holes)}", *_more(holes))
            found += wording.beside(f"hole {holes.letter}{i + 1}", layer, lines, mm(x), mm(y), 0.5 * mm(holes.width))
    return found


def _first(holes: Holes) -> str:
    return f"Ø{size(holes.drill)}" if holes.thread is None else f"{holes.thread.name} Ø{size(holes.drill)}"


def _more(holes: Holes) -> tuple[str, ...]:
    if holes.countersink is not None:
        return (f"csk Ø{size(holes.countersink)}",)
    if holes.depth is None:
        return ()
    deep = f"{size(holes.depth)} deep"
    return (deep,) if holes.thread_depth is None else (deep, f"tap {size(holes.thread_depth)}")


def _sizes(part: MadePart) -> list[Shape]:
    right, top = 0.5 * mm(part.width), 0.5 * mm(part.depth)
    name = part.name
    low = min([-top, *(mm(mark.y - 0.5 * (mark.depth or mark.width)) for mark in part.marks)])
    found: list[Shape] = [Dimension(name, MARK, -right, -top, right, -top, low - SPACE, False)]
    if part.shape == "block":
        found.append(Dimension(name, MARK, -right, -top, -right, top, -right - SPACE, True))
    return found


def _texts(shapes: list[Shape]) -> list[Box]:
    """Boxes that words keep off: holes with their crosses, and the numbers of dimension lines."""
    taken = []
    for shape in shapes:
        if isinstance(shape, Circle) and shape.part.startswith("hole"):
            reach = 0.5 * shape.diameter + 1.0
            taken.append((shape.x - reach, shape.y - reach, shape.x + reach, shape.y + reach))
        if isinstance(shape, Rect) and shape.part == "cut out":
            left, low, right, high = shape.x, shape.y, shape.x + shape.width, shape.y + shape.height
            edges = ((left, low, right, low), (left, high, right, high), (left, low, left, high), (right, low, right, high))
            taken += [(x1 - 0.3, y1 - 0.3, x2 + 0.3, y2 + 0.3) for x1, y1, x2, y2 in edges]
        if isinstance(shape, Line) and shape.style == CENTRE:
            taken.append((min(shape.x1, shape.x2) - 0.3, min(shape.y1, shape.y2) - 0.3,
                          max(shape.x1, shape.x2) + 0.3, max(shape.y1, shape.y2) + 0.3))  # fmt: skip
    return taken


def _mark_words(part: MadePart, wording: Wording) -> list[Shape]:
    """Each kind of mark is named once, where there is room."""
    found: list[Shape] = []
    said = set()
    for mark in part.marks:
        if mark.says in said:
            continue
        said.add(mark.says)
        low = mm(mark.y - 0.5 * (mark.depth or mark.width)) + 0.2 * mm(mark.depth or mark.width)
        found += wording.beside(mark.says, TEXT, (mark.says,), mm(mark.x), low, 0.5)
    return found


def _callouts(part: MadePart, red: frozenset[Spot]) -> list[Shape]:
    """Words of a narrow part: over it where it lies, beside it where it stands."""
    low = part.depth <= part.width
    named = []
    for holes in part.holes:
        for i, (x, y) in enumerate(holes.places):
            layer = FAULT if (part.name, holes.letter, i) in red else TEXT
            says = " ".join((f"{holes.letter}{i + 1} {_first(holes)}", *_more(holes)))
            named.append(Named(f"hole {holes.letter}{i + 1}", layer, says, mm(x), mm(y), 0.5 * mm(holes.width) + 1.0))
    said = set()
    for mark in part.marks:
        if mark.says not in said:
            said.add(mark.says)
            reach = 0.5 * mm((mark.depth or mark.width) if low else mark.width)
            named.append(Named(mark.says, TEXT, mark.says, mm(mark.x), mm(mark.y), reach))
    # Marks of what is broader than the part (a collar on its pin, a motor on its strut) stand out of it.
    up = max([part.depth, *(2.0 * mark.y + (mark.depth or mark.width) for mark in part.marks)])
    right = max([part.width, *(2.0 * mark.x + mark.width for mark in part.marks)])
    return above(named, 0.5 * mm(up)) if low else aside(named, 0.5 * mm(right))


def flat(part: MadePart, red: frozenset[Spot]) -> Template:
    """The hole pattern of one part from above.

    Args:
        part: to be marked out.
        red: holes that cannot be made as described.

    Returns:
        Outline and holes to cut, marks and words.
    """
    shapes = _centre_lines(part) + _marks(part) + _outline(part) + _holes(part, red)
    edge = (-0.5 * mm(part.width), -0.5 * mm(part.depth), 0.5 * mm(part.width), 0.5 * mm(part.depth))
    if part.shape == "block" and (part.outline or part.seen == "the side" or min(mm(part.width), mm(part.depth)) <= NARROW):
        shapes += _callouts(part, red)
    else:
        wording = Wording(_texts(shapes), edge)
        shapes += _hole_words(part, red, wording)
        shapes += _mark_words(part, wording)
    shapes += _sizes(part)
    says = [f"{part.material}, finished {part.sizes} mm"]
    if part.sawn:
        says.append(
            f"Saw at {size(part.saw_length)} mm: {size(FACING)} mm is faced off each end; "
            f"the saw itself takes about {size(KERF)} mm more."
        )
    says += [
        f"{holes.letter}: {len(holes.places)} x {holes.use}: {holes.beside}{'' if holes.depth is not None else ', through'}"
        for holes in part.holes
    ]
    for holes in part.holes:
        spots = ", ".join(f"{size(x)}/{size(y)}" for x, y in holes.places)
        says.append(f"{holes.letter} at, right/up from the middle, mm: {spots}")
    title = f"{part.number}  {part.name}, from {'below' if part.below else part.seen}{'' if part.holes else '; no holes'}"
    return Template(part.name.replace(" ", "-"), title, (*says, *part.notes), tuple(shapes))


def strip_length(diameter: float, paper: float = PAPER) -> float:
    """Length of a strip that closes round a bar: the middle of the paper lies half its thickness out.

    Args:
        diameter: of the bar. [mm]
        paper: its thickness. [mm]

    Returns:
        π (D + t). [mm]
    """
    return math.pi * (diameter + paper)


def strip_place(diameter: float, angle: float, paper: float = PAPER) -> float:
    """Where an angle lies on the strip.

    Args:
        diameter: of the bar. [mm]
        angle: anticlockwise from the right-hand side, seen from above. [rad]
        paper: its thickness. [mm]

    Returns:
        (R + t/2) φ with φ from 0 to 2π. [mm]
    """
    return 0.5 * (diameter + paper) * (angle % (2.0 * math.pi))


def strip(part: MadePart, red: frozenset[Spot]) -> Template:
    """The strip that is wrapped round a round part: saw lines at its ends, centre lines, and where the holes stand.

    Args:
        part: a round one.
        red: holes that cannot be made as described.

    Returns:
        Outline with overlap tab, marks and words.
    """
    name, diameter, tall = part.name, mm(part.width), mm(part.tall)
    long = strip_length(diameter)
    shapes: list[Shape] = [
        Rect(name, CUT, 0.0, 0.0, long + TAB, tall),
        Line("end of strip", MARK, long, 0.0, long, tall, SOLID),
    ]
    for quarter, side in enumerate(("right", "back", "left", "front", "right")):
        x = long * quarter / 4.0
        shapes.append(Line(f"centre {quarter}", MARK, x, 0.0, x, tall, CENTRE))
        if quarter < 4:
            shapes.append(Text(name, TEXT, x + 1.2, 0.5 * tall, SMALL, f"{90 * quarter}° {side}"))
    shapes.append(Text(name, TEXT, long + 1.2, 0.5 * tall - 5.0, SMALL, "paste"))
    low, high = 3.0, tall - 3.0 - 0.8 * SMALL
    shapes.append(Text(name, TEXT, 3.0, low, SMALL, "foot: finished edge"))
    shapes.append(Text(name, TEXT, 3.0, high, SMALL, "top: finished edge"))
    reach = min(14.0, 0.3 * tall)
    for holes in part.holes:
        for i, (x, y) in enumerate(holes.places):
            if math.hypot(x, y) < 1e-6:
                continue  # in the middle: it has no side
            bad = (part.name, holes.letter, i) in red
            named, angle = f"hole {holes.letter}{i + 1}", math.atan2(y, x)
            place = round(strip_place(diameter, angle), 6)
            shapes.append(Line(named, FAULT if bad else MARK, place, tall - reach, place, tall, SOLID))
            label = f"{holes.letter}{i + 1} {math.degrees(angle) % 360.0:.0f}°"
            over = place + 1.2 + wide(label, SMALL) > long
            left = place - 1.2 - wide(label, SMALL) if over else place + 1.2
            shapes.append(Text(named, FAULT if bad else TEXT, left, tall - reach, SMALL, label))
    says = (
        f"Goes round Ø{size(part.width)}: {long:.2f} mm and a tab of {TAB:g} mm, for paper {PAPER:g} mm thick. Pull it tight: "
        "where its edges meet, they meet level, and that edge is square all round.",
        f"Print outward, top up. Saw {size(FACING)} mm outside both edges, then face down to them.",
        "Short lines at the top carry the holes' directions onto the end face.",
    )
    return Template(f"{name.replace(' ', '-')}-strip", f"{part.number}  {name}, strip to wrap round", says, tuple(shapes))


def _seen(part: MadePart) -> MadePart:
    """The part as it lies under the template: one that is marked from below is turned over, left to right."""
    if not part.below:
        return part
    holes = tuple(replace(one, places=tuple((-x, y) for x, y in one.places)) for one in part.holes)
    return replace(part, holes=holes, marks=tuple(replace(one, x=-one.x) for one in part.marks))


def templates(build: Build) -> tuple[Template, ...]:
    """Every template of a build.

    Args:
        build: a checked build.

    Returns:
        One for each made part, and a strip for each round one.
    """
    findings = faults(build)
    red, found = red_spots(findings), []
    for part in made_parts(build):
        wrong = tuple(one.says for one in findings if one.part == part.name)
        found.append(replace(flat(_seen(part), red), wrong=wrong))
        if part.shape == "round" and part.sawn:
            found.append(strip(part, red))
    return tuple(found)
