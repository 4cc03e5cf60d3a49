"""Diary without a browser: nothing made by looking, what is entered is there, photos without places, carried away and taken in."""

from __future__ import annotations

import base64
import io
import re
import sqlite3
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from PIL import Image

from builds import ROOT
from hobwind.errors import InputError
from hobwind.page.diary_words import when_of
from serving import home_of, serving
from test_layers import kept_off

TEXT = (ROOT / "examples" / "boat-shed.toml").read_text("utf-8")
FAN = "Boat shed"


@pytest.fixture(scope="module")
def place_of(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("diaries")


@pytest.fixture(scope="module")
def own(place_of: Path) -> Iterator[httpx.Client]:
    """A server whose diary nobody else writes to."""
    with serving(place_of) as address, httpx.Client(base_url=address, timeout=60.0) as client:
        yield client


def asked(home: Path, question: str, *values: object) -> list[Any]:
    """Rows of the diary's file, read by SQLite itself."""
    with sqlite3.connect(home / "diary.sqlite") as diary:
        found = diary.execute(question, values).fetchall()
    diary.close()
    return found


def coded(data: bytes) -> str:
    return base64.b64encode(data).decode()


def evening(peak: float) -> bytes:
    """20 °C to the peak in 40 minutes, held for 80, down to 40 °C in 80: lit (above 60 °C) for a reckonable time."""
    rows = ["time_min,plate [C]"]
    for half_minutes in range(401):
        m = 0.5 * half_minutes
        plate = 20 + (peak - 20) * m / 40 if m < 40 else peak if m < 120 else peak - (peak - 40) * (m - 120) / 80
        rows.append(f"{m},{plate:.3f}")
    return "\n".join(rows).encode()


def test_looking_makes_no_diary(own: httpx.Client, place_of: Path) -> None:
    assert own.get("/diary").status_code == 200 and "hobwind diary add" in own.get("/diary?plain=true").text
    assert own.get("/api/diary/fans").json() == {"there": False, "fans": []}
    for answer in (
        own.get("/api/diary/winters"), own.get("/api/diary/export"), own.post("/api/diary/service", json={"fan": FAN, "work": "other"}),
        own.post("/api/diary/import", json={"data": coded(b"nothing of the kind")}),
    ):  # fmt: skip
        assert answer.status_code == 422 and answer.json()["says"]
    assert own.get("/api/diary/photo/1").status_code == 404
    assert "there is no diary" in own.get("/api/diary/check").json()["says"]
    assert not (home_of(place_of) / "diary.sqlite").exists()


def test_the_invented_diary_is_shown_and_nothing_is_written(own: httpx.Client, place_of: Path) -> None:
    (fan,) = own.get("/api/diary/fans?invented=true").json()["fans"]
    assert "invented" in fan["name"] and fan["evenings"] == 12
    got = own.get("/api/diary/winters?invented=true").json()
    assert "ageing" in got["health"]["says"] and got["health"]["changed"]
    assert {"evening", "done", "trial", "build"} == {one["kind"] for one in got["timeline"]}
    assert len(got["looks"]["vconcat"]) == 6 and got["chart"]
    for word in kept_off():
        assert not re.search(
            rf"\b{re.escape(word)}\b", str(got["health"]) + str(got["timeline"]) + str(got["figures"]), re.I
        ), word
    assert not (home_of(place_of) / "diary.sqlite").exists()


def test_what_is_entered_is_there(own: httpx.Client, place_of: Path) -> None:
    home = home_of(place_of)
    assert own.post("/api/diary/build", json={"text": TEXT}).status_code == 200
    done = {"fan": FAN, "work": "blade cleaned", "says": "<b>soot</b>", "when": "2026-01-10T12:00"}
    assert own.post("/api/diary/service", json=done).status_code == 200
    for wrong, says in (
        ({"work": "sung to"}, "one of compound renewed"), ({"when": "yesterday"}, "2026-01-31"), ({"fan": "Nobody"}, "no fan"),
    ):  # fmt: skip
        answer = own.post("/api/diary/service", json=done | wrong)
        assert answer.status_code == 422 and says in answer.json()["says"]
    assert asked(home, "SELECT work, says FROM services") == [("blade cleaned", "<b>soot</b>")]
    log = {"fan": FAN, "log": {"name": "fire.csv", "data": coded(evening(230.0))}, "when": "2026-01-09T18:00"}
    said = own.post("/api/diary/log", json=log).json()["says"]
    assert "log 1" in said and "plate [C] = plate" in said
    assert "already" in own.post("/api/diary/log", json=log).json()["says"]
    # By hand: above 60 °C from 40·40/210 = 7.6 min to 120 + 80·170/190 = 191.6 min, so 184 min, in means over ten seconds.
    ((began, ended, peak),) = asked(home, "SELECT began_s, ended_s, peak_plate_degC FROM evenings")
    assert (ended - began) / 60.0 == pytest.approx(183.96, abs=0.7) and peak == pytest.approx(230.0, abs=0.01)
    assert began == pytest.approx(when_of("2026-01-09T18:00") + 60.0 * 7.62, abs=31.0)
    got = own.get(f"/api/diary/winters?fan={FAN}").json()
    figures = {one["key"]: one["text"] for one in got["figures"]}
    assert figures["diary_evenings"] == "1" and figures["diary_lit"] in ("3 h 03 min", "3 h 04 min")
    assert [one["kind"] for one in got["timeline"]] == ["build", "done", "evening"]
    plain = own.get("/diary?plain=true").text
    assert "&lt;b&gt;soot&lt;/b&gt;" in plain and "<b>soot" not in plain and "3 h 0" in plain


def test_figures_measured_on_the_bench_show_a_module_ageing(own: httpx.Client, place_of: Path) -> None:
    """A resistance that climbs 8 times its own doubt a look has changed; the rise a year is that of a ruler laid along it."""
    text = TEXT.replace('"Boat shed"', '"Bench fan"')
    own.post("/api/diary/build", json={"text": text})
    for k in range(5):
        look = {
            "fan": "Bench fan",
            "name": "module_resistance_ohm",
            "value": 1.60 + 0.16 * k,
            "half": 0.04,
            "when": f"2026-0{k + 1}-01T12:00",
        }
        assert own.post("/api/diary/look", json=look).status_code == 200
    rows = asked(
        home_of(place_of), "SELECT value, uncertainty FROM look_values v JOIN looks l ON l.id = v.look_id ORDER BY looked_s"
    )
    assert rows == [(pytest.approx(1.60 + 0.16 * k), pytest.approx(0.02)) for k in range(5)]  # 19 in 20 is two spreads
    health = own.get("/api/diary/winters?fan=Bench fan").json()["health"]
    (value,) = health["values"]
    assert health["changed"] and "changed" in value["label"] and value["text"] == "2.24 Ω"
    rise = float(re.search(r"\+([\d.]+) ±", value["label"])[1])  # type: ignore[index]
    assert rise == pytest.approx(0.64 / (120 / 365.25), rel=0.02)  # 120 days from January to May; months are not alike
    bad = {"fan": "Bench fan", "name": "mood", "value": 1.0, "half": 0.1}
    assert own.post("/api/diary/look", json=bad).status_code == 422
    assert own.post("/api/diary/look", json=bad | {"name": "module_resistance_ohm", "half": 0.0}).status_code == 422


def turned() -> bytes:
    """A wide picture, its left half red, that a camera held on its side: EXIF 6 is a quarter turn to the right, so red comes on top."""
    picture, exif = Image.new("RGB", (900, 300), "blue"), Image.Exif()
    picture.paste((255, 0, 0), (0, 0, 450, 300))
    exif[0x0112], exif[0x010F] = 6, "a maker's name"
    exif.get_ifd(0x8825)[1] = "N"  # where it was taken
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif, quality=95)
    return out.getvalue()


