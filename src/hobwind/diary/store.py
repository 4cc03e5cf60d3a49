"""Opening the diary, and what is written to it: fans, builds as they were, trials, looks, service notes, photos.

SQLite with a write-ahead log: readers do not wait for the writer, a second writer waits its turn, and what was committed is
there after a killed process or a full disk. Every failure of the file says what to do.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .. import __version__
from ..build import Build, digest, whole_text
from ..errors import DiaryError, FileError, InputError
from ..parts.catalogue import user_folder
from ..photos import without_places
from .schema import upgrade

NAME = "diary.sqlite"
PATIENCE = 20.0  # s that one writer waits for another
MOST_PHOTO = 40_000_000  # bytes
WORKS = (
    "compound renewed", "blade cleaned", "module changed", "guard set", "thermometer changed", "thermometer checked",
    "motor oiled", "other",
)  # fmt: skip


def folder() -> Path:
    """Where the diary lies: `HOBWIND_HOME`, or the platform's place for a program's data."""
    return user_folder().parent


@dataclass(frozen=True)
class Diary:
    """An open diary; close it, or use it as `with open_diary(...) as diary`."""

    path: Path
    connection: sqlite3.Connection

    def __enter__(self) -> Diary:
        return self

    def __exit__(self, *_: object) -> None:
        self.connection.close()


def reworded(path: Path, error: Exception) -> DiaryError:
    """What went wrong with the file, and what to do about it."""
    text = str(error)
    code = (getattr(error, "sqlite_errorcode", 0) or 0) & 0xFF  # the low byte; the rest is detail
    if isinstance(error, DiaryError):
        return DiaryError(f"{path} {text}")
    if code == sqlite3.SQLITE_FULL or "disk is full" in text or (code == sqlite3.SQLITE_IOERR and "WRITE" in _detail(error)):
        return DiaryError(
            f"{path}: the disk is full or its limit is reached. Nothing of this was written; all that was there before still "
            "is. Free some space and do it again"
        )
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return DiaryError(
            f"{path}: another hobwind has been writing for {PATIENCE:.0f} s. Nothing of this was written; wait and try again"
        )
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB) or "malformed" in text or "not a database" in text:
        return DiaryError(
            f"{path}: the file is damaged. Leave it as it is; see what can be read and which copies there are with: "
            "hobwind diary check"
        )
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return DiaryError(
            f"{path}: cannot be opened for writing. Check the folder's permissions, or move the diary by setting HOBWIND_HOME"
        )
    if code == sqlite3.SQLITE_IOERR:
        return DiaryError(f"{path}: the disk reports an error ({text}). Copy the folder to another disk before going on")
    if code == sqlite3.SQLITE_CONSTRAINT:
        return DiaryError(f"{path}: what was to be written does not fit what is there ({text}). Nothing of it was written")
    return DiaryError(f"{path}: cannot be used ({text}). See what can be read with: hobwind diary check")


def _detail(error: Exception) -> str:
    return str(getattr(error, "sqlite_errorname", ""))


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Let every failure of the file come out as one plain sentence."""
    try:
        yield
    except (sqlite3.Error, DiaryError) as error:
        if isinstance(error, DiaryError) and str(error).startswith(str(path)):
            raise
        raise reworded(path, error) from error
    except OSError as error:
        if isinstance(error, FileError):
            raise
        raise DiaryError(
            f"{path}: cannot be used ({error.strerror or error}). Check the folder, or set HOBWIND_HOME to another"
        ) from error


def connect(path: Path) -> sqlite3.Connection:
    """A connection with the house settings: transactions only where asked for, foreign keys held, write-ahead log."""
    connection = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None)
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    return connection


def open_diary(path: Path | None = None) -> Diary:
    """Open the diary, make it when there is none, bring it to the newest layout.

    Args:
        path: of the file; the user's own when None.

    Returns:
        The open diary.

    Raises:
        DiaryError: it cannot be opened; the message says what to do.
    """
    at = folder() / NAME if path is None else path
    with told(at):
        at.parent.mkdir(parents=True, exist_ok=True)
        if at.is_dir():
            raise DiaryError("is a folder; name a file")
        connection = connect(at)
        try:
            upgrade(connection)
        except BaseException:
            connection.close()
            raise
    return Diary(at, connection)


@contextmanager
def written(diary: Diary) -> Iterator[sqlite3.Connection]:
    """One transaction: all of it is kept, or nothing."""
    connection = diary.connection
    with told(diary.path):
        connection.execute("BEGIN IMMEDIATE")
        try:
            yield connection
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise


def rows(diary: Diary, sql: str, *values: object) -> list[dict[str, Any]]:
    """Rows of a question, as dictionaries by column."""
    with told(diary.path):
        found = diary.connection.execute(sql, values)
        names = [column[0] for column in found.description]
        return [dict(zip(names, row, strict=True)) for row in found]


def _insert(connection: sqlite3.Connection, table: str, values: Mapping[str, object]) -> int:
    marks = ", ".join("?" for _ in values)
    done = connection.execute(f"INSERT INTO {table} ({', '.join(values)}) VALUES ({marks})", tuple(values.values()))
    return int(done.lastrowid or 0)


def fan_id(connection: sqlite3.Connection, name: str) -> int:
    """The fan of that name, entered when it is new."""
    found = connection.execute("SELECT id FROM fans WHERE name = ?", (name,)).fetchone()
    if found:
        return int(found[0])
    if not 1 <= len(name.strip()) <= 120:
        raise InputError(f"--fan: got a name of {len(name)} letters; 1 to 120 are allowed")
    return _insert(connection, "fans", {"name": name})


