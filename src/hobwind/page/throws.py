"""Odds and the worth list as the page gets them: bands, chances in words, what to measure, what an hour's work brings."""

from __future__ import annotations

import math
import re
from typing import Any

from pydantic import BaseModel, Field

from ..odds_screen import (
    chance_text,
    figure_text,
    give_text,
    left_out,
    missing_text,
    narrowing_text,
    range_text,
    rate,
    telling_events,
)  # fmt: skip
from ..studies.odds import HEAD, JUDGES, LEFT, SHARED_OUT, Odds, odds
from ..studies.odds_fans import TOLD, Figure
from ..studies.odds_inputs import how
from ..studies.worth import FANS, Gain, Worth, worth
from ..warm import many_are_cold
from ..worth_screen import NAMES, UNITS, cost_text, minutes_text, owners, told_change
from .asking import Asked
from .jobs import Watch
from .workshop import Workshop

QUICK, MOST = 256, 4096  # fans thrown first, and at most
MOST_MEASURES = 6
FIRST = "first time: compiling the solver for many fans at once, some thirty seconds"
LEFT_OUT = (Figure.lifts,)


class Throw(Asked):
    """How to throw: fans, seed, a face temperature asked for besides the limit, whether to share the spread out among the parts."""

    count: int = Field(default=QUICK, ge=32, le=MOST)
    seed: int = Field(default=1, ge=0, le=2**31 - 1)
    face_degC: float | None = Field(default=None, ge=20.0, le=500.0)
    shares: bool = False


class BandOut(BaseModel):
    """Between what 19 in 20 lie of one figure; `never` says how many fans never came to it."""

    key: str
    label: str
    text: str
    middle: str
    written: str
    settled_to: str
    never: str


class ChanceOut(BaseModel):
    """How often something happens, in words; `in_twenty` dots of twenty to draw."""

    key: str
    says: str
    text: str
    share: float
    in_twenty: int


class ShareOut(BaseModel):
    """What part of one figure's spread an input or a part brings, of 100."""

    figure: str
    share: float


class MeasureOut(BaseModel):
    """One input worth measuring: by how much it narrows, how to measure it (and by which bench test, if one), its shares."""

    number: int
    which: int
    name: str
    how: str
    test: str
    narrows: str
    shares: list[ShareOut]


class PartOut(BaseModel):
    """What a whole part brings to the spread of each figure, with all it does together with others."""

    part: str
    shares: list[ShareOut]


class OddsOut(BaseModel):
    """How sure the figures are."""

    head: str
    sentence: str
    count: int
    bands: list[BandOut]
    chances: list[ChanceOut]
    rest: str
    judges: str
    measures: list[MeasureOut]
    measured: str
    parts: list[PartOut]
    chart: dict[str, Any] | None


class ChangeOut(BaseModel):
    """How one figure changes: in words, and where 19 in 20 of the changes lie, for the picture."""

    name: str
    unit: str
    text: str
    mean: float | None
    half: float | None


class GainOut(BaseModel):
    """One improvement: the work, what it brings, why not where it is not worth doing, and the lines that carry it out.

    `key` is that of its why.
    """

    key: str = "worth_gain"
    says: str
    work: str
    changes: list[ChangeOut]
    helps: str
    why_not: str
    caution: str
    lines: list[str]


class WorthOut(BaseModel):
    """The worth list, best first."""

    head: str
    gains: list[GainOut]
    pair: GainOut | None
    idle: list[GainOut]


def thrown_odds(workshop: Workshop, text: str, throw: Throw, watch: Watch | None = None) -> Odds:
    """The odds of a build, from a small store when they were thrown before.

    Args:
        workshop: the run.
        text: of a build file.
        throw: how to throw.
        watch: told of progress, if any.

    Returns:
        The odds.

    Raises:
        BuildError: with every problem found.
    """
    build = workshop.read(text)

    def progress(done: int, of: int) -> None:
        if watch is not None:
            watch.tell(done / max(of, 1), f"{done:,} of {of:,} fans thrown")

    def make() -> Odds:
        if watch is not None:
            watch.tell(0.0, FIRST if many_are_cold() else "looking what has a spread")
        face = None if throw.face_degC is None else throw.face_degC + 273.15
        return odds(build, throw.count, throw.seed, progress, SHARED_OUT if throw.shares else 0, face)

    return workshop.throws.get((text, throw.count, throw.seed, throw.face_degC, throw.shares), make)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _bands(found: Odds) -> list[BandOut]:
    rows = []
    for figure, told in TOLD.items():
        band = found.bands.get(figure)
        if band is None or not math.isfinite(band.middle) or figure in LEFT_OUT:
            continue
        rows.append(
            BandOut(
                key=f"odds_{figure.name}", label=_capital(told.says), text=range_text(band.low, band.high, told.dimension),
                middle=figure_text(band.middle, told.dimension),
                written=figure_text(float(found.written[figure]), told.dimension),
                settled_to="±" + give_text(max(band.low_loose, band.high_loose), told.dimension),
                never=missing_text(figure, band.missing),
            )
        )  # fmt: skip
    return rows


