"""The stove plate round the foot against a printed row, the equation solved numerically, and reference libraries."""

from __future__ import annotations

import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from scipy import special
from scipy.integrate import solve_bvp

from hobwind.physics import plate

# Foot 60 x 60 mm on a plate 5 mm thick, k 50, 35 from below, 40 (slope) and 24 (secant) above, 250 in 20 degC.
AREA, THICK, K, BELOW, SLOPE, SECANT, RISE = 3.6e-3, 5e-3, 50.0, 35.0, 40.0, 24.0, 230.0
RADIUS = float(np.sqrt(AREA / np.pi))
DECAY = float(np.sqrt((BELOW + SLOPE) / (K * THICK)))


def by_solving(radius: float, k: float, thick: float, below: float, above: float) -> float:
    """Conductance into the patch: T'' + T'/r = m^2 T from 1 at the patch to 0 twelve decay lengths away."""
    m = np.sqrt((below + above) / (k * thick))

    def slopes(r: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack([y[1], m * m * y[0] - y[1] / r])

    def ends(near: np.ndarray, far: np.ndarray) -> np.ndarray:
        return np.array([near[0] - 1.0, far[0]])

    places = radius + np.geomspace(1e-3, 1.0, 200) * 12.0 / m - 1e-3 * 12.0 / m
    guess = np.vstack([np.exp(-m * (places - radius)), -m * np.exp(-m * (places - radius))])
    found = solve_bvp(slopes, ends, places, guess, tol=1e-8, max_nodes=50000)
    assert found.success
    return float(-2.0 * np.pi * radius * k * thick * found.y[1, 0])


def test_row_of_the_patch() -> None:
    """Exact (Carslaw and Jaeger): ma 0.58632, K1/K0 1.68938, sideways 1.5559, from below 0.126 W/K; 5 digits."""
    assert pytest.approx(0.58632, abs=6e-6) == DECAY * RADIUS
    assert special.k1(DECAY * RADIUS) / special.k0(DECAY * RADIUS) == pytest.approx(1.68938, abs=6e-6)
    assert plate.sideways_conductance(RADIUS, K, THICK, BELOW, SLOPE) == pytest.approx(1.5559, abs=6e-5)


@pytest.mark.parametrize(("heat", "expected"), [(0.0, 11.82), (40.0, -11.97), (60.0, -23.86), (90.0, -41.70)])
def test_local_shift_row(heat: float, expected: float) -> None:
    """The same row: plate under the foot less plate; printed to 0.01 K."""
    found = plate.local_shift(heat, AREA, K, THICK, BELOW, SLOPE, SECANT, RISE)
    assert found == pytest.approx(expected, abs=0.006)


@pytest.mark.parametrize(
    ("radius", "k", "thick", "below", "above"),
    [(RADIUS, K, THICK, BELOW, SLOPE), (0.02, 46.0, 8e-3, 60.0, 20.0), (0.08, 50.0, 3e-3, 20.0, 40.0)],
)
def test_sideways_against_a_solved_plate(radius: float, k: float, thick: float, below: float, above: float) -> None:
    """1e-4: solver tolerance 1e-8; cutting the plate off at twelve decay lengths costs exp(-24)."""
    expected = by_solving(radius, k, thick, below, above)
    assert plate.sideways_conductance(radius, k, thick, below, above) == pytest.approx(expected, rel=1e-4)


def test_shift_from_the_heat_balance() -> None:
    """A patch shaded from above gains A h_below (dT down) + what its loss was; solved plate as above, not our formula.

    Q = A h_secant rise - (G + A h_below) dT must close to 1e-3 W of 40 W (solver's 1e-4 on 19 W).
    """
    shift = plate.local_shift(40.0, AREA, K, THICK, BELOW, SLOPE, SECANT, RISE)
    sideways = by_solving(RADIUS, K, THICK, BELOW, SLOPE)
    assert AREA * SECANT * RISE - (sideways + AREA * BELOW) * shift == pytest.approx(40.0, abs=2e-3)


def test_ladder_comes_near_the_exact_form() -> None:
    """Four rings within 6 % (coarse rings), 400 within 0.7 %: cut off at three decay lengths, 2 exp(-6) is 0.5 %."""
    exact = 2.0 * np.pi * RADIUS * K * THICK * DECAY * special.k1(DECAY * RADIUS) / special.k0(DECAY * RADIUS)
    found = {}
    for count in (4, 400):
        radii = plate.ring_radii(RADIUS, DECAY, count)
        found[count] = plate.ladder_conductance(K, THICK, BELOW, SLOPE, radii)
    assert found[4] == pytest.approx(exact, rel=0.06)
    assert found[400] == pytest.approx(exact, rel=7e-3)


def test_rings() -> None:
    """Exact: equal ratios from the foot to three decay lengths beyond; links in a row add up to one annulus."""
    radii = plate.ring_radii(0.03, 15.0, 4)
    assert radii[0] == pytest.approx(0.03, rel=1e-12)
    assert radii[-1] == pytest.approx(0.03 + 3.0 / 15.0, rel=1e-12)
    np.testing.assert_allclose(radii[1:] / radii[:-1], radii[1] / radii[0], rtol=1e-12)
    resistance = sum(1.0 / plate.ladder_link(i, radii, K, THICK) for i in range(5))
    whole = np.log(radii[-1] / radii[0]) / (2.0 * np.pi * K * THICK)
    assert resistance == pytest.approx(whole, rel=1e-12)


@pytest.mark.parametrize("celsius", [100.0, 250.0])
def test_open_top_against_libraries(celsius: float) -> None:
    """McAdams by `ht`, air by CoolProp. 12 %: smooth joining adds up to 7.2 % and the library's switch steps by 6 %."""
    hot, room, size = celsius + 273.15, 293.15, 0.5
    film = 0.5 * (hot + room)
    k, mu, rho, prandtl = (PropsSI(name, "T", film, "P", 101325.0, "Air") for name in ("L", "V", "D", "PRANDTL"))
    length = size / 4.0
    grashof = 9.80665 / film * (hot - room) * length**3 / (mu / rho) ** 2
    expected = ht.Nu_horizontal_plate_McAdams(prandtl, grashof, buoyancy=True) * k / length * (hot - room)
    assert plate.top_convection(hot, room, 101325.0, size) == pytest.approx(expected, rel=0.12)
    colder = plate.top_convection(room, hot, 101325.0, size)
    down = ht.Nu_horizontal_plate_McAdams(prandtl, grashof, buoyancy=False) * k / length * (room - hot)
    assert colder == pytest.approx(down, rel=5e-3)  # the same formula; air to 0.5 %
    assert plate.top_convection(room, room, 101325.0, size) == 0.0
