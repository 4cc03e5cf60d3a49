"""From a build's two vectors to the kernel's arrays: the whole stack put together. Compiled."""

from __future__ import annotations

import numpy as np

from ..compiled import jitable, kernel
from ..physics import contact, radiation, spreading
from .assemble_chain import put_hot_plate, put_rings, put_riser
from .fields import (
    BLOCK,
    CELLS_AT,
    COUNTS_AT,
    HOT_PLATE,
    IN_HOT_PLATE,
    IN_PLATE,
    IN_RISER,
    IN_SPREADER,
    JOINT_COLD,
    JOINT_HOT,
    JOINT_SINK,
    KINDS_AT,
    MEASURED,
    MOST_KINDS,
    PER_KIND,
    PER_PLATE,
    PER_RISER,
    PLATES_AT,
    RISERS_AT,
    SHAPES_AT,
    SPREADER,
    STRINGS_AT,
    D,
    M,
    P,
    Q,
    R,
)
from .net import (
    LYING,
    MOST_LINKS,
    MOST_SKINS,
    RADIATING,
    RINGS,
    SERIES_TERMS,
    UNDERSIDE,
    VERTICAL,
    WARMED,
    Draft,
    Floats,
    Ints,
    Net,
    Places,
    Seat,
    Wired,
    add_link,
    add_skin,
    joint_conductance,
    section_area,
)
from .sinks import sink_mean_coefficient


@jitable
def _below(p: Floats, q: Ints) -> tuple[float, float, float, float]:
    """Width, depth, thickness and conductivity of what carries the modules."""
    if q[Q.has_hot_plate] == 1:
        at = PLATES_AT + HOT_PLATE * PER_PLATE
        return p[at + D.width], p[at + D.depth], p[at + D.thickness], p[at + D.conductivity]
    part = q[Q.risers] - 1
    at = RISERS_AT + part * PER_RISER
    thick = p[at + R.length] / q[CELLS_AT + part]
    if q[SHAPES_AT + part] == BLOCK:
        return p[at + R.width], p[at + R.depth], thick, p[at + R.conductivity]
    side = np.sqrt(section_area(p, q, part))
    return side, side, thick, p[at + R.conductivity]


@jitable
def _above(p: Floats, q: Ints) -> tuple[float, float, float, float]:
    """Width, depth, thickness and conductivity of what lies on the modules; a measured sink has no thickness."""
    if q[Q.has_spreader] == 1:
        at = PLATES_AT + SPREADER * PER_PLATE
        return p[at + D.width], p[at + D.depth], p[at + D.thickness], p[at + D.conductivity]
    return p[P.sink_width], p[P.sink_length], p[P.sink_base], p[P.sink_conductivity]


@jitable
def _put_modules(draft: Draft, p: Floats, q: Ints, hot: Ints, low: int, high: int, area: float) -> None:
    """Tie each kind of module to the plates below and above: half of the plate, joint, spreading."""
    width, depth, thick, k_low = _below(p, q)
    wide, deep, thin, k_high = _above(p, q)
    modules = 0
    for k in range(hot.size):
        modules += q[COUNTS_AT + k]
    hot_h = joint_conductance(p, q, JOINT_HOT, p[P.clamp_pressure])
    cold_h = joint_conductance(p, q, JOINT_COLD, p[P.clamp_pressure])
    half_low = 0.5 * thick / (k_low * width * depth)
    own_low, own_high = np.sqrt(width * depth / modules), np.sqrt(wide * deep / modules)
    for k in range(hot.size):
        at = KINDS_AT + k * PER_KIND
        face = p[at + M.width] * p[at + M.depth]
        n = float(q[COUNTS_AT + k])
        share = n * face / area
        side = min(np.sqrt(face), own_low)
        spread = spreading.rectangle_resistance(k_low, thick, k_low / thick, side, side, own_low, own_low, SERIES_TERMS)
        add_link(draft, low, hot[k], 1.0 / (half_low / share + (1.0 / (hot_h * face) + spread) / n), 0.0)
        resistance = 1.0 / (cold_h * face) / n
        if thin > 0.0:
            side = min(np.sqrt(face), own_high)
            spread = spreading.rectangle_resistance(
                k_high, thin, sink_mean_coefficient(p, q), side, side, own_high, own_high, SERIES_TERMS
            )
            resistance += spread / n + 0.5 * thin / (k_high * wide * deep) / share
        add_link(draft, hot[k] + 1, high, 1.0 / resistance, 0.0)
        draft.capacity[hot[k]] = draft.capacity[hot[k] + 1] = 0.5 * n * p[at + M.capacity]


