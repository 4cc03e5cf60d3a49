"""From a checked build to the kernel's two vectors: the only place that reads a build's fields for the physics."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..build import Build, forces, geometry, guide, standing
from ..parts.kinds import Compound
from ..physics import air, contact
from ..units import Spread
from . import fields
from .fields import P_LENGTH, Q_LENGTH, D, J, M, P, Q, R
from .prepare_sink import put_sink

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
# Length of a riser cell in aluminium. A poorer conductor gets shorter ones: along it the temperature falls faster and bends more.
# Halved in the tests, from copper to stainless steel.
METAL_JOINT, SOLDERED = 1e-9, 2e-6  # m2K/W; one piece: none; 0.1 mm of solder at 50 W/mK. Source: exact-series, memory
CELL, CELL_METAL, CELL_POWER = 0.035, 185.0, 0.75  # m, W/(m K), -
PLACES = {
    "riser": fields.IN_RISER,
    "hot plate": fields.IN_HOT_PLATE,
    "spreader": fields.IN_SPREADER,
    "sink": fields.IN_SINK,
    "plate": fields.IN_PLATE,
}


@dataclass(frozen=True)
class Slot:
    """One number of the build that goes straight into `p`: its index, its name in the build file, its spread."""

    index: int
    name: str
    spread: Spread
    scale: float


@dataclass(frozen=True)
class Stack:
    """A build as the kernel takes it: inputs, choices, number of states, and which inputs carry which spread."""

    p: Floats
    q: Ints
    size: int
    slots: tuple[Slot, ...]


class Filler:
    """Writes numbers into `p` and remembers where each came from."""

    def __init__(self) -> None:
        self.p: Floats = np.zeros(P_LENGTH)
        self.q: Ints = np.zeros(Q_LENGTH, np.int64)
        self.slots: list[Slot] = []

    def put(self, index: int, spread: Spread, name: str, scale: float = 1.0) -> None:
        """Write one number of the build, times `scale` when the kernel wants a product with something fixed."""
        self.p[index] = spread.value * scale
        if spread.half > 0.0:
            self.slots.append(Slot(int(index), name, spread, scale))


def prepare(build: Build, finer: int = 1) -> Stack:
    """Turn a checked build into inputs and choices of the kernel.

    Args:
        build: a checked build.
        finer: times as many cells along the riser. [-]

    Returns:
        The prepared stack. [SI]
    """
    filler = Filler()
    _stove(filler, build)
    _risers(filler, build, finer)
    _plates_and_joints(filler, build)
    _modules(filler, build)
    _screws(filler, build)
    _drive(filler, build)
    _guard(filler, build)
    put_sink(filler, build)
    q = filler.q
    cells = int(q[fields.CELLS_AT : fields.CELLS_AT + q[Q.risers]].sum())
    size = 5 + cells + int(q[Q.has_hot_plate]) + 2 * int(q[Q.kinds]) + int(q[Q.has_spreader]) + 3
    return Stack(filler.p, q, size, tuple(filler.slots))


def _stove(filler: Filler, build: Build) -> None:
    stove, seat = build.stove, build.seat
    put, p = filler.put, filler.p
    put(P.room, stove.room, "stove.room")
    p[P.pressure] = air.pressure_at_altitude(stove.altitude.value)
    metal = stove.plate_material
    put(P.plate_conductivity, metal.conductivity, "stove.plate_material.conductivity")
    put(P.plate_thickness, stove.plate_thickness, "stove.plate_thickness")
    p[P.plate_capacity] = metal.density.value * metal.specific_heat.value
    put(P.plate_emissivity, stove.plate_finish.emissivity, "stove.plate_finish.emissivity")
    put(P.plate_front, stove.plate_front, "stove.plate_front")
    put(P.plate_side, stove.plate_side, "stove.plate_side")
    put(P.flame_coefficient, stove.flame_coefficient, "stove.flame_coefficient")
    put(P.coating, stove.coating, "stove.coating")
    put(P.coating_conductivity, stove.coating_conductivity, "stove.coating_conductivity")
    put(P.plume_still, stove.plume_still, "stove.plume_still")
    put(P.plume_blown, stove.plume_blown, "stove.plume_blown")
    put(P.seat_roughness, seat.roughness, "seat.roughness")
    put(P.seat_slope, seat.slope, "seat.slope")
    put(P.seat_flatness, seat.flatness, "seat.flatness")
    put(P.seat_bow, seat.bow, "seat.bow")
    put(P.seat_settle, seat.settle, "seat.settle")
    p[P.seat_hardness] = min(build.riser[0].material.hardness.value, metal.hardness.value)
    put(P.foot_emissivity, build.riser[0].finish.emissivity, "riser[1].finish.emissivity")
    p[P.fan_weight] = 9.80665 * geometry.fan_mass(build)


def _risers(filler: Filler, build: Build, finer: int) -> None:
    filler.q[Q.risers] = len(build.riser)
    for i, part in enumerate(build.riser):
        at, name = fields.RISERS_AT + i * len(R), f"riser[{i + 1}]"
        if part.shape == "cylinder":
            filler.q[fields.SHAPES_AT + i] = fields.CYLINDER
            filler.put(at + R.width, part.width, f"{name}.diameter")
            filler.p[at + R.depth] = part.width.value
        else:
            filler.q[fields.SHAPES_AT + i] = fields.BLOCK
            filler.put(at + R.width, part.width, f"{name}.width")
            filler.put(at + R.depth, part.depth, f"{name}.depth")
        filler.put(at + R.length, part.length, f"{name}.length")
        filler.put(at + R.conductivity, part.material.conductivity, f"{name}.material.conductivity")
        filler.p[at + R.conductivity_slope] = part.material.conductivity_slope.value
        filler.p[at + R.capacity] = part.material.density.value * part.material.specific_heat.value
        filler.put(at + R.emissivity, part.finish.emissivity, f"{name}.finish.emissivity")
        cell = CELL * float((part.material.conductivity.value / CELL_METAL) ** CELL_POWER)
        cells = max(2, round(part.length.value / cell)) * finer
        filler.q[fields.CELLS_AT + i] = min(cells, fields.MOST_CELLS // len(build.riser))


def _plates_and_joints(filler: Filler, build: Build) -> None:
    for which, name, plate in (
        (fields.HOT_PLATE, "hot_plate", build.hot_plate),
        (fields.SPREADER, "spreader", build.spreader),
    ):
        filler.q[Q.has_hot_plate if which == fields.HOT_PLATE else Q.has_spreader] = int(plate is not None)
        if plate is None:
            continue
        at = fields.PLATES_AT + which * len(D)
        filler.put(at + D.width, plate.width, f"{name}.width")
        filler.put(at + D.depth, plate.depth, f"{name}.depth")
        filler.put(at + D.thickness, plate.thickness, f"{name}.thickness")
        filler.put(at + D.conductivity, plate.material.conductivity, f"{name}.material.conductivity")
        filler.p[at + D.capacity] = plate.material.density.value * plate.material.specific_heat.value
        filler.put(at + D.emissivity, plate.finish.emissivity, f"{name}.finish.emissivity")
    below = build.hot_plate.material if build.hot_plate else build.riser[-1].material
    above = build.spreader.material if build.spreader else build.sink.part.material
    ceramic_k = 25.0  # W/mK; alumina face of a module, only the softer metal's spots matter beside a dry joint
    pairs = {
        "riser": (build.riser[0].material.conductivity.value, build.riser[-1].material.conductivity.value),
        "hot_plate": (build.riser[-1].material.conductivity.value, below.conductivity.value),
        "hot": (below.conductivity.value, ceramic_k),
        "cold": (above.conductivity.value, ceramic_k),
        "sink": (above.conductivity.value, build.sink.part.material.conductivity.value),
    }
    softest = {"riser": below, "hot_plate": below, "hot": below, "cold": above, "sink": above}
    for which, name in enumerate(("riser", "hot_plate", "hot", "cold", "sink")):
        joint = getattr(build.joint, name)
        at, place = fields.JOINTS_AT + which * len(J), f"joint.{name}"
        fill = joint.fill
        if name == "hot_plate" and build.hot_plate is not None and build.hot_plate.joined:
            filler.q[fields.FILLS_AT + which] = fields.SHEET
            filler.p[at + J.conductivity], filler.p[at + J.thickness] = 1.0, 0.0
            filler.p[at + J.contact] = METAL_JOINT if build.hot_plate.held == "one piece" else SOLDERED
        elif fill is None:
            filler.q[fields.FILLS_AT + which] = fields.DRY
        elif isinstance(fill, Compound):
            filler.q[fields.FILLS_AT + which] = fields.COMPOUND
            filler.put(at + J.conductivity, fill.conductivity, f"{place}.fill.conductivity")
            filler.put(at + J.yield_stress, fill.yield_stress, f"{place}.fill.yield_stress")
        else:
            filler.q[fields.FILLS_AT + which] = fields.SHEET
            filler.put(at + J.conductivity, fill.conductivity, f"{place}.fill.conductivity")
            filler.put(at + J.thickness, fill.thickness, f"{place}.fill.thickness")
            filler.put(at + J.contact, fill.contact, f"{place}.fill.contact")
        both = float(np.sqrt(2.0))  # two faces made alike; heights that are not of one tool add up as squares
        filler.put(at + J.roughness, joint.surface.roughness, f"{place}.surface.roughness", both)
        filler.put(at + J.slope, joint.surface.slope, f"{place}.surface.slope", both)
        filler.put(at + J.flatness, joint.surface.flatness, f"{place}.surface.flatness", both)
        filler.p[at + J.hardness] = softest[name].hardness.value
        filler.p[at + J.surface_conductivity] = contact.harmonic_conductivity(*pairs[name])


def _modules(filler: Filler, build: Build) -> None:
    q = filler.q
    q[Q.kinds] = len(build.modules)
    for k, use in enumerate(build.modules):
        module = use.part
        at, name = fields.KINDS_AT + k * len(M), f"modules[{k + 1}]"
        q[fields.COUNTS_AT + k] = use.count
        filler.p[at + M.width], filler.p[at + M.depth] = module.width.value, module.depth.value
        filler.p[at + M.thickness] = module.thickness.value
        filler.put(at + M.seebeck, module.seebeck, f"{name}.seebeck")
        filler.put(at + M.resistance, module.resistance, f"{name}.resistance")
        filler.put(at + M.conductance, module.conductance, f"{name}.conductance")
        filler.put(at + M.capacity, module.heat_capacity, f"{name}.heat_capacity")
        filler.p[at + M.limit] = min(module.hot_limit.value, module.solder.value)
    strings = build.wiring.strings
    q[Q.strings] = len(strings)
    for r, string in enumerate(strings):
        for k, number in enumerate(string):
            q[fields.STRINGS_AT + r * fields.MOST_KINDS + k] = number
    filler.put(P.clamp_pressure, build.clamp_pressure, "clamp.pressure")
    filler.put(P.leads, build.wiring.leads, "wiring.leads")
    fill = build.surround
    q[Q.surround_air] = int(fill is None)
    if fill is not None:
        filler.put(P.surround_conductivity, fill.conductivity, "surround.fill.conductivity")
    low = build.hot_plate.finish if build.hot_plate else build.riser[-1].finish
    high = build.spreader.finish if build.spreader else build.sink.part.finish
    filler.p[P.surround_emissivity_low] = low.emissivity.value
    filler.p[P.surround_emissivity_high] = high.emissivity.value


def _screws(filler: Filler, build: Build) -> None:
    screws = build.screws
    if screws is None:
        return
    p = filler.p
    filler.q[Q.screws] = screws.count
    screw = screws.part
    p[P.screw_area] = screw.stress_area.value
    filler.put(P.screw_length, screws.free_length, "screws.free_length")
    filler.put(P.screw_conductivity, screw.material.conductivity, "screws.material.conductivity")
    filler.put(P.head_contact, screws.head_contact, "screws.head_contact")
    hole = 0.25 * np.pi * screws.hole.value**2
    p[P.head_area] = max(0.25 * np.pi * screw.head_diameter.value**2 - hole, 1e-6)
    if screws.bush is not None:
        bush = screws.bush
        bearing = min(bush.flange_diameter.value, screw.head_diameter.value)
        filler.put(P.bush_thickness, bush.flange_thickness, "screws.bush.flange_thickness")
        filler.put(P.bush_conductivity, bush.material.conductivity, "screws.bush.material.conductivity")
        p[P.bush_area] = 0.25 * np.pi * (bearing**2 - bush.inner.value**2)


def _drive(filler: Filler, build: Build) -> None:
    motor, blade, put, p = build.motor.part, build.blade.part, filler.put, filler.p
    put(P.motor_resistance, motor.resistance, "motor.resistance")
    put(P.motor_constant, motor.torque_constant, "motor.torque_constant")
    put(P.motor_friction, motor.friction, "motor.friction")
    put(P.motor_breakaway, motor.breakaway, "motor.breakaway")
    put(P.motor_drag, motor.drag, "motor.drag")
    put(P.motor_brush, motor.brush_drop, "motor.brush_drop")
    p[P.motor_magnet] = motor.magnet_coefficient.value
    put(P.motor_capacity, motor.heat_capacity, "motor.heat_capacity")
    p[P.motor_diameter], p[P.motor_length] = motor.diameter.value, motor.length.value
    put(P.motor_emissivity, build.motor.emissivity, "motor.emissivity")
    put(P.motor_mount, build.motor.mount_conductance, "motor.mount_conductance")
    put(P.motor_height, build.blade.height, "blade.height")
    put(P.blade_diameter, blade.diameter, "blade.diameter")
    put(P.blade_power, blade.power_coefficient, "blade.power_coefficient")
    put(P.blade_thrust, blade.thrust_coefficient, "blade.thrust_coefficient")


def _guard(filler: Filler, build: Build) -> None:
    guard, p, q, put = build.guard, filler.p, filler.q, filler.put
    if guard.kind == "none" or guard.element is None:
        # The element's node stays in the arrays, tied to the riser by a thread, and moves nothing.
        q[Q.guard], q[Q.held_in] = fields.NO_GUARD, fields.IN_SINK
        p[P.wax_opens], p[P.wax_full], p[P.wax_travel] = 1e3, 1.1e3, 1e-3
        p[P.wax_capacity], p[P.holder], p[P.wax_hysteresis] = 1.0, 0.1, 1.0
        return
    wax = guard.element
    q[Q.guard], q[Q.held_in] = fields.GUARD_FREE, PLACES[guard.held_in]
    put(P.wax_opens, wax.opens, "guard.element.opens")
    p[P.wax_full] = wax.full.value
    put(P.wax_travel, wax.travel, "guard.element.travel")
    put(P.wax_creep, wax.creep, "guard.element.creep")
    put(P.wax_hysteresis, wax.hysteresis, "guard.element.hysteresis")
    put(P.wax_lag, wax.lag, "guard.element.lag")
    put(P.wax_capacity, wax.heat_capacity, "guard.element.heat_capacity")
    put(P.holder, guard.holder_conductance, "guard.holder_conductance")
    put(P.element_height, guard.element_height, "guard.element_height")
    put(P.element_loss, guard.element_loss, "guard.element_loss")
    put(P.lost_motion, guard.lost_motion, "guard.lost_motion")
    put(P.lever, guard.lever_ratio, "guard.lever_ratio")
    put(P.stop, guard.stop, "guard.stop")
    p[P.gap_low], p[P.gap_high] = standing.gap_factors(build)
    q[Q.stuck] = int(not forces.guard_can_lift(build))
    area = 0.25 * np.pi * guard.pin_diameter.value**2
    along = guard.pin_length.value / (guard.pin_material.conductivity.value * area)
    p[P.pin_conductance] = 1.0 / (1.0 / guard.pin_tip.value + along)
    if guard.held_in == "plate":
        p[P.pin_beside] = guide.lifted_at(build)
    else:
        growth = guard.pin_material.expansion.value - build.riser[0].material.expansion.value
        p[P.pin_growth] = growth * guard.pin_length.value
