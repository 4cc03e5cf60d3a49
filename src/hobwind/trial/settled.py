"""Looks at a found fan out of the log of a real fire: stretches near enough to rest, and what each would read at rest.

A stove is never quite steady, and a kilogram of metal is late by half an hour. So the reduced build's own evening is run
along the measured plate; how far it lags behind its own settled state says how far the real readings lag behind theirs.
Where that is little, a stretch is taken, its readings are moved by it, and a quarter of it is added to what they may be off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..build import Build
from ..build.retrofit_file import Sighting
from ..stack.evening import evening
from ..stack.fields import Seen
from ..stack.prepare import prepare
from ..studies.retrofit_tuning import as_seen, at_rest
from ..units import NORMAL, Spread
from .channels import CHANNELS
from .measured import Floats, Measured, began_warm, noise_of, plate_curve
from .predict import EVERY, SETTLING
from .shown import TURNING, noted_turning

WINDOW = 600.0  # s; a stretch
MOST_LATE = 12.0  # K; a stretch where base, top or sink lag further behind rest is not taken
UNSURE = 0.25  # of the lag: how well the rules know mass and heat path, once tuned
WARM = 40.0  # K above the room; below that a reading tells nothing
APART = 15.0  # K between the plates of two stretches of one log
MOST = 4  # stretches of one log
PLATES = 24  # of the settled map
AGREE, COLD = 3.0, 8.0  # K; first readings nearer than that are the room's, where the plate is cold within the other
FIRST = 180.0  # s from the log's beginning in which they are looked for
PLACES = {"base": "base", "riser": "top", "sink": "sink"}  # channel, and its name in a file of outside measurements
SLOW = (Seen.foot, Seen.riser_top, Seen.sink)


@dataclass(frozen=True)
class Told:
    """One reading of a stretch: its place, as read, as it would be at rest, and what that may be off (two s). [K or rad/s]"""

    place: str
    read: float
    settled: float
    half: float


@dataclass(frozen=True)
class Stretch:
    """One stretch of a log that was taken: from when to when [s], plate [K], how fast that moves [K/s], lag [K], readings."""

    start: float
    stop: float
    plate: float
    slope: float
    late: float
    turns: bool
    told: tuple[Told, ...]
    sighting: Sighting


@dataclass(frozen=True)
class Logged:
    """One log: room [K] and how it is known, what was taken, and the lag of every kept moment (time [s], plate [K], lag [K]).

    `late` is nan where the blade was not as the build has it, or the log had only begun.
    """

    measured: Measured
    room: float | None
    room_from: str
    turning_from: str
    stretches: tuple[Stretch, ...]
    time: Floats
    plate: Floats
    late: Floats


def room_of(trial: Measured) -> tuple[float | None, str]:
    """The room of a log, and how it is known.

    Args:
        trial: what was measured.

    Returns:
        The room, None where the log does not tell it [K], and the reason in words.
    """
    if trial.room is not None:
        return trial.room, "measured"
    first = {
        key: float(one.value[one.time <= one.time[0] + FIRST].mean())
        for key, one in trial.series.items()
        if CHANNELS[key].dimension == "temperature"
    }
    plate = first.pop("plate", np.inf)
    warm = list(first.values())
    if len(warm) > 1 and max(warm) - min(warm) <= AGREE and abs(plate - float(np.mean(warm))) <= COLD:
        return float(np.mean(warm)), "all thermometers agreed before the fire was lit"
    return None, "not in the log: the file's"


def _turning(trial: Measured, time: Floats) -> tuple[np.ndarray, str]:
    """Whether the blade turned at each time, and how that is known."""
    speed = trial.series.get("speed")
    if speed is not None:
        last = np.clip(np.searchsorted(speed.time, time, "right") - 1, 0, None)
        return np.asarray(speed.value[last] > TURNING), "its speed is in the log"
    noted = noted_turning(trial)
    if noted is None:
        return np.zeros(time.size, bool), "neither speed nor a note of it in the log: taken as standing"
    return (time >= noted[0]) & (time < noted[1]), "a note in the log"


@dataclass(frozen=True)
class _Ran:
    """The reduced build along one log: kept times, its settled and its own state there (time, Seen), and which moments count."""

    time: Floats
    rest: Floats
    own: Floats
    late: Floats


def _run(build: Build, trial: Measured) -> _Ran:
    """Run the build along a log."""
    curve = plate_curve(trial, build.stove.room.value)
    ran = evening(prepare(build), curve, EVERY)
    moving = _turning(trial, ran.time)[0]
    plates = np.linspace(
        build.stove.room.value, max(float(ran.seen[:, Seen.plate].max()), build.stove.room.value + WARM), PLATES
    )
    table = at_rest(build, plates, bool(moving.any()))
    rest = np.array([np.interp(ran.seen[:, Seen.plate], plates, table[:, k]) for k in range(table.shape[1])]).T
    late = np.abs(rest[:, SLOW] - ran.seen[:, SLOW]).max(axis=1)
    alike = np.ones(ran.time.size, bool)
    if moving.any():  # a motor about to start lets current through: only moments that turn, here and in the build
        alike = moving & (ran.seen[:, Seen.spin] > 0.5) & (rest[:, Seen.spin] > 0.999)
    begun = trial.span[0] + (SETTLING if began_warm(trial, curve) else 0.0)
    late[~alike | (ran.time < begun) | (ran.seen[:, Seen.plate] < build.stove.room.value + WARM)] = np.nan
    return _Ran(ran.time, rest, ran.seen, late)


def log_of(build: Build, trial: Measured) -> Logged:
    """Find the stretches of a log that are near enough to rest.

    Args:
        build: the reduced build.
        trial: what was measured.

    Returns:
        The log with what was taken of it; nothing where it never comes near rest.

    Raises:
        InputError: there is no plate, or too little of it.
    """
    plate_curve(trial, build.stove.room.value)  # complains where there is no plate
    room, known = room_of(trial)
    span = np.arange(trial.span[0], trial.span[1] + 1.0, EVERY)
    turned, how = _turning(trial, span)
    ran = _run(as_seen(build, bool(turned.any()), room), trial)
    doubt = 0.0 if room is not None else build.stove.room.sd
    here = build.stove.room.value if room is None else room
    chosen: list[slice] = []
    step = int(WINDOW / EVERY)
    good = np.isfinite(ran.late) & (ran.late <= MOST_LATE)
    starts = [i for i in range(0, ran.time.size - step, 3) if good[i : i + step + 1].all()]
    worst = {i: float(ran.late[i : i + step + 1].max()) for i in starts}
    plates = {i: float(ran.own[i : i + step + 1, Seen.plate].mean()) for i in starts}
    for i in sorted(starts, key=lambda i: worst[i]):
        part = slice(i, i + step + 1)
        apart = all(abs(plates[i] - plates[one.start]) >= APART for one in chosen)
        if len(chosen) < MOST and apart and _readings(trial, ran, part, bool(turned.any())):
            chosen.append(part)
    rule = _Rule(trial, here, doubt, room, bool(turned.any()), len(chosen))
    found = [_stretch(rule, ran, part) for part in sorted(chosen, key=lambda one: one.start)]
    return Logged(trial, room, known, how, tuple(found), ran.time, ran.own[:, Seen.plate], ran.late)


@dataclass(frozen=True)
class _Rule:
    """What all stretches of a log share: room [K], what it may be off [K], whether the blade turned, how many stretches."""

    trial: Measured
    here: float
    doubt: float
    room: float | None
    turns: bool
    many: int


def _readings(trial: Measured, ran: _Ran, part: slice, turns: bool) -> list[tuple[str, np.ndarray]]:
    """Channels that were read throughout a stretch, and which of their readings lie in it."""
    start, stop = float(ran.time[part][0]), float(ran.time[part][-1])
    found = []
    for key in (*PLACES, "speed") if turns else PLACES:
        series = trial.series.get(key)
        if series is None:
            continue
        inside = (series.time >= start) & (series.time <= stop)
        # Else most of the stretch is a hole in the log.
        if inside.any() and abs(float(series.time[inside].mean()) - 0.5 * (start + stop)) <= 0.25 * WINDOW:
            found.append((key, inside))
    return found


def _stretch(rule: _Rule, ran: _Ran, part: slice) -> Stretch:
    """One stretch with its readings moved to rest.

    What a meter, the plate's and the room are off is the same in all stretches of a log; several looks through one
    thermometer are worth one, so that share is widened by the root of their number.
    """
    trial, time = rule.trial, ran.time[part]
    line = np.polyfit(time, ran.own[part, Seen.plate], 1)
    plate = float(ran.own[part, Seen.plate].mean())
    plate_off = float(np.hypot(CHANNELS["plate"].level, trial.doubt.get("plate", 0.0)))
    told = []
    for key, inside in _readings(trial, ran, part, rule.turns):
        channel, series = CHANNELS[key], trial.series[key]
        at = series.time[inside]
        shift = float(np.interp(at, time, ran.rest[part, channel.seen] - ran.own[part, channel.seen]).mean())
        read = float(series.value[inside].mean())
        settled = read + shift
        level = channel.level * (abs(read) if channel.shares else 1.0)
        # What plate and room may be off counts as far as this place follows them; a speed goes with plate less room.
        warm = plate - rule.here
        share = settled / warm if channel.shares else min(max((settled - rule.here) / warm, 0.0), 1.0)
        by_room = share * rule.doubt if channel.shares else (1.0 - share) * rule.doubt
        same = np.square([level, trial.doubt.get(key, 0.0), share * plate_off, by_room]).sum() * rule.many
        own = np.square([noise_of(series, key), UNSURE * shift]) / [at.size, 1.0]
        told.append(Told(PLACES.get(key, key), read, settled, 2.0 * float(np.sqrt(same + own.sum()))))
    warm_places = tuple((one.place, Spread(one.settled, one.half, NORMAL)) for one in told if one.place != "speed")
    speed = next((Spread(one.settled, one.half, NORMAL) for one in told if one.place == "speed"), None)
    seen = Sighting(plate, rule.room, warm_places, speed, rule.turns)
    late = float(ran.late[part].max())
    return Stretch(float(time[0]), float(time[-1]), plate, float(line[0]), late, rule.turns, tuple(told), seen)
