"""Trial without a browser: logs read and corrected, laid over the prediction, typed at the fire, logged from a port."""

from __future__ import annotations

import base64
import json
import os
import shutil
import signal
import sqlite3
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import numpy as np
import pytest
from typer.testing import CliRunner

from boards import Board
from builds import ROOT
from hobwind.cli import app
from hobwind.diary.journal import fold_left_behind
from hobwind.diary.logs import stretches
from hobwind.diary.store import open_diary, rows
from hobwind.diary.typed import Entry, csv_of, kept, place
from hobwind.errors import InputError
from hobwind.page.live_desk import PORT, checked_port
from hobwind.page.trial_logs import on_the_page
from hobwind.trial.logs import read_log
from serving import home_of, served, serving

TEXT = (ROOT / "examples" / "boat-shed.toml").read_text("utf-8")
FIRE = ROOT / "examples" / "boat-shed-fire.csv"


@pytest.fixture(scope="module")
def place_of(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("trials")


@pytest.fixture(scope="module")
def own(place_of: Path) -> Iterator[httpx.Client]:
    """A server whose diary nobody else writes to."""
    with serving(place_of) as address, httpx.Client(base_url=address, timeout=60.0) as client:
        yield client


def log(name: str, data: bytes, **more: Any) -> dict[str, Any]:
    return {"name": name, "data": base64.b64encode(data).decode(), **more}


def ended(client: httpx.Client, state: dict[str, Any], seconds: float = 60.0) -> dict[str, Any]:
    end = time.monotonic() + seconds
    while state["state"] in ("waiting", "running"):
        assert time.monotonic() < end, state
        time.sleep(0.05)
        state = client.get(f"/api/jobs/{state['id']}").json()
    return state


def until(what: Any, seconds: float = 60.0) -> Any:
    end = time.monotonic() + seconds
    while not (found := what()):
        assert time.monotonic() < end, "waited too long"
        time.sleep(0.05)
    return found


def straight(minutes: int = 40) -> bytes:
    """By hand: the plate rises 8 K a minute from 20 °C; at minute 10, plate 100 °C, the blade first turns; at 30 it is lifted."""
    lines = ["time_min,plate [C],speed [rpm],gap [mm],remark"]
    for m in range(minutes):
        lines.append(f"{m},{20 + 8 * m},{0 if m < 10 else 400},{0 if m < 30 else 2.0},{'reloaded' if m == 20 else ''}")
    return "\n".join(lines).encode()


def test_columns_are_guessed_shown_and_corrected(page: httpx.Client) -> None:
    got = page.post("/api/trial/read", json={"log": log("fire.csv", FIRE.read_bytes())}).json()
    assert [c["channel"] for c in got["columns"]] == ["time", "plate", "hot_face", "cold_face", "sink", "speed", "gap", "note"]
    assert got["columns"][1]["header"] == "Ofenplatte [°C]" and got["columns"][1]["cells"][0] == "13.5"  # as the file has it
    assert [row["line"] for row in got["bad"]] == [203, 423] and "Fehler" in got["bad"][0]["says"]
    assert got["date"] == "2026-01-14" and got["minutes"] == pytest.approx(180.0, abs=0.3)
    swapped = [{"header": "Kühlkörper [°C]", "channel": "riser", "unit": "K"}]
    again = page.post("/api/trial/read", json={"log": log("fire.csv", FIRE.read_bytes(), columns=swapped)}).json()
    sink = again["columns"][4]
    assert (sink["channel"], sink["unit"], sink["why"]) == ("riser", "K", "as you said")
    assert len(again["bad"]) + again["more_bad"] > 600  # 13 K is no sink: every line is named, none is dropped silently


def test_what_cannot_be_read_is_said_in_the_pages_own_words(page: httpx.Client) -> None:
    got = page.post("/api/trial/read", json={"log": log("x.csv", b"a,b\nred,5\nblue,2\ngrey,4\n")}).json()
    assert "choose it in the table" in got["problem"] and "--" not in got["problem"]
    for data, says in (("%%%", "did not come over whole"), ("", "x.csv")):
        answer = page.post("/api/trial/read", json={"log": {"name": "x.csv", "data": data}})
        assert answer.status_code == 422 and says in answer.json()["says"]
    assert on_the_page('x.csv: has no stove plate; name its column, such as --column "T1=plate"') == (
        "x.csv: has no stove plate; choose it in the table"
    )
    assert on_the_page('fire.csv: --infrared: got "x"') == 'fire.csv: got "x"'


def test_uploads_are_bounded_and_other_routes_stay_small(page: httpx.Client) -> None:
    kind = {"Content-Type": "application/json"}
    assert page.post("/api/trial/read", content=b" " * 33_000_000, headers=kind).status_code == 413
    assert page.post("/api/trial/read", content=b" " * 3_000_000, headers=kind).status_code == 422
    assert page.post("/api/build/look", content=b" " * 3_000_000, headers=kind).status_code == 413


def test_a_fire_reckoned_by_hand(own: httpx.Client) -> None:
    """The plate is read at 100 °C when the speed first shows, and at 260 °C when the gap does; predicted may be elsewhere."""
    got = ended(own, own.post("/api/trial/run", json={"text": TEXT, "logs": [log("hand.csv", straight())]}).json())
    assert got["state"] == "done", got
    figures = {one["key"]: one["text"] for one in got["result"]["figures"]}
    assert figures["trial_started"].startswith("100 ± ") and figures["trial_lifted"].startswith("260 ± ")
    assert figures["trial_peak_plate"].startswith("332 ± ")
    # Class 2 type K is 2.5 K off, the plate's twice that for how it is held; the plate moved 8 K between two lines: √(5² + 8²) and noise.
    assert 9 <= int(figures["trial_started"].split()[2]) <= 11
    assert got["result"]["notes"] == [{"minute": 20.0, "text": "reloaded"}]
    assert any("face" in text for text in got["result"]["missing"]) and got["result"]["cautions"]
    assert all(one["why"]["equation"] and one["why"]["numbers"] for one in got["result"]["figures"])
    seen = json.dumps(got["result"])
    assert "--fit" not in seen and "hobwind trial" not in seen


def test_the_page_says_what_the_command_line_says(own: httpx.Client) -> None:
    ran = CliRunner().invoke(app, ["trial", str(ROOT / "examples" / "boat-shed.toml"), str(FIRE), "--json"])
    told = json.loads(ran.stdout)
    got = ended(own, own.post("/api/trial/run", json={"text": TEXT, "logs": [log(FIRE.name, FIRE.read_bytes())]}).json())
    result = got["result"]
    inside, count = sum(c["inside"] for c in told["channels"]), sum(len(c["measured"]) for c in told["channels"])
    assert result["inside"]["text"] == f"{inside} of {count}"
    assert result["missing"] == told["not_shown"] and result["next_fire"] == told["next_fire"]
    before = own.post("/api/trial/diary", json={"mark": "nobody"})
    assert before.status_code == 422 and "not at hand" in before.json()["says"]


def test_two_loggers_are_joined_and_a_typed_offset_stands(own: httpx.Client) -> None:
    """The second's clock is 300 s late by construction, and its plate is the first's."""
    late = ["time_min,plate [C],sink [C]", *(f"{m - 5},{20 + 8 * m + (m % 3)},{20 + m}" for m in range(5, 40))]
    first = ["time_min,plate [C],speed [rpm]", *(f"{m},{20 + 8 * m + (m % 3)},{0 if m < 10 else 400}" for m in range(40))]
    both = [log("one.csv", "\n".join(first).encode()), log("two.csv", "\n".join(late).encode())]
    got = ended(own, own.post("/api/trial/run", json={"text": TEXT, "logs": both}).json())["result"]
    assert got["offsets"][0]["seconds"] == pytest.approx(300.0, abs=45.0)  # three grid steps of the search
    both[1]["offset_s"] = 290.0
    got = ended(own, own.post("/api/trial/run", json={"text": TEXT, "logs": both}).json())["result"]
    assert got["offsets"][0]["seconds"] == 290.0 and got["offsets"][0]["says"] == "as typed"


def test_a_fit_can_be_stopped(own: httpx.Client) -> None:
    state = own.post("/api/trial/fit", json={"text": TEXT, "logs": [log(FIRE.name, FIRE.read_bytes())]}).json()
    until(lambda: own.get(f"/api/jobs/{state['id']}").json()["share"] > 0.0)
    assert own.delete(f"/api/jobs/{state['id']}").json()["state"] == "stopped"
    assert ended(own, own.get(f"/api/jobs/{state['id']}").json())["result"] is None


@pytest.fixture
def berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def test_typed_entries_are_a_log_like_any_other(berlin: None) -> None:
    """2026-10-25 00:59:30 UTC is 02:59:30 summer time; a minute later the clocks go back to 02:00. No hour comes twice."""
    start = 1792889970.25
    entries = [Entry(start + 60.0 * k, "plate", 100.0 + k) for k in range(12)]
    entries += [Entry(start + 30.0, "hot_face", 60.5), Entry(start + 200.0, "note", None, "lifted")]
    lines = csv_of(entries).splitlines()
    assert lines[0] == "time,plate [°C],hot_face [°C],note"
    assert lines[1] == "2026-10-25 02:59:30.250,100,," and lines[3] == "2026-10-25 03:00:30.250,101,,"
    read = read_log("\n".join(lines).encode(), "typed.csv")
    assert read.bad == () and read.series["plate"].time.tolist() == [60.0 * k for k in range(12)]
    assert read.series["hot_face"].value[0] == pytest.approx(333.65) and read.notes[0].text == "lifted"
    assert read.notes[0].time == pytest.approx(200.0, abs=1e-3)  # milliseconds are kept


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        (Entry(1.7e9, "plate", 900.0), "plate: got 900 °C; -30 to 800 °C is allowed"),
        (Entry(1.7e9, "chimney", 90.0), 'channel: got "chimney"'), (Entry(1.7e9, "note", None, "=cmd"), 'mark: got "=cmd"'),
        (Entry(1.7e9, "plate", None), "plate: got nothing"),
    ],
)  # fmt: skip
def test_what_cannot_be_typed(entry: Entry, says: str) -> None:
    with pytest.raises(InputError) as told:
        csv_of([entry])
    assert str(told.value).startswith(says)
    with pytest.raises(InputError, match="48 h at most"):
        csv_of([Entry(0.0, "plate", 1.0), Entry(2e5, "plate", 1.0)])