@jitable
def _put_screws(draft: Draft, p: Floats, q: Ints, low: int, high: int) -> None:
    """Clamp screws from the plate below the modules to the plate above them."""
    one = p[P.screw_length] / (p[P.screw_conductivity] * p[P.screw_area])
    one += 1.0 / (p[P.head_contact] * p[P.head_area])
    if p[P.bush_thickness] > 0.0:
        one += p[P.bush_thickness] / (p[P.bush_conductivity] * p[P.bush_area])
    add_link(draft, low, high, q[Q.screws] / one, 0.0)


@jitable
def _put_spreader(draft: Draft, p: Floats, q: Ints, spreader: int, sink: int, base: float, force: float) -> None:
    """The spreader between modules and sink, and its joint to the sink."""
    at = PLATES_AT + SPREADER * PER_PLATE
    width, depth, thick = p[at + D.width], p[at + D.depth], p[at + D.thickness]
    whole = p[P.sink_width] * p[P.sink_length]
    shared = min(width * depth, whole)
    resistance = 0.5 * thick / (p[at + D.conductivity] * width * depth)
    resistance += 1.0 / (joint_conductance(p, q, JOINT_SINK, force / shared) * shared)
    if p[P.sink_base] > 0.0:
        resistance += 0.5 * p[P.sink_base] / (p[P.sink_conductivity] * whole)
        if whole > 1.02 * shared:
            side, over = np.sqrt(shared), np.sqrt(whole)
            resistance += spreading.rectangle_resistance(
                p[P.sink_conductivity],
                p[P.sink_base],
                sink_mean_coefficient(p, q),
                side,
                side,
                over,
                over,
                SERIES_TERMS,
            )
    add_link(draft, spreader, sink, 1.0 / resistance, 0.0)
    draft.capacity[spreader] = p[at + D.capacity] * width * depth * thick
    view = radiation.view_vertical_element(base + 0.5 * thick, p[P.plate_front], p[P.plate_side])
    add_skin(draft, spreader, VERTICAL, 2.0 * (width + depth) * thick, thick, p[at + D.emissivity], view, 0.0)


@jitable
def _put_sink(draft: Draft, p: Floats, q: Ints, sink: int, base: float) -> None:
    """The sink radiates from its envelope, and its underside looks at the plate past the riser."""
    front, side = p[P.plate_front], p[P.plate_side]
    draft.capacity[sink] = p[P.sink_capacity]
    view = radiation.view_vertical_element(base + 0.5 * p[P.sink_height], front, side)
    # A measured sink's K/W holds its own glow and convection; only what a hot stove adds comes on top.
    measured = q[Q.sink_shape] == MEASURED
    kind = WARMED if measured else RADIATING
    add_skin(draft, sink, kind, p[P.sink_envelope], 0.0, p[P.sink_emissivity], view, 0.0)
    if not measured:
        add_skin(draft, sink, RADIATING, p[P.sink_top], 0.0, p[P.sink_emissivity], 0.0, 0.0)
    hidden = p[P.sink_hidden_width] * p[P.sink_hidden_depth]
    bare = p[P.sink_underside] - hidden
    if bare > 1e-6:
        width, depth = p[P.sink_width], p[P.sink_length]
        view = radiation.view_facing(width, depth, 2.0 * side, 2.0 * front, base)
        view *= max(1.0 - hidden / p[P.sink_underside], 0.0)
        size = width * depth / (2.0 * (width + depth))
        add_skin(draft, sink, WARMED if measured else UNDERSIDE, bare, size, p[P.sink_emissivity], view, 0.0)


