"""Thermoelectric modules as generators.

Each module is three numbers at a mean of 300 K (volts per kelvin, ohms, watts per kelvin) and a shape over temperature.
The same volts per kelvin stand at both faces, so that volts times amperes is exactly heat in less heat out, and the
Thomson heat is inside to second order. Heat leaking round the legs inside the module is part of its conductance.
"""

from __future__ import annotations

import numpy as np

from ..compiled import jitable

LIMITS = {"mean temperature": (250.0, 450.0)}
COLDEST, HOTTEST = 230.0, 520.0  # K; beyond these the shapes are held


@jitable
def _held(temperature: float) -> float:
    return min(max(temperature, COLDEST), HOTTEST)


@jitable
def seebeck_shape(temperature: float) -> float:
    """Volts per kelvin over those at 300 K, bismuth telluride.

        (22224.0 + 930.6 T - 0.9905 T^2) over its value at 300 K

    Args:
        temperature: mean of both faces. [K]

    Returns:
        Ratio. [-]

    Limits: 250 to 450 K; held beyond 230 and 520 K.
    Source: bi2te3-polynomials.
    Check: 400 K 235.98 over 212.26 (rounded).

    >>> round(seebeck_shape(400.0) * 212.26, 2)
    235.99
    """
    t = _held(temperature)
    return (22224.0 + t * (930.6 - 0.9905 * t)) / 212259.0


@jitable
def resistance_shape(temperature: float) -> float:
    """Ohms over those at 300 K, bismuth telluride.

        (5112.0 + 163.4 T + 0.6279 T^2) over its value at 300 K

    Args:
        temperature: mean of both faces. [K]

    Returns:
        Ratio. [-]

    Limits: 250 to 450 K; held beyond 230 and 520 K.
    Source: bi2te3-polynomials.
    Check: 400 K 1.70936 over 1.10643.

    >>> round(resistance_shape(400.0) * 1.10643, 5)
    1.70936
    """
    t = _held(temperature)
    return (5112.0 + t * (163.4 + 0.6279 * t)) / 110643.0


@jitable
def conductance_shape(temperature: float) -> float:
    """Watts per kelvin over those at 300 K, bismuth telluride.

        (62605.0 - 277.7 T + 0.4131 T^2) over its value at 300 K

    Args:
        temperature: mean of both faces. [K]

    Returns:
        Ratio. [-]

    Limits: 250 to 450 K; held beyond 230 and 520 K, where the curve rises without support.
    Source: bi2te3-polynomials.
    Check: 400 K 1.76210 over 1.64740.

    >>> round(conductance_shape(400.0) * 1.64740, 4)
    1.7621
    """
    t = _held(temperature)
    return (62605.0 + t * (-277.7 + 0.4131 * t)) / 16474.0


@jitable
def hot_heat(seebeck: float, resistance: float, conductance: float, hot: float, cold: float, current: float) -> float:
    """Heat into the hot face.

        Qh = a Th I - I^2 R/2 + K (Th - Tc)

    Args:
        seebeck: at the mean temperature. [V/K]
        resistance: at the mean temperature. [ohm]
        conductance: at the mean temperature. [W/K]
        hot: hot face. [K]
        cold: cold face. [K]
        current: delivered, positive as a generator. [A]

    Returns:
        Heat. [W]

    Source: ioffe-1957.

    >>> round(hot_heat(0.05, 2.0, 0.5, 400.0, 350.0, 0.0), 1)
    25.0
    """
    return seebeck * hot * current - 0.5 * current * current * resistance + conductance * (hot - cold)


@jitable
def cold_heat(seebeck: float, resistance: float, conductance: float, hot: float, cold: float, current: float) -> float:
    """Heat out of the cold face.

        Qc = a Tc I + I^2 R/2 + K (Th - Tc)

    Args:
        seebeck: at the mean temperature. [V/K]
        resistance: at the mean temperature. [ohm]
        conductance: at the mean temperature. [W/K]
        hot: hot face. [K]
        cold: cold face. [K]
        current: delivered, positive as a generator. [A]

    Returns:
        Heat. [W]

    Source: ioffe-1957.

    >>> round(cold_heat(0.05, 2.0, 0.5, 400.0, 350.0, 0.5), 2)
    34.0
    """
    return seebeck * cold * current + 0.5 * current * current * resistance + conductance * (hot - cold)


