"""The diary as one file to carry away, taken in again, checked, copied daily, and what can be saved of a damaged one."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
import tempfile
import time
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .. import __version__
from ..errors import DiaryError, FileError, HobwindError, InputError
from .logs import names_of, stretches
from .schema import LAYOUT, TABLES, upgrade
from .store import Diary, connect, open_diary, rows, told, written

INSIDE = "diary.sqlite"
MOST_BYTES = 8 << 30  # of a diary in a zip
KEPT, DAY = 3, 86400.0  # daily copies
# By what a row is known again, and which of its columns name rows of other tables.
KEYS = {
    "fans": ("name",), "builds": ("fan_id", "digest"), "trials": ("fan_id", "taken_s"),
    "services": ("fan_id", "done_s", "work", "says"), "photos": ("fan_id", "taken_s", "data"), "logs": ("mark",),
    "channels": ("log_id", "name"), "blocks": ("log_id", "number"), "block_values": ("channel_id", "block_id"),
    "evenings": ("log_id", "began_s"), "cycles": ("evening_id", "depth_from_K"), "looks": ("fan_id", "looked_s"),
    "look_values": ("look_id", "name"),
}  # fmt: skip
NAMED = {f"{table[:-1]}_id": table for table in ("fans", "builds", "trials", "logs", "channels", "blocks", "evenings", "looks")}


def _plain(table: list[dict[str, Any]]) -> str:
    out = io.StringIO()
    if table:
        writer = csv.DictWriter(out, list(table[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(table)
    return out.getvalue()


def _log_lines(diary: Diary, log: int) -> Iterator[str]:
    yield ",".join(("unix_s", *names_of(diary, log))) + "\n"
    for part in stretches(diary, log):
        for when, row in zip(part.time, part.figures, strict=True):
            yield f"{when:.4f}," + ",".join("" if x != x else f"{x:.7g}" for x in row.tolist()) + "\n"


def export(diary: Diary, out: Path) -> Path:
    """Write the whole diary as one zip: the SQLite file, and everything again as plain CSV, JSON, TOML and pictures.

    Args:
        diary: to read from.
        out: path of the zip.

    Returns:
        The path.

    Raises:
        FileError: it cannot be written.
        DiaryError: the diary cannot be read.
    """
    spare = out.with_name(f".{out.name}.part")
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=out.parent) as folder, told(diary.path):
            whole = Path(folder) / INSIDE
            diary.connection.execute("VACUUM INTO ?", (str(whole),))
            with zipfile.ZipFile(spare, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as zipped:
                zipped.write(whole, INSIDE)
                _put_plain(diary, zipped)
        spare.replace(out)
    except OSError as error:
        if isinstance(error, HobwindError):
            raise
        raise FileError(f"{out}: cannot be written ({error.strerror or error}). Choose another place with --out") from error
    finally:
        spare.unlink(missing_ok=True)
    return out


def _put_plain(diary: Diary, zipped: zipfile.ZipFile) -> None:
    for table in TABLES:
        if table not in ("blocks", "block_values"):
            left_out = {"photos": "data"}.get(table)
            found = rows(diary, f"SELECT * FROM {table}") if left_out is None else rows(
                diary, "SELECT id, fan_id, taken_s, says, kind FROM photos"
            )  # fmt: skip
            zipped.writestr(f"plain/{table}.csv", _plain(found))
            if table in ("trials", "looks", "look_values", "services"):
                zipped.writestr(f"plain/{table}.json", json.dumps(found, indent=1))
    for build in rows(diary, "SELECT id, text FROM builds"):
        zipped.writestr(f"plain/builds/{build['id']}.toml", build["text"])
    for photo in rows(diary, "SELECT id, kind, data FROM photos"):
        zipped.writestr(f"plain/photos/{photo['id']}.{photo['kind']}", photo["data"])
    for log in rows(diary, "SELECT id FROM logs"):
        with zipped.open(f"plain/logs/{log['id']}.csv", "w", force_zip64=True) as file:
            for line in _log_lines(diary, log["id"]):
                file.write(line.encode())
    told_ = {"made_by": {"hobwind": __version__, "layout": LAYOUT}, "times": "seconds since 1970, UTC"}
    zipped.writestr("plain/about.json", json.dumps(told_, indent=1))


def take_in(diary: Diary, path: Path) -> dict[str, int]:
    """Take in a zip that `export` wrote, or a diary's own file; what is there already stays and is not doubled.

    Args:
        diary: to write to.
        path: of the zip or SQLite file.

    Returns:
        New rows by table.

    Raises:
        FileError: no such file.
        InputError: it is no diary.
        DiaryError: it is damaged, or the diary cannot be written; nothing of it is then in it.
    """
    if not path.is_file():
        raise FileError(f"There is no file {path}. Check the name")
    with tempfile.TemporaryDirectory() as folder:
        spare = Path(folder) / INSIDE
        if zipfile.is_zipfile(path):
            try:
                with zipfile.ZipFile(path) as zipped:
                    if INSIDE not in zipped.namelist() or zipped.getinfo(INSIDE).file_size > MOST_BYTES:
                        raise InputError(f"{path.name}: holds no {INSIDE}; a zip written by hobwind diary export is wanted")
                    zipped.extract(INSIDE, folder)
            except (zipfile.BadZipFile, EOFError, OSError) as error:
                raise InputError(f"{path.name}: the zip is damaged ({error}). Carry it over again") from error
        else:
            with told(path), sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True) as other:
                copy = sqlite3.connect(spare)
                other.backup(copy)
                copy.close()
            other.close()
        with told(path):
            theirs = connect(spare)
            try:
                upgrade(theirs)
                if theirs.execute("PRAGMA quick_check").fetchone()[0] != "ok":
                    raise DiaryError("is damaged; carry it over again, or take another copy")
                with written(diary) as ours:
                    return _merge(theirs, ours)
            finally:
                theirs.close()


def _merge(theirs: sqlite3.Connection, ours: sqlite3.Connection) -> dict[str, int]:
    there: dict[str, dict[int, int]] = {}
    new: dict[str, int] = {}
    for table in TABLES:
        found = theirs.execute(f"SELECT * FROM {table}")
        names = [column[0] for column in found.description]
        ids = there.setdefault(table, {})
        for values in found:
            row = dict(zip(names, values, strict=True))
            old = row.pop("id", None)
            for column, other in NAMED.items():
                if row.get(column) is not None:
                    row[column] = there[other][row[column]]
            key = KEYS[table]
            where = " AND ".join(f"{column} IS ?" for column in key)
            known = ours.execute(f"SELECT rowid FROM {table} WHERE {where}", [row[column] for column in key]).fetchone()
            if known is None:
                marks = ", ".join("?" for _ in row)
                known = (
                    ours.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({marks})", tuple(row.values())).lastrowid,
                )
                new[table] = new.get(table, 0) + 1
            if old is not None:
                ids[old] = int(known[0] or 0)
    return new


def copies(home: Path) -> list[Path]:
    """Daily copies, the newest first."""
    return sorted((home / "copies").glob("diary-*.sqlite"), reverse=True)


def keep_copy(diary: Diary, now: float | None = None) -> Path | None:
    """Keep a copy of a sound diary, one a day, three in all; returns its path when one was made."""
    now = time.time() if now is None else now
    have = copies(diary.path.parent)
    if have and now - have[0].stat().st_mtime < DAY:
        return None
    path = diary.path.parent / "copies" / f"diary-{time.strftime('%Y%m%d-%H%M%S', time.gmtime(now))}.sqlite"
    with told(diary.path):
        if diary.connection.execute("PRAGMA quick_check").fetchone()[0] != "ok":
            return None  # never push a sound copy out with a damaged one
        path.parent.mkdir(parents=True, exist_ok=True)
        spare = path.with_suffix(".part")
        spare.unlink(missing_ok=True)
        try:
            diary.connection.execute("VACUUM INTO ?", (str(spare),))
        except sqlite3.Error:
            spare.unlink(missing_ok=True)
            return None  # no room for a copy is no reason to fail what was written
        spare.replace(path)
    for old in copies(diary.path.parent)[KEPT:]:
        old.unlink(missing_ok=True)
    return path


@dataclass(frozen=True)
class Checked:
    """What a check found: what is wrong, rows by table that can be read, and daily copies."""

    wrong: tuple[str, ...]
    readable: dict[str, int]
    copies: tuple[Path, ...]


def look_over(path: Path) -> Checked:
    """Check a diary's file without writing to it, however damaged it is."""
    wrong: list[str] = []
    counts: dict[str, int] = {}
    if not path.exists():
        return Checked((f"there is no diary at {path} yet",), counts, tuple(copies(path.parent)))
    connection = sqlite3.connect(path, isolation_level=None)
    try:
        for question in ("integrity_check(20)", "foreign_key_check"):
            try:
                found = connection.execute(f"PRAGMA {question}").fetchall()
                wrong += [" ".join(str(x) for x in row) for row in found if row[0] != "ok"][:20]
            except sqlite3.Error as error:
                wrong.append(str(error))
        for table in TABLES:
            counts[table] = sum(1 for _ in _readable(connection, table))
    finally:
        connection.close()
    if not wrong:
        try:
            with open_diary(path) as diary:
                for log in rows(diary, "SELECT id, rows FROM logs"):
                    seen = sum(part.time.size for part in stretches(diary, log["id"]))
                    if seen != log["rows"]:
                        wrong.append(f"log {log['id']} holds {seen} rows of {log['rows']}")
        except Exception as error:  # a block that cannot be unpacked brings up errors of many kinds
            wrong.append(str(error))
    return Checked(tuple(wrong), counts, tuple(copies(path.parent)))


