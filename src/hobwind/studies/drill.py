"""The fault drill: one thing after another going wrong in the over-fired evening, singly and in pairs with a guard's fault.

For each: does every part live, how hot, for how long, and which sign shows how many minutes before the limit. For each single
fault that kills: what would make it harmless, tried under that very fault.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import chain, combinations

import numpy as np

from ..build import Build
from ..build.checks import impossible
from ..build.shim import with_shim
from ..lifting.room import lacks
from ..parts.catalogue import Shelf
from ..stack.evening import evening
from ..stack.keeping import FINISHED, End
from ..stack.prepare import prepare
from ..units import plain
from . import mends
from .at_modules import neighbours
from .beside import own_foot
from .dice import Stages
from .drill_faults import FAULTS, Fault, check_faults, faulted
from .drill_signs import Sign, limit_at, signs
from .file_keys import changed_keys
from .guards_batch import FACE, TRAVEL, Floats, calm, fire_of, part_margins, run_stacks
from .headline import headline
from .telling import celsius, quiet
from .withstands import faults_of

ENOUGH, LITTLE = 5.0, 1.0  # K that a cure leaves under its fault; less than a little is none
KEEPING = 10.0  # s between the kept states of an evening, so that a sign's minute is right to a sixth of it


@dataclass(frozen=True)
class Drilled:
    """One fault, or a pair: the part nearest its limit and its margin [K, mm for the travel], hottest face [K], minutes above."""

    faults: tuple[Fault, ...]
    part: str
    margin: float
    peak: float
    minutes_above: float
    finished: bool

    @property
    def name(self) -> str:
        """Its name, or both."""
        return " + ".join(fault.name for fault in self.faults)

    @property
    def lives(self) -> bool:
        """Whether every part stays below its limit, in an evening that could be run to its end."""
        return self.finished and self.margin > 0.0


@dataclass(frozen=True)
class Single:
    """One fault alone: what it comes to, its signs, when the face passes its limit [s], and what makes it harmless."""

    drilled: Drilled
    seen: tuple[Sign, ...]
    limit_time: float | None
    cure: str
    keys: tuple[str, ...]

    @property
    def fault(self) -> Fault:
        """The fault."""
        return self.drilled.faults[0]


@dataclass(frozen=True)
class Drill:
    """The whole drill; `healthy` is the over-fired evening with nothing wrong."""

    build: Build
    healthy: Drilled
    singles: tuple[Single, ...]
    pairs: tuple[Drilled, ...]

    @property
    def killers(self) -> list[Single]:
        """Single faults that take a part past its limit."""
        return [one for one in self.singles if not one.drilled.lives]

    @property
    def fatal_pairs(self) -> list[Drilled]:
        """Pairs that take a part past its limit although neither fault does so alone."""
        alone = {one.drilled.name for one in self.killers}
        return [pair for pair in self.pairs if not pair.lives and not alone & {fault.name for fault in pair.faults}]


def drill(build: Build, faults: Sequence[Fault] = FAULTS, progress: Stages | None = None) -> Drill:
    """Put a build through every fault.

    Args:
        build: a checked build.
        faults: what to try; those of the guard are left out where there is none.
        progress: told how many steps are done, of how many, and what comes next.

    Returns:
        The drill.

    Raises:
        InputError: a fault changes something that is unknown.
    """
    check_faults(faults)
    faults = faults_of(build, faults)
    stack = prepare(build)
    usual = evening(stack, fire_of(build, "over-fired"), KEEPING)
    healthy = _drilled(build, (), usual.end)
    whole = len(faults) + len(STAGES) + 1

    def begun(done: int, what: str) -> None:
        if progress is not None:
            progress(done, whole, what)

    ran = []
    for i, fault in enumerate(faults):
        begun(i, fault.name)
        ran.append((fault, evening(*faulted(build, stack, (fault,)), KEEPING)))
    alone = [_drilled(build, (fault,), one.end) for fault, one in ran]
    killers = [one for one in alone if not one.lives] if healthy.lives else []
    cures = _cures(build, killers, lambda stage: begun(len(faults) + stage, "what makes them harmless"))
    begun(whole - 1, "pairs")
    singles = [
        Single(found, signs(usual, one, _blade(fault)), limit_at(build, one), *cures.get(fault.name, ("", ())))
        for found, (fault, one) in zip(alone, ran, strict=True)
    ]
    both = [pair for pair in combinations(faults, 2) if any(fault.of_guard for fault in pair)]
    cases = [faulted(build, stack, pair) for pair in both]
    ends = run_stacks([case[0] for case in cases], [case[1] for case in cases])
    pairs = [_drilled(build, pair, end) for pair, end in zip(both, ends, strict=True)]
    return Drill(build, healthy, tuple(singles), tuple(pairs))


def _drilled(build: Build, faults: tuple[Fault, ...], end: Floats) -> Drilled:
    left = part_margins(build, end)
    travel = left.pop(TRAVEL, 1.0)
    part = min(left, key=lambda name: left[name])
    if travel <= 0.0 < left[part]:
        part, left = TRAVEL, {TRAVEL: travel}
    finished = bool(end[End.outcome] == FINISHED)
    return Drilled(faults, part, left[part], float(end[End.peak_hot]), float(end[End.above]) / 60.0, finished)


def _blade(fault: Fault) -> float:
    """Speed of the blade over that of the motor: what pushes a quarter as hard turns half as fast."""
    pushes = [change.amount for change in fault.changes if change.field == "blade_thrust" and change.how == "times"]
    return float(np.sqrt(np.prod(pushes))) if pushes else 1.0


def _shimmed(build: Build) -> mends.Changes:
    """Dry mica under the foot."""
    sheet = Shelf(None).find("sheet", "mica dry")
    for count in (1, 2, 4, 6, 8):
        yield f"laying {count} sheet{'' if count == 1 else 's'} of mica dry under the foot", with_shim(build, sheet, count)


def _cooler_motor(build: Build) -> mends.Changes:
    """The motor held by less metal, behind bright metal, or both."""
    loose = replace(build.motor, mount_conductance=plain(0.01))
    bright = replace(build.motor, emissivity=plain(0.08))
    yield "holding the motor by a thin stainless strip (0.01 W/K)", replace(build, motor=loose)
    yield "a sleeve of bright tinplate round the motor", replace(build, motor=bright)
    both = replace(bright, mount_conductance=plain(0.01))
    yield "a thin stainless strip and a sleeve of bright tinplate for the motor", replace(build, motor=both)


def _harder(build: Build) -> mends.Changes:
    """Other modules, and with them a longer riser or shims: for a face, or what lives at it, that gets too hot."""
    for says, changed in mends.modules(build):
        for more, whole in [*chain(mends.longer_risers(changed), _shimmed(changed))][::2]:
            yield f"{says} and {more}", whole


def _both(build: Build) -> mends.Changes:
    """Another element and a cooler motor: for the parts beside the modules."""
    for says, changed in mends.elements(build):
        for more, whole in _cooler_motor(changed):
            yield f"{says} and {more}", whole


def _cures(build: Build, killers: Sequence[Drilled], begun: Callable[[int], None]) -> dict[str, tuple[str, tuple[str, ...]]]:
    """For each fault that kills the first change under which it does not: one change, or two together where none will do."""
    found: dict[str, tuple[str, tuple[str, ...]]] = {}
    warm = {FACE, *(one.part for one in neighbours(build) if one.warm)}
    for stage, changes in enumerate(STAGES):
        begun(stage)
        left = [one for one in killers if one.name not in found]
        if changes in (TWO_FOR_FACE, TWO_FOR_REST):
            left = [one for one in left if (one.part in warm) == (changes is TWO_FOR_FACE)]
        if left:
            found |= _cured(build, [one.faults[0] for one in left], changes)
    return found


def _cured(build: Build, killers: Sequence[Fault], changes: Sequence[mends.Change]) -> dict[str, tuple[str, tuple[str, ...]]]:
    """The first change for each fault that leaves a sound fan too when nothing is wrong."""
    offered = [pair for change in changes for pair in change(build) if not impossible(pair[1], [])]
    stacks = [prepare(made) for _, made in offered]
    fired = run_stacks(stacks, [fire_of(made, "over-fired") for _, made in offered])
    alive = [
        i for i, (_, made) in enumerate(offered)
        if min(part_margins(made, fired[i]).values()) > 0.0 and calm(fired[i]) and np.isfinite(fired[i][End.starts_at])
    ]  # fmt: skip
    judged: dict[int, bool] = {}
    found, spare = {}, bool(lacks(build))  # one that cannot be made as it stands is cured all the same
    for fault in killers:
        cases = [faulted(offered[i][1], stacks[i], (fault,)) for i in alive]
        ends = dict(zip(alive, run_stacks([case[0] for case in cases], [case[1] for case in cases]), strict=True))
        for i in _in_order({i: part_margins(offered[i][1], end) for i, end in ends.items()}):
            if i not in judged:
                calls = quiet(headline(offered[i][1], (), mends.COARSE, mends.SPARSE, 1))
                judged[i] = calls and (spare or not lacks(offered[i][1]))
            if judged[i]:
                says = _told(offered[i][0], offered[i][1], ends[i], float(fired[i][End.starts_at]))
                found[fault.name] = (says, changed_keys(build, offered[i][1]))
                break
    return found


def _in_order(left: dict[int, dict[str, float]]) -> list[int]:
    """Changes that leave enough, as they were offered; then those that leave a little, the most first."""
    least = {i: min(value for part, value in parts.items() if part != TRAVEL) for i, parts in left.items()}
    whole = [i for i in left if left[i].get(TRAVEL, 1.0) > 0.0]
    little = sorted((i for i in whole if LITTLE <= least[i] < ENOUGH), key=lambda i: -least[i])
    return [i for i in whole if least[i] >= ENOUGH] + little


def _told(says: str, build: Build, end: Floats, starts_at: float) -> str:
    left = part_margins(build, end)
    left.pop(TRAVEL, None)
    part = min(left, key=lambda name: left[name])
    late = ", later than wished" if starts_at > build.wish.starts_by.value + 0.5 else ""
    return f"{says}; {part} then {left[part]:.0f} K below its limit, start at {celsius(starts_at)}{late}"


TWO_FOR_FACE: tuple[mends.Change, ...] = (_harder,)
TWO_FOR_REST: tuple[mends.Change, ...] = (_both,)
# In the order in which a maker would try them.
STAGES: tuple[tuple[mends.Change, ...], ...] = (
    (mends.elements, mends.element_places, own_foot, mends.with_guard),
    (mends.fills, _cooler_motor, mends.lapped, mends.longer_risers), (mends.modules, _shimmed), TWO_FOR_FACE, TWO_FOR_REST,
)  # fmt: skip
