"""The fault drill as the page gets it: what goes wrong, whether it lives, what is seen first, what makes it harmless."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from ..build import Build
from ..guards_screen import amount_text, pairs_text, short_part
from ..studies.drill import Drill, Drilled, Single, drill
from ..studies.drill_faults import FAULTS
from .jobs import Watch
from .workshop import Workshop

ZERO = 273.15


class FaultOut(BaseModel):
    """One fault alone, `which` of the table: what is assumed, what it comes to, its first sign, its cure and the lines for it."""

    which: int
    name: str
    assumed: str
    of_guard: bool
    lives: bool
    peak_degC: float
    minutes_above: float
    nearest: str
    sign: str
    in_time: bool
    cure: str
    lines: list[str]


class PairOut(BaseModel):
    """Two faults at once that kill although neither does alone."""

    name: str
    nearest: str


class DrillOut(BaseModel):
    """The whole drill."""

    sentence: str
    lives: bool
    faults: list[FaultOut]
    pairs: str
    fatal: list[PairOut]
    chart: dict[str, Any]


def _nearest(build: Build, one: Drilled) -> str:
    side = "below" if one.margin > 0.0 else "past"
    return f"{short_part(build, one.part)} {amount_text(one)} {side} its limit"


def _sign(one: Single) -> tuple[str, bool]:
    """The earliest sign in words, and whether it shows before a limit is passed."""
    if not one.seen:
        return ("nothing is seen" if one.limit_time is None else "nothing is seen before the limit"), one.limit_time is None
    first = one.seen[0]
    when = f"{first.says}, at {first.time / 60.0:.0f} min"
    if one.limit_time is None:
        return when, True
    before = (one.limit_time - first.time) / 60.0
    if before > 0.5:
        return f"{when}: {before:.0f} min before the limit", True
    return f"{when}: too late", False


def _fault(build: Build, one: Single) -> FaultOut:
    drilled, (sign, in_time) = one.drilled, _sign(one)
    return FaultOut(
        which=FAULTS.index(one.fault), name=drilled.name, assumed=one.fault.says, of_guard=one.fault.of_guard, lives=drilled.lives,
        peak_degC=round(drilled.peak - ZERO, 1), minutes_above=round(drilled.minutes_above, 1), nearest=_nearest(build, drilled),
        sign=sign, in_time=in_time, cure=one.cure, lines=list(one.keys),
    )  # fmt: skip


def drill_out(found: Drill) -> DrillOut:
    """A drill for the page, what kills first."""
    from ..charts_guards import drill_chart

    healthy, killers = found.healthy, len(found.killers)
    if healthy.lives:
        sentence = f"With nothing wrong every part lives as the over-fired evening goes: {_nearest(found.build, healthy)}. "
        sentence += f"Of {len(found.singles)} things that can go wrong {killers or 'none'} kill{'s' if killers == 1 else ''}."
    else:
        sentence = f"It does not live even with nothing wrong: {_nearest(found.build, healthy)}. First of all it wants a guard."
    rows = sorted(found.singles, key=lambda one: (one.drilled.lives, one.drilled.margin))
    return DrillOut(
        sentence=sentence, lives=healthy.lives, faults=[_fault(found.build, one) for one in rows], pairs=pairs_text(found),
        fatal=[PairOut(name=pair.name, nearest=_nearest(found.build, pair)) for pair in found.fatal_pairs],
        chart=drill_chart(found).to_dict(),
    )  # fmt: skip


def drilled(workshop: Workshop, text: str, watch: Watch | None = None) -> DrillOut:
    """Put a build through every fault.

    Args:
        workshop: the run.
        text: of a build file.
        watch: told of progress, if any.

    Returns:
        The drill.

    Raises:
        BuildError: with every problem found.
    """

    def progress(done: int, of: int, what: str) -> None:
        if watch is not None:
            watch.tell(done / of, what)

    return drill_out(drill(workshop.read(text), progress=progress))
