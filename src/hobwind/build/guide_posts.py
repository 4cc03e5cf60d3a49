"""Posts and eyes that keep a lifted fan level: where they stand, how far apart, and how much of the push they rub away.

Both eyes are screwed to the riser's side away from the element, which is thick enough to be tapped; thin plates are not. Posts
stand in the base beside it. Sizes are choices unless they follow from the build.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from . import geometry as g
from .guide import RUB, guide_length, push_arm
from .pin import sink_height
from .sections import Build, RiserPart

SHEET = 3e-3  # m of mild steel: eyes and base. Source: choice
POST, SPARE = 6e-3, 15e-3  # m; a post's diameter, and what it stands above its upper eye at the stop where there is height
LEAST_SPARE = 2e-3  # m it stands above it at least
SHORT = 2e-3  # m a post stays under what hangs over it
NUT = 3.2e-3  # m; height of the thin locknut M6 at a post's foot. Source: iso-4035
OVER = 2.3e-3  # m between that nut and the lower eye
LOW = SHEET + NUT + OVER + 0.5 * SHEET  # m over the plate of the lower eye's middle
APART = 60e-3  # m between eyes where the pin pushes in the middle and nothing asks for more. Source: choice
FLANGE, EDGE = 16e-3, 5e-3  # m; a flange's height with the sheet, and its screws from its end
FROM_RISER = 11e-3  # m from riser to a post's middle: the flange, its bend, the post's radius
POSTS, EYE_SIDE = (
    16e-3,
    6e-3,
)  # m from the middle to a post at most, from a post to the eye's outer side: an eye is a fin. Source: choice
CORNER = 6e-3  # m from a screw to the side of a flat that is filed on a round riser
ASIDE = 6e-3  # m of a screw from the middle of a round riser's flat
BESIDE_POST = 10e-3  # m from a screw to its post, so that a key reaches the screw. Source: choice
SAFE_RUB = 0.5  # of the push that a guide may rub away; twice that is stuck. Source: choice


@dataclass(frozen=True)
class Guide:
    """Posts and eyes of a central lift; metres. `x` of both posts from the fan's middle (negative: the side away from the element),
    `y` fore and aft; heights of the two eyes' middles over the stove plate; how far from the posts the faces are that the eyes are
    screwed to; `aside` of their screws from the middle; `wanted` the distance of the eyes that rubs no more than is usual."""

    x: float
    y: float
    low: float
    high: float
    reach_low: float
    reach_high: float
    post: float
    aside: float
    wanted: float | None

    @property
    def screws(self) -> tuple[float, float]:
        """Heights of the lower and the upper eye's screws over the stove plate, m: one flange up, the other down."""
        away = FLANGE - EDGE - 0.5 * SHEET
        return self.low + away, self.high - away


def foot_size(build: Build) -> tuple[float, float]:
    """Across and along of the foot, m."""
    foot = build.riser[0]
    return foot.width.value, foot.width.value if foot.shape == "cylinder" else foot.depth.value


def riser_at(build: Build, height: float) -> tuple[int, float]:
    """Which riser part is at a height over the plate, counted from 0, and where it begins, m; the uppermost where none is."""
    base = 0.0
    for i, part in enumerate(build.riser):
        if height <= base + part.length.value or i == len(build.riser) - 1:
            return i, base
        base += part.length.value
    raise AssertionError("a build has a riser")


def flat_depth(part: RiserPart) -> float:
    """How deep a flat is filed into a round riser for an eye's flange, m; a block has one already."""
    if part.shape != "cylinder":
        return 0.0
    radius, half = 0.5 * part.width.value, ASIDE + CORNER
    return radius - math.sqrt(max(radius**2 - half**2, 0.0))


def face_at(build: Build, height: float) -> float:
    """From the fan's middle to the face that an eye at a height is screwed to, m."""
    part = build.riser[riser_at(build, height)[0]]
    return 0.5 * part.width.value - flat_depth(part)


def guide_for(build: Build) -> Guide | None:
    """The guide of a fan that is lifted straight and stands on nothing of its own.

    The eyes stand as far apart as is wanted, or as the riser has room for below what hangs over the posts.

    Args:
        build: a checked build.

    Returns:
        The guide; None where none is asked for.
    """
    guard = build.guard
    if guard.element is None or guard.kind != "central lift" or guard.stands != "guide":
        return None
    asked, tall = guide_length(build), g.riser_height(build)
    apart = math.ceil((APART if asked is None else asked[0]) * 200.0 - 1e-9) / 200.0
    face = max(face_at(build, LOW), face_at(build, tall))
    x = face + FROM_RISER
    plates = ((tall, g.low_plate(build)[0]), (sink_height(build), g.sink_base(build)[0]))
    over = min((base for base, wide in plates if 0.5 * wide > x - 0.5 * POST), default=math.inf)
    room = min(over - SHORT - LEAST_SPARE - guard.stop.value, tall) - 0.5 * SHEET
    high = round(max(min(LOW + apart, room), LOW + 2.0 * FLANGE), 4)
    post = min(high + guard.stop.value + SPARE + 0.5 * SHEET, over - SHORT)
    deep = foot_size(build)[1]
    round_ = any(part.shape == "cylinder" for part in build.riser)
    y = min(max(0.5 * deep - 8e-3, 12e-3), POSTS)
    return Guide(
        -x, y, LOW, high, x - face_at(build, LOW), x - face_at(build, high), round(post, 4),
        ASIDE if round_ else max(y - BESIDE_POST, ASIDE), None if asked is None else asked[0],
    )  # fmt: skip


def rub_share(build: Build) -> float:
    """Share of the pin's push that the guide rubs away: 2 · friction · arm / distance of the eyes; nought without such a guide.

    Args:
        build: a checked build.

    Returns:
        Share; one and more: it is stuck. [-]

    Source: exact (balance of moments, see `guide.guide_length`); friction from memory.
    Check: pin 30 mm off the middle, eyes 60 mm apart, 0.2: a fifth.
    """
    guide = guide_for(build)
    return 0.0 if guide is None or guide.wanted is None else 2.0 * RUB * push_arm(build) / (guide.high - guide.low)


def too_short(build: Build) -> str:
    """What is wrong with a guide that rubs away more than is safe; empty where nothing is."""
    guide, rub = guide_for(build), rub_share(build)
    if guide is None or rub <= SAFE_RUB:
        return ""
    least = 2.0 * RUB * push_arm(build) / SAFE_RUB
    return (
        f"the guide's eyes find only {1e3 * (guide.high - guide.low):.0f} mm of height between them, {1e3 * least:.0f} mm are wanted for a "
        f"pin {1e3 * push_arm(build):.0f} mm off the middle: it rubs away {rub:.2f} of the push and may bind. A taller riser, or a "
        "guard that tilts"
    )
