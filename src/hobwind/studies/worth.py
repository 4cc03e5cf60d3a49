"""What an hour's work is worth: each improvement's change in start, air, hottest face and margin, with its band.

Of each kind of work the best version is found on the build as written; then the same fans are thrown before and after
(the same dice for what both have), so that the band is of the change and not of the fan.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from ..build import Build
from .at_modules import neighbours
from .dice import Flags, Floats, Progress, throw, values
from .file_keys import changed_keys
from .odds_fans import Figure, fans
from .odds_inputs import Input, all_inputs, thrower
from .worth_changes import Option, after, options

FANS = 32  # thrown before and after each change; the half of a band is then known to an eighth
STEPS = {"start": 5.0, "air": 0.10, "margin": 5.0}  # what is clearly felt: K, share of the air, K
ENOUGH = 25.0  # K; a margin beyond that is worth no more
COOKED = 3.0  # times as much counts every kelvin beyond a limit
LITTLE = 0.5  # steps; less is not worth an hour
MOSTLY = 0.75  # of the thrown fans are better off, or the change is as good as not there
CARE = 12.0  # K; taken off the margins of builds as written, which say nothing of their spread
CANDIDATES = 4  # the best so many are tried in pairs
PENALTY = 6.0  # steps lost by a guard that hunts or cannot lift where it did not before
SHOWN = (Figure.starts_at, Figure.air, Figure.peak_face, Figure.margin)


@dataclass(frozen=True)
class Change:
    """How one figure changes, after less before: mean and half of what 19 in 20 lie between [SI]."""

    mean: float
    half: float

    @property
    def clear(self) -> bool:
        """Whether the change is larger than its band."""
        return bool(abs(self.mean) > self.half)


@dataclass(frozen=True)
class Gain:
    """One improvement: what it changes, by how many felt steps it is better, how many of the thrown fans it helps.

    The margin is that of the module's face or of what lives at it, whichever is least; `nearest` is whose that is in most fans
    before, `nearest_then` after. `why_not` is empty when it is worth doing. `keys` are the lines of a build file that carry it out.
    """

    option: Option
    changes: dict[Figure, Change]
    nearest: str
    nearest_then: str
    starting: tuple[float, float]  # share of the thrown fans that start at all, before and after
    steps: float
    helps: float
    why_not: str
    keys: tuple[str, ...]


@dataclass(frozen=True)
class Worth:
    """Every improvement, best first; the best pair, if two together beat one; what is not worth doing."""

    build: Build
    seed: int
    count: int
    before: Floats
    gains: tuple[Gain, ...]
    pair: Gain | None
    idle: tuple[Gain, ...]


def _least(rows: Floats) -> Floats:
    """The smallest margin of module, what lives at it, motor and wax element of each fan, K."""
    columns = rows[:, [Figure.margin, Figure.joint_margin, Figure.motor_margin, Figure.wax_margin]]
    return np.asarray(np.where(np.isfinite(columns), columns, np.inf).min(axis=1))


def _told(rows: Floats, figure: Figure) -> Floats:
    """One figure of each fan; of the margin the lesser of the faces' and that of what lives at the modules, K."""
    return np.asarray(np.minimum(rows[:, figure], rows[:, Figure.joint_margin]) if figure is Figure.margin else rows[:, figure])


def _whose(build: Build, rows: Floats) -> str:
    """Whose limit that margin is of in most of the fans."""
    names = ["face", *(one.word for one in neighbours(build))]
    places = np.where(rows[:, Figure.joint_margin] < rows[:, Figure.margin], rows[:, Figure.joint] + 1.0, 0.0)
    return names[int(np.bincount(places.astype(np.int64)).argmax())]


def _over(rows: Floats) -> Flags:
    return np.asarray(_least(rows) < 0.0)


def _score(build: Build, before: Floats, later: Floats, care: float = 0.0) -> Floats:
    """By how many felt steps each fan is better off, (m); `care` is taken off every margin first, K."""
    never = build.stove.usual_plate.value

    def start(rows: Floats) -> Floats:
        return np.where(np.isfinite(rows[:, Figure.starts_at]), rows[:, Figure.starts_at], never)

    def margin(rows: Floats) -> Floats:
        least = _least(rows) - care
        return np.where(least < 0.0, COOKED * least, np.minimum(least, ENOUGH))

    def bad(rows: Floats) -> Floats:
        return np.maximum(rows[:, Figure.hunts], rows[:, Figure.weak])

    air, air_later = np.nan_to_num(before[:, Figure.air]), np.nan_to_num(later[:, Figure.air])
    base = np.maximum(air, max(0.25 * build.wish.air.value, 1e-4))
    steps = (start(before) - start(later)) / STEPS["start"] + (air_later - air) / base / STEPS["air"]
    steps += (margin(later) - margin(before)) / STEPS["margin"] - PENALTY * (bad(later) - bad(before))
    return np.asarray(steps)


