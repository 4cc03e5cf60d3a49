"""One bench procedure as an A4 page to print: drawn set-up, what is needed, steps, blanks to fill in, cautions."""

from __future__ import annotations

import textwrap
from xml.sax.saxutils import escape

from .bench.forms import INSTRUMENTS, Blank, Group, unit_of
from .bench.procedure import BenchTest
from .bench.setups import BOX, LINE, ROUND, SETUPS, TEXT, Drawn

WIDE, TALL, EDGE = 210.0, 297.0, 12.0  # mm
LETTER, SMALL, FINE, TITLE = 3.5, 3.0, 2.3, 6.0  # mm, heights of text
BLANK = 8.6  # mm, from one line to write on to the next
ROW, LEAST_ROWS, MOST_ROWS = 6.6, 2, 12
FIELD = 60.0  # mm, height of the drawing
TONES = {"metal": "#d9d9d9", "hot": "#f3cdc0", "cold": "#d3e3f1", "water": "#e3eff8", "plain": "#ffffff", "dark": "#9a9a9a"}
PENS = {"thin": "0.25", "thick": "0.6", "wire": "0.3", "arrow": "0.35"}
INK = "#1a1a1a"
TIP = (
    '<defs><marker id="tip" markerWidth="7" markerHeight="7" refX="5.5" refY="3" orient="auto">'
    f'<path d="M0,0 L6,3 L0,6 z" fill="{INK}"/></marker></defs>'
)
A4_POINTS = (595.276, 841.89)  # the converter takes a picture's pixels for points, 72 to the inch


