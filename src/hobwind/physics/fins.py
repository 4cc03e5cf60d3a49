"""Fins: how much of their area works, given that they cool towards their tips.

One-dimensional fins of one thickness with an adiabatic tip; a real tip is met by the corrected length, which the
callers leave out because fins here are thin.
"""

from __future__ import annotations

import numpy as np

from ..compiled import jitable

LIMITS = {"m times outer radius": (0.0, 50.0)}


@jitable
def bessel_i0(x: float) -> float:
    """Modified Bessel function I0, by polynomials.

    Args:
        x: argument, not negative. [-]

    Returns:
        I0(x). [-]

    Limits: 0 to 50.
    Scatter: 2e-7 relative.
    Source: abramowitz-stegun.
    Check: scipy.special in the tests.

    >>> round(bessel_i0(1.0), 6)
    1.266066
    """
    if x < 3.75:
        t = (x / 3.75) ** 2
        return 1.0 + t * (3.5156229 + t * (3.0899424 + t * (1.2067492 + t * (0.2659732 + t * (0.0360768 + t * 0.0045813)))))
    t = 3.75 / x
    tail = 0.00916281 + t * (-0.02057706 + t * (0.02635537 + t * (-0.01647633 + t * 0.00392377)))
    return np.exp(x) / np.sqrt(x) * (0.39894228 + t * (0.01328592 + t * (0.00225319 + t * (-0.00157565 + t * tail))))


@jitable
def bessel_i1(x: float) -> float:
    """Modified Bessel function I1, by polynomials.

    Args:
        x: argument, not negative. [-]

    Returns:
        I1(x). [-]

    Limits: 0 to 50.
    Scatter: 2e-7 relative.
    Source: abramowitz-stegun.
    Check: scipy.special in the tests.

    >>> round(bessel_i1(1.0), 6)
    0.565159
    """
    if x < 3.75:
        t = (x / 3.75) ** 2
        tail = 0.15084934 + t * (0.02658733 + t * (0.00301532 + t * 0.00032411))
        return x * (0.5 + t * (0.87890594 + t * (0.51498869 + t * tail)))
    t = 3.75 / x
    tail = -0.01031555 + t * (0.02282967 + t * (-0.02895312 + t * (0.01787654 - t * 0.00420059)))
    return np.exp(x) / np.sqrt(x) * (0.39894228 + t * (-0.03988024 + t * (-0.00362018 + t * (0.00163801 + t * tail))))


@jitable
def bessel_k0(x: float) -> float:
    """Modified Bessel function K0, by polynomials.

    Args:
        x: argument, positive. [-]

    Returns:
        K0(x). [-]

    Limits: above 0, to 50.
    Scatter: 2e-7 relative.
    Source: abramowitz-stegun.
    Check: scipy.special in the tests.

    >>> round(float(bessel_k0(1.0)), 6)
    0.421024
    """
    if x <= 2.0:
        t = 0.25 * x * x
        tail = 0.03488590 + t * (0.00262698 + t * (0.00010750 + t * 0.00000740))
        return -np.log(0.5 * x) * bessel_i0(x) + (-0.57721566 + t * (0.42278420 + t * (0.23069756 + t * tail)))
    t = 2.0 / x
    tail = -0.01062446 + t * (0.00587872 + t * (-0.00251540 + t * 0.00053208))
    return np.exp(-x) / np.sqrt(x) * (1.25331414 + t * (-0.07832358 + t * (0.02189568 + t * tail)))


@jitable
def bessel_k1(x: float) -> float:
    """Modified Bessel function K1, by polynomials.

    Args:
        x: argument, positive. [-]

    Returns:
        K1(x). [-]

    Limits: above 0, to 50.
    Scatter: 2e-7 relative.
    Source: abramowitz-stegun.
    Check: scipy.special in the tests.

    >>> round(float(bessel_k1(1.0)), 6)
    0.601907
    """
    if x <= 2.0:
        t = 0.25 * x * x
        tail = -0.18156897 + t * (-0.01919402 + t * (-0.00110404 - t * 0.00004686))
        return np.log(0.5 * x) * bessel_i1(x) + (1.0 + t * (0.15443144 + t * (-0.67278579 + t * tail))) / x
    t = 2.0 / x
    tail = 0.01504268 + t * (-0.00780353 + t * (0.00325614 - t * 0.00068245))
    return np.exp(-x) / np.sqrt(x) * (1.25331414 + t * (0.23498619 + t * (-0.03655620 + t * tail)))


@jitable
def straight_fin_efficiency(ml: float) -> float:
    """Heat of a straight fin over that of one as hot as its root throughout.

        eta = tanh(mL)/(mL),   m = sqrt(2h/(k t)) or sqrt(4h/(k d)) for a pin

    Args:
        ml: m times length. [-]

    Returns:
        Efficiency, 0 to 1. [-]

    Limits: thin fins, adiabatic tip.
    Source: incropera.
    Check: h 40, k 167, 1.5 mm, 30 mm: m 17.8707, eta 0.91406.

    >>> round(float(straight_fin_efficiency(17.8707 * 0.030)), 5)
    0.91406
    """
    return np.tanh(ml) / ml if ml > 1e-6 else 1.0


@jitable
def annular_fin_efficiency(m: float, inner: float, outer: float) -> float:
    """Heat of a round fin of one thickness over that of one as hot as its root throughout.

        eta = 2 r1/(m (r2^2 - r1^2)) [K1(m r1) I1(m r2) - I1(m r1) K1(m r2)] / [I0(m r1) K1(m r2) + K0(m r1) I1(m r2)]

    Args:
        m: sqrt(2h/(k t)). [1/m]
        inner: radius at the root. [m]
        outer: radius at the tip. [m]

    Returns:
        Efficiency, 0 to 1. [-]

    Limits: thin fins, adiabatic tip, m times outer radius below 50.
    Source: incropera.
    Check: Incropera Ex 3.10 with Bessel functions: 0.97855.

    >>> round(float(annular_fin_efficiency((2 * 50 / (186 * 6e-3)) ** 0.5, 0.025, 0.048)), 4)
    0.9786
    """
    low, high = m * inner, m * outer
    if high - low < 1e-4:
        return 1.0
    above = bessel_k1(low) * bessel_i1(high) - bessel_i1(low) * bessel_k1(high)
    below = bessel_i0(low) * bessel_k1(high) + bessel_k0(low) * bessel_i1(high)
    return 2.0 * inner / (m * (outer * outer - inner * inner)) * above / below
