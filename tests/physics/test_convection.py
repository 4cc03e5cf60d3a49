"""Convection against worked examples, rows of the papers, and the independent library `ht`."""

from __future__ import annotations

import ht
import numpy as np
import pytest

from hobwind.physics import convection

SAME = 1e-9  # the same published formula, coded by others: only rounding may differ


@pytest.mark.parametrize("prandtl", [0.69, 0.71])
@pytest.mark.parametrize("rayleigh", [1e-1, 1e2, 1e5, 1e7, 1e9, 1e12])
def test_formulas_of_the_library(rayleigh: float, prandtl: float) -> None:
    grashof = rayleigh / prandtl
    plate = convection.nusselt_vertical_plate(rayleigh, prandtl)
    assert plate == pytest.approx(ht.Nu_vertical_plate_Churchill(prandtl, grashof), rel=SAME)
    lying = convection.nusselt_horizontal_cylinder(rayleigh, prandtl)
    assert lying == pytest.approx(ht.Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof), rel=SAME)
    for slenderness in (0.2, 1.0, 10.0):
        upright = plate * convection.cylinder_curvature(grashof, prandtl, slenderness)
        expected = ht.Nu_vertical_cylinder_Popiel_Churchill(prandtl, grashof, slenderness, 1.0)
        assert upright == pytest.approx(expected, rel=SAME)


@pytest.mark.parametrize("reynolds", [1.0, 1e2, 6071.0, 1e5, 1e6])
def test_cross_flow_of_the_library(reynolds: float) -> None:
    expected = ht.Nu_cylinder_Churchill_Bernstein(reynolds, 0.707)
    assert convection.nusselt_crossflow(reynolds, 0.707) == pytest.approx(expected, rel=SAME)


def test_cross_flow_row() -> None:
    """Incropera Ex 7.4 geometry, Re 7992, Pr 0.707: 47.3 by Churchill and Bernstein; printed to 3 digits."""
    assert convection.nusselt_crossflow(7992.0, 0.707) == pytest.approx(47.3, rel=2e-3)


@pytest.mark.parametrize("rayleigh", [1e4, 1e6, 1e7, 1e8, 1e11])
def test_faces_up_and_down_of_the_library(rayleigh: float) -> None:
    """McAdams. Joining smoothly adds at most 2^(1/10) = 7.2 %, where both are equal, and never takes.

    The library switches at 1e7, where the two formulas stand 6 % apart; together 11.5 %, there only.
    """
    up = convection.nusselt_horizontal_up(rayleigh)
    expected = max(0.54 * rayleigh**0.25, 0.15 * rayleigh ** (1 / 3))
    assert up == pytest.approx(ht.Nu_horizontal_plate_McAdams(1.0, rayleigh, buoyancy=True), rel=0.115)
    assert expected <= up <= 1.072 * expected
    if rayleigh <= 1e10:  # the formula's own limit; the library changes over there
        down = ht.Nu_horizontal_plate_McAdams(1.0, rayleigh, buoyancy=False)
        assert convection.nusselt_horizontal_down(rayleigh) == pytest.approx(down, rel=SAME)


def test_screen_example() -> None:
    """Incropera Ex 9.2 (read): 0.71 m high, 1.02 m wide, 232 over 23 degC: h 7.0, 1060 W; printed to 2 and 3 digits."""
    rayleigh = 9.8 * 2.5e-3 * (232 - 23) * 0.71**3 / (38.3e-6 * 26.4e-6)
    assert rayleigh == pytest.approx(1.814e9, rel=2e-3)  # the book rounds on its way
    coefficient = convection.nusselt_vertical_plate(rayleigh, 0.69) * 33.8e-3 / 0.71
    assert coefficient == pytest.approx(7.0, rel=8e-3)  # 7.0 stands for 6.95 to 7.05
    assert coefficient * 1.02 * 0.71 * (232 - 23) == pytest.approx(1060.0, rel=5e-3)  # 1055 to 1065


def test_duct_example() -> None:
    """Incropera Ex 9.3 (read): duct 0.75 wide, 0.3 m high, 45 in 15 degC: 246 W/m; sides, top, bottom 4.23/5.47/2.07.

    The book takes the laminar formula for the sides, which lies 15 % below the one curve for all flow; of the whole
    the sides are a third, hence 6 % on the sum. Properties of the book, from memory.
    """
    k, nu, alpha, beta, prandtl = 0.0265, 16.2e-6, 22.9e-6, 0.0033, 0.71

    def rayleigh(length: float) -> float:
        return 9.8 * beta * 30.0 * length**3 / (nu * alpha)

    sides = convection.nusselt_vertical_plate(rayleigh(0.3), prandtl) * k / 0.3
    top = convection.nusselt_horizontal_up(rayleigh(0.375)) * k / 0.375
    bottom = convection.nusselt_horizontal_down(rayleigh(0.375)) * k / 0.375
    assert sides == pytest.approx(4.23, rel=0.17)  # the two formulas of Churchill and Chu, see above
    assert top == pytest.approx(5.47, rel=0.015)  # joining smoothly adds 0.7 %, book's rounding 0.5 %
    assert bottom == pytest.approx(2.07, rel=0.005)  # printed to 3 digits
    assert (2 * 0.3 * sides + 0.75 * (top + bottom)) * 30.0 == pytest.approx(246.0, rel=0.06)


