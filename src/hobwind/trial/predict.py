"""What the sensors of a trial would read on a build: the evening computed from the measured plate, seen through each sensor.

An unknown is a number of the build, or of a sensor: how far it is off all evening and how late it answers. Unknowns are
counted in their own spreads, so that 0 is what was guessed before and 1 is one spread off.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from ..build import Build
from ..stack.curves import PlateCurve
from ..stack.evening import evening
from ..stack.fields import CELLS_AT, MOST_RISERS, Seen
from ..stack.prepare import Stack, prepare
from ..studies.odds_inputs import Input, inputs_that_matter, thrower
from ..units import Spread
from .channels import CHANNELS
from .measured import Floats, Measured, Points, began_warm, plate_curve, points

EVERY = 20.0  # s between kept states
TOLERANCE = 0.03  # K a step
STEP = 0.3  # spreads by which an unknown is moved to see what it does
REACH = 4.0  # spreads an unknown may stray
SETTLING = 1200.0  # s left out at the start of a log that begins on a warm stove
INPUT, LEVEL, LAG = "input", "level", "lag"


@dataclass(frozen=True)
class Unknown:
    """One unknown: what it is called, its kind, the channel or the input it belongs to, guess and spread (one s), bounds [SI]."""

    name: str
    kind: str
    of: str
    guess: float
    spread: float
    low: float
    high: float

    @property
    def reach(self) -> tuple[float, float]:
        """Between what it may lie, in its own spreads."""
        return (
            max(-REACH, (self.low - self.guess) / self.spread),
            min(REACH, (self.high - self.guess) / self.spread),
        )


@dataclass(frozen=True)
class Rig:
    """A build under trial: everything that turns unknowns into what the sensors would read; `base` is it as guessed."""

    build: Build
    base: Stack
    inputs: tuple[Input, ...]
    make: Callable[[list[float]], Build]
    curve: PlateCurve
    points: tuple[Points, ...]
    unknowns: tuple[Unknown, ...]

    @property
    def measured(self) -> Floats:
        """Every point's value, channel after channel. [SI]"""
        return np.concatenate([one.value for one in self.points])

    @property
    def noise(self) -> Floats:
        """Every point's noise. [SI]"""
        return np.concatenate([one.noise for one in self.points])

    def part(self, key: str) -> slice:
        """Where a channel's points stand."""
        at = 0
        for one in self.points:
            if one.key == key:
                return slice(at, at + one.time.size)
            at += one.time.size
        raise KeyError(key)


def sensors(keys: Sequence[str], doubt: Mapping[str, float]) -> list[Unknown]:
    """The unknowns of the sensors: the plate's, and those of the channels compared; `doubt` widens some. [SI]"""
    found = []
    for key in ("plate", *keys):
        one = CHANNELS[key]
        found.append(
            Unknown(f"{one.says}: meter off", LEVEL, key, 0.0, float(np.hypot(one.level, doubt.get(key, 0.0))), -np.inf, np.inf)
        )
        found.append(Unknown(f"{one.says}: sensor's lag", LAG, key, one.lag, one.lag_spread, 0.0, np.inf))
    return found


def of_build(inputs: Sequence[Input]) -> list[Unknown]:
    """The unknowns of the build."""
    return [Unknown(one.die.name, INPUT, one.key, one.die.spread.value, one.die.spread.sd, *_bounds(one)) for one in inputs]


def _bounds(one: Input) -> tuple[float, float]:
    spread = one.die.spread
    if spread.shape == "even":
        return max(one.die.low, spread.low), min(one.die.high, spread.high)
    return one.die.low, one.die.high


def rig(build: Build, trial: Measured, inputs: Sequence[Input] | None = None, stop: float | None = None) -> Rig:
    """Set a build under trial.

    Args:
        build: a checked build.
        trial: what was measured.
        inputs: of the build, that may be off; None: every one that matters.
        stop: compare up to here only; None: to the end. [s]

    Returns:
        The rig.

    Raises:
        InputError: nothing that could be compared was measured.
    """
    if trial.room is not None:
        room = replace(build.stove.room, value=trial.room, half=min(build.stove.room.half, 2.0))
        build = replace(build, stove=replace(build.stove, room=room))
    chosen = tuple(inputs_that_matter(build) if inputs is None else inputs)
    if trial.room is not None:
        chosen = tuple(
            replace(one, die=replace(one.die, spread=build.stove.room)) if one.key == "stove.room" else one for one in chosen
        )
    curve = plate_curve(trial, build.stove.room.value)
    start, last = trial.span
    if began_warm(trial, curve):
        start += SETTLING
    found = [
        points(trial, key, start, last if stop is None else stop) for key in CHANNELS if key != "plate" and key in trial.series
    ]
    found = [one for one in found if one.time.size > 0]
    return Rig(
        build, prepare(build), chosen, thrower(build, chosen), curve, tuple(found),
        (*of_build(chosen), *sensors([one.key for one in found], trial.doubt)),
    )  # fmt: skip


def nothing_off(one: Rig) -> Floats:
    """Every unknown as guessed."""
    return np.zeros(len(one.unknowns))


def _seen(one: Rig, x: Floats) -> tuple[Floats, Floats]:
    """Times and computed evening with the unknowns of build and plate at `x`."""
    count = len(one.inputs)
    values = [u.guess + u.spread * float(s) for u, s in zip(one.unknowns[:count], x[:count], strict=True)]
    made = one.make(values)
    stack, base = prepare(made), one.base
    cells = slice(CELLS_AT, CELLS_AT + MOST_RISERS)
    stack.q[cells] = base.q[cells]  # cut alike, so that results change smoothly
    level, lag = (one.unknowns[count + k].guess + one.unknowns[count + k].spread * float(x[count + k]) for k in (0, 1))
    curve = one.curve
    plate = curve.plate - level + max(lag, 0.0) * np.gradient(curve.plate, curve.time)
    found = evening(replace(stack, size=base.size), PlateCurve(curve.name, curve.time, plate), EVERY, tolerance=TOLERANCE)
    return found.time, found.seen


