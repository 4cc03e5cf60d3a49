"""The evening's clockwork: steps, events, and what is kept of them. Compiled.

The state is temperatures only. The wax's memory and whether the blade turns are not integrated: within a step they
are fixed by the mode, and the law of the pin by its reach, so that a step sees no corner. A crossing is found on the
step's own curve, to a millisecond, and the step ends just beyond it; then `reconcile`, the only place where modes and
reach change, puts spin and guard right.
"""

from __future__ import annotations

import numpy as np

from ..compiled import kernel, lean_kernel
from .elements import memory_now, opening, pin_travel
from .fields import DOWN, GUARD_FREE, HELD, RAISED, SETTLING, P, Q
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
    note_crests,
    note_event,
    note_peaks,
    time_below_zero,
)
from .net import Floats, Ints, Net
from .rates import rates, slopes
from .rodas import GAMMA, NODES, SLOPES, STAGES, A, C, dense, factor, substitute
from .switching import crossed, reconcile, watch
from .vectors import fill, put

EVENT_TIME = 1e-3  # s; how sharply an event is placed
LOOKS = 4  # places within a step where events and peaks are looked for; one alone when the step is short
SHORT, LONG = 5.0, 40.0  # s; wax and faces answer more slowly than the one, and may turn twice within the other
CHATTER, CHATTER_TIME = 50, 60.0
MOST_EVENTS = 400
MOST_STEPS = 60000


@lean_kernel
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
    reach: int,
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
            put(rate, stage)
        else:
            put(y, work)
            for r in range(s):
                for i in range(n):
                    work[i] += A[s, r] * stages[r, i]
            rates(net, p, q, work, plate + plate_rate * NODES[s] * step, spin, memory, mode, reach, stage)
            if s >= STAGES - 2:
                put(work, out)
        for i in range(n):
            stage[i] += step * SLOPES[s] * by_time[i]
        for r in range(s):
            weight = C[s, r] / step
            for i in range(n):
                stage[i] += weight * stages[r, i]
        substitute(matrix, order, stage)
    worst = 0.0
    for i in range(n):
        error = abs(stages[STAGES - 1, i])
        if not error <= worst:
            worst = error
        out[i] += stages[STAGES - 1, i]
    return worst


@lean_kernel
def _growth(error: float, step: float, error_before: float, step_before: float) -> float:
    """By how much the next step may be longer, from the error of this step and of the one before, in tolerances.

    Looking back over two steps sees a gap closing or a face heating ever faster, where one step alone would be refused
    each time (hairer-wanner-1996, chapter IV.8). `step_before` is 0 where the step before says nothing.
    """
    if not error < np.inf:
        return 0.2
    small = max(error, 1e-8)
    grow = 0.9 * small**-0.25
    if step_before > 0.0 and error < 1.0:
        grow = min(grow, grow * step / step_before * (max(error_before, 1e-2) / small) ** 0.25)
    return min(max(grow, 0.2), 4.0)


