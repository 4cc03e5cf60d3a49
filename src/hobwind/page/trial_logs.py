"""Logs as they come from a browser: read, their columns guessed and shown, corrected as the maker says."""

from __future__ import annotations

import base64
import binascii
import re
from typing import Annotated

import numpy as np
from pydantic import BaseModel, Field

from ..errors import InputError
from ..tables import Columns, read_columns
from ..trial.channels import CHANNELS, NOTE, ROOM
from ..trial.columns import LEFT, TIME, Column, corrected, guess, units_for, with_surfaces
from ..trial.infrared import ASKS
from ..trial.logs import Log, read_log
from .asking import Asked

MOST_LOG = 12_000_000  # bytes
FIRST, MOST_BAD = 6, 200  # rows shown; lines named
CHOICES = {TIME: "time", **{key: one.says for key, one in CHANNELS.items()}, ROOM: "room", NOTE: "words", LEFT: "leave out"}
Base64 = Annotated[str, Field(max_length=MOST_LOG * 4 // 3 + 4, description="the file's bytes, base64")]


class ColumnIn(Asked):
    """What one column is, as the maker says."""

    header: str = Field(max_length=200)
    channel: str = Field(max_length=20)
    unit: str = Field(default="", max_length=20)


class LogIn(Asked):
    """One logger's file with its columns put right; `offset_s` is added to its times, null where it is to be found."""

    name: str = Field(min_length=1, max_length=120)
    data: Base64
    columns: list[ColumnIn] = Field(default=[], max_length=80)
    surfaces: list[Annotated[str, Field(max_length=60)]] = Field(default=[], max_length=12)
    offset_s: float | None = Field(default=None, ge=-1e6, le=1e6)


class FileOut(BaseModel):
    """A log to be used: its name, and its bytes as base64."""

    name: str
    data: str


class ColumnOut(BaseModel):
    """One column: what it is taken for and why, the units it may have, and its first cells."""

    header: str
    channel: str
    unit: str
    units: list[str]
    why: str
    surface: str
    cells: list[str]


class BadLine(BaseModel):
    """A line or cell that is left out."""

    line: int
    says: str


class ReadOut(BaseModel):
    """A log as it was understood; `problem` says why it cannot be used as it stands, and `asks` what infrared readings want."""

    name: str
    lines: int
    minutes: float
    date: str
    columns: list[ColumnOut]
    bad: list[BadLine]
    more_bad: int
    gaps: list[str]
    empty: int
    notes: int
    problem: str
    asks: str


def file_out(name: str, data: bytes) -> FileOut:
    """A log as it is sent to a browser."""
    return FileOut(name=name, data=base64.b64encode(data).decode())


def on_the_page(text: str) -> str:
    """A sentence of the command line in the page's words."""
    text = re.sub(r'; name (it|its column), such as --column ".*?"(?=\W|$)', "; choose it in the table", text)
    text = re.sub(r"^(.*?: )?--(column|infrared|offset|unknown): ", r"\1", text)
    text = text.replace("name it with --column", "choose what it is").replace("name its columns with --column", "choose them")
    text = text.replace("name motor and blade in the file", "say how wide its motor is")
    text = re.sub(r'\. Name a column, such as --column ".*?"(?=\W|$)', "; choose them in the table", text)
    text = text.replace("type one settled look under [[seen]]", "type one settled reading in below")
    return text.replace("give it with --offset, in seconds", "type it beside the log, in seconds")


def bytes_of(name: str, data: str) -> bytes:
    """The bytes that a browser sent.

    Args:
        name: of the file, for messages.
        data: base64.

    Returns:
        The bytes.

    Raises:
        InputError: they did not come over whole, or are too many.
    """
    try:
        found = base64.b64decode(data.encode("ascii"), validate=True)
    except (ValueError, binascii.Error) as error:
        raise InputError(f"{name}: did not come over whole; choose the file again") from error
    if len(found) > MOST_LOG:
        raise InputError(f"{name}: holds {len(found)} bytes; at most {MOST_LOG} are taken here. Use hobwind trial for it")
    return found


def _typed(one: LogIn) -> list[str]:
    return [f"{c.header}={c.channel} {c.unit}".strip() for c in one.columns]


def read(one: LogIn, cold_end: float) -> Log:
    """A log, read with its columns as the maker says.

    Raises:
        InputError: it cannot be used; the sentence says why.
    """
    try:
        return read_log(bytes_of(one.name, one.data), one.name, None, _typed(one), one.surfaces, cold_end)
    except InputError as error:
        raise InputError(on_the_page(str(error))) from error


def _cells(table: Columns, k: int) -> list[str]:
    words, numbers = table.texts[k], table.numbers[k]
    found = []
    for i in range(min(FIRST, numbers.size)):
        text = "" if words is None else str(words[i])
        found.append((text or ("" if np.isnan(numbers[i]) else f"{numbers[i]:g}"))[:40])
    return found


def look_at(one: LogIn, cold_end: float) -> ReadOut:
    """What is in a log: columns guessed or as said, first rows, lines left out, gaps.

    Args:
        one: the log as it came.
        cold_end: where thermocouples read in millivolts join the meter. [°C]

    Returns:
        What the maker looks over.

    Raises:
        InputError: it is no table, or a column is called what there is not.
    """
    data = bytes_of(one.name, one.data)
    try:
        table = read_columns(data, one.name)
        columns = with_surfaces(corrected(guess(table), _typed(one)), one.surfaces)
    except InputError as error:
        raise InputError(on_the_page(str(error))) from error
    log, problem = None, ""
    try:
        log = read_log(data, one.name, None, _typed(one), one.surfaces, cold_end)
    except InputError as error:
        problem = on_the_page(str(error))
    bad = [] if log is None else list(log.bad)
    return ReadOut(
        name=one.name, lines=int(table.line.size) + len(table.torn), minutes=0.0 if log is None else _minutes(log),
        date="" if log is None else log.date, columns=[_column(table, k, c) for k, c in enumerate(columns)],
        bad=[BadLine(line=line, says=says) for line, says in bad[:MOST_BAD]], more_bad=max(len(bad) - MOST_BAD, 0),
        gaps=[] if log is None else [f"{(b - a) / 60.0:.0f} min without a line from {a / 60.0:.0f} min on" for a, b in log.gaps[:20]],
        empty=0 if log is None else sum(log.empty.values()), notes=0 if log is None else len(log.notes), problem=problem,
        asks=ASKS if one.surfaces else "",
    )  # fmt: skip


def _minutes(log: Log) -> float:
    return round(max((float(s.time[-1]) for s in log.series.values()), default=0.0) / 60.0, 1)


def _column(table: Columns, k: int, one: Column) -> ColumnOut:
    s = one.surface
    return ColumnOut(
        header=one.header, channel=one.channel, unit=one.unit, units=list(units_for(one.channel)), why=on_the_page(one.why),
        surface="" if s is None else f"{s.radiates:g}±{2.0 * s.spread:g} at {s.setting:g}", cells=_cells(table, k),
    )  # fmt: skip