def test_typed_logs_are_kept_by_the_server_whole_every_time(own: httpx.Client, place_of: Path) -> None:
    home, name = home_of(place_of), "fire-2026-01-14-1840-ab12cd"
    entries = [{"when_s": 1.7e9 + 60 * k, "channel": "plate", "value": 50.0 + k} for k in range(7)]
    assert own.put(f"/api/trial/typed/{name}", json={"entries": entries}).status_code == 200
    assert own.put(f"/api/trial/typed/{name}", json={"entries": entries[:6]}).status_code == 200  # the last was taken back
    assert len((home / "typed" / f"{name}.csv").read_text("utf-8").splitlines()) == 7
    assert own.get("/api/trial/typed").json()["names"][0]["name"] == name
    back = own.get(f"/api/trial/typed/{name}").json()
    assert base64.b64decode(back["data"]).decode() == (home / "typed" / f"{name}.csv").read_text("utf-8")
    for bad in ("..%2F..%2Fetc", "UPPER-CASE-NAME", "a"):
        assert own.put(f"/api/trial/typed/{bad}", json={"entries": entries}).status_code in (404, 422)
    assert own.get("/api/trial/typed/fire-that-is-not-there").status_code == 422
    assert sorted(path.name for path in (home / "typed").iterdir()) == [f"{name}.csv"]