def _paired(builds: list[Build], count: int, seed: int, done: Callable[[int], None] = lambda _: None) -> list[Floats]:
    """The same fans thrown in each build: one die for what goes by the same key."""
    inputs: list[list[Input]] = [all_inputs(one) for one in builds]
    column = {key: k for k, key in enumerate(sorted({one.key for row in inputs for one in row}))}
    thrown = throw(count, max(len(column), 1), seed, 1)[0]
    found = []
    for build, row in zip(builds, inputs, strict=True):
        make = thrower(build, row)
        at = values([one.die for one in row], thrown[:, [column[one.key] for one in row]])
        found.append(fans((make(one) for one in at.tolist()), build))
        done(len(found))
    return found


def _gain(build: Build, option: Option, before: Floats, later: Floats, hunts: bool) -> Gain:
    """`hunts`: whether its guard hunts as written, where it did not before."""
    changes = {}
    for figure in SHOWN:
        off = _told(later, figure) - _told(before, figure)
        off = off[np.isfinite(off)]
        changes[figure] = Change(float(off.mean()), float(2.0 * off.std(ddof=1))) if off.size > 1 else Change(np.nan, np.nan)
    steps = _score(build, before, later)
    mean, helps = float(steps.mean()), float((steps > 0.0).mean())
    why_not, keys = _why_not(changes, mean, helps, before, later), changed_keys(build, option.build)
    if not why_not and hunts:
        why_not = "its guard then hunts, by the figures as they stand"
    ever, then = (float(np.isfinite(rows[:, Figure.starts_at]).mean()) for rows in (before, later))
    return Gain(option, changes, _whose(build, before), _whose(option.build, later), (ever, then), mean, helps, why_not, keys)


def _why_not(changes: dict[Figure, Change], steps: float, helps: float, before: Floats, later: Floats) -> str:
    over = [20.0 * float(_over(rows).mean()) for rows in (before, later)]
    if over[1] > over[0] + 1.0:
        return f"{over[1]:.0f} fans in 20 then pass a limit, now {over[0]:.0f}"
    hunts = float((later[:, Figure.hunts] - before[:, Figure.hunts]).mean())
    if hunts > 0.25:
        return "its guard then hunts"
    if steps < -LITTLE:
        worse = {
            "starts later": changes[Figure.starts_at].mean / STEPS["start"],
            "moves less air": -changes[Figure.air].mean / max(float(np.nanmean(before[:, Figure.air])), 1e-4) / STEPS["air"],
            "leaves less margin": -changes[Figure.margin].mean / STEPS["margin"],
        }
        return max(worse, key=lambda word: worse[word] if np.isfinite(worse[word]) else -np.inf)
    if steps < LITTLE:
        return "too little to feel" if any(one.clear for one in changes.values()) else "its change is smaller than its band"
    if helps < MOSTLY:
        return f"helps only {helps * 20.0:.0f} fans in 20"
    return ""


def worth(build: Build, count: int = FANS, seed: int = 1, progress: Progress | None = None) -> Worth:
    """Try every kind of improvement, singly and the best in pairs.

    Args:
        build: a checked build.
        count: fans thrown before and after each change; rounded up to a power of two. [-]
        seed: the same seed gives the same answer. [-]
        progress: told how many solves are done, of how many.

    Returns:
        The improvements, best first.
    """
    every = list(options(build))
    written = fans([build, *(one.build for one in every)])
    now = written[:1]
    scores = _score(build, np.repeat(now, len(every), axis=0), written[1:], CARE) if every else np.empty(0)
    best: dict[str, int] = {}
    for k, option in enumerate(every):
        if option.work.kind not in best or scores[k] > scores[best[option.work.kind]]:
            best[option.work.kind] = k
    chosen = sorted(best.values(), key=lambda k: -scores[k])
    picked, alone = [every[k] for k in chosen], [written[1 + k] for k in chosen]
    pairs = [one for a, b in combinations(picked[:CANDIDATES], 2) if (one := after(a, b)) is not None]
    if pairs:
        together = fans([one.build for one in pairs])
        first = int(np.argmax(_score(build, np.repeat(now, len(pairs), axis=0), together, CARE)))
        picked.append(pairs[first])
        alone.append(together[first])

    def thrown(done: int) -> None:
        if progress is not None:
            progress(done + 1, len(picked) + 2)

    thrown(0)
    before, *later = _paired([build, *(one.build for one in picked)], count, seed, thrown)
    hunts = [bool(one[Figure.hunts] > now[0, Figure.hunts]) for one in alone]
    gains = [_gain(build, option, before, row, then) for option, row, then in zip(picked, later, hunts, strict=True)]
    pair = gains.pop() if pairs else None
    gains.sort(key=lambda one: -one.steps)
    good, idle = [one for one in gains if not one.why_not], [one for one in gains if one.why_not]
    if pair is not None and (pair.why_not or (good and pair.steps <= good[0].steps)):
        pair = None
    return Worth(build, seed, before.shape[0], before, tuple(good), pair, tuple(idle))
