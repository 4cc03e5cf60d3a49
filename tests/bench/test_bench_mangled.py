"""Readings after a bad afternoon: measured or refused in plain words; nothing else ever happens."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds import ROOT
from hobwind.bench.readings import TESTS, measure_text
from hobwind.bench_screen import result_json, result_text
from hobwind.errors import HobwindError

EXAMPLES = ROOT / "examples" / "bench"
STEMS = {
    "module": "coolbox-module", "cooler-label": "coolbox-print", "generator-label": "generator-print", "health": "coolbox-health",
    "motor": "cassette-motor", "blade": "hand-cut-blade", "sink": "amplifier-sink", "wax": "tractor-element",
    "spring": "deck-spring", "washers": "disc-washers", "metal": "bar-end", "flat": "riser-foot",
}  # fmt: skip
ODD = (
    '""',
    '"0 mm"',
    '"-5 V"',
    '"1e300 K"',
    '"nan"',
    '"0 °C"',
    '"5 kg"',
    "3",
    "true",
    "[]",
    "{}",
    '"1,250 mm"',
    "nan",
    '"none"',
    '["1 V"]',
)


@st.composite
def mangled(draw: st.DrawFn, text: str) -> str:
    lines = text.split("\n")
    for _ in range(draw(st.integers(1, 4))):
        if not lines:
            break
        i = draw(st.integers(0, len(lines) - 1))
        what = draw(st.sampled_from(("delete", "odd", "scale", "twice", "cut", "same")))
        if what == "delete":
            del lines[i]
        elif what == "odd" and "=" in lines[i]:
            lines[i] = f"{lines[i].split('=')[0]}= {draw(st.sampled_from(ODD))}"
        elif what == "scale" and "=" in lines[i]:  # right in form, wrong by a factor or a sign
            by = draw(st.sampled_from((-1.0, 0.0, 1e-3, 0.1, 0.5, 2.0, 10.0, 1e3)))
            lines[i] = re.sub(r"-?\d+(\.\d+)?", lambda m, by=by: f"{by * float(m[0]):.6g}", lines[i], count=1)
        elif what == "twice":
            lines.insert(i, lines[i])
        elif what == "cut":
            del lines[i : i + draw(st.integers(1, 12))]
        elif what == "same" and i > 4:
            lines[i] = lines[i - 4]
    return "\n".join(lines)


@pytest.mark.parametrize("name", TESTS)
def test_measured_or_refused(name: str) -> None:
    whole = (EXAMPLES / f"{STEMS[name]}.toml").read_text("utf-8")

    @settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
    @given(mangled(whole))
    def act(text: str) -> None:
        try:
            found = measure_text(TESTS[name], text, "r.toml", Path())
        except HobwindError as error:
            assert str(error).startswith("r.toml") and "Traceback" not in str(error) and len(str(error)) > 20
            return
        assert result_text(found)
        for one in result_json(TESTS[name], found)["figures"]:
            assert math.isfinite(one["value_SI"]) and math.isfinite(one["standard_uncertainty_SI"]), (one, text)

    act()
