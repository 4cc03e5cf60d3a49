"""How sure the figures of a build are: bands, chances in plain words, and what to measure next.

Every input is thrown within its spread, given or looked up, and each thrown fan goes through a usual and an over-fired
evening. What is not in it: the formulas' own scatter, where no input stands for it, and the shape of the fires.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..build import Build
from ..stack.evening import TOLERANCE
from ..units import show
from .at_modules import words
from .dice import Band, Chance, Flags, Floats, Progress, Shares, band, chance, narrowed, shares, single_shares, throw, values
from .odds_fans import TOLD, Figure, fans
from .odds_inputs import Input, inputs_that_matter, thrower

MANY = 2048  # fans: 4096 evenings
FEW = 256  # fans: for the best of a ranking
SHARED_OUT = 512  # fans in each set of throws when the spread is shared out among the parts
HEAD = (Figure.starts_at, Figure.air, Figure.peak_face)  # what a measurement is judged by
ASKED = "face_over_asked"  # code of the chance that a face passes a temperature that was asked for
LEFT = 0.25  # of its spread is left to an input that has been measured with care
JUDGES = (
    "Odds and bands judge the two evenings only. The verdict also judges the fan left for ever on a plate that stays as hot "
    "as it gets; there a face may come out hotter than any here."
)
WORTH_TELLING = 0.02  # a smaller share of the spread is not told


@dataclass(frozen=True)
class Event:
    """Something that may happen, and how often it did among the thrown fans; `good` when one hopes for it."""

    code: str
    says: str
    chance: Chance


@dataclass(frozen=True)
class Measure:
    """One input worth measuring: its share of the spread of each of `HEAD` alone, and half of each band now and then.

    `share` is NaN where the figure has no band.
    """

    input: Input
    share: tuple[float, ...]
    loose: tuple[float, ...]
    now: tuple[float, ...]
    then: tuple[float, ...]


@dataclass(frozen=True)
class Odds:
    """What the thrown fans came to; `figures` is (scramblings, fans in each, Figure), SI."""

    build: Build
    seed: int
    count: int
    inputs: tuple[Input, ...]
    written: Floats
    figures: Floats
    bands: dict[Figure, Band]
    events: tuple[Event, ...]
    measures: tuple[Measure, ...]
    shares: Shares | None

    def chance_of(self, code: str) -> Chance | None:
        """The chance of one of the events, None when this build cannot come to it."""
        return next((event.chance for event in self.events if event.code == code), None)


def odds(
    build: Build,
    count: int = MANY,
    seed: int = 1,
    progress: Progress | None = None,
    share_out: int = 0,
    face: float | None = None,
) -> Odds:
    """Throw a build's inputs and tell how its figures spread.

    Args:
        build: a checked build.
        count: fans; rounded up to a power of two in each of 8 scramblings. `FEW` is enough to compare builds. [-]
        seed: the same seed gives the same answer, whatever the number of cores. [-]
        progress: told how many fans are done, of how many.
        share_out: fans in each set of throws that share the spread out among the parts, 0 for none. [-]
        face: a face temperature whose passing is asked for besides the limit. [K]

    Returns:
        Bands, chances, what to measure next, and the shares if asked for.
    """
    inputs = inputs_that_matter(build, stands=True)
    dice = [one.die for one in inputs]
    make = thrower(build, inputs)

    def model(rows: Floats) -> Floats:
        return fans((make(row) for row in rows.tolist()), build)

    thrown = throw(count, max(len(dice), 1), seed)[..., : len(dice)]
    rows = values(dice, thrown)
    whole = thrown.shape[0] * thrown.shape[1]
    groups = len({die.group for die in dice})
    extra = (groups + 2) * share_out
    ran = []
    for k, part in enumerate(rows, start=1):
        ran.append(model(part))
        if progress is not None:
            progress(k * rows.shape[1], whole + extra)
    figures = np.array(ran)
    bands = {figure: band(figures[..., figure]) for figure in TOLD if np.isfinite(figures[..., figure]).any()}
    if not (figures[..., Figure.lifted] > 0.0).any():
        del bands[Figure.air_down]  # the air of all
    shared = None
    if share_out and dice:

        def further(done: int, _: int) -> None:
            if progress is not None:
                progress(whole + done, whole + extra)

        shared = shares(lambda x: model(x)[:, list(HEAD)], dice, share_out, seed, further)
    return Odds(
        build=build,
        seed=seed,
        count=whole,
        inputs=tuple(inputs),
        # As fine as the verdict's own evenings, so that both tell one figure.
        written=fans([build], tolerance=TOLERANCE)[0],
        figures=figures,
        bands=bands,
        events=tuple(_events(build, figures, face)),
        measures=_measures(inputs, thrown, figures, bands),
        shares=shared,
    )


def _events(build: Build, figures: Floats, face: float | None) -> list[Event]:
    """What may happen to this build, the worst first."""
    limit = build.face_limit
    beside = " or the ".join(words(build))
    guarded, wish = build.guard.element is not None, build.wish
    asked: list[tuple[str, str, bool, Callable[[Floats], Flags]]] = [
        (
            "face_over_limit",
            f"a module face passes its limit of {show(limit, 'temperature')} on the over-fired evening",
            True,
            lambda f: f[..., Figure.margin] < 0.0,
        ),
        (
            ASKED,
            f"a module face passes {show(face or 0.0, 'temperature')} on the over-fired evening",
            face is not None,
            lambda f: f[..., Figure.peak_face] > (face or 0.0),
        ),
        (
            "joint_over_limit",
            f"the {beside} at the modules passes its limit on the over-fired evening",
            True,
            lambda f: f[..., Figure.joint_margin] < 0.0,
        ),
        (
            "falls_over",
            "it falls over on its plate, down or lifted",
            True,
            lambda f: f[..., Figure.tips] > 0.0,
        ),
        (
            "guard_too_weak",
            "the wax element is too weak to lift the fan",
            guarded,
            lambda f: f[..., Figure.weak] > 0.0,
        ),
        (
            "guard_never_lifts",
            "the guard does not lift on the over-fired evening",
            guarded,
            lambda f: f[..., Figure.lifts] < 1.0,
        ),
        (
            "guard_hunts",
            "the guard hunts on one of the evenings",
            guarded,
            lambda f: f[..., Figure.hunts] > 0.0,
        ),
        (
            "guard_up_on_usual_plate",
            "the guard keeps the fan up, settled on the usual plate",
            guarded,
            lambda f: f[..., Figure.lifted] > 0.0,
        ),
        (
            "wax_bursts",
            "the wax element comes to where it may burst",
            guarded,
            lambda f: f[..., Figure.wax_margin] < 0.0,
        ),
        (
            "motor_over_limit",
            f"the motor body passes its limit of {show(build.motor.part.limit.value, 'temperature')}",
            True,
            lambda f: f[..., Figure.motor_margin] < 0.0,
        ),
        (
            "never_turns",
            "the blade never turns on the usual evening",
            True,
            lambda f: np.isnan(f[..., Figure.starts_at]),
        ),
        (
            "starts_late",
            f"it does not start by the {show(wish.starts_by.value, 'temperature')} wished for",
            True,
            lambda f: ~(f[..., Figure.starts_at] <= wish.starts_by.value),
        ),
        (
            "little_air",
            f"it moves less than the {show(wish.air.value, 'air_flow')} wished for on the usual plate",
            True,
            lambda f: ~(f[..., Figure.air] >= wish.air.value),
        ),
        (
            "not_computed",
            "an evening could not be computed to its end",
            bool((figures[..., Figure.finished] < 1.0).any()),
            lambda f: f[..., Figure.finished] < 1.0,
        ),
    ]
    return [Event(code, says, chance(happened(figures))) for code, says, is_asked, happened in asked if is_asked]


def _measures(inputs: list[Input], thrown: Floats, figures: Floats, bands: dict[Figure, Band]) -> tuple[Measure, ...]:
    """The inputs worth measuring, the most telling first."""
    dice = [one.die for one in inputs]
    if not dice:
        return ()
    told = [single_shares(dice, thrown, figures[..., figure]) for figure in HEAD]
    alone, loose = np.array([one[0] for one in told]), np.array([one[1] for one in told])
    weight = np.nan_to_num(np.where(alone > loose, alone, 0.0)).sum(axis=0)
    found = []
    for k in np.argsort(-weight, kind="stable"):
        if weight[k] < WORTH_TELLING * len(HEAD):
            break
        now = [bands[figure].half if figure in bands else np.nan for figure in HEAD]
        share = [float(one) for one in alone[:, k]]
        # What has no share of its own worth telling narrows nothing.
        real = [one if np.isfinite(one) and one > off else 0.0 for one, off in zip(share, loose[:, k], strict=True)]
        then = [narrowed(half, one, LEFT) for half, one in zip(now, real, strict=True)]
        found.append(Measure(inputs[k], tuple(share), tuple(float(one) for one in loose[:, k]), tuple(now), tuple(then)))
    return tuple(found)