@pytest.mark.parametrize(("elenbaas", "expected"), [(10.0, 0.38724), (54.25, 1.30657), (1000.0, 3.30720)])
def test_channel_rows(elenbaas: float, expected: float) -> None:
    """Bar-Cohen and Rohsenow 1984 (read), worked by hand to 5 decimals."""
    assert convection.nusselt_channel(elenbaas) == pytest.approx(expected, abs=6e-6)


def test_channel_limits() -> None:
    """Narrow: El/24, fully developed; Elenbaas 1942, from memory. Wide: a lone plate, 0.59 El^(1/4)."""
    assert convection.nusselt_channel(1e-2) == pytest.approx(1e-2 / 24.0, rel=1e-4)  # the other term is 5e-6 there
    assert convection.nusselt_channel(1e6) == pytest.approx(0.59 * 1e6**0.25, rel=2e-3)  # 2.873^-1/2 is 0.58998


@pytest.mark.parametrize("elenbaas", [1.0, 10.0, 54.25, 1e3, 1e5])
def test_channel_against_elenbaas(elenbaas: float) -> None:
    """Elenbaas 1942, from memory: Nu = El/24 (1 - exp(-35/El))^(3/4). 15 %: two fits of the same tests."""
    expected = elenbaas / 24.0 * (1.0 - np.exp(-35.0 / elenbaas)) ** 0.75
    assert convection.nusselt_channel(elenbaas) == pytest.approx(expected, rel=0.15)


def test_best_channel() -> None:
    """The best gap makes h/gap largest (thin fins): searched over gaps with the channel formula; El is 54.25 there."""
    height, rayleigh = 0.1, 1e6
    gaps = np.geomspace(2e-3, 3e-2, 20001)
    shed = convection.nusselt_channel(rayleigh * (gaps / height) ** 4) / gaps**2
    best = float(gaps[np.argmax(shed)])
    assert convection.optimum_channel(height, rayleigh) == pytest.approx(best, rel=1e-3)  # 2.714 printed to 4 digits
    assert rayleigh * (best / height) ** 4 == pytest.approx(54.25, rel=1e-2)  # four times the error of the gap


@pytest.mark.parametrize(("speed", "expected"), [(0.5, 12.75), (1.0, 20.45), (2.0, 29.19), (5.0, 43.63)])
def test_blown_gap_rows(speed: float, expected: float) -> None:
    """Teertstra et al. 2000 (from memory): 3 mm gap, 60 mm long; worked by hand to 4 digits."""
    nusselt = convection.nusselt_fin_gap(speed * 3e-3 / 1.6e-5 * 3e-3 / 60e-3, 0.71)
    assert nusselt * 0.0263 / 3e-3 == pytest.approx(expected, rel=4e-4)


def test_slow_air_leaves_as_warm_as_the_fins() -> None:
    """Exact: slow air can take no more than m_dot c_p for each kelvin between fins and inlet."""
    gap, length, tall, nu, k, prandtl, density = 3e-3, 60e-3, 25e-3, 1.6e-5, 0.0263, 0.71, 1.16
    speed = 0.01
    coefficient = convection.nusselt_fin_gap(speed * gap / nu * gap / length, prandtl) * k / gap
    capacity = density * speed * gap * tall * (prandtl * k / (nu * density))
    # 1 %: the boundary-layer term, joined by third powers, still counts 0.4 % at Re* 0.09.
    assert coefficient * 2.0 * length * tall == pytest.approx(capacity, rel=1e-2)
    assert coefficient * 2.0 * length * tall <= capacity


def test_fast_air_tends_to_a_lone_plate() -> None:
    """Pohlhausen's laminar plate, 0.664 Re^(1/2) Pr^(1/3) (textbook), on the gap instead of the length."""
    star = 1e8
    plate = 0.664 * np.sqrt(star) * 0.71 ** (1 / 3)
    assert convection.nusselt_fin_gap(star, 0.71) == pytest.approx(plate, rel=1e-3)  # 3.65/sqrt(1e8)/2 is 0.02 %


def test_blend() -> None:
    """Churchill 1977: third powers add; 3, 4, 5 make 6 (exact, Euler's cubes), but for rounding."""
    assert convection.cubic_blend(convection.cubic_blend(3.0, 4.0), 5.0) == pytest.approx(6.0, rel=1e-14)
