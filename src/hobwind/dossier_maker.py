"""A dossier from a build file: verdict, topics, pictures and photos brought together. Loaded only when asked for."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from .build import Build, whole_text
from .charts import evening_chart, map_chart, picture
from .dossier import Bands, content, dossier_pdf, photo_in, stripped
from .scene.play import section_temperatures, to_svg
from .scene.shapes import plan, section
from .shop.plate_drawn import drawn_screws
from .shop.topics import topics
from .studies.odds import FEW, odds
from .studies.odds_fans import Figure
from .studies.telling import ZERO
from .studies.verdict import Verdict


def build_file(build: Build) -> bytes:
    """The made-whole build as it is handed on: in a dossier or alone."""
    return whole_text(build).encode("utf-8")


def check_photos(build: Build, folder: Path) -> list[Path]:
    """Where a build's photos lie.

    Args:
        build: a checked build.
        folder: where its file lies.

    Returns:
        Paths, as many as `hand_on.photos` names.

    Raises:
        InputError: one lies outside the folder.
    """
    return [photo_in(folder, name) for name in build.hand_on.photos]


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
        InputError: a photo lies outside the folder.
        FileError: a photo cannot be read.
        SolveError: the pages could not be set.
    """
    build, solved = judged.build, judged.solved
    photos = [stripped(path) for path in check_photos(build, folder)]
    limit = build.face_limit
    pictures = [
        (
            "section, settled on the usual plate",
            to_svg(section(build, drawn_screws(build)), section_temperatures(solved.usual_point.seen)),
        ),
        ("from above", to_svg(plan(build, drawn_screws(build)))),
        ("settled, over plate temperature", picture(map_chart(solved), "svg").decode()),
        ("usual evening", picture(evening_chart(solved.usual, limit), "svg").decode()),
        ("over-fired evening", picture(evening_chart(solved.worst, limit), "svg").decode()),
    ]
    data = content(judged, topics(build, solved), pictures, sheets, bands, len(photos))
    return dossier_pdf(data, build_file(build), photos, paper)


# Which thrown figure stands behind which key figure, what is taken off, and by how much it is multiplied.
_THROWN = {
    "starts_at_plate_degC": (Figure.starts_at, ZERO, 1.0),
    "stops_at_plate_degC": (Figure.stops_at, ZERO, 1.0),
    "air_m3_per_h": (Figure.air, 0.0, 3600.0),
    "hottest_face_degC": (Figure.peak_face, ZERO, 1.0),
    "smallest_face_margin_K": (Figure.margin, 0.0, 1.0),
    "lifts_at_plate_degC": (Figure.lifts_at, ZERO, 1.0),
    "sits_back_at_plate_degC": (Figure.sits_back_at, ZERO, 1.0),
}


def thrown_bands(build: Build) -> dict[str, tuple[float, float]]:
    """Between what 19 in 20 lie, for the key figures that the odds have, from a few thrown fans.

    Args:
        build: a checked build.

    Returns:
        Low and high by key figure, in the unit of the key.
    """
    found = odds(build, FEW)
    bands = {}
    for key, (figure, off, scale) in _THROWN.items():
        band = found.bands.get(figure)
        if band is not None and band.low == band.low:
            bands[key] = ((band.low - off) * scale, (band.high - off) * scale)
    return bands
