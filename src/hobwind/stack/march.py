"""The evening's clockwork: steps, events, and what is kept of them. Compiled.

The state is temperatures only. The wax's memory and whether the blade turns are not integrated: within a step they
are fixed by the mode, and a step never runs across a change. A crossing is found on the step's own curve, halved to
a millisecond, and the step taken again so that it ends just beyond; then `reconcile`, the only place where modes
change, puts spin and guard right.
"""

from __future__ import annotations

import numpy as np

from ..compiled import kernel
from .elements import lift_of, memory_now, pin_travel
from .fields import GUARD_FREE, HELD, P, Q
from .keeping import (
    CHATTERS,
    FINISHED,
    LIFTS,
    NOT_A_NUMBER,
    SITS_BACK,
    STARTS,
    STOPS,
    TOO_MANY_STEPS,
    End,
    keep_state,
    note_event,
    note_peaks,
    time_below_zero,
)
from .net import Floats, Ints, Net
from .rates import rates, slopes
from .rodas import GAMMA, NODES, SLOPES, STAGES, A, C, dense, factor, substitute
from .switching import crossed, reconcile, watch

EVENT_TIME = 1e-3  # s; how sharply an event is placed
LOOKS = 4  # places within a step where events and peaks are looked for
CHATTER, CHATTER_TIME = 50, 60.0
MOST_EVENTS = 400
MOST_STEPS = 60000


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
    n = net.at.size
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
    n = net.at.size
    rate, by_time, work, after, look = np.empty(n), np.empty(n), np.empty(n), np.empty(n), np.empty(n)
    slope, matrix, scratch = np.empty((n, n)), np.empty((n, n)), np.empty((2, n))
    stages, order = np.empty((STAGES, n)), np.empty(n)
    marks, first, last = np.empty(6), np.empty(6), np.empty(6)
    armed = np.zeros(2, np.int64)
    end[:] = np.nan
    end[End.outcome] = FINISHED
    end[End.steps] = end[End.rejected] = end[End.lifts] = end[End.run] = end[End.above] = end[End.turning] = 0.0
    end[End.peak_hot] = end[End.peak_sink] = end[End.peak_motor] = end[End.peak_element] = -np.inf
    end[End.peak_cold], end[End.worst_margin], end[End.peak_lift], end[End.turned] = -np.inf, np.inf, 0.0, 0.0
    t, corner, kept, n_events = times[0], 0, 0, 0
    # By way of np.int64: a literal constant would make the compiler build everything below a second time for it.
    spin, mode, memory = int(np.int64(0)), int(np.int64(HELD)), y[net.at.element]
    step, up = 20.0, False
    window_start, window_changes = t, 0
    run, lowest_since, last_lift_plate = 0, np.inf, np.inf
    margin_before = note_peaks(net, p, y, t, spin, end)
    while kept < grid.size and grid[kept] <= t:
        keep_state(record, kept, y, memory_now(p, y[net.at.element], memory, mode), spin, plates[0])
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
        travel = pin_travel(net.at, p, q, y, memory, mode)
        up = travel > 0.0
        lowest_since = min(lowest_since, plate)
        if spin != was_spin:
            n_events = note_event(events, n_events, t, STARTS if spin == 1 else STOPS, plate, y[net.at.element])
            if spin == 1 and np.isnan(end[End.starts_at]):
                end[End.starts_at], end[End.starts_time], end[End.turned] = plate, t, 1.0
            if spin == 0:
                end[End.stops_at] = plate
        if up != was_up and q[Q.guard] == GUARD_FREE:
            n_events = note_event(events, n_events, t, LIFTS if up else SITS_BACK, plate, y[net.at.element])
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
            step = min(step, 40.0)
        slopes(net, p, q, y, plate, spin, memory, mode, slope, scratch)
        rates(net, p, q, y, plate + 1e-2, spin, memory, mode, by_time)
        for i in range(n):
            by_time[i] = (by_time[i] - rate[i]) / 1e-2 * climb
        watch(net, p, q, y, plate, spin, memory, mode, first)

        landed, refused = False, False
        while not landed:
            step = min(step, times[corner + 1] - t)
            error = take_step(
                net,
                p,
                q,
                y,
                step,
                plate,
                climb,
                spin,
                memory,
                mode,
                rate,
                by_time,
                slope,
                matrix,
                order,
                stages,
                work,
                after,
            )
            end[End.steps] += 1.0
            if end[End.steps] > MOST_STEPS:
                end[End.outcome] = TOO_MANY_STEPS
                break
            grow = min(max(0.9 * (tolerance / max(error, 1e-12)) ** 0.25, 0.2), 4.0) if error == error else 0.2
            if not error < tolerance and step > EVENT_TIME:
                end[End.rejected] += 1.0
                refused = True
                step = max(step * grow, 0.5 * EVENT_TIME)
                continue
            if refused:
                grow = min(grow, 1.0)  # what was refused a moment ago would be refused again
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
                watch(net, p, q, look, plate + climb * share * step, spin, memory, mode, last)
                if crossed(marks, last, armed):
                    low_share, high_share, found = (place - 1) / LOOKS, share, True
                    break
                marks[:] = last
            if found and (high_share - low_share) * step > EVENT_TIME:
                while (high_share - low_share) * step > EVENT_TIME:
                    middle = 0.5 * (low_share + high_share)
                    dense(y, after, stages, middle, look)
                    watch(net, p, q, look, plate + climb * middle * step, spin, memory, mode, last)
                    if crossed(marks, last, armed):
                        high_share = middle
                    else:
                        low_share = middle
                        marks[:] = last
            if found and high_share < 1.0:
                whole = step
                step = high_share * step
                error = take_step(
                    net,
                    p,
                    q,
                    y,
                    step,
                    plate,
                    climb,
                    spin,
                    memory,
                    mode,
                    rate,
                    by_time,
                    slope,
                    matrix,
                    order,
                    stages,
                    work,
                    after,
                )
                if not error < np.inf:
                    end[End.outcome] = NOT_A_NUMBER
                    break
                grow = max(0.4 * whole / step, 1.0)  # back to the pace from before the event
            landed = True
        if end[End.outcome] != FINISHED:
            break

        for place in range(1, LOOKS + 1):
            share = place / LOOKS
            if place < LOOKS:
                dense(y, after, stages, share, look)
            else:
                look[:] = after
            margin = note_peaks(net, p, look, t + share * step, spin, end)
            end[End.above] += time_below_zero(margin_before, margin, step / LOOKS)
            margin_before = margin
            end[End.peak_lift] = max(end[End.peak_lift], lift_of(p, pin_travel(net.at, p, q, look, memory, mode)))
        if spin == 1:
            end[End.turning] += step
        while kept < grid.size and grid[kept] <= t + step * (1.0 + 1e-12):
            share = (grid[kept] - t) / step
            dense(y, after, stages, share, look)
            keep_state(
                record, kept, look, memory_now(p, look[net.at.element], memory, mode), spin, plate + climb * share * step
            )
            kept += 1
        y[:] = after
        t += step
        step *= grow
    end[End.events] = n_events
    if end[End.outcome] != FINISHED:
        for i in range(kept, grid.size):
            record[i, :] = np.nan
