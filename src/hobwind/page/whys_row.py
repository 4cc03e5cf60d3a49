"""One row of the whys: what an equation may look at, what it comes to, and the row itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..physics import air
from ..stack.evening import Evening
from ..stack.fields import P, Seen
from ..studies.headline import Headline
from ..studies.odds import Odds

Row = NDArray[np.float64]


@dataclass(frozen=True)
class Look:
    """What an equation may look at: the solved build, what is observed at one plate, and an evening where there is one.

    `thrown`: the build's odds; `changed`: the build after a change; `which` of several rows. All only where they are asked for.
    """

    solved: Headline
    seen: Row
    evening: Evening | None = None
    thrown: Odds | None = None
    changed: Headline | None = None
    which: int = 0

    @property
    def p(self) -> Row:
        """The build's numbers (SI), in the order of `P`."""
        return self.solved.stack.p

    @property
    def density(self) -> float:
        """Of the air at the fan. [kg/m³]"""
        return float(air.density(self.seen[Seen.air], self.p[P.pressure]))

    def fire(self) -> Evening:
        """The evening; the over-fired one where none was run."""
        return self.evening if self.evening is not None else self.solved.worst


@dataclass(frozen=True)
class Filled:
    """An equation's right-hand side in numbers, and the value it comes to in the figure's unit; None when there is none."""

    numbers: str
    value: float | None


@dataclass(frozen=True)
class Why:
    """One row: title, equation in symbols, how numbers go in, sources."""

    title: str
    equation: str
    fill: Callable[[Look], Filled]
    sources: tuple[str, ...]
