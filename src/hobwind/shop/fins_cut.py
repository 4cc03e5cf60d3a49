"""Fins that are cut back for the clamp screws' heads: which, where along them and how long, and how it is said.

The build file gives one width (`sink.fins_cut`); fins are taken to stand even about the middle, as they are drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..build import Build
from ..build import geometry as g
from .holes import size


@dataclass(frozen=True)
class Cut:
    """One fin cut back at one screw: which fin from the left seen from below as on its sheet, its place [m], how long it is cut [m]."""

    fin: int
    x: float
    y: float
    long: float


def cuts_of(build: Build) -> tuple[Cut, ...]:
    """Every place where a fin is cut back, as wide as the build says, round each clamp screw.

    Args:
        build: a checked build.

    Returns:
        None where nothing is cut back, the sink has no plate fins, or a found fan stays as it is.
    """
    sink, screws, wide = build.sink.part, build.screws, build.sink.fins_cut.value
    if build.found or sink.shape != "plate fins" or screws is None or wide <= 0.0:
        return ()
    width, depth = g.sink_base(build)
    found = []
    for x, y in g.screw_places(screws):
        if abs(x) >= 0.5 * width or abs(y) >= 0.5 * depth:
            continue
        low, high = max(y - 0.5 * wide, -0.5 * depth), min(y + 0.5 * wide, 0.5 * depth)
        found += [
            Cut(sink.fin_count - i, fin, 0.5 * (low + high), high - low)
            for i, fin in enumerate(g.fin_places(sink))
            if abs(x - fin) < 0.5 * (wide + sink.fin_thickness.value) - 1e-9
        ]
    return tuple(found)


def cut_says(build: Build) -> str:
    """Which fins are cut back and how, in one phrase; empty where none are."""
    cuts = cuts_of(build)
    if not cuts:
        return ""
    count, fins = build.sink.part.fin_count, sorted({one.fin for one in cuts})
    named = f"fin {fins[0]}" if len(fins) == 1 else f"fins {', '.join(map(str, fins[:-1]))} and {fins[-1]}"
    return f"{named} of {count} cut back {size(build.sink.fins_cut.value)} mm wide round each clamp screw, down to the base"


def cut_notes(build: Build) -> tuple[str, ...]:
    """What the sink's sheet says of them."""
    cuts = cuts_of(build)
    if not cuts:
        return ()
    sink = build.sink.part
    share = sum(one.long for one in cuts) / (sink.fin_count * sink.base_length.value)
    says = cut_says(build)
    return (
        f"{says[0].upper()}{says[1:]} and open to the fins' tops, so that head and key go in; counted from the left on this sheet. Drill, "
        f"then saw and file from the fins' side. {100.0 * share:.1f} % of all the fins' length goes; the sink's cooling is reckoned "
        "without that loss.",
    )
