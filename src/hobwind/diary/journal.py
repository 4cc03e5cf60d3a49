"""What comes in live, written line by line before anything else is done with it, and folded into the diary afterwards.

One file a log, in the diary's folder. Each line is handed to the system as it comes, so that a killed process loses at most
the line it was writing; once a second the file is forced to the disk, so that a power cut loses about a second. The process that
writes it holds a lock; a file without one was left behind, and the next `hobwind` that opens the diary folds it in.
"""

from __future__ import annotations

import errno
import json
import os
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from ..errors import DiaryError
from .logs import Stretch, put_log
from .serial_lines import Reader
from .store import Diary, fan_id, folder, lock_file, written

ENDING = ".lines"
FORCED = 1.0  # s between forcing the file to the disk
ROWS = 65536  # folded at a time


@dataclass
class Journal:
    """An open journal; `write` from any thread."""

    path: Path
    handle: int
    forced: float = field(default_factory=time.monotonic)
    lines: int = 0

    def write(self, port: int, when: float, *lines: bytes) -> None:
        """Hand lines that came together to the system in one piece.

        Raises:
            DiaryError: the disk is full or gone.
        """
        whole = b"".join(b"%.4f %d %s\n" % (when, port, line) for line in lines)
        try:
            if os.write(self.handle, whole) != len(whole):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            self.lines += len(lines)
            if time.monotonic() - self.forced > FORCED:
                os.fsync(self.handle)
                self.forced = time.monotonic()
        except OSError as error:
            raise DiaryError(
                f"{self.path}: a line cannot be written ({error.strerror}). The {self.lines} before it are kept; free some "
                "space and start the log again"
            ) from error

    def close(self) -> None:
        """Force the file to the disk and let go of it."""
        os.fsync(self.handle)
        os.close(self.handle)


def journals(home: Path) -> Path:
    """Folder of the journals."""
    return home / "coming"


def begin(fan: str, build_row: int | None, names: tuple[str, ...], renamed: dict[str, str], source: str) -> Journal:
    """Start a journal: its first line tells what it is of.

    Raises:
        DiaryError: it cannot be written.
    """
    at = journals(folder()) / f"{time.strftime('%Y%m%d-%H%M%S')}-{os.getpid()}{ENDING}"
    head = {"fan": fan, "build": build_row, "names": names, "renamed": renamed, "source": source}
    try:
        at.parent.mkdir(parents=True, exist_ok=True)
        handle = os.open(at, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_APPEND | getattr(os, "O_BINARY", 0), 0o644)
        lock_file(handle)
        os.write(handle, json.dumps(head).encode() + b"\n")
    except OSError as error:
        said = f"{at}: cannot be written ({error.strerror}). Check the folder, or set HOBWIND_HOME to another"
        raise DiaryError(said) from error
    return Journal(at, handle)


def _lines(path: Path) -> Iterator[tuple[float, int, bytes]]:
    """Whole lines of a journal; a last one that was cut off is passed over."""
    with path.open("rb") as file:
        file.readline()
        for line in file:
            parts = line[:-1].split(b" ", 2)
            if line.endswith(b"\n") and len(parts) == 3:
                try:
                    yield float(parts[0]), int(parts[1]), parts[2]
                except ValueError:
                    continue


def _table(path: Path, names: tuple[str, ...], renamed: dict[str, str]) -> tuple[Iterator[Stretch], int]:
    """A journal's figures, and how many of its lines could not be read. Two passes, so that a long one needs no room."""

    def readings() -> Iterator[tuple[float, dict[str, float], int]]:
        readers: dict[int, Reader] = {}
        for when, port, line in _lines(path):
            reader = readers.setdefault(port, Reader(names, renamed))
            found = reader.read(line)
            mark = f"_{port + 1}" if port else ""
            told = {name + mark if name.startswith("figure_") else name: value for name, value in (found or {}).items()}
            yield when, told, 1 if found is None else 0

    columns: dict[str, int] = {}
    unread = 0
    for _, found, missed in readings():
        unread += missed
        for name in found:
            columns.setdefault(name, len(columns))

    def stretches() -> Iterator[Stretch]:
        times: list[float] = []
        held: list[list[float]] = []
        last = 0.0
        for when, found, _ in readings():
            if found:
                last = max(last, when)  # a clock that was set back does not turn time round
                times.append(last)
                row = [np.nan] * len(columns)
                for name, value in found.items():
                    row[columns[name]] = value
                held.append(row)
            if len(times) >= ROWS:
                yield Stretch(np.array(times), tuple(columns), np.array(held))
                times, held = [], []
        if times:
            yield Stretch(np.array(times), tuple(columns), np.array(held))

    return stretches(), unread


def fold(diary: Diary, path: Path) -> int | None:
    """Put a finished journal into the diary and take its file away; safe to do again after being killed at any point.

    Args:
        diary: to write to.
        path: of the journal.

    Returns:
        Row of the log, None when nothing could be read of it (the file is then kept beside).

    Raises:
        DiaryError: the diary cannot be written; the journal stays.
    """
    from .evenings import put_evenings

    try:
        with path.open("rb") as file:
            head = json.loads(file.readline() or b"{}")
        fan, build = str(head["fan"]), head.get("build")
        stretches, unread = _table(path, tuple(head["names"]), dict(head["renamed"]))
    except (ValueError, KeyError, TypeError):
        path.replace(path.with_suffix(".unreadable"))
        return None
    with written(diary) as connection:
        if connection.execute("SELECT 1 FROM builds WHERE id = ?", (build,)).fetchone() is None:
            build = None
        log = put_log(connection, path.name, fan_id(connection, fan), build, str(head["source"]), stretches, unread)
        known = connection.execute("SELECT id FROM logs WHERE mark = ?", (path.name,)).fetchone()
        if log is not None:
            put_evenings(diary, log)
    if known is None and path.stat().st_size > 4096:
        path.replace(path.with_suffix(".unreadable"))  # many lines and no figure: kept for the maker to look at
    else:
        path.unlink(missing_ok=True)
    return log


def fold_left_behind(diary: Diary) -> list[int]:
    """Fold in every journal that no running process is writing; returns the rows of the logs."""
    found = []
    for path in sorted(journals(diary.path.parent).glob(f"*{ENDING}")):
        try:
            handle = os.open(path, os.O_RDWR)
        except OSError:
            continue
        try:
            if lock_file(handle):
                log = fold(diary, path)
                found += [] if log is None else [log]
        finally:
            os.close(handle)
    return found
