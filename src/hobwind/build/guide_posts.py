"""Posts and eyes that keep a lifted fan level: where they stand and how high. Sizes are choices unless they follow from the build."""

from __future__ import annotations

import math
from dataclasses import dataclass

from . import geometry as g
from .guide import guide_length
from .pin import sink_height
from .sections import Build

SHEET = 3e-3  # m of mild steel: eyes and base. Source: choice
POST, SPARE = 6e-3, 15e-3  # m; a post's diameter, and what it stands above its upper eye at the stop
SHORT = 2e-3  # m a post stays under what hangs over it
LOW = 6e-3  # m over the plate of the lower eye
APART = 60e-3  # m between eyes where the pin pushes in the middle and nothing asks for more. Source: choice


@dataclass(frozen=True)
class Guide:
    """Posts and eyes of a central lift; metres. `x` of both posts from the fan's middle (negative: the side away from the element),
    `y` fore and aft; heights of the two eyes over the stove plate; how far each eye reaches from the face it is screwed to."""

    x: float
    y: float
    low: float
    high: float
    reach_low: float
    reach_high: float
    post: float
    wanted: float | None


def foot_size(build: Build) -> tuple[float, float]:
    """Across and along of the foot, m."""
    foot = build.riser[0]
    return foot.width.value, foot.width.value if foot.shape == "cylinder" else foot.depth.value


def guide_for(build: Build) -> Guide | None:
    """The guide of a fan that is lifted straight and stands on nothing of its own.

    Args:
        build: a checked build.

    Returns:
        The guide; None where none is asked for.
    """
    guard = build.guard
    if guard.element is None or guard.kind != "central lift" or guard.stands != "guide":
        return None
    asked = guide_length(build)
    apart = math.ceil((APART if asked is None else asked[0]) * 200.0 - 1e-9) / 200.0
    high, half = LOW + apart, 0.5 * foot_size(build)[0]
    levels = ((g.riser_height(build), g.low_plate(build)[0]), (sink_height(build), g.sink_base(build)[0]))
    passed = [0.5 * wide for base, wide in levels if high >= base - 0.5 * SHEET]
    widest = max([half, *passed])
    side = widest + POST
    deep = foot_size(build)[1]
    held = passed[-1] if passed else half
    # As long as may be, but short of what hangs over it while the fan is down.
    over = min((base for base, wide in levels if base > high and 0.5 * wide > side - 0.5 * POST), default=math.inf)
    post = min(high + guard.stop.value + SPARE + SHEET, over - SHORT)
    return Guide(
        -side, max(0.5 * deep - 8e-3, 12e-3), LOW, high, side - half, side - held, round(post, 4),
        None if asked is None else asked[0],
    )  # fmt: skip