@jitable
def _put_motor(draft: Draft, p: Floats, motor: int, sink: int) -> None:
    draft.capacity[motor] = p[P.motor_capacity]
    add_link(draft, motor, sink, p[P.motor_mount], 0.0)
    view = radiation.view_vertical_element(p[P.motor_height], p[P.plate_front], p[P.plate_side])
    area = np.pi * p[P.motor_diameter] * (p[P.motor_length] + 0.5 * p[P.motor_diameter])
    add_skin(draft, motor, LYING, area, p[P.motor_diameter], p[P.motor_emissivity], view, 0.0)


@jitable
def _put_element(draft: Draft, p: Floats, q: Ints, foot: int, low: int, high: int, sink: int, element: int) -> float:
    """The wax element in its holder; returns its tie to the undisturbed plate when it stands there, W/K."""
    draft.capacity[element] = p[P.wax_capacity]
    # The wax's own lag stands in series with the holder, so that the element's one cell answers as slowly as both.
    holder = 1.0 / (1.0 / p[P.holder] + p[P.wax_lag] / p[P.wax_capacity])
    held_in = q[Q.held_in]
    if held_in == IN_PLATE:
        return holder
    if held_in != IN_RISER:
        at = low if held_in == IN_HOT_PLATE else high if held_in == IN_SPREADER else sink
        add_link(draft, at, element, holder, 0.0)
        return 0.0
    # Shared between the two cells about its height, so that finer cells move nothing.
    node, along, before = foot, 0.0, -1.0
    lower, upper, weight = foot, foot, 0.0
    for part in range(q[Q.risers]):
        step = p[RISERS_AT + part * PER_RISER + R.length] / q[CELLS_AT + part]
        for c in range(q[CELLS_AT + part]):
            middle = along + (c + 0.5) * step
            if middle <= p[P.element_height]:
                lower, upper, weight, before = node, node, 0.0, middle
            elif before >= 0.0 and lower == upper and lower == node - 1:
                upper, weight = node, (p[P.element_height] - before) / (middle - before)
            node += 1
        along += step * q[CELLS_AT + part]
    add_link(draft, lower, element, holder * (1.0 - weight), 0.0)
    add_link(draft, upper, element, holder * weight, 0.0)
    return 0.0


@jitable
def _pushed(p: Floats, q: Ints, low: int, high: int, sink: int) -> int:
    """Node that the push pin touches: the patch, or of a pin beside the riser the lowest part that reaches over it."""
    if q[Q.held_in] != IN_PLATE:
        return 0
    under = p[RISERS_AT + (q[Q.risers] - 1) * PER_RISER + R.width]
    if q[Q.has_hot_plate] == 1:
        under = p[PLATES_AT + HOT_PLATE * PER_PLATE + D.width]
    if 0.5 * under > p[P.pin_beside]:
        return low
    return high if 0.5 * _above(p, q)[0] > p[P.pin_beside] else sink


@jitable
def _strings(q: Ints, kinds: int) -> Floats:
    strings = np.zeros((q[Q.strings], kinds))
    for r in range(q[Q.strings]):
        for k in range(kinds):
            strings[r, k] = float(q[STRINGS_AT + r * MOST_KINDS + k])
    return strings


