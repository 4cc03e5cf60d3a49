"""Several loggers of one evening joined: by how much the second's clock is off, found by sliding one curve along the other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..errors import InputError
from .logs import Log
from .measured import Floats, Series

EVERY = 15.0  # s; grid on which curves are slid
CALM = 60.0  # s to either side of which a mean is taken
FINE = 1.0  # s; grid on which the best is sharpened
OVERLAP = 0.5  # of the shorter curve, at least
AGREES = 0.9  # below it the offset is doubtful


@dataclass(frozen=True)
class Offset:
    """Seconds added to the second log's times, how well the curves then go together (1 is fully), and by which channel.

    `how` says by what it was found: the channel's name, "as given", "as kept" or "by the clocks".
    """

    seconds: float
    agrees: float
    how: str

    @property
    def doubtful(self) -> bool:
        """Whether it should be looked at."""
        return self.agrees < AGREES


def slide(first: Series, second: Series) -> Offset:
    """Find the offset at which two curves of the same thing go together best.

    Args:
        first: the curve whose times stay. [s, SI]
        second: the curve to be slid. [s, SI]

    Returns:
        The offset; agreement -1 where the curves do not overlap enough at any.
    """
    start, stop = float(first.time[0]), float(first.time[-1])
    begin, end = float(second.time[0]), float(second.time[-1])
    least = OVERLAP * min(stop - start, end - begin)
    offsets = np.arange(start - end + least, stop - begin - least + EVERY, EVERY)
    scores = np.array([_agreement(first, second, off, least, EVERY) for off in offsets])
    if scores.size == 0 or not np.isfinite(scores.max()):
        return Offset(0.0, -1.0, "")
    best = float(offsets[int(scores.argmax())])
    near = np.arange(best - EVERY, best + EVERY + FINE, FINE)
    close = np.array([_agreement(first, second, off, least, EVERY) for off in near])
    return Offset(float(near[int(close.argmax())]), float(close.max()), "")


def _agreement(first: Series, second: Series, off: float, least: float, every: float) -> float:
    """How well two curves go together where they overlap, values and rates of change alike."""
    low = max(float(first.time[0]), float(second.time[0]) + off)
    high = min(float(first.time[-1]), float(second.time[-1]) + off)
    if high - low < least or high - low < 10.0 * every:
        return -np.inf
    at = np.arange(low, high, every)
    a, b = _calm(first, at), _calm(second, at - off)
    wide = 8
    rates = [one[wide:] - one[:-wide] for one in (a, b)]
    return 0.5 * (_together(a, b) + _together(*rates))


def _calm(series: Series, at: Floats) -> Floats:
    """A curve's means about some times. Straight lines between noisy readings would be calmer at some offsets than at others."""
    steps = np.diff(series.time) * 0.5 * (series.value[1:] + series.value[:-1])
    whole = np.concatenate([[0.0], np.cumsum(steps)])
    low, high = (np.clip(at + side, series.time[0], series.time[-1]) for side in (-CALM, CALM))
    area = np.interp(high, series.time, whole) - np.interp(low, series.time, whole)
    return np.asarray(area / (high - low))


def _together(a: Floats, b: Floats) -> float:
    a, b = a - a.mean(), b - b.mean()
    size = float(np.sqrt((a @ a) * (b @ b)))
    return float(a @ b) / size if size > 0.0 else -1.0


def by_clocks(first: Log, second: Log) -> float | None:
    """The offset that both logs' own clocks give; None where one has none, or they are of different days. [s]"""
    if not (first.has_clock and second.has_clock and bool(first.date) == bool(second.date)):
        return None
    between = second.began - first.began
    return between if abs(between) < 86400.0 else None


def joined(first: dict[str, Series], second: Log, off: float) -> dict[str, Series]:
    """The first's channels and what the second has besides, on the first's times.

    Raises:
        InputError: the second adds nothing.
    """
    more = {key: Series(one.time + off, one.value) for key, one in second.series.items() if key not in first}
    if not more:
        raise InputError(f"{second.name}: has no channel that the first log lacks; name its columns with --column")
    return {**first, **more}
