"""The diary's tables, as numbered steps from an empty file to the newest layout.

Each step runs in one transaction together with the number that records it, so that a file is always of one layout or the
next, never between. A step once released is never changed; a new layout is a new step. Times are seconds since 1970
(UTC), temperatures °C, as every column's name says.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

from ..errors import DiaryError

MARK = 0x484F4257  # the file's own mark, "HOBW", by which it is told from other SQLite files


@dataclass(frozen=True)
class Step:
    """One step of the layout: its number, what it brings, and its statements."""

    number: int
    says: str
    statements: tuple[str, ...]


STEPS = (
    Step(
        1,
        "fans, builds as they were, trials, service notes, photos",
        (
            """CREATE TABLE fans (
                id INTEGER PRIMARY KEY,
                name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 120),
                says TEXT NOT NULL DEFAULT '')""",
            """CREATE TABLE builds (
                id INTEGER PRIMARY KEY,
                fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT,
                digest TEXT NOT NULL CHECK (length(digest) = 16),
                kept_s REAL NOT NULL,
                made_by TEXT NOT NULL,
                text TEXT NOT NULL,
                UNIQUE (fan_id, digest))""",
            """CREATE TABLE trials (
                id INTEGER PRIMARY KEY,
                fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT,
                build_id INTEGER REFERENCES builds(id) ON DELETE RESTRICT,
                taken_s REAL NOT NULL,
                says TEXT NOT NULL DEFAULT '',
                report TEXT NOT NULL DEFAULT '')""",
            """CREATE TABLE services (
                id INTEGER PRIMARY KEY,
                fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT,
                done_s REAL NOT NULL,
                work TEXT NOT NULL,
                says TEXT NOT NULL DEFAULT '')""",
            """CREATE TABLE photos (
                id INTEGER PRIMARY KEY,
                fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT,
                taken_s REAL NOT NULL,
                says TEXT NOT NULL DEFAULT '',
                kind TEXT NOT NULL CHECK (kind IN ('jpg', 'png')),
                data BLOB NOT NULL)""",
        ),
    ),
    Step(
        2,
        "logs, the evenings lit in them, cycles by depth",
        (
            """CREATE TABLE logs (
                id INTEGER PRIMARY KEY,
                mark TEXT NOT NULL UNIQUE,
                fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT,
                build_id INTEGER REFERENCES builds(id) ON DELETE RESTRICT,
                began_s REAL NOT NULL,
                ended_s REAL NOT NULL,
                rows INTEGER NOT NULL CHECK (rows > 0),
                unread INTEGER NOT NULL DEFAULT 0,
                source TEXT NOT NULL)""",
            """CREATE TABLE channels (
                id INTEGER PRIMARY KEY,
                log_id INTEGER NOT NULL REFERENCES logs(id) ON DELETE CASCADE,
                place INTEGER NOT NULL,
                name TEXT NOT NULL,
                UNIQUE (log_id, name))""",
            """CREATE TABLE blocks (
                id INTEGER PRIMARY KEY,
                log_id INTEGER NOT NULL REFERENCES logs(id) ON DELETE CASCADE,
                number INTEGER NOT NULL,
                rows INTEGER NOT NULL CHECK (rows > 0),
                began_s REAL NOT NULL,
                ended_s REAL NOT NULL,
                steps BLOB NOT NULL,
                UNIQUE (log_id, number))""",
            """CREATE TABLE block_values (
                block_id INTEGER NOT NULL REFERENCES blocks(id) ON DELETE CASCADE,
                channel_id INTEGER NOT NULL REFERENCES channels(id) ON DELETE CASCADE,
                least REAL,
                mean REAL,
                most REAL,
                data BLOB NOT NULL,
                UNIQUE (channel_id, block_id))""",
            """CREATE TABLE evenings (
                id INTEGER PRIMARY KEY,
                log_id INTEGER NOT NULL REFERENCES logs(id) ON DELETE CASCADE,
                began_s REAL NOT NULL,
                ended_s REAL NOT NULL,
                face_from TEXT NOT NULL CHECK (face_from IN ('measured', 'computed', 'none')),
                peak_plate_degC REAL NOT NULL,
                peak_face_degC REAL,
                limit_degC REAL,
                minutes_above_limit REAL)""",
            """CREATE TABLE cycles (
                evening_id INTEGER NOT NULL REFERENCES evenings(id) ON DELETE CASCADE,
                depth_from_K REAL NOT NULL,
                depth_to_K REAL NOT NULL,
                count REAL NOT NULL CHECK (count > 0),
                UNIQUE (evening_id, depth_from_K))""",
        ),
    ),
    Step(
        3,
        "looks: what trials found of a fan's health",
        (
            """CREATE TABLE looks (
                id INTEGER PRIMARY KEY,
                fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT,
                trial_id INTEGER REFERENCES trials(id) ON DELETE CASCADE,
                looked_s REAL NOT NULL,
                says TEXT NOT NULL DEFAULT '')""",
            """CREATE TABLE look_values (
                look_id INTEGER NOT NULL REFERENCES looks(id) ON DELETE CASCADE,
                name TEXT NOT NULL,
                value REAL NOT NULL,
                uncertainty REAL NOT NULL CHECK (uncertainty > 0),
                UNIQUE (look_id, name))""",
            "CREATE INDEX logs_by_fan ON logs (fan_id, began_s)",
            "CREATE INDEX evenings_by_log ON evenings (log_id, began_s)",
            "CREATE INDEX looks_by_fan ON looks (fan_id, looked_s)",
        ),
    ),
)  # fmt: skip
LAYOUT = STEPS[-1].number
# Every table, those that others lean on first: the order for copying row by row.
TABLES = (
    "fans", "builds", "trials", "services", "photos", "logs", "channels", "blocks", "block_values", "evenings", "cycles",
    "looks", "look_values",
)  # fmt: skip


def layout(connection: sqlite3.Connection) -> int:
    """Number of the layout a file has; 0 for an empty one."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def upgrade(connection: sqlite3.Connection, steps: Sequence[Step] = STEPS) -> tuple[int, ...]:
    """Bring a diary to the newest layout, step by step, each whole or not at all.

    Args:
        connection: in autocommit mode.
        steps: in rising order.

    Returns:
        Numbers of the steps taken.

    Raises:
        DiaryError: the file is another program's, or a newer hobwind wrote it.
        sqlite3.Error: a step failed; the file is as it was before that step.
    """
    newest = steps[-1].number
    at = layout(connection)
    mark = int(connection.execute("PRAGMA application_id").fetchone()[0])
    if at > newest and mark == MARK:
        raise DiaryError(f"has layout {at}, made by a newer hobwind; this one knows up to {newest}: update hobwind")
    strange = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] > 0
    if mark != MARK and (at > 0 or mark or strange):
        raise DiaryError("is another program's SQLite file; name a diary, or a file that is not there yet")
    taken = []
    for step in steps:
        if step.number <= at:
            continue
        connection.execute("BEGIN IMMEDIATE")
        try:
            if layout(connection) < step.number:  # another process may have been quicker
                for statement in step.statements:
                    connection.execute(statement)
                connection.execute(f"PRAGMA application_id = {MARK}")
                connection.execute(f"PRAGMA user_version = {step.number}")
                taken.append(step.number)
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise
    return tuple(taken)
