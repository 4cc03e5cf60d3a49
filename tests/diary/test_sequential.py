"""The tests that may be looked at after every look, against published run lengths and Wald's bounds."""

from __future__ import annotations

import numpy as np
import pytest

from hobwind.diary.sequential import average_run_length, height_for, running_sums, steps_from_before, wald_bounds


# Montgomery, Statistical Quality Control, and Hawkins & Olwell 1998 (from memory): run lengths of the two-sided sum, slack 0.5, printed to
# three figures; while nothing changes each side has twice that, after a change of 1 or more the other side never comes first.
@pytest.mark.parametrize(
    ("height", "shift", "printed"),
    [(4.0, 0.0, 168.0), (5.0, 0.0, 465.0), (4.0, 1.0, 8.38), (5.0, 1.0, 10.4), (4.0, 2.0, 3.34), (5.0, 2.0, 4.01), (5.0, 3.0, 2.57)],
)  # fmt: skip
def test_published_run_lengths(height: float, shift: float, printed: float) -> None:
    found = average_run_length(height, 0.5, shift) * (0.5 if shift == 0.0 else 1.0)
    assert found == pytest.approx(printed, rel=0.005)  # printed to 3 figures


def test_height_is_the_run_length_backwards() -> None:
    assert height_for(2.0 * 465.0) == pytest.approx(5.0, abs=0.003)  # 465 is printed to 3 figures


def test_false_alarms_as_stated_though_the_true_value_is_unknown() -> None:
    """Simulated: of 30 looks that find no change, one sided sums of a run length of 200 alarm as often as ones with a known value."""
    draw, height = np.random.default_rng(3), height_for(200.0)
    known = unknown = 0
    count, looks = 3000, 31
    for _ in range(count):
        z = draw.standard_normal(looks)
        known += max(up for up, _ in running_sums(z[1:].tolist())) > height
        values, doubts = 5.0 + 0.3 * z, [0.3] * looks
        unknown += max(up for up, _ in running_sums(steps_from_before(values.tolist(), doubts))) > height
    # about 1 − exp(−30/200) = 14 % less the first few; two counts of 3000 differ by chance by 3 √(2·0.13·0.87/3000) = 2.6 %
    assert abs(known - unknown) / count < 0.026
    assert 0.08 < unknown / count < 0.16


def test_walds_bounds_keep_their_word() -> None:
    """Wald 1945: α = β = 0.05 gives ± ln 19; wrong calls then stay below α/(1 − β) = 5.3 %."""
    low, high = wald_bounds(0.05, 0.05)
    assert (low, high) == (pytest.approx(-np.log(19.0)), pytest.approx(np.log(19.0)))
    draw, wrong, count = np.random.default_rng(5), 0, 4000
    for _ in range(count):
        ratio = 0.0
        while low < ratio < high:  # truth: mean 0; the other claims mean 0.7
            ratio += 0.7 * draw.standard_normal() - 0.5 * 0.7**2
        wrong += ratio >= high
    assert 0.02 < wrong / count < 0.0526
