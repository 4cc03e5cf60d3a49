"""Many unlike builds at rest, each with few solves: the coarse sieve of a pick, and the evenings of what is left. Compiled.

A build costs at most `MOST_SOLVES` searches for rest: the plate at which the blade starts and the one at which it stops by
bracketed search, and three plates: the usual one, the worst one, and the one at which the guard lifts. Between them the
states are carried along straight lines, beginning with the cold fan on a cold plate, which is at rest and known for nothing.
"""

from __future__ import annotations

from enum import IntEnum

import numpy as np

from ..compiled import kernel, lean_kernel, parallel_kernel, spread
from .assemble import make_net
from .elements import air_at_fan, bank, motor_at, pin_travel, stream_of, touching_at
from .fields import GUARD_FREE, HELD, HELD_DOWN, HELD_UP, RISING, P, Q
from .keeping import End
from .march import MOST_EVENTS, march
from .net import Floats, Ints, Net
from .settle import rest
from .switching import stall_torque
from .vectors import fill, put

MOST_SOLVES = 12
NEAR = 0.02  # share of the torque asked for within which a straight line finds the start or stop, to some 0.5 % of the rise
CLOSE = 0.3  # K; a lift is found when the element is this near
CLOSED = 1e-6  # left-over share of the throughput taken for rest: a hundredth of a kelvin or less
SURELY = 15.0  # K below the worst plate; a lift foretold there is taken for one without solving the worst plate shut
BLOWN = 0.4  # rise of a blown sink over that of a still one; a first guess and no more
FIRST = 60.0  # K above the room; where the search for the start begins

# What is kept of each build; plates and temperatures in K, air in m3/s; NaN where it never comes about.
Sift = IntEnum("Sift", "starts stops air air_worst lifts margin hot cold low motor element turned settled solves", start=0)


@lean_kernel
def _note(net: Net, y: Floats, out: Floats) -> None:
    """Keep the peaks of one state of rest."""
    for k in range(net.wired.hot.size):
        hot = y[net.wired.hot[k]]
        out[Sift.hot] = max(out[Sift.hot], hot)
        out[Sift.cold] = max(out[Sift.cold], y[net.wired.hot[k] + 1])
        out[Sift.margin] = min(out[Sift.margin], net.limit[k] - hot)
    out[Sift.low] = max(out[Sift.low], y[net.at.low])
    out[Sift.motor] = max(out[Sift.motor], y[net.at.motor])
    out[Sift.element] = max(out[Sift.element], y[net.at.element])


@lean_kernel
def _along(first: Floats, at_first: float, second: Floats, at_second: float, plate: float, y: Floats) -> None:
    """Set `y` where the straight line through two states of rest leads to at `plate`."""
    share = (plate - at_first) / (at_second - at_first)
    for i in range(y.size):
        y[i] = first[i] + share * (second[i] - first[i])


@lean_kernel
def _air(net: Net, p: Floats, y: Floats, plate: float, spin: int) -> float:
    """Flow through the blade's circle, m3/s."""
    if spin == 0:
        return 0.0
    ambient = air_at_fan(p, plate, spin)
    emf, ohms = bank(net.wired, y)
    speed = motor_at(p, emf, ohms, y[net.at.motor], ambient, spin)[0]
    if not speed > 0.0:
        return 0.0
    return stream_of(p, speed, ambient) * 0.25 * np.pi * p[P.blade_diameter] ** 2


@kernel
def _rest(net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, cold: Floats, slope: Floats) -> float:
    """Rest with the guard held; from the cold fan where the first guess leads nowhere. Returns the left-over share."""
    still = int(np.int64(HELD))
    left = rest(net, p, q, y, plate, spin, p[P.room], still, CLOSED, slope)
    if left != left:
        put(cold, y)
        left = rest(net, p, q, y, plate, spin, p[P.room], still, CLOSED, slope)
    return left


