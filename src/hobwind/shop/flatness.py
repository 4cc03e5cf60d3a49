"""Lapping the foot: from the flatness measured to the flatness wanted, grit by grit, how to check, and what it buys.

Grain sizes are those of ISO 6344. How far each grit brings a face is from memory. The stove plate's own share of the gap
cannot be lapped away and stays.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from ..build import Build
from ..stack.fields import Seen
from ..studies.headline import Headline, headline
from ..studies.telling import HAIR
from ..units import NORMAL, Spread
from .section import Section

# Mean grain, micrometres. Source: iso-6344.
GRITS = {"P80": 201.0, "P120": 125.0, "P180": 82.0, "P240": 58.5, "P320": 46.2, "P400": 35.0, "P600": 25.8, "P800": 21.8,
         "P1000": 18.3, "P1500": 12.6, "P2000": 10.3}  # fmt: skip
STEP = 0.5  # the next grit's grain is about this share of the one before or more, so that its scratches come out
WANTED = 0.015e-3  # m; what wet-and-dry on plate glass gives over 50 mm. Source: from memory
FILE_FIRST = 0.15e-3  # m; above this a file or a mill is quicker than paper
ZERO = 273.15


@dataclass(frozen=True)
class Lapping:
    """From, to [m], the grits in order, and the figures before and after; None where nothing is to be lapped."""

    before: float
    wanted: float
    grits: tuple[str, ...]
    file_first: bool
    then: Headline | None


def grit_sequence(before: float, wanted: float) -> tuple[str, ...]:
    """Grits in order, coarse to fine.

    The first has grains about as large as what must come off, the last has grains no larger than about the flatness
    wanted; each step about halves the grain.

    Args:
        before: out-of-flatness now. [m]
        wanted: out-of-flatness wanted. [m]

    Returns:
        Names of ISO 6344 grits; none when the face is as flat as wanted. [-]

    Source: iso-6344.
    """
    if before <= wanted:
        return ()
    names, micro = list(GRITS), 1e6
    first = next((n for n in names if GRITS[n] <= (before - wanted) * micro * 1.2), names[-1])
    last = next((n for n in names if GRITS[n] <= max(wanted * micro, GRITS[names[-1]]) * 1.25), names[-1])
    if names.index(first) >= names.index(last):
        return (last,)
    coarse, fine = GRITS[first], GRITS[last]
    steps = math.ceil(math.log(fine / coarse) / math.log(STEP))
    ideal = [coarse * (fine / coarse) ** (i / steps) for i in range(steps + 1)]
    nearest = [min(names, key=lambda name: abs(math.log(GRITS[name] / grain))) for grain in ideal]
    return tuple(dict.fromkeys(nearest))


def lapped(build: Build, wanted: float) -> Build:
    """The same build with its foot lapped to `wanted` metres."""
    return replace(build, seat=replace(build.seat, flatness=Spread(wanted, 0.5 * wanted, NORMAL)))


def lapping(build: Build, wanted: float = WANTED) -> Lapping:
    """Plan the lapping of the foot, and solve the whole fan with it done.

    Args:
        build: a checked build.
        wanted: out-of-flatness wanted. [m]

    Returns:
        The plan. [SI]
    """
    before = build.seat.flatness.value
    grits = grit_sequence(before, wanted)
    then = headline(lapped(build, wanted), at=(), points=16, every=60.0, looks=1) if grits else None
    return Lapping(before, wanted, grits, before > FILE_FIRST, then)


def _figures(solved: Headline) -> dict[str, Any]:
    started = solved.starts_at
    return {
        "starts_at_plate_degC": None if started is None else round(started - ZERO, 1),
        "air_m3_per_h": round(solved.usual_air * 3600.0, 1),
        "seat_takes_K": round(float(solved.usual_point.seen[Seen.local] - solved.usual_point.seen[Seen.foot]), 1),
        "hottest_face_degC": round(solved.peak_face[0] - ZERO, 1),
        "smallest_face_margin_K": round(solved.worst_margin, 1),
    }


def _buys(now: dict[str, Any], then: dict[str, Any]) -> list[str]:
    def pair(key: str, unit: str) -> str:
        if now[key] is None or then[key] is None:
            return "never on this fire" if now[key] is None else f"{now[key]:.0f} {unit}"
        return f"{now[key]:.0f} to {then[key]:.0f} {unit}"

    return [
        "What it buys, on the usual plate: the seat takes "
        f"{pair('seat_takes_K', 'K')}, air {pair('air_m3_per_h', 'm³/h')}, starts at {pair('starts_at_plate_degC', '°C')}.",
        f"And what it costs: the hottest face goes from {pair('hottest_face_degC', '°C')}, "
        f"the margin from {pair('smallest_face_margin_K', 'K')}.",
    ]


def flatness_section(plan: Lapping, solved: Headline) -> Section:
    """The lapping's page.

    Args:
        plan: the plan.
        solved: the build as it is, solved.

    Returns:
        The section.
    """
    mm = f"{plan.before * 1e3:.3f} mm"
    data: dict[str, Any] = {
        "flatness_now_mm": round(plan.before * 1e3, 4),
        "flatness_wanted_mm": round(plan.wanted * 1e3, 4),
        "grits": list(plan.grits),
        "before": _figures(solved),
        "after": None if plan.then is None else _figures(plan.then),
    }
    check = [
        "How to check. Blue: a thin smear of marking blue on glass, the foot set down and slid 5 mm; blue must show in spots "
        "over the whole face, not only at the rim or the middle.",
        "Light gap: a straightedge on edge across the foot against a bright window, both diagonals; no light means "
        "less than about 2 µm, coloured light up to about 4, white light more.",
        "Feeler: foot on plate glass, no corner lets 0.03 mm in; then the same on the cold stove plate, which is part of the gap.",
    ]
    if plan.then is None:
        lines = [f"The seat is given as {mm} out of flat: as good as lapping makes it. Leave it.", *check]
        return Section("flatness", "Flat foot", tuple(lines), data, ())
    first = "File or mill first: paper alone would take hours. " if plan.file_first else ""
    lines = [
        f"The seat is given as {mm} out of flat; {plan.wanted * 1e3:.3f} mm is wanted. Pin and element out of the way, screws sealed.",
        f"{first}Wet-and-dry paper on plate glass, wet with a drop of washing-up liquid: {' - '.join(plan.grits)}.",
        "Figures of eight, a quarter turn every twenty strokes, weight in the middle; to the next grit when the last one's "
        "scratches are gone. Keep the dust wet. Wash the face, and any bore in it, before the next grit.",
        *check,
        *_buys(data["before"], data["after"]),
        "All this if the stove plate is as flat: its own hollow stays; where a straightedge shows one, set the foot elsewhere.",
    ]
    left = plan.then.worst_margin
    worse = left < min(HAIR, solved.worst_margin)
    how = f"comes within {left:.0f} K of its limit" if left > 0.0 else f"passes its limit by {-left:.0f} K"
    first = "set the guard lower first" if solved.build.guard.kind != "none" else "fit a guard first"
    found = (f"danger: do not lap yet: with a flatter foot a module face {how} on a hard fire: {first}",) if worse else ()
    return Section("flatness", "Flat foot", tuple(lines), data, found)