def matched_power(seebeck: float, resistance: float, difference: float) -> float:
    """Most power, into a load equal to the module's own resistance.

        P = (a dT)^2 / (4 R)

    Args:
        seebeck: at the mean temperature. [V/K]
        resistance: at the mean temperature. [ohm]
        difference: between the faces. [K]

    Returns:
        Power. [W]

    Source: ioffe-1957.
    Check: 0.05544 V/K, 3.0994 ohm, 100 K: 2.479 W.

    >>> round(matched_power(0.05544, 3.0994, 100.0), 3)
    2.479
    """
    return (seebeck * difference) ** 2 / (4.0 * resistance)


def matched_efficiency(merit: float, hot: float, cold: float) -> float:
    """Power over heat in, into a load equal to the module's own resistance.

        eta = (dT/Th) / (2 + 4/(Z Th) - dT/(2 Th))

    Args:
        merit: Z, a^2/(R K). [1/K]
        hot: hot face. [K]
        cold: cold face. [K]

    Returns:
        Efficiency. [-]

    Source: ioffe-1957.
    Check: ZT 0.8 at the mean, 350/300 K: 2.174 %.

    >>> round(100 * matched_efficiency(0.8 / 325.0, 350.0, 300.0), 3)
    2.174
    """
    difference = hot - cold
    return difference / hot / (2.0 + 4.0 / (merit * hot) - 0.5 * difference / hot)


def maximum_efficiency(merit: float, hot: float, cold: float) -> float:
    """Power over heat in, into the best load.

        eta = (dT/Th) (s - 1)/(s + Tc/Th),   s = sqrt(1 + Z (Th + Tc)/2)

    Args:
        merit: Z, a^2/(R K). [1/K]
        hot: hot face. [K]
        cold: cold face. [K]

    Returns:
        Efficiency. [-]

    Source: ioffe-1957.
    Check: ZT 0.8 at the mean, 350/300 K: 2.220 %.

    >>> round(100 * float(maximum_efficiency(0.8 / 325.0, 350.0, 300.0)), 3)
    2.22
    """
    s = np.sqrt(1.0 + 0.5 * merit * (hot + cold))
    return (hot - cold) / hot * (s - 1.0) / (s + cold / hot)


def effective_conductance(conductance: float, merit: float, hot: float, cold: float) -> float:
    """Heat in over temperature difference, at the matched load.

        K_eff = K (1 + Z Th/2 - Z dT/8)

    Args:
        conductance: with no current. [W/K]
        merit: Z. [1/K]
        hot: hot face. [K]
        cold: cold face. [K]

    Returns:
        Conductance with current. [W/K]

    Source: ioffe-1957.

    >>> round(effective_conductance(0.5, 0.002, 400.0, 300.0), 4)
    0.6875
    """
    return conductance * (1.0 + 0.5 * merit * hot - 0.125 * merit * (hot - cold))


def from_cooler_ratings(hot: float, volts: float, amperes: float, difference: float) -> tuple[float, float, float]:
    """Volts per kelvin, ohms and watts per kelvin of a module sold as a cooler, from its printed ratings.

        a = V/Th,   R = V/I (Th - dT)/Th,   K = V I (Th - dT)/(2 Th dT)

    Args:
        hot: hot side of the ratings. [K]
        volts: at the most cooling. [V]
        amperes: at the most cooling. [A]
        difference: largest, without load. [K]

    Returns:
        seebeck, resistance, conductance. [V/K, ohm, W/K]

    Scatter: printed ratings disagree among themselves by a tenth and more.
    Source: rated-value-method.
    Check: 300 K, 15.9 V, 7.6 A, 70 K: 0.0530, 1.604, 0.6617.

    >>> [round(x, 4) for x in from_cooler_ratings(300.0, 15.9, 7.6, 70.0)]
    [0.053, 1.6039, 0.6617]
    """
    cold = hot - difference
    return volts / hot, volts / amperes * cold / hot, volts * amperes * cold / (2.0 * hot * difference)


def predicted_qmax(seebeck: float, resistance: float, hot: float, amperes: float) -> float:
    """Heat pumped at the rated current with no temperature difference: what the printed Qmax should be.

        Q = a Th I - I^2 R/2

    Args:
        seebeck: [V/K]
        resistance: [ohm]
        hot: hot side of the ratings. [K]
        amperes: rated. [A]

    Returns:
        Heat. [W]

    Source: rated-value-method.
    Check: the same module: 74.5 W.

    >>> round(predicted_qmax(0.053, 1.6039, 300.0, 7.6), 1)
    74.5
    """
    return seebeck * hot * amperes - 0.5 * amperes * amperes * resistance
