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
from .holes import Gripped, ScrewFit, gripped, screw_sits
from .preload import force_after, most_preload, screw_compliance, torque_per_newton
from .under_heads import hides_sink

Floats = NDArray[np.float64]
# How far hand and tool miss the torque they aim at, about 19 in 20. Source: from memory.
TOOL_SPREAD = {"torque wrench": 0.06, "spring scale on the key": 0.12, "feel": 0.35}
# Yield strength of a screw whose head says nothing, Pa. Source: from memory, low values.
YIELD = {"plain steel": 240e6, "stainless 304": 210e6, "brass CuZn39Pb3": 200e6, "spring steel": 900e6}
OTHER_YIELD = 200e6
MODULE_EXPANSION, MODULE_MODULUS = 12e-6, 10e9  # 1/K, Pa; legs, solder and ceramic together. Source: from memory
SETTLING = 5e-6  # m; what paste and rough faces give up after the first heat. Source: from memory, after VDI 2230
MADE_UP, UNSEEN = "spacer under the head", "more of the grip, unseen"  # the second in a found fan, closed
STEP = 0.05e6  # Pa; as near as a torque is set. Source: choice
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
    screws, fit = build.screws, screw_sits(build)
    if screws is None or fit is None:
        return None
    screw, thread, how = screws.part, fit.thread, build.tightening
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
    layers, screw_rise = _layers(build, solved, screws, fit)
    give = screw_compliance(fit.free, thread.diameter, thread.stress_area, thread.core_diameter, screw.material.modulus.value)
    compliance = give + sum(layer.give for layer in layers) + _bending(build, screws)
    screw_growth = fit.free * screw.material.expansion.value * screw_rise
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
    strength = screws.strength.value if screws.strength else YIELD.get(screw.material.name, OTHER_YIELD)
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
        strips=fit.holds,
        engaged=fit.engaged,
        nut=fit.nut,
        head_peak=build.stove.room.value + float(layers[0].rise.max()),
        range=allowed,
        after_settling=force_after(preload, -SETTLING, compliance, stack.travel if stack else no_stack),
    )


def _rows(solved: Headline) -> Floats:
    """Both evenings and the settled usual plate, one below the other."""
    return np.vstack([solved.usual.seen, solved.worst.seen, solved.usual_point.seen[None, :]])


def _layers(build: Build, solved: Headline, screws: Screws, fit: ScrewFit) -> tuple[tuple[Layer, ...], Floats]:
    """What lies in the grip from the head down, and how much warmer than when tightened the screw itself gets."""
    rows, p = _rows(solved), solved.stack.p
    room = build.stove.room.value
    low, high, base = (rows[:, seen] - room for seen in (Seen.hot_plate, Seen.spreader, Seen.sink))
    top = high if build.spreader is not None and not any(one.name == "sink base" for one in gripped(build)) else base
    head = top.copy()
    if screws.bush is not None:
        bush = p[P.bush_thickness] / (p[P.bush_conductivity] * p[P.bush_area])
        rest = p[P.screw_length] / (p[P.screw_conductivity] * p[P.screw_area]) + 1.0 / (p[P.head_contact] * p[P.head_area])
        head = top + bush / (bush + rest) * (low - top)
    middle = 0.5 * (rows[:, Seen.hot_face] + rows[:, Seen.cold_face]) - room
    rises = {
        "washer": head, "disc washers": head, "collar of the bush": 0.5 * (head + top), "sink base": base, "spreader": high,
        "modules": middle, "hot plate": low,
    }  # fmt: skip
    area = sum(use.count * use.part.width.value * use.part.depth.value for use in build.modules) / screws.count
    bearing, bore = screws.part.head_diameter.value, screws.hole.value
    parts, spare = gripped(build), max(fit.free - fit.grip, 0.0)
    if fit.nut and build.hot_plate is not None:
        parts.append(Gripped("hot plate", build.hot_plate.thickness.value, build.hot_plate.material))
    if spare > 0.0:  # more free length than parts: made up under the heads; under a barrel or a measured sink it is the sink
        hidden = hides_sink(build)
        made_up = (
            Gripped("sink base", spare, build.sink.part.material)
            if hidden
            else Gripped(UNSEEN if build.found else MADE_UP, spare, screws.part.material)
        )
        under = next(i for i, one in enumerate(parts) if one.name == "modules")
        parts.insert(under if hidden else 0, made_up)
        rises[made_up.name] = base if hidden else head
    found = []
    for one in parts:
        if one.material is None:
            found.append(
                Layer(one.name, one.thickness, MODULE_EXPANSION, one.thickness / (MODULE_MODULUS * area), rises[one.name])
            )
            continue
        section = _ring(bearing, screws.part.diameter.value)
        if one.name == "washer" and screws.washer is not None:
            section = _ring(screws.washer.outer.value, screws.washer.inner.value)
        elif one.name == "disc washers":
            section = 1.0  # their give is the stack's
        elif one.name == "collar of the bush" and screws.bush is not None:
            bearing = min(bearing, screws.bush.flange_diameter.value)
            section = _ring(bearing, screws.bush.inner.value)
        elif one.name == "hot plate":  # from the nut up
            section = _ring(screws.part.head_diameter.value + 0.5 * one.thickness, screws.part.diameter.value)
        elif one.name in ("sink base", "spreader"):
            section = _ring(bearing + 0.5 * one.thickness, bore)
            bearing += one.thickness  # the force spreads from part to part
        give = one.thickness / (one.material.modulus.value * section)
        found.append(Layer(one.name, one.thickness, one.material.expansion.value, give, rises[one.name]))
    return tuple(layer for layer in found if layer.thickness > 0.0), 0.5 * (low + head)


