"""Whether what the pin beside the riser pushes up hangs over it, and still does once the fan has tilted away from it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from .geometry import pivot_back, tilts
from .guide import Face, faces, lifted_at
from .sections import Build

NEAR = 1e-3  # m; by which a typed pivot distance may differ from where the guard stands before it is a fault


@dataclass(frozen=True)
class Missed:
    """A pin that misses the fan or the model's place: a word, in few words for a row, with figures, what to do; where it pushes, m."""

    code: str
    short: str
    says: str
    mend: str
    at: float = 0.0


def _turns(build: Build) -> float:
    """How far it tilts at its stop, pushed where the guard stands, whatever distance the file says, rad; nought for another guard."""
    return math.atan(build.guard.stop.value / (pivot_back(build) + lifted_at(build))) if tilts(build) else 0.0


def drawn_back(build: Build, face: Face) -> float:
    """How far off the middle a face's edge is over the place where the fan is pushed up, once it is tilted to its stop, m.

    The fan turns about the foot's far edge: what stands high over it goes sideways, away from the pin.

    Source: exact (a turn about the pivot edge).
    Check: 110 mm up, 50 mm off the middle, 30 mm of foot, 2 mm at 72 mm: 80·cos - 110·sin - 30 = 46.9 mm.
    """
    back, angle = pivot_back(build), _turns(build)
    return (back + 0.5 * face.width) * math.cos(angle) - face.height * math.sin(angle) - back


def misses(build: Build) -> Missed | None:
    """Why the pin of an element beside the fan misses what it should lift, cold or at the stop.

    Args:
        build: a checked build.

    Returns:
        What is wrong and what to do; None where something hangs over the middle of pin or lever's end, tilted too, or where no pin
        pushes up beside the fan.
    """
    guard = build.guard
    if guard.element is None or guard.held_in != "plate":
        return None
    at, every = lifted_at(build), faces(build)
    over = next((one for one in every if 0.5 * one.width > at), None)
    if over is None:
        return _nothing(build, at, max(every, key=lambda one: one.width))
    tilted = drawn_back(build, over)
    if not tilts(build) or tilted >= at - 1e-9:
        return None
    short = math.ceil(2e3 * (at - tilted) / math.cos(_turns(build)) - 1e-6)
    return Missed(
        "slips-off-pin",
        "tilted, it slips off its pin",
        f"tilted to its stop, the {over.name} draws back from {0.5e3 * over.width:.0f} to {1e3 * tilted:.1f} mm off the middle and slips "
        f"off what pushes it up, {1e3 * at:.0f} mm off it",
        f"a {over.name} {short} mm wider, a lower stop, or a narrower riser",
    )


def pushed_elsewhere(build: Build) -> Missed | None:
    """Why a fan that is tilted from beside it is not pushed as far from its edge as the model was told; None where it is."""
    guard = build.guard
    if guard.element is None or guard.held_in == "riser" or not tilts(build):
        return None
    stands, told = pivot_back(build) + lifted_at(build), guard.pivot_distance.value
    if abs(stands - told) <= NEAR:
        return None
    return Missed(
        "pushed-elsewhere",
        "its pivot distance is not where it stands",
        f"the fan is pushed {1e3 * stands:.1f} mm from the edge it tilts about, where its guard stands, but the model reckons with "
        f"{1e3 * told:.1f} mm",
        f'write pivot_distance = "{1e3 * stands:.0f} mm" under [guard]',
        stands,
    )


def _nothing(build: Build, at: float, widest: Face) -> Missed:
    """Nothing hangs over the pin even when cold."""
    riser = max(part.width.value for part in build.riser)
    wanted = 2.0 * at + build.guard.pin_diameter.value
    less = riser - (wanted - widest.width)
    narrower = f", a riser at most {math.floor(1e3 * less + 1e-6):.0f} mm wide" if less > 0.0 else ""
    return Missed(
        "nothing-over-pin",
        "nothing hangs over its pin",
        f"nothing hangs over the pin beside the riser: the fan is to be pushed up {1e3 * at:.0f} mm off its middle, across, and its widest "
        f"part, the {widest.name}, ends at {0.5e3 * widest.width:.0f} mm",
        f"a hot plate, spreader or sink at least {math.ceil(1e3 * wanted - 1e-6):.0f} mm wide{narrower}, or the element held elsewhere",
    )
