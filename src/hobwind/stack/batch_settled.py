"""Where many fans that differ in their inputs come to rest, each on its own plate: one kernel, all cores.

Each is walked up from a cold start as in the settled map's branch from rest, in a few long strides; only the last stands.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..compiled import parallel_kernel, spread
from .assemble import assemble
from .fields import P
from .net import Ints
from .observe import observe_many
from .settle import SETTLED, sweep

Floats = NDArray[np.float64]
STRIDES = 6  # plates on the way up; the guard's memory only rises on it, so that more change nothing


@parallel_kernel
def settle_many(inputs: Floats, q: Ints, plates: Floats, strides: int, seen: Floats) -> None:
    """Settle many fans, each on one plate, and write what is seen there.

    Args:
        inputs: one row of inputs for each fan, (m, P_LENGTH). [SI]
        q: choices, the same for all. [-]
        plates: undisturbed plate of each fan, (m). [K]
        strides: plates on the way up from the room, the last included. [-]
        seen: result, (m, len(Seen)); NaN throughout where no rest was found. [SI]
    """
    for i in spread(inputs.shape[0]):
        p = inputs[i]
        net = assemble(p, q)
        n = net.at.size
        y = np.full(n, p[P.room])
        y[: net.at.foot] = 0.0
        way = np.linspace(min(p[P.room], plates[i]), plates[i], strides + 1)[1:]
        record, slope = np.zeros((strides, n + 5)), np.zeros((strides, n, n))
        sweep(net, p, q, way, y, 0, p[P.room], record, slope)
        last = record[strides - 1 :]
        if last[0, n + 3] == SETTLED:
            memory, spin, mode = last[:, n].copy(), last[:, n + 1].copy(), last[:, n + 2].copy()
            observe_many(net, p, q, last, way[strides - 1 :], spin, memory, mode, seen[i : i + 1])
        else:
            seen[i] = np.nan
