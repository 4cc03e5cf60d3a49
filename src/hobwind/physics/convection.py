"""How well air takes heat from the shapes of a fan: rising by itself, or blown.

Mean coefficients of whole faces. Developing wakes, surface roughness and crossing draughts of the room are left out;
each correlation carries its own scatter.
"""

from __future__ import annotations

import numpy as np

from ..compiled import jitable
from .prandtl import bent_power, bent_share, blown_factor, lying_divisor, upright_divisor

LIMITS = {
    "vertical face": (1e-1, 1e12),  # Ra on height
    "face up": (1e4, 1e11),  # Ra on area over perimeter
    "face down": (1e5, 1e10),
    "lying cylinder": (1e-5, 1e12),  # Ra on diameter
    "fin channel": (1e-2, 1e6),  # El
    "fin gap": (2e-1, 1e2),  # Re*
    "cross flow": (2e-1, 1e6),  # Re Pr
}


@jitable
def nusselt_vertical_plate(rayleigh: float, prandtl: float) -> float:
    """Mean Nusselt number of free convection on an upright plate.

    One curve covers laminar and turbulent flow, so a solve sees no switch.

        Nu = (0.825 + 0.387 Ra^(1/6) / s)^2,   s = [1 + (0.492/Pr)^(9/16)]^(8/27)

    Args:
        rayleigh: Ra on height; scalar or array. [-]
        prandtl: Pr at film temperature; broadcasts. [-]

    Returns:
        Mean Nu on height. [-]

    Limits: 0.1 <= Ra <= 1e12, still air.
    Scatter: 10 % in the laminar range, more near transition.
    Source: churchill-chu-1975.
    Check: Incropera Ex 9.2, Ra 1.814e9, Pr 0.69: h 7.0 W/m2K.

    >>> round(float(nusselt_vertical_plate(1.814e9, 0.69)))
    147
    """
    root = 0.825 + 0.387 * np.cbrt(np.sqrt(rayleigh)) / upright_divisor(prandtl)
    return root * root


@jitable
def cylinder_curvature(grashof: float, prandtl: float, slenderness: float) -> float:
    """Factor by which an upright cylinder exceeds an upright plate of its height.

        f = 1 + B (sqrt(32) Gr^(-1/4) H/D)^C,   B and C of Pr

    Args:
        grashof: on height. [-]
        prandtl: Pr at film temperature. [-]
        slenderness: height over diameter. [-]

    Returns:
        Nu of the cylinder over Nu of the plate. [-]

    Limits: laminar, Pr 0.01 to 100.
    Scatter: 2 % of the numerical solution it was fitted to.
    Source: popiel-2008.
    Check: 1 for a wide cylinder; against `ht` in the tests.

    >>> round(float(cylinder_curvature(1e6, 0.7, 1.0)), 2)
    1.06
    """
    return 1.0 + bent_share(prandtl) * (np.sqrt(32.0 / np.sqrt(grashof)) * slenderness) ** bent_power(prandtl)


@jitable
def nusselt_horizontal_up(rayleigh: float) -> float:
    """Mean Nusselt number over a hot face looking up (or a cold one looking down).

        Nu = [(0.54 Ra^(1/4))^10 + (0.15 Ra^(1/3))^10]^(1/10)

    Args:
        rayleigh: Ra on area over perimeter; scalar or array. [-]

    Returns:
        Mean Nu on area over perimeter. [-]

    Limits: 1e4 <= Ra <= 1e11.
    Scatter: 10 %.
    Source: mcadams-plates.
    Check: Incropera Ex 9.3, upper side of the duct.

    >>> round(float(nusselt_horizontal_up(1.38e8)), 1)
    78.0
    """
    lower = 0.54 * np.sqrt(np.sqrt(rayleigh))
    upper = 0.15 * np.cbrt(rayleigh)
    return (lower**10 + upper**10) ** 0.1


@jitable
def nusselt_horizontal_down(rayleigh: float) -> float:
    """Mean Nusselt number under a hot face looking down (or over a cold one looking up).

        Nu = 0.27 Ra^(1/4)

    Args:
        rayleigh: Ra on area over perimeter; scalar or array. [-]

    Returns:
        Mean Nu on area over perimeter. [-]

    Limits: 1e5 <= Ra <= 1e10.
    Scatter: 25 %; newer tests give less.
    Source: mcadams-plates.
    Check: Incropera Ex 9.3, lower side of the duct.

    >>> round(float(nusselt_horizontal_down(1.38e8)), 1)
    29.3
    """
    return 0.27 * np.sqrt(np.sqrt(rayleigh))


