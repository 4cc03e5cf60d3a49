"""Rates of change of every temperature, and their slopes, for a fixed mode of guard and spin.

`rates` sums the heat paths of `elements`; `slopes` differentiates the same paths, each only by the temperatures it
depends on, so that a matrix of slopes costs about three evaluations of the rates and not one for each node.
"""

from __future__ import annotations

from ..compiled import lean_jitable, lean_kernel
from ..physics import drive
from .elements import (
    air_at_fan,
    bank,
    gap_heat,
    kind_heat,
    motor_at,
    motor_skin_loss,
    opening,
    plate_row,
    seat_heat,
    skin_loss,
    stream_of,
    tip_temperature,
)
from .fields import P
from .net import LYING, RINGS, Floats, Ints, Net, Places, Seat, Wired
from .sinks import sink_conductance
from .vectors import fill

NUDGE = 1e-3  # K; step of the one-sided differences, far above rounding and far below any curvature


@lean_jitable
def seat_block(
    at: Places, seat: Seat, p: Floats, q: Ints, y: Floats, plate: float, memory: float, mode: int, reach: int, watts: Floats
) -> None:
    """Add the seat and the pin: plate patch to foot, and while the pin touches what it pushes, that to element."""
    lift, touching, stands = opening(at, p, q, y, memory, mode, reach)
    local = plate + y[0]
    heat = seat_heat(seat, p, local, y[at.foot], lift, touching)
    watts[0] -= heat
    watts[at.foot] += heat
    if stands:
        through_pin = p[P.pin_conductance] * (tip_temperature(at, y, plate) - y[at.element])
        watts[at.pushed] -= through_pin
        watts[at.element] += through_pin


@lean_jitable
def electric_block(at: Places, wired: Wired, p: Floats, y: Floats, ambient: float, spin: int, watts: Floats) -> float:
    """Add what hangs on the current: module faces and the motor's own heat. Returns the air speed through the blade."""
    emf, ohms = bank(wired, y)
    speed, current, _ = motor_at(p, emf, ohms, y[at.motor], ambient, spin)
    terminal = emf - current * ohms
    for k in range(wired.hot.size):
        into, out = kind_heat(wired, y, k, terminal)
        watts[wired.hot[k]] -= into
        watts[wired.hot[k] + 1] += out
    winding = p[P.motor_resistance] * drive.copper_factor(y[at.motor])
    rubbing = 0.0
    if speed > 0.0:
        rubbing = (p[P.motor_friction] + p[P.motor_drag] * speed) * speed
    watts[at.motor] += current * current * winding + rubbing + p[P.motor_brush] * abs(current)
    return stream_of(p, speed, ambient) if speed > 0.0 else 0.0


@lean_jitable
def sink_to_air(p: Floats, q: Ints, temperature: float, ambient: float, stream: float) -> float:
    """Heat from the sink to the air, W."""
    return sink_conductance(p, q, temperature, ambient, stream) * (temperature - ambient)


@lean_jitable
def motor_to_air(
    skins: Ints, skin: Floats, p: Floats, temperature: float, plate: float, ambient: float, stream: float
) -> float:
    """Heat from the motor's body, W."""
    heat = 0.0
    for s in range(skins.shape[0]):
        if skins[s, 1] == LYING:
            heat += motor_skin_loss(skin, p, s, temperature, plate, ambient, stream)
    return heat


@lean_kernel
def rates(
    net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, memory: float, mode: int, reach: int, out: Floats
) -> None:
    """Write the rate of every state into `out`. [K/s]

    Args:
        net: arrays of the build. [SI]
        p: inputs. [SI]
        q: choices. [-]
        y: states, the plate's patch and rings as deviations, (size,). [K]
        plate: undisturbed plate. [K]
        spin: 1 when the blade turns. [-]
        memory: the wax's memory w, used while `mode` is held. [K]
        mode: held, rising or falling. [-]
        reach: where the pin stands, from `reach_now`, or AS_IT_COMES. [-]
        out: result, (size,). [K/s]
    """
    at, seat, wired, links, link_g, link_slope = net.at, net.seat, net.wired, net.links, net.link_g, net.link_slope
    skins, skin, ring_g, ring_area, table = net.skins, net.skin, net.ring_g, net.ring_area, net.table
    fill(out, 0.0)
    ambient = air_at_fan(p, plate, spin)
    secant, slope, scale = plate_row(table, plate, 0), plate_row(table, plate, 1), plate_row(table, plate, 2)
    flame = p[P.flame_coefficient]
    out[0] += ring_area[0] * (secant * (plate - p[P.room]) - flame * y[0])
    for i in range(RINGS + 1):
        beyond = y[i + 1] if i < RINGS else 0.0
        sideways = scale * ring_g[i] * (y[i] - beyond)
        out[i] -= sideways
        if i < RINGS:
            out[i + 1] += sideways - scale * ring_area[i + 1] * (flame + slope) * y[i + 1]
    seat_block(at, seat, p, q, y, plate, memory, mode, reach, out)
    for i in range(links.shape[0]):
        a, b = links[i, 0], links[i, 1]
        bent = 1.0 + link_slope[i] * (0.5 * (y[a] + y[b]) - 300.0)
        heat = link_g[i] * bent * (y[a] - y[b])
        out[a] -= heat
        out[b] += heat
    for s in range(skins.shape[0]):
        if skins[s, 1] != LYING:
            node = skins[s, 0]
            out[node] -= skin_loss(skins, skin, p, s, y[node], plate, ambient)
    heat = gap_heat(net.gap_area, net.gap_thickness, p, q, y[at.low], y[at.high])
    out[at.low] -= heat
    out[at.high] += heat
    stream = electric_block(at, wired, p, y, ambient, spin, out)
    out[at.sink] -= sink_to_air(p, q, y[at.sink], ambient, stream)
    out[at.motor] -= motor_to_air(skins, skin, p, y[at.motor], plate, ambient, stream)
    out[at.element] += net.plate_link * (plate - y[at.element]) - p[P.element_loss] * (y[at.element] - ambient)
    for i in range(at.size):
        out[i] /= net.capacity[i]


