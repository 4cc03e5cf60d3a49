"""A lever of 1 : 1 is the edge tilt with a lever's trouble: a lever tilt is sized with one that multiplies, or it says what it lacks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from guards.guarded import compared, row
from hobwind.studies.guarded import recommend

NAMES = ("boat-shed", "boat-shed-no-guard", "boat-shed-hunting")


@pytest.mark.parametrize("name", NAMES)
def test_a_lever_multiplies(name: str) -> None:
    one = row("lever tilt", name)
    assert one.build.guard.lever_ratio.value >= 2.0
    assert f"lever {one.build.guard.lever_ratio.value:.1f} : 1" in one.says and "lever with its stand" in one.parts
    assert all(other.build.guard.lever_ratio.value == 1.0 for other in compared(name).rows if other.kind == "edge tilt")


def test_a_kelvin_more_asks_for_no_other_guard() -> None:
    """In all but the margin alike, a guard that keeps a kelvin more is not taken for what stands; one that keeps six is."""
    own = row("as it stands")
    first = own.margins[0]
    assert compared("boat-shed").best is own
    for more, taken in ((1.0, False), (6.0, True)):
        other = replace(own, kind="lever tilt", margins=[replace(first, peak=first.peak - more), *own.margins[1:]])
        assert other.least.margin == pytest.approx(own.least.margin + more)
        assert (recommend((other, own), own.build)[0] is other) is taken
