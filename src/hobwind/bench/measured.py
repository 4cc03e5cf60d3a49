"""Measured values and how their doubts combine, by the rules of the Guide to the Expression of Uncertainty in Measurement.

A `Measured` is a value and its standard uncertainty. Doubts are carried linearly through any formula by central
differences; what shares a cause (one thermometer's offset) is one input that enters several places. On screens and in
part files the figure after ± is two standard uncertainties.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..errors import InputError
from ..units import Spread

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Measured:
    """A value and its standard uncertainty, SI and kelvin."""

    value: float
    u: float

    def spread(self) -> Spread:
        """As a spread: ± two standard uncertainties."""
        return Spread(self.value, 2.0 * self.u, "normal" if self.u > 0.0 else "exact")

    @property
    def relative(self) -> float:
        """Standard uncertainty over value."""
        return self.u / abs(self.value) if self.value else math.inf


def even(half: float) -> float:
    """Standard uncertainty of "anywhere within ± half, all equally likely" (GUM 4.3.7)."""
    return half / math.sqrt(3.0)


@dataclass(frozen=True)
class Instrument:
    """How far a reading may be off: a share of the reading and some steps of the last digit, both as ± limits."""

    share: float
    digits: float

    def u(self, reading: float) -> float:
        """Standard uncertainty of one reading, in its unit."""
        return math.hypot(even(self.share * abs(reading)), even(self.digits))


def combine(
    formula: Callable[..., float], inputs: Mapping[str, Measured], together: Mapping[tuple[str, str], float] | None = None
) -> tuple[Measured, dict[str, float]]:
    """Carry doubts through a formula (GUM 5.1.2; 5.2.2 where inputs go together).

    Args:
        formula: called with the inputs by name.
        inputs: name to measured value.
        together: how far two inputs go together, from -1 to 1; pairs not named do not. [-]

    Returns:
        The result, and each input's own share of its spread squared, without what goes together. [any, -]
    """
    values = {name: one.value for name, one in inputs.items()}
    middle = formula(**values)
    parts = {}
    for name, one in inputs.items():
        if one.u > 0.0:
            up, down = formula(**{**values, name: one.value + one.u}), formula(**{**values, name: one.value - one.u})
            parts[name] = 0.5 * (up - down)
        else:
            parts[name] = 0.0
    own = sum(part * part for part in parts.values())
    pairs = sum(2.0 * r * parts[a] * parts[b] for (a, b), r in (together or {}).items())
    shares = {name: part * part / own if own > 0.0 else 0.0 for name, part in parts.items()}
    return Measured(middle, math.sqrt(max(own + pairs, 0.0))), shares


@dataclass(frozen=True)
class Line:
    """A straight line through readings: slope, intercept, how they go together, and each reading's difference in its own u."""

    slope: Measured
    intercept: Measured
    together: float
    off: Floats

    def at(self, x: float) -> Measured:
        """The line at `x`."""
        both = self.slope.u * self.intercept.u * self.together
        var = self.intercept.u**2 + (x * self.slope.u) ** 2 + 2.0 * x * both
        return Measured(self.intercept.value + x * self.slope.value, math.sqrt(max(var, 0.0)))


def fit_line(x: Sequence[float], y: Sequence[float], ux: Sequence[float], uy: Sequence[float]) -> Line:
    """Weighted straight line with doubts in both directions (effective variance, settled in a few rounds).

    When the readings scatter more than their doubts allow, the doubts of the result grow to match.

    Args:
        x: at least three, not all equal. [any]
        y: same length. [any]
        ux: standard uncertainties. [as x]
        uy: standard uncertainties. [as y]

    Returns:
        The line.

    Raises:
        InputError: fewer than three readings, or all at one x.
    """
    xs, ys, vx, vy = (np.asarray(one, float) for one in (x, y, ux, uy))
    if xs.size < 3 or np.ptp(xs) <= 0.0:
        raise InputError(
            f"readings: got {xs.size}, over a range of {np.ptp(xs) if xs.size else 0.0:.3g}; a line needs three readings at different "
            "places; read at one more"
        )
    slope = float(np.polyfit(xs, ys, 1)[0])
    for _ in range(20):
        weight = 1.0 / np.maximum(vy**2 + (slope * vx) ** 2, 1e-300)
        total, middle = weight.sum(), (weight * xs).sum() / weight.sum()
        spread = (weight * (xs - middle) ** 2).sum()
        new = float((weight * (xs - middle) * ys).sum() / spread)
        if abs(new - slope) <= 1e-12 * max(abs(new), 1e-300):
            break
        slope = new
    intercept = float((weight * (ys - slope * xs)).sum() / total)
    off = (ys - intercept - slope * xs) * np.sqrt(weight)
    grown = max(1.0, math.sqrt(float((off**2).sum()) / (xs.size - 2)))
    us, ui = grown / math.sqrt(spread), grown * math.sqrt(1.0 / total + middle**2 / spread)
    together = -middle / spread * grown**2 / (us * ui) if us * ui > 0.0 else 0.0
    return Line(Measured(slope, us), Measured(intercept, ui), float(together), off)


def odd_one(
    x: Sequence[float],
    y: Sequence[float],
    ux: Sequence[float],
    uy: Sequence[float],
    line: Callable[..., Line] = fit_line,
    far: float = 4.5,
) -> tuple[int, float] | None:
    """The reading that stands far from the line of all the others, if one does and there are enough to tell.

    Args:
        x: of the readings. [any]
        y: of the readings. [any]
        ux: standard uncertainties. [as x]
        uy: standard uncertainties. [as y]
        line: draws a line through readings.
        far: times its own doubt and the line's. [-]

    Returns:
        Its number from nought and where the others say it should be; None when all go together. [-, as y]
    """
    if len(x) < 4:
        return None
    worst, found = far, None
    for i in range(len(x)):
        rest = line(*([*one[:i], *one[i + 1 :]] for one in (x, y, ux, uy)))
        there = rest.at(x[i])
        own = math.sqrt(there.u**2 + uy[i] ** 2 + (rest.slope.value * ux[i]) ** 2)
        if own > 0.0 and abs(y[i] - there.value) / own > worst:
            worst, found = abs(y[i] - there.value) / own, (i, there.value)
    return found
