"""Hunting measured by the clockwork against hunting marched in small fixed steps: lifts, period, band, peak."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest
from small_steps import small_steps

from builds import example, stack
from hobwind.stack.curves import held
from hobwind.stack.evening import evening
from hobwind.stack.keeping import End
from hobwind.studies.mapping import HELD_HOURS, held_band

STEP, EVERY = 0.05, 40  # s, and a kept row every two seconds
HUNTER = "boat-shed-hunting"


@lru_cache
def marched(plate: float, step: float = STEP):
    """Time, hot face, element, travel and spin on a plate held at a temperature, K."""
    prepared, curve = stack(HUNTER), held(plate, example(HUNTER).stove.room.value, HELD_HOURS)
    rows = np.zeros((int(HELD_HOURS * 3600.0 / (step * EVERY)), 5))
    small_steps(prepared.p, prepared.q, curve.time, curve.plate, step, EVERY, rows)
    return rows


@pytest.mark.parametrize("celsius", [205.0, 225.0])
def test_period_and_band(celsius: float) -> None:
    plate = celsius + 273.15
    rows, band = marched(plate), held_band(stack(HUNTER), plate)
    assert band is not None
    up = rows[:, 3] > 0.0
    lifts = rows[1:][up[1:] & ~up[:-1], 0]
    assert len(lifts) == band.lifts
    period = (lifts[-1] - lifts[0]) / (len(lifts) - 1)
    # Lifts are read on a grid of two seconds; the seat is steep there, so that a step of 0.05 s sees a lift late.
    assert band.period == pytest.approx(period, abs=2.0)
    inside = (rows[:, 0] >= lifts[0]) & (rows[:, 0] <= lifts[-1])
    # The clockwork keeps its band on a grid of a minute, on which a face moves by a kelvin near its turning points.
    assert band.low == pytest.approx(rows[inside, 1].min(), abs=1.0)
    assert band.high == pytest.approx(rows[inside, 1].max(), abs=1.0)


def test_peak_of_a_hunting_evening() -> None:
    plate = 225.0 + 273.15
    curve = held(plate, example(HUNTER).stove.room.value, HELD_HOURS)
    ran = evening(stack(HUNTER), curve)
    assert float(ran.end[End.peak_hot]) == pytest.approx(marched(plate)[:, 1].max(), abs=0.05)


def test_small_steps_are_small_enough() -> None:
    """Half the step moves no lift by more than a second: the reference stands on its own."""
    plate = 225.0 + 273.15
    rows, finer = marched(plate), marched(plate, 0.5 * STEP)
    first, second = (r[1:][(r[1:, 3] > 0.0) & (r[:-1, 3] <= 0.0), 0] for r in (rows, finer))
    assert len(first) == len(second)
    assert np.abs(first - second).max() <= 2.0 + 1.0  # both read on grids of two and of one second
