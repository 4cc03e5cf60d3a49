"""Pages as one PDF, made from their SVG at true scale. Whatever a user typed goes in as data, never into the markup."""

from __future__ import annotations

import json
from collections.abc import Sequence
from importlib import import_module
from typing import Any

from ..scene.svg import clean
from .paper import Page
from .sheets_svg import page_svg

_MARKUP = b"""\
#let data = json(bytes(sys.inputs.data))
#set document(title: data.title, date: none)
#for sheet in data.sheets {
  page(
    width: sheet.width * 1mm, height: sheet.height * 1mm, margin: 0mm,
    image(bytes(sheet.svg), format: "svg", width: sheet.width * 1mm, height: sheet.height * 1mm, alt: sheet.title),
  )
}
"""


def pages_pdf(pages: Sequence[Page], title: str) -> bytes:
    """Write pages into one PDF.

    Args:
        pages: in their order.
        title: of the file.

    Returns:
        PDF; the same pages give the same bytes.
    """
    typst: Any = import_module("typst")  # only here: starting the program must not wait for it
    sheets = [
        {"svg": page_svg(page), "title": clean(page.title), "width": page.width, "height": page.height} for page in pages
    ]  # fmt: skip
    data = json.dumps({"title": clean(title), "sheets": sheets})
    made = typst.compile(_MARKUP, format="pdf", sys_inputs={"data": data}, ignore_system_fonts=True)
    return bytes(made)
