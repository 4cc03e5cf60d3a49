"""Mangled files: read or refused in plain words, and what is read is judged; nothing else ever happens."""

from __future__ import annotations

import dataclasses
import math
import re
from functools import lru_cache

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds import NAMES, text_of
from hobwind.build import Build, build_from_text, digest, whole_text
from hobwind.errors import BuildError, InputError
from hobwind.fires import fire_from_text
from hobwind.stack.steady import Rest
from hobwind.studies.report import check_report
from hobwind.studies.verdict import verdict

# Values that somebody may type, paste or leave behind in place of the right one.
ODD = (
    '""', '"0 mm"', '"-5 mm"', '"1e300 mm"', '"1e13 m"', '"nan"', '"nan mm"', '"inf °C"', '"5 kg"', '"55 mm"', '"55"',
    '"1,250 mm"', '"12 ± 200 mm"', '"11..8 K"', '"20 °C"', '"600 °C"', '"1/0 in"', '"5 🔥"', '"\\u0000"', "0", "-1", "3",
    "1e400", "nan", "inf", "-inf", "true", "[]", "{}", "[[[[[[1]]]]]]", '["1 mm", "me"]', "[1, 2, 3]", '{ part = "copper" }',
    "{ part = 3 }", "1979-05-27", "07:32:00", "99999999999999999999999999", "0x" + "f" * 4000, '"series"', '"none"',
    '"copper"', '"dry"', '"' + "m" * 3000 + '"', "'''\n'''", '"central lift"', '"lever tilt"', '"block"', '"measured"',
    '"pin fins"', "{ a.b.c.d.e.f = 1 }", '{ part = "wax 88", opens = "1 K" }', '"1 m**9**9**9"', "16", '"16"', "1", '"1 mm"',
)  # fmt: skip
# Right in form, anywhere in what is allowed and somewhat beyond.
UNITS = ("mm", "°C", "K", "", "W/K", "W/(m K)", "MPa", "V/K", "Ω", "m³/h", "N", "°", "g", "s", "W/(m² K)", "µm")
KEYS = (
    "fin_pitch",
    "seebeck",
    "held_in",
    "strings",
    "mass",
    "fill",
    "part",
    "depth",
    "circle",
    "conductance",
    "shape",
    "finish",
)
MOST_CHANGES = 4
ENDS = {Rest.SETTLED.value, Rest.HUNTS.value, Rest.RESTLESS.value}


@st.composite
def mangled(draw: st.DrawFn) -> str:
    """The text of a build file after a bad afternoon."""
    text = text_of(draw(st.sampled_from(NAMES)))
    for _ in range(draw(st.integers(1, MOST_CHANGES))):
        lines = text.split("\n")
        i, j = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
        what = draw(st.sampled_from(("delete", "swap", "odd", "figure", "letter", "cut", "twice", "add", "table", "splice")))
        if what == "delete":
            del lines[i : i + draw(st.integers(1, 6))]
        elif what == "swap":
            lines[i], lines[j] = lines[j], lines[i]
        elif what in ("odd", "figure") and "=" in lines[i]:
            lines[i] = f"{lines[i].split('=')[0]}= {draw(st.sampled_from(ODD)) if what == 'odd' else _figure(draw, lines[i])}"
        elif what == "letter" and lines[i]:
            at = draw(st.integers(0, len(lines[i]) - 1))
            lines[i] = lines[i][:at] + draw(st.characters()) + lines[i][at + 1 :]
        elif what == "twice":
            lines.insert(j, lines[i])
        elif what == "add":
            lines.insert(i, f"{draw(st.sampled_from(KEYS))} = {draw(st.sampled_from(ODD))}")
        elif what == "table":
            lines.insert(
                i,
                draw(st.sampled_from(("[stove]", "[[modules]]", "[fan]", "[spreader]", "[[riser]]", "[a.b]", "[surround]"))),
            )
        text = "\n".join(lines)
        if what == "cut":
            text = text[: draw(st.integers(0, len(text)))]
        elif what == "splice":
            at = draw(st.integers(0, len(text)))
            text = text[:at] + draw(st.text(max_size=40)) + text[at:]
    return text


