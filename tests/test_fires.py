"""Evenings from files: what is read, and that every wrong line is told with its number."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobwind.errors import FileError, InputError
from hobwind.fires import fire_from_text, read_fire


@pytest.mark.parametrize(
    ("text", "time", "plate"),
    [
        ("time_min,plate_degC\n0,20\n10,120.5\n", [0, 600], [293.15, 393.65]),
        ("time_s,plate_K\n0,300\n5,310\n9,305\n", [0, 5, 9], [300, 310, 305]),
        ("time_h,plate_degF\n0,32\n1.5,212\n", [0, 5400], [273.15, 373.15]),
        ("time_min;plate_degC\n0,5;20,25\n1,5;30,75\n", [0, 60], [293.4, 303.9]),
        ("time_min\tplate_degC\n0\t20\n1\t30\n", [0, 60], [293.15, 303.15]),
        (" plate_degC , who, time_min \n20,me,5\n30,you,6\n", [0, 60], [293.15, 303.15]),
        ("# measured on Sunday\n\ntime_min,plate_degC\n# lit\n0,20\n\n1,30\n", [0, 60], [293.15, 303.15]),
        ("time_min,plate_degC\r\n0,20\r\n1,30\r\n", [0, 60], [293.15, 303.15]),
        ("time_min,plate_degC\n0,20,\n1,30,\n", [0, 60], [293.15, 303.15]),
        ('"time_min";"plate_degC"\n"-1";"20"\n"1";"30"', [0, 120], [293.15, 303.15]),
    ],
)
def test_what_is_read(text: str, time: list[float], plate: list[float]) -> None:
    curve = fire_from_text(text, "evening.csv")
    assert curve.time == pytest.approx(time) and curve.plate == pytest.approx(plate)
    assert curve.name == "evening.csv"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "evening.csv: is empty; a header such as time_min,plate_degC and at least two lines are wanted"),
        ("\n\n# nothing\n", "is empty"),
        ("time,plate\n0,20\n1,30\n", 'line 1: got "time, plate"; a header such as time_min,plate_degC is wanted'),
        ("0,20\n1,30\n", "one of time_s, time_min, time_h, one of plate_degC, plate_K, plate_degF"),
        ("time_min,time_s,plate_degC\n0,0,20\n1,60,30\n", "is wanted"),
        ("# a\n\nplate_degC\n20\n", 'line 3: got "plate_degC"'),
        ("time_min,plate_degC\n", "has 0 usable lines; at least two are wanted"),
        ("time_min,plate_degC\n0,20\n", "has 1 usable line; at least two are wanted"),
        ("time_min,plate_degC\n0,20\n1,nan\n", 'line 3: got "1,nan"; a time and a temperature are wanted'),
        ("time_min,plate_degC\n0,20\ninf,30\n", 'line 3: got "inf,30"'),
        ("time_min,plate_degC\n0,20\n1\n2,30\n", 'line 3: got "1"'),
        ("time_min,plate_degC\n0,20\n1,warm\n", 'line 3: got "1,warm"'),
        ("time_min,plate_degC\n0,20\n1,601\n", "line 3: plate is 601 °C; -40 to 600 °C is allowed"),
        ("time_min,plate_degC\n0,20\n1,-41\n", "line 3: plate is -41 °C"),
        ("time_min,plate_degC\n0,20\n1,1e300\n", "line 3: plate is 1e+300 °C"),
        ("time_min,plate_degC\n0,20\n5,30\n5,40\n", "line 4: time goes from 300 s to 300 s; times must rise"),
        ("time_min,plate_degC\n0,20\n\n# note\n5,30\n4,40\n", "line 6: time goes from 300 s to 240 s; times must rise"),
        ("time_min,plate_degC\n0,5,20,5\n1,5,30,5\n", "line 2: got"),
        ("time_h,plate_degC\n0,20\n49,30\n", "lasts 49 h; at most 48 h are run"),
        ("time_h,plate_degC\n0,20\n1e308,30\n", "at most 48 h are run"),
        ("time_s,plate_degC\n" + "".join(f"{i},20\n" for i in range(20001)), "has 20001 lines; at most 20000 are read"),
        ("time_min,plate_degC\n0,20\n1," + "3" * 200_000, "is not readable as a table"),
    ],
    ids=lambda text: repr(text[-25:]),
)
def test_what_is_refused(text: str, told: str) -> None:
    with pytest.raises(InputError) as caught:
        fire_from_text(text, "evening.csv")
    assert told in str(caught.value) and len(str(caught.value)) < 300


def test_wrong_lines_are_told_together_the_first_eight() -> None:
    rows = "".join(f"{i},hot\n" for i in range(3))
    with pytest.raises(InputError) as caught:
        fire_from_text("time_min,plate_degC\n0,20\n1,900\n" + rows, "evening.csv")
    assert len(str(caught.value).splitlines()) == 4
    with pytest.raises(InputError) as caught:
        fire_from_text("time_min,plate_degC\n" + "x,y\n" * 30, "evening.csv")
    lines = str(caught.value).splitlines()
    assert len(lines) == 9 and lines[-1] == "evening.csv: and 22 more"


def test_from_a_file(tmp_path: Path) -> None:
    path = tmp_path / "sunday.csv"
    path.write_bytes("\ufefftime_min,plate_degC\n0,20\n1,30\n".encode())
    assert read_fire(path).name == "sunday.csv"
    path.write_bytes("time_min,plate_°C\n".encode("latin-1"))
    with pytest.raises(FileError, match="not UTF-8"):
        read_fire(path)
    with pytest.raises(FileError, match="no file"):
        read_fire(tmp_path / "none.csv")


@given(st.lists(st.tuples(st.integers(1, 600), st.integers(-40, 600)), min_size=2, max_size=30))
def test_the_same_evening_in_other_units(steps: list[tuple[int, int]]) -> None:
    times, plates = np.cumsum([step for step, _ in steps]), [plate for _, plate in steps]
    rows = list(zip(times.tolist(), plates, strict=True))
    metric = fire_from_text("time_s,plate_degC\n" + "".join(f"{t},{p}\n" for t, p in rows), "a")
    other = fire_from_text(
        "time_min;plate_degF\n" + "".join(f"{t / 60!r};{p * 1.8 + 32!r}\n".replace(".", ",") for t, p in rows), "b"
    )
    assert metric.time == pytest.approx(other.time, abs=1e-6) and metric.plate == pytest.approx(other.plate, abs=1e-6)
