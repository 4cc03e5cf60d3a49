"""By which sign somebody beside the stove could tell that something is wrong, and when, against the evening as it ought to be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..build import Build
from ..stack.evening import Evening
from ..stack.fields import Seen
from .at_modules import neighbours

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
SLOWER = 0.8  # of the usual speed at that moment; less than a fifth slower nobody sees
CLEAR = 0.3e-3  # m; a lift that can be seen
LASTS = 120.0  # s; how long it must last to be noticed


@dataclass(frozen=True)
class Sign:
    """One sign: in words, when it has lasted long enough to be noticed [s]."""

    says: str
    time: float


def _slower(usual: Floats, now: Floats, blade: float) -> Bools:
    return (usual[:, Seen.speed] > 0.0) & (blade * now[:, Seen.speed] < SLOWER * usual[:, Seen.speed])


def _not_up(usual: Floats, now: Floats, blade: float) -> Bools:
    return (usual[:, Seen.lift] > CLEAR) & (now[:, Seen.lift] < 0.5 * usual[:, Seen.lift])


def _not_down(usual: Floats, now: Floats, blade: float) -> Bools:
    return (now[:, Seen.lift] > CLEAR) & (usual[:, Seen.lift] <= 0.0)


SIGNS: tuple[tuple[str, Callable[[Floats, Floats, float], Bools]], ...] = (
    ("blade slower than usual", _slower),
    ("fan not up", _not_up),
    ("fan not down", _not_down),
)


def signs(usual: Evening, now: Evening, blade: float) -> tuple[Sign, ...]:
    """Signs of a fault, the earliest first.

    Args:
        usual: the evening with nothing wrong.
        now: the same evening with the fault, kept at the same times.
        blade: speed of the blade over that of the motor. [-]

    Returns:
        Signs that lasted long enough to be noticed.
    """
    count = min(usual.time.size, now.time.size)
    every = usual.time[1] - usual.time[0]
    wanted = int(np.ceil(LASTS / every))
    found = []
    for says, test in SIGNS:
        shows = test(usual.seen[:count], now.seen[:count], blade).astype(np.int64)
        run = np.convolve(shows, np.ones(wanted, np.int64))[:count]  # how many of the last `wanted` moments show it
        first = np.flatnonzero(run == wanted)
        if first.size:
            found.append(Sign(says, float(usual.time[first[0]])))
    return tuple(sorted(found, key=lambda sign: sign.time))


def limit_at(build: Build, ran: Evening) -> float | None:
    """When the first part passes its limit, s, by straight line between kept moments; None when none does."""
    seen = ran.seen
    left = [
        seen[:, Seen.margin],
        min(use.part.cold_limit.value for use in build.modules) - seen[:, Seen.cold_face],
        build.motor.part.limit.value - seen[:, Seen.motor],
        *(one.limit - seen[:, one.seen] for one in neighbours(build)),
    ]
    if build.guard.element is not None:
        left.append(build.guard.element.bursts.value - seen[:, Seen.element])
    margin = np.min(left, axis=0)
    past = np.flatnonzero(margin < 0.0)
    if not past.size:
        return None
    i = int(past[0])
    if i == 0:
        return float(ran.time[0])
    share = margin[i - 1] / (margin[i - 1] - margin[i])
    return float(ran.time[i - 1] + share * (ran.time[i] - ran.time[i - 1]))
