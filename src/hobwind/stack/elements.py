"""The heat paths of one build that are more than a fixed conductance, each as one small compiled function.

Both the rates of the evening and what `observe` reports are put together from these, so that no path is written twice.
"""

from __future__ import annotations

import math

from ..compiled import lean_jitable
from ..physics import air, contact, convection, drive, radiation, thermoelectric, wax
from .fields import AS_IT_COMES, AT_STOP, DOWN, FALLING, GUARD_FREE, HELD_UP, RAISED, RISING, SETTLING, P, Q
from .net import GRID_COUNT, GRID_START, GRID_STEP, RADIATING, UNDERSIDE, WARMED, Floats, Ints, Net, Places, Seat, Wired

GRAVITY = 9.80665
REFERENCE = 293.15  # K; temperature at which lengths were measured


@lean_jitable
def plate_row(table: Floats, plate: float, column: int) -> float:
    """Read the plate's table at `plate` kelvin, linear between its rows."""
    place = (plate - GRID_START) / GRID_STEP
    row = min(max(int(place), 0), GRID_COUNT - 2)
    share = place - row
    return table[row, column] * (1.0 - share) + table[row + 1, column] * share


@lean_jitable
def air_at_fan(p: Floats, plate: float, spin: int) -> float:
    """Temperature of the air that reaches riser, sink and motor: the room's, warmed by the stove's plume. [K]"""
    share = p[P.plume_blown] if spin == 1 else p[P.plume_still]
    return p[P.room] + share * (plate - p[P.room])


@lean_jitable
def memory_now(p: Floats, element: float, memory: float, mode: int) -> float:
    """The wax's memory w: follows the element while rising, element + hysteresis while falling, else stays. [K]"""
    if mode == RISING:
        return element
    if mode == FALLING:
        return element + p[P.wax_hysteresis]
    return memory


@lean_jitable
def pin_travel(at: Places, p: Floats, q: Ints, y: Floats, memory: float, mode: int) -> float:
    """Pin travel past the foot, m, before the stops; negative while the pin has not reached the plate."""
    if q[Q.guard] != GUARD_FREE:
        return p[P.stop] if q[Q.guard] == HELD_UP else -1.0
    if q[Q.stuck] == 1:
        return -1.0
    w = memory_now(p, y[at.element], memory, mode)
    stroke = wax.stroke(w, p[P.wax_opens], p[P.wax_full], p[P.wax_travel], p[P.wax_creep])
    riser = 0.5 * (y[at.foot] + y[at.top])
    return p[P.lever] * (stroke - p[P.lost_motion]) + p[P.pin_growth] * (riser - REFERENCE)


@lean_jitable
def touching_at(at: Places, p: Floats, y: Floats) -> float:
    """The wax's memory at which the pin, pushed out by so much, touches what it pushes, K; infinite where it never does."""
    riser = 0.5 * (y[at.foot] + y[at.top])
    wanted = p[P.lost_motion] - p[P.pin_growth] * (riser - REFERENCE) / p[P.lever]
    if wanted <= p[P.wax_travel]:
        return p[P.wax_opens] + max(wanted, 0.0) / p[P.wax_travel] * (p[P.wax_full] - p[P.wax_opens])
    return p[P.wax_full] + (wanted - p[P.wax_travel]) / p[P.wax_creep] if p[P.wax_creep] > 0.0 else math.inf


@lean_jitable
def lift_of(p: Floats, travel: float) -> float:
    """Lift between nothing and the mechanism's stop, m."""
    return min(max(travel, 0.0), p[P.stop])


@lean_jitable
def touching_of(p: Floats, lift: float) -> float:
    """Share of the fan's weight that still rests on the solid spots of the seat."""
    return max(1.0 - lift / p[P.seat_settle], 0.0)


