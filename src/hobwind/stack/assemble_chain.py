"""The chain below the modules as arrays: stove plate with its rings, riser, hot plate. Compiled."""

from __future__ import annotations

import numpy as np

from ..compiled import jitable
from ..physics import plate, radiation, spreading
from .fields import (
    BLOCK,
    CELLS_AT,
    HOT_PLATE,
    JOINT_HOT_PLATE,
    JOINT_RISER,
    PER_PLATE,
    PER_RISER,
    PLATES_AT,
    RISERS_AT,
    SHAPES_AT,
    D,
    P,
    Q,
    R,
)
from .net import (
    GRID_COUNT,
    GRID_START,
    GRID_STEP,
    RINGS,
    SERIES_TERMS,
    UNDERSIDE,
    VERTICAL,
    Draft,
    Floats,
    Ints,
    add_link,
    add_skin,
    joint_conductance,
    perimeter,
    section_area,
)


@jitable
def _plate_top_flux(temperature: float, room: float, emissivity: float, pressure: float, size: float) -> float:
    """Heat leaving the upper side of the undisturbed plate, W/m2: free convection and radiation."""
    from_air = plate.top_convection(temperature, room, pressure, size)
    return from_air + radiation.STEFAN_BOLTZMANN * emissivity * (temperature**4 - room**4)


@jitable
def plate_table(p: Floats, radius: float, radii: Floats) -> Floats:
    """Secant and slope of the upper side's loss, and the ladder's scale, over plate temperature: (grid, 3)."""
    table = np.empty((GRID_COUNT, 3))
    room, size = p[P.room], 2.0 * min(p[P.plate_front], p[P.plate_side])
    k, t, flame = p[P.plate_conductivity], p[P.plate_thickness], p[P.flame_coefficient]
    for i in range(GRID_COUNT):
        temperature = GRID_START + GRID_STEP * i
        above = _plate_top_flux(temperature + 1.0, room, p[P.plate_emissivity], p[P.pressure], size)
        below = _plate_top_flux(temperature - 1.0, room, p[P.plate_emissivity], p[P.pressure], size)
        slope = max(0.5 * (above - below), 1.0)
        rise = temperature - room
        secant = slope
        if abs(rise) > 2.0:
            secant = _plate_top_flux(temperature, room, p[P.plate_emissivity], p[P.pressure], size) / rise
        table[i, 0] = secant
        table[i, 1] = slope
        table[i, 2] = plate.sideways_conductance(radius, k, t, flame, slope) / plate.ladder_conductance(
            k, t, flame, slope, radii
        )
    return table


@jitable
def put_rings(draft: Draft, p: Floats, area: float, ring_g: Floats, ring_area: Floats) -> Floats:
    """Fill the ladder of plate rings; return its table."""
    radius = np.sqrt(area / np.pi)
    k, t = p[P.plate_conductivity], p[P.plate_thickness]
    decay = np.sqrt((p[P.flame_coefficient] + 30.0) / (k * t))
    radii = plate.ring_radii(radius, decay, RINGS)
    ring_area[0] = area
    for i in range(RINGS + 1):
        if i < RINGS:
            ring_area[i + 1] = np.pi * (radii[i + 1] ** 2 - radii[i] ** 2)
        ring_g[i] = plate.ladder_link(i, radii, k, t)
    for i in range(RINGS + 1):
        draft.capacity[i] = p[P.plate_capacity] * t * ring_area[i]
    return plate_table(p, radius, radii)


@jitable
def put_riser(draft: Draft, p: Floats, q: Ints, foot: int, force: float) -> tuple[float, float, float]:
    """Fill the riser's cells; return half the lowest cell's and the topmost cell's resistance, and the height."""
    parts = q[Q.risers]
    front, side = p[P.plate_front], p[P.plate_side]
    tall = 0.0
    for part in range(parts):
        tall += p[RISERS_AT + part * PER_RISER + R.length]
    node, base, foot_half = foot, 0.0, 0.0
    half_below, slope_below, area_below = 0.0, 0.0, section_area(p, q, 0)
    for part in range(parts):
        at = RISERS_AT + part * PER_RISER
        count = q[CELLS_AT + part]
        section, round_ = section_area(p, q, part), perimeter(p, q, part)
        step = p[at + R.length] / count
        k, slope = p[at + R.conductivity], p[at + R.conductivity_slope]
        half = 0.5 * step / (k * section)
        slender = tall * np.pi / round_ if q[SHAPES_AT + part] != BLOCK else 0.0
        for c in range(count):
            draft.capacity[node] = p[at + R.capacity] * section * step
            if node == foot:
                foot_half = half
            else:
                joined = half_below + half
                if c == 0:
                    shared, wide = min(section, area_below), max(section, area_below)
                    joined += 1.0 / (joint_conductance(p, q, JOINT_RISER, force / shared) * shared)
                    if wide > 1.02 * shared:
                        joined += spreading.rectangle_resistance(
                            k, p[at + R.length], k / p[at + R.length], np.sqrt(shared), np.sqrt(shared),
                            np.sqrt(wide), np.sqrt(wide), SERIES_TERMS,
                        )  # fmt: skip
                bend = (half_below * slope_below + half * slope) / joined
                add_link(draft, node - 1, node, 1.0 / joined, bend)
            view = radiation.view_vertical_element(base + (c + 0.5) * step, front, side)
            add_skin(draft, node, VERTICAL, round_ * step, tall, p[at + R.emissivity], view, slender)
            half_below, slope_below, area_below = half, slope, section
            node += 1
        base += p[at + R.length]
    return foot_half, half_below, base


@jitable
def put_hot_plate(draft: Draft, p: Floats, q: Ints, top: int, top_half: float, base: float, force: float) -> None:
    """Fill the hot plate that stands on the riser and overhangs it; its node is the one above the riser's top."""
    at, low = PLATES_AT + HOT_PLATE * PER_PLATE, top + 1
    width, depth, thick, k = p[at + D.width], p[at + D.depth], p[at + D.thickness], p[at + D.conductivity]
    whole = width * depth
    shared = min(section_area(p, q, q[Q.risers] - 1), whole)
    resistance = top_half + 0.5 * thick / (k * whole)
    resistance += 1.0 / (joint_conductance(p, q, JOINT_HOT_PLATE, force / shared) * shared)
    if whole > 1.02 * shared:
        # The modules draw from the far side through about a module's conductance over its face: 300 W/m2K.
        resistance += spreading.rectangle_resistance(
            k, thick, 300.0, min(np.sqrt(shared), width), min(np.sqrt(shared), depth), width, depth, SERIES_TERMS
        )
    add_link(draft, top, low, 1.0 / resistance, 0.0)
    draft.capacity[low] = p[at + D.capacity] * whole * thick
    front, side = p[P.plate_front], p[P.plate_side]
    edge_view = radiation.view_vertical_element(base + 0.5 * thick, front, side)
    add_skin(draft, low, VERTICAL, 2.0 * (width + depth) * thick, thick, p[at + D.emissivity], edge_view, 0.0)
    over = whole - shared
    if over > 1e-6:
        view = radiation.view_facing(width, depth, 2.0 * side, 2.0 * front, base) * (1.0 - shared / whole)
        size = whole / (2.0 * (width + depth))
        add_skin(draft, low, UNDERSIDE, over, size, p[at + D.emissivity], view, 0.0)
