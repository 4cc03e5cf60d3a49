"""How far one part is from another of its kind: which figures are compared, in words, and one number to go by.

The distance is a sum of natural logarithms of ratios, so that twice and half are equally far, each figure counted as much
as the fan feels it; temperatures count a tenth for each two kelvin. It ranks parts of one kind and means nothing across kinds.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from ..build import Build
from ..build.bin_sections import Bar, Plate, ScrewSet
from ..build.geometry import sink_base
from ..build.sections import MotorUse, RiserPart, Screws, SinkUse, Slab
from ..parts.kinds import Blade, Bush, Module, Wax
from ..stack.prepare import prepare
from ..stack.sinks import sink_conductance

TALK = 0.02  # a figure that differs by less than this share is not worth a word
RISE, STREAM = 50.0, 1.5  # K over the air and m/s through the blade at which sinks are compared


@dataclass(frozen=True)
class Figure:
    """One compared figure: its label, unit, factor from SI, weight in the distance, and both values in SI."""

    label: str
    unit: str
    factor: float
    weight: float
    theirs: float
    mine: float
    straight: float = 0.0  # K for each tenth, where a difference and not a ratio counts

    @property
    def apart(self) -> float:
        """This figure's share of the distance."""
        if self.straight > 0.0:
            return self.weight * 0.1 * abs(self.mine - self.theirs) / self.straight
        if self.theirs <= 0.0 or self.mine <= 0.0:
            return 0.0 if self.theirs == self.mine else self.weight
        return self.weight * abs(math.log(self.mine / self.theirs))

    @property
    def told(self) -> str | None:
        """The difference in words; None where there is none to speak of."""
        if abs(self.mine - self.theirs) <= TALK * max(abs(self.theirs), 1e-12) and self.straight == 0.0:
            return None
        if self.straight > 0.0:
            if abs(self.mine - self.theirs) < 0.5:
                return None
            return f"{self.label} {self.mine - 273.15:.0f} {self.unit} for {self.theirs - 273.15:.0f}"
        return f"{self.label} {self.mine * self.factor:.3g}{' ' if self.unit else ''}{self.unit} for {self.theirs * self.factor:.3g}"


Figures = list[Figure]


def modules(theirs: Module, mine: Module) -> Figures:
    """Two modules."""
    first, second = (min(one.hot_limit.value, one.solder.value) for one in (theirs, mine))
    return [
        Figure("gives", "mV/K", 1e3, 1.0, theirs.seebeck.value, mine.seebeck.value),
        Figure("resistance", "Ω", 1.0, 0.7, theirs.resistance.value, mine.resistance.value),
        Figure("conducts", "W/K", 1.0, 0.7, theirs.conductance.value, mine.conductance.value),
        Figure("width", "mm", 1e3, 1.0, theirs.width.value, mine.width.value),
        Figure("limit", "°C", 1.0, 0.3, first, second, straight=2.0),
    ]


def motors(theirs: MotorUse, mine: MotorUse) -> Figures:
    """Two motors."""
    a, b = theirs.part, mine.part
    return [
        Figure("winding", "Ω", 1.0, 0.5, a.resistance.value, b.resistance.value),
        Figure("twist", "mN·m/A", 1e3, 1.0, a.torque_constant.value, b.torque_constant.value),
        Figure("breaks away at", "µN·m", 1e6, 0.5, a.breakaway.value, b.breakaway.value),
        Figure("limit", "°C", 1.0, 0.2, a.limit.value, b.limit.value, straight=2.0),
    ]


def blades(theirs: Blade, mine: Blade) -> Figures:
    """Two blades."""
    return [
        Figure("diameter", "mm", 1e3, 3.0, theirs.diameter.value, mine.diameter.value),
        Figure("power figure", "", 1.0, 0.5, theirs.power_coefficient.value, mine.power_coefficient.value),
        Figure("thrust figure", "", 1.0, 0.5, theirs.thrust_coefficient.value, mine.thrust_coefficient.value),
        Figure("limit", "°C", 1.0, 0.05, theirs.limit.value, mine.limit.value, straight=2.0),
    ]


