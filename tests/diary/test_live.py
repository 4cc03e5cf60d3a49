"""A live log through pseudo-terminals: floods, garbage, unplugging, kill -9, and the look ahead."""

from __future__ import annotations

import os
import pty
import re
import signal
import subprocess
import sys
import threading
import time
import tty
from pathlib import Path

import numpy as np
import pytest

from builds import ROOT, example, stack
from hobwind.diary import live
from hobwind.diary.journal import begin, fold, fold_left_behind, journals
from hobwind.diary.logs import stretches
from hobwind.diary.store import open_diary, rows
from hobwind.errors import DiaryError
from hobwind.stack.evening import evening
from hobwind.stack.fields import Seen
from unfolding import unfolded

SHED = str(ROOT / "examples" / "boat-shed.toml")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HOBWIND_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


class Board:
    """A microcontroller on a pseudo-terminal, at a path that stays while it is unplugged and plugged in again."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.plug()

    def plug(self) -> None:
        self.ours, theirs = pty.openpty()
        tty.setraw(theirs)
        self.path.unlink(missing_ok=True)
        self.path.symlink_to(os.ttyname(theirs))
        self.theirs = theirs

    def say(self, text: bytes) -> None:
        while text:
            text = text[os.write(self.ours, text) :]

    def unplug(self) -> None:
        self.path.unlink()
        os.close(self.ours)
        os.close(self.theirs)


def until(what, seconds: float = 20.0) -> None:
    end = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < end, "waited too long"
        time.sleep(0.02)


@pytest.fixture
def boards(tmp_path: Path):
    made = [Board(tmp_path / "one"), Board(tmp_path / "two")]
    yield made
    for board in made:
        if board.path.is_symlink():
            board.unplug()


def test_flood_garbage_half_lines_unplugging_and_two_ports(boards: list[Board], home: Path) -> None:
    journal, stop = begin("fan", None, (), {}, "test"), threading.Event()
    seen, threads = live.start([str(b.path) for b in boards], 115200, journal, (), {}, stop)
    first, second = boards
    until(lambda: list(seen.state.values()) == ["reading"] * 2)
    first.say(b"12.7\nplate=20.0\n")  # the first may be half a line
    second.say(b"\nface=15.0\n")
    until(lambda: seen.lines == 2)
    for i in range(1000):  # a second of 1 kHz, as fast as the port takes it
        first.say(b"plate=%.1f\n" % (100.0 + i / 10.0))
    first.say(b"\xff\xfe\x00junk\nplate=1")
    until(lambda: seen.lines == 1003)
    first.unplug()
    until(lambda: seen.state[str(first.path)] == "unplugged")
    second.say(b"face=16.0\n")
    first.plug()
    until(lambda: seen.state[str(first.path)] == "reading")
    first.say(b"99.0\nplate=250.5\n")
    until(lambda: seen.newest.get("plate_degC") == 250.5 and seen.newest.get("face_degC") == 16.0)
    stop.set()
    for thread in threads:
        thread.join(5.0)
    journal.close()
    with open_diary() as diary:
        log = fold(diary, journal.path)
        assert log is not None and not journal.path.exists()
        part = next(stretches(diary, log))
        plate = part.figures[:, part.names.index("plate_degC")]
        wanted = [20.0, *(100.0 + i / 10.0 for i in range(1000)), 250.5]  # and nothing made of halves
        np.testing.assert_allclose(plate[np.isfinite(plate)], wanted, rtol=6e-8)
        assert rows(diary, "SELECT unread FROM logs")[0]["unread"] == 1
        assert abs(part.time[-1] - time.time()) < 30.0 and (np.diff(part.time) >= 0.0).all()


def test_kill_9_in_a_flood_loses_at_most_the_last_line(boards: list[Board], home: Path) -> None:
    board = boards[0]
    command = [sys.executable, "-m", "hobwind", "log", str(board.path), "--build", SHED, "--every", "0.2", "--quiet"]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    until(lambda: any(journals(home).glob("*.lines")), 120.0)
    path = next(journals(home).glob("*.lines"))
    sent = 0

    def kept() -> int:
        return path.read_bytes().count(b"\n") - 1  # less its head

    board.say(b"\n")
    start = time.monotonic()
    while kept() <= 1000:  # 1 kHz; what is said before the port is open is nobody's
        board.say(b"plate=%d\n" % (20 + sent))
        sent += 1
        time.sleep(max(0.0, start + sent / 1000.0 - time.monotonic()))
        assert sent < 60_000
    os.kill(child.pid, signal.SIGKILL)
    child.wait()
    assert child.stdout is not None and child.stderr is not None
    child.stdout.close()
    child.stderr.close()
    waiting = unread_bytes(board) // len(b"plate=1519\n")  # whole lines that the killed process had not taken yet
    with open_diary() as diary:
        (log,) = fold_left_behind(diary)
        plate = np.concatenate([part.figures[:, 0] for part in stretches(diary, log)])
        assert (np.diff(plate) == 1.0).all() and plate.size > 1000  # none missing between
        assert 20 + sent - 1 - plate[-1] - waiting <= 1
        assert fold_left_behind(diary) == []


def unread_bytes(board: Board) -> int:
    import fcntl
    import struct
    import termios

    return struct.unpack("i", fcntl.ioctl(board.theirs, termios.FIONREAD, b"\0" * 4))[0]


WRITER = """
import os, sys, time
from hobwind.diary.journal import begin
journal = begin("fan", None, ("plate",), {}, "test")
for i in range(10**9):
    journal.write(0, time.time(), b"%d" % i)
    os.write(1, b"%d\\n" % i)