@jitable
def assemble(p: Floats, q: Ints) -> Net:
    """Return the kernel's arrays for inputs `p` and choices `q`.

    Args:
        p: every physical input in the layout of `fields`, (P_LENGTH,). [SI]
        q: every choice and count, (Q_LENGTH,). [-]

    Returns:
        The arrays of one build. [SI]
    """
    kinds, foot = q[Q.kinds], RINGS + 1
    top = foot - 1
    for part in range(q[Q.risers]):
        top += q[CELLS_AT + part]
    low = top + q[Q.has_hot_plate]
    hot = np.empty(kinds, np.int64)
    for k in range(kinds):
        hot[k] = low + 1 + 2 * k
    sink = low + 1 + 2 * kinds + q[Q.has_spreader]
    high = sink - 1 if q[Q.has_spreader] == 1 else sink
    motor, element, size = sink + 1, sink + 2, sink + 3
    draft = Draft(
        np.zeros(size), np.zeros((MOST_LINKS, 2), np.int64), np.zeros(MOST_LINKS), np.zeros(MOST_LINKS),
        np.zeros((MOST_SKINS, 2), np.int64), np.zeros((MOST_SKINS, 5)), np.zeros(2, np.int64),
    )  # fmt: skip
    module_area, thick = 0.0, 0.0
    seebeck, resistance, conductance = np.empty(kinds), np.empty(kinds), np.empty(kinds)
    number, limit = np.empty(kinds), np.empty(kinds)
    for k in range(kinds):
        at = KINDS_AT + k * PER_KIND
        seebeck[k], resistance[k], conductance[k] = p[at + M.seebeck], p[at + M.resistance], p[at + M.conductance]
        number[k], limit[k] = float(q[COUNTS_AT + k]), p[at + M.limit]
        module_area += number[k] * p[at + M.width] * p[at + M.depth]
        thick = max(thick, p[at + M.thickness])
    force = p[P.clamp_pressure] * module_area
    area = section_area(p, q, 0)
    ring_g, ring_area = np.empty(RINGS + 1), np.empty(RINGS + 1)
    table = put_rings(draft, p, area, ring_g, ring_area)
    foot_half, top_half, base = put_riser(draft, p, q, foot, force)
    if low != top:
        put_hot_plate(draft, p, q, top, top_half, base, force)
        base += p[PLATES_AT + HOT_PLATE * PER_PLATE + D.thickness]
    _put_modules(draft, p, q, hot, low, high, module_area)
    base += thick
    if q[Q.screws] > 0:
        _put_screws(draft, p, q, low, high)
    if high != sink:
        _put_spreader(draft, p, q, high, sink, base, force)
        base += p[PLATES_AT + SPREADER * PER_PLATE + D.thickness]
    _put_sink(draft, p, q, sink, base)
    _put_motor(draft, p, motor, sink)
    plate_link = _put_element(draft, p, q, foot, low, high, sink, element)
    width, depth, _, _ = _below(p, q)
    wide, deep, _, _ = _above(p, q)
    gap_area = max(min(width * depth, wide * deep) - module_area, 0.0)
    pressure = p[P.fan_weight] / area
    spots = contact.solid_spot_conductance(
        contact.harmonic_conductivity(p[RISERS_AT + R.conductivity], p[P.plate_conductivity]),
        p[P.seat_roughness], p[P.seat_slope], pressure, p[P.seat_hardness],
    )  # fmt: skip
    links, skins = draft.used[0], draft.used[1]
    seat = Seat(
        area,
        foot_half + p[P.coating] / (p[P.coating_conductivity] * area),
        spots,
        contact.plane_separation(p[P.seat_roughness], pressure, p[P.seat_hardness]),
    )
    return Net(
        Places(size, foot, top, low, high, sink, motor, element, _pushed(p, q, low, high, sink)),
        seat,
        Wired(hot, seebeck, resistance, conductance, _strings(q, kinds)),
        draft.capacity, draft.links[:links].copy(), draft.link_g[:links].copy(), draft.link_slope[:links].copy(),
        draft.skins[:skins].copy(), draft.skin[:skins].copy(), ring_g, ring_area, table,
        gap_area, thick, plate_link, number, limit,
    )  # fmt: skip


@kernel
def make_net(p: Floats, q: Ints) -> Net:
    """`assemble`, to be called from Python: compiled once, and not again inside every kernel that needs the arrays.

    Args:
        p: every physical input in the layout of `fields`, (P_LENGTH,). [SI]
        q: every choice and count, (Q_LENGTH,). [-]

    Returns:
        The arrays of one build. [SI]
    """
    return assemble(p, q)


def cold_state(net: Net, p: Floats) -> Floats:
    """Every state at room temperature; plate patch and rings are deviations, so zero. [K]"""
    y = np.full(net.at.size, p[P.room])
    y[: net.at.foot] = 0.0
    return y
