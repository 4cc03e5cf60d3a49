"""Drawings laid on paper: pages of A4 or Letter with a title, a proof bar, and match marks where a drawing takes several."""

from __future__ import annotations

import math
import textwrap
from dataclasses import dataclass

from ..scene.forms import HIDDEN, THIN, Circle, Line, Rect, Shape, Text, bounds
from .ink import ADVANCE, FAULT, LARGE, MARK, SMALL, TEXT, USUAL, Box, box_of, moved
from .templates import Template

SHEETS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm, ISO 216 and ANSI Y14.1
MARGIN = 9.0  # mm that any printer leaves white
OVERLAP = 12.0  # mm one tile shares with the next
PROOF = 100.0  # mm
APART = 12.0  # mm between match marks at least; one target serves two seams
ROW = 1.38  # lines of lettering stand so many sizes apart


@dataclass(frozen=True)
class Page:
    """One sheet of paper: shapes in mm from its lower left corner; `window` holds the drawing, `clipped` shapes end at it."""

    key: str
    title: str
    width: float
    height: float
    clipped: tuple[Shape, ...]
    shapes: tuple[Shape, ...]
    window: Box
    place: tuple[float, float]


@dataclass(frozen=True)
class Heading:
    """What stands at the foot of every sheet: name of the build, and what made the sheet."""

    name: str
    made_by: str


def proof_bar(x: float, y: float) -> list[Shape]:
    """A bar of 100 mm with ticks each 10 mm, and what to do with it; mm."""
    found: list[Shape] = [Line("proof bar", MARK, x, y, x + PROOF, y, "solid")]
    for i in range(11):
        found.append(Line("proof bar tick", MARK, x + 10.0 * i, y, x + 10.0 * i, y + (3.0 if i % 5 == 0 else 1.8), THIN))
    found.append(Text("proof bar", TEXT, x, y - 3.4, SMALL, "Proof bar 100 mm: lay a rule on it. If it is off, print"))
    found.append(Text("proof bar", TEXT, x, y - 6.8, SMALL, "again at 100 %, with no fitting to the page."))
    return found


def foot_of(template: Template, heading: Heading, sheet: tuple[float, float], part: str) -> tuple[list[Shape], float]:
    """Title, notes and proof bar from the bottom of a sheet up.

    Args:
        template: whose title and notes.
        heading: of every sheet.
        sheet: width and height. [mm]
        part: what else is said beside the proof bar.

    Returns:
        Shapes, and the height they take. [mm]
    """
    width = sheet[0]
    letters = int((width - 2.0 * MARGIN) / (ADVANCE * SMALL))
    notes = [
        (layer, line)
        for layer, rows in ((TEXT, template.says), (FAULT, template.wrong))
        for says in rows
        for line in textwrap.wrap(says, letters, subsequent_indent="  ")
    ]
    shapes = proof_bar(MARGIN, MARGIN + 8.0)
    right = MARGIN + PROOF + 6.0
    room = int((width - MARGIN - right) / (ADVANCE * SMALL))
    beside = [heading.name[: 2 * room], heading.made_by, part]
    lines = [line for text in beside if text for line in textwrap.wrap(text, room)[:3]][:5]
    for i, line in enumerate(lines):
        shapes.append(Text("heading", TEXT, right, MARGIN + 9.5 - ROW * SMALL * i, SMALL, line))
    top = MARGIN + 15.0
    for layer, line in reversed(notes):
        shapes.append(Text("note", layer, MARGIN, top, SMALL, line))
        top += ROW * SMALL
    top += 1.5
    shapes.append(Text("title", TEXT, MARGIN, top, LARGE, template.title))
    return shapes, top + ROW * LARGE


def _layout(size: tuple[float, float], area: tuple[float, float]) -> tuple[int, int]:
    """How many tiles across and up."""
    counts = []
    for need, have in zip(size, area, strict=True):
        counts.append(1 if need <= have + 1e-9 else math.ceil((need - OVERLAP) / (have - OVERLAP) - 1e-9))
    return counts[0], counts[1]


def _steps(need: tuple[float, float], area: tuple[float, float], tiles: tuple[int, int]) -> tuple[float, float]:
    """From tile to tile, spread evenly so that no tile holds a mere sliver, mm."""
    across, up = ((n - have) / max(count - 1, 1) for n, have, count in zip(need, area, tiles, strict=True))
    return max(across, 0.0), max(up, 0.0)


