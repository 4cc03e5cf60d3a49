"""Findings that better is possible: screws, seat, joints, clamp, a module nobody measured."""

from __future__ import annotations

from collections.abc import Iterator

from ..parts.kinds import Module
from ..physics.wax import stroke
from ..stack.fields import Seen
from ..stack.keeping import End
from . import mends
from .drill_faults import STUCK, faulted
from .guards_batch import TRAVEL, part_margins, run_stacks
from .ledger import ledger
from .telling import ADVICE, HAIR, THIN, Finding, Look, celsius, keys, least, starts
from .withstands import faults_of, harming

SCREWS_SHARE = 0.08  # of the seat's heat; more through the screws is worth a word
HOT_WATER = 368.15  # K; a pan reaches that on any hill where stoves are lit
SOFT_SOLDER, TIN_LEAD = 411.15, 456.15  # K; bismuth-tin and tin-lead melt. Source: module-notes
JOINT_DROP = 12.0  # K across the joints of one side
SEAT_DROP = 25.0  # K across the seat


def screws(look: Look) -> Iterator[Finding]:
    """Clamp screws that carry heat past the modules."""
    seen = look.solved.usual_point.seen
    entries = ledger(seen)
    share = entries[2].watts / entries[0].watts if entries[0].watts > 0.0 else 0.0
    if share < SCREWS_SHARE:
        return
    tried = next((t for t in (look.bench.try_out(*c) for c in mends.bushes(look.build)) if t is not None), None)
    mend = "thinner or longer screws, or stainless ones"
    if tried is not None and least(tried.solved) <= HAIR:
        tried = None  # the heat that is saved would cook something
    if tried is not None:
        other = tried.solved.usual_point.seen
        left = ledger(other)
        mend = (
            f"{tried.says} bring that to {left[2].watts / left[0].watts:.0%}; air at the usual plate goes from "
            f"{seen[Seen.air_flow] * 3600:.0f} to {other[Seen.air_flow] * 3600:.0f} m³/h, and it {starts(tried.solved)}"
        )
    says = (
        f"the clamp screws carry {share:.0%} of the heat past the modules ({entries[2].watts:.0f} of {entries[0].watts:.0f} W)"
    )
    yield Finding(ADVICE, "screws-steal", says, mend, "exact", keys(tried))


def seat(look: Look) -> Iterator[Finding]:
    """A seat that takes many kelvin although it is down; not said where the heat it lets by would leave a part no room."""
    seen, build = look.solved.usual_point.seen, look.build
    drop = seen[Seen.local] - seen[Seen.foot]
    hot = any(one.margin <= 0.0 for one in look.margins)
    if hot or seen[Seen.lift] > 0.0 or drop < SEAT_DROP or build.seat.flatness.value <= 0.03e-3:
        return
    tried = next((t for t in (look.bench.try_out(*c) for c in mends.lapped(build)) if t is not None), None)
    if tried is None or least(tried.solved) <= HAIR:
        return
    other = tried.solved.usual_point.seen
    if other[Seen.local] - other[Seen.foot] > drop - 2.0:
        return
    mend = (
        f"{tried.says} brings that to {other[Seen.local] - other[Seen.foot]:.0f} K, air to "
        f"{other[Seen.air_flow] * 3600:.0f} m³/h, the hottest face to {celsius(tried.solved.peak_face[0])}"
    )
    says = f"the seat alone takes {drop:.0f} K at the usual plate"
    yield Finding(ADVICE, "seat-eats", says, mend, "yovanovich-gap", keys(tried))


def hot_joint(look: Look) -> Iterator[Finding]:
    """A joint under the modules that takes many kelvin."""
    seen = look.solved.usual_point.seen
    drop = seen[Seen.hot_plate] - seen[Seen.hot_face]
    if drop > JOINT_DROP:
        says = f"the joint under the modules takes {drop:.0f} K at the usual plate"
        mend = "fresh compound, flatter faces, or the clamp pressure the module's maker asks for"
        yield Finding(ADVICE, "joint-eats", says, mend, "prasher-2003")


