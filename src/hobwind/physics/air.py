"""Dry air at the pressures of dwellings: what convection and thin gas gaps need of it.

Closed forms that a compiled kernel calls thousands of times a second; humidity and radiation in the gas are left out.
"""

from __future__ import annotations

import numpy as np

from ..compiled import jitable

LIMITS = {"temperature": (230.0, 800.0)}
GAS_CONSTANT = 287.05  # J/(kg K), dry air
SEA_LEVEL = 101325.0  # Pa


@jitable
def conductivity(temperature: float) -> float:
    """Thermal conductivity of dry air.

    A cubic in the warmth above 300 K reproduces the reference equations from a winter's day to a glowing plate.

        w = (T - 300 K) / 100 K,  k = a0 + a1 w + a2 w^2 + a3 w^3

    Args:
        temperature: of the gas; scalar or array. [K]

    Returns:
        Conductivity, same shape. [W/(m K)]

    Limits: 230 to 800 K.
    Scatter: 0.2 % from the reference equations, themselves good to 2 %.
    Source: lemmon-2004.
    Check: 300/400/500 K 26.38/33.45/39.95 mW/mK within 0.3 %, CoolProp.

    >>> round(float(conductivity(400.0)), 4)
    0.0335
    """
    w = (temperature - 300.0) / 100.0
    return 1e-3 * (26.372 + w * (7.4239 + w * (-0.3604 + 0.02245 * w)))


@jitable
def viscosity(temperature: float) -> float:
    """Dynamic viscosity of dry air.

        w = (T - 300 K) / 100 K,  mu = a0 + a1 w + a2 w^2 + a3 w^3

    Args:
        temperature: of the gas; scalar or array. [K]

    Returns:
        Dynamic viscosity, same shape. [Pa s]

    Limits: 230 to 800 K.
    Scatter: 0.2 % from the reference equations, themselves good to 1 %.
    Source: lemmon-2004.
    Check: CoolProp, in the tests.

    >>> round(float(viscosity(300.0)) * 1e6, 2)
    18.53
    """
    w = (temperature - 300.0) / 100.0
    return 1e-6 * (18.526 + w * (4.8156 + w * (-0.3012 + 0.01862 * w)))


@jitable
def specific_heat(temperature: float) -> float:
    """Specific heat of dry air at constant pressure.

    Args:
        temperature: of the gas; scalar or array. [K]

    Returns:
        Specific heat, same shape. [J/(kg K)]

    Limits: 230 to 800 K.
    Scatter: 0.1 % from the reference equations.
    Source: lemmon-2004.
    Check: CoolProp, in the tests.

    >>> round(float(specific_heat(300.0)))
    1006
    """
    w = (temperature - 300.0) / 100.0
    return 1006.08 + w * (3.412 + w * (5.128 - 0.4203 * w))


@jitable
def density(temperature: float, pressure: float) -> float:
    """Density of dry air as an ideal gas.

        rho = p / (R T)

    Args:
        temperature: of the gas; scalar or array. [K]
        pressure: absolute; broadcasts with `temperature`. [Pa]

    Returns:
        Density. [kg/m3]

    Limits: within 0.1 % from 250 K up at dwelling pressures.
    Source: us-atmosphere.
    Check: CoolProp, in the tests.

    >>> round(float(density(288.15, 101325.0)), 4)
    1.225
    """
    return pressure / (GAS_CONSTANT * temperature)


@jitable
def kinematic_viscosity(temperature: float, pressure: float) -> float:
    """Kinematic viscosity of dry air, viscosity over density.

    Args:
        temperature: of the gas; scalar or array. [K]
        pressure: absolute. [Pa]

    Returns:
        Kinematic viscosity. [m2/s]

    Limits: 230 to 800 K.
    Source: lemmon-2004.
    Check: 300/400/500 K at 101325 Pa 15.750/26.131/38.385e-6 within 0.3 %, CoolProp.

    >>> round(float(kinematic_viscosity(300.0, 101325.0)) * 1e6, 1)
    15.7
    """
    return viscosity(temperature) * GAS_CONSTANT * temperature / pressure


@jitable
def prandtl(temperature: float) -> float:
    """Prandtl number of dry air, viscosity times specific heat over conductivity.

    Args:
        temperature: of the gas; scalar or array. [K]

    Returns:
        Prandtl number. [-]

    Limits: 230 to 800 K.
    Source: lemmon-2004.
    Check: CoolProp, in the tests.

    >>> round(float(prandtl(350.0)), 2)
    0.7
    """
    return viscosity(temperature) * specific_heat(temperature) / conductivity(temperature)


@jitable
def pressure_at_altitude(altitude: float) -> float:
    """Pressure of the standard atmosphere below 11 km.

        p = 101325 (1 - 2.25577e-5 h)^5.25588

    Args:
        altitude: above sea level. [m]

    Returns:
        Pressure. [Pa]

    Limits: -400 to 11000 m.
    Source: us-atmosphere.
    Check: 1500 m 84556 Pa, the standard atmosphere's table, from memory.

    >>> round(float(pressure_at_altitude(1500.0)))
    84556
    """
    return SEA_LEVEL * (1.0 - 2.25577e-5 * altitude) ** 5.25588


@jitable
def molecular_jump(temperature: float, pressure: float) -> float:
    """Extra length that a thin gas film seems thicker by, because molecules do not settle at a wall at once.

    Air between engineering metals with ordinary accommodation (about 0.72 a face): M = 0.37 micrometre at 15 degrees
    and one atmosphere, and in proportion to the free path.

        M = 0.373e-6 (T / 288 K) (101325 Pa / p)

    Args:
        temperature: of the gas. [K]
        pressure: absolute. [Pa]

    Returns:
        Jump length, both walls together. [m]

    Limits: clean machined metal; polished and degassed metal has more.
    Scatter: 20 %.
    Source: yovanovich-gap.
    Check: 0.37 micrometre at room conditions, the joint row of the tests.

    >>> round(float(molecular_jump(288.0, 101325.0)) * 1e6, 3)
    0.373
    """
    return 0.373e-6 * temperature / 288.0 * SEA_LEVEL / pressure


def outside(temperature: float) -> bool:
    """Whether the formulas of this file are used beyond their range.

    Args:
        temperature: of the gas. [K]

    Returns:
        True when beyond. [-]

    Source: lemmon-2004.
    """
    low, high = LIMITS["temperature"]
    return not low <= float(np.asarray(temperature)) <= high