def _measures(found: Odds) -> list[MeasureOut]:
    rows: list[MeasureOut] = []
    for which, one in enumerate(found.measures):
        narrows = narrowing_text(one)
        if narrows and len(rows) < MOST_MEASURES:
            shares = [
                ShareOut(figure=TOLD[figure].says, share=round(100.0 * share, 1))
                for figure, share, loose in zip(HEAD, one.share, one.loose, strict=True)
                if math.isfinite(share) and share > loose
            ]
            by = re.match(r"hobwind bench ([\w-]+)", how(one.input))
            rows.append(
                MeasureOut(
                    number=len(rows) + 1, which=which, name=one.input.die.name, how=how(one.input).removeprefix(by[0] if by else ""),
                    test=by[1] if by else "", narrows=narrows, shares=shares,
                )
            )  # fmt: skip
    return rows


def _parts(found: Odds) -> list[PartOut]:
    shares = found.shares
    if shares is None:
        return []
    rows = []
    for g, part in enumerate(shares.groups):
        whole = [(TOLD[figure].says, 100.0 * float(shares.together[f, g])) for f, figure in enumerate(HEAD)]
        told = [ShareOut(figure=says, share=round(max(share, 0.0), 1)) for says, share in whole if math.isfinite(share)]
        rows.append(PartOut(part=part, shares=told))
    return sorted(rows, key=lambda row: -sum(one.share for one in row.shares))


def odds_out(found: Odds) -> OddsOut:
    """Odds for the page.

    Args:
        found: what the thrown fans came to.

    Returns:
        Bands, chances, measures, parts, the picture.
    """
    from ..charts_odds import lying_chart

    shown = telling_events(found.events)
    chart = lying_chart(found)
    worst = shown[0]
    return OddsOut(
        head=f"{found.count:,} fans thrown, each with {len(found.inputs)} guesses within their spreads, each through a usual and an "
        "over-fired evening.",
        sentence=f"{_capital(chance_text(worst.chance))}: {worst.says}.",
        count=found.count, bands=_bands(found),
        chances=[
            ChanceOut(
                key=f"odds_chance_{event.code}", says=event.says, text=_capital(chance_text(event.chance)), share=event.chance.share,
                in_twenty=round(20.0 * event.chance.share),
            )
            for event in shown
        ],
        rest=f"And {hidden}." if (hidden := left_out(found, shown)) else "", judges=JUDGES,
        measures=_measures(found),
        measured=f"Measured with care means: {LEFT:.0%} of that input's spread is left.", parts=_parts(found),
        chart=None if chart is None else chart.to_dict(),
    )  # fmt: skip


def _gain(gain: Gain) -> GainOut:
    changes = []
    for figure, name in NAMES.items():
        if figure is not Figure.peak_face:
            whose = f" ({owners(gain)})" if figure is Figure.margin else ""
            one, (factor, unit) = gain.changes[figure], UNITS[figure]
            there = math.isfinite(one.mean)
            changes.append(
                ChangeOut(
                    name=name, unit=unit, text=told_change(figure, gain) + whose,
                    mean=round(one.mean * factor, 3) if there else None, half=round(one.half * factor, 3) if there else None,
                )
            )  # fmt: skip
    work = gain.option.work
    return GainOut(
        says=_capital(gain.option.says), work=f"{minutes_text(work.minutes)}, {cost_text(work.cost)}", changes=changes,
        helps=f"better for {rate(gain.helps)}" if 0.0 < gain.helps < 1.0 else "", why_not=gain.why_not, caution=work.caution,
        lines=list(gain.keys),
    )  # fmt: skip


def worth_out(found: Worth) -> WorthOut:
    """The worth list for the page."""
    return WorthOut(
        head="What each change brings, best first: the plate at which it starts, air on the usual plate, the least margin of "
        "the modules' faces, joints and wire on the over-fired evening, and whose it is; "
        f"± 19 in 20, from {found.count} thrown fans before and after. Minutes and costs are rough, common practice.",
        gains=[_gain(gain) for gain in found.gains], pair=None if found.pair is None else _gain(found.pair),
        idle=[_gain(gain) for gain in found.idle],
    )  # fmt: skip


def worth_list(workshop: Workshop, text: str, seed: int = 1, watch: Watch | None = None) -> WorthOut:
    """Try every improvement on a build.

    Args:
        workshop: the run.
        text: of a build file.
        seed: of the throws. [-]
        watch: told of progress, if any.

    Returns:
        The list.

    Raises:
        BuildError: with every problem found.
    """

    def progress(done: int, of: int) -> None:
        if watch is not None:
            watch.tell(
                done / max(of, 1),
                f"{done - 1} of {of - 1} throws of changed fans" if done > 1 else "the best of each kind found",
            )

    build = workshop.read(text)
    if watch is not None:
        watch.tell(0.0, FIRST if many_are_cold() else "trying every kind of work")
    return worth_out(worth(build, FANS, seed, progress))


def quick_odds(workshop: Workshop, text: str) -> OddsOut:
    """A quick throw, for a page without scripts."""
    return odds_out(thrown_odds(workshop, text, Throw()))
