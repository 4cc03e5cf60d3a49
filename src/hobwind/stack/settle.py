"""Where a fan comes to rest on a plate that stays as it is, and sweeps of that over plate temperature. Compiled.

Newton's method on the same rates and slopes as the evening, carried by a time step that grows without end: far from
rest it walks like an evening with long steps, near rest it is Newton and closes to rounding.
"""

from __future__ import annotations

import numpy as np

from ..compiled import kernel, lean_kernel
from .elements import pin_travel, touching_at
from .fields import AS_IT_COMES, FALLING, GUARD_FREE, HELD, HELD_UP, RISING, P, Q
from .net import Floats, Ints, Net
from .rates import rates, slopes
from .rodas import factor, substitute
from .switching import stall_torque
from .vectors import fill, put

MOST_TURNS = 40
BRINK = 1e-5  # K of the wax, some nanometres of the pin
CLOSED = 1e-10  # largest heat left over at a node, as a share of the throughput
SETTLED, NOT_SETTLED, RESTLESS = 0, 1, 2


@lean_kernel
def _left_over(net: Net, rate: Floats) -> float:
    worst = 0.0
    for i in range(net.at.size):
        heat = abs(rate[i] * net.capacity[i])
        if not heat <= worst:
            worst = heat
    return worst


@kernel
def rest(
    net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, memory: float, mode: int, closed: float, slope: Floats
) -> float:
    """Move `y` to rest in one fixed mode.

    Args:
        net: arrays. [SI]
        p: inputs. [SI]
        q: choices. [-]
        y: first guess, replaced by the state of rest. [K]
        plate: undisturbed plate. [K]
        spin: 1 when the blade turns. [-]
        memory: wax memory. [K]
        mode: held, rising or falling. [-]
        closed: left-over share of the throughput that is taken for rest. [-]
        slope: scratch, (size, size). [1/s]

    Returns:
        Largest heat left over at a node as a share of the throughput; NaN when none was found. [-]
    """
    n = net.at.size
    rate, move, tried, order = np.empty(n), np.empty(n), np.empty(n), np.empty(n)
    matrix, scratch, by_plate = np.empty((n, n)), np.empty((2, n)), np.empty(n)
    reach = int(np.int64(AS_IT_COMES))
    pace = 1e6  # s; the time step that carries the search: Newton at once, shorter when that goes wrong
    rates(net, p, q, y, plate, spin, memory, mode, reach, rate)
    left, moved = _left_over(net, rate), True
    for _ in range(MOST_TURNS):
        through = 0.05  # W; below this the balance is closed to the last digit anyway
        for k in range(net.wired.hot.size):
            through += abs(net.number[k] * net.wired.conductance[k] * (y[net.wired.hot[k]] - y[net.wired.hot[k] + 1]))
        if left <= closed * through:
            return left / through
        if moved:
            slopes(net, p, q, y, plate, spin, memory, mode, reach, slope, by_plate, scratch)
            moved = False
        for i in range(n):
            for j in range(n):
                matrix[i, j] = -slope[i, j]
            matrix[i, i] += 1.0 / pace
        put(rate, move)
        if not factor(matrix, order):
            pace *= 0.1
            continue
        substitute(matrix, order, move)
        largest = 0.0
        for i in range(n):
            if not abs(move[i]) <= largest:
                largest = abs(move[i])
        shrink = min(1.0, 60.0 / largest) if largest > 0.0 else 1.0
        for i in range(n):
            tried[i] = y[i] + shrink * move[i]
        rates(net, p, q, tried, plate, spin, memory, mode, reach, rate)
        after = _left_over(net, rate)
        if not after < np.inf or (after > 4.0 * left and pace > 1e-3):
            pace *= 0.1
            rates(net, p, q, y, plate, spin, memory, mode, reach, rate)
            continue
        # The better a step closes the balance, the longer the next; one that opens it shortens the next.
        pace = min(max(pace * min(max(left / max(after, 1e-300), 0.3), 10.0), 1e-3), 1e12)
        left = after
        put(tried, y)
        moved = True
    return np.nan


@kernel
def rest_by_lift(
    net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, memory: float, mode: int, slope: Floats
) -> float:
    """Like `rest` with the guard moving, by halving the lift: slow, but no corner of the seat's law can throw it.

    At a fixed lift the balance is smooth, and the pin's travel that it leads to falls as the lift grows: one crossing.

    Args:
        net: arrays. [SI]
        p: inputs. [SI]
        q: choices. [-]
        y: first guess, replaced by the state of rest. [K]
        plate: undisturbed plate. [K]
        spin: 1 when the blade turns. [-]
        memory: wax memory. [K]
        mode: rising or falling. [-]
        slope: scratch, (size, size). [1/s]

    Returns:
        As `rest`.
    """
    fixed, held = p.copy(), q.copy()
    held[Q.guard] = HELD_UP
    # Halving once in three turns, the straight line through both ends (in the logarithm of the gap) otherwise.
    low, high, over, under = 0.0, p[P.stop], np.nan, np.nan
    floor = net.seat.standoff
    for turn in range(40):
        if turn % 3 == 2 or not over > 0.0 or not under < 0.0:
            lift = np.sqrt((low + floor) * (high + floor)) - floor
        else:
            near, far = np.log(low + floor), np.log(high + floor)
            lift = np.exp(near + (far - near) * over / (over - under)) - floor
        fixed[P.stop] = lift
        if not rest(net, fixed, held, y, plate, spin, memory, mode, CLOSED, slope) < 1.0:
            return np.nan
        excess = pin_travel(net.at, p, q, y, memory, mode) - lift
        if abs(excess) < 1e-8 or high - low < 1e-9:
            break
        if excess > 0.0:
            low, over = lift, excess
        else:
            high, under = lift, excess
    return rest(net, p, q, y, plate, spin, memory, mode, CLOSED, slope)


