"""The sieve's best through evenings and full maps: the figures by which they are shown and compared."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ...build import Build
from ...build.bin_build import Choice, Mix
from ...build.bin_sections import Wishes
from ...stack.curves import built_in
from ...stack.fields import NO_GUARD, Q
from ...stack.keeping import FINISHED, End
from ...stack.sifting import Sift, evenings
from ..headline import Headline, headline
from ..margins import Margin
from ..margins import margins as margins_of
from . import ranking
from .options import Options
from .sieve import Sieve

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
TOLERANCE = 0.1  # K a step; the whole evening then within about 0.1 K
HUNTS = 3  # lifts on a plate that does not cool
NOTHING = Choice(Mix((), ()), -1, -1, -1, (-1, 0.0), -1, -1, (-1, -1), (-1, -1, 0.5))
COARSE, SPARSE = 24, 60.0  # plates of a judged fan's map; seconds between the kept states of its evenings


@dataclass(frozen=True)
class Judged:
    """One fan out of the bin with its whole map and both evenings; SI."""

    choice: Choice
    build: Build
    solved: Headline
    margins: tuple[Margin, ...]
    buys: tuple[str, int] | None
    met: tuple[bool, ...]
    points: float

    @property
    def starts(self) -> float | None:
        """Plate at which it turns on a usual evening, K."""
        return self.solved.starts_at

    @property
    def air(self) -> float:
        """Flow on the usual plate, m3/s."""
        return self.solved.usual_air

    @property
    def margin(self) -> float:
        """Smallest margin of any part, K."""
        return self.margins[0].margin if self.margins else np.inf

    @property
    def face(self) -> float:
        """Hottest module face, K."""
        return self.solved.peak_face[0]

    @property
    def rank(self) -> tuple[int, float]:
        """Wishes met, then points: the larger the better."""
        return sum(self.met), self.points


def judge(options: Options, choice: Choice, build: Build, buys: tuple[str, int] | None) -> Judged:
    """Solve one fan out of the bin in full and hold it against the wishes.

    Args:
        options: of the bin.
        choice: out of it.
        build: made of the choice.
        buys: what of it has to be bought.

    Returns:
        The judged fan.
    """
    return replace(weigh(options.bin.wishes, build), choice=choice, buys=buys)


def weigh(wishes: Wishes, build: Build) -> Judged:
    """Solve any build in full and hold it against a bin's wishes; its choice is empty.

    Args:
        wishes: of the bin.
        build: a checked build.

    Returns:
        The judged fan.
    """
    solved = headline(build, at=(), points=COARSE, every=SPARSE, looks=1)
    found = tuple(margins_of(solved))
    starts = np.nan if solved.starts_at is None else solved.starts_at
    least = found[0].margin if found else np.inf
    calm = solved.usual.lifts == 0 and not solved.lifted_at_usual
    start, air, margin, face = (np.array([value]) for value in (starts, solved.usual_air, least, solved.peak_face[0]))
    rests = not solved.hunts and not solved.restless_plates and solved.worst.finished
    kept = ranking.met(wishes, start, air, margin, face, np.array([calm]), np.array([rests]))[0]
    marks = float(ranking.points(wishes, np.nan_to_num(start, nan=ranking.LATE), air, margin)[0])
    return Judged(NOTHING, build, solved, found, None, tuple(bool(x) for x in kept), marks)


@dataclass(frozen=True)
class Sample:
    """Figures of many fans at one stage, for ranking and for the picture; SI, NaN where it never comes about."""

    rows: Ints
    space: Ints
    starts: Floats
    air: Floats
    margin: Floats
    met: NDArray[np.bool_]
    points: Floats

    def order(self) -> Ints:
        """Best first."""
        return ranking.best_first(self.points, self.met, np.lexsort(self.rows.T[::-1]).argsort())


def sieved_sample(options: Options, rows: Ints, space: Ints, figures: Floats) -> Sample:
    """What the sieve says: start on a very slow fire, no question whether the guard hunts."""
    wishes, usual = options.bin.wishes, options.bin.base.stove.usual_plate.value
    margin = ranking.margins(options, rows, figures)
    starts, air = figures[:, Sift.starts], np.nan_to_num(figures[:, Sift.air])
    calm = ~(figures[:, Sift.lifts] <= usual)
    kept = ranking.met(wishes, starts, air, margin, figures[:, Sift.hot], calm, np.ones(len(rows), bool))
    marks = ranking.points(wishes, np.nan_to_num(starts, nan=ranking.LATE), air, margin)
    return Sample(rows, space, starts, air, margin, kept, marks)


def evening_sample(sieve: Sieve, coarse: Sample, figures: Floats) -> Sample:
    """The same fans after a usual and an over-fired evening: start on a warming stove, peaks, lifts, hunting."""
    options, stove = sieve.options, sieve.stove
    p, q = sieve.rows.make(coarse.rows)
    fires = [
        built_in(name, stove.room.value, stove.usual_plate.value, stove.worst_plate.value) for name in ("usual", "over-fired")
    ]
    usual, worst = (evenings(p, q, fire.time, fire.plate, TOLERANCE) for fire in fires)
    hot = np.fmax(figures[:, Sift.hot], worst[:, End.peak_hot])
    held = figures.copy()
    held[:, Sift.margin] = np.fmin(figures[:, Sift.margin], worst[:, End.worst_margin])
    for column, end in ((Sift.cold, End.peak_cold), (Sift.motor, End.peak_motor), (Sift.element, End.peak_element)):
        held[:, column] = np.fmax(figures[:, column], worst[:, end])
    held[:, Sift.element] = np.where(q[:, Q.guard] == NO_GUARD, 0.0, held[:, Sift.element])
    margin = ranking.margins(options, coarse.rows, held)
    starts = np.where(np.isfinite(usual[:, End.starts_at]), usual[:, End.starts_at], np.nan)
    calm = (usual[:, End.lifts] == 0) & ~(figures[:, Sift.lifts] <= stove.usual_plate.value)
    ran = (worst[:, End.outcome] == FINISHED) & (usual[:, End.outcome] == FINISHED)
    rests = (worst[:, End.run] < HUNTS) & (usual[:, End.run] < HUNTS) & ran
    wishes = options.bin.wishes
    kept = ranking.met(wishes, starts, coarse.air, margin, hot, calm, rests)
    marks = ranking.points(wishes, np.nan_to_num(starts, nan=ranking.LATE), coarse.air, margin)
    return Sample(coarse.rows, coarse.space, starts, coarse.air, margin, kept, marks)