@kernel
def _lifted(net: Net, p: Floats, q: Ints, y: Floats, plate: float, spin: int, cold: Floats, part: bool, slope: Floats) -> int:
    """Rest with the guard free on a plate that lifts it, from the state in which it did. Returns the solves spent.

    Up to its stop first, which stands where the pin would push further still; else, if asked for, part of the way, and where
    no rest is found there the figures are those of the stop.
    """
    lifting = y.copy()
    up = q.copy()
    up[Q.guard] = HELD_UP
    _rest(net, p, up, y, plate, spin, cold, slope)
    if not part or pin_travel(net.at, p, q, y, p[P.room], RISING) >= p[P.stop]:
        return 1
    open_ = y.copy()
    put(lifting, y)
    left = rest(net, p, q, y, plate, spin, p[P.room], int(np.int64(RISING)), CLOSED, slope)
    if left != left:
        put(open_, y)
    return 2


@kernel
def sift_one(p: Floats, q: Ints, usual: float, worst: float, out: Floats) -> None:
    """The figures by which one build is ranked.

    Args:
        p: inputs. [SI]
        q: choices. [-]
        usual: plate in normal burning. [K]
        worst: hottest plate. [K]
        out: result in the layout of `Sift`, (len(Sift)). [SI]

    Limits: start and stop are those of a very slow fire; on a real one it starts later. Whether a guard hunts is not asked.
        A guard that lifts in normal burning is taken as up to its stop there, so the air is then too little rather than too much.
    """
    fill(out, np.nan)
    out[Sift.settled], out[Sift.solves], out[Sift.turned] = 0.0, 0.0, 0.0
    net = make_net(p, q)
    n, room = net.at.size, p[P.room]
    still, turning = int(np.int64(0)), int(np.int64(1))
    held = q.copy()
    if q[Q.guard] == GUARD_FREE:
        held[Q.guard] = HELD_DOWN
    slope = np.empty((n, n))
    cold = np.full(n, room)
    cold[: net.at.foot] = 0.0
    y, last, solves = cold.copy(), cold.copy(), 0

    # Where a standing blade breaks away on a slowly warming stove.
    wanted, starts = p[P.motor_breakaway], np.inf
    low, high, plate = room, worst, min(room + FIRST, worst)
    before_plate, before_torque, last_plate = room, 0.0, room
    for turn in range(4):
        if turn == 0:
            put(cold, y)
        else:
            _along(cold, room, last, last_plate, plate, y)
        left = _rest(net, p, held, y, plate, still, cold, slope)
        solves += 1
        if left != left:
            out[Sift.solves] = solves
            return
        put(y, last)
        last_plate = plate
        torque = stall_torque(net.wired, net.at.motor, p, y, plate, still)
        ahead = high
        if torque > before_torque or plate < before_plate:
            ahead = plate + (wanted - torque) * (plate - before_plate) / (torque - before_torque)
        if abs(torque - wanted) <= NEAR * wanted:
            starts = min(max(ahead, room), worst)  # so near, the straight line leads there
            break
        if torque < wanted:
            low = plate
            if plate >= worst:
                break
        else:
            high, starts = plate, plate
        before_plate, before_torque = plate, torque
        plate = min(max(ahead, low), high)
        if starts < np.inf:
            starts = plate  # the straight line's own answer, should the solves run out
    if starts == np.inf and plate < worst:
        starts = plate  # every solve fell short of it, the last by little

    # The usual plate and the worst one, seat shut.
    spin = turning if starts <= usual else still
    _along(cold, room, last, last_plate, usual, y)
    if spin == turning:  # the air that begins to move cools the sink to less than half
        for i in range(net.at.high, net.at.sink + 1):
            y[i] = room + BLOWN * (y[i] - room)
    left = _rest(net, p, held, y, usual, spin, cold, slope)
    solves += 1
    if left != left:
        out[Sift.solves] = solves
        return
    at_usual = y.copy()
    out[Sift.hot], out[Sift.cold], out[Sift.low], out[Sift.motor], out[Sift.element] = 0.0, 0.0, 0.0, 0.0, 0.0
    out[Sift.margin] = np.inf
    out[Sift.air] = _air(net, p, y, usual, spin)
    moves = q[Q.guard] == GUARD_FREE and q[Q.stuck] == 0
    if not moves or y[net.at.element] <= touching_at(net.at, p, y):
        _note(net, y, out)
    # A fan that starts late is at its hottest, for a while, just before it does.
    if starts < np.inf:
        _along(cold, room, last, last_plate, starts, y)
        if not moves or y[net.at.element] <= touching_at(net.at, p, y):
            _note(net, y, out)
    hard = turning if starts <= worst else still

    # Where the guard lifts: below the usual plate already, or beyond it by the straight line through the cold fan and this one.
    at_worst, solved_worst = at_usual, False
    short = at_usual[net.at.element] - touching_at(net.at, p, at_usual) if moves else -1.0
    first, at_first = cold, room
    far = cold[net.at.element] - touching_at(net.at, p, cold) if moves else -1.0
    lifts = np.inf
    if moves and short > far:
        lifts = room - (usual - room) * far / (short - far)
    if not moves or lifts > worst - SURELY:
        _along(cold, room, at_usual, usual, worst, y)
        left = _rest(net, p, held, y, worst, hard, cold, slope)
        solves += 1
        if left != left:
            out[Sift.solves] = solves
            return
        at_worst, solved_worst = y.copy(), True
        over = at_worst[net.at.element] - touching_at(net.at, p, at_worst) if moves else -1.0
        lifts = np.inf if over <= 0.0 else usual - (worst - usual) * short / (over - short)
    if lifts == np.inf:
        _note(net, at_worst, out)
        out[Sift.air_worst] = _air(net, p, at_worst, worst, hard)
    else:
        second, at_second, near = at_usual, usual, short
        if solved_worst:
            first, at_first, far = at_usual, usual, short
            second, at_second, near = at_worst, worst, over
        for turn in range(2):
            lifts = min(max(lifts, room + 1.0), worst)
            up_spin = turning if starts <= lifts else still
            _along(first, at_first, second, at_second, lifts, y)
            left = _rest(net, p, held, y, lifts, up_spin, cold, slope)
            solves += 1
            if left != left:
                break
            now = y[net.at.element] - touching_at(net.at, p, y)
            if abs(now) < CLOSE or turn == 1 or now == near:
                break
            first, at_first, far = second, at_second, near
            second, at_second, near = y.copy(), lifts, now
            if near != far:
                lifts = lifts - now * (at_second - at_first) / (near - far)
        if left == left:
            _note(net, y, out)
        out[Sift.lifts] = lifts
        open_at = y.copy()
        solves += _lifted(net, p, q, y, worst, hard, cold, True, slope)
        _note(net, y, out)
        out[Sift.air_worst] = _air(net, p, y, worst, hard)
        if lifts <= usual:
            put(open_at, y)
            solves += _lifted(net, p, q, y, usual, spin, cold, False, slope)
            out[Sift.air] = _air(net, p, y, usual, spin)

    # Where a turning blade stops on a slowly cooling stove.
    if starts < np.inf:
        out[Sift.starts] = starts
        out[Sift.turned] = 1.0 if starts <= usual else 0.0
        wanted = p[P.motor_friction]
        known, at_known = at_usual, usual
        if spin == still:
            known, at_known = last, starts
        before_plate = at_known
        before_torque = stall_torque(net.wired, net.at.motor, p, known, at_known, turning)
        low, high, plate = room, at_known, room + 0.6 * (starts - room)
        for _ in range(3):
            if solves >= MOST_SOLVES:
                break
            _along(cold, room, known, at_known, plate, y)
            left = _rest(net, p, held, y, plate, turning, cold, slope)
            solves += 1
            if left != left:
                break
            torque = stall_torque(net.wired, net.at.motor, p, y, plate, turning)
            known, at_known = y.copy(), plate
            if torque > wanted:
                high = plate
            else:
                low = plate
            ahead = low
            if torque != before_torque:
                ahead = plate + (wanted - torque) * (plate - before_plate) / (torque - before_torque)
            before_plate, before_torque = plate, torque
            plate = min(max(ahead, low + 0.5), high)
            if abs(torque - wanted) <= NEAR * wanted:
                break
        out[Sift.stops] = plate
    out[Sift.settled], out[Sift.solves] = 1.0, solves


