"""How much heat a sink hands to the air per kelvin: still or blown, four shapes, one law of blending.

Free and forced coefficients are blended by cubes; the share of the fins outside the blade's stream keeps the free
one. Radiation is not here: it leaves from the envelope, as a skin of the net.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..compiled import lean_jitable
from ..physics import air, convection, fins
from .fields import ANNULAR_FINS, MEASURED, PIN_FINS, P, Q

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

OPEN_BELOW, ON_BASE = 0, 1


@lean_jitable
def _plate_fins(p: Floats, free_only: bool, free: float, forced: float) -> float:
    """Area x efficiency x coefficient of plate fins and the base between them, W/K."""
    h = free if free_only else convection.cubic_blend(free, forced)
    count, height, thick = p[P.sink_fin_count], p[P.sink_fin_height], p[P.sink_fin_thickness]
    m = np.sqrt(2.0 * h / (p[P.sink_conductivity] * thick))
    fin = 2.0 * height * p[P.sink_length] * count
    base = (p[P.sink_width] - count * thick) * p[P.sink_length]
    return h * (fin * fins.straight_fin_efficiency(m * height) + max(base, 0.0))


@lean_jitable
def _annular_fins(p: Floats, free_only: bool, free: float, forced: float) -> float:
    h = free if free_only else convection.cubic_blend(free, forced)
    inner, outer = 0.5 * p[P.sink_width], 0.5 * p[P.sink_width] + p[P.sink_fin_height]
    thick, count = p[P.sink_fin_thickness], p[P.sink_fin_count]
    m = np.sqrt(2.0 * h / (p[P.sink_conductivity] * thick))
    fin = 2.0 * np.pi * (outer**2 - inner**2) * count
    core = 2.0 * np.pi * inner * count * (p[P.sink_fin_pitch] - thick)
    return h * (fin * fins.annular_fin_efficiency(m, inner, outer) + core)


@lean_jitable
def _pin_fins(p: Floats, free_only: bool, free: float, forced: float) -> float:
    h = free if free_only else convection.cubic_blend(free, forced)
    thick, height, count = p[P.sink_fin_thickness], p[P.sink_fin_height], p[P.sink_fin_count]
    m = np.sqrt(4.0 * h / (p[P.sink_conductivity] * thick))
    pins = np.pi * thick * height * count
    base = p[P.sink_width] * p[P.sink_length] - 0.25 * np.pi * thick**2 * count
    return h * (pins * fins.straight_fin_efficiency(m * height) + max(base, 0.0))


@lean_jitable
def sink_conductance(p: Floats, q: Ints, temperature: float, ambient: float, stream: float) -> float:
    """Heat to the air per kelvin of sink above the air at the fan, W/K.

    Args:
        p: inputs in the layout of `fields`. [SI]
        q: choices in the layout of `fields`. [-]
        temperature: sink base. [K]
        ambient: air at the fan. [K]
        stream: air speed through the blade disc; 0 when it stands. [m/s]

    Returns:
        Conductance from the base to the air. [W/K]
    """
    film = 0.5 * (temperature + ambient)
    rise = abs(temperature - ambient) + 1e-3
    shape = q[Q.sink_shape]
    speed = p[P.sink_bypass] * stream
    if shape == MEASURED:
        still = (rise / p[P.sink_still_rise]) ** 0.25 / p[P.sink_still]
        if speed <= 0.0:
            return still
        blown = (stream / p[P.sink_blown_at]) ** p[P.sink_blown_power] / p[P.sink_blown]
        return convection.cubic_blend(still, blown)
    k = air.conductivity(film)
    nu = air.kinematic_viscosity(film, p[P.pressure])
    prandtl = air.prandtl(film)
    buoyancy = 9.80665 / film * rise / (nu * nu) * prandtl  # Rayleigh number per cubed length
    keeps = p[P.sink_on_base] if q[Q.sink_stands] == ON_BASE else 1.0
    gap = p[P.sink_fin_pitch] - p[P.sink_fin_thickness]
    share = p[P.sink_in_stream]
    forced = 0.0
    if shape == PIN_FINS:
        free = keeps * convection.nusselt_vertical_plate(buoyancy * p[P.sink_fin_height] ** 3, prandtl)
        free *= k / p[P.sink_fin_height]
        if speed > 0.0:
            forced = convection.nusselt_crossflow(speed * p[P.sink_fin_thickness] / nu, prandtl)
            forced *= k / p[P.sink_fin_thickness]
            return share * _pin_fins(p, False, free, forced) + (1.0 - share) * _pin_fins(p, True, free, 0.0)
        return _pin_fins(p, True, free, 0.0)
    along = p[P.sink_length]
    if shape == ANNULAR_FINS:
        along = p[P.sink_width] + 2.0 * p[P.sink_fin_height]
    free = keeps * k / gap * convection.nusselt_channel(buoyancy * gap**4 / along)
    if speed > 0.0:
        forced = k / gap * convection.nusselt_fin_gap(speed * gap / nu * gap / along, prandtl)
    if shape == ANNULAR_FINS:
        if speed > 0.0:
            return share * _annular_fins(p, False, free, forced) + (1.0 - share) * _annular_fins(p, True, free, 0.0)
        return _annular_fins(p, True, free, 0.0)
    if speed > 0.0:
        return share * _plate_fins(p, False, free, forced) + (1.0 - share) * _plate_fins(p, True, free, 0.0)
    return _plate_fins(p, True, free, 0.0)


@lean_jitable
def sink_mean_coefficient(p: Floats, q: Ints) -> float:
    """Sink conductance over its base area at 40 K and 1 m/s: the far-face coefficient for spreading, W/m2K."""
    return sink_conductance(p, q, p[P.room] + 40.0, p[P.room], 1.0) / (p[P.sink_width] * p[P.sink_length])
