"""Rates of change of every temperature, and their slopes, for a fixed mode of guard and spin.

`rates` sums the heat paths of `elements`; `slopes` differentiates the same paths, each only by the temperatures it
depends on, so that a matrix of slopes costs about three evaluations of the rates and not one for each node.
"""

from __future__ import annotations

from ..compiled import kernel
from ..physics import drive
from .elements import (
    air_at_fan,
    bank,
    gap_heat,
    kind_heat,
    lift_of,
    motor_at,
    motor_skin_loss,
    pin_travel,
    plate_row,
    seat_heat,
    skin_loss,
    stream_of,
)
from .fields import P
from .net import LYING, RINGS, Floats, Ints, Net, Places, Seat, Wired
from .sinks import sink_conductance

NUDGE = 1e-3  # K; step of the one-sided differences, far above rounding and far below any curvature


@kernel
def seat_block(
    at: Places, seat: Seat, p: Floats, q: Ints, y: Floats, plate: float, memory: float, mode: int, watts: Floats
) -> None:
    """Add the seat and the pin: plate patch to foot, plate patch to element while the pin touches."""
    lift = lift_of(p, pin_travel(at, p, q, y, memory, mode))
    local = plate + y[0]
    heat = seat_heat(seat, p, local, y[at.foot], lift)
    watts[0] -= heat
    watts[at.foot] += heat
    if lift > 0.0:
        through_pin = p[P.pin_conductance] * (local - y[at.element])
        watts[0] -= through_pin
        watts[at.element] += through_pin


@kernel
def drive_block(
    at: Places,
    wired: Wired,
    skins: Ints,
    skin: Floats,
    p: Floats,
    q: Ints,
    y: Floats,
    plate: float,
    spin: int,
    watts: Floats,
) -> None:
    """Add everything that hangs on the current and the blade: modules, sink to air, motor."""
    ambient = air_at_fan(p, plate, spin)
    emf, ohms = bank(wired, y)
    speed, current, _ = motor_at(p, emf, ohms, y[at.motor], ambient, spin)
    stream = stream_of(p, speed, ambient) if speed > 0.0 else 0.0
    terminal = emf - current * ohms
    for k in range(wired.hot.size):
        into, out = kind_heat(wired, y, k, terminal)
        watts[wired.hot[k]] -= into
        watts[wired.hot[k] + 1] += out
    watts[at.sink] -= sink_conductance(p, q, y[at.sink], ambient, stream) * (y[at.sink] - ambient)
    winding = p[P.motor_resistance] * drive.copper_factor(y[at.motor])
    rubbing = 0.0
    if speed > 0.0:
        rubbing = (p[P.motor_friction] + p[P.motor_drag] * speed) * speed
    brushes = p[P.motor_brush] * abs(current)
    watts[at.motor] += current * current * winding + rubbing + brushes
    for s in range(skins.shape[0]):
        if skins[s, 1] == LYING:
            watts[at.motor] -= motor_skin_loss(skin, p, s, y[at.motor], plate, ambient, stream)


