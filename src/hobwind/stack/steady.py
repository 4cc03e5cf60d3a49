"""The settled map: where a fan comes to rest on each plate temperature, warming up and running down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from .assemble import cold_state, make_net
from .fields import GUARD_FREE, HELD, HELD_DOWN, HELD_UP, NO_GUARD, P, Q, Seen
from .net import Ints
from .observe import observe_many
from .prepare import Stack
from .settle import NOT_SETTLED, RESTLESS, SETTLED, sweep

Floats = NDArray[np.float64]
Rows = tuple[Floats, Floats, Floats]


class Rest(Enum):
    """How the search for rest at one plate temperature ended; the text is what the user reads."""

    SETTLED = "settled"
    HUNTS = "hunts: the guard finds no rest here and lifts and drops again and again; run an evening to see the band"
    NOT_SETTLED = "no settled state found; run an evening instead of the settled map"
    RESTLESS = "guard or blade keep switching while the fan comes to rest; run an evening instead of the settled map"


_OUTCOMES = {SETTLED: Rest.SETTLED, NOT_SETTLED: Rest.NOT_SETTLED, RESTLESS: Rest.RESTLESS}
GUARD_MODES = {"free": GUARD_FREE, "held down": HELD_DOWN, "held up": HELD_UP}
BRANCHES = ("from_rest", "running_down")


@dataclass(frozen=True)
class MapPoint:
    """One settled state.

    `seen` follows `Seen` (SI); `growth` is the fastest growing disturbance, positive when the guard hunts [1/s].
    """

    plate: float
    branch: str
    outcome: Rest
    seen: Floats
    mode: int
    left_over: float
    growth: float


@dataclass(frozen=True)
class SettledMap:
    """Both branches over plate temperature, each in rising order of plate temperature."""

    guard: str
    from_rest: tuple[MapPoint, ...]
    running_down: tuple[MapPoint, ...]

    def starts_at(self) -> float | None:
        """Lowest plate on a slowly warming stove at which the blade turns, K; None when it never does."""
        turning = [point.plate for point in self.from_rest if point.seen[Seen.spin] > 0.5]
        return min(turning) if turning else None

    def stops_at(self) -> float | None:
        """Plate on a slowly cooling stove below which the blade stands, K; None when it never turned."""
        turning = [point.plate for point in self.running_down if point.seen[Seen.spin] > 0.5]
        return min(turning) if turning else None


def _sweep_both(p: Floats, q: Ints, plates: Floats) -> tuple[Rows, Rows]:
    """Sweep up from a cold start and down again from the top, and observe each point, in the order visited."""
    net = make_net(p, q)
    y, spin, memory = cold_state(net, p), 0, float(p[P.room])
    swept = []
    for visited in (plates, plates[::-1].copy()):
        m, n = visited.size, net.at.size
        record, slope, seen = np.zeros((m, n + 5)), np.zeros((m, n, n)), np.zeros((m, len(Seen)))
        spin, memory = sweep(net, p, q, visited, y, spin, memory, record, slope)
        columns = [np.ascontiguousarray(record[:, n + k]) for k in range(3)]
        observe_many(net, p, q, record, visited, columns[1], columns[0], columns[2], seen)
        swept.append((record, slope, seen))
    return swept[0], swept[1]


def settled_map(stack: Stack, plates: Sequence[float] | Floats, guard: str = "free") -> SettledMap:
    """Return the settled state on every plate temperature, on both branches.

    Args:
        stack: a prepared build.
        plates: plate temperatures in rising order. [K]
        guard: "free", "held down" or "held up". [-]

    Returns:
        Both branches. Points that hunt are marked and their figures are those of the unstable balance: do not show
        them as temperatures.

    Raises:
        KeyError: `guard` is none of the three.
    """
    p, q = stack.p, stack.q.copy()
    if q[Q.guard] != NO_GUARD:
        q[Q.guard] = GUARD_MODES[guard]
    at = np.asarray(plates, float)
    n, m = stack.size, at.size
    (up, slope_up, seen_up), (down, slope_down, seen_down) = _sweep_both(p, q, at)
    rising = [_point(at[i], BRANCHES[0], up[i], seen_up[i], slope_up[i], n) for i in range(m)]
    falling = [_point(at[m - 1 - i], BRANCHES[1], down[i], seen_down[i], slope_down[i], n) for i in range(m)]
    return SettledMap(guard, tuple(rising), tuple(reversed(falling)))


def _point(plate: float, branch: str, row: Floats, seen: Floats, slope: Floats, n: int) -> MapPoint:
    outcome = _OUTCOMES[int(row[n + 3])]
    mode, growth = int(row[n + 2]), float("-inf")
    if outcome is Rest.SETTLED and mode != HELD:
        growth = float(np.linalg.eigvals(slope).real.max())
        if growth > 0.0:
            outcome = Rest.HUNTS
    return MapPoint(float(plate), branch, outcome, seen, mode, float(row[n + 4]), growth)


@dataclass(frozen=True)
class State:
    """One settled state as the kernel holds it: states [K], spin, wax memory [K], mode, choices used, outcome."""

    y: Floats
    spin: int
    memory: float
    mode: int
    q: Ints
    outcome: Rest


def settled_state(stack: Stack, plate: float, guard: str = "free", points: int = 24) -> State:
    """The settled state at one plate temperature, reached from rest on a slowly warming plate.

    Args:
        stack: a prepared build.
        plate: undisturbed plate. [K]
        guard: "free", "held down" or "held up". [-]
        points: plates on the way up. [-]

    Returns:
        The state.
    """
    q = stack.q.copy()
    if q[Q.guard] != NO_GUARD:
        q[Q.guard] = GUARD_MODES[guard]
    n = stack.size
    at = np.linspace(min(stack.p[P.room], plate), plate, points)
    (up, slope_up, seen_up), _ = _sweep_both(stack.p, q, at)
    row = up[-1]
    outcome = _point(plate, BRANCHES[0], row, seen_up[-1], slope_up[-1], n).outcome
    return State(row[:n].copy(), int(row[n + 1]), float(row[n]), int(row[n + 2]), q, outcome)
