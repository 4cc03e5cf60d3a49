"""Rainflow counting against the standard's worked example."""

from __future__ import annotations

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from hobwind.diary.rainflow import by_depth, cycles, turning_points

# ASTM E1049, worked example of 5.4.4, from memory: history, and counts by range.
HISTORY = [-2.0, 1.0, -3.0, 5.0, -1.0, 3.0, -4.0, 4.0, -2.0]
COUNTS = {3.0: 0.5, 4.0: 1.5, 6.0: 0.5, 8.0: 1.0, 9.0: 0.5}
IN_ORDER = [(3.0, 0.5), (4.0, 0.5), (4.0, 1.0), (8.0, 0.5), (9.0, 0.5), (8.0, 0.5), (6.0, 0.5)]


def test_worked_example_of_the_standard() -> None:
    found = list(cycles(turning_points(HISTORY)))
    assert [(depth, count) for depth, _, count in found] == IN_ORDER
    total: Counter[float] = Counter()
    for depth, _, count in found:
        total[depth] += count
    assert total == COUNTS


def test_points_on_the_way_and_small_swings_change_nothing() -> None:
    """The same history with points between, repeats, a gap, and a thermometer's ripple of 0.2 added."""
    rich = []
    for a, b in zip(HISTORY, HISTORY[1:], strict=False):
        way = 1.0 if b > a else -1.0
        rich += [a, a, a + 0.25 * (b - a), a + 0.25 * (b - a) - 0.1 * way, float("nan"), a + 0.75 * (b - a)]
    rich.append(HISTORY[-1])
    assert list(cycles(turning_points(rich, 0.2))) == list(cycles(HISTORY))


@given(st.lists(st.integers(-50, 50), min_size=2, max_size=60))
def test_every_swing_is_counted_once(values: list[int]) -> None:
    """Two halves make a cycle: the counted depth is half the whole way travelled (follows from the rules)."""
    points = turning_points([float(v) for v in values])
    travelled = sum(abs(b - a) for a, b in zip(points, points[1:], strict=False))
    assert sum(depth * count for depth, _, count in cycles(points)) * 2.0 == travelled


def test_classes_of_depth() -> None:
    assert by_depth([(19.9, 0.0, 1.0), (20.0, 0.0, 0.5), (59.0, 0.0, 1.0), (39.0, 0.0, 1.0)]) == {
        0.0: 1.0,
        20.0: 1.5,
        40.0: 1.0,
    }