def _readable(connection: sqlite3.Connection, table: str) -> Iterator[tuple[Any, ...]]:
    """Rows that can be read of a table that may be damaged: one after the other, stepping over what cannot."""
    at, misses = -1, 0
    while misses < 2000:
        try:
            found = connection.execute(f"SELECT rowid, * FROM {table} WHERE rowid > ? ORDER BY rowid LIMIT 1", (at,)).fetchone()
        except sqlite3.Error as error:
            if "no such table" in str(error) or "not a database" in str(error):
                return
            at, misses = at + 1, misses + 1
            continue
        if found is None:
            return
        at = int(found[0])
        yield found


def save_what_can_be(path: Path, out: Path) -> dict[str, int]:
    """Copy every row that can be read of a damaged diary into a new one.

    Args:
        path: of the damaged file; it is left as it is.
        out: of the new one; must not be there yet.

    Returns:
        Rows saved by table.

    Raises:
        InputError: `out` is there already.
        DiaryError: it cannot be written.
    """
    if out.exists():
        raise InputError(f"--save-to: {out} is there already; name a file that is not")
    saved: dict[str, int] = {}
    source = sqlite3.connect(path, isolation_level=None)
    with open_diary(out) as diary, written(diary) as connection:
        for table in TABLES:
            for _, *row in _readable(source, table):
                try:
                    connection.execute(f"INSERT INTO {table} VALUES ({', '.join('?' for _ in row)})", row)
                    saved[table] = saved.get(table, 0) + 1
                except sqlite3.IntegrityError:
                    continue  # it hangs on a row that could not be read
    source.close()
    return saved