def _ring(outer: float, inner: float) -> float:
    return 0.25 * math.pi * max(outer**2 - inner**2, 1e-6)


def _tapped(build: Build) -> Material:
    return build.hot_plate.material if build.hot_plate is not None else build.riser[-1].material


def _bending(build: Build, screws: Screws) -> float:
    """Give of the two plates between module edge and screw, as short beams fixed over the modules, m/N."""
    edge = max(abs(x) + 0.5 * w for x, _, w, _ in geometry.module_places(build))
    deep = max(abs(y) + 0.5 * d for _, y, _, d in geometry.module_places(build))
    arm = min(max(abs(x) - edge, abs(y) - deep) for x, y in geometry.screw_places(screws))
    arm, found = max(arm, 0.0), 0.0
    above = [one for one in gripped(build) if one.name in ("sink base", "spreader")]
    low, width = build.hot_plate, 2.0 * geometry.high_plate(build)[1] / screws.count
    # Plates that lie on each other bend together, each by its own stiffness: nothing is glued.
    stiff = math.fsum(one.material.modulus.value * width * one.thickness**3 / 12.0 for one in above if one.material is not None)
    if stiff > 0.0:
        found += arm**3 / (3.0 * stiff)
    if low is not None:
        wide = 2.0 * geometry.low_plate(build)[1] / screws.count
        found += arm**3 / (3.0 * _tapped(build).modulus.value * wide * low.thickness.value**3 / 12.0)
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


def tighter(one: Clamp) -> tuple[float, Stack] | None:
    """The least higher cold pressure at which disc washers keep the force in range, hot and cold, and screw and thread still bear it.

    A clamp tightened to the least that its modules want falls below that with the first shrinking part, whatever stands under the
    heads; tightened further there is something to lose.

    Args:
        one: the clamp as it is.

    Returns:
        Pressure [Pa], in steps of 0.05 MPa, and the discs; None where no such pressure is in range.
    """
    low, high = float(one.difference.min()), float(one.difference.max())
    per_pascal = one.area / one.count
    slippery = one.spread[1] / one.preload if one.preload > 0.0 else 1.0
    for k in range(math.floor(one.pressure(one.preload) / STEP + 1e-9) + 1, math.floor(one.range[1] / STEP + 1e-9) + 1):
        force = k * STEP * per_pascal
        if slippery * force > min(one.most, one.strips):
            return None
        newtons = (one.range[0] * per_pascal, one.range[1] * per_pascal)
        stack = _suggest(one.screw.diameter.value, force, newtons, low, high, one.compliance)
        if stack is not None:
            return k * STEP, stack
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
