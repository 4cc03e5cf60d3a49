"""The evening's clockwork: steps, events, and what is kept of them. Compiled.

The state is temperatures only. The wax's memory and whether the blade turns are not integrated: within a step they
are fixed by the mode, and a step never runs across a change. A crossing is found on the step's own curve, halved to
a millisecond, and the step taken again so that it ends just beyond; then `reconcile`, the only place where modes
change, puts spin and guard right.
"""

from __future__ import annotations

from enum import IntEnum

import numpy as np

from ..compiled import kernel
from .elements import air_at_fan, bank, lift_of, memory_now, motor_at, pin_travel
from .fields import FALLING, GUARD_FREE, HELD, RISING, P, Q
from .net import Floats, Ints, Net
from .rates import rates, slopes
from .rodas import GAMMA, NODES, SLOPES, STAGES, A, C, dense, factor, substitute

EVENT_TIME = 1e-3  # s; how sharply an event is placed
LOOKS = 4  # places within a step where events and peaks are looked for
CHATTER, CHATTER_TIME = 50, 60.0
MOST_EVENTS = 400
MOST_STEPS = 60000

# What an evening leaves behind in numbers, whatever its length.
End = IntEnum(
    "End",
    "outcome steps rejected lifts run peak_hot peak_time worst_margin margin_time above turning starts_at stops_at "
    "starts_time peak_sink peak_motor peak_element peak_cold lift_at sit_at first_lift_time peak_lift events turned",
    start=0,
)
# How an evening or a search for rest can end.
FINISHED, CHATTERS, TOO_MANY_STEPS, NOT_A_NUMBER = 0, 1, 2, 3
# Events kept in order.
STARTS, STOPS, LIFTS, SITS_BACK, TURNS = 1, 2, 3, 4, 5


@kernel
def stall_torque(net: Net, p: Floats, y: Floats, plate: float, spin: int) -> float:
    """Torque the motor would give standing still on what the modules give now, N m."""
    emf, ohms = bank(net, y)
    return motor_at(p, emf, ohms, y[net.motor], air_at_fan(p, plate, spin), 0)[2]


