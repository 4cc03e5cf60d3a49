"""What may be off in a build: every value with a spread that alters what the fan does, and builds with those thrown.

A thrown build is a build like any other and is prepared like any other, so that whatever leans on a value (a mass on a
density, a pin's growth on two metals, a lift on force, weight and spring) moves with it, and nothing is held back.

One record named in several places is one input: two pieces of "aluminium 6082" come from one bar, two joints with one
grease from one pot. Faces are worked one at a time, so each keeps its own roughness and flatness.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

import numpy as np

from ..build import Build, forces, standing
from ..build.sections import BEFORE_LIMITS
from ..build.whole import LEFT_OUT
from ..parts.kinds import Compound, Finish, Lagging, Material, Part, Sheet
from ..parts.part_fields import FIELDS
from ..stack import fields as at
from ..stack.curves import PlateCurve, built_in
from ..stack.prepare import prepare
from ..units import Spread
from .dice import Die, Floats

SHARED = (Material, Finish, Compound, Sheet, Lagging)
GROUPS = ("stove", "seat", "riser", "module", "joints", "sink", "motor", "blade", "guard", "air")
_GROUP_OF = {
    "stove": "stove", "riser": "riser", "hot_plate": "riser", "seat": "seat", "mass": "seat", "joint": "joints",
    "clamp_pressure": "joints", "surround": "joints", "screws": "joints", "modules": "module", "wiring": "module",
    "spreader": "sink", "sink": "sink", "motor": "motor", "blade": "blade", "guard": "guard",
}  # fmt: skip
_AIR = ("stove.room", "stove.altitude", "stove.plume_still", "stove.plume_blown")
SIGNED = {"before_sink": BEFORE_LIMITS}  # fields that may be negative: between what they are thrown [SI]
LEAST = 0.05  # of its middle value: no length, torque or conductance is thrown below that
# An ideal disc's shaft power is thrust times the speed through it, √(T/(2 ρ A)): its C_P is √(2/π) C_T^1.5, and no blade's less.
IDEAL = (2.0 / np.pi) ** 0.5
STICKS = 1.02  # torque to break away over that to turn, at least: alike, a blade would stop and start forever. Source: choice
WIDEST = 3.6  # a normal spread reaches so many of its own before its ends are tried
# How each kind of input is measured in a workshop; the first that fits.
HOW = (
    (r"^module (seebeck|resistance|conductance)", "hobwind bench module, or cooler-label from its printed ratings"),
    (r"^motor (resistance|torque constant|friction|breakaway|drag|brush drop)", "hobwind bench motor"),
    (r"^wax element (opens|full|travel|creep|hysteresis|lag)", "hobwind bench wax"),
    (r"^wax element force", "press it on a kitchen scale in hot water"),
    (r"^blade (power|thrust) coefficient", "current and speed of its motor at two voltages"),
    (r"^guard (holder conductance|element loss|pin tip)", "wax element and stove plate read together on a fire"),
    (r"^stove (usual|worst) plate", "a thermometer on the bare plate, some ordinary evenings and the hottest fire you make"),
    (r"^(stove (room|flame|plume|coating)|sink (on base|in stream|bypass|still|blown)|motor mount)", "temperatures on a fire"),
    (r"(flatness|bow)$", "straightedge and feeler gauge"),
    (r"pressure", "a torque wrench, or counted turns of a spring"),
    (r"(leads)$", "a multimeter with its own leads taken off"),
    (r"(conductivity|density|specific heat)$", "hobwind bench metal, or a sheet of figures for what it is"),
    (r"emissivity", "compare with a spot of matt black under an infrared thermometer"),
    (r"(spring|force|mass|weight)", "a kitchen scale"),
    (r"(plate|width|depth|length|thickness|diameter|height|pitch|lost motion|stop|front|side)", "a calliper or a rule"),
)
ANYHOW = "temperatures on a fire"
# Sections that no fan feels: wishes, and what only the bench paper reads.
PAPER = ("wish", "tightening", "measured", "hand_on")
Row = list[Spread]
Throw = Callable[[Row], Any]


@dataclass(frozen=True)
class Input:
    """One independent input: its die, every place of the build where it stands, and a key by which two builds share it."""

    key: str
    die: Die
    places: tuple[str, ...]


def _walk(place: str, thing: object, owner: Part | None) -> Iterator[tuple[str, Spread, Part | None]]:
    """Place, spread and the part it belongs to, of every value of a build."""
    if isinstance(thing, Spread):
        yield place, thing, owner
    elif is_dataclass(thing) and not isinstance(thing, type):
        owner = thing if isinstance(thing, Part) else None
        for field in fields(thing):
            if field.name not in LEFT_OUT and not (place == "" and field.name in PAPER):
                yield from _walk(f"{place}.{field.name}" if place else field.name, getattr(thing, field.name), owner)
    elif isinstance(thing, tuple):
        for i, item in enumerate(thing):
            yield from _walk(f"{place}[{i + 1}]", item, owner)


def _bounds(field: str, spread: Spread, owner: Part | None) -> tuple[float, float]:
    """Between what a thrown value makes sense: what part files allow, and never through zero. [SI]"""
    if field in SIGNED:
        return SIGNED[field]
    known = FIELDS.get(type(owner).__name__.lower(), {}).get(field)
    low, high = (known.low, known.high) if known is not None else (0.0, np.inf)
    if low >= 0.0:
        low = max(low, LEAST * spread.value)
    return low, 1.0 if field in ("emissivity", "bow", "in_stream") else high


def _name(place: str, owner: Part | None) -> str:
    """What to call an input, such as "aluminium 6082, conductivity" or "seat flatness"."""
    *_, field = place.split(".")
    if isinstance(owner, SHARED):
        return f"{owner.name}, {field.replace('_', ' ')}"
    for long, short in (
        ("guard.element.", "wax element "),
        (".part.", " "),
        ("modules[1]", "module"),
        ("modules[", "module ["),
    ):
        place = place.replace(long, short)
    return re.sub(r"[._]", " ", place).replace("[", "").replace("]", "")


def how(one: Input) -> str:
    """How an input can be measured, in a few words."""
    return next((says for pattern, says in HOW if re.search(pattern, one.die.name)), ANYHOW)


def _absent(build: Build) -> tuple[str, ...]:
    """Joints that a build file may describe though this build has no such joint."""
    there = {"riser": len(build.riser) > 1, "hot_plate": build.plate_joint, "sink": build.spreader is not None}
    return tuple(f"joint.{name}." for name, has in there.items() if not has)


def _group(place: str) -> str:
    return "air" if place in _AIR else _GROUP_OF[place.split(".")[0].split("[")[0]]


def all_inputs(build: Build) -> list[Input]:
    """Every independent input with a spread, whether or not it matters, in the order of the build file.

    Args:
        build: a checked build.

    Returns:
        The inputs.
    """
    found: dict[str, Input] = {}
    absent = _absent(build)
    bars = [f"riser[{i}]" for i, part in enumerate(build.riser, start=1) if part.shape == "cylinder"]
    round_bars = {f"{bar}.depth": f"{bar}.width" for bar in bars}  # one diameter
    for place, spread, owner in _walk("", build, None):
        if spread.sd <= 0.0 or place.startswith(absent):
            continue
        field = place.rsplit(".", 1)[-1]
        key = round_bars.get(place, place)
        if isinstance(owner, SHARED):
            key = f"{type(owner).__name__} {owner.name} {field} {spread}"
        if key in found:
            found[key] = replace(found[key], places=(*found[key].places, place))
        else:
            low, high = _bounds(field, spread, owner)
            found[key] = Input(key, Die(_name(place, owner), spread, _group(place), low, high), (place,))
    return list(found.values())


def _rebuilder(place: str, thing: object, columns: dict[str, int]) -> Throw | None:
    """A function from a row of values to `thing` with those values in it; None when nothing in it is thrown."""
    if isinstance(thing, Spread):
        column = columns.get(place)
        return None if column is None else lambda row: row[column]
    if isinstance(thing, tuple):
        parts = [_rebuilder(f"{place}[{i + 1}]", item, columns) for i, item in enumerate(thing)]
        if not any(parts):
            return None
        return lambda row: tuple(item if make is None else make(row) for item, make in zip(thing, parts, strict=True))
    if not is_dataclass(thing) or isinstance(thing, type):
        return None
    inside: dict[str, Throw] = {}
    straight: dict[str, int] = {}  # fields that are thrown values themselves
    for field in fields(thing):
        if field.name not in LEFT_OUT:
            there, item = f"{place}.{field.name}" if place else field.name, getattr(thing, field.name)
            make = _rebuilder(there, item, columns)
            if make is not None and isinstance(item, Spread):
                straight[field.name] = columns[there]
            elif make is not None:
                inside[field.name] = make
    if not inside and not straight:
        return None
    record, kept, new_record = type(thing), vars(thing), object.__new__
    values, deeper = tuple(straight.items()), tuple(inside.items())

    def changed(row: Row) -> Any:
        # As dataclasses.replace, which would check every field of a record by name, thousands of times over.
        new = new_record(record)
        held = new.__dict__
        held.update(kept)
        for name, column in values:
            held[name] = row[column]
        for name, make in deeper:
            held[name] = make(row)
        return new

    return changed


def thrower(build: Build, inputs: Sequence[Input]) -> Callable[[list[float]], Build]:
    """A function from one row of values (SI, one for each input) to the build that has them.

    Args:
        build: a checked build.
        inputs: of that build.

    Returns:
        The function. What cannot be is put right: a wax element full before it opens, a motor that breaks away as easily
        as it turns, and a blade that puts more power into the air than its shaft gives.
    """
    columns = {place: k for k, one in enumerate(inputs) for place in one.places}
    make = _rebuilder("", build, columns)

    def thrown(row: list[float]) -> Build:
        made: Build = build if make is None else make([Spread(value) for value in row])
        motor, guard = made.motor.part, made.guard
        sticks = STICKS * motor.friction.value
        if motor.breakaway.value < sticks:
            motor = replace(motor, breakaway=Spread(sticks))
            made = replace(made, motor=replace(made.motor, part=motor))
        blade = made.blade.part
        least = IDEAL * max(blade.thrust_coefficient.value, 0.0) ** 1.5
        if blade.power_coefficient.value < least:
            made = replace(made, blade=replace(made.blade, part=replace(blade, power_coefficient=Spread(least))))
        if guard.element is not None and guard.element.full.value < guard.element.opens.value + 1.0:
            element = replace(guard.element, full=Spread(guard.element.opens.value + 1.0))
            made = replace(made, guard=replace(guard, element=element))
        return made

    return thrown


def fires(build: Build) -> tuple[PlateCurve, PlateCurve]:
    """The usual and the over-fired evening of a build."""
    stove = build.stove
    heats = (stove.room.value, stove.usual_plate.value, stove.worst_plate.value)
    return built_in("usual", *heats), built_in("over-fired", *heats)


def _marks(build: Build, stands: bool) -> Floats:
    """Everything that decides what a fan does and how it is judged, as one row; `stands`: its tip margin too."""
    stack = prepare(build)
    q = stack.q.astype(float)
    q[at.CELLS_AT : at.CELLS_AT + at.MOST_RISERS] = 0.0  # how finely the riser is cut decides nothing
    usual, worst = fires(build)
    wax = build.guard.element
    # Without an element nothing lifts: neither spring nor lost motion then decides anything.
    lifting = (0.0, 0.0, 0.0) if wax is None else (wax.bursts.value, *forces.lifting_force(build))
    judged = [build.motor.part.limit.value, *lifting, *((standing.tip_margin(build),) if stands else ())]
    return np.concatenate([stack.p, q, judged, usual.plate, worst.plate])


def inputs_that_matter(build: Build, stands: bool = False) -> list[Input]:
    """The independent inputs that alter anything the model computes or judges by, tried at both their ends.

    Args:
        build: a checked build.
        stands: whether those count that only decide when it falls over, of which no log of a fire tells.

    Returns:
        The inputs; an elastic modulus, say, is left out where nothing leans on it.
    """
    every = all_inputs(build)
    make, middle = thrower(build, every), np.array([one.die.spread.value for one in every])
    still, found = _marks(make(middle.tolist()), stands), []
    for k, one in enumerate(every):
        reach = one.die.spread.half if one.die.spread.shape == "even" else WIDEST * one.die.spread.sd
        for sign in (-1.0, 1.0):
            row = middle.copy()
            row[k] = np.clip(row[k] + sign * reach, one.die.low, one.die.high)
            if not np.array_equal(_marks(make(row.tolist()), stands), still):
                found.append(one)
                break
    return found