def sink_takes(build: Build, use: SinkUse) -> tuple[float, float]:
    """What a sink gives to the air 50 K cooler than its base, still and in the blade's stream, W/K."""
    stack = prepare(replace(build, sink=use))
    room = build.stove.room.value
    still, blown = (float(sink_conductance(stack.p, stack.q, room + RISE, room, stream)) for stream in (0.0, STREAM))
    return still, blown


def sinks(build: Build, theirs: SinkUse, mine: SinkUse) -> Figures:
    """Two sinks, by what they give to the air and by their bases."""
    a, b = sink_takes(build, theirs), sink_takes(build, mine)
    first, second = (sink_base(replace(build, sink=use)) for use in (theirs, mine))
    return [
        Figure("blown", "W/K", 1.0, 1.0, a[1], b[1]),
        Figure("still", "W/K", 1.0, 0.7, a[0], b[0]),
        Figure("base", "mm wide", 1e3, 0.5, first[0], second[0]),
        Figure("base", "mm deep", 1e3, 0.5, first[1], second[1]),
    ]


def bars(theirs: RiserPart, mine: Bar) -> Figures:
    """A riser and a bar: how much metal stands on the plate, how well it carries heat, how tall it can be."""
    area = {"cylinder": 0.25 * math.pi, "block": 1.0}
    first = area[theirs.shape] * theirs.width.value * theirs.depth.value
    nearest = min(mine.lengths, key=lambda length: abs(length - theirs.length.value))
    return [
        Figure("section", "cm²", 1e4, 1.0, first, area[mine.shape] * mine.width * mine.depth),
        Figure("conducts", "W/(m K)", 1.0, 0.7, theirs.material.conductivity.value, mine.material.conductivity.value),
        Figure("length", "mm", 1e3, 0.5, theirs.length.value, nearest),
    ]


def plates(theirs: Slab, mine: Plate) -> Figures:
    """Two plates."""
    b = mine.slab
    return [
        Figure("width", "mm", 1e3, 1.0, theirs.width.value, b.width.value),
        Figure("depth", "mm", 1e3, 1.0, theirs.depth.value, b.depth.value),
        Figure("thickness", "mm", 1e3, 0.5, theirs.thickness.value, b.thickness.value),
        Figure("conducts", "W/(m K)", 1.0, 0.5, theirs.material.conductivity.value, b.material.conductivity.value),
    ]


def screws(theirs: Screws, mine: ScrewSet) -> Figures:
    """Two sets of clamp screws."""
    return [
        Figure("thread", "mm", 1e3, 1.0, theirs.part.diameter.value, mine.part.diameter.value),
        Figure("number", "", 1.0, 0.5, float(theirs.count), float(mine.count)),
        Figure("conducts", "W/(m K)", 1.0, 0.5, theirs.part.material.conductivity.value, mine.part.material.conductivity.value),
    ]


def bushes(theirs: Bush, mine: Bush) -> Figures:
    """Two bushes."""
    return [
        Figure("conducts", "W/(m K)", 1.0, 1.0, theirs.material.conductivity.value, mine.material.conductivity.value),
        Figure("collar", "mm", 1e3, 0.5, theirs.flange_thickness.value, mine.flange_thickness.value),
    ]


def elements(theirs: Wax, mine: Wax) -> Figures:
    """Two wax elements."""
    return [
        Figure("opens at", "°C", 1.0, 1.0, theirs.opens.value, mine.opens.value, straight=2.0),
        Figure("pushes", "mm", 1e3, 0.5, theirs.travel.value, mine.travel.value),
        Figure("force", "N", 1.0, 0.3, theirs.force.value, mine.force.value),
    ]


def apart(figures: Figures) -> float:
    """Distance of two parts: the sum over their figures."""
    return sum(one.apart for one in figures)


def told(figures: Figures) -> tuple[str, ...]:
    """Every difference worth a word."""
    return tuple(one.told for one in figures if one.told is not None)


def nearest(count: int, compare: Callable[[int], Figures], there: Callable[[int], bool]) -> list[tuple[float, int]]:
    """Places of the bin's list by distance, those that are on hand only."""
    return sorted((apart(compare(place)), place) for place in range(count) if there(place))
