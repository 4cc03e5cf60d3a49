"""Quantities as people write them: what is read, what is refused and how it is told, what is shown."""

from __future__ import annotations

import math
import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobwind.units import (
    DIMENSIONS,
    EVEN,
    NORMAL,
    READY,
    QuantityError,
    Spread,
    in_inches,
    plain,
    printable,
    read_quantity,
    show,
    show_spread,
)


@pytest.mark.parametrize(
    ("text", "dimension", "value", "half", "shape"),
    [
        ("55 mm", "length", 0.055, 0.0, "exact"),
        ("2,5 mm", "length", 0.0025, 0.0, "exact"),
        ("0,250 mm", "length", 0.00025, 0.0, "exact"),
        ("1.5e-3 m", "length", 0.0015, 0.0, "exact"),
        ("1/4 in", "length", 0.00635, 0.0, "exact"),
        ('3/8"', "length", 0.009525, 0.0, "exact"),
        ("5 1/2 in", "length", 0.1397, 0.0, "exact"),
        ("-3 1/2 in", "length", -0.0889, 0.0, "exact"),
        ("1/4 ± 1/64 in", "length", 0.00635, 0.000396875, "normal"),
        ("12 ± 2 K", "temperature_difference", 12.0, 2.0, "normal"),
        ("12 +- 2 K", "temperature_difference", 12.0, 2.0, "normal"),
        ("12 +/- 2 K", "temperature_difference", 12.0, 2.0, "normal"),
        ("12±2K", "temperature_difference", 12.0, 2.0, "normal"),
        ("12 ± 2 K (1s)", "temperature_difference", 12.0, 4.0, "normal"),
        ("8..11 K", "temperature_difference", 9.5, 1.5, "even"),
        ("9 °C", "temperature_difference", 9.0, 0.0, "exact"),
        ("9 ± 1.8 °F", "temperature_difference", 5.0, 1.0, "normal"),
        ("82 ± 2 °C", "temperature", 355.15, 2.0, "normal"),
        ("8..11 °C", "temperature", 282.65, 1.5, "even"),
        ("180 ± 9 degF", "temperature", 355.372222, 5.0, "normal"),
        ("\u22125 C", "temperature", 268.15, 0.0, "exact"),
        ("0.92 ± 0.04", "number", 0.92, 0.04, "normal"),
        ("5 %", "number", 0.05, 0.0, "exact"),
    ],
)
def test_forms(text: str, dimension: str, value: float, half: float, shape: str) -> None:
    found = read_quantity(text, dimension)
    assert found.value == pytest.approx(value, rel=1e-8)
    assert found.half == pytest.approx(half, rel=1e-8)
    assert found.shape == shape


