"""What a verdict has to say about a build: one finding a line, each with its figure, its limit and a mend that was tried.

*danger*: a part passes its limit or a person can be hurt. *fault*: it does not do its job. *advice*: better is possible.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ..build import Build, geometry
from ..stack.evening import Outcome
from ..stack.fields import Seen
from ..stack.keeping import End
from . import mends
from .headline import Headline
from .ledger import ledger
from .margins import Margin, margins, travel_left
from .mends import Tried, Workbench

DANGER, FAULT, ADVICE = "danger", "fault", "advice"
SEVERITIES = (DANGER, FAULT, ADVICE)
ZERO = 273.15
THIN = 10.0  # K; a smaller margin of a module is worth a word
SCREWS_SHARE = 0.08  # of the seat's heat; more through the screws is worth a word
JOINT_DROP = 12.0  # K across the joints of one side
SEAT_DROP = 25.0  # K across the seat


@dataclass(frozen=True)
class Finding:
    """One line of a verdict."""

    severity: str
    code: str
    says: str
    mend: str
    source: str


@dataclass(frozen=True)
class Look:
    """What every rule looks at."""

    build: Build
    solved: Headline
    margins: list[Margin]
    bench: Workbench


Rule = Callable[[Look], Iterator[Finding]]
COOLING = (mends.with_guard, mends.elements, mends.element_places, mends.longer_risers, mends.modules)


def celsius(kelvin: float) -> str:
    """A temperature for people, whole degrees."""
    return f"{kelvin - ZERO:.0f} °C"


def _starts(solved: Headline) -> str:
    return "never starts" if solved.starts_at is None else f"starts at {celsius(solved.starts_at)}"


def _lives(solved: Headline) -> bool:
    still = not solved.hunts and not solved.restless_plates
    return solved.worst_margin > 0.0 and still and solved.starts_at is not None


def _quiet(solved: Headline) -> bool:
    """Every part lives through a hard fire, and the guard leaves the usual evening alone."""
    return _lives(solved) and float(solved.usual.end[End.lifts]) == 0.0 and all(m.margin > 0.0 for m in margins(solved))


def _told(tried: Tried | None, otherwise: str) -> str:
    if tried is None:
        return otherwise
    solved = tried.solved
    peak, _ = solved.peak_face
    hunts = "; it then hunts" if solved.hunts else ""
    return f"{tried.says} brings the hottest face to {celsius(peak)}, and it {_starts(solved)}{hunts}"


def _modules(look: Look) -> Iterator[Finding]:
    for one in look.margins:
        if not one.part.startswith("module") or one.margin > THIN:
            continue
        hot = f"{one.part} reaches {celsius(one.peak)} ({one.where}); its limit is {celsius(one.limit)}"
        build, bench = look.build, look.bench
        if one.margin <= 0.0:
            tried = bench.first_of(build, COOLING, _quiet) or bench.first_of(build, COOLING, _lives)
            minutes = float(look.solved.worst.end[End.above]) / 60.0
            if one.part.endswith("hot face") and minutes > 0.05:
                hot += f", passed for {minutes:.0f} minutes"
            mend = _told(tried, "nothing tried here keeps it below; use modules of a higher limit or a cooler stove")
            yield Finding(DANGER, "module-too-hot", hot, mend, one.source)
        else:
            tried = bench.first(mends.longer_risers(build), lambda s: _lives(s) and s.worst_margin > THIN)
            mend = _told(tried, "measure its true limit before trusting so thin a margin")
            yield Finding(ADVICE, "thin-margin", f"{hot}, only {one.margin:.0f} K away", mend, one.source)
        return


def _other_parts(look: Look) -> Iterator[Finding]:
    for one in look.margins:
        if one.part.startswith("module") or one.margin > 0.0:
            continue
        yield Finding(
            DANGER,
            "part-too-hot",
            f"{one.part} reaches {celsius(one.peak)} ({one.where}); its limit is {celsius(one.limit)}",
            _part_mend(look, one),
            one.source,
        )


def _part_mend(look: Look, one: Margin) -> str:
    def cooler(solved: Headline) -> bool:
        return solved.starts_at is not None and all(m.margin > 0.0 for m in margins(solved) if m.part == one.part)

    tried = look.bench.first(mends.with_guard(look.build), cooler) or look.bench.first(mends.elements(look.build), cooler)
    if tried is not None:
        return _told(tried, "")
    return "use one that bears more, or move it up and out of the plate's sight"


def _element(look: Look) -> Iterator[Finding]:
    left = travel_left(look.build, look.solved)
    if left is not None and left <= 0.0:
        element = look.build.guard.element
        source = element.sources.get("most_travel", "given") if element is not None else "given"
        yield Finding(
            DANGER, "element-blocked",
            f"the wax element would push {-left * 1e3:.1f} mm further than it can; a blocked element bursts",
            "hold it where it stays cooler, or leave room beyond its full travel", source,
        )  # fmt: skip


def _start(look: Look) -> Iterator[Finding]:
    solved, wanted, build = look.solved, look.build.wish.starts_by.value, look.build
    at = solved.starts_at
    if at is not None and at <= wanted + 0.5:
        return

    def early(other: Headline) -> bool:
        return other.starts_at is not None and other.starts_at <= wanted

    tried = look.bench.first_of(build, (mends.wirings, mends.shorter_risers, mends.motors), early)
    if at is None:
        torque = max(float(point.seen[Seen.stall_torque]) for point in solved.map.from_rest)
        says = f"the blade never turns: at most {torque * 1e6:.0f} µN·m against {_breakaway(build)} to break away"
        yield Finding(FAULT, "never-starts", says, _told(tried, "a motor that breaks away at less, or more modules"), "exact")
    else:
        says = f"it starts at {celsius(at)}, later than the {celsius(wanted)} you want"
        yield Finding(FAULT, "starts-late", says, _told(tried, "a motor that breaks away at less, or more modules"), "exact")


def _breakaway(build: Build) -> str:
    return f"{build.motor.part.breakaway.value * 1e6:.0f} µN·m"


def _air(look: Look) -> Iterator[Finding]:
    solved, build = look.solved, look.build
    wanted, usual = build.wish.air.value, build.stove.usual_plate.value
    has = solved.usual_air
    if solved.starts_at is None or has >= 0.97 * wanted:
        return

    def air(other: Headline) -> float:
        return other.usual_air if other.worst_margin > 0.0 and not other.hunts else -1.0

    def changes(b: Build) -> Iterator[tuple[str, Build]]:
        yield from mends.wirings(b)
        yield from mends.motors(b)
        yield from mends.lapped(b)

    tried = look.bench.best(changes(build), air)
    mend = "a larger blade, more modules or a better sink"
    if tried is not None and air(tried.solved) > 1.05 * has:
        mend = f"{tried.says} gives {air(tried.solved) * 3600:.0f} m³/h, and it {_starts(tried.solved)}"
    yield Finding(
        FAULT, "little-air",
        f"at {celsius(usual)} it moves {has * 3600:.0f} m³/h, less than the {wanted * 3600:.0f} m³/h you want", mend, "exact",
    )  # fmt: skip


def _hunting(look: Look) -> Iterator[Finding]:
    evening = look.solved.worst if look.solved.worst.hunting is not None else look.solved.usual
    hunting, when = evening.hunting, f"on a plate that does not cool, in the {evening.curve.name} evening"
    if hunting is None and look.solved.restless_plates:
        plates = look.solved.restless_plates
        middle = plates[len(plates) // 2]
        hunting, when = look.solved.band_at(middle), f"on a plate held at {celsius(middle)}"
    if hunting is None:
        return
    calmer = (mends.longer_risers, mends.element_places, mends.elements)
    tried = look.bench.first_of(look.build, calmer, _quiet) or look.bench.first_of(look.build, calmer, _lives)
    yield Finding(
        FAULT, "hunts",
        f"the guard hunts: {hunting.lifts} lifts {when}, one every {hunting.period / 60.0:.1f} minutes, the hot face "
        f"between {celsius(hunting.low)} and {celsius(hunting.high)}",
        _told(tried, "no place or length tried here brings it to rest; run: hobwind evening"), "exact",
    )  # fmt: skip


def _outcome(look: Look) -> Iterator[Finding]:
    for name, one in (("usual", look.solved.usual), ("over-fired", look.solved.worst)):
        if one.outcome is not Outcome.FINISHED:
            yield Finding(FAULT, "no-figures", f"the {name} evening {one.outcome.value}", "look at the guard's play", "exact")


def _guard(look: Look) -> Iterator[Finding]:
    build = look.build
    if build.guard.kind == "none" or build.guard.element is None:
        return
    wanted, has = geometry.lifting_force(build)
    if has < wanted:
        yield Finding(
            FAULT, "guard-too-weak",
            f"lifting takes {wanted:.0f} N, but the element gives {has:.0f} N: it stays down",
            "a softer spring, a lower lever ratio, or a lighter fan", build.guard.element.sources.get("force", "given"),
        )  # fmt: skip
    if build.guard.kind == "central lift" and not geometry.stands_when_lifted(build):
        foot = geometry.foot_wanted(build)
        yield Finding(
            FAULT, "tips-when-lifted",
            f"lifted, it would tip: its foot is {build.guard.foot_radius.value * 1e3:.0f} mm, and the gap becomes a wedge",
            f"a foot of {foot * 1e3:.0f} mm radius, three pins, or a guide", "exact",
        )  # fmt: skip
    lifted = float(look.solved.worst.end[End.lifts]) > 0.0
    if lifted and float(look.solved.worst.seen[-1, Seen.lift]) > 0.0:
        yield Finding(
            FAULT, "stays-up",
            "lifted in the over-fired evening, it has not sat back when the fire has died",
            "more lost motion, or an element held where it cools sooner", "exact",
        )  # fmt: skip
    if float(look.solved.usual.end[End.lifts]) > 0.0:
        at = float(look.solved.usual.end[End.lift_at])
        changes = mends.elements(build)
        tried = look.bench.first(changes, lambda s: _lives(s) and float(s.usual.end[End.lifts]) == 0.0)
        yield Finding(
            ADVICE, "lifts-early",
            f"the guard already lifts in normal burning, at a plate of {celsius(at)}, and costs air there",
            _told(tried, "more lost motion, if the margin allows it"), "exact",
        )  # fmt: skip


def _screws(look: Look) -> Iterator[Finding]:
    point = look.solved.usual_point
    entries = ledger(point.seen)
    share = entries[2].watts / entries[0].watts if entries[0].watts > 0.0 else 0.0
    if share < SCREWS_SHARE:
        return
    tried = next((t for t in (look.bench.try_out(*c) for c in mends.bushes(look.build)) if t is not None), None)
    mend = "thinner or longer screws, or stainless ones"
    if tried is not None:
        other = tried.solved.usual_point.seen
        left = ledger(other)
        mend = (
            f"{tried.says} bring that to {left[2].watts / left[0].watts:.0%}; air at the usual plate goes from "
            f"{point.seen[Seen.air_flow] * 3600:.0f} to {other[Seen.air_flow] * 3600:.0f} m³/h, and it {_starts(tried.solved)}"
        )
    yield Finding(
        ADVICE, "screws-steal",
        f"the clamp screws carry {share:.0%} of the heat past the modules ({entries[2].watts:.0f} of "
        f"{entries[0].watts:.0f} W)", mend, "exact",
    )  # fmt: skip


def _seat(look: Look) -> Iterator[Finding]:
    seen, build = look.solved.usual_point.seen, look.build
    drop = seen[Seen.local] - seen[Seen.foot]
    down = seen[Seen.lift] <= 0.0
    if down and drop > SEAT_DROP and build.seat.flatness.value > 0.03e-3:
        tried = next((t for t in (look.bench.try_out(*c) for c in mends.lapped(build)) if t is not None), None)
        mend = "lap the foot flat"
        if tried is not None:
            other = tried.solved.usual_point.seen
            if other[Seen.local] - other[Seen.foot] > drop - 2.0:
                return
            mend = (
                f"{tried.says} brings that to {other[Seen.local] - other[Seen.foot]:.0f} K, air to "
                f"{other[Seen.air_flow] * 3600:.0f} m³/h, the hottest face to {celsius(tried.solved.peak_face[0])}"
            )
        yield Finding(ADVICE, "seat-eats", f"the seat alone takes {drop:.0f} K at the usual plate", mend, "yovanovich-gap")


def _hot_joint(look: Look) -> Iterator[Finding]:
    seen = look.solved.usual_point.seen
    hot = seen[Seen.hot_plate] - seen[Seen.hot_face]
    if hot > JOINT_DROP:
        yield Finding(
            ADVICE, "joint-eats", f"the joint under the modules takes {hot:.0f} K at the usual plate",
            "fresh compound, flatter faces, or the clamp pressure the module's maker asks for", "prasher-2003",
        )  # fmt: skip


def _clamp(look: Look) -> Iterator[Finding]:
    pressure = look.build.clamp_pressure.value
    for use in look.build.modules:
        low, high = use.part.pressure_low.value, use.part.pressure_high.value
        if not 0.7 * low <= pressure <= 1.3 * high:
            yield Finding(
                ADVICE, "clamp-pressure",
                f"the clamp presses {pressure / 1e6:.1f} MPa; {use.part.name} wants {low / 1e6:.1f} to {high / 1e6:.1f} MPa",
                "tighten the screws evenly to the middle of that range", use.part.sources.get("pressure_low", "given"),
            )  # fmt: skip


def _unlike(look: Look) -> Iterator[Finding]:
    if len(look.build.modules) > 1:
        row = look.solved.kind_power(look.build.stove.usual_plate.value)
        for use, watts in zip(look.build.modules, row, strict=True):
            if watts < -1e-4:
                yield Finding(
                    FAULT, "dragged-module",
                    f"{use.part.name} is dragged along by the others and eats {-watts:.2f} W",
                    "wire like modules together, or leave it out", "ioffe-1957",
                )  # fmt: skip


def _unmeasured(look: Look) -> Iterator[Finding]:
    names = [use.part.name for use in look.build.modules if "bench" not in use.part.sources.values()]
    if names and all(use.part.origin == "catalogue" for use in look.build.modules):
        yield Finding(
            ADVICE, "not-measured",
            f"the module ({', '.join(names)}) is a guess from the catalogue: its power may be off by a quarter and more",
            "measure open volts and ohms between a kettle and ice water, and write them into the build", "round-robin",
        )  # fmt: skip


RULES: tuple[Rule, ...] = (
    _modules, _other_parts, _element, _outcome, _start, _air, _hunting, _guard, _unlike, _screws, _seat, _hot_joint, _clamp,
    _unmeasured,
)  # fmt: skip


def findings(solved: Headline) -> list[Finding]:
    """Everything to say about a solved build, dangers first.

    Args:
        solved: a solved build.

    Returns:
        Findings in the order danger, fault, advice.
    """
    look = Look(solved.build, solved, margins(solved), Workbench(solved.build))
    found = [finding for rule in RULES for finding in rule(look)]
    return sorted(found, key=lambda one: SEVERITIES.index(one.severity))
