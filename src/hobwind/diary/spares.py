"""Parts on hand that would fit in place of a worn one: the user's parts folder, and parts beside the build."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from ..build import Build
from ..errors import HobwindError
from ..parts.catalogue import CATALOGUE, Shelf

MM = 1e-3


def _module(part: Any, build: Build) -> bool:
    old = build.modules[0].part
    same = all(
        abs(getattr(part, side).value - getattr(old, side).value) <= 0.5 * MM for side in ("width", "depth", "thickness")
    )
    return same and part.hot_limit.value >= old.hot_limit.value and 0.6 <= part.seebeck.value / old.seebeck.value <= 1.6


def _compound(part: Any, build: Build) -> bool:
    limit = build.modules[0].part.hot_limit.value
    return part.limit is None or part.limit.value >= limit


def _blade(part: Any, build: Build) -> bool:
    old = build.blade.part
    return bool(abs(part.diameter.value / old.diameter.value - 1.0) <= 0.1 and part.limit.value >= old.limit.value - 1.0)


def _wax(part: Any, build: Build) -> bool:
    old = build.guard.element
    return old is not None and abs(part.opens.value - old.opens.value) <= 3.0 and part.travel.value >= 0.9 * old.travel.value


FITS: dict[str, Callable[[Any, Build], bool]] = {"module": _module, "compound": _compound, "blade": _blade, "wax": _wax}


def that_fit(kind: str, build: Build, beside: Path | None = None) -> list[str]:
    """Names of parts on hand that would take the place of the build's own.

    Args:
        kind: of part, one of `FITS`; any other gives none.
        build: the fan.
        beside: folder whose `parts` count as on hand.

    Returns:
        Names; the catalogue's own parts are not on hand. A part that cannot be read is passed over.

    Limits: fits by outside sizes and limits (module sides within 0.5 mm, blade within a tenth, wax opening within 3 K); judge the
        changed build with `hobwind check` before fitting it.
    """
    if kind not in FITS:
        return []
    shelf = Shelf(beside)
    found = []
    for name in shelf.names(kind):
        try:
            if shelf.origin(kind, name) != CATALOGUE and FITS[kind](shelf.find(kind, name), build):
                found.append(name)
        except HobwindError:
            continue
    return found
