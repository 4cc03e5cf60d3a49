"""Measured less predicted: for each channel how far, from when on, and what it looks like."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .channels import CHANNELS
from .measured import Floats
from .predict import Rig, nothing_off, predict, slopes

CLEARLY = 1.96  # half bands beyond which a difference is clear
THROWS, SEED, EDGES = 128, 1, (0.025, 0.975)
RUN = 5  # points in a row that make a difference one that lasts


@dataclass(frozen=True)
class Difference:
    """One channel: usual difference and its mean where it lasts [SI], from when [s], points in the band, of how many.

    `mean` is measured less predicted over the time it lasts (over all where it does not).
    """

    key: str
    usual: float
    mean: float
    since: float | None
    inside: int
    count: int


@dataclass(frozen=True)
class Compared:
    """A trial beside its prediction: readings predicted, ends of their 19-in-20 band [SI], slopes, and the differences."""

    rig: Rig
    predicted: Floats
    low: Floats
    high: Floats
    slope: Floats
    differences: tuple[Difference, ...]


def compare(one: Rig, x: Floats | None = None, spread: Floats | None = None) -> Compared:
    """Set a trial beside what the build predicts.

    Args:
        one: build and trial.
        x: unknowns, in their own spreads; None: as guessed.
        spread: how they spread; None: each by its own spread.

    Returns:
        Prediction, band and differences of each channel.
    """
    at = nothing_off(one) if x is None else x
    read, slope = slopes(one, at)
    if spread is None:
        spread = np.eye(len(one.unknowns))
    low, high = _band(one, at, spread)
    quick = np.hypot(one.noise, _own_level(one))
    found = []
    for points in one.points:
        part = one.part(points.key)
        miss = points.value - read[part]
        far = np.abs(miss) > CLEARLY * quick[part]
        since = _lasting(far, points.time, miss)
        over = miss if since is None else miss[points.time >= since]
        found.append(
            Difference(
                points.key,
                float(np.sqrt(np.mean(miss**2))),
                float(np.median(over)),
                since,
                int(((points.value >= low[part]) & (points.value <= high[part])).sum()),
                miss.size,
            )  # fmt: skip
        )
    return Compared(one, read, low, high, slope, tuple(found))


def _band(one: Rig, x: Floats, spread: Floats) -> tuple[Floats, Floats]:
    """Between what 19 in 20 readings lie when all unknowns are thrown together and every point has its noise. [SI]"""
    draw = np.random.default_rng(SEED)
    reach = np.array([u.reach for u in one.unknowns])
    thrown = np.clip(draw.multivariate_normal(x, spread, THROWS, method="cholesky"), reach[:, 0], reach[:, 1])
    reads = np.array([predict(one, row) for row in thrown])
    reads += one.noise * draw.standard_normal(reads.shape)
    low, high = np.quantile(reads, EDGES, axis=0)
    return low, high


def _own_level(one: Rig) -> Floats:
    """What each point's meter alone may be off. [SI]"""
    rows = []
    for points in one.points:
        level = next(u.spread for u in one.unknowns if u.of == points.key and u.kind == "level")
        rows.append(level * (np.abs(points.value) if CHANNELS[points.key].shares else np.ones(points.value.size)))
    return np.concatenate(rows)


def _lasting(far: np.ndarray, time: Floats, miss: Floats) -> float | None:
    """Since when a difference lasts, to one side; None where it does not."""
    run = 0
    for i, clear in enumerate(far):
        same = clear and (run == 0 or np.sign(miss[i]) == np.sign(miss[i - 1]))
        run = run + 1 if same else int(clear)
        if run >= RUN:
            return float(time[i - run + 1])
    return None


def band_of(compared: Compared, key: str) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Times, measured, predicted, and both ends of the band of one channel. [s, SI]"""
    points = next(one for one in compared.rig.points if one.key == key)
    part = compared.rig.part(key)
    return points.time, points.value, compared.predicted[part], compared.low[part], compared.high[part]
