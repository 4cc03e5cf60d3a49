"""Countersunk screws with a hexagon socket (ISO 10642): their heads, the hole that takes one flush, what they bear.

The head is a cone of 90°, so its height follows from its width. Left out: slotted and cross heads (ISO 2009, ISO 7046),
which go into the same countersink or a larger one at M4 (9.4 mm).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from .threads import Thread

SUNK = 0.2e-3  # m below the face, so that lapping the face never finds a head; common practice
CONE = 1.0 / math.sin(math.radians(45.0))  # a 90° cone presses its seat harder than the screw pulls
SHALLOW = 0.8  # of the screw's own strength: under a flat socket head little metal is left. Source: iso-10642


@dataclass(frozen=True)
class Head:
    """One countersunk head; metres. `across` is the sharp cone's width, as the hole must take it."""

    across: float
    key: float
    height: float

    @property
    def countersink(self) -> float:
        """Width of the countersink at the face, the head `SUNK` below it, m."""
        return self.across + 2.0 * SUNK


# Sharp head width and key, mm. Source: iso-10642.
_ROWS = {"M3": (6.72, 2.0), "M4": (8.96, 2.5), "M5": (11.20, 3.0), "M6": (13.44, 4.0), "M8": (17.92, 5.0)}


def head_of(thread: Thread) -> Head:
    """The countersunk head of a screw.

    Args:
        thread: M3 to M8.

    Returns:
        Its sizes; the height is (d_k − d)/2.

    Source: iso-10642.
    """
    across, key = (one * 1e-3 for one in _ROWS[thread.name])
    return Head(across, key, 0.5 * (across - thread.diameter))


SIZES = tuple(_ROWS)


@dataclass(frozen=True)
class ScrewMetal:
    """What plate screws are bought of: yield strength cold [Pa], share of it at 250 °C, expansion [1/K], modulus [Pa]."""

    name: str
    strength: float
    hot: float
    expansion: float
    modulus: float

    @property
    def strength_hot(self) -> float:
        """Yield strength when hot, Pa."""
        return self.strength * self.hot


# Strengths and what is left hot. Sources: iso-3506-1, iso-898-1, memory; expansion and modulus as in the catalogue's metals.
STAINLESS = ScrewMetal("stainless A2-70", 450e6, 0.78, 16.6e-6, 196e9)
STEEL = ScrewMetal("steel 8.8", 640e6, 0.85, 11.7e-6, 206e9)


def metal_for(expansion: float) -> ScrewMetal:
    """The screw's metal that grows most like the plate it clamps.

    Args:
        expansion: of the plate. [1/K]

    Returns:
        Stainless for aluminium, copper and brass; steel for steel and iron.
    """
    return min((STAINLESS, STEEL), key=lambda one: abs(one.expansion - expansion))