class _Page:
    """Collects the lines of the page from the top down."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.y = EDGE

    def text(self, x: float, y: float, words: str, size: float = LETTER, more: str = "") -> None:
        self.lines.append(f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size}" fill="{INK}"{more}>{escape(words)}</text>')

    def box(self, x: float, y: float, width: float, height: float, fill: str = "none", pen: str = "0.25") -> None:
        self.lines.append(
            f'<rect x="{x:.2f}" y="{y:.2f}" width="{width:.2f}" height="{height:.2f}" fill="{fill}" stroke="{INK}" stroke-width="{pen}"/>'
        )

    def rule(self, points: list[tuple[float, float]], pen: str, more: str = "") -> None:
        placed = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
        self.lines.append(f'<polyline points="{placed}" fill="none" stroke="{INK}" stroke-width="{pen}"{more}/>')

    def paragraph(self, words: str, hang: str = "", size: float = LETTER) -> None:
        """Wrapped lines; what follows the first hangs below it."""
        room = int((WIDE - 2.0 * EDGE) / (0.54 * size))
        for line in textwrap.wrap(words, room, subsequent_indent=hang):
            self.y += 1.32 * size
            indent = 0.5 * size * (len(line) - len(line.lstrip()))
            self.text(EDGE + indent, self.y, line.strip(), size)


def sheet_svg(test: BenchTest) -> str:
    """One bench procedure as an SVG page of 210 x 297 mm.

    Args:
        test: which.

    Returns:
        The text of the SVG.
    """
    page = _Page()
    page.y += TITLE
    page.text(EDGE, page.y, f"Bench: {test.name}", TITLE, ' font-weight="bold"')
    for x, words in ((112.0, "date"), (142.0, "part"), (176.0, "by")):
        page.text(x, page.y, words, SMALL)
        page.rule([(x + 8.0, page.y + 0.8), (min(x + 28.0, WIDE - EDGE), page.y + 0.8)], "0.2")
    page.paragraph(test.says[0].upper() + test.says[1:] + ".")
    page.y += 3.0
    _setup(page, SETUPS[test.name])
    page.y += 1.0
    page.paragraph(f"You need: {test.needs}", "   ")
    page.y += 1.0
    for number, step in enumerate(test.steps, 1):
        page.paragraph(f"{number}. {step}", "   ")
    _cautions(page, test)
    _singles(page, test)
    _tables(page, test)
    page.text(
        EDGE,
        TALL - EDGE,
        f"Then: hobwind bench {test.name} --ask, or as a file: hobwind bench {test.name} readings.toml",
        SMALL,
    )
    body = "\n".join(page.lines)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE:g}mm" height="{TALL:g}mm" viewBox="0 0 {WIDE:g} {TALL:g}" '
        f'font-family="Liberation Sans, Arial, Helvetica, sans-serif">\n<title>Bench: {escape(test.name)}</title>\n'
        f"{TIP}\n"
        f'<rect width="{WIDE:g}" height="{TALL:g}" fill="#ffffff"/>\n{body}\n</svg>\n'
    )


def setup_svg(test: BenchTest) -> str:
    """The drawn set-up alone, mm.

    Args:
        test: which.

    Returns:
        The text of the SVG.
    """
    page = _Page()
    _setup(page, SETUPS[test.name])
    wide, tall = WIDE - 2.0 * EDGE + 2.0, FIELD + 2.0
    body = "\n".join(page.lines)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{tall:g}mm" '
        f'viewBox="{EDGE - 1.0:g} {EDGE - 1.0:g} {wide:g} {tall:g}" font-family="Liberation Sans, Arial, Helvetica, sans-serif">\n'
        f"<title>Set-up: {escape(test.name)}</title>\n{TIP}\n"
        f'<rect x="{EDGE - 1.0:g}" y="{EDGE - 1.0:g}" width="{wide:g}" height="{tall:g}" fill="#ffffff"/>\n{body}\n</svg>\n'
    )


def sheet_file(test: BenchTest, kind: str) -> bytes:
    """The same as a file.

    Args:
        test: which.
        kind: ".svg" or ".pdf".

    Returns:
        The bytes of the file; a PDF is A4 at true size.
    """
    svg = sheet_svg(test)
    if kind == ".svg":
        return svg.encode()
    import vl_convert as vlc

    mm, points = f'width="{WIDE:g}mm" height="{TALL:g}mm"', f'width="{A4_POINTS[0]}" height="{A4_POINTS[1]}"'
    return bytes(vlc.svg_to_pdf(svg.replace(mm, points, 1)))


def _setup(page: _Page, setup: tuple[Drawn, ...]) -> None:
    top = page.y
    page.box(EDGE, top, WIDE - 2.0 * EDGE, FIELD, pen="0.15")
    for one in setup:
        numbers = [value + (EDGE if i % 2 == 0 else top + 1.5) for i, value in enumerate(one.numbers)]
        if one.shape == BOX:
            width, height = one.numbers[2], one.numbers[3]
            page.box(numbers[0], numbers[1], width, height, TONES[one.tone])
            _centred(page, numbers[0] + 0.5 * width, numbers[1] + 0.5 * height, one.words)
        elif one.shape == ROUND:
            page.lines.append(
                f'<circle cx="{numbers[0]:.2f}" cy="{numbers[1]:.2f}" r="{one.numbers[2]:g}" fill="{TONES[one.tone]}" stroke="{INK}" '
                'stroke-width="0.25"/>'
            )
            _centred(page, numbers[0], numbers[1], one.words)
        elif one.shape == LINE:
            tip = ' marker-end="url(#tip)"' if one.tone == "arrow" else ""
            page.rule(list(zip(numbers[::2], numbers[1::2], strict=True)), PENS[one.tone], tip)
        elif one.shape == TEXT:
            page.text(numbers[0], numbers[1], one.words, SMALL, ' text-anchor="middle"' if one.tone == "mid" else "")
    page.y = top + FIELD


def _centred(page: _Page, x: float, y: float, words: str) -> None:
    if words:
        page.text(x, y + 0.35 * SMALL, words, SMALL, ' text-anchor="middle"')


def _cautions(page: _Page, test: BenchTest) -> None:
    page.y += 3.0
    top = page.y
    mark = len(page.lines)
    page.paragraph(f"Mind: {test.cautions}", "   ")
    page.lines.insert(
        mark,
        f'<rect x="{EDGE - 2.0:.2f}" y="{top:.2f}" width="{WIDE - 2.0 * EDGE + 4.0:.2f}" height="{page.y - top + 2.0:.2f}" '
        f'fill="#fff4d6" stroke="{INK}" stroke-width="0.4"/>',
    )
    page.y += 3.5


def _singles(page: _Page, test: BenchTest) -> None:
    """What is asked for once: a line to write on for each, three beside each other."""
    asked: list[tuple[str, Blank]] = [("", blank) for blank in test.form.blanks]
    for group in test.form.groups:
        if group.single and group.key != INSTRUMENTS:
            asked += [(f"{group.key}: ", blank) for blank in group.blanks]
    width = (WIDE - 2.0 * EDGE) / 2.0
    for i, (place, blank) in enumerate(asked):
        if i % 2 == 0:
            page.y += BLANK
        x = EDGE + width * (i % 2)
        unit = unit_of(blank)
        words = f"{place}{blank.key}{f', {unit}' if unit else ''}"
        page.text(x, page.y, words, SMALL)
        page.text(x, page.y + 3.2, _cut(blank.says, width, FINE), FINE)
        start = x + 0.62 * SMALL * len(words) + 2.0
        page.rule([(min(start, x + width - 24.0), page.y + 0.8), (x + width - 4.0, page.y + 0.8)], "0.2")
    page.y += 5.0


def _cut(words: str, width: float, size: float) -> str:
    room = int((width - 2.0) / (0.56 * size))
    return words if len(words) <= room else words[: room - 1] + "…"


def _tables(page: _Page, test: BenchTest) -> None:
    """Blank rows for readings taken many times; the room that is left is shared out."""
    groups = [group for group in test.form.groups if not group.single]
    if not groups:
        return
    # Two narrow tables stand beside each other, so that both get as many rows as are asked for.
    abreast = 2 if len(groups) == 2 and all(len(group.blanks) <= 3 for group in groups) else 1
    bands = -(-len(groups) // abreast)
    left = TALL - EDGE - 6.0 - page.y - bands * (2.0 * ROW + 3.0)
    rows = max(LEAST_ROWS, min(MOST_ROWS, int(left / ROW / bands)))
    width = (WIDE - 2.0 * EDGE - (abreast - 1) * ROW) / abreast
    for i, group in enumerate(groups):
        start = page.y
        _table(page, group, rows, EDGE + (i % abreast) * (width + ROW), width)
        if (i + 1) % abreast:
            page.y = start


def _table(page: _Page, group: Group, rows: int, left: float, wide: float) -> None:
    page.y += ROW
    page.text(left, page.y - 1.5, _cut(f"{group.key}: {group.says}", wide, SMALL), SMALL, ' font-weight="bold"')
    top, width = page.y, wide / len(group.blanks)
    for i, blank in enumerate(group.blanks):
        unit = unit_of(blank)
        x = left + i * width
        page.text(x + 1.0, top + 3.0, f"{blank.key}{f', {unit}' if unit else ''}", 2.8)
        page.text(x + 1.0, top + 5.9, _cut(blank.says, width, FINE), FINE)
    for i in range(len(group.blanks) + 1):
        page.rule([(left + i * width, top), (left + i * width, top + (rows + 1) * ROW)], "0.2")
    for i in range(rows + 2):
        page.rule([(left, top + i * ROW), (left + wide, top + i * ROW)], "0.2")
    page.y = top + (rows + 1) * ROW + 3.0
