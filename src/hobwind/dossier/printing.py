"""The PDF: the template set by typst from data, then the build file and the photos laid into it."""

from __future__ import annotations

import io
import json
import tempfile
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path
from typing import Any

from ..errors import SolveError

ATTACHED = "hobwind-build.toml"
PAPERS = {"A4": "a4", "Letter": "us-letter"}


def dossier_pdf(data: dict[str, Any], build_file: bytes, photos: Sequence[bytes] = (), paper: str = "A4") -> bytes:
    """Set a dossier and embed the build file in it.

    Args:
        data: what `content` made.
        build_file: the made-whole build. [bytes]
        photos: JPEGs, as many as `data` counts. [bytes]
        paper: a key of `PAPERS`.

    Returns:
        The PDF; the same bytes from the same input. [bytes]

    Raises:
        SolveError: the pages could not be set.
    """
    import typst
    from pypdf import PdfWriter
    from pypdf.generic import NameObject

    template = files("hobwind.dossier").joinpath("pages.typ").read_bytes()
    inside = {"main.typ": template, "data.json": json.dumps(data | {"paper": PAPERS[paper]}, ensure_ascii=False).encode()}
    inside |= {f"photo-{i + 1}.jpg": one for i, one in enumerate(photos)}
    try:
        # A folder of its own is the root: the template can reach what was put there and nothing else.
        with tempfile.TemporaryDirectory(prefix="hobwind-") as root:
            for name, content in inside.items():
                Path(root, name).write_bytes(content)
            pages = typst.compile(Path(root, "main.typ"), root=Path(root), format="pdf", ignore_system_fonts=True, timestamp=0)
    except (typst.TypstError, RuntimeError) as error:
        raise SolveError(
            f"the dossier's pages could not be set: {str(error)[:300]}. Report this with the build file"
        ) from error
    writer = PdfWriter(clone_from=io.BytesIO(pages))
    writer.add_attachment(ATTACHED, build_file)
    for i, one in enumerate(photos):
        writer.add_attachment(f"photo-{i + 1}.jpg", one)
    # Whoever opens it sees pages first, not a list of what is inside.
    writer.root_object[NameObject("/PageMode")] = NameObject("/UseNone")
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
