"""Guesses held against readings, whatever the model: a bounded, robust best fit, and how wide what is left stands.

Unknowns are counted in their own spreads: 0 is what was guessed before, 1 is one spread off. Readings that lie far off count
less and less; guesses count in full. Where neighbours' differences hang together, spreads are widened by as much.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from ..errors import InputError

Floats = NDArray[np.float64]
Tell = Callable[[float, str], None]  # share done 0..1, what is being done

ROBUST = 3.0  # points further off than so many spreads count less and less
MOST_LOOKS = 30
NEIGHBOURS = 8  # points of a run below which nothing is asked of their neighbours
SLACK = 1e-9  # spreads by which a bound may be passed in rounding


class Readings(Protocol):
    """What is measured, and what a model would read with its unknowns at `x`."""

    @property
    def measured(self) -> Floats:
        """Every point, (points). [SI]"""

    @property
    def noise(self) -> Floats:
        """Spread of each point, (points). [SI]"""

    @property
    def reaches(self) -> Floats:
        """Between what each unknown may lie, in its own spreads, (unknowns, 2)."""

    @property
    def runs(self) -> Sequence[slice]:
        """Points that follow one another in time, channel after channel."""

    def read(self, x: Floats) -> Floats:
        """What would be read, (points). [SI]"""

    def slopes(self, x: Floats) -> tuple[Floats, Floats]:
        """What would be read, and by how much more for each spread of each unknown, (points, unknowns). [SI]"""

    def calm_slopes(self, x: Floats, left: Floats) -> Floats:
        """Slopes over what is left of each spread, that no jump of the model makes steep, (points, unknowns). [SI]"""


@dataclass(frozen=True)
class Corrected:
    """Where the unknowns stand (own spreads) and how they spread (unknowns, unknowns).

    `before` and `after` are the usual difference in units of each point's noise; `grown` is by how much spreads were widened
    because differences hang together over time; `settled` whether the search came to its end.
    """

    x: Floats
    spread: Floats
    before: float
    after: float
    grown: float
    settled: bool


def weights(miss: Floats) -> Floats:
    """How much each point counts, by its difference in spreads."""
    return 1.0 / np.sqrt(1.0 + (miss / ROBUST) ** 2)


def loss(points: int) -> Callable[[Floats], Floats]:
    """Robust for points, plain for guesses: the three rows that scipy asks for."""

    def rows(z: Floats) -> Floats:
        rho = np.empty((3, z.size))
        rho[0], rho[1], rho[2] = z, 1.0, 0.0
        far = z[:points] / ROBUST**2
        root = np.sqrt(1.0 + far)
        rho[0, :points] = 2.0 * ROBUST**2 * (root - 1.0)
        rho[1, :points] = 1.0 / root
        rho[2, :points] = -0.5 / root**3 / ROBUST**2
        return rho

    return rows


def widened(scaled: Floats) -> Floats:
    """How unknowns spread, guesses and points taken together; `scaled` are slopes over noise, (points, unknowns)."""
    return np.asarray(np.linalg.inv(scaled.T @ scaled + np.eye(scaled.shape[1])))


def hanging_together(runs: Sequence[slice], miss: Floats) -> float:
    """By how much neighbours' differences hang together: the number of points that are worth one, at least 1."""
    total, count = 0.0, 0
    for run in runs:
        part = miss[run]
        if part.size < NEIGHBOURS:
            continue
        size = float((part**2).mean())
        together = float((part[1:] * part[:-1]).mean()) / size if size > 0.0 else 0.0
        together = min(max(together, 0.0), 0.95)
        total += part.size * max(size, 1.0) * (1.0 + together) / (1.0 - together)
        count += part.size
    return max(1.0, total / count) if count else 1.0


