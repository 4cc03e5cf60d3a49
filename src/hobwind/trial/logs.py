"""A log turned into channels: times, units, readings corrected, and every line that could not be used named."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from ..errors import InputError
from ..tables import Columns, read_columns
from . import infrared, thermocouple
from .channels import CHANNELS, NOTE, ROOM
from .clock import CLOCK, ELAPSED, seconds
from .columns import LEFT, TIME, UNITS, Column, corrected, guess, with_surfaces
from .measured import Floats, Note, Series

COLD_END = 20.0  # °C; where a bare thermocouple joins its meter, unless told
ROOM_MIRRORED = 293.15  # K
GAP, GAP_TIMES = 180.0, 6.0  # s, and times the usual step, that make a gap
EMPTY = ("", "-", "--", "---", "nan", "na", "n/a", "null", "none")


@dataclass(frozen=True)
class Log:
    """One file, read: columns, channels, notes, room; lines not used, gaps [s], empty cells of each channel, start of the day.

    `began` is the first line's time on its own clock [s]; the channels count from there, so that time 0 is the first line.
    """

    name: str
    digest: str
    columns: tuple[Column, ...]
    series: Mapping[str, Series]
    notes: tuple[Note, ...]
    room: float | None
    bad: tuple[tuple[int, str], ...]
    gaps: tuple[tuple[float, float], ...]
    empty: Mapping[str, int]
    rows: int
    date: str
    began: float
    has_clock: bool
    shown: Mapping[str, Series] = field(default_factory=dict)


def read_log(
    data: bytes, name: str, kept: Sequence[Column] | None = None, typed: Sequence[str] = (), surfaces: Sequence[str] = (),
    cold_end: float = COLD_END,
) -> Log:  # fmt: skip
    """Read one log.

    Args:
        data: of the file.
        name: of the file, for messages.
        kept: what its columns are, from an earlier run; None: guessed.
        typed: corrections, HEADER=CHANNEL.
        surfaces: channels read by infrared, CHANNEL=HOW WELL IT RADIATES.
        cold_end: where thermocouples read in millivolts join the meter. [°C]

    Returns:
        The log.

    Raises:
        InputError: no table, no times, or nothing that can be used.
    """
    table = read_columns(data, name)
    try:
        columns = with_surfaces(corrected(tuple(kept) if kept else guess(table), typed), surfaces)
    except InputError as error:
        raise InputError(f"{name}: {error}") from error
    at = next((k for k, one in enumerate(columns) if one.channel == TIME), None)
    if at is None:
        raise InputError(f'{name}: no column is the time; name it, such as --column "{table.header[0]}=time s"')
    time, date = _times(table, at, columns[at].unit)
    bad = [(line, f'"{text}" has more or fewer cells than the header') for line, text in table.torn]
    good = _rising(table, time, at, bad)
    if int(good.sum()) < 2:
        first = "; ".join(f"line {line}: {says}" for line, says in sorted(bad)[:3])
        raise InputError(f"{name}: has {int(good.sum())} usable lines; at least two are wanted. {first}")
    began = float(time[good][0])
    time = time - began
    series: dict[str, Series] = {}
    shown: dict[str, Series] = {}
    empty: dict[str, int] = {}
    notes: list[Note] = []
    room = None
    for k, one in enumerate(columns):
        words = table.texts[k]
        if one.channel == NOTE and words is not None:
            notes += [Note(float(t), str(w).strip()) for t, w, g in zip(time, words, good, strict=True) if g and str(w).strip()]
        if one.channel in (TIME, NOTE, LEFT):
            continue
        value = _values(one, table.numbers[k], cold_end)
        use = good & np.isfinite(value)
        before = len(bad)
        _name_bad(table, k, one, value, good, use, bad)
        empty[one.channel] = int(good.sum() - use.sum()) - (len(bad) - before)
        if not use.any():
            continue
        if one.channel == ROOM:
            room = float(np.median(value[use]))
            continue
        if one.surface is not None:
            shown[one.channel] = Series(time[use], value[use])
        series[one.channel] = Series(time[use], value[use])
    for key, one_shown in shown.items():
        surface = next(one.surface for one in columns if one.channel == key and one.surface is not None)
        true = infrared.corrected(one_shown.value, surface.radiates, surface.setting, room or ROOM_MIRRORED)
        known = np.isfinite(true)
        series[key] = Series(one_shown.time[known], true[known])
    return Log(
        name, hashlib.sha256(data).hexdigest()[:16], columns, series, tuple(notes), room, tuple(sorted(bad)),
        _gaps(time[good]), {key: count for key, count in empty.items() if count > 0}, int(time.size), date, began,
        columns[at].unit == CLOCK, shown,
    )  # fmt: skip


def _times(table: Columns, at: int, unit: str) -> tuple[Floats, str]:
    if unit == CLOCK:
        words = table.texts[at]
        if words is None:
            words = np.array([f"{x:g}" for x in table.numbers[at]], dtype=object)
        return seconds(words)
    return table.numbers[at] * ELAPSED[unit], ""


def _rising(table: Columns, time: Floats, at: int, bad: list[tuple[int, str]]) -> np.ndarray:
    """Lines with a time that goes on; the others are named."""
    good = np.isfinite(time)
    words = table.texts[at]
    for i in np.flatnonzero(~good):
        got = "" if words is None else str(words[i])[:30]
        bad.append((int(table.line[i]), f'its time "{got}" cannot be read'))
    known = np.flatnonzero(good)
    if known.size == 0:
        return good
    highest = np.maximum.accumulate(time[known])
    back = np.concatenate([[False], time[known][1:] <= highest[:-1]])
    same = np.concatenate([[False], time[known][1:] == highest[:-1]])
    for i, alike in zip(known[back], same[back], strict=True):
        bad.append((int(table.line[i]), "has the time of the line before" if alike else "its time goes back"))
    good[known[back]] = False
    return good


def _values(one: Column, numbers: Floats, cold_end: float) -> Floats:
    if one.unit == "mV type K":
        return thermocouple.celsius(numbers, cold_end) + 273.15
    factor, shift = UNITS[one.unit]
    return numbers * factor + shift


def _name_bad(
    table: Columns, k: int, one: Column, value: Floats, good: np.ndarray, use: np.ndarray, bad: list[tuple[int, str]]
) -> None:  # fmt: skip
    """Name cells that hold something else than a figure, or a figure that cannot be; leave those out."""
    words = table.texts[k]
    if words is not None:
        for i in np.flatnonzero(good & ~np.isfinite(table.numbers[k])):
            if str(words[i]).strip().lower() not in EMPTY:
                bad.append((int(table.line[i]), f'{one.header} is "{str(words[i])[:20]}"'))
    channel = CHANNELS["plate" if one.channel == ROOM else one.channel]
    with np.errstate(invalid="ignore"):
        beyond = good & ~((value >= channel.low) & (value <= channel.high)) & np.isfinite(table.numbers[k])
    for i in np.flatnonzero(beyond):
        bad.append((int(table.line[i]), f"{one.header} is {table.numbers[k][i]:g} {one.unit}, which cannot be"))
    use &= ~beyond


def _gaps(time: Floats) -> tuple[tuple[float, float], ...]:
    steps = np.diff(time)
    if steps.size == 0:
        return ()
    most = max(GAP, GAP_TIMES * float(np.median(steps)))
    return tuple((float(time[i]), float(time[i + 1])) for i in np.flatnonzero(steps > most))
