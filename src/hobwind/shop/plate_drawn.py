"""The plate screws as the drawings take them."""

from __future__ import annotations

from ..build import Build
from ..scene.forms import mm
from ..scene.sunk import Sunk
from .countersunk import SUNK
from .holes import held_by


def drawn_screws(build: Build) -> Sunk | None:
    """The screws that hold the hot plate on its riser, for `scene.shapes`; None where there are none.

    Args:
        build: a checked build.

    Returns:
        Places and sizes in mm.
    """
    one = held_by(build)
    if one is None:
        return None
    places = tuple((mm(x), mm(y)) for x, y in one.places)
    return Sunk(places, mm(one.thread.diameter), mm(one.head.across), mm(one.head.height), mm(one.length), mm(SUNK))
