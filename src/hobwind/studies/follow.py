"""Somebody's build with the parts on hand: what comes nearest, what to saw or wire differently, and what becomes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from ..build import Build, geometry
from ..build.bin_build import Choice
from ..build.bin_sections import Bin, Item
from ..errors import SolveError
from ..parts.kinds import Module
from . import nearest
from .compare import Comparison, laid_side_by_side
from .headline import AIR_AT, headline
from .pick.fits import FITS
from .pick.judging import sieved_sample
from .pick.options import AXES, Options, Space
from .pick.sieve import Sieve
from .pick.words import wiring
from .verdict import Verdict, verdict

Ints = NDArray[np.int64]
# What is let go of, first what changes a fan least, when the nearest parts do not go together.
LET_GO = ("screws", "spreader", "hot_plate", "riser", "guard", "sink", "mix")
WORDS = {
    "screws": "screws and bushes", "spreader": "spreader", "hot_plate": "hot plate", "riser": "riser", "guard": "guard",
    "sink": "sink", "mix": "modules and wiring",
}  # fmt: skip
MOST_LOOKED = 5_000_000  # combinations of one set of freed axes
NONE = "none"


@dataclass(frozen=True)
class Match:
    """One part of theirs, what is on hand for it, the differences in figures, and how far apart they are. [-]"""

    what: str
    theirs: str
    on_hand: str
    differences: tuple[str, ...]
    apart: float


@dataclass(frozen=True)
class Followed:
    """Their build (on the follower's stove) and ours: matches, what had to be let go of, what to do, and the verdict."""

    theirs: Build
    bin: Bin
    seed: int
    choice: Choice
    matches: tuple[Match, ...]
    let_go: tuple[str, ...]
    todo: tuple[str, ...]
    judged: Verdict
    comparison: Comparison
    text: str


class _Nearest:
    """The nearest parts on hand for each part of a build."""

    def __init__(self, build: Build, options: Options) -> None:
        self.build, self.options, self.bin = build, options, options.bin

    def items(self, kind: str) -> tuple[Item, ...]:
        return self.bin.of(kind)

    def ranked(self, kind: str, compare: Callable[[Item], nearest.Figures]) -> list[int]:
        """Places of one kind on hand, nearest first."""
        items = self.items(kind)
        found = nearest.nearest(len(items), lambda place: compare(items[place]), lambda place: items[place].price is None)
        return [place for _, place in found]

    def first(self, kind: str, compare: Callable[[Item], nearest.Figures]) -> int:
        """The nearest of one kind; -1 where there is none."""
        return next(iter(self.ranked(kind, compare)), -1)

    def modules(self) -> tuple[tuple[int, int], ...]:
        """Entries of the bin with counts, as many modules as theirs where there are so many."""
        left = {place: item.count for place, item in enumerate(self.items("module")) if item.price is None}
        taken: dict[int, int] = {}
        for use in self.build.modules:
            wanted = use.count

            def apart(item: Item, part: Module = use.part) -> nearest.Figures:
                return nearest.modules(part, item.thing)

            for place in self.ranked("module", apart):
                number = min(wanted, left[place], self.bin.wishes.most_modules - sum(taken.values()))
                if number > 0:
                    taken[place] = taken.get(place, 0) + number
                    left[place] -= number
                    wanted -= number
        return tuple(sorted(taken.items()))

    def mixes(self) -> Ints:
        """Options of modules: those nearest, wired as theirs where that can be done, else in every way."""
        uses, rows = self.modules(), self.options.mixes
        same = [i for i, mix in enumerate(rows) if mix.uses == uses]
        theirs = sorted(sum(string) for string in self.build.wiring.strings)
        alike = [i for i in same if sorted(sum(string) for string in rows[i].strings) == theirs]
        return np.array(alike or same, np.int64)

    def risers(self) -> Ints:
        """Options of the riser: the nearest bar at its nearest length."""
        wanted = geometry.riser_height(self.build)
        whole = replace(self.build.riser[0], length=replace(self.build.riser[0].length, value=wanted))
        bar = self.first("bar", lambda item: nearest.bars(whole, item.thing))
        mine = [i for i, (place, _) in enumerate(self.options.risers) if place == bar]
        return np.array([min(mine, key=lambda i: abs(self.options.risers[i][1] - wanted))], np.int64)

    def slab(self, axis: str) -> Ints:
        """Options of hot plate or spreader: the nearest, or none where theirs has none."""
        places = self.options.hot_plates if axis == "hot_plate" else self.options.spreaders
        theirs = getattr(self.build, axis)
        if theirs is None:
            return np.array([0], np.int64)
        rows = [
            (nearest.apart(nearest.plates(theirs, self.items("plate")[p].thing)), i) for i, p in enumerate(places) if p >= 0
        ]
        return np.array([min(rows)[1] if rows else 0], np.int64)

    def screws(self) -> Ints:
        """Options of screws: the nearest, bushed where theirs are."""
        theirs, rows = self.build.screws, self.options.screws
        if theirs is None or rows[0][0] < 0:
            return np.array([0], np.int64)
        place = self.first("screws", lambda item: nearest.screws(theirs, item.thing))
        bush = -1
        if theirs.bush is not None:
            wanted = theirs.bush
            bush = self.first("bush", lambda item: nearest.bushes(wanted, item.thing))
        return np.array([rows.index((place, bush)) if (place, bush) in rows else 0], np.int64)

    def guards(self) -> Ints:
        """Options of the guard: their kind in their place by the nearest element."""
        theirs, rows = self.build.guard, self.options.guards
        if theirs.element is None or len(rows) == 1:
            return np.array([0], np.int64)
        wax = theirs.element
        place = self.first("element", lambda item: nearest.elements(wax, item.thing))
        share = theirs.element_height.value / geometry.riser_height(self.build)

        def off(i: int) -> tuple[bool, bool, float]:
            known = self.bin.guards[rows[i][0]].guard
            return known.kind != theirs.kind, known.held_in != theirs.held_in, abs(rows[i][2] - share)

        mine = [i for i, (_, element, _) in enumerate(rows) if element == place]
        return np.array([min(mine, key=off)] if mine else [0], np.int64)

    def allowed(self) -> dict[str, Ints]:
        """The options left on each axis."""
        one = {
            "motor": self.first("motor", lambda item: nearest.motors(self.build.motor, item.thing)),
            "blade": self.first("blade", lambda item: nearest.blades(self.build.blade.part, item.thing)),
            "sink": self.first("sink", lambda item: nearest.sinks(self.build, self.build.sink, item.thing)),
        }
        found = {axis: np.array([place], np.int64) for axis, place in one.items()}
        return found | {
            "mix": self.mixes(), "riser": self.risers(), "hot_plate": self.slab("hot_plate"),
            "spreader": self.slab("spreader"), "screws": self.screws(), "guard": self.guards(),
        }  # fmt: skip


def follow(build: Build, bin: Bin, seed: int = 1) -> Followed:
    """Rebuild somebody's fan with what is on hand.

    Args:
        build: theirs.
        bin: ours; its stove and wishes count.
        seed: kept for the report; nothing is drawn unless the bin is huge. [-]

    Returns:
        Matches, what to do, and the verdict of the rebuilt fan beside theirs on the same stove.

    Raises:
        SolveError: nothing on hand makes a fan.
    """
    options = Options(bin)
    sieve, near = Sieve(options), _Nearest(build, options)
    whole, wanted = options.spaces()[0], near.allowed()
    space, let_go = _fitting(sieve, whole, wanted)
    sieved = sieve.run([space], None, seed, MOST_LOOKED, None)
    if not len(sieved.rows):
        raise SolveError("no fan made of the nearest parts comes to rest; see what the bin can become with: hobwind pick")
    sample = sieved_sample(options, sieved.rows, sieved.space, sieved.figures)
    choice = options.choice(sieved.rows[sample.order()[0]])
    rebuilt = replace(sieve.fits.maker.build(choice), name=f"{build.name}, followed"[:80])
    judged = verdict(rebuilt)
    theirs = replace(build, stove=bin.base.stove)
    matches = _matches(build, bin, choice)
    return Followed(
        theirs=build,
        bin=bin,
        seed=seed,
        choice=choice,
        matches=matches,
        let_go=tuple(WORDS[axis] for axis in let_go),
        todo=tuple(_todo(build, bin, choice, rebuilt)),
        judged=judged,
        comparison=laid_side_by_side(headline(theirs, AIR_AT), judged.solved),
        text=sieve.fits.maker.text(choice, f"{build.name} followed with what is on hand"),
    )


def _fitting(sieve: Sieve, whole: Space, wanted: dict[str, Ints]) -> tuple[Space, tuple[str, ...]]:
    """The space of the nearest parts, with as few axes let go of as it takes until something fits."""
    for number in range(len(LET_GO) + 1):
        for freed in combinations(LET_GO, number):
            allowed = tuple(whole.allowed[i] if axis in freed else wanted[axis] for i, axis in enumerate(AXES))
            space = Space(allowed, None)
            if not space.size or space.size > MOST_LOOKED:
                continue
            for start in range(0, space.size, 200_000):
                rows = space.places(np.arange(start, min(start + 200_000, space.size), dtype=np.int64))
                if (sieve.fits.reasons(rows) == FITS).any():
                    return space, freed
    raise SolveError("nothing on hand makes a fan that fits together; the reasons are counted by: hobwind pick")


def _matches(build: Build, bin: Bin, choice: Choice) -> tuple[Match, ...]:
    found = []

    def add(what: str, theirs: str, item: Item | None, figures: nearest.Figures) -> None:
        mine = NONE if item is None else item.name
        found.append(Match(what, theirs, mine, nearest.told(figures), nearest.apart(figures)))

    taken = [(bin.of("module")[place], count) for place, count in choice.mix.uses]
    theirs = [use for use in build.modules for _ in range(use.count)]
    ours = [item for item, count in taken for _ in range(count)]
    pairs: dict[tuple[str, str], int] = {}
    kept: dict[tuple[str, str], nearest.Figures] = {}
    for their_use, my_item in zip(theirs, ours, strict=False):
        key = (their_use.part.name, my_item.name)
        pairs[key] = pairs.get(key, 0) + 1
        kept[key] = nearest.modules(their_use.part, my_item.thing)
    for key, count in pairs.items():
        figures = kept[key]
        found.append(
            Match("module", f"{count} x {key[0]}", f"{count} x {key[1]}", nearest.told(figures), nearest.apart(figures))
        )
    if len(theirs) != len(ours):
        found.append(Match("module", f"{len(theirs)} modules", f"{len(ours)} modules", (), 1.0))
    motor, blade, sink, bar = (
        bin.of(k)[i]
        for k, i in (("motor", choice.motor), ("blade", choice.blade), ("sink", choice.sink), ("bar", choice.riser[0]))
    )
    add("motor", build.motor.part.name, motor, nearest.motors(build.motor, motor.thing))
    add("blade", build.blade.part.name, blade, nearest.blades(build.blade.part, blade.thing))
    add("sink", build.sink.part.name, sink, nearest.sinks(build, build.sink, sink.thing))
    sawn = replace(bar.thing, lengths=(choice.riser[1],))
    add("riser", build.riser[0].material.name, bar, nearest.bars(build.riser[0], sawn))
    for what, place in (("hot_plate", choice.hot_plate), ("spreader", choice.spreader)):
        slab, item = getattr(build, what), None if place < 0 else bin.of("plate")[place]
        if slab is not None or item is not None:
            figures = nearest.plates(slab, item.thing) if slab is not None and item is not None else []
            add(what.replace("_", " "), NONE if slab is None else slab.material.name, item, figures)
    if build.screws is not None or choice.screws[0] >= 0:
        item = None if choice.screws[0] < 0 else bin.of("screws")[choice.screws[0]]
        figures = nearest.screws(build.screws, item.thing) if build.screws is not None and item is not None else []
        add("screws", NONE if build.screws is None else build.screws.part.name, item, figures)
        their_bush = build.screws.bush if build.screws is not None else None
        item = None if choice.screws[1] < 0 else bin.of("bush")[choice.screws[1]]
        if their_bush is not None or item is not None:
            figures = nearest.bushes(their_bush, item.thing) if their_bush is not None and item is not None else []
            add("bush", NONE if their_bush is None else their_bush.name, item, figures)
    element = build.guard.element
    item = None if choice.guard[0] < 0 else bin.of("element")[choice.guard[1]]
    if element is not None or item is not None:
        figures = nearest.elements(element, item.thing) if element is not None and item is not None else []
        add("wax element", NONE if element is None else element.name, item, figures)
    return tuple(found)


def _todo(build: Build, bin: Bin, choice: Choice, rebuilt: Build) -> list[str]:
    """What to saw, drill, wire and set, and where that differs from theirs."""
    bar, tall = bin.of("bar")[choice.riser[0]], choice.riser[1]
    theirs = geometry.riser_height(build)
    as_theirs = "as theirs" if abs(theirs - tall) < 5e-4 else f"theirs is {theirs * 1e3:.0f} mm"
    whole = tall >= bar.thing.length - 1e-9
    lines = [f"{'use' if whole else 'saw'} the {bar.name} {'whole, ' if whole else 'to '}{tall * 1e3:.0f} mm ({as_theirs})"]
    if choice.mix.count > 1:
        same = sorted(map(sum, build.wiring.strings)) == sorted(map(sum, choice.mix.strings))
        lines.append(f"wire the modules {wiring(bin, choice)}{' (as theirs)' if same else ', unlike theirs'}")
    screws = rebuilt.screws
    if screws is not None:
        where = "as on its sheet"
        if screws.circle is not None:
            where = f"on a circle of {screws.circle.value * 1e3:.1f} mm"
        elif screws.across is not None and screws.along is not None:
            where = f"{screws.across.value * 1e3:.1f} x {screws.along.value * 1e3:.1f} mm apart"
        bushed = "bushes under the heads" if screws.bush else "no bushes"
        lines.append(f"drill {screws.count} holes of {screws.hole.value * 1e3:.1f} mm {where}; {bushed}")
    hub, their_hub = rebuilt.blade.height.value, build.blade.height.value
    lines.append(f"set the blade's hub {hub * 1e3:.0f} mm above the plate (theirs {their_hub * 1e3:.0f} mm)")
    guard, their_guard = rebuilt.guard, build.guard
    if guard.element is not None:
        differs = guard.held_in != their_guard.held_in or guard.kind != their_guard.kind
        place = "on a foot of its own on the plate" if guard.held_in == "plate" else f"in the {guard.held_in}"
        lines.append(f"hold the element {place} ({guard.kind}){', unlike theirs' if differs else ''}")
    return lines