# Units as people type them. A gram's weight is 0.00980665 N and a foot 0.3048 m, both by definition.
@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("1 W/(m K)", "conductivity", 1.0),
        ("1 W/mK", "conductivity", 1.0),
        ("1 W/m·K", "conductivity", 1.0),
        ("1 W/(m*K)", "conductivity", 1.0),
        ("1 W/m²K", "heat_transfer_coefficient", 1.0),
        ("1 J/kgK", "specific_heat", 1.0),
        ("1 mN·m/A", "torque_constant", 1e-3),
        ("1 g·cm", "torque", 9.80665e-5),
        ("1 mNm", "torque", 1e-3),
        ("1 µN·m", "torque", 1e-6),
        ("1 N/mm", "spring_rate", 1e3),
        ("1 K mm²/W", "resistance_area", 1e-6),
        ("1 K mm2/W", "resistance_area", 1e-6),
        ("1 mm2", "area", 1e-6),
        ("1 um", "roughness", 1e-6),
        ("1 \u03bcm", "roughness", 1e-6),
        ("1 k\u03a9", "ohms", 1e3),
        ("1 k\u2126", "ohms", 1e3),
        ("2 ohm", "ohms", 2.0),
        ("3600 m3/h", "air_flow", 1.0),
        ("1 cfm", "air_flow", 0.3048**3 / 60.0),
        ("60 rpm", "turning", 2.0 * math.pi),
        ("180 °", "angle", math.pi),
        ("1 °C/W", "thermal_resistance", 1.0),
    ],
)
def test_spellings(text: str, dimension: str, value: float) -> None:
    assert read_quantity(text, dimension).value == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "dimension", "told"),
    [
        ("55", "length", 'got "55" without a unit; a length such as "55 mm" is wanted'),
        ("55", "temperature", "without a unit (°C, K or °F)"),
        ("55 K", "length", 'measures something else; a length such as "55 mm"'),
        ("55 mm", "temperature", '"mm" is none of'),
        ("55 mm", "number", "has a unit"),
        ("55 furgs", "length", '"furgs" is not known'),
        ("1,250 mm", "length", "1.25 mm or 1250 mm"),
        ("2..1,250 mm", "length", "1.25 mm or 1250 mm"),
        ("1,250.5 mm", "length", "without commas"),
        ("nan mm", "length", "no number"),
        ("inf mm", "length", "no number"),
        ("1e400 mm", "length", "beyond all reason"),
        ("1e15 m", "length", "beyond all reason"),
        ("1/0 in", "length", "over nothing"),
        ("12 ± -2 K", "temperature_difference", "must not be negative"),
        ("11..8 K", "temperature_difference", "smaller figure first"),
        ("-300 °C", "temperature", "absolute zero"),
        ("", "length", "no number"),
        ("mm", "length", "no number"),
        ("5" * 5000 + " mm", "length", "far too long"),
        ("5 __import__('os')", "length", "cannot be read"),
        ("1 m**9**9**9**9", "length", "cannot be read"),
        ("1 (9**9)**9*m", "length", "cannot be read"),
        ("1 m**99999999", "length", "cannot be read"),
    ],
)
def test_refusals_say_what_is_wanted(text: str, dimension: str, told: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_quantity(text, dimension)
    assert told in str(caught.value)
    assert len(str(caught.value)) < 250


@given(st.text(max_size=30), st.sampled_from(sorted(DIMENSIONS)))
def test_any_text_is_read_or_refused(text: str, dimension: str) -> None:
    try:
        found = read_quantity(text, dimension)
    except QuantityError:
        return
    assert math.isfinite(found.value) and found.half >= 0.0


@given(st.floats(0.001, 1000.0), st.floats(0.0, 100.0))
def test_millimetres_and_inches_agree(size: float, half: float) -> None:
    metric = read_quantity(f"{size!r} ± {half!r} mm", "length")
    inch = read_quantity(f"{size / 25.4!r} ± {half / 25.4!r} in", "length")
    assert inch.value == pytest.approx(metric.value, rel=1e-12)
    assert inch.half == pytest.approx(metric.half, rel=1e-12)


@pytest.mark.parametrize("dimension", sorted(DIMENSIONS))
def test_every_example_reads_and_is_shown(dimension: str) -> None:
    found = read_quantity(DIMENSIONS[dimension].example, dimension)
    again = read_quantity(show(found.value, dimension), dimension)
    assert again.value == pytest.approx(found.value, rel=5e-3)


SPELLED = {"Ω": "ohm", "µ": "u", "²": "**2", "³": "**3", "·": "*", "W/mK": "W/(m*K)", "W/m*K": "W/(m*K)", " ": "*"}


@pytest.mark.parametrize(("dimension", "unit"), sorted(READY), ids=lambda text: text)
def test_ready_factors_are_pints(dimension: str, unit: str) -> None:
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    text = {"h": "hour", "mm2": "mm**2", "m³/h": "m**3/hour", "°": "deg"}.get(unit, unit)
    for letter, instead in SPELLED.items():
        text = text.replace(letter, instead)
    if dimension == "temperature_difference" and unit != "K":
        text = f"delta_deg{unit[-1]}"
    wanted = registry.Quantity(1.0, text).to(DIMENSIONS[dimension].si).magnitude
    assert READY[dimension, unit] == pytest.approx(wanted, rel=1e-12)


def test_the_catalogue_reads_without_loading_pint() -> None:
    """Loading pint costs every run a quarter of a second."""
    script = (
        "import sys; from hobwind.parts.catalogue import KINDS, Shelf; shelf = Shelf();"
        "[shelf.find(kind, name) for kind in KINDS for name in shelf.names(kind)]; sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0


def test_spreads() -> None:
    assert Spread(10.0, 2.0, NORMAL).sd == 1.0
    assert Spread(10.0, 3.0, EVEN).sd == pytest.approx(math.sqrt(3.0))
    assert (Spread(10.0, 2.0, NORMAL).low, Spread(10.0, 2.0, NORMAL).high) == (8.0, 12.0)
    assert Spread(10.0, 2.0, NORMAL).scaled(-3.0) == Spread(-30.0, 6.0, NORMAL)
    assert plain(4.0) == Spread(4.0) and plain(4.0).sd == 0.0


@pytest.mark.parametrize(
    ("value", "dimension", "metric", "inch"),
    [
        (358.15, "temperature", "85 °C", "185 °F"),
        (273.0, "temperature", "0 °C", "32 °F"),
        (0.062, "length", "62.0 mm", "2.44 in"),
        (24.1 / 3600.0, "air_flow", "24.1 m³/h", "14.2 cfm"),
        (0.92, "number", "0.92", "0.92"),
    ],
)
def test_show(value: float, dimension: str, metric: str, inch: str) -> None:
    assert (show(value, dimension), show(value, dimension, "inch")) == (metric, inch)


@pytest.mark.parametrize(
    ("spread", "dimension", "told"),
    [
        (Spread(414.15, 9.0, NORMAL), "temperature", "141 ± 9 °C"),
        (Spread(414.15, 14.0, NORMAL), "temperature", "141 ± 14 °C"),
        (Spread(4.0, 1.5, NORMAL), "temperature_difference", "4.0 ± 1.5 K"),
        (Spread(0.05, 0.001, EVEN), "length", "49.0..51.0 mm"),
        (Spread(0.05), "length", "50.0 mm"),
    ],
)
def test_show_spread(spread: Spread, dimension: str, told: str) -> None:
    assert show_spread(spread, dimension) == told


def test_printable() -> None:
    every = "±°→·\u00b5\u03bc\u03a9\u2126²³≤≥–\u2212"
    assert printable(every, "utf-8") == every
    for narrow in ("ascii", None, "no such encoding"):
        assert "?" not in printable(every, narrow) and printable(every, narrow).isascii()
    assert printable("85 ± 3 °C → 40 m³/h", "cp1252") == "85 ± 3 °C -> 40 m³/h"
    assert printable("85 ± 3 °C", "ascii") == "85 +- 3 degC"


@pytest.mark.parametrize(
    ("text", "dimension", "value", "half"),
    [
        ("2,5 ± 0,1 mm", "length", 0.0025, 0.0001),
        ("2,5..3,5 mm", "length", 0.003, 0.0005),
        ("-3..+4 K", "temperature_difference", 0.5, 3.5),
        ("8 .. 11 K", "temperature_difference", 9.5, 1.5),
        ("12,345 ± 1 mm", None, None, None),
        ("50..68 °F", "temperature", 288.15, 5.0),
        ("212 ± 18 °F (1s)", "temperature", 373.15, 20.0),
        ("300 ± 3 K", "temperature", 300.0, 3.0),
        (".5 mm", "length", 0.0005, 0.0),
        ("5. mm", "length", 0.005, 0.0),
        ("1,250,000 mm", None, None, None),
        ("50 ± 5 %", "number", 0.5, 0.05),
        ("1–2 mm", None, None, None),
        ("1 2 mm", None, None, None),
        ("12 ± 2 ± 2 K", None, None, None),
        ("3/8 mm", None, None, None),
        ("12 K (2s)", None, None, None),
    ],
)
def test_more_forms(text: str, dimension: str | None, value: float | None, half: float | None) -> None:
    if dimension is None:
        with pytest.raises(QuantityError):
            read_quantity(text, "temperature_difference" if "K" in text else "length")
        return
    found = read_quantity(text, dimension)
    assert (found.value, found.half) == (pytest.approx(value), pytest.approx(half))


@pytest.mark.parametrize(
    ("text", "whole"),
    [
        ("1,250 mm", 'got "1,250 mm", which may mean 1.25 mm or 1250 mm; write one of them'),
        ("12 ± 1,250 mm", 'got "12 ± 1,250 mm", which may mean 1.25 mm or 1250 mm; write one of them'),
        ("55 K", 'got "55 K", which measures something else; a length such as "55 mm" is wanted'),
        ("fifty mm", 'got "fifty mm", which is no number with a unit; a length such as "55 mm" is wanted'),
    ],
)
def test_whole_messages(text: str, whole: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_quantity(text, "length")
    assert str(caught.value) == whole


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(DIMENSIONS)), st.sampled_from(("metric", "inch")))
def test_what_is_shown_is_read_again(value: float, dimension: str, setting: str) -> None:
    """Shown with at least three figures, except temperatures, shown to a degree; so not within a degree of nought."""
    value = 1.0 + abs(value) if dimension == "temperature" else value
    again = read_quantity(show(value, dimension, setting).replace(",", ""), dimension)
    assert again.value == pytest.approx(value, rel=6e-3, abs=0.51 if dimension == "temperature" else 1e-12)


@given(st.floats(1.0, 1e4), st.floats(1e-3, 1e3), st.sampled_from((EVEN, NORMAL)))
def test_a_shown_spread_is_read_again(value: float, half: float, shape: str) -> None:
    again = read_quantity(show_spread(Spread(value, half, shape), "power"), "power")
    assert again.half == pytest.approx(half, rel=0.2, abs=0.51) and again.value == pytest.approx(value, abs=0.2 * half + 0.51)


@given(st.text(max_size=40), st.sampled_from(("ascii", "cp1252", "latin-1", "cp437", "utf-8", "no such", "")))
def test_printable_always_fits(text: str, encoding: str) -> None:
    codec = encoding if encoding not in ("no such", "") else "ascii"
    shown = printable(text, encoding)
    assert shown.encode(codec) is not None and shown.count("\n") == text.count("\n")


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("the face reaches 141 °C", "the face reaches 286 °F"),  # 1.8 x 141 + 32 = 285.8
        ("141 ± 9 °C, 19 ± 3 K left", "286 ± 16 °F, 34 ± 5 °F left"),  # widths have no 32 added
        ("from 8..11 K to 60 to 85 °C, 80-100 K deep", "from 14..20 °F to 140 to 185 °F, 144-180 °F deep"),
        ("saw it at 112 mm, pin 9.5 mm", "saw it at 4.41 in, pin 0.374 in"),  # 112 / 25.4 = 4.409; 9.5 / 25.4 = 0.3740
        ("fins 39.8\n   ± 1.4 mm, 60 to\n 85 °C", "fins 1.567\n   ± 0.055 in, 140 to\n 185 °F"),
        ("moves 1.1\n   m³/h more", "moves 0.6\n   cfm more"),  # folded lines stay folded
        ("24.1 m³/h at 1.25 m/s", "14.2 cfm at 246 ft/min"),  # 24.1 x 0.58858 = 14.18; 1.25 x 196.85 = 246.1
        ("-12.5 °C, 0.2 mm², 3 mm/s", "9.5 °F, 0.2 mm², 3 mm/s"),
    ],
)
def test_finished_sentences_in_inches(said: str, wanted: str) -> None:
    assert in_inches(said) == wanted
