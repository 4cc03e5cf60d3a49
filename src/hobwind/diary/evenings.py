"""Evenings lit: where a log's plate was hot, how long a face was above its limit, and through which cycles it went.

A face that was not measured is computed: the fan's own build is run along the measured plate.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..build import build_from_text
from ..errors import HobwindError
from ..stack.curves import PlateCurve
from ..stack.evening import evening
from ..stack.fields import Seen
from ..stack.keeping import time_below_zero
from ..stack.prepare import Stack, prepare
from .logs import stretches
from .rainflow import by_depth, cycles, turning_points
from .store import Diary

Floats = NDArray[np.float64]
LIT, SHORTEST, PAUSE = 60.0, 600.0, 1800.0  # °C of a plate that is lit; s it lasts at least; s below it that end an evening
NOISE, CLASS = 5.0, 20.0  # K: swings below are the thermometer's; width of the classes of depth
EVERY = 10.0  # s between the figures an evening is judged by
LONGEST = 48 * 3600.0
ZERO = 273.15


@dataclass(frozen=True)
class Lit:
    """One evening: time [s since 1970], plate and face [°C] (row,); where the face is from; its limit [°C]."""

    time: Floats
    plate: Floats
    face: Floats | None
    face_from: str
    limit: float | None

    @property
    def minutes_above(self) -> float | None:
        """How long the face was above its limit. [min]"""
        if self.face is None or self.limit is None:
            return None
        below = self.limit - self.face
        spans = zip(below[:-1], below[1:], np.diff(self.time), strict=True)
        return sum(time_below_zero(a, b, s) for a, b, s in spans if s <= PAUSE) / 60.0

    @property
    def by_depth(self) -> dict[float, float]:
        """Cycles of the face by depth. [K, -]"""
        return {} if self.face is None else by_depth(cycles(turning_points(self.face.tolist(), NOISE)), CLASS)


def _thinned(diary: Diary, log: int) -> dict[str, tuple[Floats, Floats]]:
    """Means over `EVERY` seconds of the channels that matter: time and figures of each."""
    found: dict[str, tuple[list[Floats], list[Floats]]] = {}
    for part in stretches(diary, log):
        bins = np.floor(part.time / EVERY)
        for name in ("plate_degC", "face_degC"):
            if name not in part.names:
                continue
            column = part.figures[:, part.names.index(name)]
            there = np.isfinite(column)
            at, where = np.unique(bins[there], return_inverse=True)
            if at.size:
                mean = np.bincount(where, column[there]) / np.bincount(where)
                times, means = found.setdefault(name, ([], []))
                times.append(EVERY * at + 0.5 * EVERY)
                means.append(mean)
    return {name: (np.concatenate(t), np.concatenate(v)) for name, (t, v) in found.items()}


def _cut(time: Floats, plate: Floats) -> Iterator[tuple[int, int]]:
    """First and last row of each evening."""
    lit = np.flatnonzero(plate > LIT)
    if not lit.size:
        return
    gaps = np.flatnonzero(np.diff(time[lit]) > PAUSE)
    for low, high in zip([0, *(gaps + 1).tolist()], [*gaps.tolist(), lit.size - 1], strict=True):
        if time[lit[high]] - time[lit[low]] >= SHORTEST:
            yield int(lit[low]), int(lit[high]) + 1


def computed_face(stack: Stack, time: Floats, plate: Floats) -> Floats | None:
    """Hot face along a measured plate. [°C]"""
    own = np.maximum.accumulate(time) - time[0]
    keep = np.concatenate([[True], np.diff(own) > 0.0])
    if keep.sum() < 2 or own[-1] > LONGEST:
        return None
    warm = np.clip(plate[keep] + ZERO, 233.15, 873.15)
    # From a cold fan up to the first figure in a minute: before that nobody measured.
    corners = np.concatenate([[0.0], own[keep] + 60.0])
    ran = evening(stack, PlateCurve("measured", corners, np.concatenate([[stack.p[0]], warm])), EVERY)
    if not ran.finished:
        return None
    return np.asarray(np.interp(own + 60.0, ran.time, ran.seen[:, Seen.hot_face])) - ZERO


def find_evenings(diary: Diary, log: int) -> list[Lit]:
    """The evenings lit in a log.

    Args:
        diary: to read from.
        log: its row.

    Returns:
        In order of time; none when the plate was not measured.
    """
    thin = _thinned(diary, log)
    if "plate_degC" not in thin:
        return []
    time, plate = thin["plate_degC"]
    found = diary.connection.execute(
        "SELECT b.text FROM logs l JOIN builds b ON b.id = l.build_id WHERE l.id = ?", (log,)
    ).fetchone()
    stack = limit = None
    if found is not None:
        try:
            build = build_from_text(found[0])
            stack, limit = prepare(build), build.face_limit - ZERO
        except HobwindError:  # a part that this hobwind no longer takes: the log is kept all the same
            stack = limit = None
    out = []
    for low, high in _cut(time, plate):
        at, hot = time[low:high], plate[low:high]
        face, source = None, "none"
        if "face_degC" in thin:
            inside = (thin["face_degC"][0] >= at[0]) & (thin["face_degC"][0] <= at[-1])
            if inside.sum() >= 2:
                face, source = np.interp(at, thin["face_degC"][0][inside], thin["face_degC"][1][inside]), "measured"
        if face is None and stack is not None:
            face = computed_face(stack, at, hot)
            source = "none" if face is None else "computed"
        out.append(Lit(at, hot, face, source, limit))
    return out


def put_evenings(diary: Diary, log: int) -> int:
    """Work out a log's evenings and enter them, inside a transaction that the caller has begun; returns how many."""
    lit = find_evenings(diary, log)
    for one in lit:
        peak = None if one.face is None else float(one.face.max())
        values = (
            log, float(one.time[0]), float(one.time[-1]), one.face_from, float(one.plate.max()), peak, one.limit, one.minutes_above,
        )  # fmt: skip
        done = diary.connection.execute(
            "INSERT INTO evenings (log_id, began_s, ended_s, face_from, peak_plate_degC, peak_face_degC, limit_degC, "
            "minutes_above_limit) VALUES (?,?,?,?,?,?,?,?)",
            values,
        )
        for edge, count in one.by_depth.items():
            diary.connection.execute("INSERT INTO cycles VALUES (?,?,?,?)", (done.lastrowid, edge, edge + CLASS, count))
    return len(lit)