@lean_kernel
def _gap_time(p: Floats, travel: float, warming: float, mode: int, reach: int) -> float:
    """A step that the seat's law can bear while the gap is thin or closing, s: heat goes as one over the gap."""
    stage = reach % 4
    if mode == HELD or not (stage == SETTLING or (stage == RAISED and warming < 0.0)):
        return np.inf
    stretch = reach // 4
    per_kelvin = p[P.wax_travel] / (p[P.wax_full] - p[P.wax_opens]) if stretch == 1 else p[P.wax_creep]
    pace = abs(p[P.lever] * per_kelvin * warming)
    return 0.6 * (travel + p[P.seat_settle]) / pace if pace > 0.0 else np.inf


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
    fill(end, np.nan)
    end[End.outcome] = FINISHED
    end[End.steps] = end[End.rejected] = end[End.lifts] = end[End.run] = end[End.above] = end[End.turning] = 0.0
    end[End.peak_hot] = end[End.peak_sink] = end[End.peak_motor] = end[End.peak_element] = -np.inf
    end[End.peak_cold] = end[End.peak_low] = -np.inf
    end[End.worst_margin], end[End.peak_lift], end[End.turned] = np.inf, 0.0, 0.0
    t, corner, kept, n_events = times[0], 0, 0, 0
    # By way of np.int64: a literal constant would make the compiler build everything below a second time for it.
    spin, mode, memory = int(np.int64(0)), int(np.int64(HELD)), y[net.at.element]
    step, up, watched, reach = 20.0, False, False, int(np.int64(DOWN))
    error_before, step_before = 1.0, 0.0
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
        was_spin, was_up, was_reach = spin, up, reach
        spin, memory, mode, changed, reach = reconcile(net, p, q, y, plate, spin, memory, mode, rate)
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
            armed[0] = armed[1] = 0
            if t - window_start > CHATTER_TIME:
                window_start, window_changes = t, 0
            window_changes += changed
            if window_changes > CHATTER:
                end[End.outcome] = CHATTERS
                break
            step = min(step, 40.0)
        slopes(net, p, q, y, plate, spin, memory, mode, reach, slope, by_time, scratch)
        for i in range(n):
            by_time[i] *= climb
        if watched and changed == 0 and reach == was_reach:
            put(last, first)  # the last look of the step before was at this very state
        else:
            watch(net, p, q, y, plate, spin, memory, mode, reach, first)

        step = min(step, _gap_time(p, travel, rate[net.at.element], mode, reach))
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
                reach,
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
            grow = _growth(error / tolerance, step, error_before, step_before)
            if not error < tolerance and step > EVENT_TIME:
                end[End.rejected] += 1.0
                refused = True
                step = max(step * grow, 0.5 * EVENT_TIME)
                continue
            if refused:
                grow = min(grow, 1.0)  # what was refused a moment ago would be refused again
            error_before, step_before = error / tolerance, step
            if not error < np.inf:
                end[End.outcome] = NOT_A_NUMBER
                break
            landed = True
        if end[End.outcome] != FINISHED:
            break

        # Walk along the step's own curve: peaks as far as the first change of sign, which is then halved down to and
        # where this step ends. The law within a step has no corners, so its curve holds up to there.
        put(first, marks)
        share, margin_before_look = 1.0, margin_before
        looks = 1 if step < SHORT else 2 if step < LONG else LOOKS
        for place in range(1, looks + 1):
            here = place / looks
            if place < looks:
                dense(y, after, stages, here, look)
            else:
                put(after, look)
            watch(net, p, q, look, plate + climb * here * step, spin, memory, mode, reach, last)
            acted = crossed(marks, last, armed)
            if acted >= 0:
                turn, mark_at, last_at = 0, marks[acted], last[acted]
                low_share, share = here - 1.0 / looks, here
                while (share - low_share) * step > EVENT_TIME:
                    # By the straight line through both ends, leaning over it to close the bracket; every third turn by halves.
                    turn += 1
                    middle = 0.5 * (low_share + share)
                    if turn % 3 != 0 and last_at * mark_at < 0.0:
                        lean = 0.4 * EVENT_TIME / step * (1.0 if turn % 3 == 1 else -1.0)
                        straight = low_share + (share - low_share) * mark_at / (mark_at - last_at) + lean
                        if low_share < straight < share:
                            middle = straight
                    dense(y, after, stages, middle, look)
                    watch(net, p, q, look, plate + climb * middle * step, spin, memory, mode, reach, last)
                    mark = crossed(marks, last, armed)
                    if mark >= 0:
                        share, last_at, mark_at = middle, last[mark], marks[mark]
                        acted = mark
                    else:
                        low_share, mark_at = middle, last[acted]
                        put(last, marks)
                dense(y, after, stages, share, look)
                here = share
            margin = note_peaks(net, p, look, t + here * step, spin, end)
            end[End.above] += time_below_zero(margin_before_look, margin, (here - (place - 1) / looks) * step)
            margin_before_look = margin
            lift = opening(net.at, p, q, look, memory, mode, reach)[0]
            end[End.peak_lift] = max(end[End.peak_lift], min(lift, p[P.stop]))
            if acted >= 0:
                grow = max(0.4 / share, 1.0)  # back to the pace from before the event
                break
            put(last, marks)
        note_crests(net, p, y, after, stages, share, t, step, spin, work, end)
        margin_before, watched = margin_before_look, acted < 0
        whole, step = step, share * step
        if spin == 1:
            end[End.turning] += step
        while kept < grid.size and grid[kept] <= t + step * (1.0 + 1e-12):
            part = (grid[kept] - t) / whole
            dense(y, after, stages, part, look)
            note_peaks(net, p, look, grid[kept], spin, end)  # no kept state stands above the peak
            keep_state(
                record, kept, look, memory_now(p, look[net.at.element], memory, mode), spin, plate + climb * part * whole
            )
            kept += 1
        if share < 1.0:
            dense(y, after, stages, share, work)
            put(work, y)
        else:
            put(after, y)
        t += step
        step *= grow
    end[End.events] = n_events
    if end[End.outcome] != FINISHED:
        for i in range(kept, grid.size):
            fill(record[i], np.nan)
