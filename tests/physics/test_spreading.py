"""Spreading against a printed row and a plate cut into finite elements."""

from __future__ import annotations

import numpy as np
import pytest
from skfem import Basis, BilinearForm, ElementHex1, FacetBasis, LinearForm, MeshHex, asm, solve
from skfem.helpers import dot, grad

from hobwind.physics import spreading


@BilinearForm
def conduction(u, v, _):
    return dot(grad(u), grad(v))


@BilinearForm
def cooling(u, v, _):
    return u * v


@LinearForm
def feeding(v, _):
    return 1.0 * v


def edges(source: float, plate: float, count: int) -> np.ndarray:
    """Places from the middle to the rim, crowded at the edge of the source."""
    inward = source * np.sin(0.5 * np.pi * np.linspace(0.0, 1.0, count))
    return np.unique(np.concatenate([inward, source + (plate - source) * np.linspace(0.0, 1.0, count) ** 2]))


def by_elements(k: float, thick: float, far: float, width_in: float, depth_in: float, width: float, depth: float) -> float:
    """Mean temperature of the fed rectangle for one watt, less the straight way; a quarter of the plate, in bricks."""
    x, y = edges(0.5 * width_in, 0.5 * width, 11), edges(0.5 * depth_in, 0.5 * depth, 11)
    mesh = MeshHex.init_tensor(x, y, thick * np.linspace(0.0, 1.0, 10) ** 1.5)
    a, b = 0.5 * width_in, 0.5 * depth_in
    fed = mesh.facets_satisfying(lambda p: (p[2] < 1e-9) & (p[0] < a) & (p[1] < b))
    cooled = mesh.facets_satisfying(lambda p: p[2] > thick - 1e-9)
    element = ElementHex1()
    basis = Basis(mesh, element)
    stiffness = k * asm(conduction, basis) + far * asm(cooling, FacetBasis(mesh, element, facets=cooled))
    load = asm(feeding, FacetBasis(mesh, element, facets=fed))
    area = float(load.sum())
    assert area == pytest.approx(a * b, rel=1e-9)  # the source is met exactly by whole bricks
    temperature = solve(stiffness, 0.25 / area * load)
    straight = (thick / k + 1.0 / far) / (width * depth)
    return float(load @ temperature) / area - straight


def test_row() -> None:
    """Copper 390, 40 x 40 on 100 x 100 mm, 5 mm, 300 W/m2K: 0.0412 K/W (exact series); printed to 3 digits."""
    found = spreading.rectangle_resistance(390.0, 5e-3, 300.0, 0.04, 0.04, 0.1, 0.1, 200)
    assert found == pytest.approx(0.0412, abs=6e-5)


@pytest.mark.parametrize(
    "case",
    [
        (390.0, 5e-3, 300.0, 0.04, 0.04, 0.1, 0.1),
        (167.0, 8e-3, 100.0, 0.04, 0.04, 0.12, 0.08),
        (167.0, 20e-3, 1000.0, 0.03, 0.06, 0.1, 0.1),
    ],
)
def test_against_finite_elements(case: tuple[float, float, float, float, float, float, float]) -> None:
    """1 %: the bricks' own error, seen to be 0.5 % here and to fall with the square of their size."""
    assert spreading.rectangle_resistance(*case, 60) == pytest.approx(by_elements(*case), rel=0.01)


def test_limits() -> None:
    """Exact: a source as large as the plate spreads nothing; turning the plate a quarter changes nothing."""
    full = spreading.rectangle_resistance(167.0, 5e-3, 300.0, 0.1, 0.1, 0.1, 0.1, 40)
    assert full == pytest.approx(0.0, abs=1e-12)  # sines of whole turns, rounded
    one = spreading.rectangle_resistance(167.0, 5e-3, 300.0, 0.03, 0.05, 0.1, 0.12, 40)
    other = spreading.rectangle_resistance(167.0, 5e-3, 300.0, 0.05, 0.03, 0.12, 0.1, 40)
    assert one == pytest.approx(other, rel=1e-12)
    half = spreading.rectangle_resistance(334.0, 5e-3, 600.0, 0.03, 0.05, 0.1, 0.12, 40)
    assert half == pytest.approx(0.5 * one, rel=1e-12)


def test_thirty_terms_suffice() -> None:
    """1 %: the tail of the series beyond 30 terms, against 600."""
    case = (167.0, 8e-3, 100.0, 0.04, 0.04, 0.12, 0.08)
    many = spreading.rectangle_resistance(*case, 600)
    assert spreading.rectangle_resistance(*case, 30) == pytest.approx(many, rel=0.01)
