"""Rainflow counting: how many cycles of which depth a face has been through."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

Cycle = tuple[float, float, float]  # depth [K], mean [K], count: 1 or a half


def turning_points(values: Iterable[float], least: float = 0.0) -> list[float]:
    """Peaks and valleys of a history, its ends included; swings below `least` are passed over.

    Args:
        values: temperatures in order of time; what is not a number is passed over. [K]
        least: smallest swing that turns. [K]

    Returns:
        Peaks and valleys in turn. [K]
    """
    found: list[float] = []
    for value in values:
        if value != value:
            continue
        if not found:
            found.append(value)
        elif len(found) == 1:
            if abs(value - found[0]) > least:
                found.append(value)
        elif (found[-1] - found[-2]) * (value - found[-1]) > 0.0:
            found[-1] = value  # going on the same way
        elif abs(value - found[-1]) > least:
            found.append(value)
    return found


def cycles(points: Sequence[float]) -> Iterator[Cycle]:
    """Cycles of a row of turning points, by the four rules of the standard.

    With X the newest swing and Y the one before it: as long as X is less than Y, read on; else count Y as one cycle and drop
    its two points, unless Y holds the history's start: then count it as half a cycle and drop the start. What is left at
    the end counts as halves.

    Args:
        points: peaks and valleys in turn. [K]

    Returns:
        Depth, mean and count of each, in the order they close. [K, K, -]

    Source: astm-e1049.
    """
    held: list[float] = []
    for point in points:
        held.append(point)
        while len(held) >= 3:
            newest, before = abs(held[-1] - held[-2]), abs(held[-2] - held[-3])
            if newest < before:
                break
            mean = 0.5 * (held[-2] + held[-3])
            if len(held) == 3:
                yield before, mean, 0.5
                held.pop(0)
            else:
                yield before, mean, 1.0
                del held[-3:-1]
    for a, b in zip(held, held[1:], strict=False):
        yield abs(b - a), 0.5 * (a + b), 0.5


def by_depth(found: Iterable[Cycle], width: float = 20.0) -> dict[float, float]:
    """Counts by depth.

    Args:
        found: cycles.
        width: of a class. [K]

    Returns:
        Lower edge of each class that has any, and its count, the shallowest first. [K, -]
    """
    counts: dict[float, float] = {}
    for depth, _, count in found:
        edge = width * (depth // width)
        counts[edge] = counts.get(edge, 0.0) + count
    return dict(sorted(counts.items()))
