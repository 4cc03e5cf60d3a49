"""From torque to preload and back, and what growing parts do to it: VDI 2230 with its friction, springs in a row.

Left out: the loss of preload in the first hours (settling is put in by the caller), screws that yield, bending of the screw.
"""

from __future__ import annotations

import math
from collections.abc import Callable

UTILISED = 0.9  # share of the yield strength that VDI 2230 tables allow while tightening


def torque_per_newton(
    pitch: float, pitch_diameter: float, thread_friction: float, head_friction: float, head_mean: float
) -> float:
    """Tightening torque for each newton of preload.

        T/F = P/(2 pi) + 0.577 mu_thread d2 + mu_head D_km/2

    Args:
        pitch: of the thread. [m]
        pitch_diameter: d2. [m]
        thread_friction: in the thread. [-]
        head_friction: under the head. [-]
        head_mean: mean diameter of the bearing ring under the head, D_km. [m]

    Returns:
        Torque over preload. [m]

    Scatter: friction of scrap screws lies anywhere from 0.08 to 0.18.
    Source: vdi-2230-tables.
    Check: M8 x 1, 0.10, D_km 10.3 mm: 20.7 kN and 22.8 N·m.

    >>> round(20.7 * 1e3 * torque_per_newton(1e-3, 7.3505e-3, 0.10, 0.10, 10.3e-3), 1)
    22.7
    """
    return pitch / (2.0 * math.pi) + 0.577 * thread_friction * pitch_diameter + 0.5 * head_friction * head_mean


def most_preload(pitch: float, pitch_diameter: float, core_diameter: float, friction: float, strength: float) -> float:
    """Preload at which the screw, twisted and pulled at once, is at nine tenths of its yield strength.

        F = A 0.9 R_p / sqrt(1 + 3 [3/2 d2/d0 (P/(pi d2) + 1.155 mu)]^2),   d0 = (d2 + d3)/2

    Args:
        pitch: of the thread. [m]
        pitch_diameter: d2. [m]
        core_diameter: d3. [m]
        friction: in the thread. [-]
        strength: yield strength of the screw. [Pa]

    Returns:
        Preload. [N]

    Source: vdi-2230-tables.
    Check: M8 x 1, class 8.8 (640 MPa), 0.10: 20.7 kN.

    >>> round(most_preload(1e-3, 7.3505e-3, 6.7731e-3, 0.10, 640e6) / 1e3, 1)
    20.7
    """
    bearing = 0.5 * (pitch_diameter + core_diameter)
    twist = 1.5 * pitch_diameter / bearing * (pitch / (math.pi * pitch_diameter) + 1.155 * friction)
    return 0.25 * math.pi * bearing**2 * UTILISED * strength / math.sqrt(1.0 + 3.0 * twist**2)


def screw_compliance(length: float, diameter: float, stress_area: float, core_diameter: float, modulus: float) -> float:
    """How much a screw stretches per newton: its free length, its head and the thread in its nut or metal.

        delta = [L/A_s + 0.4 d/A_d + 0.5 d/A_3 + 0.4 d/A_d]/E

    Args:
        length: between head and the first thread that holds. [m]
        diameter: of the screw. [m]
        stress_area: A_s. [m2]
        core_diameter: d3. [m]
        modulus: of the screw. [Pa]

    Returns:
        Stretch over force. [m/N]

    Source: vdi-2230-tables.
    """
    whole, core = 0.25 * math.pi * diameter**2, 0.25 * math.pi * core_diameter**2
    return (length / stress_area + 0.8 * diameter / whole + 0.5 * diameter / core) / modulus


def growth_force(growth: float, compliance: float) -> float:
    """What a clamp gains when its parts outgrow its screw.

        F = sum(alpha_i L_i dT_i) - alpha_s L_s dT_s  over  sum(L_i/(E_i A_i))

    Args:
        growth: of the clamped parts less that of the screw. [m]
        compliance: of parts and screw together. [m/N]

    Returns:
        Change of preload. [N]

    Source: exact.
    Check: M6 steel in 30 mm of aluminium sleeve, 130 K: +4.146 kN.
    """
    return growth / compliance


def force_after(before: float, growth: float, compliance: float, spring: Callable[[float], float]) -> float:
    """Preload after the parts have grown, with a springy stack (disc washers) in the row.

    Args:
        before: preload cold. [N]
        growth: of the clamped parts less that of the screw. [m]
        compliance: of all that is straight: screw and parts. [m/N]
        spring: deflection of the stack at a force, never falling. [m]

    Returns:
        Preload; zero when the clamp comes loose. [N]

    Source: exact.
    """

    def taken_up(force: float) -> float:
        return compliance * (force - before) + spring(force) - spring(before) - growth

    low, high = 0.0, max(before, 1.0) + max(growth, 0.0) / compliance + 1.0
    if taken_up(low) >= 0.0:
        return 0.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if taken_up(middle) < 0.0 else (low, middle)
    return 0.5 * (low + high)
