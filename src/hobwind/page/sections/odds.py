"""Odds: how sure the figures are, what to measure next, and what an hour's work is worth."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter
from pydantic import Field

from ..asking import BuildText, Shop, read_build
from ..jobs import JobState
from ..throws import MOST, QUICK, Throw, odds_out, quick_odds, thrown_odds, worth_list
from .table import Section, Visit

router = APIRouter()
COUNTS = (QUICK, 1024, MOST)


class ThrowAsked(BuildText):
    """A build and how to throw."""

    throw: Throw = Throw()


class WorthAsked(BuildText):
    """A build, and the seed of the throws."""

    seed: int = Field(default=1, ge=0, le=2**31 - 1)


@router.post("/throw")
def start_throwing(asked: ThrowAsked, workshop: Shop) -> JobState:
    """Throw a build's guesses; the job's result is an `OddsOut`."""
    read_build(asked, workshop)
    return workshop.jobs.start(
        "odds", lambda watch: odds_out(thrown_odds(workshop, asked.text, asked.throw, watch)).model_dump()
    )  # fmt: skip


@router.post("/worth")
def start_worth(asked: WorthAsked, workshop: Shop) -> JobState:
    """Try every improvement; the job's result is a `WorthOut`."""
    read_build(asked, workshop)
    return workshop.jobs.start("worth", lambda watch: worth_list(workshop, asked.text, asked.seed, watch).model_dump())


def context(visit: Visit) -> Mapping[str, Any]:
    """A quick throw and the worth list for a browser without scripts."""
    values: dict[str, Any] = {"counts": COUNTS, "found": None, "worth": None}
    if visit.build is None or not visit.plain:
        return values
    return values | {"found": quick_odds(visit.workshop, visit.text), "worth": worth_list(visit.workshop, visit.text)}


SECTION = Section(
    key="odds", title="Odds", says="How sure the figures are, what to measure next, and what an hour's work is worth.",
    template="odds.html", router=router, script="odds.js", context=context,
)  # fmt: skip
