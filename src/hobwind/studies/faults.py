"""Findings that the fan does not do its job: starting, air, hunting, a guard that cannot act or let go."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from ..build import Build, forces, geometry, standing
from ..build.over_pin import misses, pushed_elsewhere
from ..lifting.room import lacks
from ..stack.evening import Outcome
from ..stack.fields import Seen
from ..stack.keeping import End
from . import mends
from .beside import heightened, own_foot
from .hanging import because
from .hanging import mends as hung_mends
from .headline import Headline
from .telling import ADVICE, DANGER, FAULT, Finding, Look, celsius, keys, makeable, quiet, sound, starts, told
from .widening import bears, pull_of

YIELD = 2.0  # times what a clamp screw bears with its factor of safety
STILL = 10.0  # min; a blade that stands longer on a hot plate is worth a word


def start(look: Look) -> Iterator[Finding]:
    """Never, or later than wished."""
    solved, wanted, build = look.solved, look.build.wish.starts_by.value, look.build
    at = solved.starts_at
    if at is not None and at <= wanted + 0.5:
        return

    def early(other: Headline) -> bool:
        return other.starts_at is not None and other.starts_at <= wanted

    tried = look.bench.first_of(build, (mends.wirings, mends.shorter_risers, mends.motors), early)
    mend = told(tried, "a motor that breaks away at less, or more modules")
    if at is None:
        torque = max(float(point.seen[Seen.stall_torque]) for point in solved.map.from_rest)
        needs = f"{build.motor.part.breakaway.value * 1e6:.0f} µN·m"
        says = f"the blade never turns: at most {torque * 1e6:.0f} µN·m against {needs} to break away"
        yield Finding(FAULT, "never-starts", says, mend, "exact", keys(tried))
    else:
        says = f"it starts at {celsius(at)}, later than {_wish(look, 'wish.starts_by')} {celsius(wanted)}"
        yield Finding(FAULT, "starts-late", says, mend, "exact", keys(tried))


def _wish(look: Look, place: str) -> str:
    typed = any(record.place == place and record.origin == "given" for record in look.build.records)
    return "the wished" if typed else "the usual"


def air(look: Look) -> Iterator[Finding]:
    """Less than wished on the usual plate."""
    solved, build = look.solved, look.build
    wanted, has = build.wish.air.value, solved.usual_air
    if solved.starts_at is None or has >= 0.97 * wanted:
        return

    def moved(other: Headline) -> float:
        return other.usual_air if other.worst_margin > 0.0 and not other.hunts else -1.0

    def changes(b: Build) -> mends.Changes:
        yield from mends.wirings(b)
        yield from mends.motors(b)
        yield from mends.lapped(b)
        yield from mends.elements(b)

    tried = look.bench.best(changes(build), moved)
    mend = "a larger blade, more modules or a better sink"
    if tried is not None and moved(tried.solved) > 1.05 * has:
        enough = "" if moved(tried.solved) >= wanted else ", which does not suffice alone"
        mend = f"{tried.says} gives {moved(tried.solved) * 3600:.0f} m³/h{enough}, and it {starts(tried.solved)}"
    else:
        tried = None
    lifted = "; the guard has already lifted it there" if solved.lifted_at_usual else ""
    says = (
        f"at {celsius(build.stove.usual_plate.value)} it moves {has * 3600:.0f} m³/h, less than {_wish(look, 'wish.air')} "
        f"{wanted * 3600:.0f} m³/h{lifted}"
    )
    yield Finding(FAULT, "little-air", says, mend, "exact", keys(tried))


def hunting(look: Look) -> Iterator[Finding]:
    """Lifting and dropping on a plate that does not cool."""
    solved = look.solved
    evening = solved.worst if solved.worst.hunting is not None else solved.usual
    found, when = evening.hunting, f"on a plate that does not cool, in the {evening.curve.name} evening"
    if found is None and solved.restless_plates:
        middle = solved.restless_plates[len(solved.restless_plates) // 2]
        found, when = solved.band_at(middle), f"on a plate held at {celsius(middle)}"
    if found is None:
        return
    calmer = (mends.longer_risers, mends.element_places, own_foot, mends.elements)
    tried = look.calmest(calmer)
    says = (
        f"the guard hunts: {found.lifts} lifts {when}, one every {found.period / 60.0:.1f} minutes, the hot face between "
        f"{celsius(found.low)} and {celsius(found.high)}"
    )
    mend = told(tried, "no place or length tried here brings it to rest; run: hobwind evening")
    yield Finding(FAULT, "hunts", says, mend, "exact", keys(tried))


def outcome(look: Look) -> Iterator[Finding]:
    """An evening that gave no figures to its end."""
    for name, one in (("usual", look.solved.usual), ("over-fired", look.solved.worst)):
        if one.outcome is not Outcome.FINISHED:
            says = f"the {name} evening {one.outcome.value}"
            yield Finding(FAULT, "no-figures", says, "more play in the guard, or look for an impossible value", "exact")


def guard_acts(look: Look) -> Iterator[Finding]:
    """A guard too weak, one that tips, one that does not let go, one that acts too early."""
    build, solved = look.build, look.solved
    if build.guard.kind == "none" or build.guard.element is None:
        return
    wanted, has = forces.lifting_force(build)
    if has < wanted:
        says = f"lifting takes {wanted:.0f} N, but the element gives {has:.0f} N: it stays down"
        source = build.guard.element.sources.get("force", "given")
        yield Finding(FAULT, "guard-too-weak", says, "a softer spring, a lower lever ratio, or a lighter fan", source)
    missed, elsewhere = misses(build), pushed_elsewhere(build)
    if missed is not None:
        yield Finding(FAULT, missed.code, missed.says, missed.mend, "exact")
    if elsewhere is not None:
        line = f'guard.pivot_distance = "{1e3 * elsewhere.at:.0f} mm"'
        yield Finding(FAULT, elsewhere.code, elsewhere.says, elsewhere.mend, "exact", (line,))
    if float(solved.worst.end[End.lifts]) > 0.0 and float(solved.worst.seen[-1, Seen.lift]) > 0.0:
        tried = look.bench.first_of(build, (mends.elements, mends.element_places), _lets_go)
        says = f"lifted in the over-fired evening, it has not sat back when the plate is down to {_end(solved)}"
        mend = told(tried, "an element held where it cools sooner")
        yield Finding(FAULT, "stays-up", says, mend, "exact", keys(tried))
    if float(solved.usual.end[End.lifts]) > 0.0:
        tried = look.bench.first_of(build, (mends.elements, mends.element_places, own_foot), quiet)
        at = celsius(float(solved.usual.end[End.lift_at]))
        says = f"the guard already lifts in normal burning, at a plate of {at}, and costs air there"
        mend = told(tried, "a hotter element held cooler, or a longer riser")
        yield Finding(ADVICE, "lifts-early", says, mend, "exact", keys(tried))


def screws_yield(look: Look) -> Iterator[Finding]:
    """Clamp screws that the pressure as written would pull past their yield."""
    build, pull = look.build, pull_of(look.build)
    if build.screws is None or pull <= YIELD * bears(build.screws.part):
        return
    part = build.screws.part
    yields = YIELD * bears(part)
    says = f"each of {build.screws.count} clamp screws ({part.name}) is pulled to {pull:.0f} N, past the {yields:.0f} N at which it yields"
    yield Finding(
        FAULT, "screws-yield", says, "four screws, thicker ones, or a softer clamp within what the modules want", "iso-898-1"
    )


def gear(look: Look) -> Iterator[Finding]:
    """A guard whose small parts find no room or no stock, so that it cannot be made as written."""
    build, missed = look.build, misses(look.build)
    lacking = [says for says in lacks(build) if missed is None or says != missed.short]  # which is a finding of its own
    if not lacking:
        return
    made, longer = heightened(build)
    changes = [(longer, made)] if longer else []
    fit = makeable(sound)
    tried = look.bench.first(iter(changes), fit) or look.bench.first(own_foot(build), fit)
    says = f"its guard cannot be made as written: {'; '.join(lacking)}"
    yield Finding(FAULT, "guard-gear", says, told(tried, "hobwind guards sizes one that can"), "practice", keys(tried))


def stands(look: Look) -> Iterator[Finding]:
    """A fan that tips when its guard lifts it: a central lift then makes a wedge, a tilted fan falls over."""
    build = look.build
    guard, spare = build.guard, math.degrees(standing.lifted_margin(build))
    if standing.stands_when_lifted(build):
        return
    why = because(build, standing.lifted_margin, standing.SLOPE_MARGIN)
    back, lines = hung_mends(build, standing.lifted_margin, standing.SLOPE_MARGIN)
    if guard.kind == "central lift":
        foot, now = math.ceil(standing.foot_wanted(build) * 1e3 + 0.1), guard.foot_radius.value * 1e3
        pins = guard.stands == "three pins"
        has = f"its three pins stand on a circle of {now:.0f} mm radius" if pins else f"its foot is {now:.0f} mm in radius"
        says = f"lifted, it would tip: {has}, and the gap becomes a wedge{why}"
        # Between two of three pins the nearest edge is half the circle's radius away.
        ways = [f"a foot of {foot} mm radius", f"three pins on a circle of {2 * foot} mm radius"]
        mend = ", ".join([*(ways[::-1] if pins else ways), *back, "or a guide"])
        yield Finding(FAULT, "tips-when-lifted", says, mend, "exact", lines)
        return
    tilt, wanted = math.degrees(geometry.tilt_angle(build)), math.degrees(standing.SLOPE_MARGIN)
    mend = ", ".join([*back, "a longer edge to tilt about, the pin nearer the far side, a lower stop, or a strut"])
    if spare < 0.0:
        says = f"tilted by {tilt:.1f}° it falls over: its weight then lies {-spare:.1f}° outside edge and pin{why}"
        yield Finding(DANGER, "falls-when-tilted", says, mend, "exact", lines)
    else:
        says = f"tilted by {tilt:.1f}° it bears only {spare:.1f}° more before it falls over; {wanted:.0f}° are wanted{why}"
        yield Finding(FAULT, "tips-when-lifted", says, mend, "exact", lines)


def stands_down(look: Look) -> Iterator[Finding]:
    """A fan that falls over, or nearly, where it stands with its guard at rest."""
    build, wanted = look.build, standing.SLOPE_MARGIN
    spare, slope = math.degrees(standing.seated_margin(build)), build.guard.plate_slope.value
    if spare >= math.degrees(wanted):
        return
    why = because(build, standing.seated_margin, wanted)
    back, lines = hung_mends(build, standing.seated_margin, wanted)
    foot, half = build.riser[0], geometry.centre_height(build) * math.tan(slope + wanted)
    deep, across = 2e3 * (half + abs(geometry.centre_before(build))), 2e3 * half
    if foot.shape == "cylinder":
        wider = f"a foot at least {math.ceil(deep)} mm across"
    else:
        short = ((foot.depth, deep, "deep"), (foot.width, across, "wide"))
        wider = "a foot at least " + " and ".join(
            f"{math.ceil(size)} mm {way}" for has, size, way in short if has.value * 1e3 < size
        )
    mend = ", or ".join([wider, *back])
    if spare < 0.0:
        says = f"it falls over on a plate that slopes by {math.degrees(slope):.1f}°, {-spare:.1f}° beyond what it bears{why}"
        yield Finding(DANGER, "falls-over", says, mend, "exact", lines)
    else:
        says = f"down, it bears only {spare:.1f}° more before it falls over; {math.degrees(wanted):.0f}° are wanted{why}"
        yield Finding(FAULT, "barely-stands", says, mend, "exact", lines)


def _lets_go(solved: Headline) -> bool:
    return sound(solved) and float(solved.worst.seen[-1, Seen.lift]) <= 0.0


def _end(solved: Headline) -> str:
    return celsius(float(solved.worst.seen[-1, Seen.plate]))


def stands_still(look: Look) -> Iterator[Finding]:
    """A blade that stops while the plate is hotter than where it started."""
    solved = look.solved
    if solved.starts_at is None:
        return
    seen, time = solved.worst.seen, solved.worst.time
    after = np.maximum.accumulate(seen[:, Seen.spin]) > 0.5
    idle = after & (seen[:, Seen.spin] < 0.5) & (seen[:, Seen.plate] > solved.starts_at + 20.0)
    minutes = float(idle.sum() * (time[1] - time[0])) / 60.0
    if minutes > STILL:
        hottest = celsius(float(seen[idle, Seen.plate].max()))
        says = f"in the over-fired evening the blade stands still for {minutes:.0f} minutes, on a plate up to {hottest}"
        mend = "a smaller lift (guard.stop), so that some heat still comes through"
        yield Finding(ADVICE, "stands-still", says, mend, "exact")


def unlike(look: Look) -> Iterator[Finding]:
    """A module that the others drag along."""
    if len(look.build.modules) > 1:
        row = look.solved.kind_power(look.build.stove.usual_plate.value)
        for use, watts in zip(look.build.modules, row, strict=True):
            if watts < -1e-4:
                says = f"{use.part.name} is dragged along by the others and eats {-watts:.2f} W"
                yield Finding(FAULT, "dragged-module", says, "wire like modules together, or leave it out", "ioffe-1957")