@lean_jitable
def reach_now(at: Places, p: Floats, q: Ints, y: Floats, memory: float, mode: int) -> int:
    """Where the pin stands: down, settling, raised or at its stop, and on which stretch of the wax's stroke.

    A step of the evening keeps the reach it began with and carries its smooth law on past the next corner, which is then
    found as an event; so no corner is ever stepped over blindly.
    """
    travel = pin_travel(at, p, q, y, memory, mode)
    if travel <= 0.0:
        return DOWN
    if travel >= p[P.stop]:
        return AT_STOP
    w = memory_now(p, y[at.element], memory, mode)
    stretch = 0 if w <= p[P.wax_opens] else 1 if w <= p[P.wax_full] else 2
    return (SETTLING if travel < p[P.seat_settle] else RAISED) + 4 * stretch


@lean_jitable
def travel_within(at: Places, p: Floats, q: Ints, y: Floats, memory: float, mode: int, reach: int) -> float:
    """Pin travel by the law of one reach, carried on beyond its ends, m."""
    if reach < 4 or q[Q.guard] != GUARD_FREE:
        return pin_travel(at, p, q, y, memory, mode)
    w = memory_now(p, y[at.element], memory, mode)
    if reach < 8:
        stroke = p[P.wax_travel] * (w - p[P.wax_opens]) / (p[P.wax_full] - p[P.wax_opens])
    else:
        stroke = p[P.wax_travel] + p[P.wax_creep] * (w - p[P.wax_full])
    riser = 0.5 * (y[at.foot] + y[at.top])
    return p[P.lever] * (stroke - p[P.lost_motion]) + p[P.pin_growth] * (riser - REFERENCE)


@lean_jitable
def opening(at: Places, p: Floats, q: Ints, y: Floats, memory: float, mode: int, reach: int) -> tuple[float, float, bool]:
    """Lift [m], share of the weight on the solid spots, and whether the pin stands on the plate."""
    if reach == AS_IT_COMES:
        lift = lift_of(p, pin_travel(at, p, q, y, memory, mode))
        return lift, touching_of(p, lift), lift > 0.0
    stage = reach % 4
    if stage == DOWN:
        return 0.0, 1.0, False
    if stage == AT_STOP:
        return p[P.stop], touching_of(p, p[P.stop]), True
    lift = max(travel_within(at, p, q, y, memory, mode, reach), 0.0)
    if stage == SETTLING:
        return lift, 1.0 - lift / p[P.seat_settle], True
    return lift, 0.0, True


@lean_jitable
def tip_temperature(at: Places, y: Floats, plate: float) -> float:
    """Temperature of what the push pin touches, K: the plate's patch, a deviation, or a part of the fan."""
    return plate + y[0] if at.pushed == 0 else y[at.pushed]


@lean_jitable
def element_heat(
    net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, memory: float, mode: int, reach: int
) -> float:
    """Heat entering the wax element, W: what decides whether it warms or cools."""
    element, links, link_g, link_slope = net.at.element, net.links, net.link_g, net.link_slope
    temperature = y[element]
    heat = net.plate_link * (plate - temperature) - p[P.element_loss] * (temperature - air_at_fan(p, plate, spin))
    for i in range(links.shape[0]):
        if links[i, 1] == element:
            other = y[links[i, 0]]
            bent = 1.0 + link_slope[i] * (0.5 * (other + temperature) - 300.0)
            heat += link_g[i] * bent * (other - temperature)
    if opening(net.at, p, q, y, memory, mode, reach)[2]:
        heat += p[P.pin_conductance] * (tip_temperature(net.at, y, plate) - temperature)
    return heat


