"""Scenes played back: as DXF for a saw, mill or laser, and as SVG for the eye."""

from __future__ import annotations

import io
from importlib import import_module
from typing import Any

from .forms import HIDDEN, LAYERS, SIZES, THIN, WORDS, Circle, Dimension, Line, Polyline, Rect, Scene, Shape, Text
from .heat import section_temperatures
from .svg import clean, to_svg

__all__ = ["plain_text", "section_temperatures", "to_dxf", "to_svg"]

COLOURS = dict(zip(LAYERS, (8, 7, 6, 30, 5, 40, 4, 3, 9, 9, 8, 7), strict=True))  # numbers of the DXF colour table
WIDTHS = {THIN: 18, HIDDEN: 25}  # hundredths of a millimetre
WORD, FIGURE = 5.0, 3.0  # mm, text heights


def to_dxf(scene: Scene) -> str:
    """Write a scene as a DXF drawing of release R2010, in millimetres, one layer for each group of parts.

    Args:
        scene: a section or a plan.

    Returns:
        DXF text; the same scene gives the same bytes.
    """
    ezdxf: Any = import_module("ezdxf")  # only here: starting the program must not wait for it
    options = ezdxf.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # otherwise every file carries the minute and a random number
    try:
        document = ezdxf.new("R2010", setup=True, units=4)
        for layer in LAYERS:
            document.layers.add(layer, color=COLOURS[layer])
        space = document.modelspace()
        for shape in scene.shapes:
            _draw(space, shape)
        left, _, _, top = scene.box
        place = (left, top + 2.0 * WORD)
        space.add_text(plain_text(scene.title), height=WORD, dxfattribs={"layer": WORDS, "insert": place})
        stream = io.StringIO()
        document.write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = before
    return stream.getvalue()


def plain_text(text: str) -> str:
    """Text that a drawing program shows as it stands: two percent signs would begin one of its codes."""
    return clean(text).replace("%%", "% %")


def _draw(space: Any, shape: Shape) -> None:
    attributes: dict[str, object] = {"layer": shape.layer}
    style = getattr(shape, "style", None)
    if style in WIDTHS:
        attributes["lineweight"] = WIDTHS[style]
    if style == HIDDEN:
        attributes["linetype"] = "DASHED"
        attributes["ltscale"] = 4.0
    match shape:
        case Rect():
            right, top = shape.x + shape.width, shape.y + shape.height
            corners = [(shape.x, shape.y), (right, shape.y), (right, top), (shape.x, top)]
            space.add_lwpolyline(corners, close=True, dxfattribs=attributes)
        case Circle():
            space.add_circle((shape.x, shape.y), 0.5 * shape.diameter, dxfattribs=attributes)
        case Line():
            space.add_line((shape.x1, shape.y1), (shape.x2, shape.y2), dxfattribs=attributes)
        case Polyline():
            space.add_lwpolyline(shape.points, close=shape.closed, dxfattribs=attributes)
        case Text():
            attributes["insert"] = (shape.x, shape.y)
            space.add_text(plain_text(shape.text), height=shape.height, dxfattribs=attributes)
        case Dimension():
            # "EZDXF" is metres at 1:100; the sizes below make it millimetres at 1:1.
            figures = {
                "dimtxt": FIGURE, "dimasz": 2.5, "dimexo": 1.0, "dimexe": 1.5, "dimgap": 1.0, "dimlfac": 1.0,
                "dimdec": 1, "dimzin": 8, "dimscale": 1.0, "dimtsz": 0.0,
            }  # fmt: skip
            base = (shape.at, shape.y1) if shape.upright else (shape.x1, shape.at)
            space.add_linear_dim(
                base=base, p1=(shape.x1, shape.y1), p2=(shape.x2, shape.y2), angle=90.0 if shape.upright else 0.0,
                dimstyle="EZDXF", override=figures, dxfattribs={"layer": SIZES},
            ).render()  # fmt: skip
