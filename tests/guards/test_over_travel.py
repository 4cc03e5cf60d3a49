"""An element that goes on pushing at the stop: how far, by hand, and what the verdict makes of it."""

from __future__ import annotations

import re

import pytest

from builds import judged, text_of
from hobwind.build import build_from_text
from hobwind.stack.keeping import End
from hobwind.studies.margins import pushed_on
from hobwind.studies.verdict import verdict

CODE = "element-blocked-by-stop"


def test_how_far_it_pushes_on_is_the_sum_by_hand() -> None:
    """Stroke at the hottest, 8 mm at full and its creep beyond, less 1 mm lost, 2 mm of stop and 9 mm of spring."""
    solved = judged().solved
    wax = solved.build.guard.element
    assert wax is not None
    hottest = max(float(solved.worst.end[End.peak_element]), float(solved.usual.end[End.peak_element]))
    stroke = wax.travel.value + wax.creep.value * (hottest - wax.full.value)
    found = pushed_on(solved.build, solved)
    # The map may be hotter than both evenings by some kelvin: creep makes less than half a millimetre of that.
    assert found == pytest.approx(stroke - 0.001 - 0.002 - 0.009, abs=5e-4) and found < 0.0
    assert pushed_on(judged("boat-shed-no-guard").build, judged("boat-shed-no-guard").solved) is None


@pytest.mark.parametrize(("spring", "severity"), [('"0 mm"', "danger"), (None, "advice")])
def test_a_blocked_element_is_told(spring: str | None, severity: str) -> None:
    """Told to have no spring: a danger. Not told at all: a word of advice, for nobody knows."""
    text = re.sub(r"^over_travel = .*$", "" if spring is None else f"over_travel = {spring}", text_of(), flags=re.M)
    found = verdict(build_from_text(text, "boat-shed.toml"))
    (one,) = [one for one in found.findings if one.code == CODE]
    assert one.severity == severity and "bursts" in one.says and "over-travel" in one.mend
    assert CODE not in [one.code for one in judged().findings]
