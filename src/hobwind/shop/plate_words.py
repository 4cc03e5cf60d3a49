"""The joint of riser and hot plate in words: what to buy and drill, how tight, what it bears, what is wrong, what to check."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..build import Build
from ..build import geometry as g
from ..parts.kinds import Compound
from ..physics.contact import bond_line
from .countersunk import SUNK, head_of
from .holes import held_by
from .metals import tapped
from .plate_joint import PlateJoint, joint_half, loads, not_held, plate_joint, weight_below
from .plate_screws import BESIDE, LAND, PlateScrews, tried, wants_screws
from .rules import EDGE, HELD
from .threads import THREADS, pull_out

STUD = 2.0  # diameters of thread that a stud between riser parts has in each; common practice
SLIM = 0.05  # m; a riser part thinner than this gets the smaller stud; ours


def _mm(length: float) -> str:
    return f"{length * 1e3 + 0.0:.1f} mm"


def plate_lines(one: PlateJoint, build: Build) -> Iterator[str]:
    """What the hole sheet says of the plate screws."""
    screws, n = one.screws, len(one.screws.places)
    where = "beside the modules" if screws.covered == 0.0 else "partly under the modules"
    yield (
        f"Plate screws: {n} x {screws.called} (ISO 10642, {1e3 * screws.head.key:g} mm key), {screws.metal.name}: from the hot "
        f"face into the riser, {_mm(screws.engaged)} in its thread, heads {_mm(SUNK)} below the face, {where}."
    )
    grown = f"and hot the plate outgrows it by {one.growth:.0f} N" if one.growth >= 0.0 else f"hot it loses {-one.growth:.0f} N"
    yield (
        f"Tighten each cold to {one.torque:.2f} N·m, {one.preload:.0f} N (a slippery one gets {one.slick * one.preload:.0f} N); {grown}. "
        f"When {one.worst.says}, the worst placed gets {one.load:.0f} N more: {one.hot:.0f} N in all at the most."
    )
    yield (
        f"Hot its thread tears out at {one.strips:.0f} N and the screw yields at {one.yields:.0f} N: {one.bears / one.load:.0f} times "
        f"what lifting alone puts on it ({HELD:g} at least is wanted)."
    )
    fill, half = build.joint.hot_plate.fill, joint_half(build)
    if one.preload < 0.95 * one.wanted and isinstance(fill, Compound):
        area = 4.0 * half[0] * half[1]
        lines = [bond_line(fill.yield_stress.value, n * force / area) for force in (one.wanted, one.preload)]
        more = lines[1] - lines[0]
        yield (
            f"They press the joint with {n * one.preload:.0f} N; the model reckons with the clamp's {n * one.wanted:.0f} N there. So "
            f"the {fill.name} stays {more * 1e6:.0f} µm thicker than it says: {1e3 * more / (fill.conductivity.value * area):.1f} mK "
            "for each watt."
        )


def plate_data(one: PlateJoint) -> dict[str, Any]:
    """The same as data with units in its keys."""
    screws = one.screws
    return {
        "thread": screws.thread.name,
        "count": len(screws.places),
        "metal": screws.metal.name,
        "screw_mm": round(screws.length * 1e3, 4),
        "engaged_mm": round(screws.engaged * 1e3, 4),
        "torque_Nm": round(one.torque, 3),
        "preload_N": round(one.preload, 1),
        "wanted_N": round(one.wanted, 1),
        "growth_N": round(one.growth, 1),
        "load_N": round(one.load, 2),
        "load_when": one.worst.says,
        "thread_holds_N": round(one.strips, 1),
        "yields_N": round(one.yields, 1),
        "covered_mm2": round(screws.covered * 1e6, 2),
    }


def plate_findings(build: Build, screws: PlateScrews | None) -> Iterator[tuple[str, str]]:
    """Whatever keeps riser and hot plate, or riser and riser, from being held: the part, and what is wrong with it."""
    if wants_screws(build) and screws is None:
        yield "hot plate", _no_place(build)
    if screws is not None:
        for says in not_held(plate_joint(build, screws)):
            yield "hot plate", says
        if screws.covered > 0.0:
            area = sum(use.count * use.part.width.value * use.part.depth.value for use in build.modules)
            share = f"{screws.covered * 1e6:.0f} of {area * 1e6:.0f} mm² ({screws.covered / area:.0%})"
            yield (
                "hot plate",
                f"advice: hot plate: the heads of its {screws.thread.name} plate screws find no room beside the modules; under them they "
                f"take up to {share} of the contact. A riser that reaches further past the modules spares that.",
            )
    if len(build.riser) > 1 and not build.found:
        yield "riser 1", f"advice: riser: {between_risers(build)}"


def _no_place(build: Build) -> str:
    """Why no screw fits, in figures of the smallest that was tried."""
    slab, top = build.hot_plate, build.riser[-1]
    assert slab is not None  # screws are wanted, so there is a hot plate
    thread = min((THREADS[name] for name in tried(build)), key=lambda one: one.diameter)
    head = head_of(thread)
    need, wide = head.height + SUNK + LAND, 0.5 * head.countersink + BESIDE + EDGE * thread.diameter
    boxes = g.module_places(build)
    beside = max(
        0.5 * top.width.value - max(abs(x) + 0.5 * w for x, _, w, _ in boxes),
        0.5 * top.depth.value - max(abs(y) + 0.5 * d for _, y, _, d in boxes),
    )
    lead = "fault: hot plate: nothing holds it to its riser. Countersunk"
    if slab.thickness.value < need:
        why = f"{thread.name} heads want a plate of {_mm(need)}; it is {_mm(slab.thickness.value)}"
    else:
        why = (
            f"{thread.name} screws want {_mm(wide)} of riser beyond the modules, there are {_mm(max(beside, 0.0))}, and among the other "
            "holes and edges there is no place under the modules either"
        )
    return f"{lead} {why}. A wider riser, a thicker plate, or both in one piece or brazed (hot_plate.held)."


def between_risers(build: Build) -> str:
    """How riser parts are to be held to each other, which no sheet draws."""
    if len(build.riser) < 2:
        return ""
    pull = max([weight_below(build)[0], *(one.pull for one in loads(build) if build.hot_plate is not None)])
    stud = THREADS["M6" if min(min(one.width.value, one.depth.value) for one in build.riser) < SLIM else "M8"]
    deep = min(STUD * stud.diameter, *(0.5 * one.length.value for one in build.riser))
    holds = min(pull_out(stud, deep, tapped(one.material.name).shear_hot) for one in build.riser)
    where = (
        "two headless {} studs, clear of the wax element's pocket" if _pocketed(build) else "a headless {} stud in the middle"
    )
    return (
        f"Nothing on these sheets holds its parts to each other, though a fan that is lifted or carried hangs on them with {pull:.0f} N: "
        f"fix them with {where.format(stud.name)}, {_mm(deep)} deep in both; its thread holds {holds:.0f} N when hot."
    )


def _pocketed(build: Build) -> bool:
    return build.guard.element is not None and build.guard.held_in == "riser"


def plate_step(build: Build, fill: str) -> str:
    """The step that sets the hot plate on its riser."""
    slab = build.hot_plate
    if slab is None:
        return ""
    if slab.held == "one piece":
        return "The hot plate is one piece with its riser: nothing to join."
    if slab.held is not None and slab.joined:
        solder = "soft solder" if slab.held == "soft solder" else "hard solder"
        return (
            f"Hot plate onto the riser with {solder}, before anything else is fitted; flux washed off, hot face lapped again."
        )
    screws = held_by(build)
    if screws is None:
        return f"Hot plate onto the riser; between them: {fill}. No screws found a place: see the holes' findings before you go on."
    one = plate_joint(build, screws)
    order = "-".join(map(str, (1, 3, 2, 4) if len(screws.places) == 4 else range(1, len(screws.places) + 1)))
    return (
        f"Hot plate onto the riser; between them: {fill}. {len(screws.places)} plate screws {screws.called} in, each to "
        f"{one.torque:.2f} N·m in three rounds, order {order}. Warm it once, let it cool, tighten once more: paste settles. Then punch "
        "the rim of each head twice, so that none turns out: later the sink covers them."
    )


def plate_checks(build: Build, fill: str) -> tuple[str, ...]:
    """What to look at before the hot plate closes the riser in."""
    slab = build.hot_plate
    if slab is None or slab.held == "one piece":
        return ("hot face flat under the straightedge?",)
    if slab.joined:
        return ("solder drawn in all round, no gap at the edge?",)
    heads = ("every head below the hot face: does a straightedge pass over it?",) if wants_screws(build) else ()
    return (f"{fill} on riser top and hot plate, thin and whole, no chips?", *heads)
