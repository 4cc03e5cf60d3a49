"""Guesses corrected by a trial: what the fire says of each unknown, what it cannot tell, and what goes together.

All unknowns that move the readings are moved at once, held by what was guessed before, so that no input is blamed for what
another may have done. What a log's end says is held back on request, to see how well the rest foretells it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ..build import Build
from ..errors import InputError
from ..studies.odds_inputs import Input
from ..units import Spread
from .measured import Floats, Measured
from .predict import INPUT, Rig, Unknown, calm_slopes, nothing_off, predict, rig, slopes, spread_of

ACTIVE = 1.0  # an unknown is moved when one spread of it moves all points together by so many times their noise
TOLD = 0.8  # a spread that keeps more than that of its width is not told by the trial
TOGETHER = 0.95  # two unknowns that go together more closely are not told apart
ROBUST = 3.0  # points further off than so many spreads count less and less
MOST_LOOKS = 12
WIDE = 1.96  # spreads on either side that hold 19 in 20


@dataclass(frozen=True)
class Found:
    """What the fire says of one unknown: before and after (SI, two spreads), share of the spread left, and its partner.

    `x` is how far it moved, in its own spreads before; `goes_with` the unknown it goes together with most, and how closely.
    """

    unknown: Unknown
    before: Spread
    after: Spread
    x: float
    left: float
    goes_with: str
    closely: float

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

    `spread` is (unknowns, unknowns) in their own spreads; `before` and `after` are the usual difference in units of each
    point's noise; `grown` is by how much spreads were widened because differences hang together over time;
    `only` whether inputs were named, and all others held as guessed.
    """

    rig: Rig
    found: tuple[Found, ...]
    x: Floats
    spread: Floats
    before: float
    after: float
    grown: float
    settled: bool
    evenings: int
    only: bool

    @property
    def told(self) -> tuple[Found, ...]:
        """Unknowns of the build that the trial tells, the most narrowed first."""
        return tuple(one for one in self.found if one.told and one.unknown.kind == INPUT)


def _weights(miss: Floats) -> Floats:
    """How much each point counts, by its difference in spreads."""
    return 1.0 / np.sqrt(1.0 + (miss / ROBUST) ** 2)


def _loss(points: int) -> Any:
    """Robust for points, plain for guesses: the three rows that scipy asks for."""

    def loss(z: Floats) -> Floats:
        rho = np.empty((3, z.size))
        rho[0], rho[1], rho[2] = z, 1.0, 0.0
        far = z[:points] / ROBUST**2
        root = np.sqrt(1.0 + far)
        rho[0, :points] = 2.0 * ROBUST**2 * (root - 1.0)
        rho[1, :points] = 1.0 / root
        rho[2, :points] = -0.5 / root**3 / ROBUST**2
        return rho

    return loss


def _hanging_together(one: Rig, miss: Floats) -> float:
    """By how much neighbours' differences hang together: the number of points that are worth one, at least 1."""
    most = 1.0
    total, count = 0.0, 0
    for points in one.points:
        part = miss[one.part(points.key)]
        if part.size < 8:
            continue
        size = float((part**2).mean())
        together = float((part[1:] * part[:-1]).mean()) / size if size > 0.0 else 0.0
        together = min(max(together, 0.0), 0.95)
        total += part.size * max(size, 1.0) * (1.0 + together) / (1.0 - together)
        count += part.size
    return max(most, total / count) if count else most


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


