"""Bessel functions against SciPy, fins against a worked example, rows and the equation solved numerically."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special
from scipy.integrate import solve_bvp

from hobwind.physics import fins

ARGUMENTS = [1e-3, 0.1, 0.5, 1.0, 1.999, 2.0, 2.001, 3.0, 3.749, 3.75, 3.751, 5.0, 10.0, 20.0, 50.0]


@pytest.mark.parametrize("x", ARGUMENTS)
@pytest.mark.parametrize("order", ["i0", "i1", "k0", "k1"])
def test_bessel_against_scipy(order: str, x: float) -> None:
    """7e-7: the handbook bounds the errors by 1e-8 to 2.2e-7 of scaled functions, which are no smaller than 0.35."""
    expected = float(getattr(special, order)(x))
    assert getattr(fins, f"bessel_{order}")(x) == pytest.approx(expected, rel=7e-7)


def test_round_fin_example() -> None:
    """Incropera Ex 3.10 (read): engine cylinder, five fins. Exact Bessel efficiency 0.97855 and 704.7 W (the book's
    chart reads 0.95 and 690 W, 2 % apart); 5 and 4 digits."""
    inner, outer, thickness, coefficient, conductivity = 0.025, 0.048, 6e-3, 50.0, 186.0
    m = np.sqrt(2.0 * coefficient / (conductivity * thickness))
    efficiency = fins.annular_fin_efficiency(float(m), inner, outer)
    assert efficiency == pytest.approx(0.97855, abs=6e-6)
    finned = 5 * 2.0 * np.pi * (outer**2 - inner**2)
    bare = 2.0 * np.pi * inner * (0.15 - 5 * thickness)
    heat = coefficient * (efficiency * finned + bare) * 200.0
    assert heat == pytest.approx(704.7, rel=1e-4)
    assert heat == pytest.approx(690.0, rel=0.03)  # a chart is read to 2 or 3 %


@pytest.mark.parametrize(("m", "inner", "outer"), [(10.0, 0.01, 0.03), (30.0, 0.02, 0.06), (80.0, 0.01, 0.05)])
def test_round_fin_against_its_equation(m: float, inner: float, outer: float) -> None:
    """T'' + T'/r = m^2 T, T = 1 at the root, T' = 0 at the tip, solved numerically to 1e-8; 1e-5 leaves room."""

    def slopes(r: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack([y[1], m * m * y[0] - y[1] / r])

    def ends(root: np.ndarray, tip: np.ndarray) -> np.ndarray:
        return np.array([root[0] - 1.0, tip[1]])

    places = np.linspace(inner, outer, 101)
    guess = np.vstack([np.exp(-m * (places - inner)), -m * np.exp(-m * (places - inner))])
    found = solve_bvp(slopes, ends, places, guess, tol=1e-8, max_nodes=20000)
    expected = -2.0 * inner * found.y[1, 0] / (m * m * (outer**2 - inner**2))
    assert found.success
    assert fins.annular_fin_efficiency(m, inner, outer) == pytest.approx(expected, rel=1e-5)


def test_straight_fin_rows() -> None:
    """h 40, k 167, 1.5 mm thick, 30 mm long (exact, worked by hand to 5 digits)."""
    m = np.sqrt(2.0 * 40.0 / (167.0 * 1.5e-3))
    assert m == pytest.approx(17.8707, abs=6e-5)
    assert fins.straight_fin_efficiency(m * 0.030) == pytest.approx(0.91406, abs=6e-6)
    assert fins.straight_fin_efficiency(m * 0.03075) == pytest.approx(0.91018, abs=6e-6)  # corrected length


def test_limits() -> None:
    """Exact: cold-free fins work wholly; very long ones as 1/mL; a round fin far from the axis is a straight one."""
    assert fins.straight_fin_efficiency(0.0) == 1.0
    assert fins.straight_fin_efficiency(1e-5) == pytest.approx(1.0, abs=1e-9)
    assert fins.straight_fin_efficiency(30.0) == pytest.approx(1.0 / 30.0, rel=1e-12)
    assert fins.annular_fin_efficiency(1.0, 0.02, 0.02005) == pytest.approx(1.0, abs=1e-9)
    # 0.5 %: a 20 mm fin at 2 m from the axis widens by 1 %.
    straight = fins.straight_fin_efficiency(20.0 * 0.02)
    assert fins.annular_fin_efficiency(20.0, 2.0, 2.02) == pytest.approx(straight, rel=5e-3)