@kernel
def sift_rows(inputs: Floats, choices: Ints, usual: float, worst: float, out: Floats) -> None:
    """`sift_one` for each row, one after the other: what one worker of a cluster does.

    Args:
        inputs: one row for each build, (m, P_LENGTH). [SI]
        choices: (m, Q_LENGTH). [-]
        usual: plate in normal burning. [K]
        worst: hottest plate. [K]
        out: result, (m, len(Sift)). [SI]
    """
    for i in range(inputs.shape[0]):
        sift_one(inputs[i], choices[i], usual, worst, out[i])


@parallel_kernel
def sift_shared(inputs: Floats, choices: Ints, usual: float, worst: float, out: Floats) -> None:
    """`sift_rows`, shared out among this machine's cores.

    Args:
        inputs: one row for each build, (m, P_LENGTH). [SI]
        choices: (m, Q_LENGTH). [-]
        usual: plate in normal burning. [K]
        worst: hottest plate. [K]
        out: result, (m, len(Sift)). [SI]
    """
    for i in spread(inputs.shape[0]):
        sift_one(inputs[i], choices[i], usual, worst, out[i])


@parallel_kernel
def march_each(inputs: Floats, choices: Ints, times: Floats, plates: Floats, tolerance: float, ends: Floats) -> None:
    """One evening for each of many unlike builds on the same fire, keeping only the closing figures.

    Args:
        inputs: one row for each build, (m, P_LENGTH). [SI]
        choices: (m, Q_LENGTH). [-]
        times: corners of the plate curve, (c). [s]
        plates: plate at the corners, (c). [K]
        tolerance: largest error of a step. [K]
        ends: result, (m, len(End)). [SI]
    """
    for i in spread(inputs.shape[0]):
        p, q = inputs[i], choices[i]
        net = make_net(p, q)
        y = np.full(net.at.size, p[P.room])
        y[: net.at.foot] = 0.0
        grid, record, events = np.empty(0), np.empty((0, net.at.size + 3)), np.empty((MOST_EVENTS, 4))
        march(net, p, q, times, plates, y, tolerance, grid, record, events, ends[i])


