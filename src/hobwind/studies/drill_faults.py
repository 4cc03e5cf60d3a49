"""What can go wrong with a fan, as a table of changes to a prepared build: seen, changed and added to from Python.

Each `Fault` says in words what is assumed. A change names one number of `fields.P`, or one of the few things in `SPECIAL`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..build import Build
from ..build.sections import ModuleUse
from ..errors import InputError
from ..stack import fields
from ..stack.curves import PlateCurve
from ..stack.fields import J, P, Q
from ..stack.prepare import Stack, prepare
from ..units import Spread
from .guards_batch import fire_of

HOW: dict[str, Callable[[float, float], float]] = {
    "set": lambda old, amount: amount,
    "times": lambda old, amount: old * amount,
    "plus": lambda old, amount: old + amount,
}


@dataclass(frozen=True)
class Change:
    """One number changed: which, how (`set`, `times`, `plus`), by how much (SI, kelvin)."""

    field: str
    how: str
    amount: float


@dataclass(frozen=True)
class Fault:
    """One thing that goes wrong: its name, what is assumed of it, the changes, whether it is the guard's, its source."""

    name: str
    says: str
    changes: tuple[Change, ...]
    of_guard: bool
    source: str


def _guard(name: str, says: str, *changes: Change, source: str = "practice") -> Fault:
    return Fault(name, says, changes, True, source)


def _other(name: str, says: str, *changes: Change, source: str = "practice") -> Fault:
    return Fault(name, says, changes, False, source)


STUCK = _guard("element stuck cold", "its pin never moves", Change("stuck", "set", 1.0))
FAULTS = (
    STUCK,
    _guard(
        "element slow", "three times its lag, in its holder too",
        Change("wax_lag", "times", 3.0), Change("wax_capacity", "times", 3.0), source="memory",
    ),
    _guard(
        "half its stroke", "wax lost: half the travel and half the creep",
        Change("wax_travel", "times", 0.5), Change("wax_creep", "times", 0.5), source="memory",
    ),
    _guard(
        "pin fouled", "1 mm more lost motion, and it drags: 8 K more between lifting and sitting back",
        Change("lost_motion", "plus", 1e-3), Change("wax_hysteresis", "plus", 8.0), source="memory",
    ),
    _guard(
        "return spring broken", "what it has lifted stays up: weight alone does not push the wax back",
        Change("wax_hysteresis", "set", 1e3),
    ),
    _guard(
        "pin latched", "its bead lost: a bare tip of 0.1 W/K lets heat along the pin while it touches what it pushes",
        Change("pin tip", "set", 0.1), source="memory",
    ),
    _other("blade jammed", "it never turns", Change("motor_breakaway", "set", 1e9)),
    # At a fifth of the speed of a motor that races at two and a half times its usual one.
    _other(
        "blade slipping",
        "about half its usual speed while the motor races: 0.04 of twist and push are left at the motor's speed",
        Change("blade_power", "times", 0.04),
        Change("blade_thrust", "times", 0.04),
    ),
    _other("compound dried", "a third of its conductivity in every joint", Change("compound", "times", 1 / 3), source="memory"),
    _other("clamp gone slack", "a tenth of its pressure", Change("clamp_pressure", "times", 0.1)),
    _other("one module open", "no current through its string", Change("one module", "times", 1e6)),
    _other("one module cracked", "three times its resistance", Change("one module", "times", 3.0), source="memory"),
    _other("room at 35 °C", "a small shed in summer", Change("room", "set", 308.15)),
    _other("on a hotter spot", "fan and element stand where the plate gets 40 K hotter", Change("hotter spot", "plus", 40.0)),
    _other(
        "on painted plate", "0.1 mm more paint under the foot", Change("coating", "plus", 1e-4), source="memory",
    ),
    _other("on a warped spot", "0.3 mm more out of flat", Change("seat_flatness", "plus", 3e-4), source="memory"),
    _other("grit under the seat", "0.1 mm under one edge, a wedge", Change("seat_flatness", "plus", 1e-4)),
    _other("reload surge", "60 K more in 5 min at its worst, for 10 min", Change("surge", "plus", 60.0), source="memory"),
)  # fmt: skip
SURGE_RISE, SURGE_STAY, SURGE_FALL = 300.0, 600.0, 1200.0  # s


def _moved(spread: Spread, change: Change) -> Spread:
    return replace(spread, value=HOW[change.how](spread.value, change.amount))


