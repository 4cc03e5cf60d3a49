"""A strut for the motor: the strip of metal that carries it over the sink, stiff enough and no better a road for heat than reckoned.

The model reckons with a conductance between sink and motor; a strip of k A / L carries that much. Among such strips the lightest
is taken that sways faster than any such blade turns, so that the blade does not shake it. What it loses to the air on its way
is left out: that cools the motor. It is a proposal: any bracket of the same conductance serves; the build does not say how its
motor is held.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..parts.catalogue import Shelf
from . import geometry
from .sections import Build

METALS = ("aluminium 6082", "plain steel", "stainless 304")
SHEETS = (1e-3, 1.5e-3, 2e-3, 3e-3, 4e-3)  # m; sheet and flat bar. Source: from memory
WIDE = (8e-3, 10e-3, 12e-3, 15e-3, 20e-3, 25e-3, 30e-3)  # m; from twice and a half its screws on
NEAR = 0.15  # of the wanted conductance; its own spread is wider
QUICK = (
    45.0  # Hz; half as much again as 1,800 turns a minute, which few of these blades pass. Common practice: 20 % off and more
)
LAP = 0.030  # m; how far it lies on the fin that it is screwed to, or the whole fin where that is shorter. Source: choice
OVER = 6e-3  # m beyond the motor's middle. Source: choice


@dataclass(frozen=True)
class Strut:
    """A strip on a fin: metal, thickness, width, free length and lap [m], conductance [W/K], sway with its motor [Hz]."""

    metal: str
    thickness: float
    width: float
    free: float
    lap: float
    carries: float
    sways: float

    @property
    def long(self) -> float:
        """How long it is cut, m."""
        return self.lap + self.free + OVER

    @property
    def says(self) -> str:
        """What to cut."""
        return f"{self.metal}, {self.thickness * 1e3:g} x {self.width * 1e3:g} mm, {self.long * 1e3:.0f} mm long"


def sway(modulus: float, width: float, thickness: float, free: float, mass: float) -> float:
    """How often a second a mass on the free end of a clamped strip sways across its flat.

        f = √(3 E I / (m L³)) / 2π,   I = w t³ / 12

    Args:
        modulus: of the metal. [Pa]
        width: of the strip. [m]
        thickness: of the strip. [m]
        free: length between clamp and mass. [m]
        mass: at its end, the strip's own left out. [kg]

    Returns:
        Frequency. [Hz]

    Source: exact (cantilever with an end mass).
    """
    return math.sqrt(3.0 * modulus * width * thickness**3 / 12.0 / (mass * free**3)) / (2.0 * math.pi)


def strut_for(build: Build) -> Strut | None:
    """The lightest stiff strip that leads as much heat from sink to motor as the build reckons with.

    Args:
        build: a checked build.

    Returns:
        The strip; None where the sink has no plate fins to screw it to, the motor hangs between them, or no strip comes near.
    """
    sink = build.sink.part
    if sink.shape != "plate fins":
        return None
    top = geometry.riser_height(build) + geometry.module_thickness(build) + geometry.sink_box(build)[2]
    top += sum(slab.thickness.value for slab in (build.hot_plate, build.spreader) if slab is not None)
    free, lap = build.blade.height.value - top, min(LAP, sink.fin_height.value)
    if free < 2.0 * OVER:
        return None
    wanted, mass = build.motor.mount_conductance.value, build.motor.part.mass.value + build.blade.part.mass.value
    found = []
    for name in METALS:
        metal = Shelf(None).find("material", name)
        for thick in SHEETS:
            for wide in WIDE:
                carries = metal.conductivity.value * thick * wide / free
                if abs(carries / wanted - 1.0) <= NEAR:
                    sways = sway(metal.modulus.value, wide, thick, free, mass)
                    found.append((metal.density.value * thick * wide, Strut(name, thick, wide, free, lap, carries, sways)))
    stiff = [pair for pair in found if pair[1].sways >= QUICK]
    if stiff:
        return min(stiff, key=lambda pair: pair[0])[1]
    return max(found, key=lambda pair: pair[1].sways)[1] if found else None