def sifted(inputs: Floats, choices: Ints, usual: float, worst: float) -> Floats:
    """`sift_rows` with its result made: a plain function that any executor can carry to a worker.

    Args:
        inputs: one row for each build, (m, P_LENGTH). [SI]
        choices: (m, Q_LENGTH). [-]
        usual: plate in normal burning. [K]
        worst: hottest plate. [K]

    Returns:
        Figures in the layout of `Sift`, (m, len(Sift)). [SI]
    """
    out = np.zeros((inputs.shape[0], len(Sift)))
    sift_rows(np.ascontiguousarray(inputs), np.ascontiguousarray(choices), usual, worst, out)
    return out


def evenings(inputs: Floats, choices: Ints, times: Floats, plates: Floats, tolerance: float) -> Floats:
    """`march_each` with its result made.

    Args:
        inputs: one row for each build, (m, P_LENGTH). [SI]
        choices: (m, Q_LENGTH). [-]
        times: corners of the plate curve, (c). [s]
        plates: plate at the corners, (c). [K]
        tolerance: largest error of a step. [K]

    Returns:
        Closing figures in the layout of `End`, (m, len(End)). [SI]
    """
    ends = np.zeros((inputs.shape[0], len(End)))
    march_each(np.ascontiguousarray(inputs), np.ascontiguousarray(choices), times, plates, tolerance, ends)
    return ends
