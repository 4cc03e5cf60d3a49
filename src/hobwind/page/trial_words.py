"""A trial as the browser shows it: figures with their whys, differences, causes, what happened, and what the fire says."""

from __future__ import annotations

import math
import statistics
from typing import Any

from pydantic import BaseModel

from ..trial.causes import Blame
from ..trial.channels import CHANNELS
from ..trial.compare import CLEARLY, Compared, Difference
from ..trial.fit import Fit, Found
from ..trial.fitted import fitted_text
from ..trial.foreseen import foreseen
from ..trial.joining import Offset
from ..trial.measured import noise_of
from ..trial.predict import INPUT
from ..trial.shown import Shown
from ..trial.together import Trial
from ..trial_screen import before_and_now, cause_words, difference_words, meters_off, shown_words, step
from .whys_trial import Told, ToldFigure, told_figure
from .whys_trial import told as told_why

ZERO = 273.15
CORRECT = "correct the guesses by this fire"
OF_CHANNEL = {"started": "plate", "lifted": "plate", "sat-back": "plate", "peak-plate": "plate"}
EVENTS = {"started": "the blade starts", "lifted": "the guard lifts", "sat-back": "the guard sits back"}
MOST_CAUSES, MOST_NAMES = 6, 12


class OffsetOut(BaseModel):
    """By how much one logger's times were moved, and how that was found."""

    name: str
    seconds: float
    says: str
    doubtful: bool


class EventOut(BaseModel):
    """Something that happened or was foretold: the plate then, None where it did not come about."""

    what: str
    measured: ToldFigure | None
    predicted: ToldFigure | None


class NoteOut(BaseModel):
    """A few words that were written down."""

    minute: float
    text: str


class CauseOut(BaseModel):
    """One cause tried, and how much of what is off it explains, in percent."""

    says: str
    percent: int


class FoundOut(BaseModel):
    """One guess before and now; `left` is what is left of its spread, in percent."""

    name: str
    before: str
    now: str
    left: int
    why: Told


class FitOut(BaseModel):
    """The guesses corrected: what the fire tells, what it does not, and the build with it written in."""

    told: list[FoundOut]
    together: list[str]
    untold: list[str]
    meters: list[str]
    usual: ToldFigure
    before: str
    settled: bool
    evenings: int
    foretold: str
    text: str


class TrialOut(BaseModel):
    """All that the page shows of a trial; `mark` names it for the diary."""

    mark: str
    figures: list[ToldFigure]
    words: list[str]
    missing: list[str]
    next_fire: str
    cautions: list[str]
    offsets: list[OffsetOut]
    inside: ToldFigure | None
    differences: list[ToldFigure]
    cause: str
    causes: list[CauseOut]
    events: list[EventOut]
    notes: list[NoteOut]
    chart: dict[str, Any]
    fit: FitOut | None


def _figure(found: Trial, one: Shown) -> ToldFigure | None:
    if one.value is None:
        return None
    text = shown_words(one).removeprefix(one.says).strip()
    key = "hot_face" if one.code in ("peak-face", "margin") else OF_CHANNEL.get(one.code, "plate")
    channel, trial = CHANNELS[key], found.measured
    meter = 2.0 * (channel.level**2 + trial.doubt.get(key, 0.0) ** 2) ** 0.5
    noise = 2.0 * min(noise_of(trial.series[key], key), channel.typed)
    numbers = f"{text}: the {channel.says}'s meter may be off by {meter:.1f} K, its noise is {noise:.1f} K"
    if one.code in EVENTS:
        numbers += ", and the plate moved between that reading and the one before"
    return told_figure("trial_" + one.code.replace("-", "_"), one.says, text, numbers, f"the log {trial.name}")


def _offset(name: str, off: Offset) -> OffsetOut:
    sure = f"; the curves go together to {off.agrees:.3f} of 1" if off.how not in ("as given", "their clocks") else ""
    says = f"found by {off.how}" if off.how != "as given" else "as typed"
    return OffsetOut(name=name, seconds=round(off.seconds, 1), says=says + sure, doubtful=off.doubtful)


def _events(found: Trial) -> list[EventOut]:
    if found.compared is None:
        return []
    ahead = {one.code: one for one in foreseen(found.compared.rig)}
    shown = {one.code: one for one in found.verdict.shown}
    rows = []
    for code, what in EVENTS.items():
        real, told = shown.get(code), ahead.get(code)
        if real is None and told is None:
            continue
        rows.append(EventOut(
            what=what,
            measured=None if real is None else _figure(found, real),
            predicted=None if told is None else told_figure(
                "trial_foretold", f"{what}, predicted", f"{told.plate - ZERO:.0f} °C, after {told.time / 60.0:.0f} min",
                f"{what} {told.time / 60.0:.1f} min into the log, the measured plate then at {told.plate - ZERO:.1f} °C",
                f"the build as it is, along {found.measured.name}", told.plate - ZERO,
            ),
        ))  # fmt: skip
    return rows


