"""What fits what, mechanically: every reason for which a combination falls, from the build's own checks.

The checks are asked once for each pair or handful of options that they look at, never for each combination; what they say
is kept in small tables, and the combinations are looked up in them a million at a time.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ...build import Build, geometry
from ...build.bin_build import Choice, Maker, Mix, free_length
from ...build.bin_sections import Item, ScrewSet
from ...build.checks import impossible
from ...build.sections import Slab
from .options import Options, too_many

Ints = NDArray[np.int64]
CLEAR = 2e-3  # m; as the build's own check: less than that and the blade strikes the stove plate
DRILLED = 25e-3  # m; the widest common drill with a reduced shank; a wider pocket is bored in a lathe
THREAD = 1.5  # times the screw's diameter that it must reach into the metal

FITS = 0
REASONS = (
    "fits",
    "it has no guard, and one is wished",
    "a tool is wanted that is not there",
    "more kinds of module or strings than a build can describe",
    "one plate cannot be hot plate and spreader at once",
    "the hot plate is less than half as wide as the riser",
    "the modules are wider than the plate below them",
    "the modules are wider than the plate above them",
    "the modules' corners hang over the round riser",
    "the bush does not go with the screws, or there are too few",
    "the clamp screws meet the modules, each other or an edge",
    "the clamp screws are too short",
    "the guard's element or pin finds no place",
    "the blade would strike the stove plate",
)
NO_GUARD, TOOL, MANY, TWICE, NARROW, LOW, HIGH, CORNERS, BUSH, SCREWS, SHORT, ELEMENT, STRIKES = range(1, len(REASONS))


class Fits:
    """Tables of what fits what, for one bin."""

    def __init__(self, options: Options) -> None:
        self.options, self.maker = options, Maker(options.bin)
        self.bin = options.bin
        counts: dict[tuple[tuple[int, int], ...], int] = {}
        self.set_of = np.array([counts.setdefault(mix.uses, len(counts)) for mix in options.mixes], np.int64)
        self.sets = list(counts)
        self.bar_of = np.array([bar for bar, _ in options.risers], np.int64)
        self.bars = sorted(set(self.bar_of.tolist()))
        self.first_riser = [int(np.flatnonzero(self.bar_of == bar)[0]) for bar in self.bars]
        self.bar_row = np.searchsorted(self.bars, self.bar_of)
        self._choices()
        self._pairs()
        self._guards()
        self._heights()

    def sample(self, **parts: int) -> Choice:
        """A choice with the given options and the first of every other axis; no guard."""
        names = ("mix", "motor", "blade", "sink", "riser", "hot_plate", "spreader", "screws", "guard")
        return self.options.choice(np.array([parts.get(name, 0) for name in names], np.int64))

    def _choices(self) -> None:
        """What one axis shows alone."""
        o, tools = self.options, set(self.bin.wishes.tools)
        self.many = np.array([too_many(mix) for mix in o.mixes])
        saw = [length < self.bin.of("bar")[bar].thing.length - 1e-9 for bar, length in o.risers]
        self.riser_tool = np.array(saw) & ("saw" not in tools)
        screwed = bool(o.screws[0][0] >= 0)
        self.screw_tool = np.full(len(o.screws), screwed and not {"drill press", "taps"} <= tools)
        self.guard_tool, self.no_guard = np.zeros(len(o.guards), bool), np.zeros(len(o.guards), bool)
        for i, (way, place, _) in enumerate(o.guards):
            if way < 0:
                self.no_guard[i] = self.bin.wishes.must_guard
                continue
            wide = self.bin.of("element")[place].thing.diameter.value
            if self.bin.guards[way].guard.held_in == "riser":
                self.guard_tool[i] = ("drill press" if wide <= DRILLED else "lathe") not in tools
        self.bush = np.zeros(len(o.screws), bool)
        for i, (place, bush) in enumerate(o.screws):
            if bush >= 0:
                kept, item = self.bin.of("screws")[place].thing, self.bin.of("bush")[bush]
                play = item.thing.inner.value - kept.part.diameter.value
                self.bush[i] = not 0.0 <= play < 0.8e-3 or item.count < kept.count

    def _pairs(self) -> None:
        """Modules and screws between every pair of plates."""
        o = self.options
        shape = (len(self.sets), len(self.bars), len(o.hot_plates), len(self.bin.of("sink")), len(o.spreaders))
        self.modules = np.zeros(shape, np.int8)
        self.screws = np.zeros((*shape, len(o.screws)), bool)
        self.narrow = np.zeros((len(self.bars), len(o.hot_plates)), bool)
        self.reach = np.full((*shape[1:], len(o.screws)), np.inf)
        for at in np.ndindex(shape):
            made = self._stack(self.sets[at[0]], self.first_riser[at[1]], at[2], at[3], at[4], 0)
            problems = impossible(replace(made, screws=None), [])
            self.narrow[at[1], at[2]] |= any(one.place == "hot_plate" for one in problems)
            said = [one.says for one in problems if one.place == "modules"]
            if said:
                below, above = any("below them" in one for one in said), any("above them" in one for one in said)
                self.modules[at] = LOW if below else HIGH if above else CORNERS
                continue
            for k in range(len(o.screws)):
                held = self._stack(self.sets[at[0]], self.first_riser[at[1]], at[2], at[3], at[4], k)
                if held.screws is not None:
                    bare = replace(held, screws=replace(held.screws, bush=None))
                    self.screws[(*at, k)] = any(one.place.startswith("screws") for one in impossible(bare, []))
                    self.reach[(*at[1:], k)] = min(np.hypot(*place) for place in geometry.screw_places(held.screws))

    def _stack(self, uses: tuple[tuple[int, int], ...], riser: int, hot: int, sink: int, spreader: int, screws: int) -> Build:
        """A build for the checks of modules and screws; its wiring, drive and guard do not matter."""
        mix = Mix(uses, (tuple(number for _, number in uses),))
        choice = self.sample(riser=riser, hot_plate=hot, sink=sink, spreader=spreader, screws=screws)
        return self.maker.build(choice._replace(mix=mix))

    def _guards(self) -> None:
        """The element and its pin in every riser, with and without hot plate and spreader; pockets that screws may meet."""
        o = self.options
        self.element = np.zeros((len(o.guards), len(o.risers), 2, 2), bool)
        self.pocket = np.zeros((len(o.guards), len(o.screws)))
        for i, (way, place, _) in enumerate(o.guards):
            if way < 0:
                continue
            guard, element = self.bin.guards[way].guard, self.bin.of("element")[place].thing
            if guard.held_in == "riser" and guard.kind == "central lift":
                for k in range(len(o.screws)):
                    screws = self.maker.build(self.sample(screws=k)).screws
                    if screws is not None:
                        self.pocket[i, k] = 0.5 * (element.diameter.value + screws.hole.value)
            for r in range(len(o.risers)):
                made = replace(self.maker.build(self.sample(riser=r, guard=i)), screws=None)
                slab = made.hot_plate or made.spreader or self._any_slab()
                for h, s in np.ndindex(2, 2):
                    tried = replace(made, hot_plate=slab if h else None, spreader=slab if s else None)
                    said = [one.place for one in impossible(tried, [])]
                    self.element[i, r, h, s] = any(place.startswith("guard") for place in said)

    def _any_slab(self) -> Slab | None:
        plates: tuple[Item, ...] = self.bin.of("plate")
        slab: Slab | None = plates[0].thing.slab if plates else None
        return slab

    def _heights(self) -> None:
        """Heights in the stack, for the blade and for the screws."""
        o, bin = self.options, self.bin
        plates = [0.0 if place < 0 else bin.of("plate")[place].thing.slab.thickness.value for place in o.hot_plates]
        self.low = np.array([length for _, length in o.risers])[:, None] + np.array(plates)[None, :]
        thick = [max(bin.of("module")[place].thing.thickness.value for place, _ in mix.uses) for mix in o.mixes]
        self.thick = np.array(thick)
        spreads = [0.0 if place < 0 else bin.of("plate")[place].thing.slab.thickness.value for place in o.spreaders]
        boxes = [geometry.sink_box(self.maker.build(self.sample(sink=k)))[2] for k in range(len(bin.of("sink")))]
        self.high = np.array(spreads)[None, :] + np.array(boxes)[:, None]
        self.radius = np.array([0.5 * item.thing.diameter.value for item in bin.of("blade")])
        self.free = np.zeros((len(bin.of("sink")), len(o.spreaders), len(o.screws)))
        for at in np.ndindex(self.free.shape):
            made = self.maker.build(self.sample(sink=at[0], spreader=at[1], screws=at[2]))
            self.free[at] = free_length(made) - geometry.module_thickness(made)
        self.longest = np.full(len(o.screws), np.inf)
        for k, (place, _) in enumerate(o.screws):
            if place >= 0:
                kept: ScrewSet = bin.of("screws")[place].thing
                if kept.length is not None:
                    self.longest[k] = kept.length - THREAD * kept.part.diameter.value

    def hubs(self, rows: Ints) -> NDArray[np.float64]:
        """Height of the blade's hub for each row of options, m."""
        low, high = self.low[rows[:, 4], rows[:, 5]], self.high[rows[:, 3], rows[:, 6]]
        found: NDArray[np.float64] = np.floor((low + self.thick[rows[:, 0]] + high + self.bin.hub_above) * 1e3 + 0.5) * 1e-3
        return found

    def reasons(self, rows: Ints) -> NDArray[np.int8]:
        """For each row of options, the first reason for which it falls; `FITS` where there is none.

        Args:
            rows: options of each axis, (m, axes). [-]

        Returns:
            Places in `REASONS`, (m).
        """
        mix, _, blade, sink, riser, hot, spreader, screws, guard = rows.T
        bar, sets = self.bar_row[riser], self.set_of[mix]
        found = np.zeros(len(rows), np.int8)

        def fall(reason: int, falls: NDArray[np.bool_]) -> None:
            found[(found == FITS) & falls] = reason

        fall(NO_GUARD, self.no_guard[guard])
        fall(TOOL, self.riser_tool[riser] | self.screw_tool[screws] | self.guard_tool[guard])
        fall(MANY, self.many[mix])
        hot_place, spread_place = np.array(self.options.hot_plates)[hot], np.array(self.options.spreaders)[spreader]
        fall(TWICE, (hot_place >= 0) & (hot_place == spread_place) & (self._plates(hot_place) < 2))
        fall(NARROW, self.narrow[bar, hot])
        modules = self.modules[sets, bar, hot, sink, spreader]
        for reason in (LOW, HIGH, CORNERS):
            fall(reason, modules == reason)
        fall(BUSH, self.bush[screws])
        pockets = (hot_place < 0) & (self.reach[bar, hot, sink, spreader, screws] < self.pocket[guard, screws])
        fall(SCREWS, self.screws[sets, bar, hot, sink, spreader, screws] | pockets)
        fall(SHORT, self.free[sink, spreader, screws] + self.thick[mix] > self.longest[screws])
        fall(ELEMENT, self.element[guard, riser, (hot_place >= 0).astype(int), (spread_place >= 0).astype(int)])
        fall(STRIKES, self.hubs(rows) - self.radius[blade] < CLEAR)
        return found

    def _plates(self, places: Ints) -> Ints:
        """How many there are of each plate; none counts as many."""
        counts = np.array([item.count for item in self.bin.of("plate")] or [1], np.int64)
        return np.where(places >= 0, counts[np.maximum(places, 0)], 99)