def clamp(look: Look) -> Iterator[Finding]:
    """A clamp far outside the range the modules want."""
    pressure = look.build.clamp_pressure.value
    for use in look.build.modules:
        low, high = use.part.pressure_low.value, use.part.pressure_high.value
        if not 0.7 * low <= pressure <= 1.3 * high:
            wants = f"{use.part.name} wants {low / 1e6:.1f} to {high / 1e6:.1f} MPa"
            says = f"the clamp presses {pressure / 1e6:.1f} MPa; {wants}"
            mend = "tighten the screws evenly to the middle of that range"
            yield Finding(ADVICE, "clamp-pressure", says, mend, use.part.sources.get("pressure_low", "given"))


def stuck_guard(look: Look) -> Iterator[Finding]:
    """What an over-fired evening comes to when the guard never moves; silent where every part lives even then."""
    guard = look.build.guard
    if guard.element is None:
        return
    stack, fire = faulted(look.build, look.solved.stack, (STUCK,))
    end = run_stacks([stack], [fire])[0]
    left = part_margins(look.build, end)
    left.pop(TRAVEL, None)
    part = min(left, key=lambda name: left[name])
    if left[part] > 0.0:
        return
    hot, minutes = celsius(float(end[End.peak_hot])), float(end[End.above]) / 60.0
    says = f"all hangs on the guard: should it stick, the over-fired evening takes the hottest face to {hot}"
    says += (
        f", above its limit for {minutes:.0f} minutes" if minutes >= 1.0 else f", and {part} {-left[part]:.0f} K past its limit"
    )
    wax = guard.element
    at = min(wax.full.value, HOT_WATER) if wax.opens.value < HOT_WATER - 5.0 else wax.full.value
    out = float(stroke(at, wax.opens.value, wax.full.value, wax.travel.value, wax.creep.value)) * 1e3
    bath = "in a pan of water" if at <= HOT_WATER else "in an oven"
    mend = (
        f"each autumn prove the element {bath}: at {celsius(at)} its pin must stand {out:.1f} mm further out than cold; "
        "and see it lift at the first hot fire"
    )
    yield Finding(ADVICE, "guard-alone", says, mend, "practice")


def failing(look: Look) -> Iterator[Finding]:
    """Which single faults of the drill would harm a fan that lives while nothing is wrong."""
    build = look.build
    if any(one.margin <= 0.0 for one in look.margins):
        return
    harm = [fault.name for fault in harming(build, look.solved.stack)]
    if harm:
        says = f"{len(harm)} of {len(faults_of(build))} faults tried on a hard fire would harm it: {', '.join(harm)}"
        mend = (
            "the fault drill shows for each which sign tells of it, how long before, and what, if anything, makes it harmless"
        )
        yield Finding(ADVICE, "faults-harm", says, mend, "practice")


def solder_unmarked(part: Module) -> bool:
    """Whether the solder inside a module is the catalogue's guess of the ordinary one; kinds named for a harder one are not."""
    return part.sources.get("solder") != "given" and SOFT_SOLDER < part.solder.value <= TIN_LEAD


def soft_solder(look: Look) -> Iterator[Finding]:
    """Modules of unmarked solder within their limit that would melt all the same if theirs is the softest solder in use."""
    peak, where = look.solved.peak_face
    guessed = [use.part for use in look.build.modules if solder_unmarked(use.part)]
    if not guessed or peak <= SOFT_SOLDER - HAIR or any(one.margin <= 0.0 for one in look.margins):
        return
    says = (
        f"the hottest face reaches {celsius(peak)} ({where}); the solder inside {guessed[0].name} is not marked, and the softest "
        f"kind in use melts at {celsius(SOFT_SOLDER)}"
    )
    mend = (
        f"ask its seller, or lay a spare one of the same lot for a quarter of an hour in an oven at {celsius(SOFT_SOLDER + 7.0)} (window "
        "open, gloves, no food in it): if beads show at its edge or a lead comes off, keep its face below "
        f"{celsius(SOFT_SOLDER - THIN)} or take another"
    )
    yield Finding(ADVICE, "solder-unknown", says, mend, "module-notes")


def unmeasured(look: Look) -> Iterator[Finding]:
    """Modules straight from the catalogue."""
    names = [use.part.name for use in look.build.modules if "bench" not in use.part.sources.values()]
    if names and all(use.part.origin == "catalogue" for use in look.build.modules):
        says = f"the module ({', '.join(names)}) is a guess from the catalogue: its power may be off by a quarter and more"
        mend = "measure open volts and ohms between a kettle and ice water, and write them into the build"
        yield Finding(ADVICE, "not-measured", says, mend, "round-robin")
