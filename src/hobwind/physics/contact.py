"""Heat through two faces that touch, nearly touch, or have something between them.

Metal touches metal at few small spots; gas fills the rest. The gas path is averaged over the footprint, because the
places where the faces nearly meet carry most of it. Creep of the spots, oxide films and vacuum are left out.
"""

from __future__ import annotations

import numpy as np

from ..compiled import jitable

LIMITS = {"pressure_over_hardness": (1e-6, 2.3e-2)}
LIGHTEST = 1e-5  # pressure over hardness below which the separation formula is not carried further


@jitable
def harmonic_conductivity(first: float, second: float) -> float:
    """Conductivity that two touching metals show together.

        k_s = 2 k1 k2 / (k1 + k2)

    Args:
        first: conductivity of one. [W/(m K)]
        second: conductivity of the other. [W/(m K)]

    Returns:
        Harmonic mean. [W/(m K)]

    Source: yovanovich-1969.

    >>> harmonic_conductivity(100.0, 300.0)
    150.0
    """
    return 2.0 * first * second / (first + second)


@jitable
def solid_spot_conductance(conductivity: float, roughness: float, slope: float, pressure: float, hardness: float) -> float:
    """Conductance of touching spots between rough, flat faces.

        h = 1.25 k_s (m / sigma) (P / H)^0.95

    Args:
        conductivity: harmonic mean of both metals. [W/(m K)]
        roughness: root mean square heights of both faces together. [m]
        slope: mean steepness of both faces together. [-]
        pressure: on the nominal face. [Pa]
        hardness: contact microhardness of the softer face. [Pa]

    Returns:
        Conductance per area. [W/(m2 K)]

    Limits: plastic spots, P/H from 1e-6 to 2.3e-2; first loading.
    Scatter: 10 % in careful tests, a factor of two in a workshop.
    Source: yovanovich-1969.
    Check: k 167, 1.6 micrometre, 0.12, 1.1 GPa, 1 MPa -> 20201 W/m2K.

    >>> round(solid_spot_conductance(167.0, 1.6e-6, 0.12, 1e6, 1.1e9))
    20201
    """
    return 1.25 * conductivity * slope / roughness * (pressure / hardness) ** 0.95


@jitable
def plane_separation(roughness: float, pressure: float, hardness: float) -> float:
    """Distance between the mean planes of two rough faces pressed together.

        Y = 1.53 sigma (P / H)^-0.097

    Args:
        roughness: root mean square heights of both faces together. [m]
        pressure: on the nominal face. [Pa]
        hardness: of the softer face. [Pa]

    Returns:
        Separation. [m]

    Limits: P/H is not taken below 1e-5, where the formula has no tests behind it.
    Source: antonetti.
    Check: both faces 1.6 micrometre (2.263 together), 1.1 GPa: 8.54 micrometre at 0.1 MPa, 6.83 at 1 MPa.

    >>> round(float(plane_separation(2.2627e-6, 1e6, 1.1e9)) * 1e6, 2)
    6.83
    """
    return 1.53 * roughness * max(pressure / hardness, LIGHTEST) ** -0.097


@jitable
def _mean_inverse_crown(standoff: float, height: float) -> float:
    """Mean of 1/(standoff + u) for a crown or dish of `height`: u uniform over the area, 1/m."""
    ratio = height / standoff
    if ratio < 1e-6:
        return (1.0 - 0.5 * ratio) / standoff
    return np.log1p(ratio) / height


@jitable
def _mean_inverse_bow(standoff: float, height: float) -> float:
    """Mean of 1/(standoff + u) for a cylindrical bow of `height`: u = height x^2, x even from 0 to 1, 1/m."""
    ratio = height / standoff
    if ratio < 1e-6:
        return (1.0 - ratio / 3.0) / standoff
    return np.arctan(np.sqrt(ratio)) / np.sqrt(height * standoff)