def correct(one: Readings, known: tuple[Floats, Floats] | None = None, tell: Tell | None = None) -> Corrected:
    """Move the unknowns to where readings and guesses agree best.

    Args:
        one: readings and their model.
        known: what is read, and the slopes, with nothing off; None: not known yet. [SI]
        tell: told how far it is; may raise to stop.

    Returns:
        Where they stand, and how they spread.

    Source: least squares with spreads of the guesses as further rows, after the usual rule for both; soft loss as in scipy.
    """
    from scipy.optimize import least_squares

    measured, noise, reaches = one.measured, one.noise, one.reaches
    start = np.zeros(len(reaches))
    base, slope = one.slopes(start) if known is None else known
    ready: dict[bytes, tuple[Floats, Floats]] = {start.tobytes(): (base, slope)}
    looks = 0

    def differences(x: Floats) -> Floats:
        nonlocal looks
        if tell is not None:
            tell(0.85 * min(looks / MOST_LOOKS, 1.0), f"look {looks + 1} of at most {MOST_LOOKS}")
        looks += 1
        seen = ready.get(x.tobytes())
        return np.concatenate([((one.read(x) if seen is None else seen[0]) - measured) / noise, x])

    def by(x: Floats) -> Floats:
        if x.tobytes() not in ready:
            ready.clear()
            ready[x.tobytes()] = one.slopes(x)
        return np.vstack([ready[x.tobytes()][1] / noise[:, None], np.eye(x.size)])

    solved = least_squares(
        differences, start, by, bounds=(reaches[:, 0] - SLACK, reaches[:, 1] + SLACK), loss=loss(measured.size),
        max_nfev=MOST_LOOKS, ftol=1e-4, xtol=1e-5, gtol=1e-6,
    )  # fmt: skip
    if tell is not None:
        tell(0.9, "how wide what is left stands")
    x = np.asarray(solved.x)
    read, slope = ready[x.tobytes()] if x.tobytes() in ready else one.slopes(x)
    miss = (read - measured) / noise
    grown = hanging_together(one.runs, np.clip(miss, -ROBUST, ROBUST))
    share = np.sqrt(weights(miss) / grown)[:, None] / noise[:, None]
    spread = widened(slope * share)
    spread = widened(one.calm_slopes(x, np.sqrt(np.diag(spread))) * share)
    usual = [float(np.sqrt(np.mean(np.square(m)))) for m in ((base - measured) / noise, miss)]
    return Corrected(x, spread, usual[0], usual[1], float(np.sqrt(grown)), bool(solved.status > 0))


def going_together(spread: Floats) -> Floats:
    """How closely each pair of unknowns goes together, 0 to 1, noughts where a pair is one unknown, (unknowns, unknowns)."""
    left = np.sqrt(np.diag(spread))
    close: Floats = np.abs(spread / np.outer(left, left))
    np.fill_diagonal(close, 0.0)
    return close


@dataclass(frozen=True)
class Walked:
    """What many walks through everything that fits found: mean, spread, 19-in-20 ends of each unknown (own spreads), steps.

    `settled` says whether the walks were long enough for what they met to be forgotten fifty times over.
    """

    x: Floats
    spread: Floats
    ends: Floats
    steps: int
    settled: bool


def walk(one: Readings, done: Corrected, steps: int, seed: int = 1, tell: Tell | None = None) -> Walked:
    """Walk through all corrections that fit about as well, where a spread taken at the best one alone may mislead.

    Args:
        one: readings and their model.
        done: the best fit, from which the walks begin.
        steps: of each walk; the first third is forgotten.
        seed: of the dice.
        tell: told how far it is; may raise to stop.

    Returns:
        What the walks met.

    Raises:
        InputError: the package that walks is not installed.

    Source: foreman-mackey-2013 (ensemble sampler); differences of pairs as steps, ter-braak-2006.
    """
    try:
        import emcee
    except ImportError as error:
        raise InputError(
            'walking wants the package "emcee"; install it with: pip install "hobwind[walks]", or leave --walk out'
        ) from error

    size, reaches = done.x.size, one.reaches
    measured, noise, rows = one.measured, one.noise * done.grown, loss(one.measured.size)

    def credit(x: Floats) -> float:
        if np.any(x < reaches[:, 0] - SLACK) or np.any(x > reaches[:, 1] + SLACK):
            return -np.inf
        miss = np.concatenate([(one.read(x) - measured) / noise, x])
        total = float(rows(miss**2)[0].sum())
        return -0.5 * total if np.isfinite(total) else -np.inf

    draw = np.random.default_rng(seed)
    walkers = 2 * size + 2
    begin = draw.multivariate_normal(done.x, done.spread, walkers, method="cholesky")
    # Thrown beyond a reach a walk begins as far within it: one that begins at the very edge, as others do, finds no step to leave it by.
    begin = np.where(begin > reaches[:, 1], 2.0 * reaches[:, 1] - begin, begin)
    begin = np.clip(np.where(begin < reaches[:, 0], 2.0 * reaches[:, 0] - begin, begin), reaches[:, 0], reaches[:, 1])
    moves: Any = [(emcee.moves.DEMove(), 0.8), (emcee.moves.DESnookerMove(), 0.2)]
    sampler = emcee.EnsembleSampler(walkers, size, credit, moves=moves)
    sampler.random_state = np.random.RandomState(seed).get_state()
    for k, _ in enumerate(sampler.sample(begin, iterations=steps, skip_initial_state_check=True)):
        if tell is not None:
            tell((k + 1) / steps, f"step {k + 1} of {steps}, {walkers} walks")
    met = sampler.get_chain(discard=steps // 3, flat=True)
    # A walk that never moved remembers for ever.
    moved = bool(np.all(np.ptp(sampler.get_chain(), axis=0) > 0.0))
    memory = float(np.max(sampler.get_autocorr_time(tol=0))) if moved else np.inf
    return Walked(
        met.mean(axis=0), np.atleast_2d(np.cov(met.T)), np.quantile(met, (0.025, 0.975), axis=0).T, steps,
        bool(steps > 50.0 * memory),
    )  # fmt: skip