def fit(build: Build, trial: Measured, names: Sequence[str] = (), stop: float | None = None) -> Fit:
    """Correct a build's guesses by a trial.

    Args:
        build: a checked build.
        trial: what was measured.
        names: inputs that may be off; empty: every one that matters.
        stop: use the log up to here; None: all of it. [s]

    Returns:
        The fit.

    Raises:
        InputError: nothing beside the plate was measured, or a name is not known.
    """
    from scipy.optimize import least_squares

    whole = rig(build, trial, None, stop)
    if not whole.points:
        raise InputError(
            f"{trial.name}: has nothing beside the plate to compare; measure a face, the sink or the speed as well"
        )
    if names:
        whole = rig(build, trial, chosen(whole, names), stop)
    base, every = slopes(whole, nothing_off(whole))
    strength = np.linalg.norm(every / whole.noise[:, None], axis=0)
    count = len(whole.inputs)
    kept = [k for k in range(len(whole.unknowns)) if names or k >= count or strength[k] >= ACTIVE]
    one = _with_inputs(whole, [k for k in kept if k < count])
    evenings = count + 3
    measured, noise = one.measured, one.noise
    ready: dict[bytes, tuple[Floats, Floats]] = {nothing_off(one).tobytes(): (base, every[:, kept])}

    def differences(x: Floats) -> Floats:
        nonlocal evenings
        known = ready.get(x.tobytes())
        evenings += known is None
        read = predict(one, x) if known is None else known[0]
        return np.concatenate([(read - measured) / noise, x])

    def by(x: Floats) -> Floats:
        nonlocal evenings
        if x.tobytes() not in ready:
            ready.clear()
            ready[x.tobytes()] = slopes(one, x)
            evenings += len(one.inputs) + 3
        return np.vstack([ready[x.tobytes()][1] / noise[:, None], np.eye(x.size)])

    reaches = np.array([u.reach for u in one.unknowns])
    start = nothing_off(one)
    solved = least_squares(
        differences, start, by, bounds=(reaches[:, 0] - 1e-9, reaches[:, 1] + 1e-9), loss=_loss(measured.size),
        max_nfev=MOST_LOOKS, ftol=1e-3, xtol=1e-3, gtol=1e-6,
    )  # fmt: skip
    x = np.asarray(solved.x)
    read, slope = ready[x.tobytes()] if x.tobytes() in ready else slopes(one, x)
    miss = (read - measured) / noise
    grown = _hanging_together(one, np.clip(miss, -ROBUST, ROBUST))
    share = np.sqrt(_weights(miss) / grown)[:, None] / noise[:, None]
    spread = _spread(slope * share)
    spread = _spread(calm_slopes(one, x, np.sqrt(np.diag(spread))) * share)
    evenings += 2 * len(one.inputs) + 5
    usual = [float(np.sqrt(np.mean(np.square(m)))) for m in ((base - measured) / noise, miss)]
    return Fit(
        one,
        _found(one, x, spread),
        x,
        spread,
        usual[0],
        usual[1],
        float(np.sqrt(grown)),
        solved.status > 0,
        evenings,
        bool(names),
    )


def _spread(scaled: Floats) -> Floats:
    """How unknowns spread, guesses and points taken together."""
    return np.asarray(np.linalg.inv(scaled.T @ scaled + np.eye(scaled.shape[1])))


def _with_inputs(one: Rig, kept: Sequence[int]) -> Rig:
    """The same rig with fewer inputs; the others stay as guessed."""
    from ..studies.odds_inputs import thrower

    inputs = tuple(one.inputs[k] for k in kept)
    unknowns = (*(one.unknowns[k] for k in kept), *one.unknowns[len(one.inputs) :])
    return replace(one, inputs=inputs, make=thrower(one.build, inputs), unknowns=unknowns)


def _found(one: Rig, x: Floats, spread: Floats) -> tuple[Found, ...]:
    left = np.sqrt(np.diag(spread))
    close = np.abs(spread / np.outer(left, left))
    np.fill_diagonal(close, 0.0)
    found = []
    for k, unknown in enumerate(one.unknowns):
        partner = int(close[k].argmax())
        found.append(
            Found(
                unknown,
                spread_of(unknown, 0.0, 1.0),
                spread_of(unknown, float(x[k]), float(left[k])),
                float(x[k]),
                float(left[k]),
                one.unknowns[partner].name,
                float(close[k, partner]),
            )  # fmt: skip
        )
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
    x[here] = done.x[there]
    spread[np.ix_(here, here)] = done.spread[np.ix_(there, there)]
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
