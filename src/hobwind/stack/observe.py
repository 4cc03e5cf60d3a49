"""What one instant means: every temperature, watt, volt and millimetre that is reported, from the kernel's state. Compiled.

The same heat paths as the rates; `balance` is what is left when everything that leaves is taken from everything that
enters and is stored, so it is zero at rest and in motion alike.
"""

from __future__ import annotations

import numpy as np

from ..compiled import kernel
from ..physics import air, drive, radiation, wax
from .elements import (
    air_at_fan,
    bank,
    gap_heat,
    kind_heat,
    lift_of,
    memory_now,
    motor_at,
    motor_skin_loss,
    pin_travel,
    seat_coefficient,
    seat_heat,
    skin_loss,
    stream_of,
    touching_of,
)
from .fields import AS_IT_COMES, P, Q, Seen
from .net import LYING, Floats, Ints, Net
from .rates import rates
from .sinks import sink_conductance
from .vectors import fill, put


@kernel
def observe(net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, memory: float, mode: int, out: Floats) -> None:
    """Write everything in `Seen` for one state.

    Args:
        net: arrays. [SI]
        p: inputs. [SI]
        q: choices. [-]
        y: states. [K]
        plate: undisturbed plate. [K]
        spin: 1 when the blade turns. [-]
        memory: wax memory. [K]
        mode: held, rising or falling. [-]
        out: result, (len(Seen)). [SI]
    """
    fill(out, 0.0)
    ambient = air_at_fan(p, plate, spin)
    local = plate + y[0]
    travel = pin_travel(net.at, p, q, y, memory, mode)
    lift = lift_of(p, travel)
    touching = touching_of(p, lift)
    w = memory_now(p, y[net.at.element], memory, mode)
    out[Seen.plate], out[Seen.local], out[Seen.air] = plate, local, ambient
    out[Seen.sink], out[Seen.motor], out[Seen.element] = y[net.at.sink], y[net.at.motor], y[net.at.element]
    out[Seen.hot_plate], out[Seen.spreader], out[Seen.riser_top] = y[net.at.low], y[net.at.high], y[net.at.top]
    out[Seen.memory], out[Seen.spin], out[Seen.lift] = w, spin, lift
    out[Seen.gap] = 0.5 * (p[P.gap_low] + p[P.gap_high]) * lift
    out[Seen.stroke] = wax.stroke(w, p[P.wax_opens], p[P.wax_full], p[P.wax_travel], p[P.wax_creep])
    out[Seen.seat_heat] = seat_heat(net.seat, p, local, y[net.at.foot], lift, touching)
    out[Seen.seat_conductance] = seat_coefficient(net.seat, p, local, y[net.at.foot], lift, touching) * net.seat.area
    # The foot's own face, half a cell and the plate's coating apart from the lowest cell's middle.
    coating = p[P.coating] / (p[P.coating_conductivity] * net.seat.area)
    out[Seen.foot] = y[net.at.foot] + out[Seen.seat_heat] * (net.seat.foot_resistance - coating)
    if lift > 0.0 and net.at.pushed == 0:  # a pin beside the riser moves heat within the fan, none into it
        out[Seen.pin_heat] = p[P.pin_conductance] * (local - y[net.at.element])
    out[Seen.foot_heat] = net.plate_link * (plate - y[net.at.element])
    out[Seen.element_loss] = p[P.element_loss] * (y[net.at.element] - ambient)
    out[Seen.surround_heat] = gap_heat(net.gap_area, net.gap_thickness, p, q, y[net.at.low], y[net.at.high])

    emf, ohms = bank(net.wired, y)
    speed, current, torque = motor_at(p, emf, ohms, y[net.at.motor], ambient, spin)
    stream = stream_of(p, speed, ambient) if speed > 0.0 else 0.0
    terminal = emf - current * ohms
    out[Seen.hot_face] = -np.inf
    out[Seen.cold_face], out[Seen.margin] = -np.inf, np.inf
    electric = 0.0
    for k in range(net.wired.hot.size):
        into, released = kind_heat(net.wired, y, k, terminal)
        out[Seen.module_heat] += into
        electric += into - released
        out[Seen.hot_face] = max(out[Seen.hot_face], y[net.wired.hot[k]])
        out[Seen.cold_face] = max(out[Seen.cold_face], y[net.wired.hot[k] + 1])
        out[Seen.margin] = min(out[Seen.margin], net.limit[k] - y[net.wired.hot[k]])
    out[Seen.electric], out[Seen.open_voltage] = electric, emf
    out[Seen.leads_heat] = current * current * p[P.leads]
    out[Seen.motor_voltage] = terminal - current * p[P.leads]
    out[Seen.current], out[Seen.speed], out[Seen.stall_torque] = current, speed, torque
    rubbing = (p[P.motor_friction] + p[P.motor_drag] * speed) * speed
    winding = p[P.motor_resistance] * drive.copper_factor(y[net.at.motor])
    out[Seen.motor_heat] = current * current * winding + rubbing + p[P.motor_brush] * abs(current)
    constant = p[P.motor_constant] * drive.magnet_factor(y[net.at.motor], p[P.motor_magnet])
    out[Seen.shaft_power] = constant * current * speed - rubbing
    out[Seen.disc_speed] = stream
    out[Seen.thrust] = drive.thrust(p[P.blade_thrust], air.density(ambient, p[P.pressure]), speed, p[P.blade_diameter])
    out[Seen.air_flow] = stream * 0.25 * np.pi * p[P.blade_diameter] ** 2
    out[Seen.breeze] = drive.jet_speed(stream, p[P.blade_diameter], 1.0)
    out[Seen.sink_loss] = sink_conductance(p, q, y[net.at.sink], ambient, stream) * (y[net.at.sink] - ambient)
    for s in range(net.skins.shape[0]):
        node = net.skins[s, 0]
        if net.skins[s, 1] == LYING:
            out[Seen.motor_loss] += motor_skin_loss(net.skin, p, s, y[node], plate, ambient, stream)
            continue
        loss = skin_loss(net.skins, net.skin, p, s, y[node], plate, ambient)
        if node <= net.at.top:
            out[Seen.riser_loss] += loss
        elif node == net.at.sink:
            out[Seen.sink_loss] += loss
            fourths = plate**4 - p[P.room] ** 4
            strength = net.skin[s, 0] * net.skin[s, 2] * net.skin[s, 3] * p[P.plate_emissivity]
            out[Seen.sink_glow] += radiation.STEFAN_BOLTZMANN * strength * fourths
        elif node == net.at.low:
            out[Seen.hot_plate_loss] += loss
        else:
            out[Seen.spreader_loss] += loss
    if q[Q.screws] > 0:
        for i in range(net.links.shape[0]):
            if net.links[i, 0] == net.at.low and net.links[i, 1] == net.at.high:
                out[Seen.screw_heat] = net.link_g[i] * (y[net.at.low] - y[net.at.high])
    rate = np.empty(net.at.size)
    rates(net, p, q, y, plate, spin, memory, mode, int(np.int64(AS_IT_COMES)), rate)
    stored = 0.0
    for i in range(net.at.foot, net.at.size):
        stored += rate[i] * net.capacity[i]
    entering = out[Seen.seat_heat] + out[Seen.pin_heat] + out[Seen.foot_heat]
    leaving = (
        out[Seen.riser_loss]
        + out[Seen.hot_plate_loss]
        + out[Seen.spreader_loss]
        + out[Seen.sink_loss]
        + out[Seen.motor_loss]
        + out[Seen.element_loss]
        + out[Seen.leads_heat]
        + out[Seen.shaft_power]
    )
    out[Seen.balance] = entering - leaving - stored


@kernel
def observe_many(
    net: Net,
    p: Floats,
    q: Ints,
    states: Floats,
    plates: Floats,
    spins: Floats,
    memories: Floats,
    modes: Floats,
    out: Floats,
) -> None:
    """`observe` for each row.

    Args:
        net: arrays. [SI]
        p: inputs. [SI]
        q: choices. [-]
        states: (m, size). [K]
        plates: (m). [K]
        spins: (m). [-]
        memories: (m), the wax memory at that instant. [K]
        modes: (m). [-]
        out: result, (m, len(Seen)). [SI]
    """
    y = np.empty(net.at.size)
    for i in range(plates.size):
        put(states[i], y)
        observe(net, p, q, y, plates[i], int(spins[i]), memories[i], int(modes[i]), out[i])
