"""One evening by SciPy's LSODA with hobwind's rates as plain Python: run by table.py with the compiler switched off.

Prints the seconds it took and the hot face every five minutes, K.
"""

from __future__ import annotations

import time

import numpy as np
from scipy.integrate import solve_ivp

from builds import example, stack
from hobwind.stack.assemble import assemble
from hobwind.stack.curves import PlateCurve, built_in
from hobwind.stack.fields import AS_IT_COMES, HELD, HELD_DOWN, P, Q
from hobwind.stack.rates import rates
from hobwind.stack.switching import stall_torque


def main() -> None:
    """March the boat-shed fan through the gentle evening, guard held down, and print."""
    prepared, stove = stack(), example().stove
    whole = built_in("gentle", stove.room.value, stove.usual_plate.value, stove.worst_plate.value)
    curve = PlateCurve(whole.name, whole.time[whole.time <= 10800.0], whole.plate[whole.time <= 10800.0])
    p, q = prepared.p, prepared.q.copy()
    q[Q.guard] = HELD_DOWN
    net = assemble(p, q)
    y, rate, spin = np.full(net.at.size, p[P.room]), np.empty(net.at.size), 0
    y[: net.at.foot] = 0.0
    grid = np.arange(0.0, curve.time[-1] + 1e-9, 300.0)
    faces = np.full(grid.size, np.nan)

    def plate(t: float) -> float:
        return float(np.interp(t, curve.time, curve.plate))

    def rhs(t: float, now: np.ndarray) -> np.ndarray:
        rates(net, p, q, now, plate(t), spin, p[P.room], HELD, AS_IT_COMES, rate)
        return rate

    def starts(t: float, now: np.ndarray) -> float:
        return stall_torque(net.wired, net.at.motor, p, now, plate(t), 0) - p[P.motor_breakaway]

    starts.terminal, starts.direction = True, 1.0
    begun, t = time.perf_counter(), 0.0
    while t < curve.time[-1]:
        events = [starts] if spin == 0 else None
        ran = solve_ivp(
            rhs, (t, curve.time[-1]), y, "LSODA", rtol=1e-4, atol=2e-2, events=events, dense_output=True, max_step=600.0
        )
        inside = (grid >= t) & (grid <= ran.t[-1])
        faces[inside] = ran.sol(grid[inside])[net.wired.hot[0]]
        t, y, spin = float(ran.t[-1]), ran.y[:, -1], 1
    print(time.perf_counter() - begun, *faces)


if __name__ == "__main__":
    main()
