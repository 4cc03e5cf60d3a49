"""Resistance that arises because a small face feeds a larger plate.

Only the extra resistance of spreading is given; that of going straight through the plate is added by the caller.
"""

from __future__ import annotations

import numpy as np

from ..compiled import jitable


@jitable
def rectangle_resistance(
    conductivity: float,
    thickness: float,
    far: float,
    source_width: float,
    source_depth: float,
    width: float,
    depth: float,
    terms: int,
) -> float:
    """Spreading resistance of an evenly fed rectangle centred on a plate cooled evenly from its far side.

    Mean temperature of the rectangle, by the exact double series. The closed forms in use come out 7 to 8 % low.

        R = sum_m sin^2(a x)/(2 a^2 c d k x^3) phi(x) + the same along y
            + sum_mn sin^2(a x) sin^2(b y)/(a^2 b^2 c d k x^2 y^2 z) phi(z),   z^2 = x^2 + y^2,
        phi(z) = (z + h/k tanh(z t)) / (z tanh(z t) + h/k)

    Args:
        conductivity: of the plate. [W/(m K)]
        thickness: of the plate. [m]
        far: coefficient on the far side. [W/(m2 K)]
        source_width: of the fed rectangle. [m]
        source_depth: of the fed rectangle. [m]
        width: of the plate. [m]
        depth: of the plate. [m]
        terms: of each sum. [-]

    Returns:
        Resistance to spreading. [K/W]

    Limits: source not larger than the plate.
    Source: ymc-1999.
    Check: copper 390, 40 on 100 mm square, 5 mm, 300: 0.0412 K/W.

    >>> round(float(rectangle_resistance(390.0, 0.005, 300.0, 0.04, 0.04, 0.1, 0.1, 30)), 4)
    0.0412
    """
    a, b, c, d = 0.5 * source_width, 0.5 * source_depth, 0.5 * width, 0.5 * depth
    ratio = far / conductivity
    across, along = 0.0, 0.0
    for m in range(1, terms + 1):
        delta = m * np.pi / c
        across += np.sin(a * delta) ** 2 / delta**3 * _phi(delta, thickness, ratio)
        lam = m * np.pi / d
        along += np.sin(b * lam) ** 2 / lam**3 * _phi(lam, thickness, ratio)
    both, deep = 0.0, np.empty(terms)
    for n in range(terms):
        lam = (n + 1) * np.pi / d
        deep[n] = (np.sin(b * lam) / lam) ** 2
    alike = a == b and c == d  # then the sum is the same across its diagonal
    for m in range(terms):
        delta = (m + 1) * np.pi / c
        first = (np.sin(a * delta) / delta) ** 2
        for n in range(m if alike else 0, terms):
            lam = (n + 1) * np.pi / d
            beta = np.sqrt(delta * delta + lam * lam)
            term = first * deep[n] / beta * _phi(beta, thickness, ratio)
            both += 2.0 * term if alike and n > m else term
    scale = c * d * conductivity
    return across / (2.0 * a * a * scale) + along / (2.0 * b * b * scale) + both / (a * a * b * b * scale)


@jitable
def _phi(z: float, thickness: float, ratio: float) -> float:
    """phi(z) with tanh(z t) = (1 - e)/(1 + e), e = exp(-2 z t): one exponential is half a tanh's cost."""
    e = np.exp(-2.0 * z * thickness)
    return (z * (1.0 + e) + ratio * (1.0 - e)) / (z * (1.0 - e) + ratio * (1.0 + e))
