"""What was measured at the bench as an entry of a bin, or as lines of a build."""

from __future__ import annotations

import json
from typing import Any

from ..bench.result import Figure, Result
from ..bench_screen import LIKE
from ..errors import InputError
from ..parts.part_fields import FIELDS
from ..units import read_quantity

GOES = {
    "module": ("module", "modules[1]"), "motor": ("motor", "motor"), "blade": ("blade", "blade"), "sink": ("sink", "sink"),
    "wax": ("element", "guard.element"), "material": ("", "riser[1].material"), "washer": ("", "screws.washer"),
    "surface": ("", ""),
}  # fmt: skip


def like(result: Result) -> str:
    """The part of the catalogue that fills in for what was not measured."""
    return result.base or LIKE.get(result.kind, "")


def value_text(one: Figure) -> str:
    """A figure as a file holds it: rounded for the reader where that loses nothing that counts, else in full."""
    text, value, half = one.text(), one.measured.value, 2.0 * one.measured.u
    if "±" in text and half > 0.0:
        read = read_quantity(text, one.dimension)
        if abs(read.value - value) <= 0.1 * half and abs(read.half - half) <= 0.1 * half:
            return text
    return f"{value:.6g} ± {half:.3g}{_si(one)}" if half > 0.0 else f"{value:.6g}{_si(one)}"


def _si(one: Figure) -> str:
    from ..units import DIMENSIONS

    return "" if one.dimension == "number" else f" {DIMENSIONS[one.dimension].si}"


def fields_of(result: Result) -> dict[str, str]:
    """What was found of a part's fields, as a bin or a build would hold it; the part that it is like comes first."""
    known = FIELDS.get(result.kind, {})
    found = {"part": like(result), **result.words}
    return found | {one.name: value_text(one) for one in result.figures if one.name in known}


def as_item(result: Result, name: str) -> dict[str, Any]:
    """A measured part as an entry of a bin.

    Args:
        result: of its test.
        name: what to call it.

    Returns:
        The entry's table; its heading is `GOES[result.kind][0]`.

    Raises:
        InputError: a bin has no such parts.
    """
    if not heading_of(result):
        raise InputError("a bin has no heading for this; use it in a build, or copy the lines")
    found: dict[str, Any] = {**fields_of(result)}
    vanes = found.pop("count", None)
    if vanes is not None:  # in a bin, count says how many there are
        found["vanes"] = int(vanes)
    return {"name": name, **found}


def heading_of(result: Result) -> str:
    """Its heading in a bin; "" when it is no part, or none that a bin holds."""
    known = FIELDS.get(result.kind, {})
    return GOES.get(result.kind, ("", ""))[0] if any(one.name in known for one in result.figures) else ""


def as_lines(result: Result) -> list[str]:
    """What was measured as lines of a build, ready to be carried out: the part's own fields, then the test's own lines.

    Args:
        result: of its test.

    Returns:
        Lines such as `motor.resistance = "7.8 ± 0.3 Ω"`; none when a build has no place for it.
    """
    place, known = GOES.get(result.kind, ("", ""))[1], FIELDS.get(result.kind, {})
    found = []
    if place and any(one.name in known for one in result.figures):
        found = [f"{place}.{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in fields_of(result).items()]
    heading = ""
    for line in result.lines:
        if line.startswith("["):
            heading = line.strip("[]")
        else:
            found.append(f"{heading}.{line}")
    return found
