"""A lever of 1 : 1 is the edge tilt with a lever's trouble: a lever tilt is sized with one that multiplies, or it says what it lacks."""

from __future__ import annotations

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
    """The lever, on 6 mm more riser, keeps a kelvin more than what stands, in everything else they are alike."""
    own, lever = row("as it stands"), row("lever tilt")
    assert 0.0 < lever.least.margin - own.least.margin < 2.0
    assert recommend((lever, own), own.build)[0] is own
    assert compared("boat-shed").best is own
