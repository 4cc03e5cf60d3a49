"""Logs in the diary: figures over time in packed blocks, so that a winter of seconds is small and opens at once.

A block holds up to 4096 rows: steps of time in tenths of a millisecond, and each channel as 4-byte floats (good to 1e-7 of the
figure), packed. Beside each stand its least, mean and most, so that a winter is drawn without unpacking.
"""

from __future__ import annotations

import sqlite3
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .store import Diary, rows, told

Floats = NDArray[np.float64]
BLOCK = 4096  # rows
TICK = 1e-4  # s
LONGEST_STEP = 3600.0  # s; a longer pause starts a new block
PACKING = 1  # quickest


@dataclass(frozen=True)
class Stretch:
    """Some rows of a log: time [s since 1970] (row,), names, and figures (row, channel); what is missing is not a number."""

    time: Floats
    names: tuple[str, ...]
    figures: Floats


def put_log(
    connection: sqlite3.Connection,
    mark: str,
    fan: int,
    build: int | None,
    source: str,
    stretches: Iterable[Stretch],
    unread: int = 0,
) -> int | None:
    """Write a log inside a transaction that the caller has begun.

    Args:
        connection: of the diary.
        mark: the log's own name; one that is there already is not written twice.
        fan: its row.
        build: row of the build that was on the stove.
        source: where it came from, in words.
        stretches: its rows in order of time, all with the same names.
        unread: lines that could not be read. [-]

    Returns:
        The log's row, or None when it was there already or is empty.
    """
    if connection.execute("SELECT 1 FROM logs WHERE mark = ?", (mark,)).fetchone():
        return None
    log = 0
    channels: list[int] = []
    number = total = 0
    began = ended = 0.0
    for stretch in stretches:
        if not stretch.time.size:
            continue
        if not log:
            began = float(stretch.time[0])
            values = (mark, fan, build, began, began, 1, unread, source)
            done = connection.execute(
                "INSERT INTO logs (mark, fan_id, build_id, began_s, ended_s, rows, unread, source) VALUES (?,?,?,?,?,?,?,?)",
                values,
            )
            log = int(done.lastrowid or 0)
            for place, name in enumerate(stretch.names):
                put = connection.execute("INSERT INTO channels (log_id, place, name) VALUES (?,?,?)", (log, place, name))
                channels.append(int(put.lastrowid or 0))
        for low, high in _cuts(stretch.time):
            _put_block(connection, log, channels, number, stretch, low, high)
            number += 1
        total, ended = total + stretch.time.size, float(stretch.time[-1])
    if not log:
        return None
    connection.execute("UPDATE logs SET rows = ?, ended_s = ? WHERE id = ?", (total, ended, log))
    return log


def _cuts(time: Floats) -> Iterator[tuple[int, int]]:
    pauses = np.flatnonzero(np.diff(time) > LONGEST_STEP) + 1
    for low, high in zip([0, *pauses.tolist()], [*pauses.tolist(), time.size], strict=True):
        for start in range(low, high, BLOCK):
            yield start, min(start + BLOCK, high)


def _put_block(
    connection: sqlite3.Connection, log: int, channels: list[int], number: int, stretch: Stretch, low: int, high: int
) -> None:
    time = stretch.time[low:high]
    ticks = np.rint((time - time[0]) / TICK).astype(np.int64)
    steps = zlib.compress(np.diff(ticks, prepend=0).astype("<i4").tobytes(), PACKING)
    done = connection.execute(
        "INSERT INTO blocks (log_id, number, rows, began_s, ended_s, steps) VALUES (?,?,?,?,?,?)",
        (log, number, high - low, float(time[0]), float(time[-1]), steps),
    )
    for place, channel in enumerate(channels):
        column = stretch.figures[low:high, place]
        there = column[np.isfinite(column)]
        ends = (float(there.min()), float(there.mean()), float(there.max())) if there.size else (None, None, None)
        packed = zlib.compress(np.ascontiguousarray(column, "<f4").tobytes(), PACKING)
        connection.execute("INSERT INTO block_values VALUES (?,?,?,?,?,?)", (done.lastrowid, channel, *ends, packed))


def names_of(diary: Diary, log: int) -> tuple[str, ...]:
    """Names of a log's channels, in order."""
    return tuple(row["name"] for row in rows(diary, "SELECT name FROM channels WHERE log_id = ? ORDER BY place", log))


def outline(diary: Diary, log: int, name: str) -> Floats:
    """A channel's course without unpacking it: began, ended, least, mean, most of each block, (block, 5). [s, its unit]"""
    found = rows(
        diary,
        "SELECT b.began_s, b.ended_s, v.least, v.mean, v.most FROM blocks b JOIN channels c ON c.log_id = b.log_id "
        "JOIN block_values v ON v.channel_id = c.id AND v.block_id = b.id WHERE b.log_id = ? AND c.name = ? ORDER BY b.number",
        log,
        name,
    )
    return np.array([[np.nan if x is None else x for x in row.values()] for row in found], float).reshape(-1, 5)


def stretches(diary: Diary, log: int) -> Iterator[Stretch]:
    """A log block by block, figures and all."""
    names = names_of(diary, log)
    with told(diary.path):
        blocks = diary.connection.execute(
            "SELECT id, rows, began_s, steps FROM blocks WHERE log_id = ? ORDER BY number", (log,)
        ).fetchall()
        for block, count, began, steps in blocks:
            ticks = np.cumsum(np.frombuffer(zlib.decompress(steps), "<i4").astype(np.int64))
            figures = np.full((count, len(names)), np.nan)
            for place, data in diary.connection.execute(
                "SELECT c.place, v.data FROM channels c JOIN block_values v ON v.channel_id = c.id AND v.block_id = ? "
                "WHERE c.log_id = ?",
                (block, log),
            ):
                figures[:, place] = np.frombuffer(zlib.decompress(data), "<f4")
            yield Stretch(began + TICK * ticks, names, figures)
