"""The diary's file: upgraded, shared, filled up, killed, damaged; nothing committed is lost and the message says what to do."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import sys
import zipfile
from pathlib import Path

import numpy as np
import pytest

from builds import example
from hobwind.build import build_from_text, digest
from hobwind.diary import exchange, schema, store
from hobwind.diary.log_files import add_log
from hobwind.diary.logs import Stretch, outline, put_log, stretches
from hobwind.diary.schema import LAYOUT, STEPS, Step, upgrade
from hobwind.diary.store import open_diary, rows, written
from hobwind.errors import DiaryError, FileError, InputError

# Layout 1 as it was first released, written out here so that a later change of the steps is noticed.
FIRST_LAYOUT = """
CREATE TABLE fans (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 120), says TEXT NOT NULL DEFAULT '');
CREATE TABLE builds (id INTEGER PRIMARY KEY, fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT,
 digest TEXT NOT NULL CHECK (length(digest) = 16), kept_s REAL NOT NULL, made_by TEXT NOT NULL,
 text TEXT NOT NULL, UNIQUE (fan_id, digest));
CREATE TABLE trials (id INTEGER PRIMARY KEY, fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT,
 build_id INTEGER REFERENCES builds(id) ON DELETE RESTRICT, taken_s REAL NOT NULL, says TEXT NOT NULL DEFAULT '',
 report TEXT NOT NULL DEFAULT '');
CREATE TABLE services (id INTEGER PRIMARY KEY, fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT, done_s REAL NOT NULL,
 work TEXT NOT NULL, says TEXT NOT NULL DEFAULT '');
CREATE TABLE photos (id INTEGER PRIMARY KEY, fan_id INTEGER NOT NULL REFERENCES fans(id) ON DELETE RESTRICT, taken_s REAL NOT NULL,
 says TEXT NOT NULL DEFAULT '', kind TEXT NOT NULL CHECK (kind IN ('jpg', 'png')), data BLOB NOT NULL);
PRAGMA application_id = 1213153879;
PRAGMA user_version = 1;
INSERT INTO fans (name, says) VALUES ('old fan', 'of the boat shed, invented');
INSERT INTO services (fan_id, done_s, work) VALUES (1, 1.6e9, 'blade cleaned');
"""
WRITER = """
import sys, time
from pathlib import Path
from hobwind.diary.store import open_diary, add_service
with open_diary(Path(sys.argv[1])) as diary:
    for i in range(int(sys.argv[2])):
        add_service(diary, "fan", "other", f"{sys.argv[3]} {i}", 1.7e9 + i)
        print(i, flush=True)
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "diary.sqlite"


def test_an_old_diary_is_upgraded_and_keeps_what_it_held(path: Path) -> None:
    with sqlite3.connect(path) as old:
        old.executescript(FIRST_LAYOUT)
    old.close()
    with open_diary(path) as diary, open_diary(path.with_name("new.sqlite")) as new:
        assert schema.layout(diary.connection) == LAYOUT == 3
        assert rows(diary, "SELECT name, says FROM fans") == [{"name": "old fan", "says": "of the boat shed, invented"}]
        assert rows(diary, "SELECT work FROM services") == [{"work": "blade cleaned"}]

        def columns(one: store.Diary) -> list[object]:
            return [tuple(one.connection.execute(f"PRAGMA table_info({table})")) for table in schema.TABLES]

        assert columns(diary) == columns(new)
        assert {row["name"] for row in rows(new, "SELECT name FROM sqlite_master WHERE type = 'table'")} == set(schema.TABLES)


@pytest.mark.parametrize("reached", [1, 2])
def test_a_failing_step_leaves_the_file_unchanged(path: Path, reached: int) -> None:
    connection = store.connect(path)
    upgrade(connection, STEPS[:reached])
    before = list(connection.iterdump())
    bad = Step(reached + 1, "half good", ("CREATE TABLE half (id INTEGER PRIMARY KEY)", "INSERT INTO fans VALUES (1, '', '')"))
    with pytest.raises(sqlite3.IntegrityError):
        upgrade(connection, (*STEPS[:reached], bad))
    assert list(connection.iterdump()) == before and schema.layout(connection) == reached
    assert upgrade(connection) == tuple(range(reached + 1, LAYOUT + 1))
    connection.close()


def test_newer_and_strange_files_are_refused(path: Path) -> None:
    open_diary(path).connection.close()
    with sqlite3.connect(path) as later:
        later.execute("PRAGMA user_version = 9")
    later.close()
    with pytest.raises(DiaryError, match="has layout 9, made by a newer hobwind; this one knows up to 3: update hobwind"):
        open_diary(path)
    strange = path.with_name("strange.sqlite")
    with sqlite3.connect(strange) as other:
        other.execute("CREATE TABLE recipes (id)")
    other.close()
    with pytest.raises(DiaryError, match="is another program's SQLite file; name a diary"):
        open_diary(strange)
    with pytest.raises(DiaryError, match="is a folder; name a file"):
        open_diary(path.parent)


