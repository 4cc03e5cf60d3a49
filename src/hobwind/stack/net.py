"""The arrays that the compiled kernel works on, and how a build's inputs become them.

Nodes of one build, in this order: the patch of plate under the foot and its four rings (written as deviations from
the undisturbed plate), the riser's cells from the foot up, the hot plate if there is one, the hot and cold face of
each kind of module, the spreader if there is one, the sink, the motor, the wax element.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..compiled import jitable
from ..physics import air, contact, plate, radiation, spreading
from .fields import (
    BLOCK,
    CELLS_AT,
    COMPOUND,
    COUNTS_AT,
    FILLS_AT,
    HOT_PLATE,
    IN_HOT_PLATE,
    IN_PLATE,
    IN_RISER,
    IN_SINK,
    IN_SPREADER,
    JOINT_COLD,
    JOINT_HOT,
    JOINT_HOT_PLATE,
    JOINT_RISER,
    JOINT_SINK,
    JOINTS_AT,
    KINDS_AT,
    PLATES_AT,
    RISERS_AT,
    SHAPES_AT,
    SHEET,
    SPREADER,
    STRINGS_AT,
    D,
    J,
    M,
    P,
    Q,
    R,
)
from .sinks import sink_mean_coefficient

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

RINGS = 4
GRID_START, GRID_STEP, GRID_COUNT = 253.15, 25.0, 32
GAS_REFERENCE = 380.0  # K; film temperature at which the gas in a clamped dry joint is taken
VERTICAL, UNDERSIDE, RADIATING, LYING = 0, 1, 2, 3
MOST_SKINS = 40
MOST_LINKS = 48


class Net(NamedTuple):
    """One build as arrays; lengths: n nodes, m links, s skins, k module kinds, r strings of modules in series."""

    size: int
    foot: int
    top: int
    low: int  # node whose upper face carries the modules
    high: int  # node whose lower face they carry
    sink: int
    motor: int
    element: int
    hot: Ints  # (k) node of each kind's hot face; the cold face is the next node
    capacity: Floats  # (n) J/K
    links: Ints  # (m, 2)
    link_g: Floats  # (m) W/K at 300 K
    link_slope: Floats  # (m) relative change of link_g per kelvin
    skins: Ints  # (s, 2) node, kind
    skin: Floats  # (s, 5) area, height, emissivity, view of the plate, height over diameter
    ring_g: Floats  # (5) W/K between patch, rings and the undisturbed plate
    ring_area: Floats  # (5) m2
    table: Floats  # (grid, 3) secant and slope of the plate's upper side loss, scale of the ladder
    area: float  # m2, foot
    foot_resistance: float  # K/W, half the lowest cell and the coating
    solid: float  # W/m2K through touching spots at the fan's own weight
    standoff: float  # m, separation of the mean planes
    gap_area: float  # m2 of bare plate round the modules
    gap_thickness: float  # m
    plate_link: float  # W/K, wax element to the undisturbed plate when a foot of its own stands there
    seebeck: Floats  # (k) V/K at 300 K, one module
    resistance: Floats  # (k) ohm
    conductance: Floats  # (k) W/K
    count: Floats  # (k)
    limit: Floats  # (k) K
    strings: Floats  # (r, k) modules of each kind in each string


@jitable
def _joint(p: Floats, q: Ints, which: int, pressure: float) -> float:
    """Conductance of one clamped joint per area, W/m2K."""
    at = JOINTS_AT + which * len(J)
    fill = q[FILLS_AT + which]
    if fill == SHEET:
        return contact.sheet_conductance(p[at + J.conductivity], p[at + J.thickness], p[at + J.contact])
    if fill == COMPOUND:
        line = contact.bond_line(p[at + J.yield_stress], pressure)
        return contact.filled_joint_conductance(
            p[at + J.conductivity], line, p[at + J.flatness], p[at + J.bow]
        )
    spots = contact.solid_spot_conductance(
        p[at + J.surface_conductivity], p[at + J.roughness], p[at + J.slope], pressure, p[at + J.hardness]
    )
    standoff = contact.plane_separation(p[at + J.roughness], pressure, p[at + J.hardness]) + air.molecular_jump(
        GAS_REFERENCE, p[P.pressure]
    )
    gas = contact.gap_conductance(
        air.conductivity(GAS_REFERENCE), standoff, p[at + J.flatness], p[at + J.bow], 0.0, 0.0
    )
    return spots + gas


@jitable
def _plate_top_flux(temperature: float, room: float, emissivity: float, pressure: float, size: float) -> float:
    """Heat leaving the upper side of the undisturbed plate, W/m2: free convection and radiation."""
    from_air = plate.top_convection(temperature, room, pressure, size)
    return from_air + radiation.STEFAN_BOLTZMANN * emissivity * (temperature**4 - room**4)


@jitable
def _plate_table(p: Floats, radius: float, radii: Floats) -> Floats:
    """Secant and slope of the upper side's loss, and the ladder's scale, over plate temperature."""
    table = np.empty((GRID_COUNT, 3))
    room, size = p[P.room], 2.0 * min(p[P.plate_front], p[P.plate_side])
    for i in range(GRID_COUNT):
        temperature = GRID_START + GRID_STEP * i
        above = _plate_top_flux(temperature + 1.0, room, p[P.plate_emissivity], p[P.pressure], size)
        below = _plate_top_flux(temperature - 1.0, room, p[P.plate_emissivity], p[P.pressure], size)
        slope = max(0.5 * (above - below), 1.0)
        rise = temperature - room
        secant = slope
        if abs(rise) > 2.0:
            secant = _plate_top_flux(temperature, room, p[P.plate_emissivity], p[P.pressure], size) / rise
        k, t, flame = p[P.plate_conductivity], p[P.plate_thickness], p[P.flame_coefficient]
        wanted = plate.sideways_conductance(radius, k, t, flame, slope)
        table[i, 0] = secant
        table[i, 1] = slope
        table[i, 2] = wanted / plate.ladder_conductance(k, t, flame, slope, radii)
    return table


@jitable
def _foot_area(p: Floats, q: Ints, part: int) -> float:
    at = RISERS_AT + part * len(R)
    if q[SHAPES_AT + part] == BLOCK:
        return p[at + R.width] * p[at + R.depth]
    return 0.25 * np.pi * p[at + R.width] ** 2


@jitable
def _perimeter(p: Floats, q: Ints, part: int) -> float:
    at = RISERS_AT + part * len(R)
    if q[SHAPES_AT + part] == BLOCK:
        return 2.0 * (p[at + R.width] + p[at + R.depth])
    return np.pi * p[at + R.width]


@jitable
def assemble(p: Floats, q: Ints) -> Net:
    """Return the kernel's arrays for inputs `p` and choices `q`.

    Args:
        p: every physical input in the layout of `fields`, (P_LENGTH,). [SI]
        q: every choice and count, (Q_LENGTH,). [-]

    Returns:
        The arrays of one build. [SI]
    """
    parts, kinds = q[Q.risers], q[Q.kinds]
    cells = 0
    for part in range(parts):
        cells += q[CELLS_AT + part]
    foot = RINGS + 1
    top = foot + cells - 1
    at_node = top + 1
    low = top
    if q[Q.has_hot_plate] == 1:
        low = at_node
        at_node += 1
    hot = np.empty(kinds, np.int64)
    for k in range(kinds):
        hot[k] = at_node
        at_node += 2
    spreader = -1
    if q[Q.has_spreader] == 1:
        spreader = at_node
        at_node += 1
    sink, motor, element = at_node, at_node + 1, at_node + 2
    high = sink if spreader < 0 else spreader
    size = at_node + 3

    capacity = np.zeros(size)
    links = np.zeros((MOST_LINKS, 2), np.int64)
    link_g, link_slope = np.zeros(MOST_LINKS), np.zeros(MOST_LINKS)
    skins = np.zeros((MOST_SKINS, 2), np.int64)
    skin = np.zeros((MOST_SKINS, 5))
    n_links, n_skins = 0, 0
    front, side = p[P.plate_front], p[P.plate_side]

    # The riser: cells, what joins them, their sides.
    tall = 0.0
    for part in range(parts):
        tall += p[RISERS_AT + part * len(R) + R.length]
    area = _foot_area(p, q, 0)
    node, base, half_below, slope_below, area_below = foot, 0.0, 0.0, 0.0, area
    foot_half = 0.0
    module_area = 0.0
    for k in range(kinds):
        row = KINDS_AT + k * len(M)
        module_area += q[COUNTS_AT + k] * p[row + M.width] * p[row + M.depth]
    force = p[P.clamp_pressure] * module_area
    for part in range(parts):
        at = RISERS_AT + part * len(R)
        count = q[CELLS_AT + part]
        section, round_ = _foot_area(p, q, part), _perimeter(p, q, part)
        step = p[at + R.length] / count
        half = 0.5 * step / (p[at + R.conductivity] * section)
        for c in range(count):
            capacity[node] = p[at + R.capacity] * section * step
            if node == foot:
                foot_half = half
            else:
                joined = half_below + half
                if c == 0:
                    shared = min(section, area_below)
                    joined += 1.0 / (_joint(p, q, JOINT_RISER, force / shared) * shared)
                    wide, narrow = max(section, area_below), shared
                    if wide > 1.02 * narrow:
                        joined += spreading.rectangle_resistance(
                            p[at + R.conductivity], p[at + R.length], p[at + R.conductivity] / p[at + R.length],
                            np.sqrt(narrow), np.sqrt(narrow), np.sqrt(wide), np.sqrt(wide), 30,
                        )
                links[n_links, 0], links[n_links, 1] = node - 1, node
                link_g[n_links] = 1.0 / joined
                link_slope[n_links] = (half_below * slope_below + half * p[at + R.conductivity_slope]) / joined
                n_links += 1
            middle = base + (c + 0.5) * step
            skins[n_skins, 0], skins[n_skins, 1] = node, VERTICAL
            skin[n_skins, 0] = round_ * step
            skin[n_skins, 1] = tall
            skin[n_skins, 2] = p[at + R.emissivity]
            skin[n_skins, 3] = radiation.view_vertical_element(middle, front, side)
            skin[n_skins, 4] = tall * np.pi / round_ if q[SHAPES_AT + part] != BLOCK else 0.0
            n_skins += 1
            half_below, slope_below, area_below = half, p[at + R.conductivity_slope], section
            node += 1
        base += p[at + R.length]

    # The hot plate stands on the riser and overhangs it.
    top_half, top_k = half_below, p[RISERS_AT + (parts - 1) * len(R) + R.conductivity]
    carry_width = p[RISERS_AT + (parts - 1) * len(R) + R.width]
    carry_depth = p[RISERS_AT + (parts - 1) * len(R) + R.depth]
    if q[SHAPES_AT + parts - 1] != BLOCK:
        carry_width = carry_depth = np.sqrt(area_below)
    carry_thickness = top_half * top_k * area_below
    low_half, low_k = top_half, top_k
    if low != top:
        at = PLATES_AT + HOT_PLATE * len(D)
        width, depth, thick = p[at + D.width], p[at + D.depth], p[at + D.thickness]
        low_k = p[at + D.conductivity]
        shared = min(area_below, width * depth)
        low_half = 0.5 * thick / (low_k * width * depth)
        resistance = top_half + low_half + 1.0 / (_joint(p, q, JOINT_HOT_PLATE, force / shared) * shared)
        if width * depth > 1.02 * shared:
            resistance += spreading.rectangle_resistance(
                low_k, thick, 300.0, np.sqrt(shared), np.sqrt(shared), width, depth, 30
            )
        links[n_links, 0], links[n_links, 1] = top, low
        link_g[n_links] = 1.0 / resistance
        n_links += 1
        capacity[low] = p[at + D.capacity] * width * depth * thick
        skins[n_skins, 0], skins[n_skins, 1] = low, VERTICAL
        skin[n_skins, 0], skin[n_skins, 1] = 2.0 * (width + depth) * thick, thick
        skin[n_skins, 2] = p[at + D.emissivity]
        skin[n_skins, 3] = radiation.view_vertical_element(base + 0.5 * thick, front, side)
        n_skins += 1
        over = width * depth - shared
        if over > 1e-6:
            skins[n_skins, 0], skins[n_skins, 1] = low, UNDERSIDE
            skin[n_skins, 0], skin[n_skins, 1] = over, min(width, depth)
            skin[n_skins, 2] = p[at + D.emissivity]
            skin[n_skins, 3] = radiation.view_facing(width, depth, 2.0 * side, 2.0 * front, base) * (
                1.0 - shared / (width * depth)
            )
            n_skins += 1
        base += thick
        carry_width, carry_depth, carry_thickness = width, depth, thick

    # What carries the cold side: the spreader, or the sink's own base.
    sink_h = sink_mean_coefficient(p, q)
    if spreader >= 0:
        at = PLATES_AT + SPREADER * len(D)
        cold_width, cold_depth, cold_thick = p[at + D.width], p[at + D.depth], p[at + D.thickness]
        cold_k = p[at + D.conductivity]
    else:
        cold_width, cold_depth, cold_thick = p[P.sink_width], p[P.sink_length], p[P.sink_base]
        cold_k = p[P.sink_conductivity]
    modules = 0
    for k in range(kinds):
        modules += q[COUNTS_AT + k]

    # Modules: a joint, and spreading, on either face.
    seebeck, resistance_, conductance = np.empty(kinds), np.empty(kinds), np.empty(kinds)
    number, limit = np.empty(kinds), np.empty(kinds)
    thick = 0.0
    hot_h = _joint(p, q, JOINT_HOT, p[P.clamp_pressure])
    cold_h = _joint(p, q, JOINT_COLD, p[P.clamp_pressure])
    for k in range(kinds):
        at = KINDS_AT + k * len(M)
        face = p[at + M.width] * p[at + M.depth]
        n = float(q[COUNTS_AT + k])
        share = n * face / module_area
        seebeck[k], resistance_[k] = p[at + M.seebeck], p[at + M.resistance]
        conductance[k], number[k], limit[k] = p[at + M.conductance], n, p[at + M.limit]
        thick = max(thick, p[at + M.thickness])
        capacity[hot[k]] = capacity[hot[k] + 1] = 0.5 * n * p[at + M.capacity]
        part_hot = np.sqrt(carry_width * carry_depth / modules)
        part_cold = np.sqrt(cold_width * cold_depth / modules)
        side_hot = min(np.sqrt(face), part_hot)
        side_cold = min(np.sqrt(face), part_cold)
        spread_hot = spreading.rectangle_resistance(
            low_k, carry_thickness, low_k / carry_thickness, side_hot, side_hot, part_hot, part_hot, 30
        )
        spread_cold = spreading.rectangle_resistance(
            cold_k, cold_thick, sink_h, side_cold, side_cold, part_cold, part_cold, 30
        )
        links[n_links, 0], links[n_links, 1] = low, hot[k]
        link_g[n_links] = 1.0 / (low_half / share + (1.0 / (hot_h * face) + spread_hot) / n)
        n_links += 1
        cold_half = 0.5 * cold_thick / (cold_k * cold_width * cold_depth)
        links[n_links, 0], links[n_links, 1] = hot[k] + 1, high
        link_g[n_links] = 1.0 / (cold_half / share + (1.0 / (cold_h * face) + spread_cold) / n)
        n_links += 1
    base += thick
    gap_area = max(min(carry_width * carry_depth, cold_width * cold_depth) - module_area, 0.0)

    # Clamp screws from the plate below the modules to the plate above them.
    if q[Q.screws] > 0:
        one = p[P.screw_length] / (p[P.screw_conductivity] * p[P.screw_area])
        one += 1.0 / (p[P.head_contact] * p[P.head_area])
        if p[P.bush_thickness] > 0.0:
            one += p[P.bush_thickness] / (p[P.bush_conductivity] * p[P.bush_area])
        links[n_links, 0], links[n_links, 1] = low, high
        link_g[n_links] = q[Q.screws] / one
        n_links += 1

    if spreader >= 0:
        at = PLATES_AT + SPREADER * len(D)
        shared = min(cold_width * cold_depth, p[P.sink_width] * p[P.sink_length])
        resistance = 0.5 * cold_thick / (cold_k * cold_width * cold_depth)
        resistance += 1.0 / (_joint(p, q, JOINT_SINK, force / shared) * shared)
        if p[P.sink_base] > 0.0:
            whole = p[P.sink_width] * p[P.sink_length]
            resistance += 0.5 * p[P.sink_base] / (p[P.sink_conductivity] * whole)
            if whole > 1.02 * shared:
                resistance += spreading.rectangle_resistance(
                    p[P.sink_conductivity], p[P.sink_base], sink_h, np.sqrt(shared), np.sqrt(shared),
                    np.sqrt(whole), np.sqrt(whole), 30,
                )
        links[n_links, 0], links[n_links, 1] = spreader, sink
        link_g[n_links] = 1.0 / resistance
        n_links += 1
        capacity[spreader] = p[at + D.capacity] * cold_width * cold_depth * cold_thick
        skins[n_skins, 0], skins[n_skins, 1] = spreader, VERTICAL
        skin[n_skins, 0], skin[n_skins, 1] = 2.0 * (cold_width + cold_depth) * cold_thick, cold_thick
        skin[n_skins, 2] = p[at + D.emissivity]
        skin[n_skins, 3] = radiation.view_vertical_element(base + 0.5 * cold_thick, front, side)
        n_skins += 1
        base += cold_thick

    # The sink radiates from its envelope, and its underside looks at the plate past the riser.
    capacity[sink] = p[P.sink_capacity]
    skins[n_skins, 0], skins[n_skins, 1] = sink, RADIATING
    skin[n_skins, 0], skin[n_skins, 2] = p[P.sink_envelope], p[P.sink_emissivity]
    skin[n_skins, 3] = radiation.view_vertical_element(base + 0.5 * p[P.sink_height], front, side)
    n_skins += 1
    hidden = p[P.sink_hidden_width] * p[P.sink_hidden_depth]
    bare = p[P.sink_underside] - hidden
    if bare > 1e-6:
        skins[n_skins, 0], skins[n_skins, 1] = sink, UNDERSIDE
        skin[n_skins, 0], skin[n_skins, 1] = bare, min(p[P.sink_width], p[P.sink_length])
        skin[n_skins, 2] = p[P.sink_emissivity]
        skin[n_skins, 3] = radiation.view_facing(
            p[P.sink_width], p[P.sink_length], 2.0 * side, 2.0 * front, base
        ) * (1.0 - hidden / p[P.sink_underside])
        n_skins += 1

    # Motor on its strut, wax element in its holder.
    capacity[motor], capacity[element] = p[P.motor_capacity], p[P.wax_capacity]
    links[n_links, 0], links[n_links, 1] = motor, sink
    link_g[n_links] = p[P.motor_mount]
    n_links += 1
    skins[n_skins, 0], skins[n_skins, 1] = motor, LYING
    skin[n_skins, 0] = np.pi * p[P.motor_diameter] * (p[P.motor_length] + 0.5 * p[P.motor_diameter])
    skin[n_skins, 1], skin[n_skins, 2] = p[P.motor_diameter], p[P.motor_emissivity]
    skin[n_skins, 3] = radiation.view_vertical_element(p[P.motor_height], front, side)
    n_skins += 1
    holder = 1.0 / (1.0 / p[P.holder] + p[P.wax_lag] / p[P.wax_capacity])
    plate_link = 0.0
    held_in = q[Q.held_in]
    if held_in == IN_PLATE:
        plate_link = holder
    elif held_in == IN_RISER:
        # Shared between the two cells about its height, so that finer cells move nothing.
        below, along = foot, 0.0
        lower, upper, weight = foot, foot, 0.0
        before = -1.0
        for part in range(parts):
            count = q[CELLS_AT + part]
            step = p[RISERS_AT + part * len(R) + R.length] / count
            for c in range(count):
                middle = along + (c + 0.5) * step
                if middle <= p[P.element_height]:
                    lower, upper, weight, before = below, below, 0.0, middle
                elif before >= 0.0 and lower == upper and lower == below - 1:
                    upper, weight = below, (p[P.element_height] - before) / (middle - before)
                below += 1
            along += step * count
        links[n_links, 0], links[n_links, 1] = lower, element
        link_g[n_links] = holder * (1.0 - weight)
        links[n_links + 1, 0], links[n_links + 1, 1] = upper, element
        link_g[n_links + 1] = holder * weight
        n_links += 2
    else:
        at_holder = sink
        if held_in == IN_HOT_PLATE:
            at_holder = low
        elif held_in == IN_SPREADER:
            at_holder = high
        elif held_in == IN_SINK:
            at_holder = sink
        links[n_links, 0], links[n_links, 1] = at_holder, element
        link_g[n_links] = holder
        n_links += 1

    # The plate under the foot and its ladder of rings.
    radius = np.sqrt(area / np.pi)
    usual = np.sqrt((p[P.flame_coefficient] + 30.0) / (p[P.plate_conductivity] * p[P.plate_thickness]))
    radii = plate.ring_radii(radius, usual, RINGS)
    ring_g, ring_area = np.empty(RINGS + 1), np.empty(RINGS + 1)
    ring_area[0] = area
    inner = radius
    for i in range(RINGS + 1):
        if i < RINGS:
            ring_area[i + 1] = np.pi * (radii[i + 1] ** 2 - radii[i] ** 2)
        ring_g[i] = plate.ladder_link(i, radii, p[P.plate_conductivity], p[P.plate_thickness])
    for i in range(RINGS + 1):
        capacity[i] = p[P.plate_capacity] * p[P.plate_thickness] * ring_area[i]

    weight_pressure = p[P.fan_weight] / area
    foot_k = p[P.seat_hardness]
    return Net(
        size, foot, top, low, high, sink, motor, element, hot, capacity,
        links[:n_links].copy(), link_g[:n_links].copy(), link_slope[:n_links].copy(),
        skins[:n_skins].copy(), skin[:n_skins].copy(),
        ring_g, ring_area, _plate_table(p, radius, radii),
        area, foot_half + p[P.coating] / (p[P.coating_conductivity] * area),
        contact.solid_spot_conductance(
            contact.harmonic_conductivity(p[RISERS_AT + R.conductivity], p[P.plate_conductivity]),
            p[P.seat_roughness], p[P.seat_slope], weight_pressure, foot_k,
        ),
        contact.plane_separation(p[P.seat_roughness], weight_pressure, foot_k),
        gap_area, thick, plate_link, seebeck, resistance_, conductance, number, limit,
        _strings(q, kinds),
    )


@jitable
def _strings(q: Ints, kinds: int) -> Floats:
    strings = np.zeros((q[Q.strings], kinds))
    for r in range(q[Q.strings]):
        for k in range(kinds):
            strings[r, k] = float(q[STRINGS_AT + r * 4 + k])
    return strings
