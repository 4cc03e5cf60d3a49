"""A fan's health over its trials: has anything changed, what is it, what to check next and when.

Two questions, one after the other. *Has anything changed?* Each value has a running sum upwards and one downwards; their height is
such that all of them together alarm falsely once in `FALSE_EVERY` looks. *What is it?* Each cause's own signature is fitted to the
whole history, beginning at any look, at once or slowly; the cause that explains most comes first, and it is only told when it is
`SURE` to 1 likelier than the next.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..errors import InputError
from .causes import CAUSES, VALUES
from .sequential import height_for, running_sums, steps_from_before, wald_bounds
from .store import Diary, find_fan, rows

Floats = NDArray[np.float64]
FALSE_EVERY = 200.0  # looks
WRONG = 0.05  # how often the wrong one of two causes may be named
SURE = round((1.0 - WRONG) / WRONG)
FEWEST = 3  # looks before anything is said
DAY = 86400.0
SOONEST, LATEST = 14.0, 180.0  # days to the next look
RENEWING = ("compound renewed", "blade cleaned", "module changed", "guard set", "thermometer changed")


@dataclass(frozen=True)
class Look:
    """What one trial found: time [s since 1970], value and standard uncertainty by the names of `VALUES`."""

    time: float
    values: Mapping[str, tuple[float, float]]


@dataclass(frozen=True)
class Course:
    """One value over the looks: first and last, change per year with its standard uncertainty, height of its sum over the alarm's."""

    name: str
    first: float
    last: float
    a_year: float
    doubt: float
    alarm: float


@dataclass(frozen=True)
class Suspect:
    """One cause: how much of the history it explains (in natural logs of likelihood), its size, and what to check."""

    key: str
    explains: float
    size: float


@dataclass(frozen=True)
class Health:
    """What the looks say; `told` is the cause that is sure enough to be named, `next_look` seconds since 1970."""

    looks: int
    changed: bool
    courses: tuple[Course, ...]
    suspects: tuple[Suspect, ...]
    told: str | None
    check: str
    next_look: float


def judge(looks: Sequence[Look], shown: Mapping[str, Sequence[Mapping[str, float]]]) -> Health:
    """Judge a fan by its looks.

    Args:
        looks: in order of time, all on the same make-up of the fan.
        shown: how each cause shows, from `causes.signatures`.

    Returns:
        Health.

    Raises:
        InputError: fewer than three looks.
    """
    if len(looks) < FEWEST:
        raise InputError(f"{len(looks)} looks at this fan since it was last changed; {FEWEST} are needed to say anything")
    names = [name for name in VALUES if sum(name in look.values for look in looks) >= FEWEST]
    height = height_for(2.0 * max(len(names), 1) * FALSE_EVERY)
    courses = tuple(_course(looks, name, height) for name in names)
    changed = any(course.alarm >= 1.0 for course in courses)
    suspects = tuple(sorted((_fit(looks, names, key, shown[key]) for key in CAUSES), key=lambda s: -s.explains))
    _, bound = wald_bounds(WRONG, WRONG)
    first, second = suspects[0], suspects[1]
    told = first.key if changed and first.explains - second.explains >= bound else None
    soon = changed and CAUSES[first.key].soon
    gaps = np.diff([look.time for look in looks]) / DAY
    wait = float(np.clip(np.median(gaps), SOONEST, LATEST))
    if changed or max((course.alarm for course in courses), default=0.0) > 0.5:
        wait = max(SOONEST, 0.5 * wait)
    check = "nothing beyond the yearly clean"
    if changed:
        check = CAUSES[first.key].check
        if told is None:
            check += f"; if that is sound, {CAUSES[second.key].check}"
    return Health(len(looks), changed, courses, suspects, told, check, looks[-1].time + DAY * (SOONEST if soon else wait))


def _course(looks: Sequence[Look], name: str, height: float) -> Course:
    there = [(look.time, *look.values[name]) for look in looks if name in look.values]
    time, value, doubt = (np.array(column) for column in zip(*there, strict=True))
    sums = running_sums(steps_from_before(value.tolist(), doubt.tolist()))
    years = (time - time[0]) / (365.25 * DAY)
    w = 1.0 / doubt**2
    middle = float((w * years).sum() / w.sum())
    across = float((w * (years - middle) ** 2).sum())
    slope = float((w * (years - middle) * value).sum() / across) if across > 0.0 else 0.0
    loose = across**-0.5 if across > 0.0 else 0.0
    alarm = max((max(pair) for pair in sums), default=0.0) / height
    return Course(name, float(value[0]), float(value[-1]), slope, loose, alarm)