@jitable
def gap_conductance(
    conductivity: float, standoff: float, flatness: float, bow: float, gap_low: float, gap_high: float
) -> float:
    """Conductance of the gas between two faces that are not flat, not parallel, or lifted off each other.

    The mean over the footprint of k/(Y + M + u + g). The profile u is a crown (or dish) or a bow of the given height,
    mixed by `bow`; g grows in a straight line across the face from `gap_low` to `gap_high`. Profile and wedge are
    averaged one after the other: the wedge by averaging the profile's closed form at five places of the wedge in its
    own measure (Gauss points in the logarithm of the local gap).

    Args:
        conductivity: of the gas. [W/(m K)]
        standoff: separation of the mean planes plus the molecular jump. [m]
        flatness: height of the out-of-flatness of both faces together. [m]
        bow: share of the bow shape, the rest is crown; 0 to 1. [-]
        gap_low: lift at the nearer edge. [m]
        gap_high: lift at the farther edge. [m]

    Returns:
        Conductance per area. [W/(m2 K)]

    Limits: gas at rest; beyond about 6 mm it begins to stir and carries more.
    Scatter: the five places are within 0.15 % of the integral.
    Source: yovanovich-gap.
    Check: 0.1 mm, 8 micrometre, k .035: crown 911, bow 1603; wedge 0.1 to 5 mm, k .0313: 24.99 W/m2K.

    >>> round(float(gap_conductance(0.035, 8e-6, 1e-4, 0.0, 0.0, 0.0)))
    911
    >>> round(float(gap_conductance(0.0313, 0.0, 0.0, 0.0, 1e-4, 5e-3)), 2)
    24.99
    """
    nearest, farthest = standoff + gap_low, standoff + gap_high
    spread = np.log(farthest / nearest)
    if abs(spread) < 1e-9:
        return conductivity * _profile(nearest, flatness, bow)
    # mean over x of f(s(x)), s straight in x: dx = ds/(far - near) = s dlns/(far - near); s f(s) is smooth in ln s.
    total = 0.0
    for place, weight in (
        (0.0469100770306680, 0.1184634425280945),
        (0.2307653449471585, 0.2393143352496832),
        (0.5, 0.2844444444444444),
        (0.7692346550528415, 0.2393143352496832),
        (0.9530899229693320, 0.1184634425280945),
    ):
        here = nearest * np.exp(spread * place)
        total += weight * here * _profile(here, flatness, bow)
    return conductivity * total * spread / (farthest - nearest)


@jitable
def _profile(standoff: float, flatness: float, bow: float) -> float:
    inverse = _mean_inverse_crown(standoff, flatness)
    if bow > 0.0:
        inverse += bow * (_mean_inverse_bow(standoff, flatness) - inverse)
    return inverse


@jitable
def bond_line(yield_stress: float, pressure: float) -> float:
    """Thickness to which a clamp squeezes a filled grease.

        BLT = 1.31e-4 (tau_y / P)^0.166

    Args:
        yield_stress: of the grease. [Pa]
        pressure: on the face. [Pa]

    Returns:
        Thickness. [m]

    Limits: greases with fillers; a thin oil squeezes out further than this says.
    Source: prasher-2003.
    Check: 100 Pa: 41.6 micrometre at 0.1 MPa, 28.4 at 1.0 MPa.

    >>> round(bond_line(100.0, 1e6) * 1e6, 1)
    28.4
    """
    return 1.31e-4 * (yield_stress / pressure) ** 0.166


@jitable
def filled_joint_conductance(conductivity: float, thickness: float, flatness: float, bow: float) -> float:
    """Conductance of a joint filled with grease between faces that are not flat.

    Args:
        conductivity: of the grease. [W/(m K)]
        thickness: bond line where the faces are nearest. [m]
        flatness: out-of-flatness of both faces together. [m]
        bow: share of the bow shape. [-]

    Returns:
        Conductance per area. [W/(m2 K)]

    Source: prasher-2003.

    >>> round(filled_joint_conductance(1.0, 25e-6, 0.0, 0.0))
    40000
    """
    return conductivity * _profile(thickness, flatness, bow)


@jitable
def sheet_conductance(conductivity: float, thickness: float, contact: float) -> float:
    """Conductance of a sheet laid between two faces.

        h = 1 / (t/k + r)

    Args:
        conductivity: through the sheet. [W/(m K)]
        thickness: as clamped. [m]
        contact: resistance of both faces together. [m2 K/W]

    Returns:
        Conductance per area. [W/(m2 K)]

    Source: exact-series.

    >>> round(sheet_conductance(5.0, 2e-4, 2e-5))
    16667
    """
    return 1.0 / (thickness / conductivity + contact)