def _through_sensors(one: Rig, time: Floats, seen: Floats, x: Floats) -> Floats:
    """What the sensors read of a computed evening, point by point."""
    from scipy.signal import lfilter

    at, read = len(one.inputs) + 2, []
    for points_ in one.points:
        channel = CHANNELS[points_.key]
        off, lag = (one.unknowns[at + k].guess + one.unknowns[at + k].spread * float(x[at + k]) for k in (0, 1))
        at += 2
        true = np.nan_to_num(seen[:, channel.seen])
        if lag > 0.1:
            # A first-order sensor on straight lines between kept states, exact.
            keep = np.exp(-EVERY / lag)
            late = lag / EVERY * (1.0 - keep)
            drive = np.concatenate([[true[0] * (1.0 - keep)], true[1:] * (1.0 - late) + true[:-1] * (late - keep)])
            true = lfilter([1.0], [1.0, -keep], drive, zi=[keep * true[0]])[0]
        value = np.interp(points_.time, time, true)
        read.append(value * (1.0 + off) if channel.shares else value + off)
    return np.concatenate(read) if read else np.empty(0)


def predict(one: Rig, x: Floats) -> Floats:
    """What the sensors would read.

    Args:
        one: build and trial.
        x: unknowns, in their own spreads, (unknowns).

    Returns:
        Readings, channel after channel. [SI]
    """
    return _through_sensors(one, *_seen(one, x), x)


def _moved(one: Rig, time: Floats, seen: Floats, moves: Sequence[tuple[int, Floats]]) -> list[Floats]:
    """What the sensors would read with one unknown moved, for each move; evenings side by side, since their kernels let threads go on."""
    inner = len(one.inputs) + 2  # from here on sensors, which need no new evening

    def read(move: tuple[int, Floats]) -> Floats:
        k, x = move
        return predict(one, x) if k < inner else _through_sensors(one, time, seen, x)

    if sum(k < inner for k, _ in moves) < 4:
        return [read(move) for move in moves]
    with ThreadPoolExecutor(os.cpu_count()) as threads:
        return list(threads.map(read, moves))


def slopes(one: Rig, x: Floats, which: Sequence[int] | None = None) -> tuple[Floats, Floats]:
    """What the sensors would read, and by how much for each spread of each unknown.

    Args:
        one: build and trial.
        x: unknowns, in their own spreads.
        which: unknowns looked at; None: all.

    Returns:
        Readings (points), and slopes (points, looked at). [SI]
    """
    time, seen = _seen(one, x)
    base = _through_sensors(one, time, seen, x)
    chosen = range(len(one.unknowns)) if which is None else which
    moves, steps = [], []
    for k in chosen:
        low, high = one.unknowns[k].reach
        step = STEP if x[k] + STEP <= high else -STEP
        if not low <= x[k] + step <= high:
            step = 0.5 * (high - low)
        moved = x.copy()
        moved[k] += step
        moves.append((k, moved))
        steps.append(step)
    found = np.empty((base.size, len(chosen)))
    for column, (read, step) in enumerate(zip(_moved(one, time, seen, moves), steps, strict=True)):
        found[:, column] = (read - base) / step
    return base, found


def calm_slopes(one: Rig, x: Floats, left: Floats) -> Floats:
    """Slopes that no start, stop or lift between two looks can make steep: the lesser of those to both sides.

    Args:
        one: build and trial.
        x: unknowns, in their own spreads.
        left: spread that each has left, in its own spreads before.

    Returns:
        Slopes, (points, unknowns), nought where the two sides disagree. [SI]
    """
    time, seen = _seen(one, x)
    base = _through_sensors(one, time, seen, x)
    moves = []
    for k, unknown in enumerate(one.unknowns):
        low, high = unknown.reach
        for sign in (-1.0, 1.0):
            step = sign * max(0.6 * float(left[k]), 0.03)
            moved = x.copy()
            moved[k] = min(max(x[k] + step, low), high)
            if abs(moved[k] - x[k]) >= 0.3 * abs(step):
                moves.append((k, moved))
    to_sides: dict[int, list[Floats]] = {}
    for (k, moved), read in zip(moves, _moved(one, time, seen, moves), strict=True):
        to_sides.setdefault(k, []).append((read - base) / (moved[k] - x[k]))
    found = np.zeros((base.size, x.size))
    for k, sides in to_sides.items():
        if len(sides) == 1:
            found[:, k] = sides[0]
        else:
            least = np.minimum(np.abs(sides[0]), np.abs(sides[1]))
            found[:, k] = np.where(sides[0] * sides[1] > 0.0, np.sign(sides[0]) * least, 0.0)
    return found


def spread_of(unknown: Unknown, x: float, sd: float) -> Spread:
    """An unknown's value and spread in SI, from its own spreads."""
    return Spread(unknown.guess + unknown.spread * x, 2.0 * unknown.spread * sd, "normal")


def seen_evening(one: Rig, x: Floats) -> tuple[Floats, Floats]:
    """Times [s] and the computed evening, (time, Seen) [SI], without the sensors; no reading where none was kept."""
    time, seen = _seen(one, x)
    return time, np.where(np.isfinite(seen), seen, np.nan)


__all__ = [
    "INPUT",
    "LAG",
    "LEVEL",
    "Rig",
    "Seen",
    "Unknown",
    "calm_slopes",
    "nothing_off",
    "predict",
    "rig",
    "seen_evening",
    "slopes",
    "spread_of",
]
