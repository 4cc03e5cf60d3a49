"""Which of the catalogue's modules a measured one is most like, by volts per kelvin, ohms, heat and size."""

from __future__ import annotations

import math

from ..parts.catalogue import Shelf
from ..parts.kinds import Module
from .health import Kind
from .measured import Measured

LEAST = 0.05  # odds below which a kind is not named
FAR = 4.0  # times both doubts together; further off it is none of them


def new_kind(part: Module) -> Kind:
    """What a new one has, from its part."""
    figures = (part.seebeck, part.resistance, part.conductance)
    return Kind(part.name, *(Measured(one.value, one.sd) for one in figures))


def likest(
    seebeck: Measured, resistance: Measured, conductance: Measured | None, width: float | None = None
) -> list[tuple[str, float]]:
    """Catalogue modules by how well a measured one goes with them.

    Args:
        seebeck: at 300 K. [V/K]
        resistance: at 300 K. [ohm]
        conductance: at 300 K, where measured. [W/K]
        width: of the module. [m]

    Returns:
        Names and odds, likeliest first, all kinds counted as equally common beforehand; empty when it is like none.
    """
    shelf = Shelf(None)
    weights: dict[str, float] = {}
    nearest = math.inf
    for name in shelf.names("module"):
        part: Module = shelf.find("module", name)
        found = [(seebeck, part.seebeck), (resistance, part.resistance)]
        if conductance is not None:
            found.append((conductance, part.conductance))
        off, scale = 0.0, 1.0
        for mine, new in found:
            both = math.hypot(mine.u, max(new.sd, 0.02 * new.value))
            off += ((mine.value - new.value) / both) ** 2
            scale *= both
        if width is not None:
            off += ((width - part.width.value) / 1e-3) ** 2
        nearest = min(nearest, off / len(found))
        weights[name] = math.exp(-0.5 * min(off, 1400.0)) / scale
    total = sum(weights.values())
    if nearest > FAR**2 or total <= 0.0:
        return []
    odds = sorted(((name, weight / total) for name, weight in weights.items()), key=lambda one: -one[1])
    return [one for one in odds if one[1] >= LEAST]


def likest_text(found: list[tuple[str, float]]) -> str:
    """The same as a sentence."""
    if not found:
        return "It is like none of the catalogue's modules."
    return f"Most like: {', '.join(f'{name} ({odds:.0%})' for name, odds in found[:3])}."
