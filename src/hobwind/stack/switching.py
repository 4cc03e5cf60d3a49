"""What changes between steps: whether the blade turns, and how the wax's memory follows its element. Compiled.

`reconcile` is the only place where modes change; `watch` gives the signs by which a step finds out that they should.
"""

from __future__ import annotations

from ..compiled import lean_kernel
from .elements import air_at_fan, bank, element_heat, memory_now, motor_at, reach_now, travel_within
from .fields import AT_STOP, DOWN, FALLING, GUARD_FREE, HELD, RAISED, RISING, SETTLING, P, Q
from .net import Floats, Ints, Net, Wired
from .rates import rates


@lean_kernel
def stall_torque(wired: Wired, motor: int, p: Floats, y: Floats, plate: float, spin: int) -> float:
    """Torque the motor would give standing still on what the modules give now, N m."""
    emf, ohms = bank(wired, y)
    return motor_at(p, emf, ohms, y[motor], air_at_fan(p, plate, spin), 0)[2]


@lean_kernel
def reconcile(
    net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, memory: float, mode: int, rate: Floats
) -> tuple[int, float, int, int, int]:
    """Put spin and guard mode right for the state now.

    Args:
        net: arrays. [SI]
        p: inputs. [SI]
        q: choices. [-]
        y: states. [K]
        plate: undisturbed plate. [K]
        spin: as it was. [-]
        memory: wax memory as it was. [K]
        mode: as it was. [-]
        rate: scratch for rates, left holding the rates of the returned mode, (size). [K/s]

    Returns:
        spin, memory, mode, how many of them changed, and the pin's reach. [-]
    """
    changed = 0
    torque = stall_torque(net.wired, net.at.motor, p, y, plate, spin)
    if spin == 0 and torque >= p[P.motor_breakaway]:
        spin, changed = 1, changed + 1
    elif spin == 1 and torque <= p[P.motor_friction]:
        spin, changed = 0, changed + 1
    reach = reach_now(net.at, p, q, y, memory, mode)
    for turn in range(2):  # one place that calls `rates`: the compiler lays it out in full wherever it is called
        rates(net, p, q, y, plate, spin, memory, mode, reach, rate)
        if turn == 1 or q[Q.guard] != GUARD_FREE:
            break
        element, before = y[net.at.element], mode
        if mode == RISING and rate[net.at.element] < 0.0:
            memory, mode = element, HELD
        elif mode == FALLING and rate[net.at.element] > 0.0:
            memory, mode = element + p[P.wax_hysteresis], HELD
        elif mode == HELD and element > memory:
            memory, mode = element, RISING
        elif mode == HELD and element < memory - p[P.wax_hysteresis]:
            memory, mode = element + p[P.wax_hysteresis], FALLING
        changed += int(mode != before)
        if changed == 0:
            break
        reach = reach_now(net.at, p, q, y, memory, mode)
    return spin, memory, mode, changed, reach


@lean_kernel
def watch(
    net: Net,
    p: Floats,
    q: Ints,
    y: Floats,
    plate: float,
    spin: int,
    memory: float,
    mode: int,
    reach: int,
    marks: Floats,
) -> None:
    """Write the signs to watch: marks[0:2] act when they become positive, marks[2:] whenever they change sign."""
    torque = stall_torque(net.wired, net.at.motor, p, y, plate, spin)
    marks[0] = torque - p[P.motor_breakaway] if spin == 0 else p[P.motor_friction] - torque
    marks[1:] = -1.0
    if q[Q.guard] != GUARD_FREE:
        return
    element = y[net.at.element]
    if mode == HELD:
        marks[1] = max(element - memory, memory - p[P.wax_hysteresis] - element)
    else:
        warming = element_heat(net, p, q, y, plate, spin, memory, mode, reach)
        marks[1] = -warming if mode == RISING else warming
    travel, stage = travel_within(net.at, p, q, y, memory, mode, reach), reach % 4
    if stage in (DOWN, SETTLING):
        marks[2] = travel
    if stage in (SETTLING, RAISED):
        marks[3] = travel - p[P.seat_settle]
        w = memory_now(p, element, memory, mode)
        stretch = reach // 4
        marks[5] = p[P.wax_opens] - w if stretch == 0 else w - p[P.wax_full]
        if stretch == 1:
            marks[5] = min(w - p[P.wax_opens], -marks[5])
    if stage in (RAISED, AT_STOP):
        marks[4] = travel - p[P.stop]


@lean_kernel
def crossed(before: Floats, after: Floats, armed: Ints) -> int:
    """The first watched sign that has acted between two looks, -1 for none; arms those strictly on the safe side."""
    for i in range(before.size):
        if i < 2:
            if before[i] < 0.0:
                armed[i] = 1
            if armed[i] == 1 and after[i] > 0.0:
                return i
        elif (before[i] > 0.0) != (after[i] > 0.0):
            return i
    return -1