def find_fan(diary: Diary, name: str | None) -> dict[str, Any]:
    """The fan asked for; the only one when no name is given.

    Raises:
        InputError: there is none, no such one, or several to choose from.
    """
    fans = rows(diary, "SELECT id, name, says FROM fans ORDER BY name")
    if not fans:
        raise InputError("the diary holds no fan yet; enter one with: hobwind diary add BUILD")
    listed = ", ".join(f'"{fan["name"]}"' for fan in fans[:8])
    if name is None:
        if len(fans) > 1:
            raise InputError(f"the diary holds {len(fans)} fans; name one of {listed}")
        return fans[0]
    named = [fan for fan in fans if fan["name"] == name] or [fan for fan in fans if fan["name"].lower() == name.lower()]
    if not named:
        raise InputError(f'the diary holds no fan "{name[:60]}"; there are {listed}')
    return named[0]


def put_build(connection: sqlite3.Connection, fan: int, build: Build, now: float) -> int:
    """Keep a build made whole; one that is there already is not kept twice."""
    mark = digest(build)
    found = connection.execute("SELECT id FROM builds WHERE fan_id = ? AND digest = ?", (fan, mark)).fetchone()
    if found:
        return int(found[0])
    kept = {"fan_id": fan, "digest": mark, "kept_s": now, "made_by": __version__, "text": whole_text(build)}
    return _insert(connection, "builds", kept)


def latest_build(diary: Diary, fan: int) -> tuple[int, str] | None:
    """Row and made-whole text of the build a fan has now."""
    found = rows(diary, "SELECT id, text FROM builds WHERE fan_id = ? ORDER BY kept_s DESC, id DESC LIMIT 1", fan)
    return (found[0]["id"], found[0]["text"]) if found else None


def add_build(diary: Diary, build: Build, now: float, name: str | None = None) -> int:
    """Enter a fan's build as it is now; returns its row."""
    with written(diary) as connection:
        return put_build(connection, fan_id(connection, name or build.name), build, now)


def add_service(diary: Diary, fan: str, work: str, says: str, when: float) -> int:
    """Enter what was done to a fan.

    Args:
        diary: to write to.
        fan: its name.
        work: one of `WORKS`.
        says: in the maker's words.
        when: seconds since 1970. [s]

    Returns:
        Number of the row.

    Raises:
        InputError: no such work.
        DiaryError: it cannot be written.
    """
    if work not in WORKS:
        raise InputError(f'--work: got "{work[:60]}"; one of {", ".join(WORKS)} is wanted')
    with written(diary) as connection:
        return _insert(connection, "services", {"fan_id": fan_id(connection, fan), "done_s": when, "work": work, "says": says})


def add_photo(diary: Diary, fan: str, data: bytes, says: str, when: float) -> int:
    """Keep a photo, without the places a camera writes into it.

    Args:
        diary: to write to.
        fan: its name.
        data: a JPEG or PNG file.
        says: what it shows.
        when: seconds since 1970. [s]

    Returns:
        Number of the row.

    Raises:
        InputError: no photo, or too large.
        DiaryError: it cannot be written.
    """
    if len(data) > MOST_PHOTO:
        raise InputError(f"the photo holds {len(data)} bytes; at most {MOST_PHOTO} are kept. Make it smaller")
    clean = without_places(data)
    kind = "png" if clean.startswith(b"\x89PNG") else "jpg"
    with written(diary) as connection:
        row = {"fan_id": fan_id(connection, fan), "taken_s": when, "says": says, "kind": kind, "data": clean}
        return _insert(connection, "photos", row)


def add_trial(
    diary: Diary, build: Build, report: str, says: str, when: float, values: Mapping[str, tuple[float, float]], name: str = ""
) -> int:
    """Enter a trial and, where it fitted any, what it found of the fan's health.

    Args:
        diary: to write to.
        build: the build that was tried.
        report: the trial's own account, JSON.
        says: its verdict in a sentence.
        when: seconds since 1970. [s]
        values: what it found: value and standard uncertainty by name, see `health.VALUES`.
        name: of the fan; the build's name when empty.

    Returns:
        Number of the trial's row.

    Raises:
        DiaryError: it cannot be written.
    """
    with written(diary) as connection:
        fan = fan_id(connection, name or build.name)
        at = put_build(connection, fan, build, when)
        row = {"fan_id": fan, "build_id": at, "taken_s": when, "says": says, "report": report}
        trial = _insert(connection, "trials", row)
        if values:
            put_look(connection, fan, when, says, values, trial)
        return trial


def put_look(
    connection: sqlite3.Connection,
    fan: int,
    when: float,
    says: str,
    values: Mapping[str, tuple[float, float]],
    trial: int | None = None,
) -> int:
    """Enter one look's values, each with its standard uncertainty."""
    look = _insert(connection, "looks", {"fan_id": fan, "trial_id": trial, "looked_s": when, "says": says})
    for name, (value, uncertainty) in values.items():
        _insert(connection, "look_values", {"look_id": look, "name": name, "value": value, "uncertainty": uncertainty})
    return look


def lock_file(handle: int) -> bool:
    """Take a file for this process alone as long as it runs; False when another has it."""
    try:
        if os.name == "nt":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