def _inside(compared: Compared) -> ToldFigure:
    inside, count = (sum(getattr(one, what) for one in compared.differences) for what in ("inside", "count"))
    parts = "; ".join(f"{CHANNELS[one.key].says} {one.inside} of {one.count}" for one in compared.differences)
    at = f"points of a minute and more; a difference is clear beyond {CLEARLY:g} spreads"
    return told_figure("trial_inside", "points in the 19-in-20 band", f"{inside} of {count}", parts, at)


def _difference(found: Trial, compared: Compared, one: Difference) -> ToldFigure:
    says, _, text = difference_words(one).partition(": ")
    rig = compared.rig
    points = next(points for points in rig.points if points.key == one.key)
    miss = points.value - compared.predicted[rig.part(one.key)]
    lasting = miss if one.since is None else miss[points.time >= one.since]
    middle = statistics.median(float(value) for value in lasting)
    since = "over all" if one.since is None else f"from {one.since / 60.0:.0f} min on"
    numbers = (
        f"half of the {len(lasting)} points {since} lie above {step(middle, one.key)}, half below; {one.inside} of {one.count} in the "
        f"band; as a rule, √(mean of squares), {step(math.sqrt(float((miss**2).mean())), one.key).lstrip('+')}"
    )
    return told_figure("trial_difference", says, text, numbers, f"the log {found.measured.name}", middle)


def _cause(one: Blame) -> CauseOut:
    return CauseOut(says=one.says, percent=round(100.0 * min(max(one.share, 0.0), 1.0)))


def _found(one: Found, done: Fit) -> FoundOut:
    before, now = before_and_now(one, done)
    numbers = f"before {before}, now {now}: moved by {one.x:+.2f} of its own spread, {100.0 * one.left:.0f} % of that is left"
    why = told_why(
        "trial_told", numbers, f"{len(done.rigs)} evenings" if len(done.rigs) > 1 else "this evening", 100.0 * one.left
    )
    return FoundOut(name=one.unknown.name, before=before, now=now, left=round(100.0 * one.left), why=why)


def _foretold(found: Trial) -> str:
    told = found.foretold
    if told is None:
        return ""
    share = 100.0 * told.inside / max(told.count, 1)
    return f"Foretold without having seen it: {told.inside} of {told.count} points lie in the band, {share:.0f} in 100; 95 belong there."


def _fit(found: Trial, done: Fit) -> FitOut:
    inputs = [one for one in done.found if one.unknown.kind == INPUT]
    untold = [one for one in inputs if not one.told]
    close = [one for one in untold if one.closely > 0.95]
    numbers = f"before {done.before:.2f}, now {done.after:.2f}; 1 is what noise alone makes"
    return FitOut(
        told=[_found(one, done) for one in done.told],
        together=[f"{one.unknown.name}: {one.why_not}" for one in close[:MOST_NAMES]],
        untold=[one.unknown.name for one in untold if one not in close], meters=meters_off(done),
        usual=told_figure("trial_usual", "usual difference now", f"{done.after:.1f}", numbers, "in spreads of a point"),
        before=f"{done.before:.1f}", settled=done.settled, evenings=len(done.rigs), foretold=_foretold(found),
        text=fitted_text(found.build, done, found.measured),
    )  # fmt: skip


def trial_out(found: Trial, mark: str) -> TrialOut:
    """A trial for the browser.

    Args:
        found: the trial.
        mark: its name for the diary.

    Returns:
        What the page shows.
    """
    from ..charts_trial import trial_chart

    figures = [_figure(found, one) for one in found.verdict.shown]
    shown, compared = found.compared, found.fitted or found.compared
    return TrialOut(
        mark=mark, figures=[one for one in figures if one is not None],
        words=[one.says for one in found.verdict.shown if one.value is None], missing=list(found.verdict.missing),
        next_fire=found.verdict.next_fire, cautions=list(found.verdict.cautions),
        offsets=[_offset(log.name, off) for log, off in zip(found.logs[1:], found.offsets, strict=True)],
        inside=None if compared is None else _inside(compared),
        differences=[] if shown is None else [_difference(found, shown, one) for one in shown.differences],
        cause="" if shown is None else cause_words(shown, found, CORRECT),
        causes=[_cause(one) for one in found.every_cause[:MOST_CAUSES] if one.share > 0.0], events=_events(found),
        notes=[NoteOut(minute=round(one.time / 60.0, 1), text=one.text[:200]) for one in found.measured.notes[:100]],
        chart=trial_chart(found).to_dict(), fit=None if found.fit is None else _fit(found, found.fit),
    )  # fmt: skip