def test_only_so_many_typed_logs_are_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from hobwind.diary import typed

    monkeypatch.setenv("HOBWIND_HOME", str(tmp_path))
    monkeypatch.setattr(typed, "MOST_KEPT", 2)
    for k in range(2):
        typed.keep(f"fire-number-{k}", [Entry(1.7e9, "plate", 20.0)])
    with pytest.raises(InputError, match="2 typed logs are kept already"):
        typed.keep("fire-number-2", [Entry(1.7e9, "plate", 20.0)])
    typed.keep("fire-number-1", [Entry(1.7e9, "plate", 21.0)])
    assert len(kept()) == 2 and place("fire-number-1").read_text("utf-8").endswith(",21,\n")


@pytest.mark.parametrize(
    "port", ["/etc/passwd", "/dev/sda", "/dev/null", "../../dev/ttyS0", "/dev/tty/../sda", "/dev/pts/../mem", "COM3;ls", "socket://x:1",
             "rfc2217://x", "loop://", "", "/dev/pts/ptmx"],
)  # fmt: skip
def test_only_ports_are_opened(own: httpx.Client, port: str) -> None:
    assert not PORT.fullmatch(port)
    answer = own.post("/api/trial/live", json={"text": TEXT, "ports": [port]})
    assert answer.status_code == 422 and not own.get("/api/trial/live").json()["running"]