def _figure(draw: st.DrawFn, line: str) -> str:
    """Another figure with the same unit, mostly near the old one."""
    found = re.search(r'"\s*([\d.]+)\s*(?:±\s*[\d.]+\s*)?([^"]*)"', line)
    if found is None:
        return f'"{draw(st.floats(allow_nan=False))} {draw(st.sampled_from(UNITS))}"'
    factor = draw(st.sampled_from((0.0, 0.01, 0.2, 0.5, 0.9, 1.1, 1.5, 3.0, 20.0, 1e6)))
    spread = draw(st.sampled_from(("", " ± 0", " ± 1e9", " ± 1e-9", f" ± {float(found[1]) * factor}")))
    return f'"{float(found[1]) * factor:.6g}{spread} {found[2]}"'


def read(text: str) -> Build | None:
    """The build, or None when it is refused in plain words."""
    try:
        build = build_from_text(text, "fan.toml")
    except BuildError as error:
        assert error.problems and all(problem.place and problem.says for problem in error.problems)
        assert all(len(str(problem)) < 2000 for problem in error.problems)
        return None
    return build


@settings(max_examples=1200, deadline=None, suppress_health_check=list(HealthCheck))
@given(mangled())
def test_mangled_builds_are_read_or_refused(text: str) -> None:
    build = read(text)
    if build is not None:
        assert len(digest(build)) == 16 and whole_text(build)


@settings(max_examples=500, deadline=None)
@given(st.one_of(st.text(max_size=300), st.binary(max_size=300).map(lambda raw: raw.decode("latin-1"))))
def test_any_text_is_read_or_refused(text: str) -> None:
    assert read(text) is None
    assert read("format = 1\n" + text) is None


def _figures(thing: object) -> list[float]:
    if isinstance(thing, dict):
        return [number for value in thing.values() for number in _figures(value)]
    if isinstance(thing, list):
        return [number for value in thing for number in _figures(value)]
    return [float(thing)] if isinstance(thing, int | float) else []


@lru_cache
def sound_but_odd(seed: int) -> str:
    """A build file that may well load: some of its quantities scaled."""
    dice = np.random.default_rng(seed)
    lines = text_of(NAMES[seed % len(NAMES)]).split("\n")
    for _ in range(int(dice.integers(1, 8))):
        i = int(dice.integers(len(lines)))
        found = re.fullmatch(r'(\w+ = ")([\d.]+)((?: ± [\d.]+)? [^"]*".*)', lines[i])
        if found:
            lines[i] = f"{found[1]}{float(found[2]) * float(np.exp(dice.normal(0.0, 0.7))):.4g}{found[3]}"
    return "\n".join(lines)


@pytest.mark.parametrize("tens", range(10))
def test_odd_builds_are_judged_with_finite_figures(tens: int) -> None:
    judged = 0
    for seed in range(100 * tens, 100 * tens + 100):
        build = read(sound_but_odd(seed))
        if build is None or judged == 4:
            continue
        found = verdict(build)
        report = check_report(found)
        assert all(math.isfinite(number) for number in _figures(report)), seed
        assert found.sentence and {point["outcome"] for point in report["at_plate"]} <= ENDS, seed
        for point in report["at_plate"]:
            assert (point["seat_heat_W"] is not None) == (point["outcome"] == Rest.SETTLED.value), seed
        judged += 1
    assert judged == 4


@st.composite
def mangled_evening(draw: st.DrawFn) -> str:
    """The text of a CSV file after a bad afternoon."""
    header = draw(
        st.sampled_from(("time_min,plate_degC", "time_s;plate_K", "time_h\tplate_degF", "time,plate", "time_min", ""))
    )
    cell = st.one_of(
        st.integers(-50, 700).map(str),
        st.floats().map(repr),
        st.sampled_from(("", "nan", "inf", "-", "1,5", "1e400", "🔥", '"', "'", "\x00", "#", "1_0", "٣", "\r", "9" * 400)),
        st.text(max_size=4),
    )
    rows = draw(st.lists(st.lists(cell, max_size=4), max_size=12))
    part = draw(st.sampled_from((",", ";", "\t", " ", "\n")))
    return "\n".join([header, *(part.join(row) for row in rows)])


@settings(max_examples=1500, deadline=None)
@given(mangled_evening())
def test_mangled_evenings_are_read_or_refused(text: str) -> None:
    try:
        curve = fire_from_text(text, "evening.csv")
    except InputError as error:
        assert str(error).startswith("evening.csv") and len(str(error)) < 2000
        return
    assert dataclasses.is_dataclass(curve) and len(curve.time) == len(curve.plate) >= 2
    assert np.isfinite(curve.time).all() and (np.diff(curve.time) > 0.0).all() and curve.time[0] == 0.0
    assert (curve.plate > 233.14).all() and (curve.plate < 873.16).all()