def _match_marks(box: Box, tiles: tuple[int, int], area: tuple[float, float], step: tuple[float, float]) -> list[Shape]:
    """Numbered targets in the middle of every overlap, in the drawing's own coordinates."""
    across, up = tiles
    spots = []
    for i in range(1, across):
        x = box[0] + i * step[0] + 0.5 * (area[0] - step[0])
        for j in range(up):
            low, high = box[1] + j * step[1], min(box[1] + j * step[1] + area[1], box[3])
            spots += [(x, low + share * (high - low)) for share in (0.12, 0.88)]
    for j in range(1, up):
        y = box[1] + j * step[1] + 0.5 * (area[1] - step[1])
        for i in range(across):
            low, high = box[0] + i * step[0], min(box[0] + i * step[0] + area[0], box[2])
            spots += [(low + share * (high - low), y) for share in (0.12, 0.88)]
    apart: list[tuple[float, float]] = []
    for spot in spots:
        if all(math.dist(spot, other) > APART for other in apart):
            apart.append(spot)
    found: list[Shape] = []
    for k, (x, y) in enumerate(apart):
        found += [
            Circle("match mark", MARK, x, y, 4.0, THIN), Line("match mark", MARK, x - 4.0, y, x + 4.0, y),
            Line("match mark", MARK, x, y - 4.0, x, y + 4.0), Text("match mark", TEXT, x + 2.3, y + 1.0, SMALL, f"{k + 1}"),
        ]  # fmt: skip
    return found


def pages(template: Template, heading: Heading, paper: str) -> tuple[Page, ...]:
    """Lay one drawing on as few sheets as will hold it at true scale, upright or lying.

    Args:
        template: the drawing.
        heading: of every sheet.
        paper: A4 or Letter.

    Returns:
        One page, or tiles from the lower left, row by row.
    """
    box = box_of(template.shapes)
    need = (box[2] - box[0], box[3] - box[1])
    short, long = SHEETS[paper]
    choices = []
    for sheet in ((short, long), (long, short)):
        _, foot = foot_of(template, heading, sheet, "")
        area = (sheet[0] - 2.0 * MARGIN, sheet[1] - MARGIN - foot - 2.0)
        choices.append((sheet, foot, area, _layout(need, area)))
    sheet, foot, area, tiles = min(choices, key=lambda one: one[3][0] * one[3][1])
    count, drawn = tiles[0] * tiles[1], list(template.shapes)
    step = _steps(need, area, tiles)
    if count > 1:
        drawn += _match_marks(box, tiles, area, step)
    found = []
    for k in range(count):
        column, row = k % tiles[0], k // tiles[0]
        if count == 1:  # in the middle of the room
            x = MARGIN + 0.5 * (area[0] - need[0]) - box[0]
            y = foot + 0.5 * (area[1] - need[1]) - box[1]
        else:
            x = MARGIN - box[0] - column * step[0]
            y = foot - box[1] - row * step[1]
        x, y = round(x, 3), round(y, 3)
        window = (MARGIN - 1.0, foot - 1.0, MARGIN + area[0] + 1.0, foot + area[1] + 1.0)
        if count > 1:
            window = (MARGIN, foot, MARGIN + area[0], foot + area[1])
        part = (
            ""
            if count == 1
            else f"Tile {k + 1} of {count}: column {column + 1}, row {row + 1} from below. Lay like numbers on like."
        )
        shapes, _ = foot_of(template, heading, sheet, part)
        if count > 1:
            shapes.append(Rect("tile", MARK, *window[:2], area[0], area[1], HIDDEN))
        seen = tuple(placed for shape in drawn if _inside(placed := moved(shape, x, y), window))
        key = template.key if count == 1 else f"{template.key}-{k + 1}"
        found.append(Page(key, template.title, *sheet, seen, tuple(shapes), window, (x, y)))
    return tuple(found)


def _inside(shape: Shape, window: Box) -> bool:
    left, bottom, right, top = bounds(shape)
    return left <= window[2] and right >= window[0] and bottom <= window[3] and top >= window[1]


def text_pages(key: str, title: str, lines: tuple[str, ...], heading: Heading, paper: str) -> tuple[Page, ...]:
    """Lines of text on as many sheets as they take, each with a proof bar.

    Args:
        key: for file names.
        title: of the sheets.
        lines: folded already; kept as they are.
        heading: of every sheet.
        paper: A4 or Letter.

    Returns:
        Pages.
    """
    width, height = SHEETS[paper]
    step, found = ROW * USUAL, []
    fits = int((height - 2.0 * MARGIN - 20.0 - 2.0 * LARGE) / step)
    parts = [lines[i : i + fits] for i in range(0, len(lines), fits)] or [()]
    for k, part in enumerate(parts):
        empty = Template(key, "", (), ())
        shapes, _ = foot_of(empty, heading, (width, height), "" if len(parts) == 1 else f"Sheet {k + 1} of {len(parts)}")
        top = height - MARGIN - LARGE
        shapes.append(Text("title", TEXT, MARGIN, top, LARGE, title))
        for i, line in enumerate(part):
            shapes.append(Text("line", TEXT, MARGIN, top - 2.0 * LARGE - step * i, USUAL, line))
        window = (0.0, 0.0, width, height)
        name = key if len(parts) == 1 else f"{key}-{k + 1}"
        found.append(Page(name, title, width, height, (), tuple(shapes), window, (0.0, 0.0)))
    return tuple(found)
