"""The straight line against the worked example GUM H.3 (calibration of a thermometer)."""

from __future__ import annotations

import numpy as np
import pytest

from hobwind.bench.measured import fit_line

# GUM H.3, table H.6: thermometer readings t_k [°C] and corrections b_k [°C].
READ = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
OFF = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]


def test_gum_h3() -> None:
    """Slope 0.00218(67), intercept at 20 °C -0.1712(29), r -0.930; the doubts there come from the scatter alone."""
    x = [t - 20.0 for t in READ]
    # Readings' own doubts far below the scatter, so that the scatter sets the result's, as in the example.
    line = fit_line(x, OFF, [0.0] * len(x), [1e-6] * len(x))
    assert line.slope.value == pytest.approx(0.00218, abs=5e-6)
    assert line.slope.u == pytest.approx(0.00067, abs=5e-6)
    assert line.intercept.value == pytest.approx(-0.1712, abs=5e-5)
    assert line.intercept.u == pytest.approx(0.0029, abs=5e-5)
    assert line.together == pytest.approx(-0.930, abs=5e-4)
    # GUM H.3.4: predicted correction at 30 °C, -0.1494(41).
    assert line.at(10.0).value == pytest.approx(-0.1494, abs=5e-5)
    assert line.at(10.0).u == pytest.approx(0.0041, abs=5e-5)


def test_too_little_is_refused() -> None:
    with pytest.raises(ValueError, match="three readings"):
        fit_line([1.0, 2.0], [1.0, 2.0], [0.1] * 2, [0.1] * 2)


def test_slope_with_doubts_in_both_directions() -> None:
    """Against the true points as unknowns of their own, settled by scipy.optimize.least_squares."""
    from scipy.optimize import least_squares

    draw = np.random.default_rng(3)
    true = np.linspace(0.0, 10.0, 12)
    y = 2.0 * true + 1.0 + draw.normal(0.0, 0.2, 12)
    x = true + draw.normal(0.0, 0.1, 12)

    def off(unknown: np.ndarray) -> np.ndarray:
        slope, intercept, places = unknown[0], unknown[1], unknown[2:]
        return np.concatenate([(x - places) / 0.1, (y - slope * places - intercept) / 0.2])

    found = least_squares(off, [1.0, 0.0, *x]).x
    ours = fit_line(x, y, [0.1] * 12, [0.2] * 12)
    assert ours.slope.value == pytest.approx(found[0], rel=2e-3)
    assert ours.intercept.value == pytest.approx(found[1], abs=0.02)
