"""Logs in the shapes that loggers and people write them."""

from __future__ import annotations

import numpy as np
import pytest

from builds import ROOT
from hobwind.errors import InputError
from hobwind.tables import read_columns
from hobwind.trial.columns import kept_text, read_kept
from hobwind.trial.joining import slide
from hobwind.trial.logs import read_log
from hobwind.trial.measured import Series


def kelvin(log, key):
    return (log.series[key].value - 273.15).round(6).tolist()


def test_comma_point_seconds() -> None:
    log = read_log(b"time_s,plate_degC,sink_degC\n0,20,20\n60,40.5,21\n120,60,22\n", "a.csv")
    assert kelvin(log, "plate") == [20.0, 40.5, 60.0] and log.series["sink"].time.tolist() == [0.0, 60.0, 120.0]
    assert not log.bad and not log.gaps


@pytest.mark.parametrize(
    ("text", "plate"),
    [
        ("Zeit;Ofenplatte [°C];Kühlkörper [°C]\n19:05;20,5;20\n19:06;30,5;21\n19:07;41;22\n", [20.5, 30.5, 41.0]),
        ("Heure\tPlaque (°F)\n0:00:00\t68\n0:01:00\t86\n0:02:00\t212\n", [20.0, 30.0, 100.0]),
        ("Logger 7\nSerial 12\n\ntiempo,placa,disipador\ns,°C,°C\n0,20,19\n60,30,19\n120,40,20\n", [20.0, 30.0, 40.0]),
        ("# a remark\nt [min];T1;T2\n0;20;15\n1;30;15\n2;90;16\n", [20.0, 30.0, 90.0]),
        ("Date Time,stove [K]\n2026-01-14 23:59:00,293.15\n2026-01-15 00:00:00,303.15\n2026-01-15 00:01:00,313.15\n", [20.0, 30.0, 40.0]),
        ("time,plate\n11:59 PM,20\n12:00 AM,30\n12:01 AM,40\n", [20.0, 30.0, 40.0]),
    ],
    ids=["german", "french", "spanish", "no names", "date", "am pm"],
)  # fmt: skip
def test_many_tongues(text: str, plate: list[float]) -> None:
    log = read_log(text.encode(), "b.csv")
    assert kelvin(log, "plate") == plate
    assert log.series["plate"].time.tolist() == [0.0, 60.0, 120.0]


def test_western_windows_and_utf16() -> None:
    text = "Zeit [s];Platte [°C]\n0;20,5\n10;21,5\n"
    for code in ("cp1252", "utf-16"):
        assert kelvin(read_log(text.encode(code), "c.csv"), "plate") == [20.5, 21.5]


def test_bad_lines_are_named_and_nothing_else_is_lost() -> None:
    text = "time_s,plate_degC,note\n0,20,\n10,Err,\n20,22\n30,23,reloaded\n25,24,\n40,5000,\n,25,\n50,26,\n60,,\n"
    log = read_log(text.encode(), "d.csv")
    assert [line for line, _ in log.bad] == [3, 4, 6, 7, 8]
    said = " ".join(says for _, says in log.bad)
    for words in ('is "Err"', "more or fewer cells", "goes back", "cannot be", "cannot be read"):
        assert words in said
    assert kelvin(log, "plate") == [20.0, 23.0, 26.0]
    assert [(n.time, n.text) for n in log.notes] == [(30.0, "reloaded")]
    assert log.empty == {"plate": 1}


def test_a_bad_line_far_down_a_long_log_has_its_number() -> None:
    rows = [f"{i},{20 + i * 0.001:.3f}" for i in range(600_000)]
    rows[555_554] = "x,y,z"
    log = read_log(("time_s,plate_degC\n" + "\n".join(rows) + "\n").encode(), "e.csv")
    assert [line for line, _ in log.bad] == [555_556]
    assert log.series["plate"].value.size == 599_999


def test_columns_put_right_and_kept() -> None:
    data = b"t,T1,T2,A0\n0,20,20,0.0\n60,90,30,1.0\n120,95,31,4.0962\n"
    log = read_log(data, "f.csv", typed=("t=time min", "T2=sink °F", "A0=hot_face mV type K"), cold_end=0.0)
    assert log.series["plate"].time.tolist() == [0.0, 3600.0, 7200.0] if "plate" in log.series else False
    assert kelvin(log, "sink")[0] == pytest.approx(-6.666667)
    assert kelvin(log, "hot_face")[2] == pytest.approx(100.0, abs=0.01)
    columns, offset = read_kept(kept_text("f.csv", log.columns, 12.5), "f.columns.toml", read_columns(data, "f.csv").header)
    assert offset == 12.5
    again = read_log(data, "f.csv", kept=columns, cold_end=0.0)
    assert {k: v.value.tolist() for k, v in again.series.items()} == {k: v.value.tolist() for k, v in log.series.items()}


@pytest.mark.parametrize(
    ("typed", "says"),
    [("T9=sink", "HEADER=CHANNEL is wanted"), ("T1=sunk", 'got channel "sunk"'), ("T1=sink rpm", 'got unit "rpm" for sink')],
)
def test_wrong_corrections(typed: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_log(b"t,T1\n0,20\n60,30\n", "g.csv", typed=(typed,))


@pytest.mark.parametrize("text", ["", "hello\n", "a,b\n1,x\n", "time_s,plate_degC\n5,20\n"])
def test_what_is_no_log(text: str) -> None:
    with pytest.raises(InputError):
        read_log(text.encode(), "h.csv")


def test_infrared_is_put_right() -> None:
    log = read_log(b"time_s,plate_degC\n0,80\n60,93.486\n120,93\n", "i.csv", surfaces=("plate=0.20±0.05 at 0.95",))
    assert kelvin(log, "plate")[1] == pytest.approx(250.0, abs=0.1)  # the exact case of the design's table


def test_sliding_finds_a_known_offset() -> None:
    at = np.arange(0.0, 7200.0, 10.0)
    draw = np.random.default_rng(1)

    def curve(t):
        return 300.0 + 120.0 * np.sin(t / 2000.0) + 30.0 * np.sin(t / 500.0)

    first = Series(at, curve(at) + 0.3 * draw.standard_normal(at.size))
    second = Series(at[:500], 5.0 + 0.9 * (curve(at[:500] + 437.0) + 0.3 * draw.standard_normal(500)))
    found = slide(first, second)
    assert found.seconds == pytest.approx(437.0, abs=4.0) and found.agrees > 0.99


def test_examples_are_read_whole() -> None:
    log = read_log((ROOT / "examples" / "boat-shed-fire.csv").read_bytes(), "boat-shed-fire.csv")
    assert set(log.series) == {"plate", "hot_face", "cold_face", "sink", "speed", "gap"}
    assert len(log.bad) == 2 and log.date == "2026-01-14"
    assert [note.text for note in log.notes] == ["started", "reloaded", "lifted", "sat back"]