@kernel
def rates(net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, memory: float, mode: int, out: Floats) -> None:
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
        out: result, (size,). [K/s]
    """
    out[:] = 0.0
    ambient = air_at_fan(p, plate, spin)
    secant, slope, scale = plate_row(net.table, plate, 0), plate_row(net.table, plate, 1), plate_row(net.table, plate, 2)
    flame = p[P.flame_coefficient]
    out[0] += net.ring_area[0] * (secant * (plate - p[P.room]) - flame * y[0])
    for i in range(RINGS + 1):
        beyond = y[i + 1] if i < RINGS else 0.0
        sideways = scale * net.ring_g[i] * (y[i] - beyond)
        out[i] -= sideways
        if i < RINGS:
            out[i + 1] += sideways - scale * net.ring_area[i + 1] * (flame + slope) * y[i + 1]
    seat_block(net.at, net.seat, p, q, y, plate, memory, mode, out)
    for i in range(net.links.shape[0]):
        a, b = net.links[i, 0], net.links[i, 1]
        bent = 1.0 + net.link_slope[i] * (0.5 * (y[a] + y[b]) - 300.0)
        heat = net.link_g[i] * bent * (y[a] - y[b])
        out[a] -= heat
        out[b] += heat
    for s in range(net.skins.shape[0]):
        if net.skins[s, 1] != LYING:
            node = net.skins[s, 0]
            out[node] -= skin_loss(net.skins, net.skin, p, s, y[node], plate, ambient)
    heat = gap_heat(net.gap_area, net.gap_thickness, p, q, y[net.at.low], y[net.at.high])
    out[net.at.low] -= heat
    out[net.at.high] += heat
    drive_block(net.at, net.wired, net.skins, net.skin, p, q, y, plate, spin, out)
    out[net.at.element] += net.plate_link * (plate - y[net.at.element]) - p[P.element_loss] * (y[net.at.element] - ambient)
    for i in range(net.at.size):
        out[i] /= net.capacity[i]


@kernel
def _difference(base: Floats, moved: Floats, column: int, slope: Floats) -> None:
    for i in range(base.size):
        slope[i, column] += (moved[i] - base[i]) / NUDGE


@kernel
def slopes(
    net: Net,
    p: Floats,
    q: Ints,
    y: Floats,
    plate: float,
    spin: int,
    memory: float,
    mode: int,
    slope: Floats,
    work: Floats,
) -> None:
    """Write d(rate i)/d(state j) into `slope`. [1/s]

    Args:
        net: arrays of the build. [SI]
        p: inputs. [SI]
        q: choices. [-]
        y: states; nudged and put back. [K]
        plate: undisturbed plate. [K]
        spin: 1 when the blade turns. [-]
        memory: the wax's memory w. [K]
        mode: held, rising or falling. [-]
        slope: result, (size, size). [1/s]
        work: scratch, (2, size). [W]
    """
    slope[:, :] = 0.0
    ambient = air_at_fan(p, plate, spin)
    top_slope, scale, flame = plate_row(net.table, plate, 1), plate_row(net.table, plate, 2), p[P.flame_coefficient]
    slope[0, 0] -= net.ring_area[0] * flame
    for i in range(RINGS + 1):
        g = scale * net.ring_g[i]
        slope[i, i] -= g
        if i < RINGS:
            slope[i, i + 1] += g
            slope[i + 1, i] += g
            slope[i + 1, i + 1] -= g + scale * net.ring_area[i + 1] * (flame + top_slope)
    for i in range(net.links.shape[0]):
        a, b = net.links[i, 0], net.links[i, 1]
        bend = 0.5 * net.link_g[i] * net.link_slope[i] * (y[a] - y[b])
        g = net.link_g[i] * (1.0 + net.link_slope[i] * (0.5 * (y[a] + y[b]) - 300.0))
        slope[a, a] -= g + bend
        slope[a, b] += g - bend
        slope[b, a] += g + bend
        slope[b, b] -= g - bend
    for s in range(net.skins.shape[0]):
        if net.skins[s, 1] != LYING:
            node = net.skins[s, 0]
            here = skin_loss(net.skins, net.skin, p, s, y[node], plate, ambient)
            slope[node, node] -= (skin_loss(net.skins, net.skin, p, s, y[node] + NUDGE, plate, ambient) - here) / NUDGE
    low, high = net.at.low, net.at.high
    here = gap_heat(net.gap_area, net.gap_thickness, p, q, y[low], y[high])
    by_low = (gap_heat(net.gap_area, net.gap_thickness, p, q, y[low] + NUDGE, y[high]) - here) / NUDGE
    by_high = (gap_heat(net.gap_area, net.gap_thickness, p, q, y[low], y[high] + NUDGE) - here) / NUDGE
    slope[low, low] -= by_low
    slope[low, high] -= by_high
    slope[high, low] += by_low
    slope[high, high] += by_high

    base, moved = work[0], work[1]
    base[:] = 0.0
    seat_block(net.at, net.seat, p, q, y, plate, memory, mode, base)
    # Patch and foot always; the element while the pin touches; the riser's top only through the pin's own growth.
    lifted = lift_of(p, pin_travel(net.at, p, q, y, memory, mode)) > 0.0
    for turn in range(4 if lifted else 2):
        node = 0 if turn == 0 else net.at.foot if turn == 1 else net.at.top if turn == 2 else net.at.element
        moved[:] = 0.0
        kept = y[node]
        y[node] = kept + NUDGE
        seat_block(net.at, net.seat, p, q, y, plate, memory, mode, moved)
        y[node] = kept
        _difference(base, moved, node, slope)
    base[:] = 0.0
    drive_block(net.at, net.wired, net.skins, net.skin, p, q, y, plate, spin, base)
    for turn in range(2 * net.wired.hot.size + 2):
        node = net.at.sink if turn == 0 else net.at.motor if turn == 1 else net.wired.hot[(turn - 2) // 2] + turn % 2
        moved[:] = 0.0
        kept = y[node]
        y[node] = kept + NUDGE
        drive_block(net.at, net.wired, net.skins, net.skin, p, q, y, plate, spin, moved)
        y[node] = kept
        _difference(base, moved, node, slope)
    slope[net.at.element, net.at.element] -= net.plate_link + p[P.element_loss]
    for i in range(net.at.size):
        for j in range(net.at.size):
            slope[i, j] /= net.capacity[i]
