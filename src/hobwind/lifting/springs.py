"""Coil springs to be found or wound: wire, coil and turns for a wanted force and rate, their stress, lengths and heat limit.

Round wire, ends closed and filed flat, pressed together. Left out: creep over winters (the heat limit stands for it) and
buckling, for every spring here stands over a pin or in a tube.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..bench.spring import Wire, wire_rate

# mm, wire that is sold. Source: from memory
WIRES = (0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.4, 1.6, 1.8, 2.0, 2.2, 2.5)
DEAD = 2.0  # turns that only close the ends; shigley-springs
APART = 0.15  # of a wire's width that working turns must stay apart when pressed most. Source: en-13906-1
INDEX = (4.5, 16.0)  # coil over wire that can be wound by hand. Source: common practice
TURNS = (3.0, 20.0)  # working turns: fewer are unsure, more are long. Source: common practice
NEAR = 0.05  # a rate so near the wanted one is as good: the smaller spring is taken
QUARTER = 0.25  # of a turn, as near as a spring is cut
STEP = 0.25e-3  # m from one coil to the next when searching


@dataclass(frozen=True)
class SpringWire:
    """Wire by its metal: shear modulus [Pa], tensile strength `strong` [Pa] at 1 mm falling with the power `thins`,
    share of it borne in shear, and where it begins to slacken [K]."""

    metal: str
    shear: float
    strong: float
    thins: float
    share: float
    limit: float


# Sources: shigley-springs, tables of wire (A, m, G, share of the tensile strength); heat limit from memory.
STAINLESS = SpringWire("stainless spring wire (302, 1.4310)", 69.0e9, 1867e6, 0.146, 0.35, 523.15)
MUSIC = SpringWire("music wire", 81.7e9, 2211e6, 0.145, 0.45, 393.15)


@dataclass(frozen=True)
class Coil:
    """One spring: wire, mean coil diameter [m], working turns, rate [N/m], length without force and two lengths with theirs.

    `fitted` and `pressed` are lengths [m] at `force` and `most` [N]; `stress` over `bears` is how near it comes to setting.
    """

    metal: SpringWire
    wire: float
    coil: float
    turns: float
    rate: float
    fitted: float
    pressed: float
    force: float
    most: float

    @property
    def free(self) -> float:
        """Length without force, m."""
        return self.fitted + self.force / self.rate

    @property
    def solid(self) -> float:
        """Length with all turns touching, m."""
        return solid_length(self.wire, self.turns)

    @property
    def stress(self) -> float:
        """Shear stress in the wire when pressed most, Pa."""
        return wire_stress(self.most, self.wire, self.coil)

    @property
    def bears(self) -> float:
        """Shear stress at which it begins to stay short, Pa."""
        return strength(self.metal, self.wire)

    @property
    def says(self) -> str:
        """What to find or wind."""

        def mm(length: float) -> str:
            return f"{round(length * 1e3, 2):.2f}".rstrip("0").rstrip(".")

        return (
            f"{self.metal.metal}, wire {mm(self.wire)}, coil {mm(self.coil - self.wire)} inside and {mm(self.coil + self.wire)} mm "
            f"outside, {self.turns:g} working turns and {DEAD:g} closed; {self.rate * 1e-3:.2f} N/mm: {self.force:.1f} N at "
            f"{mm(self.fitted)} mm, {self.most:.1f} N at {mm(self.pressed)} mm; {mm(self.free)} mm free, {mm(self.solid)} mm solid; "
            f"to {self.metal.limit - 273.15:.0f} °C"
        )

    @property
    def test(self) -> str:
        """How to try it on a kitchen scale."""
        grams = [force / 9.80665e-3 for force in (self.force, self.most)]
        return (
            f"hobwind bench spring: pressed on a kitchen scale to {self.fitted * 1e3:.1f} mm it shows {grams[0]:.0f} g, to "
            f"{self.pressed * 1e3:.1f} mm {grams[1]:.0f} g"
        )


def solid_length(wire: float, turns: float) -> float:
    """Length with all turns touching, ends closed and filed flat.

    Args:
        wire: its width. [m]
        turns: that work. [-]

    Returns:
        (n + 2) d. [m]

    Source: shigley-springs.
    """
    return (turns + DEAD) * wire


def wire_stress(force: float, wire: float, coil: float) -> float:
    """Shear stress in a spring's wire, bent as it is.

        tau = K 8 F D/(pi d^3),   K = (4 C + 2)/(4 C - 3),   C = D/d

    Args:
        force: on the spring. [N]
        wire: its width. [m]
        coil: mean diameter. [m]

    Returns:
        Stress at the inside of the coil. [Pa]

    Source: shigley-springs (Bergsträsser's factor).
    """
    index = coil / wire
    return (4.0 * index + 2.0) / (4.0 * index - 3.0) * 8.0 * force * coil / (math.pi * wire**3)


def strength(metal: SpringWire, wire: float) -> float:
    """Shear stress at which a spring begins to stay short: a share of A/d^m, the wire's tensile strength.

    Args:
        metal: of the wire.
        wire: its width. [m]

    Returns:
        Stress. [Pa]

    Source: shigley-springs.
    """
    borne: float = metal.share * metal.strong / (wire * 1e3) ** metal.thins
    return borne


@lru_cache(maxsize=4096)  # a sheet asks for the same spring many times
def coil_for(
    force: float, rate: float, travel: float, inside: float, outside: float, fitted: float | None = None,
    metal: SpringWire = STAINLESS,
) -> Coil | None:  # fmt: skip
    """The spring that gives a force, then gives way a travel at a rate, and fits between a pin and a tube.

    Args:
        force: when fitted. [N]
        rate: wanted. [N/m]
        travel: pressed further than fitted. [m]
        inside: what it must pass over. [m]
        outside: what it must pass through. [m]
        fitted: length it has in its place; None for the shortest that works. [m]
        metal: of the wire.

    Returns:
        The shortest, or for a given length the one nearest in rate and then the slimmest; None when no wire does it.

    Source: shigley-springs; en-13906-1 for turns that must not touch.
    """
    most = force + rate * travel
    coils = np.arange(math.ceil(inside / STEP), math.floor(outside / STEP) + 1) * STEP
    wires, across = np.meshgrid(np.array(WIRES) * 1e-3, coils, indexing="ij")
    # All at once: what finds room, can be wound, bears the most force and has turns enough and not too many.
    turns = np.round(wire_rate(Wire(wires, across, 1.0), metal.shear) / rate / QUARTER) * QUARTER
    fits = (across - wires >= inside - 1e-9) & (across + wires <= outside + 1e-9)
    fits &= (across / wires >= INDEX[0]) & (across / wires <= INDEX[1]) & (turns >= TURNS[0]) & (turns <= TURNS[1])
    fits &= wire_stress(most, wires, across) <= strength(metal, wires)
    shortest = solid_length(wires, turns) + APART * wires * turns + travel
    if fitted is not None:
        fits &= shortest <= fitted + 1e-9
    if not fits.any():
        return None
    wires, across, turns, shortest = wires[fits], across[fits], turns[fits], shortest[fits]
    lengths = np.ceil(shortest * 2e3 - 1e-9) * 0.5e-3
    true = np.asarray(wire_rate(Wire(wires, across, turns), metal.shear))
    off = np.abs(true / rate - 1.0)
    first, then = (lengths, off) if fitted is None else (np.maximum(off - NEAR, 0.0), across + wires)
    i = int(np.lexsort((then, first))[0])
    length, now = float(lengths[i]) if fitted is None else fitted, float(true[i])
    return Coil(
        metal, float(wires[i]), float(across[i]), float(turns[i]), now, length, length - travel, force, force + now * travel
    )
