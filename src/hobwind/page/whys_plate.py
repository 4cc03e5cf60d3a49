"""The equations behind the figures of the plate screws, which hold the hot plate on its riser."""

from __future__ import annotations

import math
from collections.abc import Callable

from ..shop.countersunk import CONE, SHALLOW, SUNK
from ..shop.holes import held_by
from ..shop.metals import HOT, tapped
from ..shop.plate_joint import ROOM, PlateJoint, joint_half, plate_joint
from ..shop.threads import UNLOADED, hole_strip_area
from .whys_row import Filled, Look, Why

NONE = Filled("the build has no plate screws", None)


def _of(fill: Callable[[Look, PlateJoint], Filled]) -> Callable[[Look], Filled]:
    def filled(look: Look) -> Filled:
        screws = held_by(look.solved.build)
        return NONE if screws is None else fill(look, plate_joint(look.solved.build, screws))

    return filled


def _torque(look: Look, one: PlateJoint) -> Filled:
    thread, mu = one.screws.thread, look.solved.build.tightening.friction.value
    ring = 0.5 * (one.screws.head.across + thread.clearance)
    arm = thread.pitch / (2.0 * math.pi) + 0.577 * mu * thread.pitch_diameter + 0.5 * CONE * mu * ring
    numbers = (
        f"{one.preload:.0f} N · ({thread.pitch * 1e3:g} mm/2π + 0.577 · {mu:.2f} · {thread.pitch_diameter * 1e3:.3f} mm + "
        f"√2 · {mu:.2f} · {ring * 1e3:.2f} mm/2)"
    )
    return Filled(numbers, one.preload * arm)


def _preload(look: Look, one: PlateJoint) -> Filled:
    room = one.bears - max(one.growth, 0.0) - one.load
    numbers = (
        f"the joint wants {one.wanted:.0f} N; hot a screw bears {one.bears:.0f} N, less {max(one.growth, 0.0):.0f} N of growth and "
        f"{one.load:.0f} N of load: {room:.0f} N, which a slippery one may reach at {one.slick:.2f} times its pull"
    )
    return Filled(numbers, one.preload)


def _growth(look: Look, one: PlateJoint) -> Filled:
    slab, screws = look.solved.build.hot_plate, one.screws
    if slab is None:
        return NONE
    grip = slab.thickness.value - SUNK - 0.5 * screws.head.height
    apart = slab.material.expansion.value - screws.metal.expansion
    longer = grip * apart * (HOT - ROOM)
    give = longer / one.growth if one.growth else math.inf
    numbers = f"{grip * 1e3:.2f} mm · {apart * 1e6:.1f} µm/(m K) · {HOT - ROOM:.0f} K = {longer * 1e6:.1f} µm, over {give * 1e9:.2f} nm/N"
    return Filled(numbers, longer / give)


def _load(look: Look, one: PlateJoint) -> Filled:
    best = 0.0
    numbers = f"{one.worst.pull:.1f} N / {len(one.screws.places)}"
    for axis, edge in enumerate(joint_half(look.solved.build)):
        for side in (1.0, -1.0):
            arms = [edge + side * place[axis] for place in one.screws.places]
            turning, squares = one.worst.pull * edge + one.worst.moment, sum(arm**2 for arm in arms)
            if turning * max(arms) / squares > best:
                best = turning * max(arms) / squares
                numbers = (
                    f"({one.worst.pull:.1f} N · {edge * 1e3:.0f} mm + {one.worst.moment:.2f} N·m) · {max(arms) * 1e3:.1f} mm / "
                    f"{squares * 1e6:.0f} mm²"
                )
    return Filled(numbers, max(best, one.worst.pull / len(one.screws.places)))


def _strips(look: Look, one: PlateJoint) -> Filled:
    thread = one.screws.thread
    around = hole_strip_area(thread, 1.0)
    shear = tapped(look.solved.build.riser[-1].material.name).shear_hot
    numbers = (
        f"{around * 1e3:.2f} mm² per mm · ({one.screws.engaged * 1e3:.1f} mm − {UNLOADED} · {thread.pitch * 1e3:g} mm) · "
        f"{shear / 1e6:.0f} MPa (hot)"
    )
    return Filled(numbers, around * (one.screws.engaged - UNLOADED * thread.pitch) * shear)


def _yields(look: Look, one: PlateJoint) -> Filled:
    metal, area = one.screws.metal, one.screws.thread.stress_area
    numbers = f"{SHALLOW} (flat head) · {metal.strength / 1e6:.0f} MPa · {metal.hot} (hot) · {area * 1e6:.2f} mm²"
    return Filled(numbers, SHALLOW * metal.strength * metal.hot * area)


PLATE_WHYS: dict[str, Why] = {
    "shop_plate_torque": Why("Torque of a plate screw", "M = F (P/2π + 0.577 µ d₂ + √2 µ D_m/2), the cone's 90° in √2", _of(_torque),
                             ("vdi-2230-tables", "iso-10642")),
    "shop_plate_preload": Why("Pull of a plate screw", "F = the least of what the joint wants and what the screw bears hot", _of(_preload),
                              ("vdi-2230-tables", "shop-practice")),
    "shop_plate_growth": Why("What heat adds to a plate screw", "ΔF = L (α_plate − α_screw) ΔT/c", _of(_growth),
                             ("exact", "vdi-2230-tables")),
    "shop_plate_load": Why("Most on one plate screw", "T = (F e + M) l/Σl², about the joint's edge", _of(_load), ("exact",)),
    "shop_plate_strips": Why("Pull at which a plate screw's thread tears out", "F = A (L − 0.8 P) τ, A what shears off a millimetre",
                             _of(_strips), ("vdi-2230", "metal-strengths")),
    "shop_plate_yields": Why("Pull at which a plate screw yields, hot", "F = 0.8 R_p A_s, R_p hot", _of(_yields),
                             ("iso-10642", "iso-3506-1")),
}  # fmt: skip
