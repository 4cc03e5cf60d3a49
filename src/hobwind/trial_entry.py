"""A trial into the diary: its evening, what it showed, and what its fit says of the modules' health."""

from __future__ import annotations

import json
import time
from datetime import UTC, datetime

import numpy as np

from .diary.causes import VALUES, of_modules, plates_of
from .diary.evenings import put_evenings
from .diary.logs import Stretch, put_log
from .diary.serial_lines import channel
from .diary.store import Diary, add_trial, latest_build, rows, written
from .errors import InputError
from .stack.prepare import prepare
from .trial.channels import CHANNELS
from .trial.fit import TOLD, Fit
from .trial.logs import Log
from .trial.measured import Measured
from .trial.report import ENDINGS, trial_report
from .trial.together import Trial

# What the diary follows from trial to trial, and under which code a trial shows it.
FOLLOWED = {"starts_at_plate_degC": "started", "lifts_at_plate_degC": "lifted"}
ZERO = 273.15
NUDGE = 0.5  # of what is left of a spread, by which an input is moved to see what it does to a figure


def from_fit(done: Fit) -> dict[str, tuple[float, float]]:
    """What a fit says of the modules, where the fire tells it: value and standard uncertainty by the names of `VALUES`.

    Args:
        done: the fit.

    Returns:
        Resistance of the modules and open volts per kelvin, each only when narrowed to less than `TOLD` of what was guessed.
    """
    one, (x, spread) = done.rig, done.of_evening(0)
    count = len(one.inputs)
    x, spread = x[:count], spread[:count, :count]
    usual = plates_of(one.build)[1]

    def figures(at: np.ndarray) -> dict[str, float]:
        values = [u.guess + u.spread * float(s) for u, s in zip(one.unknowns[:count], at, strict=True)]
        return of_modules(prepare(one.make(values)), usual)

    middle = figures(x)
    steps = NUDGE * np.sqrt(np.diag(spread))
    slope: dict[str, list[float]] = {name: [] for name in middle}
    for k in range(count):
        up, down = x.copy(), x.copy()
        low, high = one.unknowns[k].reach
        up[k], down[k] = min(x[k] + steps[k], high), max(x[k] - steps[k], low)
        above, below = figures(up), figures(down)
        for name, of in slope.items():
            of.append((above[name] - below[name]) / (up[k] - down[k]))
    found = {}
    for name, value in middle.items():
        each = np.array(slope[name])
        before, after = float(np.linalg.norm(each)), float(np.sqrt(each @ spread @ each))
        if np.isfinite(value) and 0.0 < after <= TOLD * before:
            found[name] = (value, after)
    return found


def health_values(found: Trial) -> dict[str, tuple[float, float]]:
    """What a trial says of the fan's health: value and standard uncertainty by the names of `VALUES`."""
    shown = {one.code: one for one in found.verdict.shown if one.value is not None and one.half is not None}
    values = {}
    for name, code in FOLLOWED.items():
        one = shown.get(code)
        if one is not None and one.value is not None and one.half is not None:
            values[name] = (one.value - ZERO, 0.5 * one.half)
    return values | ({} if found.fit is None else from_fit(found.fit))


def began(log: Log, now: float) -> float:
    """When a log's first line was written; where it gives no day, such that it ends now. [s since 1970]"""
    if log.date and log.has_clock:
        return datetime.fromtimestamp(log.began, UTC).replace(tzinfo=None).timestamp()  # a clock on the wall, local
    return now - max((float(one.time[-1]) for one in log.series.values() if one.time.size), default=0.0)


def stretch_of(measured: Measured, start: float) -> Stretch:
    """A trial's readings as rows of a diary's log: every time at which anything was read.

    Args:
        measured: the readings.
        start: its time 0. [s since 1970]

    Returns:
        The rows.
    """
    time_ = np.unique(np.concatenate([one.time for one in measured.series.values()]))
    names, columns = [], []
    for key, series in measured.series.items():
        _, unit, factor, shift = ENDINGS[CHANNELS[key].dimension]
        ending = "degC" if CHANNELS[key].dimension == "temperature" else unit
        column = np.full(time_.size, np.nan)
        column[np.searchsorted(time_, series.time)] = series.value * factor + shift
        name = channel(f"{key}_{ending}" if ending == "degC" else key)[0]
        names.append(name if name != key else f"{key}_{ending}")
        columns.append(column)
    return Stretch(time_ + start, tuple(names), np.column_stack(columns))


def enter_log(diary: Diary, log: Log, measured: Measured, fan: str, start: float) -> int | None:
    """Enter a trial's log of an evening for a fan that the diary knows.

    Args:
        diary: to write to.
        log: the first log, for its times.
        measured: everything that was read.
        fan: name of the fan.
        start: its time 0. [s since 1970]

    Returns:
        Row of the log; None when the very same one is there already.

    Raises:
        DiaryError: the diary cannot be written; nothing of the log is then in it.
    """
    with written(diary) as connection:
        row = rows(diary, "SELECT id FROM fans WHERE name = ?", fan)[0]["id"]
        build = latest_build(diary, row)
        put = put_log(
            connection,
            measured.digest,
            row,
            build[0] if build else None,
            measured.name,
            [stretch_of(measured, start)],
            len(log.bad),
        )
        if put is not None:
            put_evenings(diary, put)
        return put


def enter_trial(diary: Diary, found: Trial) -> str:
    """Enter a trial: the fan's build, the trial's account, its evening, and what it says of the fan's health.

    Args:
        diary: to write to.
        found: the trial.

    Returns:
        A sentence that says what was entered.

    Raises:
        InputError: a trial of that very log is in the diary already.
        DiaryError: the diary cannot be written.
    """
    digest = found.logs[0].digest
    if rows(diary, "SELECT 1 FROM trials WHERE instr(report, ?) LIMIT 1", f'"digest": "{digest}"'):
        raise InputError("a trial of that very log is in the diary already; entered twice it would count as two looks")
    values, start = health_values(found), began(found.logs[0], time.time())
    says = "; ".join(
        f"{one.says} {one.value - ZERO:.0f} °C"
        for one in found.verdict.shown
        if one.value is not None and one.half is not None and one.dimension == "temperature"
    )
    report = json.dumps(trial_report(found))
    add_trial(diary, found.build, report, says or "a trial that showed no figure", start, values)
    enter_log(diary, found.logs[0], found.measured, found.build.name, start)
    told = ", ".join(VALUES[name].says for name in values) or "no figure that the diary follows"
    return f"Entered into the diary: the evening; {told}. See: hobwind diary show"
