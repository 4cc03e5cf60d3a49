"""An unknown bar: mass, displaced water and a magnet say which metals it can be, and what that means for its heat flow."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..errors import InputError
from ..parts.catalogue import Shelf
from .measured import Instrument, Measured, combine
from .result import Figure, Result

WATER = 997.8  # kg/m3 at 22 degrees
METALS = (
    "aluminium 6082", "aluminium 6061", "pure aluminium", "cast aluminium", "die-cast aluminium", "copper",
    "brass CuZn39Pb3", "bronze", "plain steel", "stainless 304", "grey cast iron", "zinc alloy casting", "magnesium bar",
)  # fmt: skip
MAGNETIC = {"plain steel", "grey cast iron"}
LEAST_DISPLACED = 5e-3  # kg; a thimble of water is read too badly


@dataclass(frozen=True)
class MetalReadings:
    """One bar: dry mass and mass of displaced water (a bowl on the scale, the bar hung in it), kg; whether a magnet holds."""

    mass: float
    displaced: float
    magnet: bool | None = None
    balance: Instrument = Instrument(0.002, 1e-3)


@dataclass(frozen=True)
class Candidate:
    """One metal it can be: name, odds from 0 to 1, conductivity [W/(m K)], what to mind."""

    name: str
    odds: float
    conductivity: float
    caution: str


def candidates(density: Measured, magnet: bool | None) -> list[Candidate]:
    """Metals of the catalogue by how well their density fits, and whether they hold a magnet.

    Args:
        density: of the bar. [kg/m3]
        magnet: True when a magnet holds, None when it was not tried.

    Returns:
        Candidates with odds above one in a hundred, likeliest first; all metals counted as equally common beforehand.
    """
    shelf, weights = Shelf(None), {}
    for name in METALS:
        part = shelf.find("material", name)
        width = math.hypot(density.u, part.density.sd)
        off = (density.value - part.density.value) / width
        agrees = 1.0 if magnet is None else 0.98 if (name in MAGNETIC) == magnet else 0.02
        weights[name] = math.exp(-0.5 * off * off) / width * agrees
    total = sum(weights.values())
    if total <= 0.0:
        return []
    rows = [
        Candidate(name, weight / total, shelf.find("material", name).conductivity.value, shelf.find("material", name).caution)
        for name, weight in weights.items()
    ]
    return sorted((row for row in rows if row.odds > 0.01), key=lambda row: -row.odds)


def identify_metal(readings: MetalReadings) -> Result:
    """Density, and the conductivity that goes with it.

    Args:
        readings: of one bar. [kg]

    Returns:
        The result; its verdict names the candidates with their odds.

    Raises:
        InputError: masses that cannot be.

    Source: metals-handbook and the catalogue's other sources for density; gum for the doubts.
    """
    if not 1e-3 <= readings.mass <= 100.0:
        raise InputError(f"mass: got {readings.mass * 1e3:.0f} g; 1 g to 100 kg is allowed")
    if not 0.0 < readings.displaced < readings.mass:
        raise InputError(
            f"displaced: got {readings.displaced * 1e3:.0f} g of water for {readings.mass * 1e3:.0f} g of metal; a metal displaces "
            "less than its own mass: were the two exchanged?"
        )
    u = readings.balance
    density, _ = combine(
        lambda m, w: m / w * WATER,
        {
            "m": Measured(readings.mass, u.u(readings.mass)),
            "w": Measured(readings.displaced, u.u(readings.displaced)),
        },
    )
    doubts = []
    if readings.displaced < LEAST_DISPLACED:
        doubts.append(f"only {readings.displaced * 1e3:.1f} g of water displaced: take a larger piece or a finer scale")
    found = candidates(density, readings.magnet)
    far = not found or all(_off(density, one.name) > 4.0 for one in found)
    figures = [Figure("density", "density", density, "density")]
    if far:
        doubts.append("no metal of the catalogue is that heavy: a hollow, a plating, an air bubble or a wrong reading")
        verdict = f"{density.value:.0f} kg/m³ fits none of the catalogue's metals; weigh it again without bubbles."
        return Result("material", "unknown metal", tuple(figures), False, verdict, tuple(doubts))
    mean = sum(one.odds * one.conductivity for one in found)
    sd = math.sqrt(sum(one.odds * (one.conductivity - mean) ** 2 for one in found))
    figures.append(Figure("conductivity", "conducts", Measured(mean, math.hypot(sd, 0.05 * mean)), "conductivity"))
    listed = ", ".join(f"{one.name} ({one.odds:.0%}, {one.conductivity:.0f} W/(m K))" for one in found[:4])
    doubts += [f"{one.name}: {one.caution}" for one in found if one.caution and one.odds > 0.05]
    good = mean > 90.0
    verdict = f"Likely {listed}. {'Good' if good else 'Poor'} for a riser."
    return Result("material", "unknown metal", tuple(figures), good, verdict, tuple(doubts), base=found[0].name)


def _off(density: Measured, name: str) -> float:
    part = Shelf(None).find("material", name)
    return float(abs(density.value - part.density.value) / math.hypot(density.u, part.density.sd))
