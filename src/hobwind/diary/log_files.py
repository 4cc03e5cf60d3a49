"""Plain CSV logs into the diary, millions of rows at a time: a header with units, then figures; empty cells are missing figures."""

from __future__ import annotations

import hashlib
import warnings
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import numpy as np

from ..errors import FileError, InputError
from .evenings import put_evenings
from .logs import Stretch, put_log
from .serial_lines import channel
from .store import Diary, fan_id, latest_build, written

TIMES = {"time_s": 1.0, "time_min": 60.0, "time_h": 3600.0, "unix_s": 1.0}
ROWS = 262144  # read at a time
ABSOLUTE = 1e8  # s; a time beyond it counts from 1970


def _header(path: Path) -> tuple[int, list[str], str]:
    try:
        with path.open(encoding="utf-8-sig") as file:
            for number, line in enumerate(islice(file, 100), start=1):
                if line.strip() and not line.startswith("#"):
                    parts = max((",", ";", "\t"), key=line.count)
                    return number, [cell.strip() for cell in line.strip().split(parts)], parts
    except (OSError, UnicodeDecodeError) as error:
        raise FileError(f"{path}: cannot be read ({error}). Check the name, or save it as UTF-8") from error
    raise InputError(f"{path}: is empty; a header such as time_s,plate_degC,face_degC is wanted")


def is_plain(path: Path) -> bool:
    """Whether a log has the header that this quick reader knows: one of `TIMES`, and names beside it.

    Raises:
        InputError: it is empty.
        FileError: it is not there.
    """
    try:
        cells = _header(path)[1]
    except FileError:
        if not path.is_file():
            raise
        return False  # in another encoding
    return len(cells) > 1 and any(cell in TIMES for cell in cells)


def read_log(path: Path, began: float | None = None) -> Iterator[Stretch]:
    """Read a log piece by piece.

    Args:
        path: of the CSV file.
        began: when its time 0 was, where its times do not count from 1970; None: such that it ends when the file was written. [s]

    Returns:
        Its rows in order.

    Raises:
        InputError: no time column, a cell that is no number, or time going back; the message names the line.
        FileError: the file cannot be read.
    """
    first, cells, parts = _header(path)
    at = next((i for i, cell in enumerate(cells) if cell in TIMES), None)
    if at is None or len(cells) < 2:
        wanted = ", ".join(TIMES)
        raise InputError(
            f"{path.name} line {first}: got the header {','.join(cells)[:80]!r}; a column {wanted} and others are wanted"
        )
    names = [channel(cell) for i, cell in enumerate(cells) if i != at]
    called = tuple(name for name, _, _ in names)
    if len(set(called)) < len(called):
        raise InputError(f"{path.name} line {first}: two columns have the same name; give each its own")
    factor, shift = np.array([n[1] for n in names]), np.array([n[2] for n in names])
    with path.open(encoding="utf-8-sig") as file:
        for _ in range(first):
            file.readline()
        line, last, zero = first, -np.inf, began
        while lines := list(islice(file, ROWS)):
            table = _figures(lines, parts, len(cells), path.name, line)
            if table.size:
                time = table[:, at] * TIMES[cells[at]]
                if zero is None:
                    zero = 0.0 if time[0] > ABSOLUTE else path.stat().st_mtime - _last_time(path, parts, at, TIMES[cells[at]])
                back = np.flatnonzero(np.diff(time, prepend=last) < 0.0)
                if not np.isfinite(time).all() or back.size:
                    raise InputError(
                        f"{path.name}, lines {line + 1} to {line + len(lines)}: time goes back or is missing; times must rise. "
                        "Sort the file, or split it where the clock was set"
                    )
                last = float(time[-1])
                yield Stretch(time + zero, called, np.delete(table, at, axis=1) * factor + shift)
            line += len(lines)


def _figures(lines: list[str], parts: str, count: int, name: str, before: int) -> np.ndarray:
    """Cells as numbers, quickly where all is well, and line by line where it is not."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            table = np.loadtxt(lines, delimiter=parts, ndmin=2)
        if table.size == 0 or table.shape[1] == count:
            return table
    except ValueError:
        pass
    rows = []
    for number, line in enumerate(lines, start=before + 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        cells = line.strip("\r\n").split(parts)
        try:
            if len(cells) != count:
                raise ValueError
            comma = parts != ","
            rows.append([float(c.replace(",", ".") if comma else c) if c.strip() else np.nan for c in cells])
        except ValueError as error:
            raise InputError(f"{name} line {number}: got {line.strip()[:60]!r}; {count} numbers are wanted") from error
    return np.array(rows, float).reshape(-1, count)


def _last_time(path: Path, parts: str, at: int, factor: float) -> float:
    with path.open("rb") as file:
        file.seek(max(0, path.stat().st_size - 4000))
        tail = [line for line in file.read().decode("utf-8", "replace").splitlines() if line.strip()]
    try:
        return float(tail[-1].split(parts)[at].replace(",", ".")) * factor
    except (IndexError, ValueError):
        return 0.0


def add_log(diary: Diary, path: Path, fan: str, began: float | None = None) -> int | None:
    """Enter a CSV log and work out its evenings.

    Args:
        diary: to write to.
        path: of the file.
        fan: name of the fan that stood on the stove.
        began: as in `read_log`. [s]

    Returns:
        Row of the log; None when the very same file is there already.

    Raises:
        InputError: the file is no log.
        FileError: it cannot be read.
        DiaryError: the diary cannot be written; nothing of the log is then in it.
    """
    mark = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while piece := file.read(1 << 20):
                mark.update(piece)
    except OSError as error:
        raise FileError(f"{path}: cannot be read ({error.strerror}). Check the name") from error
    with written(diary) as connection:
        row = fan_id(connection, fan)
        build = latest_build(diary, row)
        log = put_log(connection, mark.hexdigest()[:16], row, build[0] if build else None, path.name, read_log(path, began))
        if log is not None:
            put_evenings(diary, log)
        return log
