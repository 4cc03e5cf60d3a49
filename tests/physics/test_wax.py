"""The wax element's play against a sequence worked by hand, and vehicle limits."""

from __future__ import annotations

import pytest

from hobwind.physics import wax

ZERO = 273.15


def follow(temperatures: list[float], opens: float, full: float, travel: float, hysteresis: float) -> list[float]:
    """Strokes in mm at element temperatures in degC, beginning settled at the first."""
    memory, strokes = temperatures[0] + ZERO, []
    for celsius in temperatures:
        memory = wax.play(memory, celsius + ZERO, hysteresis)
        strokes.append(1e3 * wax.stroke(memory, opens + ZERO, full + ZERO, 1e-3 * travel, 0.0))
    return strokes


def test_play_row() -> None:
    """Exact, by hand: opens 82, full 95 degC, 8 mm, 4 K; printed to 0.001 mm."""
    element = [20.0, 90.0, 87.0, 84.0, 92.0, 100.0, 93.0, 88.0, 80.0, 78.0, 70.0]
    expected = [0.0, 4.923, 4.923, 3.692, 6.154, 8.0, 8.0, 6.154, 1.231, 0.0, 0.0]
    assert follow(element, 82.0, 95.0, 8.0, 4.0) == pytest.approx(expected, abs=6e-4)


@pytest.mark.parametrize("hysteresis", [2.0, 5.0])
@pytest.mark.parametrize(("opens", "hot", "travel", "shut"), [(82.0, 95.0, 10.0, 77.0), (78.0, 91.0, 8.0, 73.0)])
def test_vehicle_limits(opens: float, hot: float, travel: float, shut: float, hysteresis: float) -> None:
    """Inspection limits (read), middle of the opening band; hysteresis from 2 to 5 K must meet them. Rounding only."""
    before, wide, closed = follow([opens - 2.0, hot, shut], opens, hot, travel, hysteresis)
    assert before == 0.0
    assert wide == pytest.approx(travel, rel=1e-9)
    assert closed == pytest.approx(0.0, abs=1e-9)


def test_creep_beyond_full() -> None:
    """Exact: 8 mm at full and 0.05 mm for each of 10 K beyond."""
    assert wax.stroke(378.15, 355.15, 368.15, 8e-3, 5e-5) == pytest.approx(8.5e-3, rel=1e-12)


def test_no_hysteresis_follows_at_once() -> None:
    assert [wax.play(350.0, t, 0.0) for t in (340.0, 350.0, 360.0)] == [340.0, 350.0, 360.0]
