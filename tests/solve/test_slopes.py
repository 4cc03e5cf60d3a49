"""The slopes that the integrator and the settled map work with, against plain differences of the rates themselves."""

from __future__ import annotations

import numpy as np
import pytest

from builds import NAMES, stack
from hobwind.stack.fields import AS_IT_COMES, AT_STOP, DOWN, RAISED, RISING, SETTLING, P
from hobwind.stack.rates import rates, slopes
from reference_march import build_net

PLATE, STEP = 520.0, 1e-3  # K
REACHES = (DOWN, SETTLING + 4, RAISED + 4, RAISED + 8, AT_STOP)


@pytest.mark.parametrize("reach", REACHES)
@pytest.mark.parametrize("spin", [0, 1])
@pytest.mark.parametrize("name", NAMES)
def test_slopes_are_those_of_the_rates(name: str, spin: int, reach: int) -> None:
    """By every state and by the plate. The slopes are one-sided over a millikelvin: the pin then moves half a micrometre,
    which a gap of a third of a millimetre feels by 2 in 1000, and one of ten micrometres by some in 100."""
    share = 0.02 if reach % 4 == SETTLING else 3e-3
    prepared = stack(name)
    net = build_net(prepared.p, prepared.q)
    p, q, n = prepared.p, prepared.q, net.at.size
    y = np.full(n, 380.0)
    y[:5] = -20.0, -10.0, -5.0, -2.0, -1.0
    y[5:] = np.linspace(430.0, 340.0, n - 5)
    # An element that has the pin some tenths of a millimetre past the plate, where every law has a slope.
    y[net.at.element] = p[P.wax_opens] + (p[P.lost_motion] + 3e-4) / p[P.wax_travel] * (p[P.wax_full] - p[P.wax_opens])

    def at(states: np.ndarray, plate: float) -> np.ndarray:
        out = np.empty(n)
        rates(net, p, q, states, plate, spin, y[net.at.element], RISING, reach, out)
        return out

    slope, by_plate = np.empty((n, n)), np.empty(n)
    slopes(net, p, q, y.copy(), PLATE, spin, y[net.at.element], RISING, reach, slope, by_plate, np.empty((2, n)))
    for j in range(n):
        up, down = y.copy(), y.copy()
        up[j] += STEP
        down[j] -= STEP
        expected = (at(up, PLATE) - at(down, PLATE)) / (2.0 * STEP)
        assert slope[:, j] == pytest.approx(expected, abs=share * np.abs(expected).max())
    expected = (at(y, PLATE + STEP) - at(y, PLATE - STEP)) / (2.0 * STEP)
    assert by_plate == pytest.approx(expected, abs=share * np.abs(expected).max())


@pytest.mark.parametrize("name", ["boat-shed", "boat-shed-hunting"])
def test_law_of_a_reach_is_the_law(name: str) -> None:
    """Within its reach the carried-on law and the law as it comes are one: down, raised and at the stop."""
    prepared = stack(name)
    net = build_net(prepared.p, prepared.q)
    p, q, n = prepared.p, prepared.q, net.at.size
    y = np.full(n, 380.0)
    y[:5] = 0.0
    span = p[P.wax_full] - p[P.wax_opens]
    for travel, reach in ((-2e-4, DOWN), (1e-5, SETTLING + 4), (5e-4, RAISED + 4)):
        y[net.at.foot] = y[net.at.top] = 293.15  # no growth of the pin
        y[net.at.element] = p[P.wax_opens] + (p[P.lost_motion] + travel / p[P.lever]) / p[P.wax_travel] * span
        fixed, free = np.empty(n), np.empty(n)
        rates(net, p, q, y, PLATE, 1, 0.0, RISING, reach, fixed)
        rates(net, p, q, y, PLATE, 1, 0.0, RISING, AS_IT_COMES, free)
        assert fixed == pytest.approx(free, rel=1e-12, abs=1e-12)
