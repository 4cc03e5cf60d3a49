"""Joints against published rows and examples, and the gas gap against a plain average over the face."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import dblquad, quad

from hobwind.physics import contact

# Both faces k 167, 1.6 micrometre, slope 0.12, 1.1 GPa; together 2.2627 micrometre and 0.16971. Gas k .031, M .37.
ROWS = [
    (0.1e6, 2267.0, 8.54e-6, 5747.0),
    (0.5e6, 10457.0, 7.30e-6, 14496.0),
    (1.0e6, 20201.0, 6.83e-6, 24507.0),
    (3.0e6, 57363.0, 6.14e-6, 62126.0),
]


@pytest.mark.parametrize(("pressure", "spots", "apart", "joint"), ROWS)
def test_joint_rows(pressure: float, spots: float, apart: float, joint: float) -> None:
    """Cooper, Mikic, Yovanovich 1969; Antonetti: formulas worked by hand to the digits shown."""
    rough, steep = 1.6e-6 * np.sqrt(2.0), 0.12 * np.sqrt(2.0)
    metal = contact.harmonic_conductivity(167.0, 167.0)
    solid = contact.solid_spot_conductance(metal, rough, steep, pressure, 1.1e9)
    between = contact.plane_separation(rough, pressure, 1.1e9)
    gas = contact.gap_conductance(0.031, between + 0.37e-6, 0.0, 0.0, 0.0, 0.0)
    assert solid == pytest.approx(spots, abs=0.6)
    assert between == pytest.approx(apart, abs=0.006e-6)
    assert solid + gas == pytest.approx(joint, rel=2e-4)  # five digits; hand values carried a rounded separation


def test_separation_has_no_runaway() -> None:
    """Light touch is held at P/H of 1e-5: 1.53 sigma 10^0.485 (worked by hand: 3.0549)."""
    lightest = contact.plane_separation(2e-6, 1.0, 1e9)
    assert lightest == contact.plane_separation(2e-6, 1e3, 1e9)
    assert lightest == pytest.approx(1.53 * 2e-6 * 3.0549, rel=2e-5)  # five digits


def test_table_of_bare_joints() -> None:
    """Incropera table 3.1b, from memory: aluminium on aluminium, 10 micrometre, 0.1 MPa, air: 2.75e-4 m2K/W. Within x2.

    The table tells neither metal nor hardness: pure aluminium, 237 W/mK (table A.1), and the hardness of the rows
    above. Slope by Antonetti, 0.125 sigma^0.402.
    """
    rough, steep = 10e-6, 0.125 * 10.0**0.402
    solid = contact.solid_spot_conductance(237.0, rough, steep, 0.1e6, 1.1e9)
    between = contact.plane_separation(rough, 0.1e6, 1.1e9)
    gas = contact.gap_conductance(0.026, between + 0.37e-6, 0.0, 0.0, 0.0, 0.0)
    assert 0.5 < (solid + gas) / 3640.0 < 2.0


def test_transistor_example() -> None:
    """Cengel Ex 3.5 (read): copper plate 10 mm thick, 0.01 m2, joint 42000 W/m2K on 8 cm2: 12.4 W, 0.37 K.

    The joint of the example is laid as a sheet without thickness; digits as worked by hand.
    """
    joint = contact.sheet_conductance(1.0, 0.0, 1.0 / 42000.0) * 8e-4
    plate = contact.sheet_conductance(386.0, 0.01, 0.0) * 0.01
    heat = (70.0 - 20.0) / (1.0 / joint + 1.0 / plate + 1.0 / (25.0 * 0.01))
    assert heat == pytest.approx(12.40, abs=0.006)
    assert heat / joint == pytest.approx(0.369, abs=6e-4)


@pytest.mark.parametrize(("pressure", "expected"), [(0.1e6, 41.6e-6), (1.0e6, 28.4e-6)])
def test_bond_line(pressure: float, expected: float) -> None:
    """Prasher et al. 2003, from memory: yield stress 100 Pa; printed to 3 digits."""
    assert contact.bond_line(100.0, pressure) == pytest.approx(expected, abs=0.06e-6)


def test_seat_gas_rows() -> None:
    """0.1 mm out of flat, 8 micrometre apart, k 0.035: crown 911, bow 1603 W/m2K (exact, rounded to whole numbers)."""
    assert contact.gap_conductance(0.035, 8e-6, 1e-4, 0.0, 0.0, 0.0) == pytest.approx(911.0, abs=0.6)
    assert contact.gap_conductance(0.035, 8e-6, 1e-4, 1.0, 0.0, 0.0) == pytest.approx(1603.0, abs=0.6)


def test_wedge_row() -> None:
    """0.1 to 5.0 mm, k 0.0313: 24.99 W/m2K (exact: k ln(50)/4.9 mm), rounded to 4 digits."""
    assert contact.gap_conductance(0.0313, 0.0, 0.0, 0.0, 1e-4, 5e-3) == pytest.approx(24.99, abs=0.006)


CASES = [(8e-6, 1e-4, 0.0, 1e-3), (8e-6, 1e-4, 1e-3, 3e-3), (20e-6, 3e-4, 0.0, 2e-4), (8e-6, 3e-5, 0.0, 5e-3)]


@pytest.mark.parametrize(("standoff", "height", "low", "high"), CASES)
@pytest.mark.parametrize("bow", [0.0, 1.0, 0.4])
def test_wedge_and_profile_against_quadrature(standoff: float, height: float, low: float, high: float, bow: float) -> None:
    """The mean of k/(Y + M + u + g) over the face, by adaptive quadrature; crown: u even over the area, bow: u = h x^2.

    1e-4: five Gauss points in the logarithm of the gap.
    """

    def mean(shape: float) -> float:
        def inverse(place: float, along: float) -> float:
            return 1.0 / (standoff + height * place**shape + low + (high - low) * along)

        return float(dblquad(inverse, 0.0, 1.0, 0.0, 1.0, epsabs=0.0, epsrel=1e-7)[0])

    expected = 0.03 * ((1.0 - bow) * mean(1.0) + bow * mean(2.0))
    assert contact.gap_conductance(0.03, standoff, height, bow, low, high) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize("bow", [0.0, 1.0])
def test_grease_between_curved_faces(bow: float) -> None:
    """The same average without a wedge, by quadrature in one direction; closed form, so only rounding differs."""
    expected = quad(lambda x: 2.0 / (30e-6 + 50e-6 * x ** (1.0 + bow)), 0.0, 1.0, epsrel=1e-10)[0]
    assert contact.filled_joint_conductance(2.0, 30e-6, 50e-6, bow) == pytest.approx(expected, rel=1e-9)


def test_flat_limit() -> None:
    """Exact: a vanishing crown, bow and wedge leave k over the distance; the switch-over shows no step (1e-6)."""
    for height in (0.0, 9.9e-13, 1.01e-12, 1e-11):
        for bow in (0.0, 1.0):
            here = contact.gap_conductance(0.03, 1e-6, height, bow, 1e-5, 1e-5)
            assert here == pytest.approx(0.03 / 11e-6, rel=1e-6)
    assert contact.harmonic_conductivity(50.0, 50.0) == 50.0
