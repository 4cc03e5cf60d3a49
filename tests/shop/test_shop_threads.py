"""Threads against the printed tables: ISO 724 diameters and ISO 898-1 stress areas (read from the standards' tables)."""

from __future__ import annotations

import math

import pytest

from hobwind.shop.inch_drills import DRILLS, in_inch, nearest_drill
from hobwind.shop.threads import THREADS, engagement_for, hole_strip_area, pull_out, screw_strip_area

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


# ISO 965-1 tables (from memory, as any thread table prints them), mm: 6H inner and pitch, 6g outer and pitch, low and high.
LIMITS = {
    "M2": ((1.567, 1.679), (1.740, 1.830), (1.886, 1.981), (1.654, 1.721)),
    "M2.5": ((2.013, 2.138), (2.208, 2.303), (2.380, 2.480), (2.117, 2.188)),
    "M3": ((2.459, 2.599), (2.675, 2.775), (2.874, 2.980), (2.580, 2.655)),
    "M4": ((3.242, 3.422), (3.545, 3.663), (3.838, 3.978), (3.433, 3.523)),
    "M5": ((4.134, 4.334), (4.480, 4.605), (4.826, 4.976), (4.361, 4.456)),
    "M6": ((4.917, 5.153), (5.350, 5.500), (5.794, 5.974), (5.212, 5.324)),
    "M8": ((6.647, 6.912), (7.188, 7.348), (7.760, 7.972), (7.042, 7.160)),
    "M10": ((8.376, 8.676), (9.026, 9.206), (9.732, 9.968), (8.862, 8.994)),
    "M12": ((10.106, 10.441), (10.863, 11.063), (11.701, 11.966), (10.679, 10.829)),
}


@pytest.mark.parametrize("name", THREADS)
def test_limits_are_those_printed(name: str) -> None:
    thread = THREADS[name]
    got = (*thread.hole_inner, *thread.hole_pitch, *thread.screw_outer, *thread.screw_pitch)
    printed = [size for pair in LIMITS[name] for size in pair]
    assert [size * 1e3 for size in got] == pytest.approx(printed, abs=6e-4)  # printed to a micrometre


@pytest.mark.parametrize("name", THREADS)
def test_tolerances_follow_the_formulas_of_the_standard(name: str) -> None:
    """ISO 965-1 rounds its formulas to preferred numbers, 5.9 % apart, and smooths some by hand: within one step."""
    thread = THREADS[name]
    pitch = thread.pitch * 1e3
    size = next(mean for low, high, mean in ((1.4, 2.8, 1.98), (2.8, 5.6, 3.96), (5.6, 11.2, 7.92), (11.2, 22.4, 15.8))
                if low <= thread.diameter * 1e3 < high)  # fmt: skip
    outer = 180.0 * pitch ** (2.0 / 3.0) - 3.15 / math.sqrt(pitch)
    screw_pitch = 90.0 * pitch**0.4 * size**0.1
    inner = 230.0 * pitch**0.7 if pitch >= 1.0 else 433.0 * pitch - 190.0 * pitch**1.22
    assert thread.outer_tolerance * 1e6 == pytest.approx(outer, rel=0.059)
    assert thread.screw_pitch_tolerance * 1e6 == pytest.approx(screw_pitch, rel=0.059)
    assert thread.hole_pitch_tolerance * 1e6 == pytest.approx(1.32 * screw_pitch, rel=0.059)
    assert thread.inner_tolerance * 1e6 == pytest.approx(inner, rel=0.059)
    assert thread.gap * 1e6 == pytest.approx(15.0 + 11.0 * pitch, abs=0.8)


@pytest.mark.parametrize("name", THREADS)
def test_tap_drill_lies_within_the_hole_limits(name: str) -> None:
    """ISO 2306 drills leave an inner diameter within 6H; they cut a few hundredths over size."""
    low, high = THREADS[name].hole_inner
    assert low - 1e-6 <= THREADS[name].tap_drill + 4e-5 <= high + 1e-6


def test_shear_areas_worked_by_hand() -> None:
    """M6, one millimetre: hole π·5.794·(0.5 + 0.57735·(5.794 − 5.500)) = 12.19; screw π·5.153·(0.5 + 0.57735·(5.212 − 5.153)) = 8.646."""
    assert hole_strip_area(THREADS["M6"], 1e-3) * 1e6 == pytest.approx(12.191, abs=2e-3)  # worked to four digits
    assert screw_strip_area(THREADS["M6"], 1e-3) * 1e6 == pytest.approx(8.646, abs=2e-3)


def test_pull_out_worked_by_hand() -> None:
    """M6, 8 mm in metal of 42 MPa shear: (8 − 0.8) mm · 12.191 mm² · 42 MPa = 3687 N; and back to 8 mm."""
    assert pull_out(THREADS["M6"], 8e-3, 42e6) == pytest.approx(3687.0, rel=1e-3)  # worked to four digits
    assert engagement_for(THREADS["M6"], 3687.0, 42e6) == pytest.approx(8e-3, rel=1e-3)


# Wall charts of tap drills in inch shops (from memory): number or letter drill for each coarse thread.
@pytest.mark.parametrize(
    ("size", "name"), [(3.3, "no. 30"), (4.2, "no. 19"), (5.0, "no. 9"), (6.8, "letter H"), (1.6, "1/16 in"), (8.5, "letter Q")]
)
def test_inch_drills_are_those_of_the_charts(size: float, name: str) -> None:
    found, wide = nearest_drill(size * 1e-3)
    assert found == name
    assert wide == pytest.approx(size * 1e-3, abs=8e-5)  # half the step between such drills


def test_inches() -> None:
    assert in_inch(0.0254) == "1.000 in"
    assert DRILLS["1/4 in"] == pytest.approx(6.35e-3) and DRILLS["no. 1"] == pytest.approx(5.7912e-3)
