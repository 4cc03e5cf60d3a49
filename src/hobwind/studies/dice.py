"""Guesses thrown like dice: how an answer spreads when everything it hangs on may be off.

Nothing here knows of fans. A model is a function from a table of inputs (one row a throw) to a table of figures. Throws
fill the space evenly (scrambled nets); several scramblings, independent of one another, tell by how much a figure
would move if the dice were thrown again. What goes together is one die that the model uses in several places.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ..units import EVEN, Spread

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Model = Callable[[Floats], Floats]
Progress = Callable[[int, int], None]
Stages = Callable[[int, int, str], None]  # how many are done, of how many, and what comes next
SETS = 8  # independent scramblings
AGAIN = 2.365  # Student's t for 19 in 20 with SETS - 1 = 7 degrees of freedom
EDGES = (0.025, 0.5, 0.975)
CLOSEST = 1e-9  # a throw is never nearer than this to 0 or 1, where a normal spread has no end
SMOOTH_EVEN, SMOOTH_NORMAL = 6, 4  # degree of the curves that say what one input does alone
RESAMPLES = 200


@dataclass(frozen=True)
class Die:
    """One independent input: its spread, the group it is counted in, and between what its value makes sense [SI]."""

    name: str
    spread: Spread
    group: str = ""
    low: float = -math.inf
    high: float = math.inf


@dataclass(frozen=True)
class Band:
    """Between `low` and `high` lie 19 in 20, half of them above `middle`; `..._loose`: 19 in 20, if thrown again.

    `missing` is the share of throws in which the figure never came about; the band is of the others.
    """

    low: float
    middle: float
    high: float
    low_loose: float
    middle_loose: float
    high_loose: float
    mean: float
    sd: float
    missing: float

    @property
    def half(self) -> float:
        """Half the width of the band."""
        return 0.5 * (self.high - self.low)


def no_band(missing: float) -> Band:
    """The band of a figure that hardly ever came about."""
    none = math.nan
    return Band(none, none, none, none, none, none, none, none, missing)


@dataclass(frozen=True)
class Chance:
    """Share of the throws in which something happened, how loose that is, and how many throws there were."""

    share: float
    loose: float
    count: int


@dataclass(frozen=True)
class Shares:
    """What part of a figure's spread comes from each group: alone, and with all it does together with others.

    Arrays are (figures, groups); `..._loose` is half of what 19 in 20 resamplings lie between. NaN where a figure has no
    spread or is often missing. `count` is how many times the model was run.
    """

    groups: tuple[str, ...]
    alone: Floats
    alone_loose: Floats
    together: Floats
    together_loose: Floats
    count: int


def rounded_count(count: int, sets: int = SETS) -> int:
    """The number of throws that is really made: at least `count`, and a power of two in each scrambling."""
    return int(sets * 2 ** max(2, math.ceil(math.log2(max(count, 1) / sets))))


def throw(count: int, dice: int, seed: int, sets: int = SETS) -> Floats:
    """Throw evenly.

    Args:
        count: throws in all; see `rounded_count`. [-]
        dice: how many. [-]
        seed: the same seed gives the same throws. [-]
        sets: independent scramblings. [-]

    Returns:
        Throws between 0 and 1, (sets, throws in each, dice).
    """
    from scipy.stats import qmc

    power = round(math.log2(rounded_count(count, sets) // sets))
    nets = [qmc.Sobol(dice, scramble=True, rng=np.random.default_rng([seed, k])).random_base2(power) for k in range(sets)]
    throws: Floats = np.clip(np.array(nets), CLOSEST, 1.0 - CLOSEST)
    return throws


def values(dice: Sequence[Die], thrown: Floats) -> Floats:
    """Turn throws into values of the inputs, held between what makes sense.

    Args:
        dice: (d).
        thrown: between 0 and 1, (..., d). [-]

    Returns:
        Values, in the shape of `thrown`. [SI]
    """
    from scipy.special import ndtri

    found = np.empty_like(thrown)
    for k, die in enumerate(dice):
        spread, at = die.spread, thrown[..., k]
        off = (2.0 * at - 1.0) * spread.half if spread.shape == EVEN else ndtri(at) * spread.sd
        found[..., k] = np.clip(spread.value + off, die.low, die.high)
    return found


def band(figures: Floats) -> Band:
    """Between what 19 in 20 lie, and how settled that is.

    Args:
        figures: one figure, (sets, throws in each); NaN where it never came about. [SI]

    Returns:
        The band; all NaN when the figure came about in fewer than two throws of any scrambling.
    """
    there = np.isfinite(figures)
    missing = 1.0 - float(there.mean())
    if int(there.sum(axis=1).min()) < 2:
        return no_band(missing)
    edges = np.quantile(figures[there], EDGES)
    each = np.array([np.quantile(one[know], EDGES) for one, know in zip(figures, there, strict=True)])
    loose = _loose(each)
    kept = figures[there]
    low, middle, high = (float(edge) for edge in edges)
    return Band(
        low, middle, high, float(loose[0]), float(loose[1]), float(loose[2]), float(kept.mean()), float(kept.std()), missing
    )


def _loose(each: Floats) -> Floats:
    """How far the mean of independent repeats, (sets, ...), may be off, 19 in 20."""
    # Repeats that are all alike have no spread, though the rounding of their mean may say so.
    spread = np.where(np.ptp(each, axis=0) > 0.0, each.std(axis=0, ddof=1), 0.0)
    return np.asarray(AGAIN * spread / math.sqrt(each.shape[0]))


def chance(flags: Flags) -> Chance:
    """How often something happened.

    Args:
        flags: (sets, throws in each).

    Returns:
        The chance, and how settled it is.
    """
    each, (sets, count) = flags.mean(axis=1), flags.shape
    # Even throws of one scrambling count whole throws: alike in all of them, they may still be half a throw off.
    whole = AGAIN * 0.5 / count / math.sqrt(sets)
    return Chance(float(each.mean()), max(float(_loose(each)), whole), flags.size)


def _curves(die: Die, thrown: Floats) -> Floats:
    """Curves of rising degree in one input, of mean 0, size 1 and square to each other, (degree, throws)."""
    from scipy.special import eval_hermitenorm, eval_legendre, ndtri

    if die.spread.shape == EVEN:
        at = 2.0 * thrown - 1.0
        return np.array([math.sqrt(2 * k + 1) * eval_legendre(k, at) for k in range(1, SMOOTH_EVEN + 1)])
    at = ndtri(thrown)
    return np.array([eval_hermitenorm(k, at) / math.sqrt(math.factorial(k)) for k in range(1, SMOOTH_NORMAL + 1)])


def single_shares(dice: Sequence[Die], thrown: Floats, figures: Floats) -> tuple[Floats, Floats]:
    """What part of one figure's spread each input brings alone, from throws already made.

    A smooth curve of the figure over each input is drawn through all throws; the part of the spread that follows the
    curve is that input's own. Products of two different scramblings keep chance agreement out.

    Args:
        dice: (d).
        thrown: between 0 and 1, (sets, n, d). [-]
        figures: (sets, n), NaN where missing. [SI]

    Returns:
        Share of each input and how loose it is, (d) both. [-]
    """
    there = np.isfinite(figures)
    nothing = np.full(len(dice), math.nan)
    if not there.any() or there.mean() < 0.5:
        return nothing, nothing
    centred = np.where(there, figures - figures[there].mean(), 0.0)
    whole = float((centred[there] ** 2).mean())
    if whole <= 1e-18 * max(1.0, float(np.abs(figures[there]).max()) ** 2):
        return nothing, nothing
    sets, found, loose = figures.shape[0], np.zeros(len(dice)), np.zeros(len(dice))
    for k, die in enumerate(dice):
        each = np.array([(_curves(die, thrown[s, :, k]) * centred[s]).mean(axis=1) for s in range(sets)]) / math.sqrt(whole)
        found[k] = _of_pairs(each)
        left_out = np.array([_of_pairs(np.delete(each, s, axis=0)) for s in range(sets)])
        loose[k] = AGAIN * math.sqrt((sets - 1) / sets * float(((left_out - left_out.mean()) ** 2).sum()))
    return found, loose


def _of_pairs(each: Floats) -> float:
    """Mean over pairs of different repeats of their product, summed over the curves, (sets, degree)."""
    sets = each.shape[0]
    total = each.sum(axis=0)
    return float(((total**2).sum() - (each**2).sum()) / (sets * (sets - 1)))


def shares(model: Model, dice: Sequence[Die], count: int, seed: int, progress: Progress | None = None) -> Shares:
    """What part of each figure's spread each group of inputs brings.

    Two sets of throws; then, group by group, the first with that group's dice taken from the second. The model is run
    count times (groups + 2).

    Args:
        model: inputs (m, d) to figures (m, f).
        dice: (d).
        count: throws in each set; the next power of two is taken. [-]
        seed: of the throws. [-]
        progress: told how many runs are done, of how many.

    Returns:
        The shares of every figure.
    """
    groups = tuple(dict.fromkeys(die.group for die in dice))
    size = 2 ** max(3, math.ceil(math.log2(count)))
    both = throw(size, 2 * len(dice), seed + 1, 1)[0]
    first, second = both[:, : len(dice)], both[:, len(dice) :]
    mixed = []
    for group in groups:
        swapped = np.array([die.group == group for die in dice])
        mixed.append(np.where(swapped, second, first))
    ran = []
    for done, block in enumerate([first, second, *mixed], start=1):
        ran.append(model(values(dice, block)).T)
        if progress is not None:
            progress(done * size, (len(groups) + 2) * size)
    return _indices(groups, ran, size, seed)


def _indices(groups: tuple[str, ...], ran: list[Floats], size: int, seed: int) -> Shares:
    from scipy.stats import sobol_indices

    whole = np.array(ran)  # (groups + 2, figures, throws)
    there = np.isfinite(whole)
    figures = whole.shape[1]
    found = [np.full((figures, len(groups)), math.nan) for _ in range(4)]
    for f in range(figures):
        column, know = whole[:, f], there[:, f]
        if know.mean() < 0.98 or float(np.ptp(column[know])) <= 1e-9 * float(np.abs(column[know]).max()):
            continue
        filled = np.where(know, column, column[know].mean())[:, None, :]
        # A group that alters nothing at all has no share, and nothing to resample.
        live = [g for g in range(len(groups)) if not np.array_equal(filled[2 + g], filled[0])]
        for one in found:
            one[f] = 0.0
        table: dict[Literal["f_A", "f_B", "f_AB"], Floats] = {"f_A": filled[0], "f_B": filled[1], "f_AB": filled[2:][live]}
        answer = sobol_indices(func=table, n=size, rng=np.random.default_rng([seed, f]))
        again = answer.bootstrap(confidence_level=0.95, n_resamples=RESAMPLES)
        both = ((answer.first_order, again.first_order), (answer.total_order, again.total_order))
        for k, (value, told) in enumerate(both):
            found[2 * k][f, live] = np.ravel(value)
            between = told.confidence_interval
            found[2 * k + 1][f, live] = 0.5 * np.ravel(between.high - between.low)
    return Shares(groups, found[0], found[1], found[2], found[3], size * len(ran))


def narrowed(half: float, share: float, left: float) -> float:
    """Half a band after one input has been measured.

    Args:
        half: half the band now. [SI]
        share: of its spread that this input brings alone. [-]
        left: of the input's own spread that remains after measuring. [-]

    Returns:
        Half the band then. [SI]
    """
    return half * math.sqrt(max(0.0, 1.0 - min(max(share, 0.0), 1.0) * (1.0 - left**2)))