def _one_module(build: Build, change: Change) -> Build:
    """One module of the first kind as a kind of its own with another resistance, wired where it was."""
    first = build.modules[0]
    weak = replace(first.part, resistance=_moved(first.part.resistance, change))
    if first.count == 1 or len(build.modules) == fields.MOST_KINDS:
        return replace(build, modules=(replace(first, part=weak), *build.modules[1:]))
    at = next(r for r, string in enumerate(build.wiring.strings) if string[0] > 0)
    strings = tuple((string[0] - int(r == at), *string[1:], int(r == at)) for r, string in enumerate(build.wiring.strings))
    uses = (replace(first, count=first.count - 1), *build.modules[1:], ModuleUse(weak, 1))
    return replace(build, modules=uses, wiring=replace(build.wiring, strings=strings))


def _room(build: Build, change: Change) -> Build:
    return replace(build, stove=replace(build.stove, room=_moved(build.stove.room, change)))


def _pin_tip(build: Build, change: Change) -> Build:
    return replace(build, guard=replace(build.guard, pin_tip=_moved(build.guard.pin_tip, change)))


def _hotter_spot(curve: PlateCurve, change: Change) -> PlateCurve:
    """Hotter in proportion to how far the plate has come from its start, by the whole amount at its worst."""
    room, worst = curve.plate[0], curve.plate.max()
    grown = (HOW[change.how](worst, change.amount) - room) / (worst - room)
    return replace(curve, plate=room + (curve.plate - room) * grown)


def _surge(curve: PlateCurve, change: Change) -> PlateCurve:
    """A jump of the plate from the moment it is hottest."""
    start = float(curve.time[int(curve.plate.argmax())])
    corners = start + np.array([0.0, SURGE_RISE, SURGE_RISE + SURGE_STAY, SURGE_RISE + SURGE_STAY + SURGE_FALL])
    time = np.union1d(curve.time, corners[corners < curve.time[-1]])
    plate = np.interp(time, curve.time, curve.plate)
    jumped = HOW[change.how](plate, change.amount) - plate
    return PlateCurve(curve.name, time, plate + jumped * np.interp(time, corners, [0.0, 1.0, 1.0, 0.0]))


ON_BUILD: dict[str, Callable[[Build, Change], Build]] = {
    "one module": _one_module,
    "room": _room,
    "pin tip": _pin_tip,
}
ON_FIRE: dict[str, Callable[[PlateCurve, Change], PlateCurve]] = {"hotter spot": _hotter_spot, "surge": _surge}
SPECIAL = (*ON_BUILD, *ON_FIRE, "compound", "stuck")


def _slots(stack: Stack, field: str) -> list[int]:
    """Where in `p` a change acts."""
    if field == "compound":
        joints = range(fields.FILLS_AT, fields.STRINGS_AT)
        filled = [i for i, at in enumerate(joints) if stack.q[at] == fields.COMPOUND]
        return [fields.JOINTS_AT + i * fields.PER_JOINT + J.conductivity for i in filled]
    return [int(P[field])]


def check_faults(faults: Sequence[Fault]) -> None:
    """Complain about a change that names nothing.

    Raises:
        InputError: a field or a way of changing it is unknown.
    """
    for fault in faults:
        for change in fault.changes:
            if change.field not in SPECIAL and change.field not in P.__members__:
                known = ", ".join(SPECIAL)
                raise InputError(
                    f'fault "{fault.name}": got the field "{change.field}"; one of {known}, or a name of stack.fields.P is wanted'
                )
            if change.how not in HOW:
                raise InputError(f'fault "{fault.name}": got "{change.how}"; one of {", ".join(HOW)} is wanted')


def faulted(build: Build, healthy: Stack, faults: Sequence[Fault]) -> tuple[Stack, PlateCurve]:
    """A build with faults, and the over-fired evening it then meets.

    Args:
        build: a checked build.
        healthy: the same build prepared.
        faults: that act together.

    Returns:
        The prepared stack and its fire. [SI]
    """
    changes = [change for fault in faults for change in fault.changes]
    for change in changes:
        if change.field in ON_BUILD:
            build = ON_BUILD[change.field](build, change)
    stack = prepare(build) if any(change.field in ON_BUILD for change in changes) else healthy
    p, q, curve = stack.p.copy(), stack.q.copy(), fire_of(build, "over-fired")
    for change in changes:
        if change.field in ON_FIRE:
            curve = ON_FIRE[change.field](curve, change)
        elif change.field == "stuck":
            q[Q.stuck] = int(HOW[change.how](float(q[Q.stuck]), change.amount))
        elif change.field not in ON_BUILD:
            for at in _slots(stack, change.field):
                p[at] = HOW[change.how](float(p[at]), change.amount)
    return replace(stack, p=p, q=q), curve
