"""Threads against the printed tables: ISO 724 diameters and ISO 898-1 stress areas (read from the standards' tables)."""

from __future__ import annotations

import pytest

from hobwind.shop.threads import THREADS

# mm and mm2 as printed in ISO 724 (pitch diameter, inner diameter) and ISO 898-1 (stress area).
PRINTED = {
    "M3": (2.675, 2.459, 5.03),
    "M4": (3.545, 3.242, 8.78),
    "M5": (4.480, 4.134, 14.2),
    "M6": (5.350, 4.917, 20.1),
    "M8": (7.188, 6.647, 36.6),
    "M10": (9.026, 8.376, 58.0),
    "M12": (10.863, 10.106, 84.3),
}


@pytest.mark.parametrize("name", PRINTED)
def test_diameters_and_areas_are_those_printed(name: str) -> None:
    thread = THREADS[name]
    pitch_diameter, inner, area = PRINTED[name]
    assert thread.pitch_diameter * 1e3 == pytest.approx(pitch_diameter, abs=6e-4)  # printed to a micrometre
    assert thread.inner_diameter * 1e3 == pytest.approx(inner, abs=6e-4)
    assert thread.stress_area * 1e6 == pytest.approx(area, rel=2e-3)  # printed to three digits


@pytest.mark.parametrize("name", THREADS)
def test_tap_drill_leaves_a_thread_and_clears_the_core(name: str) -> None:
    """A tap drill lies between the inner diameter and that plus the 6H allowance; at least six tenths of the flank stays."""
    thread = THREADS[name]
    height = (thread.diameter - thread.tap_drill) / (thread.diameter - thread.inner_diameter)
    assert 0.6 < height < 1.05
    assert thread.clearance > thread.diameter
