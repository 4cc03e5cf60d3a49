"""What pulls on the joint of riser and hot plate, what its screws bear, how tight they go: statics by hand.

Cut there, the lower body is the riser with nothing above it. It hangs on the screws when something lifts the fan above the
joint: a guard whose element is not in the riser, or a hand at the sink. Screws that are pulled off their middle pry about the
joint's far edge, the heel: the one farthest off gets M l/Σl². Left out: a foot that soot has baked onto the plate, knocks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ..build import Build
from ..build import geometry as g
from ..build.forces import force_at, friction, spring_at_stop
from ..build.guide import FRICTION, push_arm
from .countersunk import CONE, SHALLOW, SUNK
from .metals import HOT, tapped
from .plate_screws import Place, PlateScrews
from .preload import growth_force, most_preload, screw_compliance, torque_per_newton
from .rules import HELD
from .threads import pull_out

SURE = 1.25  # times all that may pull on a screw when hot, a slippery one, that its thread and it must bear. Common practice
ROOM = 293.15  # K; screws are tightened in a room


@dataclass(frozen=True)
class Load:
    """One case: what happens, pull along the riser [N], moment that opens the joint on one side [N m]."""

    says: str
    pull: float
    moment: float


@dataclass(frozen=True)
class PlateJoint:
    """One screw's part in it, N and N m.

    `wanted` is the preload that presses the joint as the model reckons; a slippery screw gets `slick` times its preload.
    """

    screws: PlateScrews
    loads: tuple[Load, ...]
    worst: Load
    load: float
    wanted: float
    preload: float
    torque: float
    slick: float
    growth: float
    strips: float
    yields: float

    @property
    def hot(self) -> float:
        """The most that pulls on a screw when hot: preload, what the plate adds by outgrowing it, its share of the worst case, N."""
        return self.slick * self.preload + max(self.growth, 0.0) + self.load

    @property
    def bears(self) -> float:
        """What a screw or its thread bears when hot, whichever is less, N."""
        return min(self.strips, self.yields)


def weight_below(build: Build) -> tuple[float, float]:
    """What hangs below the joint, N, and how far below it its middle lies, m."""
    rows = [one for one in g.masses(build) if one.name.startswith("riser")]
    mass = sum(one.mass for one in rows)
    return g.GRAVITY * mass, g.riser_height(build) - sum(one.mass * one.height for one in rows) / mass


def loads(build: Build) -> tuple[Load, ...]:
    """Every case that pulls riser and hot plate apart.

    Args:
        build: a checked build with a hot plate.

    Returns:
        Carried upright and on its side, and lifted by its guard where that pushes above the joint.

    Source: exact (balance of forces and moments).
    """
    guard, (weight, arm) = build.guard, weight_below(build)
    found = [Load("carried by its sink", weight, 0.0), Load("held by its sink on its side", 0.0, weight * arm)]
    if guard.element is None or guard.held_in == "riser":
        return tuple(found)  # an element in the riser lifts from below the joint: that presses it together
    # Where the return spring bears is not in the build: on the riser it pulls too.
    ratio = guard.lever_ratio.value
    spring = spring_at_stop(guard) / ratio
    pull = weight * (1.0 + friction(build)) + spring * (1.0 + FRICTION)
    if guard.kind == "central lift":
        # A push off the middle turns the fan; what holds it upright may bear on the riser, then all of that goes through the joint.
        moment = force_at(build, guard.stop.value) / ratio * push_arm(build)
        found.append(Load("lifted by its guard", pull, moment))
    else:
        beyond = max(guard.pivot_distance.value - g.pivot_back(build), 0.0)
        found.append(Load("tilted by its guard", pull, spring * (1.0 + FRICTION) * beyond))
    return tuple(found)


def joint_half(build: Build) -> tuple[float, float]:
    """Half width and half depth of what riser and hot plate share, m."""
    top, (wide, deep) = build.riser[-1], g.low_plate(build)
    return 0.5 * min(top.width.value, wide), 0.5 * min(top.depth.value, deep)


def most_on_one(places: tuple[Place, ...], half: tuple[float, float], pull: float, moment: float) -> float:
    """Pull on the screw that gets most, prying about whichever edge of the joint is worst.

        T = (F e + M) l_max/Σl²,  and no less than F/n

    Args:
        places: of the screws, from the joint's middle. [m]
        half: half width and half depth of the joint, e. [m]
        pull: F, along the axis at the middle. [N]
        moment: M, opening the joint away from that edge. [N m]

    Returns:
        Pull. [N]

    Source: exact for a plate that does not bend; preload is not counted as a help.
    Check: 4 screws 20 mm off the middle of a joint of 60 mm, 10 N and 1 N·m: (0.3 + 1)·50/(2·(50² + 10²)) mm = 12.5 N.

    >>> corner = ((0.02, 0.02), (-0.02, 0.02), (-0.02, -0.02), (0.02, -0.02))
    >>> round(most_on_one(corner, (0.03, 0.03), 10.0, 1.0), 2)
    12.5
    """
    most = pull / len(places)
    for axis, edge in enumerate(half):
        for side in (1.0, -1.0):
            arms = [edge + side * place[axis] for place in places]
            most = max(most, (pull * edge + moment) * max(arms) / sum(arm**2 for arm in arms))
    return most


def plate_joint(build: Build, screws: PlateScrews) -> PlateJoint:
    """The joint worked through.

    Args:
        build: a checked build.
        screws: chosen for it.

    Returns:
        Loads, preload, torque and what the screws bear, at 250 °C as for every thread.
    """
    slab, thread, head, metal = build.hot_plate, screws.thread, screws.head, screws.metal
    assert slab is not None  # there are plate screws, so there is a hot plate
    cases, half = loads(build), joint_half(build)
    each = [most_on_one(screws.places, half, one.pull, one.moment) for one in cases]
    load = max(each)
    grip = slab.thickness.value - SUNK - 0.5 * head.height
    ring = 0.25 * math.pi * (head.across**2 - thread.clearance**2)
    give = screw_compliance(grip, thread.diameter, thread.stress_area, thread.core_diameter, metal.modulus)
    give += grip / (slab.material.modulus.value * ring)
    growth = growth_force(grip * (slab.material.expansion.value - metal.expansion) * (HOT - ROOM), give)
    mu = build.tightening.friction
    most = SHALLOW * most_preload(thread.pitch, thread.pitch_diameter, thread.core_diameter, mu.value, metal.strength)
    strips = pull_out(thread, screws.engaged, tapped(build.riser[-1].material.name).shear_hot)
    yields = SHALLOW * metal.strength_hot * thread.stress_area

    def per_newton(friction: float) -> float:
        mean = 0.5 * (head.across + thread.clearance)
        return torque_per_newton(thread.pitch, thread.pitch_diameter, friction, CONE * friction, mean)

    slick = per_newton(mu.value) / per_newton(max(mu.low, 0.04))  # a slippery screw is pulled so many times harder
    area = sum(use.count * use.part.width.value * use.part.depth.value for use in build.modules)
    wanted = build.clamp_pressure.value * area / len(screws.places)
    preload = max(min(wanted, most / slick, (min(strips, yields) / SURE - max(growth, 0.0) - load) / slick), 0.0)
    return PlateJoint(
        screws=screws, loads=cases, worst=cases[each.index(load)], load=load, wanted=wanted, preload=preload,
        torque=preload * per_newton(mu.value), slick=slick, growth=growth, strips=strips, yields=yields,
    )  # fmt: skip


def not_held(one: PlateJoint) -> Iterator[str]:
    """What is wrong with screws that found a place, in words with figures; nothing where they hold."""
    if HELD * one.load > one.bears:
        told = f"{one.load:.0f} N come on one when {one.worst.says}; hot it bears {one.bears:.0f} N, {HELD:g} times are wanted"
        yield f"fault: hot plate: its screws do not hold: {told}. Thicker screws (hot_plate.held), a wider riser, or more thread."
    elif min(one.preload, one.preload + one.growth) < HELD * one.load:
        told = f"tightened as far as they bear, {one.preload:.0f} N, less {max(-one.growth, 0.0):.0f} N that heat takes"
        grown = f"hot the plate outgrows them by {max(one.growth, 0.0):.0f} N"
        yield (
            f"fault: hot plate: its screws come loose: {told if one.growth < 0.0 else grown}; {HELD:g} times {one.load:.0f} N are "
            f"wanted when {one.worst.says}. A thicker plate or screws that grow like it ({one.screws.metal.name} is the nearest)."
        )
