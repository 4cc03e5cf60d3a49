"""Lines from any microcontroller: what is understood, and what never becomes a figure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobwind.diary.serial_lines import LONGEST, Reader, Splitter, channel


@pytest.mark.parametrize(
    ("line", "figures"),
    [
        (b"181.2,140.7", {"figure_1": 181.2, "figure_2": 140.7}),
        (b"181.2 140.7\t20", {"figure_1": 181.2, "figure_2": 140.7, "figure_3": 20.0}),
        ("181.2 °C, 140.7 °C".encode(), {"figure_1": 181.2, "figure_2": 140.7}),
        (b"plate=181.2 face: 140.7", {"plate_degC": 181.2, "face_degC": 140.7}),
        (b"plate:181.2C, rpm 1450", {"plate_degC": 181.2, "speed_rpm": 1450.0}),
        (b'{"plate_degF": 212, "note": "hot", "ok": true}', {"plate_degC": 100.0}),
        (b"t1=-3e1;t2=nan", {"t1": -30.0}),
        (b"nan, 5", {"figure_2": 5.0}),
    ],
)
def test_understood(line: bytes, figures: dict[str, float]) -> None:
    assert Reader().read(line) == pytest.approx(figures)


@pytest.mark.parametrize(
    "line",
    [b"", b"\xff\xfe12", b"ready.", b"error 5 at 6 of", b"{broken", b"[1, 2]", b"1e99", b"12.3.4", b"\x00\x01", b"5,,x", b"{}"],
)
def test_garbage_is_counted_and_gives_nothing(line: bytes) -> None:
    reader = Reader()
    assert reader.read(line) is None and reader.unread == 1


def test_a_header_names_what_follows() -> None:
    reader = Reader()
    assert reader.read(b"plate,face") == {}
    assert reader.read(b"181.2,140.7") == {"plate_degC": 181.2, "face_degC": 140.7}
    assert reader.read(b"181.2") is None  # a piece was lost
    assert Reader(("plate",)).read(b"181") == {"plate_degC": 181.0}
    assert Reader((), {"t1": "plate"}).read(b"t1=181") == {"plate_degC": 181.0}


def test_another_count_of_numbers_is_believed_when_it_stays() -> None:
    reader = Reader()
    assert reader.read(b"1,2") is not None
    assert [reader.read(b"1,2,3") is not None for _ in range(6)] == [False, False, False, False, True, True]


def test_half_lines_never_become_figures() -> None:
    splitter = Splitter()
    assert splitter.feed(b"81.2\n181.3\r\n18") == [b"181.3"]  # the first may be the tail of 181.2
    assert splitter.feed(b"1.4\n") == [b"181.4"]
    splitter.feed(b"18")
    splitter.restart()  # unplugged
    assert splitter.feed(b"1.5\n181.6\n") == [b"181.6"]
    assert splitter.feed(b"1" * (LONGEST + 5)) == [] and splitter.feed(b"2\n3\n") == [b"3"]


@given(st.lists(st.from_regex(rb"[0-9]{1,3}\.[0-9],[0-9]{1,3}\.[0-9]", fullmatch=True), min_size=1, max_size=30), st.data())
def test_lines_come_out_whole_however_they_are_cut(lines: list[bytes], data: st.DataObject) -> None:
    splitter, out = Splitter(), []
    whole = b"\n" + b"\r\n".join(lines) + b"\r\n"
    while whole:
        size = data.draw(st.integers(1, len(whole)))
        out += splitter.feed(whole[:size])
        whole = whole[size:]
    assert out == lines


@given(st.binary(max_size=80))
def test_nothing_upsets_it(line: bytes) -> None:
    found = Reader().read(line)
    assert found is None or all(abs(value) < 1e8 for value in found.values())


def test_units_of_channels() -> None:
    name, factor, shift = channel("stove_F")
    assert name == "plate_degC" and 212.0 * factor + shift == pytest.approx(100.0)  # by definition of °F
    assert channel("odd name!")[0] == "odd_name_"
