"""An evening by brute force: one small step after another, the wax's play by its own definition, no modes, no events.

Heun's method with a fixed step. The clockwork of `stack/march.py` knows modes, roots and error estimates; nothing of it is
used here, only the rates of change.
"""

from __future__ import annotations

import numpy as np

from hobwind.compiled import kernel
from hobwind.stack.assemble import assemble
from hobwind.stack.fields import AS_IT_COMES, HELD, P
from hobwind.stack.rates import rates
from hobwind.stack.switching import stall_torque


@kernel
def small_steps(p, q, times, plates, step, every, out):
    """Fill `out` with time, hot face, element, pin travel over the seat, spin, one row every so many steps."""
    net = assemble(p, q)
    n = net.at.size
    y, now, then, ahead = np.full(n, p[P.room]), np.empty(n), np.empty(n), np.empty(n)
    y[: net.at.foot] = 0.0
    memory, spin = y[net.at.element], 0
    for i in range(out.shape[0] * every):
        t = i * step
        plate, later = np.interp(t, times, plates), np.interp(t + step, times, plates)
        torque = stall_torque(net.wired, net.at.motor, p, y, plate, spin)
        if spin == 0 and torque >= p[P.motor_breakaway]:
            spin = 1
        elif spin == 1 and torque <= p[P.motor_friction]:
            spin = 0
        memory = min(max(memory, y[net.at.element]), y[net.at.element] + p[P.wax_hysteresis])
        if i % every == 0:
            row = i // every
            share = min(max((memory - p[P.wax_opens]) / (p[P.wax_full] - p[P.wax_opens]), 0.0), 1.0)
            stroke = p[P.wax_travel] * share + p[P.wax_creep] * max(memory - p[P.wax_full], 0.0)
            growth = p[P.pin_growth] * (0.5 * (y[net.at.foot] + y[net.at.top]) - 293.15)
            out[row, 0], out[row, 1], out[row, 2] = t, y[net.wired.hot[0]], y[net.at.element]
            out[row, 3], out[row, 4] = p[P.lever] * (stroke - p[P.lost_motion]) + growth, spin
        rates(net, p, q, y, plate, spin, memory, HELD, AS_IT_COMES, now)
        for j in range(n):
            ahead[j] = y[j] + step * now[j]
        moved = min(max(memory, ahead[net.at.element]), ahead[net.at.element] + p[P.wax_hysteresis])
        rates(net, p, q, ahead, later, spin, moved, HELD, AS_IT_COMES, then)
        for j in range(n):
            y[j] += 0.5 * step * (now[j] + then[j])
