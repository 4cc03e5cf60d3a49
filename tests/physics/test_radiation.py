"""Glow against worked examples, and views against plain quadrature over the seen faces."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import constants
from scipy.integrate import dblquad

from hobwind.physics import radiation


def test_constant() -> None:
    """CODATA by SciPy; exact since 2019, printed to ten digits."""
    assert pytest.approx(constants.Stefan_Boltzmann, rel=1e-9) == radiation.STEFAN_BOLTZMANN


def test_parallel_row() -> None:
    """Holman Ex 7.8 (read): both 0.2, 373 and 313 K, 0.25 m2: 15.37 W; 4 digits."""
    assert 0.25 * radiation.parallel_grey(0.2, 0.2, 373.0, 313.0) == pytest.approx(15.37, rel=4e-4)


def test_parallel_limits() -> None:
    """Exact: black faces exchange sigma (T1^4 - T2^4); heat turns its sign with the temperatures."""
    black = constants.Stefan_Boltzmann * (500.0**4 - 300.0**4)
    assert radiation.parallel_grey(1.0, 1.0, 500.0, 300.0) == pytest.approx(black, rel=1e-9)
    there, back = radiation.parallel_grey(0.3, 0.8, 500.0, 300.0), radiation.parallel_grey(0.8, 0.3, 300.0, 500.0)
    assert there == pytest.approx(-back, rel=1e-12)


def test_small_face_in_a_room() -> None:
    """Textbook: a small grey face in a large room loses e sigma (T^4 - Tr^4), whatever the room's emissivity."""
    expected = 0.8 * constants.Stefan_Boltzmann * (473.0**4 - 298.0**4)
    # Incropera Ex 1.2, from memory: steam pipe, 0.8, 200 and 25 degC: 1913 W/m2 (2270 less 357); 4 digits.
    assert expected == pytest.approx(1913.0, rel=1e-3)
    assert radiation.two_surroundings(0.8, 0.0, 0.9, 473.0, 600.0, 298.0) == pytest.approx(expected, rel=1e-9)


def test_small_face_before_a_black_plate() -> None:
    """Exact: with a black plate it is the sum over both surroundings, and nothing flows when all are equally warm."""
    expected = 0.5 * constants.Stefan_Boltzmann * (400.0**4 - 0.7 * 293.0**4 - 0.3 * 600.0**4)
    assert radiation.two_surroundings(0.5, 0.3, 1.0, 400.0, 600.0, 293.0) == pytest.approx(expected, rel=1e-9)
    assert radiation.two_surroundings(0.5, 0.3, 0.9, 400.0, 400.0, 400.0) == 0.0


def test_view_of_the_stove_row() -> None:
    """z 0.10, x 0.20, y 0.25 m: 0.2592 (exact, 4 digits)."""
    assert radiation.view_vertical_element(0.10, 0.20, 0.25) == pytest.approx(0.2592, abs=6e-5)


@pytest.mark.parametrize(("height", "front", "side"), [(0.1, 0.2, 0.25), (0.03, 0.3, 0.1), (0.4, 0.1, 0.5)])
def test_view_of_the_stove_by_quadrature(height: float, front: float, side: float) -> None:
    """cos cos/(pi r^2) summed over the plate in front of the element; quadrature good to 1e-8."""

    def share(y: float, x: float) -> float:
        return x * height / (np.pi * (x * x + y * y + height * height) ** 2)

    expected = 2.0 * dblquad(share, 0.0, front, 0.0, side, epsrel=1e-8)[0]
    assert radiation.view_vertical_element(height, front, side) == pytest.approx(expected, rel=1e-6)


def test_view_limits() -> None:
    """Exact: an endless plate takes the lower half of the sight of an upright face."""
    assert radiation.view_vertical_element(1e-3, 1e3, 1e3) == pytest.approx(0.5, abs=1e-5)  # z over reach is 1e-6


def test_view_of_squares() -> None:
    """Unit squares a unit apart: 0.1998 (textbook charts, from memory, 4 digits)."""
    assert radiation.view_facing(1.0, 1.0, 1.0, 1.0, 1.0) == pytest.approx(0.1998, abs=6e-5)


@pytest.mark.parametrize(
    ("width", "depth", "wide", "deep", "spacing"),
    [(0.04, 0.04, 0.1, 0.1, 0.03), (0.1, 0.06, 0.06, 0.1, 0.02), (0.06, 0.06, 0.06, 0.06, 0.05)],
)
def test_view_of_rectangles_by_quadrature(width: float, depth: float, wide: float, deep: float, spacing: float) -> None:
    """The mean of z^2/(pi r^4) over both, 40 x 40 Gauss points of the faceand of the other.

    1e-5: Gauss points on a smooth kernel.
    """
    places, weights = np.polynomial.legendre.leggauss(40)
    x1, y1 = 0.5 * width * places, 0.5 * depth * places
    x2, y2 = 0.5 * wide * places, 0.5 * deep * places
    across = (x1[:, None] - x2[None, :]) ** 2
    along = (y1[:, None] - y2[None, :]) ** 2
    square = across[:, :, None, None] + along[None, None, :, :] + spacing**2
    kernel = spacing**2 / (np.pi * square**2)
    expected = 0.25 * wide * deep * np.einsum("abcd,a,b,c,d->", kernel, weights, weights, weights, weights) / 4.0
    assert radiation.view_facing(width, depth, wide, deep, spacing) == pytest.approx(float(expected), rel=1e-5)
