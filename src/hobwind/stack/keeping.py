"""What is kept of an evening: its events, its peaks, its states on a grid. Compiled."""

from __future__ import annotations

from enum import IntEnum

import numpy as np

from ..compiled import lean_kernel
from .net import Floats, Net
from .rodas import crest, dense
from .vectors import put

# What an evening leaves behind in numbers, whatever its length.
End = IntEnum(
    "End",
    "outcome steps rejected lifts run peak_hot peak_time worst_margin margin_time above turning starts_at stops_at "
    "starts_time peak_sink peak_motor peak_element peak_cold lift_at sit_at first_lift_time peak_lift events turned "
    "peak_low",
    start=0,
)
# How an evening or a search for rest can end.
FINISHED, CHATTERS, TOO_MANY_STEPS, NOT_A_NUMBER = 0, 1, 2, 3
# Events kept in order.
STARTS, STOPS, LIFTS, SITS_BACK, TURNS = 1, 2, 3, 4, 5


@lean_kernel
def note_event(events: Floats, count: int, t: float, kind: int, plate: float, element: float) -> int:
    if count >= events.shape[0]:
        return count
    events[count, 0], events[count, 1], events[count, 2], events[count, 3] = t, kind, plate, element
    return count + 1


@lean_kernel
def keep_state(record: Floats, row: int, y: Floats, memory: float, spin: int, plate: float) -> None:
    put(y, record[row])
    record[row, y.size], record[row, y.size + 1], record[row, y.size + 2] = memory, spin, plate


@lean_kernel
def note_peaks(net: Net, p: Floats, y: Floats, t: float, spin: int, end: Floats) -> float:
    """Keep the peaks at one look; return the smallest margin of any hot face, K."""
    least = np.inf
    for k in range(net.wired.hot.size):
        hot = y[net.wired.hot[k]]
        if hot > end[End.peak_hot]:
            end[End.peak_hot], end[End.peak_time] = hot, t
        end[End.peak_cold] = max(end[End.peak_cold], y[net.wired.hot[k] + 1])
        least = min(least, net.limit[k] - hot)
    if least < end[End.worst_margin]:
        end[End.worst_margin], end[End.margin_time] = least, t
    end[End.peak_low] = max(end[End.peak_low], y[net.at.low])
    end[End.peak_sink] = max(end[End.peak_sink], y[net.at.sink])
    end[End.peak_motor] = max(end[End.peak_motor], y[net.at.motor])
    end[End.peak_element] = max(end[End.peak_element], y[net.at.element])
    return least


@lean_kernel
def note_crests(
    net: Net,
    p: Floats,
    y: Floats,
    after: Floats,
    stages: Floats,
    share: float,
    t: float,
    step: float,
    spin: int,
    work: Floats,
    end: Floats,
) -> None:
    """Keep the peaks between two looks: wherever a watched state passes a crest on the step's own curve."""
    watched = 2 * net.wired.hot.size + 3
    for turn in range(watched):
        k = turn // 2
        node = net.at.sink + turn - watched + 3 if turn >= watched - 3 else net.wired.hot[k] + turn % 2
        place = crest(y, after, stages, node, share)
        if place > 0.0:
            dense(y, after, stages, place, work)
            note_peaks(net, p, work, t + place * step, spin, end)
    place = crest(y, after, stages, net.at.low, share)
    if place > 0.0:
        dense(y, after, stages, place, work)
        end[End.peak_low] = max(end[End.peak_low], work[net.at.low])


@lean_kernel
def time_below_zero(before: float, after: float, span: float) -> float:
    """How much of `span` a straight line from `before` to `after` is below zero."""
    if before >= 0.0 and after >= 0.0:
        return 0.0
    if before < 0.0 and after < 0.0:
        return span
    return span * (-min(before, after)) / abs(after - before)
