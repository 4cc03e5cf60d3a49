"""What an hour's work can be: improvements a maker can carry out, with rough minutes and cost of each.

Minutes and costs are common practice for hand tools and a drill press, to within a factor of two. Costs are counted in
prices of one module, so that no currency ages in them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from ..build import Build
from ..build.checks import impossible
from ..build.sections import JointFace
from ..parts.catalogue import Shelf
from ..parts.kinds import Compound, Surface
from ..units import NORMAL, Spread
from . import mends
from .beside import own_foot
from .mends import Changes

LAPPED = (
    ("filing the foot flat to 0.08 mm", Spread(0.08e-3, 0.04e-3, NORMAL)),
    ("lapping the foot on glass to 0.03 mm", Spread(0.03e-3, 0.015e-3, NORMAL)),
)  # foot and stove plate together: the plate keeps some of its own
BEST_FACE = "wet-and-dry on glass"
TIGHTENED = 0.2  # of the pressure: how well a torque wrench sets it
BLACK = "matt black paint"
JOINTS = {"riser": "riser's", "hot_plate": "hot plate's", "hot": "hot", "cold": "cold", "sink": "sink's"}
COLD = ("cold", "sink")
HOTTER = 20.0  # K; a joint on the hot side may run that much above the modules' limit
SIMILAR = (0.7, 1.4)  # blades tried, of the diameter there is


@dataclass(frozen=True)
class Work:
    """One kind of work: its changes, rough minutes, rough cost in prices of one module, and what to beware of."""

    kind: str
    changes: Callable[[Build], Changes]
    minutes: int
    cost: float
    caution: str


@dataclass(frozen=True)
class Option:
    """One improvement carried out on a build."""

    work: Work
    says: str
    build: Build


def lapped_foot(build: Build) -> Changes:
    """The foot filed or lapped flatter than it is."""
    for says, flatness in LAPPED:
        if flatness.value < build.seat.flatness.value:
            yield says, replace(build, seat=replace(build.seat, flatness=flatness))


def _joints(build: Build) -> tuple[str, ...]:
    """The joints this build has."""
    there = {"riser": len(build.riser) > 1, "hot_plate": build.plate_joint, "sink": build.spreader is not None}
    return tuple(name for name in JOINTS if there.get(name, True))


def lapped_plates(build: Build) -> Changes:
    """Every face at the modules and plates lapped on glass."""
    best: Surface = Shelf(None).find("surface", BEST_FACE)
    rough = {
        name: replace(getattr(build.joint, name), surface=best)
        for name in _joints(build)
        if getattr(build.joint, name).surface.flatness.value > best.flatness.value
    }
    if rough:
        yield f"lapping the faces of {_counted(rough)} on glass", _with_joints(build, rough)


def _counted(joints: dict[str, JointFace]) -> str:
    return ", ".join(f"the {JOINTS[name]} joint" for name in joints) if len(joints) < 3 else f"{len(joints)} joints"


def _with_joints(build: Build, changed: dict[str, JointFace]) -> Build:
    return replace(build, joint=replace(build.joint, **changed))


def fresh_compound(build: Build) -> Changes:
    """New compound of a better kind in every joint that has some; on the hot side only a kind that bears the heat there."""
    shelf = Shelf(None)
    hottest = build.face_limit + HOTTER
    for kind in ("zinc oxide grease", "ceramic-filled grease"):
        new = shelf.find("compound", kind)
        better = {}
        for name in _joints(build):
            joint = getattr(build.joint, name)
            bears = name in COLD or new.limit is None or new.limit.value >= hottest
            if bears and isinstance(joint.fill, Compound) and joint.fill.conductivity.value < new.conductivity.value:
                better[name] = replace(joint, fill=new)
        if better:
            yield f"fresh {kind} in {_counted(better)}", _with_joints(build, better)


def retorqued(build: Build) -> Changes:
    """The clamp set with a torque wrench to the middle of what the modules want."""
    low = max(use.part.pressure_low.value for use in build.modules)
    high = min(use.part.pressure_high.value for use in build.modules)
    if low < high:
        wanted = 0.5 * (low + high)
        pressure = Spread(wanted, TIGHTENED * wanted, NORMAL)
        yield f"setting the clamp to {wanted * 1e-6:.1f} MPa with a torque wrench", replace(build, clamp_pressure=pressure)


def stainless_screws(build: Build) -> Changes:
    """Stainless clamp screws of the same thread."""
    screws, shelf = build.screws, Shelf(None)
    if screws is None:
        return
    name = f"{screws.part.thread} stainless"
    if name in shelf.names("screw"):
        part = shelf.find("screw", name)
        if part.material.conductivity.value < 0.9 * screws.part.material.conductivity.value:
            yield f"{screws.count} screws {name}", replace(build, screws=replace(screws, part=part))


def lagged(build: Build) -> Changes:
    """The gap round the modules packed."""
    shelf = Shelf(None)
    if build.surround is None:
        for name in ("mineral wool", "ceramic fibre paper"):
            yield f"packing {name} round the modules", replace(build, surround=shelf.find("lagging", name))


def blackened(build: Build) -> Changes:
    """The sink painted matt black: it radiates better, and takes in more from the stove it looks down on."""
    black = Shelf(None).find("finish", BLACK)
    sink = build.sink.part
    if sink.finish.emissivity.value < 0.9 * black.emissivity.value:
        yield "painting the sink matt black", replace(build, sink=replace(build.sink, part=replace(sink, finish=black)))


def blades(build: Build) -> Changes:
    """Other blades of about the size."""
    shelf, now = Shelf(None), build.blade.part
    for name in shelf.names("blade"):
        part = shelf.find("blade", name)
        if name != now.name and SIMILAR[0] <= part.diameter.value / now.diameter.value <= SIMILAR[1]:
            yield f'another blade such as "{name}"', replace(build, blade=replace(build.blade, part=part))


def guards(build: Build) -> Changes:
    """A guard where there is none."""
    if build.guard.kind == "none":
        yield from mends.with_guard(build)
        yield from own_foot(build)


def other_places(build: Build) -> Changes:
    """The wax element held elsewhere."""
    if build.guard.element is None:
        return
    now = (build.guard.held_in, round(build.guard.element_height.value, 4))
    for says, changed in mends.element_places(build):
        there = (changed.guard.held_in, round(changed.guard.element_height.value, 4))
        if there != now and (there[0] != now[0] or there[0] == "riser"):
            yield says, changed
    if build.guard.kind == "central lift" and now[0] != "plate":
        yield from own_foot(build)


WORKS = (
    Work("foot", lapped_foot, 30, 0.1,
         "Lap wet: dry metal dust harms lungs. Cold fan, cold stove."),
    Work("faces", lapped_plates, 60, 0.1,
         "Lap wet: dry metal dust harms lungs. Undo the clamp crosswise, little by little: modules crack."),
    Work("compound", fresh_compound, 40, 0.5,
         "Wipe old compound off with spirit, windows open, no flame near. Undo the clamp crosswise: modules crack."),
    Work("clamp", retorqued, 15, 0.0,
         "On a cold fan only, crosswise and little by little: a module under a one-sided load cracks."),
    Work("bushes", mends.bushes, 45, 0.5,
         "Glasses on at the drill, the work in a vice, chips off with a brush. Undo the clamp crosswise."),
    Work("screws", stainless_screws, 20, 0.3,
         "One screw after another, crosswise, on a cold fan: a module under a one-sided load cracks."),
    Work("lagging", lagged, 30, 0.5,
         "Mineral wool harms lungs and skin: mask and gloves, wet it before cutting; none older than 1990 (asbestos)."),
    Work("black sink", blackened, 30, 0.5,
         "Paint outdoors; the first fire smokes: window open, nobody asleep."),
    Work("blade", blades, 45, 0.5,
         "Glasses on, and aside of the blade at its first run; no crack at the hub."),
    Work("wiring", mends.wirings, 15, 0.0,
         "Solder melts on a hot fan: crimp or braze near the modules, and keep leads off blade and plate."),
    Work("element", other_places, 90, 0.2,
         "Wax elements spit when overheated: never over a flame. See the guard lift at an attended fire."),
    Work("saw", mends.shorter_risers, 30, 0.0,
         "Glasses and vice; break the edges. The fan stands lower: does the blade still clear the plate?"),
    Work("riser", mends.longer_risers, 120, 1.0,
         "Glasses and vice; break the edges. A higher fan tips sooner: try it on a tilted board first."),
    Work("motor", mends.motors, 60, 1.0,
         "Scrap players and printers hold charge: unplug and wait. Solder in fresh air; fingers clear at the first run."),
    Work("guard", guards, 180, 1.5,
         "A lifted fan can fall: try it on a cold plate, then at an attended fire, gloves at hand."),
)  # fmt: skip


def options(build: Build) -> Iterator[Option]:
    """Every improvement of every kind that can be made on this build.

    Args:
        build: a checked build.

    Returns:
        Options; what cannot be made is left out.
    """
    for work in WORKS:
        for says, changed in work.changes(build):
            if not impossible(changed, []):
                yield Option(work, says, changed)


def after(first: Option, second: Option) -> Option | None:
    """The second improvement made on top of the first; None when it can no longer be made."""
    for says, changed in second.work.changes(first.build):
        if says == second.says and not impossible(changed, []):
            work = Work(
                f"{first.work.kind} and {second.work.kind}",
                second.work.changes,
                first.work.minutes + second.work.minutes,
                first.work.cost + second.work.cost,
                " ".join(dict.fromkeys((first.work.caution, second.work.caution))),
            )
            return Option(work, f"{first.says}, and {says}", changed)
    return None