"""


def test_a_killed_writer_has_lost_no_line_it_was_done_with(home: Path) -> None:
    child = subprocess.Popen([sys.executable, "-c", WRITER], stdout=subprocess.PIPE)
    assert child.stdout is not None
    data = b""
    while data.count(b"\n") < 5000:
        data += os.read(child.stdout.fileno(), 65536)
    child.kill()
    data += child.stdout.read()
    child.wait()
    child.stdout.close()
    done = data.count(b"\n")
    with open_diary() as diary:
        (log,) = fold_left_behind(diary)
        assert done <= rows(diary, "SELECT rows FROM logs WHERE id = ?", log)[0]["rows"] <= done + 1


def test_a_running_log_is_left_alone_and_a_cut_line_passed_over(home: Path) -> None:
    journal = begin("fan", None, ("plate",), {}, "test")
    journal.write(0, 1.7e9, b"20.5")
    with open_diary() as diary:
        assert fold_left_behind(diary) == [] and journal.path.exists()
        os.write(journal.handle, b"1700000001.0000 0 99")  # cut off by a crash
        journal.close()
        (log,) = fold_left_behind(diary)
        assert next(stretches(diary, log)).figures.tolist() == [[20.5]]


def test_a_full_disk_is_told_and_the_lines_before_it_are_kept(home: Path) -> None:
    script = (
        "import resource, signal\nfrom hobwind.diary.journal import begin\nfrom hobwind.errors import DiaryError\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\nj = begin('fan', None, ('plate',), {}, 'test')\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))\n"
        "try:\n    for i in range(100): j.write(0, 1.7e9 + i, b'21.5')\nexcept DiaryError as error: print(j.lines, error)"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    found = re.match(r"(\d+) .*a line cannot be written \(.*\)\. The (\d+) before it are kept; free some space", ran.stdout)
    assert found is not None and found[1] == found[2]
    with open_diary() as diary:
        (log,) = fold_left_behind(diary)
        assert rows(diary, "SELECT rows FROM logs WHERE id = ?", log)[0]["rows"] == int(found[1]) > 20


def test_the_look_ahead_is_the_evening_itself() -> None:
    """On a fire that does go on as it did, what was foreseen is what the whole evening then shows."""
    from hobwind.stack.curves import PlateCurve

    prepared = stack("boat-shed-no-guard")
    room = float(prepared.p[0])
    seconds = np.arange(0.0, 3600.0 + 1.0, 5.0)
    plate = room + 0.06 * seconds
    whole = evening(prepared, PlateCurve("straight", seconds, plate), 60.0)
    course = [(1.7e9 + s, p - 273.15) for s, p in zip(seconds, plate, strict=True) if s <= 1800.0]
    found = live.look_ahead(prepared, course, None, 400.0)
    assert found is not None and found.slope == pytest.approx(0.06, rel=1e-6)
    for moment, face in zip(found.seconds, found.face, strict=True):
        at = np.interp(1800.0 + moment, whole.time, whole.seen[:, Seen.hot_face]) - 273.15
        assert face == pytest.approx(at, abs=0.3)  # straight lines between figures 60 s apart
    measured = live.look_ahead(prepared, course, found.face_now + 5.0, 400.0)
    assert measured is not None and measured.face[-1] - found.face[-1] == pytest.approx(5.0, abs=1e-6)


@pytest.mark.parametrize(
    ("face", "reaches", "word"),
    [(139.0, None, "calm"), (140.0, None, "close"), (150.0, 0.0, "above"), (100.0, 500.0, "coming"), (100.0, 700.0, "calm")],
)
def test_the_alarm(face: float, reaches: float | None, word: str) -> None:
    assert live.alarm_for(face, 150.0, reaches) == word


def test_the_command_logs_and_rings(boards: list[Board], home: Path) -> None:
    board = boards[0]
    limit = min(use.part.hot_limit.value for use in example().modules) - 273.15
    command = [
        sys.executable,
        "-m",
        "hobwind",
        "log",
        str(board.path),
        "--build",
        SHED,
        "--names",
        "plate,face",
        "--every",
        "0.2",
    ]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    until(lambda: any(journals(home).glob("*.lines")), 120.0)
    kept = next(journals(home).glob("*.lines"))

    def lines() -> int:
        return kept.read_bytes().count(b"\n") - 1  # less its head

    def knock() -> bool:
        board.say(b"\n%.1f,%.1f\n" % (limit + 40.0, limit - 6.0))
        return lines() > 0

    until(knock, 60.0)  # a port begins empty when it is opened, which is after the journal has begun
    for i in range(20):
        board.say(b"%.1f,%.1f\n" % (limit + 40.0, limit - 5.0 + i / 10.0))
        time.sleep(0.05)
    until(lambda: kept.read_bytes().endswith(b"%.1f\n" % (limit - 3.1)), 60.0)
    told = lines()
    child.send_signal(signal.SIGINT)
    said, rang = child.communicate(timeout=30)
    assert "NEAR ITS LIMIT: close the air now" in said and "\a" in rang
    assert (
        told > 20
        and f'{told} lines, 0 not understood; in the diary of "Boat shed" as log 1.' in unfolded(said)
        and "Traceback" not in rang
    )
    assert not list(journals(home).iterdir())


def test_a_port_that_is_not_there(home: Path, tmp_path: Path) -> None:
    journal, stop = begin("fan", None, (), {}, "test"), threading.Event()
    seen, threads = live.start([str(tmp_path / "none")], 9600, journal, (), {}, stop)
    until(lambda: seen.state.get(str(tmp_path / "none")) == "not there")
    seen.broken = DiaryError("full")
    with pytest.raises(DiaryError, match="full"):
        live.watch(seen, stop, None, 150.0, lambda *_: None, 0.1, 5.0)
    stop.set()
    threads[0].join(5.0)
    journal.close()