@kernel
def settle(
    net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, memory: float, slope: Floats
) -> tuple[int, int, float, int, float]:
    """Come to rest at one plate temperature with guard and spin free to change as they would on a slow fire.

    Args:
        net: arrays. [SI]
        p: inputs. [SI]
        q: choices. [-]
        y: state before, replaced by the state of rest. [K]
        plate: undisturbed plate. [K]
        spin: as it was. [-]
        memory: wax memory as it was. [K]
        slope: scratch, (size, size). [1/s]

    Returns:
        outcome (SETTLED, NOT_SETTLED, RESTLESS), spin, memory, mode, left-over heat share. [-]
    """
    mode, left, before = int(np.int64(HELD)), np.nan, np.empty(net.at.size)
    free = q[Q.guard] == GUARD_FREE
    hysteresis = p[P.wax_hysteresis]
    for _ in range(12):
        put(y, before)
        left = rest(net, p, q, y, plate, spin, memory, mode, CLOSED, slope)
        if left != left and mode != HELD:
            put(before, y)
            left = rest_by_lift(net, p, q, y, plate, spin, memory, mode, slope)
        if left != left and mode != HELD:
            # On the brink: a pin that touches a colder part cools its element below what brought it there, one that lets go
            # warms it again. The play of the wax holds it, just touching on the way up, just not on the way down.
            put(before, y)
            memory, mode = touching_at(net.at, p, y) + (BRINK if mode == RISING else -BRINK), int(np.int64(HELD))
            left = rest(net, p, q, y, plate, spin, memory, mode, CLOSED, slope)
        if left != left:
            return NOT_SETTLED, spin, memory, mode, left
        torque = stall_torque(net.wired, net.at.motor, p, y, plate, spin)
        if spin == 0 and torque >= p[P.motor_breakaway]:
            spin = 1
            continue
        if spin == 1 and torque <= p[P.motor_friction]:
            spin = 0
            continue
        if not free:
            return SETTLED, spin, memory, mode, left
        element = y[net.at.element]
        if mode == HELD and element > memory + 1e-7:
            mode = RISING
        elif mode == HELD and element < memory - hysteresis - 1e-7:
            mode = FALLING
        else:
            if mode == RISING:
                memory = element
            elif mode == FALLING:
                memory = element + hysteresis
            return SETTLED, spin, memory, mode, left
    return RESTLESS, spin, memory, mode, left


@kernel
def sweep(
    net: Net, p: Floats, q: Ints, plates: Floats, y: Floats, spin: int, memory: float, record: Floats, slope: Floats
) -> tuple[int, float]:
    """Settle at each plate temperature in turn, carrying state, spin and memory along.

    Args:
        net: arrays. [SI]
        p: inputs. [SI]
        q: choices. [-]
        plates: temperatures in the order they are visited, (m). [K]
        y: state before the first; that after the last. [K]
        spin: before the first. [-]
        memory: wax memory before the first. [K]
        record: result, (m, size + 5): states, memory, spin, mode, outcome, left-over share.
        slope: result, the slopes at rest, (m, size, size). [1/s]

    Returns:
        spin and memory after the last. [-, K]
    """
    n = net.at.size
    by_plate, scratch = np.empty(n), np.empty((2, n))
    for i in range(plates.size):
        # Start where the last two points of this sweep point to, while nothing switched between them.
        if i > 1 and record[i - 1, n + 1] == record[i - 2, n + 1] and record[i - 1, n + 2] == record[i - 2, n + 2]:
            ahead = (plates[i] - plates[i - 1]) / (plates[i - 1] - plates[i - 2])
            for j in range(n):
                y[j] += ahead * (record[i - 1, j] - record[i - 2, j])
        kept_spin, kept_memory = spin, memory
        outcome, spin, memory, mode, left = settle(net, p, q, y, plates[i], spin, memory, slope[i])
        slopes(net, p, q, y, plates[i], spin, memory, mode, int(np.int64(AS_IT_COMES)), slope[i], by_plate, scratch)
        put(y, record[i])
        record[i, n], record[i, n + 1], record[i, n + 2] = memory, spin, mode
        record[i, n + 3], record[i, n + 4] = outcome, left
        if outcome == NOT_SETTLED:
            fill(y, p[P.room])
            for j in range(net.at.foot):
                y[j] = 0.0
            spin, memory = kept_spin, kept_memory
    return spin, memory
