"""Words of a narrow part, which have no room on it: written beside it, each on a thin line from what it names; mm."""

from __future__ import annotations

from dataclasses import dataclass

from ..scene.forms import THIN, Polyline, Shape, Text
from .ink import MARK, SMALL, wide

NARROW = 18.0  # mm; on a part no broader than this words would lie on its own lines
PAST = 5.0  # mm from the part to its words: past its centre lines' ends
ROW, PAD = 1.6 * SMALL, 1.5  # mm from line to line, and between words side by side


@dataclass(frozen=True)
class Named:
    """Words about a place: what they are about, the layer, the place and how far up or right what is there reaches; mm."""

    part: str
    layer: str
    says: str
    x: float
    y: float
    reach: float


def above(named: list[Named], top: float) -> list[Shape]:
    """Words over a part that is low, side by side, each on a line from its place.

    Args:
        named: what is to be said.
        top: upper edge of the part. [mm]

    Returns:
        Texts, and a line to each.
    """
    found: list[Shape] = []
    order = sorted(named, key=lambda item: (item.x, item.says))
    middles: list[float] = []
    last = -float("inf")
    for one in order:
        half = 0.5 * wide(one.says, SMALL) + 0.5 * PAD
        middles.append(max(one.x, last + half))
        last = middles[-1] + half
    # Pushed to the right by one another, they move back together as far as they were pushed on the average.
    back = sum(middle - one.x for middle, one in zip(middles, order, strict=True)) / max(len(order), 1)
    for middle, one in zip(middles, order, strict=True):
        x = middle - back
        points = ((one.x, one.y + one.reach), (x, top + PAST - 0.7))
        found.append(Polyline(one.part, MARK, points, False, THIN))
        found.append(Text(one.part, one.layer, x - 0.5 * wide(one.says, SMALL), top + PAST, SMALL, one.says))
    return found


def aside(named: list[Named], right: float) -> list[Shape]:
    """Words to the right of a part that is slim: one below the other, each on a line from its place.

    Args:
        named: what is to be said.
        right: right edge of the part. [mm]

    Returns:
        Texts, and a line to each.
    """
    found: list[Shape] = []
    last = -float("inf")
    for one in sorted(named, key=lambda item: (item.y, item.says)):
        y = last = max(one.y, last + ROW)
        points = ((one.x + one.reach, one.y), (right + 0.6 * PAST, y), (right + PAST, y))
        found.append(Polyline(one.part, MARK, points, False, THIN))
        found.append(Text(one.part, one.layer, right + PAST + 1.0, y - 0.36 * SMALL, SMALL, one.says))
    return found
