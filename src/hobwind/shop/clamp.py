"""The clamp: torque to preload to pressure on the modules, cold and over the solved temperatures, with and without disc washers.

Parts outgrow their screws part by part; what that does to the force follows from how far screw, parts and bending plates
give. Left out: creep of plastic bushes with the hours, friction between nested disc washers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..bench.washers import Disc
from ..build import Build, geometry
from ..build.sections import Screws
from ..parts.kinds import Material, Screw
from ..stack.fields import P, Seen
from ..studies.headline import Headline
from .disc_springs import Spring, Stack, no_stack, stacks_for
from .metals import tapped
from .preload import force_after, most_preload, screw_compliance, torque_per_newton
from .threads import THREADS

Floats = NDArray[np.float64]
# How far hand and tool miss the torque they aim at, about 19 in 20. Source: from memory.
TOOL_SPREAD = {"torque wrench": 0.06, "spring scale on the key": 0.12, "feel": 0.35}
# Yield strength of a screw whose head says nothing, Pa. Source: from memory, low values.
YIELD = {"plain steel": 240e6, "stainless 304": 210e6, "brass CuZn39Pb3": 200e6, "spring steel": 900e6}
OTHER_YIELD = 200e6
CUT_SHARE = 0.6  # of the cylinder of metal at the thread's outer diameter that carries in shear. Source: from memory
MODULE_EXPANSION, MODULE_MODULUS = 12e-6, 10e9  # 1/K, Pa; legs, solder and ceramic together. Source: from memory
SETTLING = 5e-6  # m; what paste and rough faces give up after the first heat. Source: from memory, after VDI 2230
NUT_HEIGHT = 0.8  # of the screw. Source: iso-4032
ROOMY = 0.92  # share of flat that a stack may be pressed to when hottest


@dataclass(frozen=True)
class Layer:
    """One part in the grip of the screws: name, thickness [m], expansion [1/K], give [m/N], rise over the evening [K]."""

    name: str
    thickness: float
    expansion: float
    give: float
    rise: Floats

    @property
    def growth(self) -> Floats:
        """How much it has grown at each instant, m."""
        return self.thickness * self.expansion * self.rise


@dataclass(frozen=True)
class Clamp:
    """What one screw does; forces are per screw, pressures on the modules, SI. Pairs are lowest and highest."""

    screw: Screw
    count: int
    torque: float
    wanted: float
    preload: float
    spread: tuple[float, float]
    area: float
    layers: tuple[Layer, ...]
    screw_rise: Floats
    screw_growth: Floats
    compliance: float
    stack: Stack | None
    hot: tuple[float, float]
    bare: tuple[float, float]
    suggested: Stack | None
    suggested_hot: tuple[float, float]
    most: float
    strips: float
    engaged: float
    nut: bool
    head_peak: float
    range: tuple[float, float]
    after_settling: float

    def pressure(self, force: float) -> float:
        """Pressure on the modules when every screw pulls this much, Pa."""
        return force * self.count / self.area

    @property
    def difference(self) -> Floats:
        """Growth of the parts less that of the screw, m."""
        return np.asarray(sum(layer.growth for layer in self.layers) - self.screw_growth)


def clamp(build: Build, solved: Headline) -> Clamp | None:
    """Work the clamp of a build through.

    Args:
        build: a checked build.
        solved: the same build solved.

    Returns:
        The clamp; None when the build names no screws or their thread is not an ISO coarse one.
    """
    screws = build.screws
    if screws is None or screws.part.thread not in THREADS:
        return None
    screw, thread, how = screws.part, THREADS[screws.part.thread], build.tightening
    area = sum(use.count * use.part.width.value * use.part.depth.value for use in build.modules)
    ring = 0.5 * (screw.head_diameter.value + thread.clearance)

    def per_newton(friction: float) -> float:
        return torque_per_newton(thread.pitch, thread.pitch_diameter, friction, friction, ring)

    wanted = build.clamp_pressure.value * area / screws.count
    mu = how.friction
    torque = wanted * per_newton(mu.value) if how.torque is None else how.torque.value
    preload, tool = torque / per_newton(mu.value), TOOL_SPREAD[how.tool]
    slick, dry = max(mu.low, 0.04), mu.high
    more = math.hypot(per_newton(mu.value) / per_newton(slick) - 1.0, tool)
    less = math.hypot(1.0 - per_newton(mu.value) / per_newton(dry), tool)
    spread = (preload * max(1.0 - less, 0.0), preload * (1.0 + more))
    layers, screw_rise = _layers(build, solved, screws)
    give = screw_compliance(
        screws.free_length.value, thread.diameter, thread.stress_area, thread.core_diameter, screw.material.modulus.value
    )
    compliance = give + sum(layer.give for layer in layers) + _bending(build, screws)
    screw_growth = screws.free_length.value * screw.material.expansion.value * screw_rise
    stack = _stack(screws)
    difference = np.asarray(sum(layer.growth for layer in layers) - screw_growth)
    low, high = float(difference.min()), float(difference.max())

    def over(spring: Spring, force: tuple[float, float]) -> tuple[float, float]:
        return force_after(force[0], low, compliance, spring), force_after(force[1], high, compliance, spring)

    allowed = (
        max(use.part.pressure_low.value for use in build.modules),
        min(use.part.pressure_high.value for use in build.modules),
    )
    bare = over(no_stack, (preload, preload))
    fitted = over(stack.travel if stack else no_stack, (preload, preload))
    newtons = (allowed[0] * area / screws.count, allowed[1] * area / screws.count)
    suggested = _suggest(thread.diameter, preload, newtons, low, high, compliance)
    engaged, nut = _engaged(build, screws, layers)
    strength = screws.strength.value if screws.strength else YIELD.get(screw.material.name, OTHER_YIELD)
    shear = tapped("plain steel" if nut else _tapped(build).name).shear_hot
    return Clamp(
        screw=screw,
        count=screws.count,
        torque=torque,
        wanted=wanted,
        preload=preload,
        spread=spread,
        area=area,
        layers=layers,
        screw_rise=screw_rise,
        screw_growth=screw_growth,
        compliance=compliance,
        stack=stack,
        hot=fitted,
        bare=bare,
        suggested=suggested,
        suggested_hot=over(suggested.travel, (preload, preload)) if suggested else bare,
        most=most_preload(thread.pitch, thread.pitch_diameter, thread.core_diameter, mu.value, strength),
        strips=math.pi * thread.diameter * engaged * CUT_SHARE * shear,
        engaged=engaged,
        nut=nut,
        head_peak=build.stove.room.value + float(layers[0].rise.max()),
        range=allowed,
        after_settling=force_after(preload, -SETTLING, compliance, stack.travel if stack else no_stack),
    )


def _rows(solved: Headline) -> Floats:
    """Both evenings and the settled usual plate, one below the other."""
    return np.vstack([solved.usual.seen, solved.worst.seen, solved.usual_point.seen[None, :]])


def _layers(build: Build, solved: Headline, screws: Screws) -> tuple[tuple[Layer, ...], Floats]:
    """What lies in the grip from the head down, and how much warmer than when tightened the screw itself gets."""
    rows, p = _rows(solved), solved.stack.p
    room = build.stove.room.value
    low, high = rows[:, Seen.hot_plate] - room, rows[:, Seen.spreader] - room
    head = high.copy()
    if screws.bush is not None:
        bush = p[P.bush_thickness] / (p[P.bush_conductivity] * p[P.bush_area])
        rest = p[P.screw_length] / (p[P.screw_conductivity] * p[P.screw_area]) + 1.0 / (p[P.head_contact] * p[P.head_area])
        head = high + bush / (bush + rest) * (low - high)
    middle = 0.5 * (rows[:, Seen.hot_face] + rows[:, Seen.cold_face]) - room
    thick, found = geometry.module_thickness(build), []
    area = sum(use.count * use.part.width.value * use.part.depth.value for use in build.modules) / screws.count

    def ring(outer: float, inner: float) -> float:
        return 0.25 * math.pi * max(outer**2 - inner**2, 1e-6)

    def add(name: str, length: float, metal: Material, section: float, rise: Floats) -> None:
        give = length / (metal.modulus.value * section)
        found.append(Layer(name, length, metal.expansion.value, give, rise))

    bearing = screws.part.head_diameter.value
    washer = screws.washer
    if washer is not None and washer.dish is None:
        section = ring(washer.outer.value, washer.inner.value)
        add("washer", washer.thickness.value * screws.washers, washer.material, section, head)
    elif washer is not None:
        discs = screws.washers * screws.nested
        add("disc washers", washer.thickness.value * discs, washer.material, 1.0, head)  # their give is the stack's
    if screws.bush is not None:
        bush_part = screws.bush
        bearing = min(bearing, bush_part.flange_diameter.value)
        section = ring(bearing, bush_part.inner.value)
        add("collar of the bush", bush_part.flange_thickness.value, bush_part.material, section, 0.5 * (head + high))
    left = screws.free_length.value - sum(layer.thickness for layer in found) - thick
    metal, top, named = _upper(build)
    top = max(min(top, left), 0.0) if top else max(left, 0.0)
    add(named, top, metal, ring(bearing + 0.5 * top, screws.hole.value), high)
    found.append(Layer("modules", thick, MODULE_EXPANSION, thick / (MODULE_MODULUS * area), middle))
    left = max(left - top, 0.0)
    add(_lower_name(build), left, _tapped(build), ring(bearing + left, screws.part.diameter.value), low)
    return tuple(layer for layer in found if layer.thickness > 0.0), 0.5 * (low + head)


def _upper(build: Build) -> tuple[Material, float, str]:
    """Metal, thickness and name of what the heads bear on; no thickness known for a measured or barrel sink."""
    if build.spreader is not None:
        return build.spreader.material, build.spreader.thickness.value, "spreader"
    return build.sink.part.material, build.sink.part.base_thickness.value, "sink base"


def _tapped(build: Build) -> Material:
    return build.hot_plate.material if build.hot_plate is not None else build.riser[-1].material


def _lower_name(build: Build) -> str:
    return "hot plate, above the thread" if build.hot_plate is not None else "riser, above the thread"


def _engaged(build: Build, screws: Screws, layers: tuple[Layer, ...]) -> tuple[float, bool]:
    """Length of thread that holds, and whether a nut holds it: where the plate has no metal left to tap, a nut below does."""
    size = screws.part.diameter.value
    if screws.engaged is not None:
        return screws.engaged.value, False
    deep = build.hot_plate.thickness.value if build.hot_plate is not None else build.riser[-1].length.value
    left = deep - sum(layer.thickness for layer in layers if layer.name == _lower_name(build))
    if left >= size or build.hot_plate is None:
        return min(2.0 * size, max(left, 0.0)), False
    return NUT_HEIGHT * size, True


def _bending(build: Build, screws: Screws) -> float:
    """Give of the two plates between module edge and screw, as short beams fixed over the modules, m/N."""
    edge = max(abs(x) + 0.5 * w for x, _, w, _ in geometry.module_places(build))
    deep = max(abs(y) + 0.5 * d for _, y, _, d in geometry.module_places(build))
    arm = min(max(abs(x) - edge, abs(y) - deep) for x, y in geometry.screw_places(screws))
    arm, found = max(arm, 0.0), 0.0
    metal, top, _ = _upper(build)
    low = build.hot_plate
    for material, thickness, width in (
        (metal, top, geometry.high_plate(build)[1]),
        (_tapped(build), low.thickness.value if low else 0.0, geometry.low_plate(build)[1]),
    ):
        if thickness > 0.0:
            stiff = material.modulus.value * (2.0 * width / screws.count) * thickness**3 / 12.0
            found += arm**3 / (3.0 * stiff)
    return found


def _stack(screws: Screws) -> Stack | None:
    """The disc washers of the build."""
    washer = screws.washer
    if washer is None or washer.dish is None:
        return None
    disc = Disc(washer.outer.value, washer.inner.value, washer.thickness.value, washer.dish.value)
    return Stack(disc, screws.nested, screws.washers)


def _suggest(
    diameter: float, preload: float, allowed: tuple[float, float], low: float, high: float, give: float
) -> Stack | None:
    """The fewest discs that keep the force in range from cold to hottest without being pressed flat."""
    if not allowed[0] <= preload <= allowed[1]:
        return None
    for stack in stacks_for(diameter):
        least = force_after(preload, low, give, stack.travel)
        most = force_after(preload, high, give, stack.travel)
        if allowed[0] <= least and most <= allowed[1] and stack.travel(most) <= ROOMY * stack.series * stack.disc.dish:
            return stack
    return None


def figures(one: Clamp) -> dict[str, Any]:
    """The clamp as data with units in its keys."""
    mpa = 1e-6
    hottest = int(np.argmax(one.difference))
    return {
        "screw": one.screw.name,
        "count": one.count,
        "torque_Nm": round(one.torque, 3),
        "preload_N": round(one.preload, 1),
        "preload_low_N": round(one.spread[0], 1),
        "preload_high_N": round(one.spread[1], 1),
        "pressure_cold_MPa": round(one.pressure(one.preload) * mpa, 3),
        "pressure_low_MPa": round(one.pressure(one.hot[0]) * mpa, 3),
        "pressure_high_MPa": round(one.pressure(one.hot[1]) * mpa, 3),
        "pressure_wanted_low_MPa": round(one.range[0] * mpa, 3),
        "pressure_wanted_high_MPa": round(one.range[1] * mpa, 3),
        "most_preload_N": round(one.most, 1),
        "thread_holds_N": round(one.strips, 1),
        "engaged_mm": round(one.engaged * 1e3, 2),
        "held_by_nut": one.nut,
        "suggested_washers": None if one.suggested is None else one.suggested.says,
        "growth": [
            {
                "part": layer.name,
                "thickness_mm": round(layer.thickness * 1e3, 2),
                "rise_K": round(float(layer.rise[hottest]), 1),
                "growth_um": round(float(layer.growth[hottest]) * 1e6, 2),
            }
            for layer in one.layers
        ],
        "screw_rise_K": round(float(one.screw_rise[hottest]), 1),
        "screw_growth_um": round(float(one.screw_growth[hottest]) * 1e6, 2),
    }
