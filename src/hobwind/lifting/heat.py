"""The cooling ring round a wax element in millimetres: the loss the guard is reckoned with, turned round."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..build import Build
from ..build.guide import free_beyond
from ..parts.catalogue import Shelf
from ..physics.fins import annular_fin_efficiency
from .apart import CLEAR, riser_gap

RING_FROM = 0.02  # W/K; an element loses more than that only by a ring
STILL_AIR = 10.0  # W/(m2 K) by convection and glow from a bright strip in still air. Source: from memory
BARE = 0.010  # W/K an element loses by its own skin; the build's usual figure. Source: from memory
RING_METAL, SHEET = "pure aluminium", 1.0e-3  # m thick
WALL = 2.5e-3  # m of ring between its hole and its nearest edge, at least
ROOM = 2e-3  # m between ring and cheeks
WIDEST = 60e-3  # m across one ring: a wider one is in everybody's way, so a second goes on. Source: choice


@dataclass(frozen=True)
class Ring:
    """Sheets on the element, the hole off their middle: count, `side` away from the riser and `deep` along it, thickness, hole and from
    its middle to the near edge [m]; what they carry off [W/K] and how evenly warm they are."""

    count: int
    side: float
    deep: float
    thickness: float
    hole: float
    near: float
    carries: float
    efficiency: float


def ring_for(build: Build) -> Ring | None:
    """The ring that loses what the guard was reckoned with: G = G_bare + efficiency · h · A, turned round for A.

    Both faces give off heat; the sheet's efficiency is that of a round one of the same area. The hole stands off the middle so
    that the ring keeps clear of the riser, and of a lever's cheeks: then it is the longer along them.

    Args:
        build: a checked build.

    Returns:
        The ring; None where the element is left bare, or sits in the riser.

    Source: incropera (fin efficiency); still air and bare loss from memory.
    Check: 50 mW/K at 10 W/(m2 K) on two faces, as warm as the element: 25 cm2.
    """
    guard = build.guard
    if guard.element is None or guard.held_in == "riser" or guard.element_loss.value <= RING_FROM:
        return None
    conductivity = Shelf(None).find("material", RING_METAL).conductivity.value
    hole = guard.element.diameter.value
    m, inner = math.sqrt(2.0 * STILL_AIR / (conductivity * SHEET)), 0.5 * hole
    wanted = guard.element_loss.value - BARE
    inward, outward = (max(room, inner + WALL) for room in (riser_gap(build, CLEAR), free_beyond(build) - ROOM))
    for count in range(1, 6):
        outer, share = inner, 1.0
        for _ in range(
            20
        ):  # area for the efficiency, efficiency for the area: settles at once, for the sheet is nearly all warm
            outer = math.sqrt(inner**2 + wanted / (count * 2.0 * math.pi * STILL_AIR * share))
            share = float(annular_fin_efficiency(m, inner, outer))
        square = math.sqrt(math.pi) * outer
        near = min(0.5 * square, inward)
        side = round(near + min(square - near, outward), 3)
        deep = round(math.pi * outer**2 / side, 3)
        if deep <= WIDEST:
            break
    carries = BARE + count * share * STILL_AIR * 2.0 * (side * deep - math.pi * inner**2)
    return Ring(count, side, deep, SHEET, hole, near, carries, share)


def ring_reckoned(ring: Ring) -> str:
    """How the ring was reckoned, for whoever cuts it."""
    area = ring.side * ring.deep - 0.25 * math.pi * ring.hole**2
    return (
        f"The ring: {1e3 * BARE:.0f} mW/K of the bare element + {ring.efficiency:.2f} x {STILL_AIR:g} W/(m² K) x 2 faces x "
        f"{ring.count} x {1e4 * area:.1f} cm² = {1e3 * ring.carries:.0f} mW/K, in still air; a draught cools more and opens later. "
        "Larger: later; smaller: earlier. Try it by thermometer."
    )
