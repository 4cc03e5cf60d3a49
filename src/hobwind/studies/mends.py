"""Changes to a build that a maker can carry out, each tried on the whole model before it is advised.

A kind of change is a function from a build to changed builds and what to say of each. What cannot be made is not tried.
Candidates are solved with a coarser map than the verdict's own; their figures are those of the same evenings.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from ..build import Build, geometry
from ..build.checks import impossible
from ..build.guide import fitted_beside
from ..build.pin import SHORTEST_PIN, enough_over_travel, heights_in_riser, in_riser, least_wait, sink_height, with_pin
from ..build.sections import Guard
from ..parts.catalogue import Shelf
from ..parts.kinds import Compound, Sheet
from ..units import plain
from .by_hand import WAIT_OFF, by_hand
from .file_keys import changed_keys
from .headline import Headline, headline

COARSE, SPARSE = 16, 60.0  # plates of a candidate's map; seconds between the kept states of its evenings
MOST_SOLVES = 64
# What bears more than white grease in a joint under the modules; both lead electricity, which ceramic faces mind not. Source: practice
HARDY = (("compound", "anti-seize copper paste"), ("sheet", "graphite sheet"))
OWN_FOOT_HIGH = 0.02  # m; height of an element on a foot of its own on the plate


Changes = Iterator[tuple[str, Build]]
Change = Callable[[Build], Changes]


@dataclass(frozen=True)
class Tried:
    """One change carried out: how to say it, and what it leads to."""

    says: str
    solved: Headline
    keys: tuple[str, ...]


class Workbench:
    """Tries changes for one verdict, and counts how many builds it has solved."""

    def __init__(self, build: Build) -> None:
        self.build = build
        self.known: dict[str, Tried] = {}
        self.exact: dict[str, Tried] = {}

    def try_out(self, says: str, changed: Build) -> Tried | None:
        """Solve a changed build; None when it cannot be made or enough has been tried."""
        if says in self.known:
            return self.known[says]
        if len(self.known) >= MOST_SOLVES or impossible(changed, []):
            return None
        rough = headline(changed, at=(), points=COARSE, every=SPARSE, looks=1)
        self.known[says] = Tried(says, rough, changed_keys(self.build, changed))
        return self.known[says]

    def confirm(self, tried: Tried) -> Tried:
        """The same change, solved as finely as the verdict itself, so that it is judged by the same figures."""
        if tried.says not in self.exact:
            self.exact[tried.says] = replace(tried, solved=headline(tried.solved.build, at=()))
        return self.exact[tried.says]

    def first_of(self, build: Build, changes: Iterable[Change], good: Callable[[Headline], bool]) -> Tried | None:
        """The first change of the first kind after which `good` holds."""
        return next((tried for change in changes if (tried := self.first(change(build), good)) is not None), None)

    def first(self, changes: Changes, good: Callable[[Headline], bool]) -> Tried | None:
        """The first change after which `good` holds."""
        for says, changed in changes:
            tried = self.try_out(says, changed)
            if tried is not None and good(tried.solved) and good(self.confirm(tried).solved):
                return self.confirm(tried)
        return None

    def best(self, changes: Changes, score: Callable[[Headline], float]) -> Tried | None:
        """The change with the highest score."""
        tried = [one for one in (self.try_out(*change) for change in changes) if one is not None]
        return self.confirm(max(tried, key=lambda one: score(one.solved))) if tried else None


def riser_length(build: Build, length: float) -> Build:
    """The same build with its tallest riser part cut so that the whole riser is `length` metres."""
    longest = max(range(len(build.riser)), key=lambda i: build.riser[i].length.value)
    part = build.riser[longest]
    grown = part.length.value + length - geometry.riser_height(build)
    parts = list(build.riser)
    parts[longest] = replace(part, length=replace(part.length, value=grown))
    moved = length - geometry.riser_height(build)
    blade = replace(build.blade, height=replace(build.blade.height, value=build.blade.height.value + moved))
    guard = build.guard
    if guard.element is not None and guard.held_in != "plate":
        if guard.held_in == "riser":
            high = round(guard.element_height.value / geometry.riser_height(build) * length, 4)
            guard = in_riser(replace(guard, element_height=plain(high)))
        else:
            guard = with_pin(guard, max(guard.pin_length.value + moved, SHORTEST_PIN))
    return replace(build, riser=tuple(parts), blade=blade, guard=guard)


def longer_risers(build: Build) -> Changes:
    """Longer risers, from fresh bar."""
    return _risers(build, (1.1, 1.2, 1.35, 1.5, 1.75, 2.0, 2.5), "cutting a riser of {:.0f} mm from fresh bar")


def shorter_risers(build: Build) -> Changes:
    """Shorter risers, sawn from this one."""
    return _risers(build, (0.9, 0.8, 0.7, 0.6, 0.5, 0.4), "sawing the riser to {:.0f} mm")


def _risers(build: Build, shares: tuple[float, ...], says: str) -> Changes:
    """Risers of whole millimetres, stepping away from the present length."""
    now = geometry.riser_height(build)
    for share in shares:
        length = round(now * share * 1e3) * 1e-3
        if 0.012 <= length <= 0.25:
            yield says.format(length * 1e3), riser_length(build, length)


def element_places(build: Build) -> Changes:
    """Other places for the wax element."""
    guard = build.guard
    if guard.element is None:
        return
    for height in heights_in_riser(build, guard.element.length.value, guard.lost_motion.value):
        moved = in_riser(replace(guard, held_in="riser", element_height=plain(height)))
        yield f"holding the element in the riser at {height * 1e3:.0f} mm", replace(build, guard=moved)
    in_sink = with_pin(replace(guard, held_in="sink"), sink_height(build))
    yield "holding the element in the sink", replace(build, guard=in_sink)
    foot = replace(build, guard=replace(guard, held_in="plate", element_height=plain(OWN_FOOT_HIGH)))
    yield "giving the element a foot of its own on the stove plate", replace(foot, guard=fitted_beside(foot))


def elements(build: Build) -> Changes:
    """Elements of other opening temperatures from the catalogue."""
    if build.guard.element is None:
        return
    shelf = Shelf(None)
    for name in shelf.names("wax"):
        part = shelf.find("wax", name)
        yield f'an element "{name}"', replace(build, guard=replace(build.guard, element=part))


def with_guard(build: Build) -> Changes:
    """A central lift with a catalogue element: half way up what the riser has room for, or in the sink."""
    if build.guard.kind != "none":
        return
    shelf = Shelf(None)
    for name in ("wax 95", "wax 88", "wax 82", "wax 77", "wax 71", "wax 60"):
        part = shelf.find("wax", name)
        guard = replace(
            build.guard, kind="central lift", element=part,
            stop=plain(min(build.guard.stop.value, 6e-3)),
        )  # fmt: skip
        guard = replace(guard, over_travel=plain(enough_over_travel(guard)))
        heights = heights_in_riser(build, part.length.value, guard.lost_motion.value)
        if heights:
            high = heights[len(heights) // 2]
            held = _waits(in_riser(replace(guard, held_in="riser", element_height=plain(high))))
            yield f'a guard (central lift, "{name}" in the riser at {high * 1e3:.0f} mm)', replace(build, guard=in_riser(held))
        held = _waits(with_pin(replace(guard, held_in="sink"), sink_height(build)))
        held = with_pin(held, held.pin_length.value)
        yield f'a guard (central lift, "{name}" in the sink)', replace(build, guard=held)


def _waits(guard: Guard) -> Guard:
    """With a lost motion that its pin's tolerances cannot use up."""
    longer = max(guard.lost_motion.value, round(least_wait(guard) + 1e-4, 4))
    return replace(guard, lost_motion=by_hand(guard.lost_motion, longer, WAIT_OFF))