@lean_jitable
def seat_coefficient(seat: Seat, p: Floats, local: float, foot: float, lift: float, touching: float) -> float:
    """Solid spots, gas and radiation between plate and foot at a lift, W/m2K: one law, lifted or not."""
    film = 0.5 * (local + foot)
    gas = contact.gap_conductance(
        air.conductivity(film),
        seat.standoff + air.molecular_jump(film, p[P.pressure]),
        p[P.seat_flatness],
        p[P.seat_bow],
        p[P.gap_low] * lift,
        p[P.gap_high] * lift,
    )
    exchange = 1.0 / (1.0 / p[P.foot_emissivity] + 1.0 / p[P.plate_emissivity] - 1.0)
    glow = exchange * radiation.STEFAN_BOLTZMANN * (local * local + foot * foot) * (local + foot)
    return seat.solid * touching + gas + glow


@lean_jitable
def seat_heat(seat: Seat, p: Floats, local: float, foot: float, lift: float, touching: float) -> float:
    """Heat from the plate under the foot into the lowest cell of the riser, W."""
    across = 1.0 / (seat_coefficient(seat, p, local, foot, lift, touching) * seat.area)
    return (local - foot) / (across + seat.foot_resistance)


@lean_jitable
def skin_loss(skins: Ints, skin: Floats, p: Floats, s: int, temperature: float, plate: float, ambient: float) -> float:
    """Heat leaving one surface to the air at the fan, the plate and the room, W."""
    area, emissivity, view = skin[s, 0], skin[s, 2], skin[s, 3]
    loss = area * radiation.two_surroundings(emissivity, view, p[P.plate_emissivity], temperature, plate, p[P.room])
    kind = skins[s, 1]
    if kind == RADIATING:
        return loss
    if kind == WARMED:
        from_plate = view * p[P.plate_emissivity] * (plate**4 - p[P.room] ** 4)
        return -area * emissivity * radiation.STEFAN_BOLTZMANN * from_plate
    height, slender = skin[s, 1], skin[s, 4]
    film = 0.5 * (temperature + ambient)
    nu = air.kinematic_viscosity(film, p[P.pressure])
    prandtl = air.prandtl(film)
    rise = temperature - ambient
    rayleigh = GRAVITY / film * abs(rise) * height**3 / (nu * nu) * prandtl
    if kind == UNDERSIDE:
        # A face looking down warms the air below it stably when hotter, and stirs it when colder.
        nusselt = convection.nusselt_horizontal_down(rayleigh) if rise > 0 else convection.nusselt_horizontal_up(rayleigh)
    else:
        nusselt = convection.nusselt_vertical_plate(rayleigh, prandtl)
        if slender > 0.0:
            nusselt *= convection.cylinder_curvature(rayleigh / prandtl + 1.0, prandtl, slender)
    return loss + area * nusselt * air.conductivity(film) / height * rise


@lean_jitable
def motor_skin_loss(skin: Floats, p: Floats, s: int, temperature: float, plate: float, ambient: float, stream: float) -> float:
    """Heat leaving the motor's body, lying in the blade's stream, W."""
    area, size = skin[s, 0], skin[s, 1]
    film = 0.5 * (temperature + ambient)
    nu = air.kinematic_viscosity(film, p[P.pressure])
    prandtl = air.prandtl(film)
    rise = temperature - ambient
    rayleigh = GRAVITY / film * abs(rise) * size**3 / (nu * nu) * prandtl
    nusselt = convection.nusselt_horizontal_cylinder(rayleigh, prandtl)
    if stream > 0.0:
        nusselt = convection.cubic_blend(nusselt, convection.nusselt_crossflow(stream * size / nu, prandtl))
    glow = radiation.two_surroundings(skin[s, 2], skin[s, 3], p[P.plate_emissivity], temperature, plate, p[P.room])
    return area * (glow + nusselt * air.conductivity(film) / size * rise)


@lean_jitable
def gap_heat(area: float, thickness: float, p: Floats, q: Ints, low: float, high: float) -> float:
    """Heat past the modules from the plate below to the plate above: air or lagging, and radiation across air, W."""
    if area <= 0.0:
        return 0.0
    if q[Q.surround_air] == 0:
        return area * p[P.surround_conductivity] / thickness * (low - high)
    glow = radiation.parallel_grey(p[P.surround_emissivity_low], p[P.surround_emissivity_high], low, high)
    return area * (glow + air.conductivity(0.5 * (low + high)) / thickness * (low - high))