def test_a_photo_is_kept_without_places_and_shown_small_and_upright(own: httpx.Client, place_of: Path) -> None:
    """Read back by Pillow."""
    own.post("/api/diary/build", json={"text": TEXT})
    given = {"fan": FAN, "data": coded(turned()), "says": "new blade"}
    assert own.post("/api/diary/photo", json=given).status_code == 200
    ((number, kept),) = asked(home_of(place_of), "SELECT id, data FROM photos")
    with Image.open(io.BytesIO(kept)) as picture:
        assert set(picture.getexif()) == {0x0112} and b"a maker's name" not in kept
    small = own.get(f"/api/diary/photo/{number}?small=true")
    assert small.headers["content-type"] == "image/jpeg"
    with Image.open(io.BytesIO(small.content)) as thumbnail:
        assert thumbnail.size == (160, 480)  # 300 x 900 upright, the longer side 480
        (red, _, _), (_, _, blue) = thumbnail.getpixel((80, 100)), thumbnail.getpixel((80, 400))
        assert red > 200 and blue > 200
    assert own.get(f"/api/diary/photo/{number}").content == kept
    for data, says in ((b"GIF89a nonsense", "photo"), (b"\x89PNG\r\n\x1a\n" + b"x" * 50, "photo")):
        answer = own.post("/api/diary/photo", json={"fan": FAN, "data": coded(data)})
        assert answer.status_code == 422 and says in answer.json()["says"]
    much = own.post("/api/diary/photo", json={"fan": FAN, "data": "A" * 17_000_000})
    assert much.status_code == 422 and len(asked(home_of(place_of), "SELECT id FROM photos")) == 1
    for number in (0, -1, 10**30):
        assert own.get(f"/api/diary/photo/{number}").status_code in (404, 422)


def test_carried_away_taken_in_and_checked(own: httpx.Client, place_of: Path, tmp_path: Path) -> None:
    own.post("/api/diary/build", json={"text": TEXT})
    got = own.get("/api/diary/export")
    assert got.headers["content-type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(got.content)) as zipped:
        assert zipped.testzip() is None and "plain/fans.csv" in zipped.namelist()
        zipped.extract("diary.sqlite", tmp_path)
    assert (FAN,) in asked(tmp_path, "SELECT name FROM fans")
    assert "nothing that was not there" in own.post("/api/diary/import", json={"data": coded(got.content)}).json()["says"]
    assert "Sound" in own.get("/api/diary/check").json()["says"]
    damaged = got.content[: len(got.content) // 2]
    assert own.post("/api/diary/import", json={"data": coded(damaged)}).status_code == 422
    with sqlite3.connect(tmp_path / "other.sqlite") as other:
        other.execute("CREATE TABLE t (x)")
    other.close()
    answer = own.post("/api/diary/import", json={"data": coded((tmp_path / "other.sqlite").read_bytes())})
    assert answer.status_code == 422 and str(tmp_path) not in answer.json()["says"]
    assert asked(home_of(place_of), "SELECT count(*) FROM fans WHERE name = ?", FAN) == [(1,)]


def test_days_and_times_of_a_form() -> None:
    assert when_of("") is None
    first, second = when_of("2026-01-31"), when_of("2026-01-31T18:30")
    assert first is not None and second is not None and second - first == 18.5 * 3600.0
    with pytest.raises(InputError, match="2026-01-31"):
        when_of("31.1.2026")