@lean_kernel
def _difference(base: Floats, moved: Floats, column: int, slope: Floats) -> None:
    for i in range(base.size):
        slope[i, column] += (moved[i] - base[i]) * (1.0 / NUDGE)


@lean_kernel
def slopes(
    net: Net,
    p: Floats,
    q: Ints,
    y: Floats,
    plate: float,
    spin: int,
    memory: float,
    mode: int,
    reach: int,
    slope: Floats,
    by_plate: Floats,
    work: Floats,
) -> None:
    """Write d(rate i)/d(state j) into `slope` and d(rate i)/d(plate) into `by_plate`. [1/s]

    Args:
        net: arrays of the build. [SI]
        p: inputs. [SI]
        q: choices. [-]
        y: states; nudged and put back. [K]
        plate: undisturbed plate. [K]
        spin: 1 when the blade turns. [-]
        memory: the wax's memory w. [K]
        mode: held, rising or falling. [-]
        reach: where the pin stands, from `reach_now`, or AS_IT_COMES. [-]
        slope: result, (size, size). [1/s]
        by_plate: result, (size). [1/s]
        work: scratch, (2, size). [W]
    """
    at, seat, wired, capacity, table = net.at, net.seat, net.wired, net.capacity, net.table
    links, link_g, link_slope, skins, skin = net.links, net.link_g, net.link_slope, net.skins, net.skin
    ring_g, ring_area = net.ring_g, net.ring_area
    fill(by_plate, 0.0)
    for i in range(at.size):
        fill(slope[i], 0.0)
    hotter = plate + NUDGE
    ambient, warmer = air_at_fan(p, plate, spin), air_at_fan(p, hotter, spin)
    top_slope, scale, flame = plate_row(table, plate, 1), plate_row(table, plate, 2), p[P.flame_coefficient]
    drain = scale * (flame + top_slope)  # off a ring, per area
    drain_slope = (plate_row(table, hotter, 2) * (flame + plate_row(table, hotter, 1)) - drain) / NUDGE
    secant, scale_slope = plate_row(table, plate, 0), (plate_row(table, hotter, 2) - scale) / NUDGE
    lost = plate_row(table, hotter, 0) * (hotter - p[P.room]) - secant * (plate - p[P.room])
    by_plate[0] += ring_area[0] * lost / NUDGE
    slope[0, 0] -= ring_area[0] * flame
    for i in range(RINGS + 1):
        g = scale * ring_g[i]
        beyond = y[i + 1] if i < RINGS else 0.0
        by_plate[i] -= scale_slope * ring_g[i] * (y[i] - beyond)
        slope[i, i] -= g
        if i < RINGS:
            by_plate[i + 1] += scale_slope * ring_g[i] * (y[i] - beyond) - drain_slope * ring_area[i + 1] * beyond
            slope[i, i + 1] += g
            slope[i + 1, i] += g
            slope[i + 1, i + 1] -= g + ring_area[i + 1] * drain
    for i in range(links.shape[0]):
        a, b = links[i, 0], links[i, 1]
        bend = 0.5 * link_g[i] * link_slope[i] * (y[a] - y[b])
        g = link_g[i] * (1.0 + link_slope[i] * (0.5 * (y[a] + y[b]) - 300.0))
        slope[a, a] -= g + bend
        slope[a, b] += g - bend
        slope[b, a] += g + bend
        slope[b, b] -= g - bend
    for s in range(skins.shape[0]):
        if skins[s, 1] != LYING:
            node = skins[s, 0]
            here = skin_loss(skins, skin, p, s, y[node], plate, ambient)
            slope[node, node] -= (skin_loss(skins, skin, p, s, y[node] + NUDGE, plate, ambient) - here) / NUDGE
            by_plate[node] -= (skin_loss(skins, skin, p, s, y[node], hotter, warmer) - here) / NUDGE
    low, high = at.low, at.high
    here = gap_heat(net.gap_area, net.gap_thickness, p, q, y[low], y[high])
    by_low = (gap_heat(net.gap_area, net.gap_thickness, p, q, y[low] + NUDGE, y[high]) - here) / NUDGE
    by_high = (gap_heat(net.gap_area, net.gap_thickness, p, q, y[low], y[high] + NUDGE) - here) / NUDGE
    slope[low, low] -= by_low
    slope[low, high] -= by_high
    slope[high, low] += by_low
    slope[high, high] += by_high

    base, moved = work[0], work[1]
    fill(base, 0.0)
    seat_block(at, seat, p, q, y, plate, memory, mode, reach, base)
    # Patch and foot always; while the pin touches, the element, what it pushes, and the riser's top through the pin's growth.
    stands = opening(at, p, q, y, memory, mode, reach)[2]
    apart = stands and at.pushed != 0 and at.pushed != at.top and at.pushed != at.foot
    for turn in range(5 if apart else 4 if stands else 2):
        node = 0 if turn == 0 else at.foot if turn == 1 else at.top if turn == 2 else at.element if turn == 3 else at.pushed
        fill(moved, 0.0)
        kept = y[node]
        y[node] = kept + NUDGE
        seat_block(at, seat, p, q, y, plate, memory, mode, reach, moved)
        y[node] = kept
        _difference(base, moved, node, slope)
        if turn == 0:  # the patch is a deviation from the plate: both warm what is under the foot alike
            for i in range(at.size):
                by_plate[i] += (moved[i] - base[i]) / NUDGE
    # Sink and motor feel the current only through the blade's stream: their slopes by it, once, and then the stream's.
    sink, motor = at.sink, at.motor
    fill(base, 0.0)
    stream = electric_block(at, wired, p, y, ambient, spin, base)
    sink_heat = sink_to_air(p, q, y[sink], ambient, stream)
    motor_heat = motor_to_air(skins, skin, p, y[motor], plate, ambient, stream)
    slope[sink, sink] -= (sink_to_air(p, q, y[sink] + NUDGE, ambient, stream) - sink_heat) / NUDGE
    beside = motor_to_air(skins, skin, p, y[motor] + NUDGE, plate, ambient, stream)
    slope[motor, motor] -= (beside - motor_heat) / NUDGE
    by_plate[sink] -= (sink_to_air(p, q, y[sink], warmer, stream) - sink_heat) / NUDGE
    by_plate[motor] -= (motor_to_air(skins, skin, p, y[motor], hotter, warmer, stream) - motor_heat) / NUDGE
    sink_by_stream, motor_by_stream = 0.0, 0.0
    if stream > 0.0:
        faster = stream * (1.0 + NUDGE)
        sink_by_stream = (sink_to_air(p, q, y[sink], ambient, faster) - sink_heat) / (faster - stream)
        beside = motor_to_air(skins, skin, p, y[motor], plate, ambient, faster)
        motor_by_stream = (beside - motor_heat) / (faster - stream)
    for turn in range(2 * wired.hot.size + 1):
        node = motor if turn == 0 else wired.hot[(turn - 1) // 2] + (turn - 1) % 2
        fill(moved, 0.0)
        kept = y[node]
        y[node] = kept + NUDGE
        by_node = (electric_block(at, wired, p, y, ambient, spin, moved) - stream) / NUDGE
        y[node] = kept
        _difference(base, moved, node, slope)
        slope[sink, node] -= sink_by_stream * by_node
        slope[motor, node] -= motor_by_stream * by_node
    # The air's density and so the blade's stream, as the plate's plume warms it.
    fill(moved, 0.0)
    by_air = (electric_block(at, wired, p, y, warmer, spin, moved) - stream) / NUDGE
    for i in range(at.size):
        by_plate[i] += (moved[i] - base[i]) / NUDGE
    by_plate[sink] -= sink_by_stream * by_air
    by_plate[motor] -= motor_by_stream * by_air
    by_plate[at.element] += net.plate_link + p[P.element_loss] * (warmer - ambient) / NUDGE
    slope[at.element, at.element] -= net.plate_link + p[P.element_loss]
    for i in range(at.size):
        share = 1.0 / capacity[i]
        by_plate[i] *= share
        for j in range(at.size):
            slope[i, j] *= share
