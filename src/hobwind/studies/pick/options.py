"""Every combination of a bin as a whole number: the options along each axis, and the spaces they span.

A space is a product of axes; a combination is its place in that product, so a million of them are a million integers.
The first space holds what is on hand. Each part that may be bought adds spaces of the combinations that use it, and no
other bought part.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ...build.bin_build import Choice, Mix, plates_of
from ...build.bin_sections import HOT_PLATE, SPREADER, Bin
from ...stack.fields import MOST_KINDS, MOST_STRINGS

Ints = NDArray[np.int64]
AXES = ("mix", "motor", "blade", "sink", "riser", "hot_plate", "spreader", "screws", "guard")
Strings = tuple[tuple[int, ...], ...]


def divisions(counts: tuple[int, ...], most: tuple[int, ...] | None = None) -> Iterator[Strings]:
    """Every way of dividing modules into strings, each once.

    Args:
        counts: modules of each kind. [-]
        most: no string may come after this one in order; for the recursion. [-]

    Returns:
        Strings as counts of each kind, in falling order.
    """
    if not any(counts):
        yield ()
        return
    for first in _falling(counts):
        if any(first) and (most is None or first <= most):
            rest = tuple(count - used for count, used in zip(counts, first, strict=True))
            for others in divisions(rest, first):
                yield (first, *others)


def _falling(counts: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Every tuple from `counts` down to zeros."""
    if not counts:
        yield ()
        return
    for number in range(counts[0], -1, -1):
        for rest in _falling(counts[1:]):
            yield (number, *rest)


def mixes(counts: Sequence[int], most: int) -> tuple[list[Mix], int]:
    """Every set of modules of at most `most`, in every wiring; and how many larger sets were left out.

    Args:
        counts: how many there are of each entry. [-]
        most: modules in one fan. [-]

    Returns:
        The mixes, and the number of sets of modules beyond `most`.
    """
    found, left_out = [], 0
    for taken in _falling(tuple(counts)):
        if not any(taken):
            continue
        if sum(taken) > most:
            left_out += 1
            continue
        uses = tuple((place, number) for place, number in enumerate(taken) if number)
        found += [Mix(uses, strings) for strings in divisions(tuple(number for _, number in uses))]
    return found, left_out


def too_many(mix: Mix) -> bool:
    """Whether a mix has more kinds or strings than a build can describe."""
    return len(mix.uses) > MOST_KINDS or len(mix.strings) > MOST_STRINGS


@dataclass(frozen=True)
class Space:
    """A product of options: for each axis the places allowed; `buys` is the entry that every combination in it uses."""

    allowed: tuple[Ints, ...]
    buys: tuple[str, int] | None

    @property
    def size(self) -> int:
        """Number of combinations."""
        total = 1
        for one in self.allowed:
            total *= len(one)
        return total

    def places(self, numbers: Ints) -> Ints:
        """Option of each axis for each number, (m, axes)."""
        rows = np.unravel_index(numbers, tuple(len(one) for one in self.allowed))
        return np.stack([one[row] for one, row in zip(self.allowed, rows, strict=True)], axis=1)


class Options:
    """Every option of a bin along each axis, those that are bought included."""

    def __init__(self, bin: Bin) -> None:
        self.bin = bin
        modules = bin.of("module")
        on_hand = [item.count if item.price is None else 0 for item in modules]
        self.mixes, self.sets_left_out = mixes(on_hand, bin.wishes.most_modules)
        for place, item in enumerate(modules):
            if item.price is not None:
                counts = [*on_hand]
                counts[place] = item.count
                more, left_out = mixes(counts, bin.wishes.most_modules)
                self.mixes += [mix for mix in more if any(use[0] == place for use in mix.uses)]
                self.sets_left_out += left_out
        self.risers = [(place, length) for place, item in enumerate(bin.of("bar")) for length in item.thing.lengths]
        self.hot_plates, self.spreaders = [-1, *plates_of(bin, HOT_PLATE)], [-1, *plates_of(bin, SPREADER)]
        bushes = [-1, *range(len(bin.of("bush")))]
        self.screws = [(place, bush) for place in range(len(bin.of("screws"))) for bush in bushes] or [(-1, -1)]
        self.guards = [(-1, -1, 0.5)] + [
            (way, place, share)
            for way, known in enumerate(bin.guards)
            for place in range(len(bin.of("element")))
            for share in known.heights
        ]

    @cached_property
    def sizes(self) -> tuple[int, ...]:
        """Number of options on each axis."""
        plain = [len(self.bin.of(kind)) for kind in ("motor", "blade", "sink")]
        others = (self.risers, self.hot_plates, self.spreaders, self.screws, self.guards)
        return (len(self.mixes), *plain, *(len(one) for one in others))

    def choice(self, row: Ints) -> Choice:
        """The choice that one row of options stands for."""
        mix, motor, blade, sink, riser, hot, spreader, screws, guard = (int(one) for one in row)
        return Choice(
            self.mixes[mix], motor, blade, sink, self.risers[riser], self.hot_plates[hot], self.spreaders[spreader],
            self.screws[screws], self.guards[guard],
        )  # fmt: skip

    def _uses(self, axis: int, option: int) -> set[tuple[str, int]]:
        """Entries of the bin that one option uses."""
        name = AXES[axis]
        if name == "mix":
            return {("module", place) for place, _ in self.mixes[option].uses}
        if name in ("motor", "blade", "sink"):
            return {(name, option)}
        if name == "riser":
            return {("bar", self.risers[option][0])}
        if name in ("hot_plate", "spreader"):
            return {("plate", (self.hot_plates if name == "hot_plate" else self.spreaders)[option])}
        if name == "screws":
            return {("screws", self.screws[option][0]), ("bush", self.screws[option][1])}
        return {("element", self.guards[option][1])}

    def spaces(self) -> list[Space]:
        """What is on hand, then what each part that may be bought adds; a part dearer than the money adds nothing."""
        priced = {
            (item.kind, place)
            for kind in {i.kind for i in self.bin.items}
            for place, item in enumerate(self.bin.of(kind))
            if item.price is not None
        }
        uses = [[self._uses(axis, option) & priced for option in range(size)] for axis, size in enumerate(self.sizes)]
        free = [np.array([i for i, used in enumerate(axis) if not used], np.int64) for axis in uses]
        found = [Space(tuple(free), None)]
        for one in sorted(priced):
            if self.price(one) > self.bin.wishes.money:
                continue
            for axis in range(len(AXES)):
                with_it = np.array([i for i, used in enumerate(uses[axis]) if used == {one}], np.int64)
                if len(with_it):
                    found.append(Space((*free[:axis], with_it, *free[axis + 1 :]), one))
        return found

    def price(self, one: tuple[str, int]) -> float:
        """What an entry costs; nothing when it is on hand."""
        return self.bin.of(one[0])[one[1]].price or 0.0

    def too_dear(self) -> list[str]:
        """Names of what costs more than the money."""
        return [item.name for item in self.bin.items if (item.price or 0.0) > self.bin.wishes.money]
