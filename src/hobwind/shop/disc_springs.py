"""Disc washers (EN 16984, once DIN 2093): stacks of them, how far a stack gives, and which stacks suit a screw.

The force of one disc is the bench's.

Left out: friction between nested discs (2 to 3 % of the force for each further disc), the stiffening near flat.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ..bench.washers import Disc, disc_force

MOST_NESTED, MOST_SERIES = 5, 8


def size_of(disc: Disc) -> str:
    """Outer x inner x thickness x dish in millimetres."""
    return " x ".join(f"{1e3 * one:g}" for one in (disc.outer, disc.inner, disc.thickness, disc.dish)) + " mm"


@dataclass(frozen=True)
class Stack:
    """Discs on one screw: `nested` the same way up in each group, `series` groups facing each other."""

    disc: Disc
    nested: int
    series: int

    @property
    def count(self) -> int:
        """Discs on one screw."""
        return self.nested * self.series

    def travel(self, force: float) -> float:
        """How far the stack gives at a force, m; flat is flat."""
        return self.series * travel_at(self.disc, force / self.nested)

    @property
    def flat_force(self) -> float:
        """Force that presses the stack flat, N."""
        return self.nested * disc_force(self.disc, self.disc.dish)

    @property
    def says(self) -> str:
        """How to lay it."""
        if self.count == 1:
            return f"1 disc {size_of(self.disc)}"
        if self.series == 1:
            return f"{self.count} discs {size_of(self.disc)}, all the same way up"
        if self.nested == 1:
            return f"{self.count} discs {size_of(self.disc)}, each facing the next"
        return f"{self.count} discs {size_of(self.disc)}: {self.series} groups of {self.nested} alike, group facing group"


def travel_at(disc: Disc, force: float) -> float:
    """How far one disc is pressed down by a force, m; at most flat."""
    if force >= disc_force(disc, disc.dish):
        return disc.dish
    low, high = 0.0, disc.dish
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if disc_force(disc, middle) < force else (low, middle)
    return 0.5 * (low + high)


# Outer, inner, thickness, dish, mm. Source: en-16984 (series A and B); 6 x 3.2 is a maker's size.
SIZES = tuple(
    Disc(*(1e-3 * one for one in row))
    for row in (
        (6.0, 3.2, 0.3, 0.15),
        (8.0, 4.2, 0.4, 0.2),
        (8.0, 4.2, 0.3, 0.25),
        (10.0, 5.2, 0.5, 0.25),
        (10.0, 5.2, 0.4, 0.3),
        (12.5, 6.2, 0.7, 0.3),
        (12.5, 6.2, 0.5, 0.35),
        (16.0, 8.2, 0.9, 0.35),
        (16.0, 8.2, 0.6, 0.45),
        (20.0, 10.2, 1.1, 0.45),
        (20.0, 10.2, 0.8, 0.55),
    )
)


def stacks_for(diameter: float) -> Iterator[Stack]:
    """Every stack worth trying on a screw, fewest discs first; discs of the screw's own size before the next larger ones."""
    fit = [disc for disc in SIZES if diameter < disc.inner <= 1.6 * diameter]
    counts = [(n, s) for n in range(1, MOST_NESTED + 1) for s in range(1, MOST_SERIES + 1)]
    for nested, series in sorted(counts, key=lambda one: (one[0] * one[1], one[0])):
        for disc in sorted(fit, key=lambda one: one.inner):
            yield Stack(disc, nested, series)


def no_stack(_: float) -> float:
    """What a plain washer gives: nothing."""
    return 0.0


Spring = Callable[[float], float]