@kernel
def reconcile(
    net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, memory: float, mode: int, rate: Floats
) -> tuple[int, float, int, int]:
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
        spin, memory, mode, and how many of them changed. [-]
    """
    changed = 0
    torque = stall_torque(net, p, y, plate, spin)
    if spin == 0 and torque >= p[P.motor_breakaway]:
        spin, changed = 1, changed + 1
    elif spin == 1 and torque <= p[P.motor_friction]:
        spin, changed = 0, changed + 1
    rates(net, p, q, y, plate, spin, memory, mode, rate)
    if q[Q.guard] != GUARD_FREE:
        return spin, memory, mode, changed
    element = y[net.element]
    if mode == RISING and rate[net.element] < 0.0:
        memory, mode, changed = element, HELD, changed + 1
    elif mode == FALLING and rate[net.element] > 0.0:
        memory, mode, changed = element + p[P.wax_hysteresis], HELD, changed + 1
    elif mode == HELD and element > memory:
        memory, mode, changed = element, RISING, changed + 1
    elif mode == HELD and element < memory - p[P.wax_hysteresis]:
        memory, mode, changed = element + p[P.wax_hysteresis], FALLING, changed + 1
    if changed > 0:
        rates(net, p, q, y, plate, spin, memory, mode, rate)
    return spin, memory, mode, changed


@kernel
def watch(
    net: Net,
    p: Floats,
    q: Ints,
    y: Floats,
    plate: float,
    spin: int,
    memory: float,
    mode: int,
    rate: Floats,
    marks: Floats,
) -> None:
    """Write the signs to watch: marks[0:2] act when they become positive, marks[2:] whenever they change sign."""
    torque = stall_torque(net, p, y, plate, spin)
    marks[0] = torque - p[P.motor_breakaway] if spin == 0 else p[P.motor_friction] - torque
    marks[1:] = -1.0
    if q[Q.guard] != GUARD_FREE:
        return
    element = y[net.element]
    if mode == HELD:
        marks[1] = max(element - memory, memory - p[P.wax_hysteresis] - element)
    else:
        rates(net, p, q, y, plate, spin, memory, mode, rate)
        marks[1] = -rate[net.element] if mode == RISING else rate[net.element]
    travel = pin_travel(net, p, q, y, memory, mode)
    w = memory_now(p, element, memory, mode)
    marks[2] = travel
    marks[3] = travel - p[P.stop]
    marks[4] = w - p[P.wax_opens]
    marks[5] = w - p[P.wax_full]
    marks[6] = travel - p[P.seat_settle]


@kernel
def crossed(before: Floats, after: Floats, armed: Ints) -> bool:
    """Whether any watched sign has acted between two looks; arms those that are strictly on the safe side."""
    for i in range(before.size):
        if i < 2:
            if before[i] < 0.0:
                armed[i] = 1
            if armed[i] == 1 and after[i] > 0.0:
                return True
        elif (before[i] > 0.0) != (after[i] > 0.0):
            return True
    return False


@kernel
def take_step(
    net: Net,
    p: Floats,
    q: Ints,
    y: Floats,
    step: float,
    plate: float,
    plate_rate: float,
    spin: int,
    memory: float,
    mode: int,
    rate: Floats,
    by_time: Floats,
    slope: Floats,
    matrix: Floats,
    order: Floats,
    stages: Floats,
    work: Floats,
    out: Floats,
) -> float:
    """Write the state one `step` on into `out` and return the largest error estimate, K (NaN when it failed)."""
    n = net.size
    for i in range(n):
        for j in range(n):
            matrix[i, j] = -slope[i, j]
        matrix[i, i] += 1.0 / (step * GAMMA)
    if not factor(matrix, order):
        return np.nan
    for s in range(STAGES):
        stage = stages[s]
        if s == 0:
            stage[:] = rate
        else:
            for i in range(n):
                total = y[i]
                for r in range(s):
                    total += A[s, r] * stages[r, i]
                work[i] = total
            rates(net, p, q, work, plate + plate_rate * NODES[s] * step, spin, memory, mode, stage)
            if s >= STAGES - 2:
                out[:] = work
        for i in range(n):
            total = stage[i] + step * SLOPES[s] * by_time[i]
            for r in range(s):
                total += C[s, r] / step * stages[r, i]
            stage[i] = total
        substitute(matrix, order, stage)
    worst = 0.0
    for i in range(n):
        error = abs(stages[STAGES - 1, i])
        if not error <= worst:
            worst = error
        out[i] += stages[STAGES - 1, i]
    return worst


@kernel
def march(
    net: Net,
    p: Floats,
    q: Ints,
    times: Floats,
    plates: Floats,
    y: Floats,
    tolerance: float,
    grid: Floats,
    record: Floats,
    events: Floats,
    end: Floats,
) -> None:
    """Run one evening from rest.

    Args:
        net: arrays. [SI]
        p: inputs. [SI]
        q: choices. [-]
        times: corners of the plate curve, rising, (c). [s]
        plates: plate at the corners, (c). [K]
        y: states at the start; holds those at the end afterwards. [K]
        tolerance: largest error of a step. [K]
        grid: times to keep, rising, (g); may be empty. [s]
        record: result, (g, size + 3): states, wax memory, spin, plate. [K]
        events: result, (MOST_EVENTS, 4): time, kind, plate, element. [s, -, K, K]
        end: result, (len(End)). [SI]
    """
    n = net.size
    rate, by_time, work, after, look = np.empty(n), np.empty(n), np.empty(n), np.empty(n), np.empty(n)
    slope, matrix, scratch = np.empty((n, n)), np.empty((n, n)), np.empty((2, n))
    stages, order = np.empty((STAGES, n)), np.empty(n)
    marks, first, last = np.empty(7), np.empty(7), np.empty(7)
    armed = np.zeros(2, np.int64)
    end[:] = np.nan
    end[End.outcome] = FINISHED
    end[End.steps] = end[End.rejected] = end[End.lifts] = end[End.run] = end[End.above] = end[End.turning] = 0.0
    end[End.peak_hot] = end[End.peak_sink] = end[End.peak_motor] = end[End.peak_element] = -np.inf
    end[End.peak_cold], end[End.worst_margin], end[End.peak_lift], end[End.turned] = -np.inf, np.inf, 0.0, 0.0
    t, corner, kept, n_events = times[0], 0, 0, 0
    spin, mode, memory = 0, HELD, y[net.element]
    step, up = 5.0, False
    window_start, window_changes = t, 0
    run, lowest_since, last_lift_plate = 0, np.inf, np.inf
    margin_before = _note(net, p, y, t, spin, end)
    while kept < grid.size and grid[kept] <= t:
        _keep(record, kept, y, memory_now(p, y[net.element], memory, mode), spin, plates[0])
        kept += 1

    while corner < times.size - 1:
        if times[corner + 1] - t <= 1e-9 * max(1.0, abs(t)):
            t = times[corner + 1]
            corner += 1
            continue
        climb = (plates[corner + 1] - plates[corner]) / (times[corner + 1] - times[corner])
        plate = plates[corner] + climb * (t - times[corner])
        was_spin, was_up = spin, up
        spin, memory, mode, changed = reconcile(net, p, q, y, plate, spin, memory, mode, rate)
        travel = pin_travel(net, p, q, y, memory, mode)
        up = travel > 0.0
        lowest_since = min(lowest_since, plate)
        if spin != was_spin:
            n_events = _event(events, n_events, t, STARTS if spin == 1 else STOPS, plate, y[net.element])
            if spin == 1 and np.isnan(end[End.starts_at]):
                end[End.starts_at], end[End.starts_time], end[End.turned] = plate, t, 1.0
            if spin == 0:
                end[End.stops_at] = plate
        if up != was_up and q[Q.guard] == GUARD_FREE:
            n_events = _event(events, n_events, t, LIFTS if up else SITS_BACK, plate, y[net.element])
            if up:
                end[End.lifts] += 1.0
                if np.isnan(end[End.lift_at]):
                    end[End.lift_at], end[End.first_lift_time] = plate, t
                # A lift belongs to a run of hunting while the plate has not fallen by the guard's own hysteresis.
                held_plate = n_events >= 2 and run > 0 and last_lift_plate - lowest_since <= p[P.wax_hysteresis]
                run = run + 1 if held_plate else 1
                end[End.run] = max(end[End.run], float(run))
                last_lift_plate, lowest_since = plate, plate
            else:
                end[End.sit_at] = plate
        if changed > 0:
            armed[:] = 0
            if t - window_start > CHATTER_TIME:
                window_start, window_changes = t, 0
            window_changes += changed
            if window_changes > CHATTER:
                end[End.outcome] = CHATTERS
                break
            step = min(step, 2.0)
        slopes(net, p, q, y, plate, spin, memory, mode, slope, scratch)
        rates(net, p, q, y, plate + 1e-2, spin, memory, mode, by_time)
        for i in range(n):
            by_time[i] = (by_time[i] - rate[i]) / 1e-2 * climb
        watch(net, p, q, y, plate, spin, memory, mode, work, first)

        landed = False
        while not landed:
            step = min(step, times[corner + 1] - t)
            error = take_step(
                net, p, q, y, step, plate, climb, spin, memory, mode, rate, by_time, slope, matrix, order, stages,
                work, after,
            )
            end[End.steps] += 1.0
            if end[End.steps] > MOST_STEPS:
                end[End.outcome] = TOO_MANY_STEPS
                break
            grow = min(max(0.9 * (tolerance / max(error, 1e-12)) ** 0.25, 0.2), 4.0) if error == error else 0.2
            if not error < tolerance and step > EVENT_TIME:
                end[End.rejected] += 1.0
                step = max(step * grow, 0.5 * EVENT_TIME)
                continue
            if not error < np.inf:
                end[End.outcome] = NOT_A_NUMBER
                break
            # Look along the step for the first change of sign.
            low_share, high_share, found = 0.0, 1.0, False
            marks[:] = first
            for place in range(1, LOOKS + 1):
                share = place / LOOKS
                if place < LOOKS:
                    dense(y, after, stages, share, look)
                else:
                    look[:] = after
                watch(net, p, q, look, plate + climb * share * step, spin, memory, mode, work, last)
                if crossed(marks, last, armed):
                    low_share, high_share, found = (place - 1) / LOOKS, share, True
                    break
                marks[:] = last
            if found and (high_share - low_share) * step > EVENT_TIME:
                while (high_share - low_share) * step > EVENT_TIME:
                    middle = 0.5 * (low_share + high_share)
                    dense(y, after, stages, middle, look)
                    watch(net, p, q, look, plate + climb * middle * step, spin, memory, mode, work, last)
                    if crossed(marks, last, armed):
                        high_share = middle
                    else:
                        low_share = middle
                        marks[:] = last
            if found and high_share < 1.0:
                whole = step
                step = high_share * step
                error = take_step(
                    net, p, q, y, step, plate, climb, spin, memory, mode, rate, by_time, slope, matrix, order, stages,
                    work, after,
                )
                if not error < np.inf:
                    end[End.outcome] = NOT_A_NUMBER
                    break
                grow = min(max(0.25 * whole / step, 1.0), 4.0)
            landed = True
        if end[End.outcome] != FINISHED:
            break

        for place in range(1, LOOKS + 1):
            share = place / LOOKS
            if place < LOOKS:
                dense(y, after, stages, share, look)
            else:
                look[:] = after
            margin = _note(net, p, look, t + share * step, spin, end)
            end[End.above] += _time_below_zero(margin_before, margin, step / LOOKS)
            margin_before = margin
            end[End.peak_lift] = max(end[End.peak_lift], lift_of(p, pin_travel(net, p, q, look, memory, mode)))
        if spin == 1:
            end[End.turning] += step
        while kept < grid.size and grid[kept] <= t + step * (1.0 + 1e-12):
            share = (grid[kept] - t) / step
            dense(y, after, stages, share, look)
            _keep(
                record, kept, look, memory_now(p, look[net.element], memory, mode), spin, plate + climb * share * step
            )
            kept += 1
        y[:] = after
        t += step
        step *= grow
    end[End.events] = n_events
    if end[End.outcome] != FINISHED:
        for i in range(kept, grid.size):
            record[i, :] = np.nan


@kernel
def _event(events: Floats, count: int, t: float, kind: int, plate: float, element: float) -> int:
    if count >= events.shape[0]:
        return count
    events[count, 0], events[count, 1], events[count, 2], events[count, 3] = t, kind, plate, element
    return count + 1


@kernel
def _keep(record: Floats, row: int, y: Floats, memory: float, spin: int, plate: float) -> None:
    record[row, : y.size] = y
    record[row, y.size], record[row, y.size + 1], record[row, y.size + 2] = memory, spin, plate


@kernel
def _note(net: Net, p: Floats, y: Floats, t: float, spin: int, end: Floats) -> float:
    """Keep the peaks at one look; return the smallest margin of any hot face, K."""
    least = np.inf
    for k in range(net.hot.size):
        hot = y[net.hot[k]]
        if hot > end[End.peak_hot]:
            end[End.peak_hot], end[End.peak_time] = hot, t
        end[End.peak_cold] = max(end[End.peak_cold], y[net.hot[k] + 1])
        least = min(least, net.limit[k] - hot)
    if least < end[End.worst_margin]:
        end[End.worst_margin], end[End.margin_time] = least, t
    end[End.peak_sink] = max(end[End.peak_sink], y[net.sink])
    end[End.peak_motor] = max(end[End.peak_motor], y[net.motor])
    end[End.peak_element] = max(end[End.peak_element], y[net.element])
    return least


@kernel
def _time_below_zero(before: float, after: float, span: float) -> float:
    """How much of `span` a straight line from `before` to `after` is below zero."""
    if before >= 0.0 and after >= 0.0:
        return 0.0
    if before < 0.0 and after < 0.0:
        return span
    return span * (-min(before, after)) / abs(after - before)
