"""One evening: the plate follows a curve, the fan follows the plate."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from ..compiled import parallel_kernel, spread
from .assemble import assemble, cold_state, make_net
from .curves import PlateCurve
from .fields import GUARD_FREE, HELD, P, Q, Seen
from .keeping import CHATTERS, FINISHED, LIFTS, NOT_A_NUMBER, SITS_BACK, STARTS, STOPS, TOO_MANY_STEPS, End
from .march import MOST_EVENTS, march
from .net import Ints
from .observe import observe_many
from .prepare import Stack
from .steady import GUARD_MODES

Floats = NDArray[np.float64]
TOLERANCE = 0.01  # K a step; the tests show the whole evening then within 0.1 K
HUNTING_LIFTS = 3


class Outcome(Enum):
    """How an evening ended; the text is what the user reads."""

    FINISHED = "finished"
    CHATTERS = "chatters: guard or blade switch more than 50 times in a minute; the figures stop there"
    TOO_MANY_STEPS = "stopped: more steps than an evening can need; the figures stop there"
    NOT_A_NUMBER = "stopped: the heat balance gave no number; look for a part with an impossible value"


_OUTCOMES = {
    FINISHED: Outcome.FINISHED,
    CHATTERS: Outcome.CHATTERS,
    TOO_MANY_STEPS: Outcome.TOO_MANY_STEPS,
    NOT_A_NUMBER: Outcome.NOT_A_NUMBER,
}
EVENT_NAMES = {STARTS: "starts", STOPS: "stops", LIFTS: "lifts", SITS_BACK: "sits back"}


@dataclass(frozen=True)
class Event:
    """Something that happened: time [s], what, undisturbed plate [K], wax element [K]."""

    time: float
    what: str
    plate: float
    element: float


@dataclass(frozen=True)
class Hunting:
    """Lifting and dropping on a plate that did not cool: count, faces between [K], seconds from lift to lift."""

    lifts: int
    low: float
    high: float
    period: float


@dataclass(frozen=True)
class Evening:
    """What happened; `seen` is (time, Seen) on the grid `time`, `end` follows `End`, all SI."""

    curve: PlateCurve
    outcome: Outcome
    time: Floats
    seen: Floats
    end: Floats
    events: tuple[Event, ...]
    hunting: Hunting | None

    def figure(self, which: End) -> float | None:
        """One closing figure in SI, None where it never came about."""
        value = float(self.end[which])
        return value if np.isfinite(value) else None

    @property
    def finished(self) -> bool:
        """Whether the evening ran to its end."""
        return self.outcome is Outcome.FINISHED

    @property
    def lifts(self) -> int:
        """How often the guard lifted the fan."""
        return int(self.end[End.lifts])


@parallel_kernel
def run_many(inputs: Floats, q: Ints, times: Floats, plates: Floats, tolerance: float, ends: Floats) -> None:
    """March many evenings that differ in their inputs, keeping only the closing figures of each.

    Args:
        inputs: one row of inputs for each evening, (m, P_LENGTH). [SI]
        q: choices, the same for all. [-]
        times: corners of the plate curve, (c). [s]
        plates: plate at the corners of each evening, (m, c). [K]
        tolerance: largest error of a step. [K]
        ends: result, (m, len(End)). [SI]
    """
    for i in spread(inputs.shape[0]):
        p = inputs[i]
        net = assemble(p, q)
        y = np.full(net.at.size, p[P.room])
        y[: net.at.foot] = 0.0
        grid, record, events = np.empty(0), np.empty((0, net.at.size + 3)), np.empty((MOST_EVENTS, 4))
        march(net, p, q, times, plates[i], y, tolerance, grid, record, events, ends[i])


def evening(stack: Stack, curve: PlateCurve, every: float = 20.0, guard: str = "free", tolerance: float = TOLERANCE) -> Evening:
    """Run one evening.

    Args:
        stack: a prepared build.
        curve: plate temperature over time.
        every: spacing of the kept states. [s]
        guard: "free", "held down" or "held up". [-]
        tolerance: largest error of one step. [K]

    Returns:
        The evening; a march that could not go on is an outcome, not an exception.
    """
    q = stack.q.copy()
    if q[Q.guard] == GUARD_FREE:
        q[Q.guard] = GUARD_MODES[guard]
    span = curve.time[-1] - curve.time[0]
    grid = curve.time[0] + np.arange(0.0, span + 1e-9, every)
    record, events = np.zeros((grid.size, stack.size + 3)), np.zeros((MOST_EVENTS, 4))
    end, seen = np.zeros(len(End)), np.zeros((grid.size, len(Seen)))
    p, n, net = stack.p, stack.size, make_net(stack.p, q)
    march(net, p, q, curve.time, curve.plate, cold_state(net, p), tolerance, grid, record, events, end)
    memory, spin, plate = (np.ascontiguousarray(record[:, n + k]) for k in range(3))
    observe_many(net, p, q, record, plate, spin, memory, np.full(grid.size, float(HELD)), seen)
    happened = tuple(
        Event(float(row[0]), EVENT_NAMES[int(row[1])], float(row[2]), float(row[3])) for row in events[: int(end[End.events])]
    )
    outcome = _OUTCOMES[int(end[End.outcome])]
    return Evening(curve, outcome, grid, seen, end, happened, _hunting(happened, grid, seen, end, stack.p))


def _hunting(events: tuple[Event, ...], time: Floats, seen: Floats, end: Floats, p: Floats) -> Hunting | None:
    """Measure the longest run of lifts between which the plate did not cool by the guard's own hysteresis."""
    if end[End.run] < HUNTING_LIFTS:
        return None
    lifts = [event for event in events if event.what == "lifts"]
    best: list[Event] = []
    run_: list[Event] = []
    for event in lifts:
        if run_:
            between = (time >= run_[-1].time) & (time <= event.time)
            lowest = min(seen[between, Seen.plate], default=event.plate)
            if run_[-1].plate - min(lowest, event.plate) > p[P.wax_hysteresis]:
                run_ = []
        run_.append(event)
        if len(run_) > len(best):
            best = list(run_)
    if len(best) < HUNTING_LIFTS:
        return None
    inside = (time >= best[0].time) & (time <= best[-1].time)
    faces = seen[inside, Seen.hot_face]
    period = (best[-1].time - best[0].time) / (len(best) - 1)
    return Hunting(len(best), float(faces.min()), float(faces.max()), float(period))
