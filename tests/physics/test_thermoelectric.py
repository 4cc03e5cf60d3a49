"""Modules against published rows, efficiency tables, and a bench report of one small module."""

from __future__ import annotations

import numpy as np
import pytest

from hobwind.physics import thermoelectric as te

ZERO = 273.15


@pytest.mark.parametrize(
    ("temperature", "seebeck", "resistivity", "conductivity", "merit"),
    [(300.0, 212.26e-6, 1.10643e-5, 1.64740, 0.7415), (400.0, 235.98e-6, 1.70936e-5, 1.76210, 0.7395)],
)
def test_bismuth_telluride_anchors(
    temperature: float, seebeck: float, resistivity: float, conductivity: float, merit: float
) -> None:
    """Xuan et al. 2002; Meng, Chen, Sun 2012 (read second-hand). The shapes carry the 300 K values to the others.

    Digits as printed: half a unit of the last one on either end, 5e-5 for seebeck, 1e-5 for the others.
    """
    alpha = 212.26e-6 * te.seebeck_shape(temperature)
    rho = 1.10643e-5 * te.resistance_shape(temperature)
    k = 1.64740 * te.conductance_shape(temperature)
    assert alpha == pytest.approx(seebeck, rel=5e-5)
    assert rho == pytest.approx(resistivity, rel=1e-5)
    assert k == pytest.approx(conductivity, rel=1e-5)
    assert alpha**2 * temperature / (rho * k) == pytest.approx(merit, rel=2e-4)  # 4 digits, twice alpha's rounding


@pytest.mark.parametrize("temperature", [230.0, 250.0, 350.0, 450.0, 520.0])
def test_shapes_follow_the_polynomials(temperature: float) -> None:
    """The same polynomials by numpy, over their value at 300 K; rounding only."""
    for shape, coefficients in (
        (te.seebeck_shape, [-0.9905, 930.6, 22224.0]),
        (te.resistance_shape, [0.6279, 163.4, 5112.0]),
        (te.conductance_shape, [0.4131, -277.7, 62605.0]),
    ):
        expected = np.polyval(coefficients, temperature) / np.polyval(coefficients, 300.0)
        assert shape(temperature) == pytest.approx(float(expected), rel=1e-12)


def test_shapes_are_held_outside() -> None:
    for shape in (te.seebeck_shape, te.resistance_shape, te.conductance_shape):
        assert shape(150.0) == shape(230.0)
        assert shape(700.0) == shape(520.0)


def test_cooler_ratings() -> None:
    """Lineykin and Ben-Yaakov 2007, from memory: 300 K, 15.9 V, 7.6 A, 70 K; digits as printed."""
    seebeck, resistance, conductance = te.from_cooler_ratings(300.0, 15.9, 7.6, 70.0)
    assert seebeck == pytest.approx(0.0530, abs=6e-5)
    assert resistance == pytest.approx(1.604, abs=6e-4)
    assert conductance == pytest.approx(0.6617, abs=6e-5)
    assert te.predicted_qmax(seebeck, resistance, 300.0, 7.6) == pytest.approx(74.5, abs=0.06)


@pytest.mark.parametrize("ratings", [(300.0, 15.9, 7.6, 70.0), (323.0, 8.8, 7.0, 70.0), (298.0, 3.8, 8.5, 66.0)])
def test_cooler_ratings_come_back(ratings: tuple[float, float, float, float]) -> None:
    """Run as a cooler, the module must show the ratings: no heat at dT_max, I_max is the best current, V_max its volts.

    A cooler is a generator driven backwards, by a negative current. Exact; rounding only.
    """
    hot, volts, amperes, difference = ratings
    module = te.from_cooler_ratings(*ratings)
    cold = hot - difference

    def pumped(current: float) -> float:
        return -te.cold_heat(*module, hot, cold, -current)

    assert pumped(amperes) == pytest.approx(0.0, abs=1e-9 * volts * amperes)
    assert pumped(0.99 * amperes) < pumped(amperes) > pumped(1.01 * amperes)
    power = te.cold_heat(*module, hot, cold, -amperes) - te.hot_heat(*module, hot, cold, -amperes)
    assert power == pytest.approx(volts * amperes, rel=1e-12)


def test_inconsistent_ratings_are_caught() -> None:
    """Public controller data (read): 323 K, 70 K, 34.6 W, 7 A, 8.8 V: predicted 37.5 W, 8 % more; 0.985 ohm deduced."""
    seebeck, resistance, _ = te.from_cooler_ratings(323.0, 8.8, 7.0, 70.0)
    predicted = te.predicted_qmax(seebeck, resistance, 323.0, 7.0)
    assert predicted == pytest.approx(37.5, abs=0.06)  # 3 digits
    assert predicted / 34.6 - 1.0 == pytest.approx(0.08, abs=0.006)  # whole percent
    assert resistance == pytest.approx(0.985, abs=6e-4)  # 3 digits


