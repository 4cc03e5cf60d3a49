"""Ranking by what was wished: wishes met first, then points; and what is worth showing of the many.

Points, in plain words: ten degrees earlier than wished, a tenth more air than wished and ten kelvin of margin are each
worth one point; margin beyond 30 K is worth no more, and what the maker wants first counts double.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...build.bin_sections import Bin, Wishes
from ...stack.sifting import Sift
from .options import Options

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
TEN = 10.0  # K
ENOUGH = 30.0  # K; margin beyond this is worth no more
LATE = 1e3  # K; stands for a start that never comes
EARLIEST = 8.0  # points; no start is worth more
MOST_AIR = 20.0  # points; nor any flow


def points(wishes: Wishes, starts: Floats, air: Floats, margin: Floats) -> Floats:
    """How good a fan is beyond its wishes.

    Args:
        wishes: of the bin.
        starts: plates at which the fans start, (m). [K]
        air: flows on the usual plate, (m). [m3/s]
        margin: smallest margins, (m). [K]

    Returns:
        Points, (m). [-]
    """
    weight = {name: 2.0 if wishes.first == name else 1.0 for name in ("early start", "air", "margin")}
    early = np.clip((wishes.starts_by - starts) / TEN, -MOST_AIR, EARLIEST)
    blown = np.clip(10.0 * (air / wishes.air - 1.0), -10.0, MOST_AIR)
    spare = np.clip(margin, -ENOUGH, ENOUGH) / TEN
    found: Floats = weight["early start"] * early + weight["air"] * blown + weight["margin"] * spare
    return found


def limits(options: Options) -> tuple[Floats, Floats, Floats, float, Floats]:
    """Limits of each motor, blade, mix (cold faces), of the joints, and of each guard's element, K."""
    bin: Bin = options.bin
    motors = np.array([item.thing.part.limit.value for item in bin.of("motor")])
    blades = np.array([item.thing.limit.value for item in bin.of("blade")])
    modules = [item.thing.cold_limit.value for item in bin.of("module")]
    colds = np.array([min(modules[place] for place, _ in mix.uses) for mix in options.mixes])
    fills = [face.fill for face in (bin.base.joint.hot, bin.base.joint.cold)]
    joint = min((fill.limit.value for fill in fills if fill is not None and fill.limit is not None), default=np.inf)
    bursts = [np.inf if way < 0 else bin.of("element")[place].thing.bursts.value for way, place, _ in options.guards]
    return motors, blades, colds, float(joint), np.array(bursts)


def margins(options: Options, rows: Ints, figures: Floats) -> Floats:
    """Smallest margin of any part that the sieve knows of: hot and cold faces, motor, blade, joints, element, K."""
    motors, blades, colds, joint, bursts = limits(options)
    stove = options.bin.base.stove
    air = stove.room.value + stove.plume_still.value * (stove.worst_plate.value - stove.room.value)
    found: Floats = np.min(
        [
            figures[:, Sift.margin],
            motors[rows[:, 1]] - figures[:, Sift.motor],
            blades[rows[:, 2]] - air,
            colds[rows[:, 0]] - figures[:, Sift.cold],
            joint - figures[:, Sift.low],
            bursts[rows[:, 8]] - figures[:, Sift.element],
        ],
        axis=0,
    )
    return found


@dataclass(frozen=True)
class Wish:
    """One wish, in words for when it is met and when it is missed."""

    met: str
    missed: str


WISHES = (
    Wish("turns", "never turns"),
    Wish("every part lives", "a part passes its limit"),
    Wish("the guard leaves normal burning alone", "the guard lifts in normal burning"),
    Wish("starts in time", "starts late"),
    Wish("enough air", "too little air"),
    Wish("faces cool enough", "a face hotter than wished"),
    Wish("the guard rests", "the guard hunts"),
)


def met(
    wishes: Wishes, starts: Floats, air: Floats, margin: Floats, face: Floats, calm: NDArray[np.bool_], rests: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Which wishes each fan meets, in the order of `WISHES`.

    Args:
        wishes: of the bin.
        starts: plates at which the fans start, NaN for never, (m). [K]
        air: flows on the usual plate, (m). [m3/s]
        margin: smallest margins, (m). [K]
        face: hottest module faces, (m). [K]
        calm: the guard leaves normal burning alone, (m). [-]
        rests: the guard does not hunt, (m). [-]

    Returns:
        Met or not, (m, wishes).
    """
    limit = np.inf if wishes.hottest_face is None else wishes.hottest_face
    turns = np.isfinite(starts)
    rows = (turns, margin > 0.0, calm, starts <= wishes.starts_by, air >= wishes.air, face <= limit, rests)
    return np.stack(rows, axis=1)


def best_first(marks: Floats, met_: NDArray[np.bool_], tie: Ints) -> Ints:
    """Order by wishes met, then points, then number, so that equal fans stand in one order."""
    return np.lexsort((tie, -marks, -met_.sum(axis=1)))


def front(starts: Floats, air: Floats, margin: Floats) -> NDArray[np.bool_]:
    """Which fans no other one beats in start, air and margin at once.

    Args:
        starts: plates, lower is better, (m). [K]
        air: flows, (m). [m3/s]
        margin: smallest margins, (m). [K]

    Returns:
        Whether each is on the front, (m).
    """
    goods = np.stack([-np.nan_to_num(starts, nan=LATE), air, np.minimum(margin, ENOUGH)], axis=1)
    on = np.ones(len(goods), bool)
    for i in range(len(goods)):
        better = np.all(goods >= goods[i], axis=1) & np.any(goods > goods[i], axis=1)
        on[i] = not better.any()
    return on


def survivors(order: Ints, family: Ints, each: int, most: int) -> Ints:
    """The best of the order with at most `each` of one family."""
    taken: dict[int, int] = {}
    found = []
    for i in order:
        key = int(family[i])
        if taken.get(key, 0) < each:
            taken[key] = taken.get(key, 0) + 1
            found.append(int(i))
            if len(found) >= most:
                break
    return np.array(found, np.int64)
