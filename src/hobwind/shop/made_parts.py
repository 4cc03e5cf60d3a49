"""Which things a fan is made of, numbered once for every sheet, and which of them the maker saws and drills."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from ..build import Build
from ..build import geometry as g
from ..build.guide import lifted_at
from ..build.motor_strut import strut_for
from ..units import Spread
from .fins_cut import cut_notes, cuts_of
from .guard_eyes import riser_sides
from .guard_pieces import guard_pieces
from .guard_small import small_parts
from .holes import Holes, all_holes, has_flat_base, held_by, low_part, size
from .made_part import MadePart, Mark
from .rules import WALL
from .under_heads import spacer_for, turned_parts

KERF = 1.5e-3  # m a hand or band saw turns to dust, wandering included; common practice
STRUT_SCREW = 3.4e-3  # m; clearance of M3. Source: iso-273
LEADS_ACROSS, LEADS_DEEP = 6e-3, 4e-3  # m; a slot for two sleeved leads, ours


@dataclass(frozen=True)
class Numbered:
    """One line of the parts list that the drawings point to."""

    number: int
    name: str
    count: int
    material: str
    sizes: str


def _box(*sides: Spread) -> str:
    return " x ".join(size(side.value) for side in sides)


def numbered(build: Build) -> tuple[Numbered, ...]:
    """Every part of the fan from the plate upward, numbered from 1.

    Args:
        build: a checked build.

    Returns:
        One row for each part name that the section uses.
    """
    rows: list[tuple[str, int, str, str]] = []
    for i, part in enumerate(build.riser):
        wide = f"Ø{size(part.width.value)}"
        if part.shape == "block":
            wide = f"{size(part.width.value)} x {size(part.depth.value)}"
        rows.append((f"riser {i + 1}", 1, part.material.name, f"{wide} x {size(part.length.value)}"))
    for name, slab in (("hot plate", build.hot_plate), ("spreader", build.spreader)):
        if name == "spreader":
            rows += [
                ("module", use.count, use.part.name, _box(use.part.width, use.part.depth, use.part.thickness))
                for use in build.modules
            ]  # fmt: skip
        if slab is not None:
            sizes = _box(slab.width, slab.depth, slab.thickness)
            rows.append((name, 1, slab.material.name, sizes))
        screws = held_by(build) if name == "hot plate" else None
        if screws is not None:
            rows.append(("plate screws", len(screws.places), screws.metal.name, screws.called))
    rows.append(("sink", 1, build.sink.part.material.name, " x ".join(size(one) for one in g.sink_box(build))))
    if build.screws is not None:
        clamp = build.screws
        rows.append(("clamp screws", clamp.count, clamp.part.material.name, clamp.part.thread))
        if clamp.bush is not None:
            bush = f"Ø{size(clamp.bush.outer.value)} / {size(clamp.bush.inner.value)}"
            rows.append(("bushes", clamp.count, clamp.bush.material.name, bush))
        if clamp.washer is not None:
            sizes = _box(clamp.washer.outer, clamp.washer.inner, clamp.washer.thickness)
            rows.append(("washers", clamp.count, clamp.washer.material.name, sizes))
    ring = spacer_for(build)
    if build.screws is not None and ring is not None:
        rows.append(("spacers", build.screws.count, ring.metal, ring.sizes))
    motor = build.motor.part
    strut = None if build.found else strut_for(build)
    if strut is not None:
        sizes = f"{size(strut.thickness)} x {size(strut.width)} x {size(round(strut.long, 3))}"
        rows.append(("motor strut", 1, strut.metal, sizes))
    rows.append(("motor", 1, "as found", f"Ø{size(motor.diameter.value)} x {size(motor.length.value)}"))
    rows.append(("blade", 1, "as found", f"Ø{size(build.blade.part.diameter.value)}"))
    guard = build.guard
    if guard.element is not None:
        element = f"Ø{size(guard.element.diameter.value)} x {size(guard.element.length.value)}"
        rows.append(("wax element", 1, guard.element.name, element))
        pin = f"Ø{size(guard.pin_diameter.value)} x {size(guard.pin_length.value)}"
        rows.append(("push pin", 1, guard.pin_material.name, pin))
        rows += [(one.name, one.count, one.material, one.sizes) for one in small_parts(build)]
    return tuple(Numbered(i + 1, *row) for i, row in enumerate(rows))


def _module_marks(build: Build) -> tuple[Mark, ...]:
    return tuple(Mark("module", x, y, w, d) for x, y, w, d in g.module_places(build))


def _riser_mark(build: Build) -> Mark:
    top = build.riser[-1]
    depth = top.depth.value if top.shape == "block" else 0.0
    return Mark("riser beneath", 0.0, 0.0, top.width.value, depth)


def _lead_slot(build: Build) -> bool:
    """Whether the spreader has an edge wide enough beyond the modules for a slot that keeps the leads off the metal."""
    slab = build.spreader
    if slab is None:
        return False
    reach = max(y + 0.5 * d for _, y, _, d in g.module_places(build))
    return 0.5 * slab.depth.value - reach >= LEADS_DEEP + 1.5e-3


def made_parts(build: Build) -> tuple[MadePart, ...]:
    """The parts that are marked out, sawn or drilled, in the order of their numbers.

    Args:
        build: a checked build.

    Returns:
        Risers, plates, the sink and what a guard is cut from; what comes as found and undrilled is left out.
    """
    number = {row.name: row.number for row in reversed(numbered(build))}
    holes = all_holes(build)

    def of(name: str) -> tuple[Holes, ...]:
        return tuple(one for one in holes if one.part == name)

    found, low = [], low_part(build)
    for i, part in enumerate(build.riser):
        name = f"riser {i + 1}"
        shape = "round" if part.shape == "cylinder" else "block"
        deep = part.width.value if shape == "round" else part.depth.value
        notes: tuple[str, ...] = ("Both ends square to the axis, then lapped.",)
        if any(one.use.startswith("pocket") for one in of(name)):
            notes += (
                (
                    "The pocket is drilled from the foot; a plug of the same metal with the pin's bore in it closes it, flush or below.",
                )
                if build.found
                else (
                    "The pocket is drilled from the top; close it above the element with a plug of the same metal, or the "
                    "heat must go round the hole.",
                )
            )
        found.append(
            MadePart(
                number[name], name, part.material.name, shape, part.width.value, deep, part.length.value, True, of(name),
                _module_marks(build) if name == low else (), notes=notes + _holder_note(build, name),
            )
        )  # fmt: skip
    for name, slab in (("hot plate", build.hot_plate), ("spreader", build.spreader)):
        if slab is None:
            continue
        marks, slot = _module_marks(build), name == "spreader" and _lead_slot(build)
        marks += (_riser_mark(build),) if name == "hot plate" else ()
        notes = ("Break every edge; both faces lapped where something lies on them.",)
        if slot:
            notes += ("The lead slot is ours: the build does not say where the leads run. Leave it out if they go elsewhere.",)
        found.append(
            MadePart(
                number[name], name, slab.material.name, "block", slab.width.value, slab.depth.value, slab.thickness.value,
                False, of(name), marks, slot, notes=notes + _holder_note(build, name),
            )
        )  # fmt: skip
    found += _sink(build, number["sink"], of("sink"))
    found += turned_parts(build, number)
    found += _strut(build, number) if "motor strut" in number else []
    if build.found:  # what is there stays as it is, but for pocket and side holes that the guard asks for
        pockets = {one.part for one in holes if one.use.startswith("pocket")}
        found = [replace(one, sawn=False, below=True, marks=()) for one in found if one.name in pockets]
    return (*found, *riser_sides(build, number, holes), *guard_pieces(build, number))


def _holder_note(build: Build, name: str) -> tuple[str, ...]:
    guard = build.guard
    if guard.element is None:
        return ()
    if guard.held_in == "plate" and name == low_part(build):
        return (
            f"The wax element stands on its own foot beside the riser; its {'lever' if guard.kind == 'lever tilt' else 'pin'} bears "
            f"{size(round(lifted_at(build), 4))} mm from the middle, to one side, half way along.",
        )
    if guard.held_in != name:
        return ()
    return (f"The wax element (Ø{size(guard.element.diameter.value)}) is held at this part's edge by its clip.",)


def _sink(build: Build, number: int, holes: tuple[Holes, ...]) -> list[MadePart]:
    """The sink, when holes go through it and it has a base plate to drill."""
    sink = build.sink.part
    if not holes or not has_flat_base(build):
        return []
    notes = (
        "For the bare face, seen from below. Holes and ribs that a scrap sink has already, and where its fins really "
        "stand, are not known here: the fins are drawn even about the middle. Look before you punch.",
    )
    marks = _module_marks(build)
    if sink.shape == "plate fins":
        long = sink.base_length.value
        marks += tuple(Mark("fin", x, 0.0, sink.fin_thickness.value, long) for x in g.fin_places(sink))
        marks += tuple(
            Mark("fin cut back here", one.x, one.y, sink.fin_thickness.value, one.long, True) for one in cuts_of(build)
        )
    width, depth = g.sink_base(build)
    made = MadePart(
        number, "sink", sink.material.name, "block", width, depth, sink.base_thickness.value, False, holes, marks, below=True,
        notes=notes + cut_notes(build) + _holder_note(build, "sink"),
    )  # fmt: skip
    return [made]


def _strut(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """The strip that carries the motor, laid flat, its foot to the left."""
    strut = strut_for(build)
    if strut is None:
        return []
    long = round(strut.long, 3)
    foot, away = -0.5 * long, max(0.25 * strut.lap, 0.5 * STRUT_SCREW + WALL)
    places = ((foot + away, 0.0), (foot + strut.lap - away, 0.0))
    motor = build.motor.part.diameter.value
    marks = (
        Mark("lies on the fin", foot + 0.5 * strut.lap, 0.0, strut.lap, strut.width),
        Mark("motor", foot + strut.lap + strut.free, 0.0, motor, 0.0),
    )
    notes = (
        "A proposal: the build does not say how its motor is held. Two screws through the fin nearest the middle; the motor's body is "
        "held against the flat by a band, or the free part is given a quarter turn and the motor's face screwed on.",
        f"k A / L leads {strut.carries * 1e3:.0f} mW/K to the motor, {build.motor.mount_conductance.value * 1e3:.0f} are reckoned with: "
        f"thicker, wider or shorter, and the motor gets warmer. With its motor it sways {strut.sways:.0f} times a second: faster than the "
        "blade turns, so that it does not shake.",
    )
    screws = Holes("motor strut", "A", "screw M3 through the fin", places, STRUT_SCREW)
    sides = (long, strut.width, strut.thickness)
    return [MadePart(number["motor strut"], "motor strut", strut.metal, "block", *sides, False, (screws,), marks, notes=notes)]


def guard_holes(parts: tuple[MadePart, ...]) -> tuple[Holes, ...]:
    """Holes of the guard's own small parts, which are not in the fan.

    Args:
        parts: all that are made.

    Returns:
        Their holes, part by part.
    """
    fan = ("riser", "hot plate", "spreader", "sink", "bushes", "spacers", "motor strut")
    return tuple(one for part in parts if not part.name.startswith(fan) for one in part.holes)


def bar_needed(parts: tuple[MadePart, ...]) -> list[tuple[str, str, float]]:
    """Bar to have on hand: cross-section, material and length with one kerf for each cut, m."""
    wanted: dict[tuple[str, str], float] = {}
    for part in parts:
        if part.sawn:
            across = f"Ø{size(part.width)}" if part.shape == "round" else f"{size(part.width)} x {size(part.depth)}"
            key = (across, part.material)
            wanted[key] = wanted.get(key, 0.0) + part.saw_length + KERF
    return [(across, material, math.ceil(length * 1e3 - 1e-9) * 1e-3) for (across, material), length in wanted.items()]
