"""What the why of a bench figure looks at, and what it comes to: the readings as they were read, apart from the test's own reckoning.

A slope is drawn plainly through the readings, where the test itself weighs each by its doubt: the two lie within the doubt.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from ..bench.forms import Filled
from ..bench.result import Result
from ..units import show

GUM = "gum"


@dataclass(frozen=True)
class Bench:
    """One test done: the readings in SI, what they came to, and the folder where recordings lie."""

    filled: Filled
    result: Result
    folder: Path

    def rows(self, group: str) -> list[dict[str, Any]]:
        """The readings of one sort."""
        return self.filled.rows[group]

    def top(self, key: str) -> Any:
        """What is asked once."""
        return self.filled.top[key]

    def value(self, name: str) -> float:
        """Another figure that the test found, SI."""
        return self.result.figure(name).value

    def has(self, name: str) -> bool:
        """Whether the test found a figure."""
        return any(one.name == name for one in self.result.figures)


@dataclass(frozen=True)
class Working:
    """An equation's right-hand side in numbers, and what it comes to in SI."""

    numbers: str
    value: float


@dataclass(frozen=True)
class Worked:
    """The why of one bench figure: equation in symbols, sources, how the numbers go in."""

    equation: str
    sources: tuple[str, ...]
    work: Callable[[Bench], Working]


def line(x: Sequence[float], y: Sequence[float]) -> tuple[float, float]:
    """Slope and foot of the straight line nearest to readings in y; through nothing when there is one alone."""
    if len(x) < 2:
        return y[0] / x[0], 0.0
    slope, foot = np.polyfit(x, y, 1)
    return float(slope), float(foot)


def mean(values: Sequence[float]) -> float:
    """Plain mean."""
    return sum(values) / len(values)


def listed(values: Sequence[float], dimension: str, most: int = 5) -> str:
    """Readings in a row, at most so many of them spelt out."""
    told = ", ".join(show(one, dimension) for one in values[:most])
    return told if len(values) <= most else f"{told} and {len(values) - most} more"


def pairs(x: Sequence[float], y: Sequence[float], dimensions: tuple[str, str], most: int = 4) -> str:
    """Readings two by two, "3.61 V at 78.0 K"."""
    told = ", ".join(f"{show(b, dimensions[1])} at {show(a, dimensions[0])}" for a, b in list(zip(x, y, strict=True))[:most])
    return told if len(x) <= most else f"{told} and {len(x) - most} more"


def as_read(key: str, dimension: str) -> Callable[[Bench], Working]:
    """A figure that was measured as it stands."""

    def work(bench: Bench) -> Working:
        given = bench.top(key)
        value = float(getattr(given, "value", given))
        return Working(f"{show(value, dimension)}, as measured", value)

    return work
