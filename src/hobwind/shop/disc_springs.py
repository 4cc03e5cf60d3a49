"""Disc washers (EN 16984, once DIN 2093): force over travel after Almen and László, stacks, and a stack for a clamp.

Left out: friction between nested discs (2 to 3 % of the force for each further disc), the stiffening near flat.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

MODULUS, POISSON = 206e9, 0.3  # Pa, -; spring steel as the standard takes it
MOST_NESTED, MOST_SERIES = 5, 8


@dataclass(frozen=True)
class Disc:
    """One size of disc; metres."""

    outer: float
    inner: float
    thickness: float
    dish: float

    @property
    def size(self) -> str:
        """Outer x inner x thickness x dish in millimetres."""
        return " x ".join(f"{1e3 * one:g}" for one in (self.outer, self.inner, self.thickness, self.dish)) + " mm"


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
        return self.nested * force_at(self.disc, self.disc.dish)

    @property
    def says(self) -> str:
        """How to lay it."""
        if self.count == 1:
            return f"1 disc {self.disc.size}"
        if self.series == 1:
            return f"{self.count} discs {self.disc.size}, all the same way up"
        if self.nested == 1:
            return f"{self.count} discs {self.disc.size}, each facing the next"
        return f"{self.count} discs {self.disc.size}: {self.series} groups of {self.nested} alike, group facing group"


def force_at(disc: Disc, travel: float) -> float:
    """Force of one disc pressed down.

        F = 4E/(1 - mu^2) t^4/(K1 De^2) s/t [(h/t - s/t)(h/t - s/2t) + 1]
        K1 = 1/pi ((d - 1)/d)^2/((d + 1)/(d - 1) - 2/ln d),   d = De/Di

    Args:
        disc: its size. [m]
        travel: s, from free. [m]

    Returns:
        Force. [N]

    Limits: dish up to about 1.3 times the thickness: beyond, the force falls again on the way down.
    Source: en-16984, almen-laszlo.
    Check: 8 x 4.2 x 0.4 x 0.2 at 0.15 mm 210 N.
    """
    d = disc.outer / disc.inner
    k1 = ((d - 1.0) / d) ** 2 / ((d + 1.0) / (d - 1.0) - 2.0 / math.log(d)) / math.pi
    s, h = travel / disc.thickness, disc.dish / disc.thickness
    stiff = 4.0 * MODULUS / (1.0 - POISSON**2) * disc.thickness**4 / (k1 * disc.outer**2)
    return stiff * s * ((h - s) * (h - 0.5 * s) + 1.0)


def travel_at(disc: Disc, force: float) -> float:
    """How far one disc is pressed down by a force, m; at most flat."""
    if force >= force_at(disc, disc.dish):
        return disc.dish
    low, high = 0.0, disc.dish
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if force_at(disc, middle) < force else (low, middle)
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
