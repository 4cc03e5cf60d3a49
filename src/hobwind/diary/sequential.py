"""Has something changed, and which of two: tests that may be looked at after every look, with their false alarms stated."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

Floats = NDArray[np.float64]
SLACK = 0.5  # standard deviations: a lasting change of twice this is found soonest
POINTS = 60  # of the quadrature; the run lengths are then good to 4 figures


def average_run_length(height: float, slack: float = SLACK, shift: float = 0.0) -> float:
    """Looks until a one-sided running sum first passes its height, on the average.

    The sum is S = max(0, S + z − slack) with z normal around `shift`; its mean run length obeys an integral equation, solved
    here at Gauss's points.

        L(s) = 1 + L(0) Φ(k − s − μ) + ∫₀ʰ L(x) φ(x + k − s − μ) dx

    Args:
        height: h, where it alarms. [standard deviations]
        slack: k. [standard deviations]
        shift: mean of z; 0 where nothing has changed. [standard deviations]

    Returns:
        Mean number of looks, from a sum of 0. [-]

    Source: page-1954, hawkins-olwell.
    """
    points, weights = np.polynomial.legendre.leggauss(POINTS)
    x, w = 0.5 * height * (points + 1.0), 0.5 * height * weights

    def row(s: float) -> Floats:
        z = x + slack - s - shift
        density = np.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)
        return np.concatenate([[ndtr(slack - s - shift)], w * density])

    matrix = np.eye(POINTS + 1) - np.array([row(s) for s in (0.0, *x)])
    return float(np.linalg.solve(matrix, np.ones(POINTS + 1))[0])


@cache
def height_for(false_alarm_every: float, slack: float = SLACK) -> float:
    """Height at which a one-sided sum alarms falsely once in so many looks, on the average. [standard deviations]"""
    low, high = 0.1, 20.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if average_run_length(middle, slack) < false_alarm_every else (low, middle)
    return 0.5 * (low + high)


def steps_from_before(values: Sequence[float], doubts: Sequence[float]) -> list[float]:
    """Each look against the mean of all before it, in its own standard deviations.

    Independent and standard normal while nothing changes, though the true value is not known: so published run lengths hold.

    Args:
        values: in order of time; any unit.
        doubts: standard uncertainty of each, the same unit.

    Returns:
        One figure for each look but the first. [-]
    """
    out: list[float] = []
    mean = weight = 0.0
    for value, doubt in zip(values, doubts, strict=True):
        if weight > 0.0:
            out.append((value - mean) / math.sqrt(doubt**2 + 1.0 / weight))
        mean = (mean * weight + value / doubt**2) / (weight + 1.0 / doubt**2)
        weight += 1.0 / doubt**2
    return out


def running_sums(steps: Sequence[float], slack: float = SLACK) -> list[tuple[float, float]]:
    """The running sums upwards and downwards after each step. [standard deviations]"""
    up = down = 0.0
    out = []
    for z in steps:
        up, down = max(0.0, up + z - slack), max(0.0, down - z - slack)
        out.append((up, down))
    return out


def wald_bounds(false_first: float, false_second: float) -> tuple[float, float]:
    """Bounds of the running log-likelihood ratio of the first of two causes over the second.

    Args:
        false_first: how often the first may be named when it is the second. [-]
        false_second: how often the second may be named when it is the first. [-]

    Returns:
        Below the lower one name the second, above the upper one the first. [-]

    Source: wald-1945.
    """
    return math.log(false_second / (1.0 - false_first)), math.log((1.0 - false_second) / false_first)
