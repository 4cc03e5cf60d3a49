"""A template as DXF in millimetres: layers for what is cut, marked and written, and one for what cannot be made."""

from __future__ import annotations

import io
from importlib import import_module
from typing import Any

from ..scene.forms import HIDDEN, Circle, Dimension, Line, Polyline, Rect, Shape, Text
from ..scene.play import plain_text
from .ink import CENTRE, CUT, FAULT, INK_LAYERS, MARK, SMALL, TEXT, box_of, moved
from .paper import proof_bar
from .templates import Template

COLOURS = {CUT: 7, MARK: 5, TEXT: 8, FAULT: 1}  # numbers of the DXF colour table; 1 is red
LINES = {HIDDEN: "DASHED", CENTRE: "CENTER"}
CAPITAL = 0.729  # a capital's height over the size of the lettering; a drawing's text height is that of its capitals


def template_dxf(template: Template) -> str:
    """Write one template, whole and at true scale, with its proof bar beneath.

    Args:
        template: the drawing.

    Returns:
        DXF text of release R2010; the same template gives the same bytes.
    """
    ezdxf: Any = import_module("ezdxf")  # only here: starting the program must not wait for it
    options = ezdxf.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # otherwise every file carries the minute and a random number
    try:
        document = ezdxf.new("R2010", setup=True, units=4)
        document.header["$MEASUREMENT"] = 1  # ISO line types and lettering
        for layer in INK_LAYERS:
            document.layers.add(layer, color=COLOURS[layer])
        space = document.modelspace()
        left, bottom, _, _ = box_of(template.shapes)
        below = [moved(shape, left, bottom - 10.0) for shape in proof_bar(0.0, 0.0)]
        title = Text("title", TEXT, left, bottom - 24.0, SMALL, template.title)
        for shape in (*template.shapes, *below, title):
            _draw(space, shape)
        stream = io.StringIO()
        document.write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = before
    return stream.getvalue()


def _draw(space: Any, shape: Shape) -> None:
    attributes: dict[str, object] = {"layer": shape.layer}
    style = getattr(shape, "style", None)
    if style in LINES:
        attributes |= {"linetype": LINES[style], "ltscale": 4.0}
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
            space.add_text(plain_text(shape.text), height=CAPITAL * shape.height, dxfattribs=attributes)
        case Dimension():
            # "EZDXF" is metres at 1:100; the sizes below make it millimetres at 1:1.
            figures = {
                "dimtxt": CAPITAL * SMALL, "dimasz": 1.8, "dimexo": 0.0, "dimexe": 1.0, "dimgap": 0.8, "dimlfac": 1.0,
                "dimdec": 2, "dimzin": 8, "dimscale": 1.0, "dimtsz": 0.0, "dimclrd": 256, "dimclre": 256, "dimclrt": 256,
            }  # fmt: skip
            base = (shape.at, shape.y1) if shape.upright else (shape.x1, shape.at)
            space.add_linear_dim(
                base=base, p1=(shape.x1, shape.y1), p2=(shape.x2, shape.y2), angle=90.0 if shape.upright else 0.0,
                dimstyle="EZDXF", override=figures, dxfattribs={"layer": shape.layer},
            ).render()  # fmt: skip
