"""Thermocouples and infrared against published values."""

from __future__ import annotations

import numpy as np
import pytest

from hobwind.trial import infrared, thermocouple

# NIST Monograph 175 / IEC 60584-1, type K, printed to 0.1 µV.
TYPE_K = ((25.0, 1.0002), (100.0, 4.0962), (150.0, 6.1383), (250.0, 10.1534), (300.0, 12.2086), (400.0, 16.3971))
# NIST's own inverse polynomial for 0 to 500 °C, error -0.05 to +0.04 °C (Monograph 175; recalled, agreeing with the table above).
INVERSE = (
    0.0, 2.508355e1, 7.860106e-2, -2.503131e-1, 8.315270e-2, -1.228034e-2, 9.804036e-4, -4.413030e-5, 1.057734e-6, -1.052755e-8,
)  # fmt: skip


@pytest.mark.parametrize(("celsius", "millivolts"), TYPE_K)
def test_type_k_both_ways(celsius: float, millivolts: float) -> None:
    assert float(thermocouple.millivolts(celsius)) == pytest.approx(millivolts, abs=6e-5)  # printed to 1e-4 mV
    assert float(thermocouple.celsius(millivolts, 0.0)) == pytest.approx(celsius, abs=2e-3)  # 1e-4 mV is 2.5e-3 K


def test_type_k_inverse_against_the_published_polynomial() -> None:
    volts = np.linspace(0.0, 20.0, 101)
    theirs = np.polynomial.polynomial.polyval(volts, INVERSE)
    assert np.abs(thermocouple.celsius(volts, 0.0) - theirs).max() < 0.055  # their stated error


def test_cold_end_and_range() -> None:
    """A pair whose meter stands at 25 °C lacks 1.0002 mV."""
    assert float(thermocouple.celsius(12.2086 - 1.0002, 25.0)) == pytest.approx(300.0, abs=0.01)
    assert np.isnan(thermocouple.celsius(80.0, 0.0))


def test_infrared_of_bare_metal() -> None:
    """True 250 °C, radiates .20, meter at .95, room 20 °C: shows 93.5 °C; 95.4 where it does not take the room off (exact)."""
    args = (523.15, 0.20, 0.95, 293.15)
    assert float(infrared.shown_by(*args)) - 273.15 == pytest.approx(93.5, abs=0.05)
    assert float(infrared.shown_by(*args, subtracts=False)) - 273.15 == pytest.approx(95.4, abs=0.05)
    shown = float(infrared.shown_by(*args))
    assert float(infrared.corrected(shown, 0.15, 0.95, 293.15)) - 273.15 == pytest.approx(300.0, abs=0.5)
    assert float(infrared.corrected(shown, 0.25, 0.95, 293.15)) - 273.15 == pytest.approx(217.0, abs=0.5)
    assert not infrared.Surface(0.2, 0.025, 0.95).may_judge and infrared.Surface(0.9, 0.02, 0.95).may_judge


def test_infrared_spread_grows_as_the_surface_shines() -> None:
    """0.15 to 0.25 (two spreads) spans 300 to 217 °C: 41 K on either side for two spreads, about 21 for one."""
    shown = float(infrared.shown_by(523.15, 0.20, 0.95, 293.15))
    assert infrared.doubt(shown, infrared.Surface(0.2, 0.025, 0.95), 293.15) == pytest.approx(20.8, abs=1.0)  # the room adds
    assert infrared.doubt(500.0, infrared.Surface(0.95, 0.01, 0.95), 293.15) < 4.0


def test_radiance_inverse() -> None:
    kelvin = np.linspace(260.0, 900.0, 77)
    assert np.abs(infrared.temperature(infrared.radiance(kelvin)) - kelvin).max() < 1e-3
    # By hand: the whole of Planck's curve integrates to sigma T^4 / pi; the 8-14 µm band of 300 K holds 37.6 % of it (tables of
    # the black body's fractional function, F(4200) - F(2400) = 0.5160 - 0.1403, from memory).
    whole = 5.670374e-8 * 300.0**4 / np.pi
    c1 = 1.191042972e-16  # 2 h c^2
    assert float(infrared.radiance(300.0)) * 1e24 * c1 / whole == pytest.approx(0.376, abs=0.002)
