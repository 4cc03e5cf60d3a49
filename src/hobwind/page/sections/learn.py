"""Learn: the heat ledger, and the equation behind every figure of the page."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

import numpy as np
from fastapi import APIRouter
from pydantic import BaseModel, Field

from ...build.editing import put_lines
from ...errors import InputError
from ...sources import told
from ...words import words
from ..asking import BuildText, Shop
from ..evenings import Fire, run_fire
from ..figures import Figure, ledger_figures
from ..throws import Throw, thrown_odds
from ..view import View, view_of
from ..whys import WHYS, Look
from .table import Section, Visit

router = APIRouter()
OVERALL = ("starts_at", "stops_at", "peak_face", "smallest_margin", "lifts_at", "sits_at")  # figures of no one plate
BranchName = Literal["from_rest", "running_down"]


class WhyAsked(BuildText):
    """Which figure, and at which plate; for figures of an evening, which fire."""

    key: str = Field(max_length=40)
    plate_degC: float = Field(default=200.0, ge=-30.0, le=510.0)
    branch: BranchName = "from_rest"
    fire: Fire | None = None
    minute: float | None = Field(default=None, ge=0.0, le=1440.0, description="for figures at one moment of that fire")
    thrown: Throw | None = Field(default=None, description="for figures of odds: how they were thrown")
    lines: list[Annotated[str, Field(max_length=200)]] = Field(
        default=[], max_length=40, description="a change to hold it against"
    )
    which: int = Field(default=0, ge=0, le=400)


class WhyOut(BaseModel):
    """The equation, its right-hand side in numbers, what it comes to (null when there is nothing), and its sources."""

    key: str
    title: str
    equation: str
    numbers: str
    value: float | None
    sources: list[str]
    at: str


class LedgerAsked(BuildText):
    """At which plate."""

    plate_degC: float = Field(default=200.0, ge=-30.0, le=510.0)
    branch: BranchName = "from_rest"


class Ledger(BaseModel):
    """Where every watt goes at one plate; `watts` are the bars' lengths."""

    plate_degC: float
    outcome: str
    lines: list[Figure]
    watts: list[float]


@router.post("/why")
def why(asked: WhyAsked, workshop: Shop) -> WhyOut:
    """The equation behind a figure, with the numbers of this build in it."""
    row = WHYS.get(asked.key)
    if row is None:
        raise InputError(f'no figure called "{asked.key[:40]}"; one of {", ".join(WHYS)} is wanted')
    view = view_of(workshop, asked.text)
    point = view.point(asked.plate_degC + 273.15, asked.branch)
    ran = None if asked.fire is None else run_fire(workshop, asked.text, asked.fire)
    thrown = None if asked.thrown is None else thrown_odds(workshop, asked.text, asked.thrown)
    changed = workshop.solve(put_lines(asked.text, asked.lines)) if asked.lines else None
    moment = None if ran is None or asked.minute is None else int(np.abs(ran.time - 60.0 * asked.minute).argmin())
    seen = point.seen if ran is None or moment is None else ran.seen[moment]
    filled = row.fill(Look(view.solved, seen, ran, thrown, changed, asked.which))
    overall = asked.key in OVERALL or asked.key.startswith(("evening", "odds", "worth", "guard", "shop", "part_margin"))
    down = ", running down" if asked.branch == "running_down" else ""
    at = "the whole build" if overall else f"settled on a plate of {point.plate - 273.15:.0f} °C{down}"
    if not overall and ran is not None and moment is not None:
        at = f"{ran.time[moment] / 60.0:.0f} min after lighting"
    return WhyOut(key=asked.key, title=row.title, equation=row.equation, numbers=filled.numbers, value=filled.value,
                  sources=[told(one) for one in row.sources], at=at)  # fmt: skip


def _ledger(view: View, plate: float, branch: str) -> Ledger:
    from ...studies.ledger import ledger as lines_of
    from ...studies.ledger import onward

    point = view.point(plate, branch)
    return Ledger(
        plate_degC=round(point.plate - 273.15, 2), outcome=point.outcome.value, lines=ledger_figures(point.seen),
        watts=[round(float(e.watts), 4) + 0.0 for e in (*lines_of(point.seen), *onward(point.seen))],
    )  # fmt: skip


@router.post("/ledger")
def heat_ledger(asked: LedgerAsked, workshop: Shop) -> Ledger:
    """Where every watt goes at one plate."""
    return _ledger(view_of(workshop, asked.text), asked.plate_degC + 273.15, asked.branch)


def context(visit: Visit) -> Mapping[str, Any]:
    """The ledger at the usual plate, and every equation."""
    ledger = None
    if visit.build is not None and (visit.plain or visit.workshop.ready.is_set()):
        view = view_of(visit.workshop, visit.text, visit.file or "build")
        ledger = _ledger(view, visit.build.stove.usual_plate.value, "from_rest")
    used = dict.fromkeys(key for row in WHYS.values() for key in row.sources)
    return {"ledger": ledger, "whys": WHYS, "cited": {key: told(key) for key in used}, "words": words()}


SECTION = Section(
    key="learn", title="Learn", says="Where every watt goes, and the equation behind every figure.", template="learn.html",
    router=router, script="learn.js", context=context,
)  # fmt: skip
