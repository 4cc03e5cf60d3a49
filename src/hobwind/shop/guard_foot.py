"""The sheet of a thin foot: the strip laid flat with its ears, its bends as marks and as numbers."""

from __future__ import annotations

from collections.abc import Mapping

from ..build import Build
from ..lifting.foot import LEG_FREE, PAST_ROD, ROUND, Strip, reckoned, strip_for
from .guard_sheet import SCREW, holes_of, sheet
from .holes import size
from .made_part import MadePart, Mark

SLIT = 1e-3  # m wide; a saw's cut beside an ear on a strip wider than the element


def thin_foot(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """The strip under an element beside the fan, laid flat; what lies between its bends is marked.

    Args:
        build: a checked build.
        number: of each part by name.

    Returns:
        No part or one.
    """
    strip = strip_for(build)
    if strip is None:
        return []
    at, marks, ear = -0.5 * strip.blank, [], strip.ear
    for says, piece in (
        ("toe", strip.toe),
        ("leg", strip.length),
        ("top", strip.top),
        ("leg", strip.length),
        ("toe", strip.toe),
    ):
        marks.append(Mark(says, at + 0.5 * piece, 0.0, piece, strip.width))
        at += piece
    inner = size(ROUND * strip.thickness)
    lines = ", ".join(size(round(one, 4)) for one in strip.bends)
    notes = (
        f"Bend lines, each the middle of its bend, {lines} mm from one end; inner radius {inner} mm. Legs up from the base, toes outward: "
        f"a table {1e3 * strip.tall:.1f} mm from the base to its top's upper side. No clamp may touch the legs.",
        f"Four ears, {size(ear.far - ear.near)} mm wide, bent up from {size(ear.line)} mm off the middle line, inner radius "
        f"{inner}, {size(ear.tall)} mm tall; saw and file before the legs are bent. The element between them, each is pressed in until "
        "paper just slides.",
        "Its toes lie flat on the guard's base, fore and aft, each under a bridge stud's nut; the element stands on its top, pressed down "
        "by the return spring.",
        reckoned(build, strip),
    )
    away = 0.5 * strip.blank - PAST_ROD
    holes = (holes_of("thin foot", "A", "bridge stud", ((-away, 0.0), (away, 0.0)), SCREW),)
    sides = (strip.blank, max(strip.width, 2.0 * ear.tip), strip.thickness)
    return [sheet(number, "thin foot", strip.metal, sides, holes, tuple(marks), notes, outline=_outline(strip))]


def _outline(strip: Strip) -> tuple[tuple[float, float], ...]:
    """The blank's corners: the strip, two ears on either side, beside them a saw's cut where the strip reaches past their bends."""
    ear, half, end = strip.ear, 0.5 * strip.width, 0.5 * strip.blank
    upper = [(-end, half)]
    for near, far, before, after in ((-ear.far, -ear.near, LEG_FREE, SLIT), (ear.near, ear.far, SLIT, LEG_FREE)):
        if half > ear.line:
            upper += [(near - before, half), (near - before, ear.line), (near, ear.line), (near, ear.tip)]
            upper += [(far, ear.tip), (far, ear.line), (far + after, ear.line), (far + after, half)]
        else:
            upper += [(near, half), (near, ear.tip), (far, ear.tip), (far, half)]
    upper.append((end, half))
    return (*upper, *((x, -y) for x, y in reversed(upper)))
