"""What the rules of a verdict share: the shape of a finding, what counts as cured, how a mend is told."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from ..build import Build
from ..lifting.room import lacks
from ..stack.keeping import End
from . import mends
from .beside import own_foot
from .headline import LEAST_RESERVE, Headline
from .margins import Margin, margins
from .mends import Tried, Workbench
from .pairs import cooler_and_lifted

DANGER, FAULT, ADVICE = "danger", "fault", "advice"
SEVERITIES = (DANGER, FAULT, ADVICE)
ZERO = 273.15
THIN = 10.0  # K; a smaller margin of a module is worth a word
HAIR = 5.0  # K; so small a one is as good as none: guesses alone are further off
COOLING = (
    own_foot,
    mends.with_guard,
    mends.elements,
    mends.element_places,
    mends.fills,
    mends.longer_risers,
    mends.modules,
    cooler_and_lifted,
)


@dataclass(frozen=True)
class Finding:
    """One line of a verdict; `keys` are the lines of a build file that carry its mend out."""

    severity: str
    code: str
    says: str
    mend: str
    source: str
    keys: tuple[str, ...] = ()


@dataclass(frozen=True)
class Look:
    """What every rule looks at."""

    build: Build
    solved: Headline
    margins: list[Margin]
    bench: Workbench

    @cached_property
    def cure(self) -> Tried | None:
        """The first change after which every part lives."""
        return self.calmest(COOLING)

    def calmest(self, changes: Sequence[mends.Change]) -> Tried | None:
        """The first change after which every part lives: starting as wished, with room, and left alone in normal burning if one can."""
        offered: dict[mends.Change, list[tuple[str, Build]]] = {}

        def first(good: Callable[[Headline], bool]) -> Tried | None:
            for change in changes:
                if change not in offered:  # what costs a search of its own is searched once, and only when it is its turn
                    offered[change] = list(change(self.build))
                tried = self.bench.first(iter(offered[change]), good)
                if tried is not None:
                    return tried
            return None

        # One that can be made first; a guard without room for its gear is named only where nothing else helps.
        found = (first(good) for good in (*map(makeable, WISHED), *WISHED))
        return next((tried for tried in found if tried is not None), None)


Rule = Callable[[Look], Iterator[Finding]]


def celsius(kelvin: float) -> str:
    """A temperature for people, whole degrees."""
    return f"{kelvin - ZERO:.0f} °C"


def starts(solved: Headline) -> str:
    """When it starts, in words."""
    return "never starts" if solved.starts_at is None else f"starts at {celsius(solved.starts_at)}"


def least(solved: Headline) -> float:
    """Smallest margin of any part, settled and over-fired. [K]"""
    return min(one.margin for one in margins(solved))


def sound(solved: Headline) -> bool:
    """Every part lives, settled and over-fired, the guard does not hunt, and the fan starts."""
    calm = not solved.hunts and not solved.restless_plates and solved.starts_at is not None
    return calm and least(solved) > 0.0


def quiet(solved: Headline) -> bool:
    """Sound, and the guard leaves the usual evening and the usual plate alone."""
    return sound(solved) and float(solved.usual.end[End.lifts]) == 0.0 and not solved.lifted_at_usual


def unmoved(solved: Headline) -> bool:
    """Quiet, and so it stays on a plate held a little hotter than usual."""
    return quiet(solved) and (solved.reserve is None or solved.reserve >= LEAST_RESERVE)


# What a cure should reach, the best first.
WISHED: tuple[Callable[[Headline], bool], ...] = (
    lambda s: unmoved(s) and in_time(s) and least(s) > THIN,
    lambda s: unmoved(s) and in_time(s) and least(s) > HAIR,
    lambda s: unmoved(s) and least(s) > THIN,
    lambda s: unmoved(s) and least(s) > HAIR,
    lambda s: quiet(s) and least(s) > HAIR,
    quiet,
    sound,
)


def makeable(good: Callable[[Headline], bool]) -> Callable[[Headline], bool]:
    """The same, of fans whose guard finds room and stock for its small parts."""
    return lambda solved: good(solved) and not lacks(solved.build)


def in_time(solved: Headline) -> bool:
    """Whether it starts as soon as its maker wishes."""
    return solved.starts_at is not None and solved.starts_at <= solved.build.wish.starts_by.value + 0.5


def told(tried: Tried | None, otherwise: str) -> str:
    """A mend that was tried, in words; `otherwise` when there is none."""
    if tried is None:
        return otherwise
    solved = tried.solved
    hunts = "; it then hunts" if solved.hunts else ""
    close = min(margins(solved), key=lambda one: one.margin)
    left = f"only {close.margin:.0f} K are then left ({close.part})" if close.margin <= THIN else f"{close.margin:.0f} K left"
    return f"{tried.says} brings the hottest face to {celsius(solved.peak_face[0])}, {left}, and it {starts(solved)}{hunts}"


def keys(tried: Tried | None) -> tuple[str, ...]:
    """Lines of a build file for a mend; none when there is no mend."""
    return () if tried is None else tried.keys
