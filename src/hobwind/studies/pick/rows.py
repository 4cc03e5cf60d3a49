"""Kernel inputs of a million combinations, put together from blocks that were prepared once for each option.

Every column of `p` and `q` belongs to one group of axes. A group's blocks come out of `prepare` itself; only the few
numbers that hang on the whole stack (weight, hub, screw length, what hides the sink, how a lifted fan stands) are
computed here. The tests hold every row against `prepare` of the whole build.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from ...build import Build, geometry, standing
from ...build.forces import friction, spring_at_stop
from ...build.guide import FRICTION
from ...build.statics import Point
from ...stack import fields
from ...stack.fields import P, Q
from ...stack.prepare import prepare
from .fits import Fits
from .options import Options

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
MODULE_DENSITY = 3500.0  # kg/m3, as in the build's own table of masses


def _named(*heads: str, but: tuple[str, ...] = ()) -> list[int]:
    return [int(one) for one in P if one.name.startswith(heads) and one.name not in but]


def _joint(which: int) -> list[int]:
    at = fields.JOINTS_AT + which * fields.PER_JOINT
    return list(range(at, at + fields.PER_JOINT))


def _plate(which: int) -> list[int]:
    at = fields.PLATES_AT + which * fields.PER_PLATE
    return list(range(at, at + fields.PER_PLATE))


LOW_P = [
    int(P.seat_hardness), int(P.foot_emissivity), int(P.surround_emissivity_low),
    *range(fields.RISERS_AT, fields.PLATES_AT), *_plate(fields.HOT_PLATE),
    *_joint(fields.JOINT_RISER), *_joint(fields.JOINT_HOT_PLATE), *_joint(fields.JOINT_HOT),
]  # fmt: skip
LOW_Q = [int(Q.risers), int(Q.has_hot_plate), *range(fields.SHAPES_AT, fields.COUNTS_AT)]
HIGH_P = [
    int(P.surround_emissivity_high), *_named("sink_", but=("sink_hidden_width", "sink_hidden_depth")),
    *_plate(fields.SPREADER), *_joint(fields.JOINT_COLD), *_joint(fields.JOINT_SINK),
]  # fmt: skip
HIGH_Q = [int(Q.has_spreader), int(Q.sink_shape), int(Q.sink_stands)]
MIX_P = list(range(fields.KINDS_AT, fields.P_LENGTH))
MIX_Q = [
    int(Q.kinds), int(Q.strings), *range(fields.COUNTS_AT, fields.COUNTS_AT + fields.MOST_KINDS),
    *range(fields.STRINGS_AT, fields.Q_LENGTH),
]  # fmt: skip
MOTOR_P = _named("motor_", but=("motor_height",))
BLADE_P = _named("blade_")
SCREW_P = _named("screw_", "head_", "bush_", but=("screw_length",))
GUARD_P = [
    *_named("wax_", "holder", "element_", "pin_"), int(P.lost_motion), int(P.lever), int(P.stop),
    int(P.gap_low), int(P.gap_high),
]  # fmt: skip
GUARD_Q = [int(Q.guard), int(Q.held_in)]


def _sides(support: list[Point] | None) -> list[tuple[float, float]]:
    """Sides of what a lifted fan stands on: how far inside each a point of the middle line is, as slope along the fins and level, m."""
    found = []
    for i, (x, y) in enumerate(support or ()):
        across, along = support[(i + 1) % len(support)] if support else (x, y)
        side = math.hypot(across - x, along - y)
        if side > 0.0:
            found.append(((across - x) / side, ((along - y) * x - (across - x) * y) / side))
    return found


class Rows:
    """Makes kernel rows of one bin's combinations."""

    def __init__(self, options: Options, fits: Fits) -> None:
        self.options, self.fits = options, fits
        self.base = prepare(self._made())
        o = options
        sizes = o.sizes
        self.low_p, self.low_q = self._table((sizes[4], sizes[5]), ("riser", "hot_plate"), LOW_P, LOW_Q)
        self.high_p, self.high_q = self._table((sizes[3], sizes[6]), ("sink", "spreader"), HIGH_P, HIGH_Q)
        self.mix_p, self.mix_q = self._table((sizes[0],), ("mix",), MIX_P, MIX_Q)
        self.motor_p, _ = self._table((sizes[1],), ("motor",), MOTOR_P, [])
        self.blade_p, _ = self._table((sizes[2],), ("blade",), BLADE_P, [])
        self.screw_p, self.screw_q = self._table((sizes[7],), ("screws",), SCREW_P, [int(Q.screws)])
        self.guard_p, self.guard_q = self._table((sizes[8], sizes[4]), ("guard", "riser"), GUARD_P, GUARD_Q)
        self._masses()
        self._lifting()

    def _made(self, **parts: int) -> Build:
        """A build with the given options; a mix that cannot be described stands in by the first."""
        if "mix" in parts and self.fits.many[parts["mix"]]:
            parts["mix"] = 0
        return self.fits.maker.build(self.fits.sample(**parts))

    def _table(self, shape: tuple[int, ...], names: tuple[str, ...], p: list[int], q: list[int]) -> tuple[Floats, Ints]:
        """Columns `p` and `q` of the prepared build for every option of one or two axes."""
        floats, ints = np.zeros((*shape, len(p))), np.zeros((*shape, len(q)), np.int64)
        for at in np.ndindex(shape):
            stack = prepare(self._made(**dict(zip(names, at, strict=True))))
            floats[at], ints[at] = stack.p[p], stack.q[q]
        return floats, ints

    def _mass(self, part: str, **parts: int) -> float:
        return sum(one.mass for one in geometry.masses(self._made(**parts)) if one.name.startswith(part))

    def _masses(self) -> None:
        sizes = self.options.sizes
        self.riser_mass = np.array([self._mass("riser", riser=i) for i in range(sizes[4])])
        self.hot_mass = np.array([self._mass("hot plate", hot_plate=i) for i in range(sizes[5])])
        self.spread_mass = np.array([self._mass("spreader", spreader=i) for i in range(sizes[6])])
        self.module_mass = np.array([self._mass("modules", mix=i) for i in range(sizes[0])])
        self.sink_mass = np.array([self._mass("sink", sink=i) for i in range(sizes[3])])
        self.motor_mass = np.array([self._mass("motor", motor=i) for i in range(sizes[1])]) + geometry.FITTINGS
        self.blade_mass = np.array([self._mass("blade", blade=i) for i in range(sizes[2])])
        self.blade_before = np.array([geometry.blade_before(self._made(sink=i)) for i in range(sizes[3])])
        behind = [self._made(motor=i) for i in range(sizes[1])]
        self.motor_behind = np.array([geometry.blade_before(one) - geometry.motor_before(one) for one in behind])
        self.riser_length = np.array([length for _, length in self.options.risers])
        self.box = np.array([geometry.sink_box(self._made(sink=i))[2] for i in range(sizes[3])])
        self.low_plate = np.array(
            [[geometry.low_plate(self._made(riser=r, hot_plate=h)) for h in range(sizes[5])] for r in range(sizes[4])]
        )
        slabs = [self._made(spreader=i).spreader for i in range(sizes[6])]
        self.spread_plate = np.array([(0.0, 0.0) if s is None else (s.width.value, s.depth.value) for s in slabs])
        self.hot_thick = np.array(
            [0.0 if s is None else s.thickness.value for s in (self._made(hot_plate=i).hot_plate for i in range(sizes[5]))]
        )
        self.spread_thick = np.array([0.0 if s is None else s.thickness.value for s in slabs])

    def _lifting(self) -> None:
        """What of a guard meets the fan's weight: share of it lifted, force wanted besides, force there is, foot."""
        guards = [self._made(guard=i).guard for i in range(self.options.sizes[8])]
        self.guarded = np.array([guard.element is not None for guard in guards])
        self.central = np.array([guard.kind == "central lift" for guard in guards])
        self.lever = np.array([guard.lever_ratio.value for guard in guards])
        self.spring = np.array([spring_at_stop(guard) for guard in guards])
        self.force = np.array([0.0 if g.element is None else g.element.force.value for g in guards])
        self.rims = [(g.foot_radius.value, g.pin_offset.value) if g.stands == "foot" else None for g in guards]
        self.sides = [_sides(standing.lifted_support(self._made(guard=i), (0.0, 0.0, 0.0))) for i in range(len(guards))]
        self.steep = np.array([math.tan(g.plate_slope.value + standing.SLOPE_MARGIN) for g in guards])
        self.friction = np.full((self.options.sizes[8], *(self.options.sizes[i] for i in (4, 5, 3))), FRICTION)
        for at in np.ndindex(self.friction.shape):
            if self.central[at[0]] and guards[at[0]].stands == "guide" and guards[at[0]].held_in != "riser":
                self.friction[at] = friction(self._made(**dict(zip(("guard", "riser", "hot_plate", "sink"), at, strict=True))))
        self.share = np.zeros((self.options.sizes[8], self.options.sizes[4]))
        for i, k in np.ndindex(self.share.shape):
            self.share[i, k] = geometry.weight_share(self._made(guard=i, riser=k))

    def make(self, rows: Ints) -> tuple[Floats, Ints]:
        """Kernel inputs and choices of combinations that fit.

        Args:
            rows: options of each axis, (m, axes). [-]

        Returns:
            Inputs (m, P_LENGTH) and choices (m, Q_LENGTH). [SI]
        """
        mix, motor, blade, sink, riser, hot, spreader, screws, guard = rows.T
        p, q = np.tile(self.base.p, (len(rows), 1)), np.tile(self.base.q, (len(rows), 1))
        p[:, LOW_P], q[:, LOW_Q] = self.low_p[riser, hot], self.low_q[riser, hot]
        p[:, HIGH_P], q[:, HIGH_Q] = self.high_p[sink, spreader], self.high_q[sink, spreader]
        p[:, MIX_P], q[:, MIX_Q] = self.mix_p[mix], self.mix_q[mix]
        p[:, MOTOR_P], p[:, BLADE_P] = self.motor_p[motor], self.blade_p[blade]
        p[:, SCREW_P], q[:, Q.screws] = self.screw_p[screws], self.screw_q[screws, 0]
        p[:, GUARD_P], q[:, GUARD_Q] = self.guard_p[guard, riser], self.guard_q[guard, riser]
        hub = self.fits.hubs(rows)
        p[:, P.motor_height] = hub
        free = self.fits.free[sink, spreader, screws] + self.fits.thick[mix]
        p[:, P.screw_length] = np.where(q[:, Q.screws] > 0, np.round(free * 1e4) * 1e-4, 0.0)
        hidden = np.maximum(self.low_plate[riser, hot], self.spread_plate[spreader])
        p[:, P.sink_hidden_width] = np.minimum(hidden[:, 0], p[:, P.sink_width])
        p[:, P.sink_hidden_depth] = np.minimum(hidden[:, 1], p[:, P.sink_length])
        self._weigh(rows, hub, p, q)
        return p, q

    def _inside(self, guard: Ints, along: Floats) -> Floats:
        """How far inside what a central lift stands on a centre of mass lies that is so far along the fins; endless in a guide, m."""
        found = np.full(len(guard), np.inf)
        for which in np.unique(guard[self.central[guard]]):
            rows = guard == which
            rim = self.rims[which]
            if rim is not None:
                found[rows] = rim[0] - np.hypot(rim[1], along[rows])
                continue
            for slope, level in self.sides[which]:
                found[rows] = np.minimum(found[rows], level + slope * along[rows])
        return found

    def _weigh(self, rows: Ints, hub: Floats, p: Floats, q: Ints) -> None:
        """Weight, how a lifted fan stands, and whether its element can lift it at all."""
        mix, motor, blade, sink, riser, hot, spreader, _, guard = rows.T
        parts = (
            (self.riser_mass[riser], self.riser_length[riser]), (self.hot_mass[hot], self.hot_thick[hot]),
            (self.module_mass[mix], self.fits.thick[mix]), (self.spread_mass[spreader], self.spread_thick[spreader]),
            (self.sink_mass[sink], self.box[sink]),
        )  # fmt: skip
        mass, moment, base = np.zeros(len(rows)), np.zeros(len(rows)), np.zeros(len(rows))
        for weight, tall in parts:
            mass, moment, base = mass + weight, moment + weight * (base + 0.5 * tall), base + tall
        hung, turned = self.motor_mass[motor], self.blade_mass[blade]
        mass, moment = mass + hung + turned, moment + (hung + turned) * hub
        p[:, P.fan_weight] = geometry.GRAVITY * mass
        before = self.blade_before[sink] - hung * self.motor_behind[motor] / (hung + turned)
        inside = self._inside(guard, -before * (hung + turned) / mass)
        tips = self.central[guard] & (inside < moment / mass * self.steep[guard])
        p[:, P.gap_low] = np.where(tips, 0.0, p[:, P.gap_low])
        p[:, P.gap_high] = np.where(tips, 2.0, p[:, P.gap_high])
        level = self.central[guard] & ~tips
        p[:, P.gap_low], p[:, P.gap_high] = np.where(level, 1.0, p[:, P.gap_low]), np.where(level, 1.0, p[:, P.gap_high])
        load = (
            geometry.GRAVITY
            * mass
            * self.share[guard, riser]
            * self.lever[guard]
            * (1.0 + self.friction[guard, riser, hot, sink])
        )
        q[:, Q.stuck] = self.guarded[guard] & (self.force[guard] < load + self.spring[guard] * (1.0 + FRICTION))
