"""The fit's own steps on worked examples from elsewhere: a straight line with its spreads and what goes together."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from hobwind.trial.guesses import loss, widened

# GUM H.3 (JCGM 100:2008): thermometer readings and corrections, °C; b = y1 + y2 (t - 20).
READ = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
OFF = np.array([-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160])


def test_straight_line_of_the_guide() -> None:
    """y1 = -0.1712(29), y2 = 0.00218(67), r = -0.930, s = 0.0035 (printed). Guesses so wide that they say nothing."""
    noise, wide = 0.0035, np.array([10.0, 10.0])
    slope = np.column_stack([np.ones(READ.size), READ - 20.0]) * wide / noise

    def miss(x):
        return np.concatenate([slope @ x - OFF / noise, x])

    def by(x):
        return np.vstack([slope, np.eye(2)])

    found = least_squares(miss, np.zeros(2), by, loss=loss(READ.size))
    spread = widened(slope)
    sd = np.sqrt(np.diag(spread)) * wide
    # A robust fit counts the further points a little less; that moves the line by far less than its spread.
    assert found.x[0] * wide[0] == pytest.approx(-0.1712, abs=0.0003)
    assert found.x[1] * wide[1] == pytest.approx(0.00218, abs=0.00007)
    assert sd[0] == pytest.approx(0.0029, abs=0.00005) and sd[1] == pytest.approx(0.00067, abs=0.00001)
    assert spread[0, 1] / np.sqrt(spread[0, 0] * spread[1, 1]) == pytest.approx(-0.930, abs=0.0005)


def test_one_wild_reading_hardly_moves_the_line() -> None:
    """By hand: a tenth reading 100 spreads off moves a plain mean of ten by ten spreads, a robust one by less than one."""
    slope = np.ones((10, 1)) * 1e3
    target = np.zeros(10)
    target[9] = 100.0

    def miss(x):
        return np.concatenate([slope @ x - target, x])

    found = least_squares(miss, np.zeros(1), lambda x: np.vstack([slope, np.eye(1)]), loss=loss(10))
    assert abs(found.x[0] * 1e3) < 1.0


def test_what_was_guessed_before_holds_what_readings_do_not_tell() -> None:
    """One reading as good as the guess: half way between, and 1/sqrt(2) of the spread left (weighted mean, by hand)."""
    found = least_squares(
        lambda x: np.array([x[0] - 1.0, x[0]]), np.zeros(1), lambda x: np.ones((2, 1)), loss=loss(1), xtol=1e-12, ftol=1e-12
    )
    assert found.x[0] == pytest.approx(0.5, abs=0.01)  # the robust loss takes a hundredth off
    assert np.sqrt(widened(np.ones((1, 1)))[0, 0]) == pytest.approx(np.sqrt(0.5))