@jitable
def nusselt_horizontal_cylinder(rayleigh: float, prandtl: float) -> float:
    """Mean Nusselt number round a lying cylinder in still air.

        Nu = (0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27))^2

    Args:
        rayleigh: Ra on diameter; scalar or array. [-]
        prandtl: Pr at film temperature. [-]

    Returns:
        Mean Nu on diameter. [-]

    Limits: Ra <= 1e12.
    Scatter: 10 %.
    Source: churchill-chu-cylinder-1975.
    Check: against `ht` in the tests.

    >>> round(float(nusselt_horizontal_cylinder(5.073e6, 0.7)), 1)
    23.1
    """
    root = 0.60 + 0.387 * np.cbrt(np.sqrt(rayleigh)) / lying_divisor(prandtl)
    return root * root


@jitable
def nusselt_channel(elenbaas: float) -> float:
    """Mean Nusselt number of an upright channel between two equally hot fins, open below and above.

        Nu = [576/El^2 + 2.873/sqrt(El)]^(-1/2)

    Args:
        elenbaas: Ra on gap times gap over height; scalar or array. [-]

    Returns:
        Mean Nu on the gap, from fin less inlet air. [-]

    Limits: El up to 1e6; wide channels become lone plates.
    Scatter: 5 % of the tests behind it.
    Source: bar-cohen-1984.
    Check: El 10 0.38724, 54.25 1.30657, 1000 3.30720.

    >>> round(float(nusselt_channel(54.25)), 5)
    1.30657
    """
    return 1.0 / np.sqrt(576.0 / (elenbaas * elenbaas) + 2.873 / np.sqrt(elenbaas))


@jitable
def optimum_channel(height: float, rayleigh: float) -> float:
    """Gap between equally hot upright fins that sheds most heat from a given base.

        S = 2.714 L / Ra_L^(1/4)

    Args:
        height: of the channel. [m]
        rayleigh: Ra on height. [-]

    Returns:
        Gap. [m]

    Limits: fins thin against the gap.
    Source: bar-cohen-1984.

    >>> round(float(optimum_channel(0.1, 1e6)) * 1e3, 2)
    8.58
    """
    return 2.714 * height / rayleigh**0.25


@jitable
def nusselt_fin_gap(channel_reynolds: float, prandtl: float) -> float:
    """Mean Nusselt number of air blown through a gap between two fins.

    Long, slow gaps: the air leaves as warm as the fin, and the coefficient is limited by the air that comes. Short,
    fast ones: a boundary layer grows on each fin.

        Nu = [(Re* Pr/2)^-3 + (0.664 sqrt(Re*) Pr^(1/3) sqrt(1 + 3.65/sqrt(Re*)))^-3]^(-1/3),   Re* = U b/nu (b/L)

    Args:
        channel_reynolds: Re*, on the gap and times gap over length. [-]
        prandtl: Pr at film temperature. [-]

    Returns:
        Mean Nu on the gap, from fin less inlet air. [-]

    Limits: 0.2 < Re* < 100.
    Scatter: 5 % of the tests behind it; the speed between fins is the larger doubt.
    Source: teertstra-2000.
    Check: b 3 mm, L 60 mm, 1 m/s: h 20.45 W/m2K.

    >>> round(float(nusselt_fin_gap(9.375, 0.71)) * 0.0263 / 0.003, 2)
    20.45
    """
    full = 0.5 * channel_reynolds * prandtl
    root = np.sqrt(channel_reynolds)
    growing = 0.664 * root * np.cbrt(prandtl) * np.sqrt(1.0 + 3.65 / root)
    return full * growing / np.cbrt(full * full * full + growing * growing * growing)


@jitable
def nusselt_crossflow(reynolds: float, prandtl: float) -> float:
    """Mean Nusselt number round a cylinder blown at from the side.

        Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3) / [1 + (0.4/Pr)^(2/3)]^(1/4) [1 + (Re/282000)^(5/8)]^(4/5)

    Args:
        reynolds: Re on diameter; scalar or array. [-]
        prandtl: Pr at film temperature. [-]

    Returns:
        Mean Nu on diameter. [-]

    Limits: Re Pr > 0.2.
    Scatter: 20 %.
    Source: churchill-bernstein-1977.
    Check: Incropera Ex 7.4, Re 7992, Pr .707: about 47.3 with film properties.

    >>> 46.5 < float(nusselt_crossflow(7992.0, 0.707)) < 48.0
    True
    """
    slow = 0.62 * np.sqrt(reynolds) * blown_factor(prandtl)
    share = np.sqrt(reynolds / 282000.0)
    return 0.3 + slow * (1.0 + share * np.sqrt(np.sqrt(share))) ** 0.8


@jitable
def cubic_blend(free: float, forced: float) -> float:
    """Free and forced convection together.

        h^3 = h_free^3 + h_forced^3

    Args:
        free: coefficient (or conductance) in still air; scalar or array. [any]
        forced: the same, blown. [any]

    Returns:
        Both together. [any]

    Limits: flows that aid each other.
    Source: churchill-blend-1977.

    >>> round(float(cubic_blend(3.0, 0.0)), 12)  # the last bit of a cube root is the machine's
    3.0
    """
    return np.cbrt(free * free * free + forced * forced * forced)