def bushes(build: Build) -> Changes:
    """Insulating bushes under the clamp screws' heads."""
    screws = build.screws
    if screws is None or screws.bush is not None:
        return
    shelf = Shelf(None)
    name = f"PEEK bush {screws.part.thread}"
    if name in shelf.names("bush"):
        part = shelf.find("bush", name)
        hole = plain(max(screws.hole.value, part.outer.value + 2e-4))
        yield f"{screws.count} insulating bushes", replace(build, screws=replace(screws, bush=part, hole=hole))


def wirings(build: Build) -> Changes:
    """All modules in series, or all in parallel."""
    counts = [use.count for use in build.modules]
    if sum(counts) < 2:
        return
    series = (tuple(counts),)
    parallel = tuple(
        tuple(1 if k == kind else 0 for k in range(len(counts))) for kind in range(len(counts)) for _ in range(counts[kind])
    )
    if build.wiring.arrangement != "series":
        yield (
            "wiring the modules in series",
            replace(build, wiring=replace(build.wiring, arrangement="series", strings=series)),
        )
    if build.wiring.arrangement != "parallel" and len(parallel) <= 8:
        yield (
            "wiring the modules in parallel",
            replace(build, wiring=replace(build.wiring, arrangement="parallel", strings=parallel)),
        )


def motors(build: Build) -> Changes:
    """Other motors of the catalogue."""
    shelf = Shelf(None)
    for name in shelf.names("motor"):
        part = shelf.find("motor", name)
        if part.name != build.motor.part.name:
            yield f'another motor such as "{name}"', replace(build, motor=replace(build.motor, part=part))


def lapped(build: Build) -> Changes:
    """Foot lapped on glass; fresh compound and lapped faces at the modules."""
    flat = replace(build.seat, flatness=plain(min(build.seat.flatness.value, 0.03e-3)))
    yield "lapping the foot to 0.03 mm", replace(build, seat=flat)


def fills(build: Build) -> Changes:
    """What bears more heat than that which lies under the modules now, where a joint runs hottest."""
    joint, shelf = build.joint.hot, Shelf(None)
    now = joint.fill
    if now is None or now.limit is None:
        return
    for kind, name in HARDY:
        part: Compound | Sheet = shelf.find("compound", name) if kind == "compound" else shelf.find("sheet", name)
        if part.limit is not None and part.limit.value > now.limit.value:
            filled = replace(build.joint, hot=replace(joint, fill=part))
            yield f"{name} under the modules instead of {now.name}", replace(build, joint=filled)


def modules(build: Build) -> Changes:
    """Modules of the same size that bear more heat, from the catalogue."""
    if len(build.modules) != 1:
        return
    use, shelf = build.modules[0], Shelf(None)
    for name in shelf.names("module"):
        part = shelf.find("module", name)
        bears = min(part.hot_limit.value, part.solder.value)
        same = abs(part.width.value - use.part.width.value) < 2e-3 and part.name != use.part.name
        if same and bears > min(use.part.hot_limit.value, use.part.solder.value):
            count = "the module" if use.count == 1 else "each module"
            yield f'replacing {count} by "{name}"', replace(build, modules=(replace(use, part=part),))
