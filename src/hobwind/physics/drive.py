"""Small brushed motors and the blades they turn.

A permanent-magnet motor is its winding, one constant, two frictions and a brush drop; a blade standing in still air is
two coefficients. Winding inductance, cogging and blade inertia are left out: an evening is slow.
"""

from __future__ import annotations

import numpy as np

from ..compiled import jitable

COPPER = 0.00393  # 1/K; rise of copper's resistance, iec-60028
REFERENCE = 293.15  # K
JET = 6.2  # centreline decay of a round jet
LIMITS = {"blade reynolds": (1e4, 5e5)}


@jitable
def copper_factor(temperature: float) -> float:
    """Resistance of a copper winding over that at 20 degrees.

    Args:
        temperature: of the winding. [K]

    Returns:
        Ratio. [-]

    Limits: 230 to 450 K.
    Source: iec-60028.

    >>> round(copper_factor(393.15), 3)
    1.393
    """
    return 1.0 + COPPER * (temperature - REFERENCE)


@jitable
def magnet_factor(temperature: float, coefficient: float) -> float:
    """Strength of a magnet over that at 20 degrees.

    Args:
        temperature: of the magnet. [K]
        coefficient: of remanence; ferrite about -0.002. [1/K]

    Returns:
        Ratio. [-]

    Limits: below the motor's own limit, beyond which the loss stays.
    Source: magnet-tables.

    >>> round(magnet_factor(343.15, -0.002), 3)
    0.9
    """
    return 1.0 + coefficient * (temperature - REFERENCE)


@jitable
def motor_current(emf: float, loop: float, constant: float, speed: float, brush: float) -> float:
    """Current round the loop of modules, leads and winding.

        I = (E - k w - V_brush)/R, in the direction of E; none when the brushes hold it back

    Args:
        emf: open voltage of the modules. [V]
        loop: resistance of modules, leads, winding together. [ohm]
        constant: volts per speed, torque per current. [V s]
        speed: of the shaft. [rad/s]
        brush: drop at the brushes. [V]

    Returns:
        Current. [A]

    Source: mit-motor-notes.

    >>> round(motor_current(6.0, 1.7, 0.002, 0.0, 0.0), 2)
    3.53
    """
    drive = emf - constant * speed
    size = max(abs(drive) - brush, 0.0) / loop
    return size if drive >= 0.0 else -size


@jitable
def running_speed(emf: float, loop: float, constant: float, brush: float, friction: float, drag: float, load: float) -> float:
    """Speed at which motor torque equals friction, drag and blade.

        k (E - V_brush - k w)/R = T_f + c w + k_q w^2

    Args:
        emf: open voltage of the modules. [V]
        loop: resistance of modules, leads, winding together. [ohm]
        constant: [V s]
        brush: drop at the brushes. [V]
        friction: running friction. [N m]
        drag: torque per speed. [N m s]
        load: blade torque per speed squared. [N m s2]

    Returns:
        Speed; 0 when friction is not overcome. [rad/s]

    Source: mit-motor-notes.
    Check: 6 V, 1.7 ohm, 2 mN m/A, friction 1.145 mN m, no blade: 24,000 rpm.

    >>> round(float(running_speed(6.0, 1.7, 0.002, 0.0, 1.145e-3, 0.0, 0.0)) * 9.5493 / 1000.0, 1)
    24.0
    """
    push = constant * (emf - brush) / loop - friction
    if push <= 0.0:
        return 0.0
    slope = drag + constant * constant / loop
    return 2.0 * push / (slope + np.sqrt(slope * slope + 4.0 * load * push))


@jitable
def power_to_torque(power_coefficient: float, diameter: float) -> float:
    """Blade torque per density and speed squared, from the power coefficient of the propeller custom.

        P = C_P rho n^3 D^5,  so  k_q = C_P D^5/(8 pi^3)

    Args:
        power_coefficient: standing still. [-]
        diameter: of the blade. [m]

    Returns:
        Torque over density and speed squared. [m5]

    Limits: same shape, similar brisk flow.
    Scatter: 19 % between specimens of one model.
    Source: uiuc-propellers.
    Check: 106.7 mm, C_P .1354, 1490 rpm, 1.225: 35.1 mW.

    >>> round(power_to_torque(0.1354, 0.1067) * 1.225 * (1490 / 9.5493) ** 3 * 1e3, 1)
    35.1
    """
    return power_coefficient * diameter**5 / (8.0 * np.pi**3)


@jitable
def thrust(thrust_coefficient: float, density: float, speed: float, diameter: float) -> float:
    """Push of a blade standing still.

        T = C_T rho n^2 D^4

    Args:
        thrust_coefficient: standing still. [-]
        density: of the air. [kg/m3]
        speed: of the shaft. [rad/s]
        diameter: of the blade. [m]

    Returns:
        Thrust. [N]

    Limits: same shape, similar brisk flow.
    Scatter: 10 to 20 %.
    Source: uiuc-propellers.
    Check: 106.7 mm, C_T .1251, 1490 rpm: 12.24 mN.

    >>> round(thrust(0.1251, 1.225, 1490 / 9.549297, 0.1067) * 1e3, 2)
    12.25
    """
    turns = speed / (2.0 * np.pi)
    return thrust_coefficient * density * turns * turns * diameter**4


@jitable
def disc_speed(push: float, density: float, diameter: float) -> float:
    """Air speed through the blade's disc that goes with a thrust in still air.

        v = sqrt(T/(2 rho A))

    Args:
        push: thrust. [N]
        density: of the air. [kg/m3]
        diameter: of the blade. [m]

    Returns:
        Speed. [m/s]

    Limits: open blade, nothing close in front or behind.
    Source: uiuc-propellers.
    Check: 12.24 mN, 106.7 mm: 0.748 m/s, 24.1 m3/h.

    >>> round(float(disc_speed(12.245e-3, 1.225, 0.1067)), 3)
    0.748
    """
    return np.sqrt(push / (2.0 * density * 0.25 * np.pi * diameter * diameter))


@jitable
def jet_speed(speed: float, diameter: float, distance: float) -> float:
    """Speed on the middle line of the round jet that a blade throws.

        U = 2 v min(1, 6.2 D_w/x),   D_w = D/sqrt(2)

    Args:
        speed: through the disc. [m/s]
        diameter: of the blade. [m]
        distance: from the blade. [m]

    Returns:
        Speed. [m/s]

    Limits: open room, no swirl; a swirling jet dies faster.
    Scatter: 20 %.
    Source: round-jet.

    >>> round(float(jet_speed(0.748, 0.1067, 1.0)), 2)
    0.7
    """
    narrowed = diameter / np.sqrt(2.0)
    return 2.0 * speed * min(1.0, JET * narrowed / distance)
