"""A dossier from a build file: verdict, topics, pictures and photos brought together. Loaded only when asked for."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from .build import Build, whole_text
from .charts import evening_chart, map_chart, picture
from .dossier import Bands, content, dossier_pdf, stripped
from .scene.play import section_temperatures, to_svg
from .scene.shapes import plan, section
from .shop.topics import topics
from .studies.verdict import Verdict


def build_file(build: Build) -> bytes:
    """The made-whole build as it is handed on: in a dossier or alone."""
    return whole_text(build).encode("utf-8")


def make_dossier(
    judged: Verdict, folder: Path, paper: str = "A4", sheets: Sequence[str] = (), bands: Bands | None = None
) -> bytes:
    """Everything about one build as a PDF.

    Args:
        judged: the build's verdict.
        folder: where the build file lies; its photos are looked up there.
        paper: A4 or Letter.
        sheets: SVG of each true-scale sheet.
        bands: between what 19 in 20 lie, by key figure; None shows single figures.

    Returns:
        The PDF.

    Raises:
        FileError: a photo cannot be read.
        SolveError: the pages could not be set.
    """
    build, solved = judged.build, judged.solved
    photos = [stripped(folder / name) for name in build.hand_on.photos]
    limit = min(min(use.part.hot_limit.value, use.part.solder.value) for use in build.modules)
    pictures = [
        ("section, settled on the usual plate", to_svg(section(build), section_temperatures(solved.usual_point.seen))),
        ("from above", to_svg(plan(build))),
        ("settled, over plate temperature", picture(map_chart(solved), "svg").decode()),
        ("usual evening", picture(evening_chart(solved.usual, limit), "svg").decode()),
        ("over-fired evening", picture(evening_chart(solved.worst, limit), "svg").decode()),
    ]
    data = content(judged, topics(build, solved), pictures, sheets, bands, len(photos))
    return dossier_pdf(data, build_file(build), photos, paper)
