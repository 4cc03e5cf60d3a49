"""Guesses corrected by a trial: what the fire says of each unknown, what it cannot tell, and what goes together.

All unknowns that move the readings are moved at once, held by what was guessed before, so that no input is blamed for what
another may have done; several evenings of one fan are taken together. What a log's end says is held back on request, to see
how well the rest foretells it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..build import Build
from ..errors import InputError
from ..studies.odds_inputs import Input
from ..units import Spread
from .evenings import Evenings
from .guesses import Corrected, Floats, Tell, Walked, correct, going_together, walk
from .measured import Measured
from .predict import INPUT, Rig, Unknown, nothing_off, predict, rig, slopes, spread_of

ACTIVE = 1.0  # an unknown is moved when one spread of it moves all points together by so many times their noise
TOLD = 0.8  # a spread that keeps more than that of its width is not told by the trial
TOGETHER = 0.95  # two unknowns that go together more closely are not told apart
WIDE = 1.96  # spreads on either side that hold 19 in 20
STEPS = 600  # of each walk


@dataclass(frozen=True)
class Found:
    """What the fire says of one unknown: before and after (SI, two spreads), share of the spread left, and its partner.

    `x` is how far it moved, in its own spreads before; `goes_with` the unknown it goes together with most, and how closely;
    `ends` between what 19 in 20 of the walks' steps lay, None where nothing was walked. [SI]
    """

    unknown: Unknown
    before: Spread
    after: Spread
    x: float
    left: float
    goes_with: str
    closely: float
    ends: tuple[float, float] | None = None

    @property
    def told(self) -> bool:
        """Whether the trial tells it."""
        return self.left <= TOLD and self.closely <= TOGETHER

    @property
    def why_not(self) -> str:
        """Why the trial does not tell it; empty where it does."""
        if self.closely > TOGETHER:
            return f"goes together with {self.goes_with}"
        return "" if self.told else "hardly narrower than before"


@dataclass(frozen=True)
class Fit:
    """A fitted trial: every unknown that was moved, where all stand (own spreads), how they spread, and how well it fits.

    `rigs` are the evenings that were fitted together, `own[k]` says which of the unknowns are those of evening k; `spread` is
    (unknowns, unknowns) in their own spreads; `before` and `after` are the usual difference in units of each point's noise;
    `grown` is by how much spreads were widened because differences hang together over time; `evenings` how many were
    computed; `only` whether inputs were named, and all others held as guessed; `walked` None unless asked for.
    """

    rigs: tuple[Rig, ...]
    own: tuple[tuple[int, ...], ...]
    found: tuple[Found, ...]
    x: Floats
    spread: Floats
    before: float
    after: float
    grown: float
    settled: bool
    evenings: int
    only: bool
    walked: Walked | None = None

    @property
    def rig(self) -> Rig:
        """The first evening."""
        return self.rigs[0]

    @property
    def told(self) -> tuple[Found, ...]:
        """Unknowns of the build that the trial tells, the most narrowed first."""
        return tuple(one for one in self.found if one.told and one.unknown.kind == INPUT)

    def of_evening(self, k: int) -> tuple[Floats, Floats]:
        """Where the unknowns of one evening stand, and how they spread, in their own spreads."""
        own = list(self.own[k])
        return self.x[own], self.spread[np.ix_(own, own)]


def chosen(one: Rig, names: Sequence[str]) -> tuple[Input, ...]:
    """Inputs by name.

    Raises:
        InputError: there is none of that name.
    """
    by_name = {item.die.name: item for item in one.inputs}
    for name in names:
        if name not in by_name:
            some = ", ".join(list(by_name)[:400:12])
            raise InputError(
                f'--unknown: got "{name[:60]}"; an input of this build is wanted, such as {some}; all: hobwind odds --all'
            )
    return tuple(by_name[name] for name in names)


def fit(
    build: Build, trial: Measured, names: Sequence[str] = (), stop: float | None = None, more: Sequence[Measured] = (),
    walking: int = 0, tell: Tell | None = None,
) -> Fit:  # fmt: skip
    """Correct a build's guesses by a trial.

    Args:
        build: a checked build.
        trial: what was measured.
        names: inputs that may be off; empty: every one that matters.
        stop: use the log up to here; None: all of it. [s]
        more: other evenings of the same fan, fitted together with it.
        walking: steps of each walk through everything that fits; 0: none.
        tell: told how far it is; may raise to stop.

    Returns:
        The fit.

    Raises:
        InputError: nothing beside the plate was measured, or a name is not known.
    """
    first = rig(build, trial, None, stop)
    if names:
        first = rig(build, trial, chosen(first, names), stop)
    rigs = [first, *(rig(build, other, first.inputs) for other in more)]
    for each, log in zip(rigs, [trial, *more], strict=True):
        if not each.points:
            raise InputError(
                f"{log.name}: has nothing beside the plate to compare; measure a face, the sink or the speed as well"
            )
    whole = Evenings(rigs)
    base, every = whole.slopes(np.zeros(len(whole.unknowns)))
    strength = np.linalg.norm(every / whole.noise[:, None], axis=0)
    count = len(first.inputs)
    kept = [k for k in range(count) if names or max(strength[own[k]] for own in whole.own) >= ACTIVE]
    one = Evenings([_with_inputs(evening, kept) for evening in rigs])
    one.count = whole.count
    columns = np.empty(len(one.unknowns), np.int64)
    for mine, full in zip(one.own, whole.own, strict=True):
        columns[mine] = [*(full[k] for k in kept), *full[count:]]
    done = correct(one, (base, every[:, columns]), tell)
    walked = walk(one, done, walking, tell=tell) if walking else None
    if walked is not None:
        done = replace(done, x=walked.x, spread=walked.spread)
    own = tuple(tuple(places) for places in one.own)
    return Fit(
        one.rigs, own, _found(one.unknowns, done, walked), done.x, done.spread, done.before, done.after, done.grown,
        done.settled if walked is None else walked.settled, one.count, bool(names), walked,
    )  # fmt: skip


def _with_inputs(one: Rig, kept: Sequence[int]) -> Rig:
    """The same rig with fewer inputs; the others stay as guessed."""
    from ..studies.odds_inputs import thrower

    inputs = tuple(one.inputs[k] for k in kept)
    unknowns = (*(one.unknowns[k] for k in kept), *one.unknowns[len(one.inputs) :])
    return replace(one, inputs=inputs, make=thrower(one.build, inputs), unknowns=unknowns)


def _found(unknowns: Sequence[Unknown], done: Corrected, walked: Walked | None) -> tuple[Found, ...]:
    left, close = np.sqrt(np.diag(done.spread)), going_together(done.spread)
    found = []
    for k, unknown in enumerate(unknowns):
        partner, ends = int(close[k].argmax()), None
        if walked is not None:
            ends = (
                unknown.guess + unknown.spread * float(walked.ends[k, 0]),
                unknown.guess + unknown.spread * float(walked.ends[k, 1]),
            )
        found.append(
            Found(
                unknown, spread_of(unknown, 0.0, 1.0), spread_of(unknown, float(done.x[k]), float(left[k])), float(done.x[k]),
                float(left[k]), unknowns[partner].name, float(close[k, partner]), ends,
            )
        )  # fmt: skip
    return tuple(sorted(found, key=lambda item: item.left))


@dataclass(frozen=True)
class Foretold:
    """How well a fit foretells what it has not seen: of how many points, how many lie in the 19-in-20 band, and usual misses.

    `off` has the usual difference of each channel [SI], `off_before` the same before the fit.
    """

    name: str
    count: int
    inside: int
    off: dict[str, float]
    off_before: dict[str, float]


def foretell(done: Fit, trial: Measured, start: float | None = None) -> Foretold:
    """Set a fit against points that it has not seen.

    Args:
        done: the fit.
        trial: the same evening, with `start` where the fit stopped, or another one.
        start: points from here on are compared; None: all. [s]

    Returns:
        How well they are foretold; sensors keep what the fit found of them on the same evening only.

    Raises:
        InputError: nothing to compare.
    """
    made = rig(done.rig.build, trial, done.rig.inputs)
    same = start is not None
    keys = [one.key for one in made.points]
    sensors_at = {(u.of, u.kind): k for k, u in enumerate(done.rig.unknowns)}
    at = [sensors_at.get((u.of, u.kind)) for u in made.unknowns]
    x, spread = nothing_off(made), np.eye(len(made.unknowns))
    known = [(i, k) for i, k in enumerate(at) if k is not None and (same or made.unknowns[i].kind == INPUT)]
    here, there = [i for i, _ in known], [k for _, k in known]
    known_x, known_spread = done.of_evening(0)
    x[here] = known_x[there]
    spread[np.ix_(here, here)] = known_spread[np.ix_(there, there)]
    read, slope = slopes(made, x)
    before = predict(made, nothing_off(made))
    late = (
        np.concatenate([one.time for one in made.points]) >= (-np.inf if start is None else start)
        if keys
        else np.zeros(0, bool)
    )
    if not late.any():
        raise InputError(f"{trial.name}: has nothing to compare after the part that was used")
    band = np.sqrt(np.einsum("ij,jk,ik->i", slope, spread, slope) + made.noise**2)
    inside = np.abs(read - made.measured) <= WIDE * band
    off: dict[str, float] = {}
    off_before: dict[str, float] = {}
    for key in keys:
        part = np.zeros(late.size, bool)
        part[made.part(key)] = True
        part &= late
        if part.any():
            off[key] = float(np.sqrt(np.mean((read - made.measured)[part] ** 2)))
            off_before[key] = float(np.sqrt(np.mean((before - made.measured)[part] ** 2)))
    return Foretold(trial.name, int(late.sum()), int(inside[late].sum()), off, off_before)
