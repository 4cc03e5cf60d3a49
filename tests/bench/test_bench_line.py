"""The straight line against the worked example GUM H.3 (calibration of a thermometer)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from hobwind.bench.measured import Measured, combine, fit_line, odd_one

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


def test_gum_h2() -> None:
    """GUM H.2: volts, amperes and phase read together five times: R 127.732(71), X 219.847(295), Z 254.260(236) Ω."""
    sets = {
        "v": [5.007, 4.994, 5.005, 4.990, 4.999],
        "i": [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
        "p": [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    }
    means = {name: Measured(float(np.mean(one)), float(np.std(one, ddof=1)) / 5**0.5) for name, one in sets.items()}
    r = {(a, b): float(np.corrcoef(sets[a], sets[b])[0, 1]) for a, b in (("v", "i"), ("v", "p"), ("i", "p"))}
    # The example prints -0.36, 0.86 and -0.65 for these.
    assert [round(one, 2) for one in r.values()] == [-0.36, 0.86, -0.65]
    wanted = {
        (127.732, 0.071): lambda v, i, p: v / i * math.cos(p),
        (219.847, 0.295): lambda v, i, p: v / i * math.sin(p),
        (254.260, 0.236): lambda v, i, p: v / i,
    }
    for (value, u), formula in wanted.items():
        found, _ = combine(formula, means, r)
        assert found.value == pytest.approx(value, abs=6e-4) and found.u == pytest.approx(u, abs=6e-4)  # printed to 3 places
        alone, _ = combine(formula, means)
        assert abs(alone.u - u) > 0.02  # what goes together matters here


def test_odd_one_is_found_and_nothing_else() -> None:
    """A reading 30 of its own doubts off among twenty even ones; none in honest scatter, none among three."""
    draw = np.random.default_rng(1)
    x = [float(i) for i in range(20)]
    y = [2.0 * one + 1.0 + 0.1 * draw.normal() for one in x]
    assert odd_one(x, y, [0.0] * 20, [0.1] * 20) is None
    y[7] += 3.0
    found = odd_one(x, y, [0.0] * 20, [0.1] * 20)
    assert found is not None and found[0] == 7 and found[1] == pytest.approx(15.0, abs=0.2)
    assert odd_one(x[:3], [0.0, 5.0, 0.0], [0.0] * 3, [0.1] * 3) is None