def test_names_of_ports() -> None:
    for good in (
        "/dev/ttyUSB0",
        "/dev/ttyACM12",
        "/dev/pts/7",
        "COM3",
        "/dev/cu.usbmodem1",
        "/dev/serial/by-id/usb-1a86_USB-if00-port0",
    ):
        assert checked_port(f" {good} ") == good


def folded_elsewhere(journal: Path, home: Path) -> int:
    """Rows that another diary makes of a journal as it lies on the disk, as after kill -9."""
    (home / "coming").mkdir()
    shutil.copy(journal, home / "coming")
    with open_diary(home / "diary.sqlite") as diary:
        (log,) = fold_left_behind(diary)
        return int(rows(diary, "SELECT rows FROM logs WHERE id = ?", log)[0]["rows"])


def kill_at(process: int, journal: Path, lines: int) -> None:
    """Kill a process, unasked, once so many lines stand in its journal."""
    until(lambda: journal.read_bytes().count(b"\n") > lines)
    os.kill(process, signal.SIGKILL)


def test_a_live_log_is_kept_foreseen_and_folded_in(own: httpx.Client, place_of: Path, tmp_path: Path) -> None:
    home, board = home_of(place_of), Board()
    try:
        asked = {"text": TEXT, "ports": [board.port], "names": "plate,face", "limit_degC": 150.0}
        assert own.post("/api/trial/live", json=asked).json()["running"]
        assert own.post("/api/trial/live", json=asked).status_code == 422  # one at a time
        until(lambda: own.get("/api/trial/live").json()["ports"][0]["says"] == "reading")
        board.say(b"\n")
        for k in range(8):
            board.say(b"%.1f,%.1f\n" % (180.0 + k, 143.0))  # 7 K below its limit: near
            time.sleep(0.1)
        board.say(b"rubbish!\n")
        got = until(lambda: (one := own.get("/api/trial/live").json())["lines"] == 9 and one["ahead"] and one)
        assert got["unread"] == 1 and ("face", "143.0 °C") in [(one["label"], one["text"]) for one in got["newest"]]
        assert all("of 9 lines" in one["why"]["numbers"] for one in got["newest"])
        assert got["ahead"]["alarm"] == "close" and "close the air now" in got["ahead"]["says"]
        (journal,) = (home / "coming").glob("*.lines")
        assert journal.read_bytes().count(b"\n") == 10  # its head and every line, before anything was folded in
        assert folded_elsewhere(journal, tmp_path) == 8  # what a crash now would leave is enough
        said = own.delete("/api/trial/live").json()
        assert not said["running"] and '9 lines, 1 not understood; in the diary of "Boat shed" as log 1.' in said["said"]
    finally:
        board.close()
    with sqlite3.connect(home / "diary.sqlite") as diary:
        assert diary.execute("SELECT rows, unread, source FROM logs").fetchall() == [(8, 1, board.port)]
        assert diary.execute("SELECT count(*) FROM builds").fetchone() == (1,)
    diary.close()
    assert not list((home / "coming").glob("*.lines"))