def test_generator_bank() -> None:
    """A maker's guide, from memory, arithmetic exact: 130 and 30 degC, eight modules, 4 in series x 2, 8 ohm."""
    seebeck, resistance, conductance, hot, cold = 0.05544, 3.0994, 0.6632, 130.0 + ZERO, 30.0 + ZERO
    assert te.matched_power(seebeck, resistance, 100.0) == pytest.approx(2.479, abs=6e-4)
    total = 4 * seebeck * (hot - cold) / (4 * resistance / 2 + 8.0)
    share = 0.5 * total
    taken = te.hot_heat(seebeck, resistance, conductance, hot, cold, share)
    given = te.cold_heat(seebeck, resistance, conductance, hot, cold, share)
    assert total == pytest.approx(1.562, abs=6e-4)
    assert total * 8.0 == pytest.approx(12.49, abs=6e-3)
    assert taken - given == pytest.approx(2.439, abs=6e-4)
    assert 8 * (taken - given) == pytest.approx(19.51, abs=6e-3)
    assert 8 * taken == pytest.approx(662.6, abs=0.06)
    assert 100.0 * (taken - given) / taken == pytest.approx(2.945, abs=6e-4)


@pytest.mark.parametrize(
    ("merit", "hot", "best", "matched"),
    [(0.8, 350.0, 2.220, 2.174), (0.8, 400.0, 4.083, 4.000), (0.8, 450.0, 5.670, 5.556), (1.0, 450.0, 6.635, 6.452)],
)
def test_efficiency_table(merit: float, hot: float, best: float, matched: float) -> None:
    """Altenkirch, Ioffe (exact), cold side 300 K, ZT at the mean; printed to 0.001 %."""
    z = merit / (0.5 * (hot + 300.0))
    assert 100.0 * te.maximum_efficiency(z, hot, 300.0) == pytest.approx(best, abs=6e-4)
    assert 100.0 * te.matched_efficiency(z, hot, 300.0) == pytest.approx(matched, abs=6e-4)


@pytest.mark.parametrize("module", [(0.05544, 3.0994, 0.6632), (0.053, 1.604, 0.6617), (0.01368, 0.690, 0.199)])
def test_closed_forms_against_the_two_balances(module: tuple[float, float, float]) -> None:
    """Power, efficiencies and conductance from the heats at the faces, currents searched; exact but for the search."""
    seebeck, resistance, conductance = module
    hot, cold = 430.0, 330.0
    merit = seebeck**2 / (resistance * conductance)
    short = seebeck * (hot - cold) / resistance
    currents = np.linspace(0.0, short, 200001)
    taken = te.hot_heat(*module, hot, cold, currents)
    power = taken - te.cold_heat(*module, hot, cold, currents)
    # 1e-9: the best of 200,001 currents misses the top by (5e-6)^2.
    assert te.matched_power(seebeck, resistance, hot - cold) == pytest.approx(float(power.max()), rel=1e-9)
    assert te.maximum_efficiency(merit, hot, cold) == pytest.approx(float((power / taken).max()), rel=1e-9)
    half = 0.5 * short
    heat = te.hot_heat(*module, hot, cold, half)
    assert te.matched_efficiency(merit, hot, cold) == pytest.approx(power[100000] / heat, rel=1e-12)
    found = te.effective_conductance(conductance, merit, hot, cold)
    assert found == pytest.approx(heat / (hot - cold), rel=1e-12)


# A. Salazar Lobos, University of Alberta course report (read): heater W, top and bottom degC, open volts.
OPEN = np.array(
    [
        [3.406, 24.7, 8.4, 0.254],
        [2.115, 19.3, 8.4, 0.169],
        [1.179, 13.7, 8.1, 0.102],
        [0.583, 10.1, 7.5, 0.060],
        [0.166, 7.9, 7.5, 0.032],
        [0.0, 7.0, 7.5, 0.023],
    ]
)
LOADED = np.array([[0.153, 0.1037], [0.198, 0.1354], [0.265, 0.1834], [0.305, 0.2090], [0.348, 0.2381]])


def test_bench_report() -> None:
    """13.68 mV/K, 0.690 ohm and 0.199 W/K are slopes of the bench points; the module made of them gives the heats.

    The thermometers disagree by a fixed amount and read to 0.1 K; the open volts tell the difference more finely.
    """
    heater, top, bottom, volts = OPEN.T
    seebeck = float(np.polyfit(top - bottom, volts, 1)[0])
    difference = volts / seebeck
    conductance, offset = np.polyfit(difference, heater, 1)
    resistance = float(np.polyfit(LOADED[:, 0], LOADED[:, 1], 1)[0])
    assert seebeck == pytest.approx(13.68e-3, rel=5e-3)  # their points are rounded to 1 mV in 231
    assert resistance == pytest.approx(0.690, rel=5e-3)  # volts rounded to 3 digits
    assert conductance == pytest.approx(0.199, rel=5e-3)  # 3 digits
    for power, below, warmer in zip(heater, bottom, difference, strict=True):
        heat = te.hot_heat(seebeck, resistance, conductance, below + warmer + ZERO, below + ZERO, 0.0)
        assert heat + offset == pytest.approx(power, abs=0.05)  # 3 mV of the printed 1 mV steps, 0.015 W each


def test_kelvin_relation_of_the_bench() -> None:
    """The same report: Peltier 4.16 +- 0.16 V at 303.3 K; what a small current carries must be that (its spread)."""
    module = (13.68e-3, 0.690, 0.199)
    carried = te.hot_heat(*module, 303.3, 303.3, 1e-6) / 1e-6
    assert carried == pytest.approx(4.16, abs=0.16)
    assert carried == pytest.approx(4.149, abs=6e-4)  # printed to 4 digits