def test_two_processes_write_at_once(path: Path) -> None:
    with open_diary(path):
        pass
    both = [subprocess.Popen([sys.executable, "-c", WRITER, str(path), "60", name], stdout=subprocess.DEVNULL) for name in "ab"]
    assert [one.wait(120) for one in both] == [0, 0]
    with open_diary(path) as diary:
        said = {row["says"] for row in rows(diary, "SELECT says FROM services")}
        assert said == {f"{name} {i}" for name in "ab" for i in range(60)}
        assert len(rows(diary, "SELECT id FROM fans")) == 1


def test_a_killed_writer_loses_nothing_it_had_committed(path: Path) -> None:
    child = subprocess.Popen([sys.executable, "-c", WRITER, str(path), "100000", "k"], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    told = [child.stdout.readline() for _ in range(40)]
    child.send_signal(signal.SIGKILL)
    told += child.stdout.readlines()
    child.wait()
    child.stdout.close()
    last = int([line for line in told if line.endswith("\n")][-1])
    with open_diary(path) as diary:
        kept = len(rows(diary, "SELECT id FROM services"))
        assert last + 1 <= kept <= last + 2  # the one after it may have been committed and not yet printed
        assert diary.connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"


def test_a_full_disk_is_told_and_keeps_what_was_there(path: Path) -> None:
    with open_diary(path) as diary:
        store.add_service(diary, "fan", "other", "before", 1.7e9)
        pages = diary.connection.execute("PRAGMA page_count").fetchone()[0]
        diary.connection.execute(f"PRAGMA max_page_count = {pages + 4}")
        big = Stretch(np.arange(200_000.0) + 1.7e9, ("plate_degC",), np.random.default_rng(1).normal(size=(200_000, 1)))
        with (
            pytest.raises(
                DiaryError, match=r"the disk is full .* Nothing of this was written; .* Free some space and do it again"
            ),
            written(diary) as connection,
        ):
            put_log(connection, "m", store.fan_id(connection, "fan"), None, "test", [big])
        assert [row["says"] for row in rows(diary, "SELECT says FROM services")] == ["before"]
        assert rows(diary, "SELECT id FROM logs") == []
        diary.connection.execute("PRAGMA max_page_count = 1000000")
        store.add_service(diary, "fan", "other", "after", 1.7e9)


def fill(diary: store.Diary, seed: int = 1) -> None:
    store.add_build(diary, example(), 1.7e9, "fan")
    draw = np.random.default_rng(seed)
    with written(diary) as connection:
        fan = store.fan_id(connection, "fan")
        figures = draw.normal(150.0, 5.0, (9000, 2))
        put_log(
            connection, f"log {seed}", fan, None, "test", [Stretch(1.7e9 + np.arange(9000.0), ("plate_degC", "x"), figures)]
        )
        store.put_look(connection, fan, 1.7e9 + seed, "", {"module_resistance_ohm": (2.0, 0.02)})
    for i in range(300):
        store.add_service(diary, "fan", "other", f"{seed} {i} " + "x" * 100, 1.7e9 + i)


def test_a_damaged_file_is_told_and_saved_with_the_copy(path: Path) -> None:
    with open_diary(path) as diary:
        fill(diary)
        copy = exchange.keep_copy(diary)
        assert copy is not None and exchange.keep_copy(diary) is None  # one a day
        diary.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    data = bytearray(path.read_bytes())
    for page in range(30, len(data) // 4096, 9):
        data[page * 4096 : page * 4096 + 200] = b"\xa5" * 200
    path.write_bytes(data)
    found = exchange.look_over(path)
    assert found.wrong and found.copies == (copy,)
    out = path.with_name("saved.sqlite")
    saved = exchange.save_what_can_be(path, out)
    assert saved["fans"] == 1 and saved["builds"] == 1
    with open_diary(out) as diary:
        exchange.take_in(diary, copy)
        assert len(rows(diary, "SELECT id FROM services")) == 300  # what is in both is not doubled
        log = rows(diary, "SELECT id FROM logs")[0]["id"]
        assert sum(part.time.size for part in stretches(diary, log)) == 9000
    path.write_bytes(b"no diary at all " * 400)
    with pytest.raises(DiaryError, match="the file is damaged. Leave it as it is; .* hobwind diary check"):
        open_diary(path)
    with pytest.raises(InputError, match="is there already; name a file that is not"):
        exchange.save_what_can_be(path, out)


def test_export_and_import_give_the_same_diary(path: Path, tmp_path: Path) -> None:
    out = tmp_path / "carried" / "all.zip"
    with open_diary(path) as diary:
        fill(diary)
        exchange.export(diary, out)
        before = [row for row in rows(diary, "SELECT * FROM services")]
    with zipfile.ZipFile(out) as zipped:
        names = set(zipped.namelist())
        assert {"diary.sqlite", "plain/fans.csv", "plain/looks.json", "plain/builds/1.toml", "plain/logs/1.csv"} <= names
        lines = zipped.read("plain/logs/1.csv").decode().splitlines()
        assert lines[0] == "unix_s,plate_degC,x" and len(lines) == 9001
        made = build_from_text(zipped.read("plain/builds/1.toml").decode())
        assert digest(made) == digest(example())
    with open_diary(tmp_path / "other.sqlite") as other:
        fill(other, 2)  # rows with the same numbers, another log
        new = exchange.take_in(other, out)
        assert new["logs"] == 1 and "fans" not in new and new["services"] == 300
        assert exchange.take_in(other, out) == {}
        assert len(rows(other, "SELECT * FROM services")) == 600
        assert {r["says"] for r in before} <= {r["says"] for r in rows(other, "SELECT says FROM services")}
        assert other.connection.execute("PRAGMA foreign_key_check").fetchall() == []
    with open_diary(tmp_path / "third.sqlite") as third:
        with pytest.raises(FileError, match="There is no file"):
            exchange.take_in(third, tmp_path / "none.zip")
        torn = tmp_path / "torn.zip"
        torn.write_bytes(out.read_bytes()[:2000])
        with pytest.raises(DiaryError, match="damaged"):
            exchange.take_in(third, torn)
        assert rows(third, "SELECT id FROM fans") == []


def test_logs_come_back_as_they_went_in(path: Path) -> None:
    draw = np.random.default_rng(4)
    time = 1.7e9 + np.cumsum(draw.choice([0.001, 0.9973, 30.0, 7200.0], 10_000))
    figures = draw.normal(100.0, 50.0, (10_000, 3))
    figures[draw.random((10_000, 3)) < 0.1] = np.nan
    with open_diary(path) as diary:
        with written(diary) as connection:
            log = put_log(
                connection, "m", store.fan_id(connection, "fan"), None, "t", [Stretch(time, ("a", "b", "c"), figures)]
            )
            assert put_log(connection, "m", 1, None, "t", []) is None
        assert log is not None
        parts = list(stretches(diary, log))
        np.testing.assert_allclose(np.concatenate([p.time for p in parts]), time, atol=6e-5, rtol=0)  # half a tick of 1e-4 s
        np.testing.assert_allclose(
            np.concatenate([p.figures for p in parts]), figures, rtol=6e-8
        )  # half a step of a 4-byte float
        found = outline(diary, log, "b")
        assert np.nanmax(found[:, 4]) == np.nanmax(figures[:, 1]) and np.nanmin(found[:, 2]) == np.nanmin(figures[:, 1])


def test_csv_logs(path: Path, tmp_path: Path) -> None:
    file = tmp_path / "fire.csv"
    file.write_text("# boat shed, invented\ntime_min;plate_degF;note\n0;212,0;1\n0,5;;2\n1;392,0;3\n", "utf-8")
    with open_diary(path) as diary:
        log = add_log(diary, file, "fan", 1.7e9)
        assert log is not None and add_log(diary, file, "fan", 1.7e9) is None
        part = next(stretches(diary, log))
        assert part.names == ("plate_degC", "note") and part.time.tolist() == [1.7e9, 1.7e9 + 30.0, 1.7e9 + 60.0]
        assert part.figures[[0, 2], 0] == pytest.approx([100.0, 200.0])  # by definition of °F
        assert np.isnan(part.figures[1, 0])
        for text, says in (
            ("time_s,plate_degC\n0,20\n5,2x\n", "fire.csv line 3: got '5,2x'; 2 numbers are wanted"),
            ("time_s,plate_degC\n5,20\n0,30\n", "time goes back or is missing; times must rise"),
            ("plate_degC\n5\n", "a column time_s, time_min, time_h, unix_s and others are wanted"),
            ("", "is empty"),
        ):
            file.write_text(text, "utf-8")
            with pytest.raises(InputError, match=says):
                add_log(diary, file, "fan", 1.7e9)
        assert len(rows(diary, "SELECT id FROM logs")) == 1


def test_an_evening_with_known_minutes_above(path: Path, tmp_path: Path) -> None:
    """By hand: the face goes straight from 150 to 250 °C in 100 min and back; above its limit of 200 °C 50 min of each way."""
    limit = min(use.part.hot_limit.value for use in example().modules) - 273.15
    minutes = np.arange(0.0, 240.0, 0.1)
    face = np.interp(minutes, [0, 20, 120, 220, 240], [limit - 100, limit - 50, limit + 50, limit - 50, limit - 100])
    text = "time_min,plate_degC,face_degC\n" + "".join(
        f"{m:.1f},{f + 60:.3f},{f:.3f}\n" for m, f in zip(minutes, face, strict=True)
    )
    file = tmp_path / "fire.csv"
    file.write_text(text, "utf-8")
    with open_diary(path) as diary:
        store.add_build(diary, example(), 1.6e9, "fan")
        add_log(diary, file, "fan", 1.7e9)
        (lit,) = rows(diary, "SELECT * FROM evenings")
        assert lit["face_from"] == "measured" and lit["minutes_above_limit"] == pytest.approx(
            100.0, abs=0.4
        )  # figures 10 s apart
        found = {row["depth_from_K"]: row["count"] for row in rows(diary, "SELECT * FROM cycles")}
        assert found == {140.0: 1.0}  # up and down by 150 K: two halves, in the class from 140 to 160 K