def test_a_live_log_outlives_a_server_that_is_told_to_end(tmp_path: Path) -> None:
    board, folder = Board(), tmp_path / "builds"
    folder.mkdir()
    try:
        with serving(folder) as address, httpx.Client(base_url=address, timeout=60.0) as client:
            assert client.post("/api/trial/live", json={"text": TEXT, "ports": [board.port]}).json()["running"]
            until(lambda: client.get("/api/trial/live").json()["ports"][0]["says"] == "reading")
            board.say(b"\nplate=20\nplate=21\n")
            until(lambda: client.get("/api/trial/live").json()["lines"] == 2)
        home = home_of(folder)
        left = [path.read_bytes() for path in (home / "coming").glob("*.lines")]
        with sqlite3.connect(home / "diary.sqlite") as diary:
            kept_rows = diary.execute("SELECT rows FROM logs").fetchall()
        diary.close()
        assert kept_rows == [(2,)] or b"plate=21" in left[0]  # folded in at the end, or lying there for the next time
    finally:
        board.close()


def test_kill_9_in_a_flood_loses_at_most_the_last_line_and_the_page_says_so(tmp_path: Path) -> None:
    """The server is killed by another hand while a thousand lines a second come in; started again it has every line but one."""
    board, folder = Board(), tmp_path / "builds"
    folder.mkdir()
    home = home_of(folder)
    try:
        with served(folder) as (address, ran), httpx.Client(base_url=address, timeout=60.0) as client:
            assert client.post("/api/trial/live", json={"text": TEXT, "ports": [board.port]}).json()["running"]
            until(lambda: client.get("/api/trial/live").json()["ports"][0]["says"] == "reading")  # it begins empty then
            (journal,) = (home / "coming").glob("*.lines")
            board.say(b"\n")
            killer = threading.Thread(target=kill_at, args=(ran.pid, journal, 1500))
            killer.start()
            sent, start = 0, time.monotonic()
            while ran.poll() is None:
                board.say(b"plate=%d\n" % (20 + sent))
                sent += 1
                time.sleep(max(0.0, start + sent / 1000.0 - time.monotonic()))
                assert sent < 60_000
            killer.join()
            assert ran.returncode == -signal.SIGKILL and journal.exists()
        untaken = board.waiting() // len(b"plate=1519\n")  # whole lines that nobody had taken from the port yet
        with served(folder) as (address, _), httpx.Client(base_url=address, timeout=60.0) as client:
            got = client.get("/api/trial/live").json()
            assert not got["running"]
    finally:
        board.close()
    with open_diary(home / "diary.sqlite") as diary:
        plate = np.concatenate([part.figures[:, 0] for part in stretches(diary, 1)])
        assert rows(diary, "SELECT count(*) AS many FROM logs")[0]["many"] == 1
    assert (np.diff(plate) == 1.0).all() and plate[0] == 20.0 and plate.size > 1000  # none missing between
    assert 20 + sent - 1 - plate[-1] - untaken <= 1
    assert f'Its {plate.size} readings are in the diary of "Boat shed" as log 1.' in got["left"]
    assert not list((home / "coming").glob("*.lines"))


def test_what_is_coming_from_typed_readings(page: httpx.Client) -> None:
    asked = {"text": TEXT, "when_s": [1.7e9, 1.7e9 + 120, 1.7e9 + 240], "plate_degC": [180.0, 190.0, 200.0], "face_degC": 149.5}
    got = page.post("/api/trial/ahead", json=asked).json()["ahead"]
    assert got["slope_K_per_min"] == pytest.approx(5.0)  # 20 K in 4 minutes
    assert got["alarm"] == "close" and got["face"]["text"] in ("149 °C", "150 °C")
    assert page.post("/api/trial/ahead", json={**asked, "when_s": []}).status_code == 422
    nothing = page.post("/api/trial/ahead", json={"text": TEXT, "when_s": [], "plate_degC": []}).json()
    assert nothing["ahead"] is None


def test_without_scripts_the_commands_stand_there(page: httpx.Client) -> None:
    got = page.get("/trial?file=boat-shed.toml&plain=true").text
    assert "hobwind trial boat-shed.toml LOG.csv --fit --take fitted.toml --diary" in got
    assert "hobwind log /dev/ttyUSB0 --build boat-shed.toml" in got
    pad = page.get("/trial/pad?file=boat-shed.toml&plain=true").text
    assert "hot face in °C" in pad and "sat back" in pad and page.get("/trial/pad").status_code == 200
