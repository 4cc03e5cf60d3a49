"""A page as SVG in real millimetres: black lines on white, nothing filled, what cannot be made in red."""

from __future__ import annotations

import unicodedata
from xml.sax.saxutils import escape, quoteattr

from ..scene.forms import HIDDEN, SOLID, Circle, Dimension, Line, Polyline, Rect, Shape, Text
from ..scene.svg import clean
from .ink import CENTRE, CUT, FACE, FAULT, TEXT, drawn
from .paper import Page

FONT = "DejaVu Sans Mono"  # comes with the PDF writer; every letter equally wide
BLACK, RED = "#000000", "#d00000"
BOLD, FINE = 0.35, 0.16  # mm, ISO 128: outlines twice as wide as the rest
DASHES = {HIDDEN: "2 1", CENTRE: "6 1 1 1"}


def figure(number: float) -> str:
    """A coordinate to a tenth of a micrometre, without trailing zeros."""
    return (
        f"{number:.4f}".rstrip("0").rstrip(".").replace("-0", "0")
        if abs(number) < 5e-5
        else f"{number:.4f}".rstrip("0").rstrip(".")
    )


def _words(text: str) -> str:
    """Text without what XML cannot hold; spaces stay, for they keep columns apart: unbreakable ones where browsers would drop them."""
    plain = "".join(" " if unicodedata.category(letter) in ("Cc", "Cs", "Cn") else letter for letter in text)
    return escape(plain.replace("  ", "\u00a0\u00a0"))


def _pen(shape: Shape) -> str:
    style = getattr(shape, "style", SOLID)
    ink = RED if shape.layer == FAULT else BLACK
    thick = BOLD if shape.layer in (CUT, FAULT) or (style == SOLID and not isinstance(shape, Text)) else FINE
    dashes = f' stroke-dasharray="{DASHES[style]}"' if style in DASHES else ""
    named = f" data-part={quoteattr(shape.part)} data-layer={quoteattr(shape.layer)}"
    fill = "#ffffff" if style == FACE else "none"
    return f'fill="{fill}" stroke="{ink}" stroke-width="{FINE if style in DASHES else thick}"{dashes}{named}'


def _drawn(shape: Shape, height: float) -> list[str]:
    def up(y: float) -> str:
        return figure(height - y)

    match shape:
        case Dimension():
            return [line for one in drawn(shape) for line in _drawn(one, height)]
        case Text():
            ink = RED if shape.layer == FAULT else BLACK
            place = f'x="{figure(shape.x)}" y="{up(shape.y)}" font-size="{figure(shape.height)}" fill="{ink}"'
            halo = ' stroke="#ffffff" stroke-width="0.5" paint-order="stroke"' if shape.layer in (TEXT, FAULT) else ""
            return [f"<text {place}{halo}>{_words(shape.text)}</text>"]
        case Rect():
            corner = f'x="{figure(shape.x)}" y="{up(shape.y + shape.height)}"'
            return [f'<rect {corner} width="{figure(shape.width)}" height="{figure(shape.height)}" {_pen(shape)}/>']
        case Circle():
            middle = f'cx="{figure(shape.x)}" cy="{up(shape.y)}"'
            return [f'<circle {middle} r="{figure(0.5 * shape.diameter)}" {_pen(shape)}/>']
        case Line():
            ends = f'x1="{figure(shape.x1)}" y1="{up(shape.y1)}" x2="{figure(shape.x2)}" y2="{up(shape.y2)}"'
            return [f"<line {ends} {_pen(shape)}/>"]
        case Polyline():
            points = " ".join(f"{figure(x)},{up(y)}" for x, y in shape.points)
            return [f'<{"polygon" if shape.closed else "polyline"} points="{points}" {_pen(shape)}/>']


def page_svg(page: Page) -> str:
    """Draw one page.

    Args:
        page: as laid out.

    Returns:
        SVG text whose width, height and viewBox are in mm.
    """
    wide, tall = figure(page.width), figure(page.height)
    left, bottom, right, top = page.window
    hole = f'x="{figure(left)}" y="{figure(page.height - top)}" width="{figure(right - left)}" height="{figure(top - bottom)}"'
    # Words last: their white edge keeps them readable on lines.
    inside = [line for one in page.clipped if not isinstance(one, Text) for line in _drawn(one, page.height)]
    inside += [line for one in page.clipped if isinstance(one, Text) for line in _drawn(one, page.height)]
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{tall}mm" viewBox="0 0 {wide} {tall}" '
            f'font-family="{FONT}, monospace" xml:space="preserve">',
            f"<title>{escape(clean(page.title))}</title>",
            f'<defs><clipPath id="window"><rect {hole}/></clipPath></defs>',
            f'<rect width="{wide}" height="{tall}" fill="#ffffff"/>',
            '<g clip-path="url(#window)">',
            *inside,
            "</g>",
            *(line for one in page.shapes for line in _drawn(one, page.height)),
            "</svg>",
            "",
        ]
    )
