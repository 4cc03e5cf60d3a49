"""The Prandtl number's powers for air: polynomials against the printed formulas, within and beyond what air can have."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from hobwind.physics import air, prandtl

Law = Callable[[Any], Any]
SAME = 1e-10  # of the value: far below the sixth figure, and the evening is told to three
LAWS: tuple[tuple[Law, Law], ...] = (
    (prandtl.upright_divisor, lambda pr: (1 + (0.492 / pr) ** (9 / 16)) ** (8 / 27)),  # Churchill and Chu, plate
    (prandtl.lying_divisor, lambda pr: (1 + (0.559 / pr) ** (9 / 16)) ** (8 / 27)),  # Churchill and Chu, cylinder
    (prandtl.blown_factor, lambda pr: pr ** (1 / 3) / (1 + (0.4 / pr) ** (2 / 3)) ** 0.25),  # Churchill and Bernstein
    (prandtl.bent_share, lambda pr: 0.0571322 + 0.20305 * pr**-0.43),  # Popiel
    (prandtl.bent_power, lambda pr: 0.9165 - 0.0043 * pr**0.5 + 0.01333 * np.log(pr) + 0.0004809 / pr),  # Popiel
)


@pytest.mark.parametrize(("cheap", "printed"), LAWS, ids=[law[0].__name__ for law in LAWS])
def test_cheap_law_is_the_printed_one(cheap: Law, printed: Law) -> None:
    for number in (0.01, 0.5, *np.linspace(prandtl.LOW, prandtl.HIGH, 301).tolist(), 0.8, 7.0, 100.0):
        assert cheap(number) == pytest.approx(printed(number), rel=SAME), number
    for row in (np.array([0.69, 0.71]), np.array([0.71, 7.0])):  # an array with a stranger in it
        assert cheap(row) == pytest.approx(printed(row), rel=SAME)


def test_all_air_goes_the_cheap_way() -> None:
    """From a frosty room to a glowing plate, beyond the limits of the air's own properties."""
    found = [air.prandtl(temperature) for temperature in np.linspace(200.0, 1000.0, 201).tolist()]
    assert min(found) > prandtl.LOW and max(found) < prandtl.HIGH
