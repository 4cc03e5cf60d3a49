"""An evening marched by general-purpose integrators, with the same modes found by their own root-finding.

Only the rates of change are hobwind's; steps, events, switching and sampling are written here anew, so that the
compiled clockwork is checked by something that shares none of it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.integrate import solve_ivp
from sksundae.cvode import CVODE

from hobwind.compiled import kernel
from hobwind.stack.assemble import assemble
from hobwind.stack.curves import PlateCurve
from hobwind.stack.elements import air_at_fan, bank, motor_at, pin_travel
from hobwind.stack.fields import AS_IT_COMES, FALLING, GUARD_FREE, HELD, RISING, P, Q
from hobwind.stack.net import Floats, Ints, Net
from hobwind.stack.prepare import Stack
from hobwind.stack.rates import rates

Segment = Callable[[Callable[..., Floats], float, float, Floats, list[Callable[..., float]], Floats], tuple]


@kernel
def build_net(p: Floats, q: Ints) -> Net:
    """The arrays of a build, made from Python."""
    return assemble(p, q)


@dataclass
class Marched:
    """Result: states on the grid, and what happened when."""

    states: Floats
    events: list[tuple[float, str]] = field(default_factory=list)
    calls: int = 0


def radau(rhs, start, end, y, events, grid):
    """One stretch by SciPy's Radau; returns end time, state, index of the event or None, samples on the grid."""
    return _scipy("Radau", rhs, start, end, y, events, grid)


def _scipy(method, rhs, start, end, y, events, grid):
    for event in events:
        event.terminal, event.direction = True, 1.0
    ran = solve_ivp(rhs, (start, end), y, method=method, rtol=1e-8, atol=1e-7, events=events, dense_output=True, max_step=120.0)
    fired = next((i for i, times in enumerate(ran.t_events) if len(times)), None)
    stop = ran.t[-1]
    inside = grid[(grid >= start) & (grid <= stop)]
    return stop, ran.y[:, -1], fired, (inside, ran.sol(inside).T if inside.size else np.empty((0, y.size)))


def cvode(rhs, start, end, y, events, grid):
    """One stretch by SUNDIALS CVODE (BDF) with its root-finding; as `radau`."""

    def write_rates(t, y_now, out):
        out[:] = rhs(t, y_now)

    def write_events(t, y_now, out):
        for i, event in enumerate(events):
            out[i] = event(t, y_now)

    write_events.terminal = [True] * len(events)
    write_events.direction = [1] * len(events)
    inside = grid[(grid > start) & (grid < end)]
    times = np.concatenate([[start], inside, [end]])
    solver = CVODE(
        write_rates, method="BDF", rtol=1e-8, atol=1e-7, eventsfn=write_events, num_events=len(events), max_step=120.0,
        max_num_steps=20000,
    )  # fmt: skip
    ran = solver.solve(times, y)
    fired = None
    if ran.t_events is not None and len(ran.t_events):
        fired = int(np.flatnonzero(np.asarray(ran.i_events[-1]))[0])
    known = {float(t): row for t, row in zip(ran.t, ran.y, strict=True)}
    kept = np.array([t for t in grid if float(t) in known and start <= t <= ran.t[-1]])
    rows = np.array([known[float(t)] for t in kept]) if kept.size else np.empty((0, y.size))
    return float(ran.t[-1]), np.array(ran.y[-1]), fired, (kept, rows)


def march_by(stretch, prepared: Stack, curve: PlateCurve, grid: Floats) -> Marched:
    """March one evening from cold with `stretch` as the integrator.

    Args:
        stretch: `radau` or `cvode`.
        prepared: a prepared build.
        curve: plate over time.
        grid: times to sample, s.

    Returns:
        States on the grid and the events.
    """
    p, q = prepared.p, prepared.q
    net = build_net(p, q)
    n = net.at.size
    y = np.full(n, p[P.room])
    y[: net.at.foot] = 0.0
    spin, mode, memory, up = 0, HELD, float(y[net.at.element]), False
    free = q[Q.guard] == GUARD_FREE
    found = Marched(np.full((grid.size, n), np.nan))
    rate = np.empty(n)

    def plate_at(t: float) -> float:
        return float(np.interp(t, curve.time, curve.plate))

    def torque(t: float, y_now: Floats) -> float:
        emf, ohms = bank(net.wired, y_now)
        return motor_at(p, emf, ohms, y_now[net.at.motor], air_at_fan(p, plate_at(t), spin), 0)[2]

    def rhs(t: float, y_now: Floats) -> Floats:
        found.calls += 1
        rates(net, p, q, np.ascontiguousarray(y_now), plate_at(t), spin, memory, mode, AS_IT_COMES, rate)
        return rate.copy()

    def slope(t: float, y_now: Floats) -> float:
        return float(rhs(t, y_now)[net.at.element])

    t, last = float(curve.time[0]), float(curve.time[-1])
    corner = 1
    while t < last - 1e-9:
        if len(found.events) > 200 or found.calls > 3_000_000:
            raise RuntimeError(f"stuck at {t} s: {found.events[-5:]}")
        while curve.time[corner] <= t + 1e-9:
            corner += 1
        names, events = [], []
        names.append("starts" if spin == 0 else "stops")
        if spin == 0:
            events.append(lambda t, y_now: torque(t, y_now) - p[P.motor_breakaway])
        else:
            events.append(lambda t, y_now: p[P.motor_friction] - torque(t, y_now))
        if free and mode == HELD:
            names += ["rising", "falling"]
            # A hair of a kelvin: a root-finder does not watch a function that starts at exactly nothing.
            events.append(lambda t, y_now, w=memory: y_now[net.at.element] - w - 1e-8)
            events.append(lambda t, y_now, w=memory: w - p[P.wax_hysteresis] - y_now[net.at.element] - 1e-8)
        elif free:
            names.append("held")
            events.append((lambda t, y_now: -slope(t, y_now)) if mode == RISING else slope)
        if free and not up:
            names.append("up")
            events.append(lambda t, y_now, w=memory, m=mode: pin_travel(net.at, p, q, y_now, w, m) - 1e-9)
        elif free:
            names.append("down")
            events.append(lambda t, y_now, w=memory, m=mode: -pin_travel(net.at, p, q, y_now, w, m) - 1e-9)
        t, y, fired, (inside, rows) = stretch(rhs, t, float(curve.time[corner]), y, events, grid)
        y = np.array(y)
        for when, row in zip(inside, rows, strict=True):
            found.states[np.searchsorted(grid, when)] = row
        if fired is None:
            continue
        what = names[fired]
        if what in ("starts", "stops"):
            spin = 1 - spin
            found.events.append((t, what))
        elif what in ("up", "down"):
            up = what == "up"
            found.events.append((t, "lifts" if up else "sits back"))
        elif what == "held":
            memory = float(y[net.at.element]) + (p[P.wax_hysteresis] if mode == FALLING else 0.0)
            mode = HELD
        else:
            mode = RISING if what == "rising" else FALLING
    return found