def _shapes(time: Floats) -> list[Floats]:
    """Ways to grow: from any look on, at once, evenly, or quickly first; 0 before, 1 at the end."""
    out = []
    for start in range(len(time) - 1):
        at_once = (np.arange(len(time)) > start).astype(float)
        evenly = np.clip((time - time[start]) / (time[-1] - time[start]), 0.0, 1.0)
        out += [at_once, evenly, np.sqrt(evenly)]
    return out


def _fit(looks: Sequence[Look], names: Sequence[str], key: str, rows_: Sequence[Mapping[str, float]]) -> Suspect:
    """Best fit of one cause's signature, over all its sizes and ways to grow, with a free level for each value."""
    time = np.array([look.time for look in looks])
    best = Suspect(key, 0.0, 0.0)
    table = np.full((2, len(names), len(looks)), np.nan)
    for j, look in enumerate(looks):
        for i, name in enumerate(names):
            if name in look.values:
                table[:, i, j] = look.values[name]
    there = np.isfinite(table[0])
    x = np.where(there, table[0], 0.0)
    w = np.where(there, 1.0 / np.where(there, table[1], 1.0) ** 2, 0.0)
    total = w.sum(1, keepdims=True)
    x = x - (w * x).sum(1, keepdims=True) / total
    for row in rows_:
        s = np.array([row.get(name, 0.0) for name in names])
        for grown in _shapes(time):
            g = grown[None, :] - (w * grown).sum(1, keepdims=True) / total
            across = float((w * g * g).sum(1) @ (s * s))
            along = float((w * g * x).sum(1) @ s)
            if across <= 0.0 or along <= 0.0:
                continue
            explains = 0.5 * along * along / across
            if explains > best.explains:
                best = Suspect(key, explains, along / across)
    return best


def looks_of(diary: Diary, fan: int, ever: bool = False) -> tuple[Look, ...]:
    """A fan's looks since it was last changed, or `ever`, in order of time."""
    marks = ", ".join("?" for _ in RENEWING)
    found = rows(diary, f"SELECT max(done_s) AS since FROM services WHERE fan_id = ? AND work IN ({marks})", fan, *RENEWING)
    since = None if ever else found[0]["since"]
    held: dict[int, tuple[float, dict[str, tuple[float, float]]]] = {}
    for row in rows(
        diary,
        "SELECT l.id, l.looked_s, v.name, v.value, v.uncertainty FROM looks l JOIN look_values v ON v.look_id = l.id "
        "WHERE l.fan_id = ? AND l.looked_s >= ? ORDER BY l.looked_s, l.id",
        fan,
        -1e18 if since is None else since,
    ):
        held.setdefault(row["id"], (row["looked_s"], {}))[1][row["name"]] = (row["value"], row["uncertainty"])
    return tuple(Look(time, values) for time, values in held.values())


def read_look(table: object, place: str) -> Look:
    """A look from JSON: `{"looked_s": 1.7e9, "values": {"module_resistance_ohm": [1.62, 0.02]}}`.

    Args:
        table: what the JSON holds.
        place: name of the file, for messages.

    Returns:
        The look.

    Raises:
        InputError: it is none; the message names the key.
    """
    if not isinstance(table, dict) or not isinstance(table.get("values"), dict) or not table["values"]:
        raise InputError(f'{place}: got no "values"; {{"looked_s": ..., "values": {{NAME: [value, uncertainty]}}}} is wanted')
    when = table.get("looked_s")
    if isinstance(when, bool) or not isinstance(when, int | float) or not 0.0 < when < 1e11:
        raise InputError(f"{place}: looked_s is {when!r:.40}; seconds since 1970 are wanted")
    values = {}
    for name, pair in table["values"].items():
        if name not in VALUES:
            raise InputError(f'{place}: values holds "{name[:60]}"; one of {", ".join(VALUES)} is wanted')
        good = isinstance(pair, list) and len(pair) == 2 and all(type(one) in (int, float) for one in pair)
        if not good or not np.isfinite(pair).all() or pair[1] <= 0:
            raise InputError(f"{place}: {name} is {pair!r:.60}; [value, standard uncertainty above 0] is wanted")
        values[name] = (float(pair[0]), float(pair[1]))
    return Look(float(when), values)


def since_when(diary: Diary, name: str | None) -> tuple[int, tuple[Look, ...]]:
    """Row and looks of the fan asked for."""
    fan = int(find_fan(diary, name)["id"])
    return fan, looks_of(diary, fan)
