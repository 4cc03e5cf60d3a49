"""A trial as it was measured, and what is compared of it: readings gathered minute by minute, the plate as straight lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ..errors import InputError
from ..stack.curves import PlateCurve
from .channels import CHANNELS

Floats = NDArray[np.float64]
GATHERED = 60.0  # s; readings within it are one point
MOST_POINTS = 180  # of one channel
CORNERS = 120  # of the plate's curve, at most
LEAD_IN = 1800.0  # s; a log that begins on a warm stove is preceded by a straight warming up
WARM = 20.0  # K above the room that count as warm
SPARSE = 45.0  # s between readings from which on they count as typed
MAD = 1.4826  # median of sizes to spread


@dataclass(frozen=True)
class Series:
    """One channel's readings: times [s] and values [SI], both (n,)."""

    time: Floats
    value: Floats


@dataclass(frozen=True)
class Note:
    """A few words written down at a time [s]."""

    time: float
    text: str


@dataclass(frozen=True)
class Measured:
    """One trial: its channels, notes, room [K] where measured, and what it was read from (name, date, digest).

    `doubt` widens what a channel's meter may be off (one s), as an infrared reading does. [SI]
    """

    name: str
    series: Mapping[str, Series]
    notes: tuple[Note, ...] = ()
    room: float | None = None
    date: str = ""
    digest: str = ""
    doubt: Mapping[str, float] = field(default_factory=dict)

    @property
    def span(self) -> tuple[float, float]:
        """First and last time of the plate's readings, s."""
        plate = self.series["plate"].time
        return float(plate[0]), float(plate[-1])


@dataclass(frozen=True)
class Points:
    """What is compared of one channel: times [s], values and their noise [SI], all (n,)."""

    key: str
    time: Floats
    value: Floats
    noise: Floats


def noise_of(series: Series, key: str) -> float:
    """Spread of single readings of one channel, from how neighbours differ. [SI]"""
    channel = CHANNELS[key]
    if series.time.size < 8 or float(np.median(np.diff(series.time))) >= SPARSE:
        return channel.typed
    second = np.abs(np.diff(series.value, 2))
    found = MAD * float(np.median(second)) / np.sqrt(6.0)
    if found == 0.0:  # a meter of few digits stands still most of the time
        found = float(np.sqrt(np.mean(second**2) / 6.0))
    return float(found)


def points(trial: Measured, key: str, start: float, stop: float) -> Points:
    """Gather one channel's readings between two times into points.

    Args:
        trial: what was measured.
        key: of the channel.
        start, stop: between which times. [s]

    Returns:
        The points; several readings within a minute are one, a gap has none.
    """
    series, channel = trial.series[key], CHANNELS[key]
    noise = noise_of(series, key)
    inside = (series.time >= start) & (series.time <= stop)
    time, value = series.time[inside], series.value[inside]
    wide = max(GATHERED, (stop - start) / MOST_POINTS)
    which = np.floor((time - start) / wide).astype(np.int64)
    _, bins, count = np.unique(which, return_inverse=True, return_counts=True)
    middle = np.bincount(bins, time) / count
    mean = np.bincount(bins, value) / count
    floor = channel.rough if not channel.shares else np.maximum(channel.rough, 0.005 * np.abs(mean))
    doubt = np.hypot(noise / np.sqrt(count), floor)
    if channel.shares or channel.dimension == "length":  # what jumps is a matter of seconds, which no model tells
        jump = np.abs(np.diff(mean, prepend=mean[:1], append=mean[-1:]))
        doubt = np.hypot(doubt, 0.5 * np.maximum(jump[1:], jump[:-1]))
    return Points(key, middle, mean, doubt)


def plate_curve(trial: Measured, room: float) -> PlateCurve:
    """The measured plate as straight lines between corners, so smoothed that noise does not look like fire.

    Args:
        trial: what was measured; the plate is among it.
        room: of the build. [K]

    Returns:
        The curve, from rest: where the log begins warm, a straight warming up stands before it. [s, K]

    Raises:
        InputError: there is no plate, or too little of it.
    """
    if "plate" not in trial.series:
        raise InputError(f'{trial.name}: has no stove plate; name its column, such as --column "T1=plate"')
    series = trial.series["plate"]
    start, stop = trial.span
    if series.time.size < 5 or stop - start < 600.0:
        raise InputError(
            f"{trial.name}: has {series.time.size} plate readings over {(stop - start) / 60:.0f} min; 5 over 10 wanted"
        )
    apart = max(GATHERED, (stop - start) / CORNERS, float(np.median(np.diff(series.time))))
    corners = np.linspace(start, stop, max(int(round((stop - start) / apart)), 2) + 1)
    plate = _straight_lines(series, corners)
    if plate[0] > room + WARM:
        corners, plate = np.concatenate([[start - LEAD_IN], corners]), np.concatenate([[room], plate])
    return PlateCurve(trial.name, corners, plate)


def _straight_lines(series: Series, corners: Floats) -> Floats:
    """Heights of the corners that fit the readings best; where there are none, as straight as can be."""
    from scipy.linalg import solveh_banded

    step = float(corners[1] - corners[0])
    at = np.clip((series.time - corners[0]) / step, 0.0, corners.size - 1.0)
    low = np.minimum(at.astype(np.int64), corners.size - 2)
    right = at - low
    left = 1.0 - right
    n = corners.size
    middle = np.bincount(low, left * left, n) + np.bincount(low + 1, right * right, n)
    beside = np.bincount(low, left * right, n)
    wanted = np.bincount(low, left * series.value, n) + np.bincount(low + 1, right * series.value, n)
    stiff = 0.02 * max(series.time.size / n, 1.0)
    bands = np.zeros((3, n))  # upper form: second, first, own diagonal
    bands[2], bands[1, 1:] = middle, beside[:-1]
    for k in range(n - 2):  # a little stiffness, so that corners without readings have a height
        for i, a in enumerate((1.0, -2.0, 1.0)):
            for j, b in enumerate((1.0, -2.0, 1.0)):
                if j >= i:
                    bands[2 - (j - i), k + j] += stiff * a * b
    return np.asarray(solveh_banded(bands, wanted))


def began_warm(trial: Measured, curve: PlateCurve) -> bool:
    """Whether a warming up had to be put before the log."""
    return float(curve.time[0]) < trial.span[0] - 1.0