@lean_jitable
def bank(wired: Wired, y: Floats) -> tuple[float, float]:
    """Open voltage and resistance of the whole wiring, strings in parallel. [V, ohm]"""
    through, open_through = 0.0, 0.0
    for r in range(wired.strings.shape[0]):
        volts, ohms = string_of(wired, y, r)
        through += 1.0 / ohms
        open_through += volts / ohms
    return open_through / through, 1.0 / through


@lean_jitable
def string_of(wired: Wired, y: Floats, r: int) -> tuple[float, float]:
    """Open voltage and resistance of one string of modules in series. [V, ohm]"""
    volts, ohms = 0.0, 0.0
    for k in range(wired.hot.size):
        if wired.strings[r, k] > 0.0:
            hot, cold = y[wired.hot[k]], y[wired.hot[k] + 1]
            mean = 0.5 * (hot + cold)
            volts += wired.strings[r, k] * wired.seebeck[k] * thermoelectric.seebeck_shape(mean) * (hot - cold)
            ohms += wired.strings[r, k] * wired.resistance[k] * thermoelectric.resistance_shape(mean)
    return volts, ohms


@lean_jitable
def kind_heat(wired: Wired, y: Floats, k: int, terminal: float) -> tuple[float, float]:
    """Heat into the hot faces and out of the cold faces of all modules of kind `k`, W, at the bank's voltage."""
    hot, cold = y[wired.hot[k]], y[wired.hot[k] + 1]
    mean = 0.5 * (hot + cold)
    alpha = wired.seebeck[k] * thermoelectric.seebeck_shape(mean)
    ohms = wired.resistance[k] * thermoelectric.resistance_shape(mean)
    conduct = wired.conductance[k] * thermoelectric.conductance_shape(mean)
    into, out = 0.0, 0.0
    for r in range(wired.strings.shape[0]):
        if wired.strings[r, k] > 0.0:
            volts, string_ohms = string_of(wired, y, r)
            current = (volts - terminal) / string_ohms
            into += wired.strings[r, k] * thermoelectric.hot_heat(alpha, ohms, conduct, hot, cold, current)
            out += wired.strings[r, k] * thermoelectric.cold_heat(alpha, ohms, conduct, hot, cold, current)
    return into, out


@lean_jitable
def motor_at(p: Floats, emf: float, ohms: float, motor: float, ambient: float, spin: int) -> tuple[float, float, float]:
    """Speed, current and torque at stall of the motor on the bank. [rad/s, A, N m]"""
    winding = p[P.motor_resistance] * drive.copper_factor(motor)
    constant = p[P.motor_constant] * drive.magnet_factor(motor, p[P.motor_magnet])
    loop = ohms + p[P.leads] + winding
    stalled = drive.motor_current(emf, loop, constant, 0.0, p[P.motor_brush])
    torque = constant * stalled
    if spin == 0:
        return 0.0, stalled, torque
    load = drive.power_to_torque(p[P.blade_power], p[P.blade_diameter]) * air.density(ambient, p[P.pressure])
    speed = drive.running_speed(emf, loop, constant, p[P.motor_brush], p[P.motor_friction], p[P.motor_drag], load)
    return speed, drive.motor_current(emf, loop, constant, speed, p[P.motor_brush]), torque


@lean_jitable
def stream_of(p: Floats, speed: float, ambient: float) -> float:
    """Air speed through the blade's disc, m/s."""
    density = air.density(ambient, p[P.pressure])
    push = drive.thrust(p[P.blade_thrust], density, speed, p[P.blade_diameter])
    return drive.disc_speed(push, density, p[P.blade_diameter])
