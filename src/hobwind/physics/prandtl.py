"""What the formulas of convection make of the Prandtl number: powers with broken exponents, cheap for air.

A fan's kernel asks for them at every surface and every instant. Air's Prandtl number hardly moves, so between `LOW` and
`HIGH` each is a polynomial, drawn through the formula itself when this file is loaded and within 1e-10 of it, which the
tests show. Any other number goes through the formula.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ..compiled import jitable

LOW, HIGH = 0.66, 0.78  # air from 200 to 1000 K has 0.698 to 0.730
MIDDLE, HALF = 0.5 * (LOW + HIGH), 0.5 * (HIGH - LOW)
COUNT = 7  # coefficients


@jitable
def _upright(prandtl: float) -> float:
    return (1.0 + (0.492 / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)


@jitable
def _lying(prandtl: float) -> float:
    return (1.0 + (0.559 / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)


@jitable
def _blown(prandtl: float) -> float:
    held = np.cbrt(0.4 / prandtl)
    return np.cbrt(prandtl) / np.sqrt(np.sqrt(1.0 + held * held))


@jitable
def _bent(prandtl: float) -> float:
    return 0.0571322 + 0.20305 * prandtl**-0.43


@jitable
def _bent_power(prandtl: float) -> float:
    return 0.9165 - 0.0043 * np.sqrt(prandtl) + 0.01333 * np.log(prandtl) + 0.0004809 / prandtl


def _through(law: Callable[[float], float]) -> tuple[float, ...]:
    """Coefficients, lowest power first, of the polynomial through the law at Chebyshev's places."""
    at = np.cos(np.pi * (np.arange(COUNT) + 0.5) / COUNT)
    wanted = [law(MIDDLE + HALF * float(x)) for x in at]
    return tuple(float(c) for c in np.linalg.solve(np.vander(at, increasing=True), np.array(wanted)))


_AIR_UPRIGHT, _AIR_LYING, _AIR_BLOWN = _through(_upright), _through(_lying), _through(_blown)
_AIR_BENT, _AIR_BENT_POWER = _through(_bent), _through(_bent_power)


@jitable
def _beyond(prandtl: float) -> bool:
    return bool(np.any(np.abs(prandtl - MIDDLE) > HALF))


@jitable
def _in_air(c: tuple[float, ...], prandtl: float) -> float:
    x = (prandtl - MIDDLE) * (1.0 / HALF)
    return c[0] + x * (c[1] + x * (c[2] + x * (c[3] + x * (c[4] + x * (c[5] + x * c[6])))))


@jitable
def upright_divisor(prandtl: float) -> float:
    """What the sixth root of Ra is divided by at an upright plate.

        s = [1 + (0.492/Pr)^(9/16)]^(8/27)

    Args:
        prandtl: Pr at film temperature; scalar or array. [-]

    Returns:
        The divisor. [-]

    Source: churchill-chu-1975.

    >>> round(float(upright_divisor(0.7)), 4)
    1.1942
    """
    return _upright(prandtl) if _beyond(prandtl) else _in_air(_AIR_UPRIGHT, prandtl)


@jitable
def lying_divisor(prandtl: float) -> float:
    """What the sixth root of Ra is divided by at a lying cylinder.

        s = [1 + (0.559/Pr)^(9/16)]^(8/27)

    Args:
        prandtl: Pr at film temperature; scalar or array. [-]

    Returns:
        The divisor. [-]

    Source: churchill-chu-cylinder-1975.

    >>> round(float(lying_divisor(0.7)), 4)
    1.2059
    """
    return _lying(prandtl) if _beyond(prandtl) else _in_air(_AIR_LYING, prandtl)


@jitable
def blown_factor(prandtl: float) -> float:
    """What the root of Re is multiplied by at a cylinder blown at from the side.

        f = Pr^(1/3) / [1 + (0.4/Pr)^(2/3)]^(1/4)

    Args:
        prandtl: Pr at film temperature; scalar or array. [-]

    Returns:
        The factor. [-]

    Source: churchill-bernstein-1977.

    >>> round(float(blown_factor(0.7)), 4)
    0.7789
    """
    return _blown(prandtl) if _beyond(prandtl) else _in_air(_AIR_BLOWN, prandtl)


@jitable
def bent_share(prandtl: float) -> float:
    """How much a slender cylinder's curvature counts.

        B = 0.0571322 + 0.20305 Pr^(-0.43)

    Args:
        prandtl: Pr at film temperature; scalar or array. [-]

    Returns:
        The share B. [-]

    Source: popiel-2008.

    >>> round(float(bent_share(0.7)), 4)
    0.2938
    """
    return _bent(prandtl) if _beyond(prandtl) else _in_air(_AIR_BENT, prandtl)


@jitable
def bent_power(prandtl: float) -> float:
    """With which power a slender cylinder's curvature counts.

        C = 0.9165 - 0.0043 Pr^(1/2) + 0.01333 ln Pr + 0.0004809/Pr

    Args:
        prandtl: Pr at film temperature; scalar or array. [-]

    Returns:
        The power C. [-]

    Source: popiel-2008.

    >>> round(float(bent_power(0.7)), 4)
    0.9088
    """
    return _bent_power(prandtl) if _beyond(prandtl) else _in_air(_AIR_BENT_POWER, prandtl)
