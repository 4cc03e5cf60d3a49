"""Routes that every section uses: long work, whether the solver is ready, units, and words."""

from __future__ import annotations

from fastapi import APIRouter
from pydantic import BaseModel
from starlette.exceptions import HTTPException

from ..parts.catalogue import sized_names
from ..units import IN_TEXT
from ..words import words
from .asking import Refused, Responses, Shop
from .jobs import JobState
from .warming import COMPILING

router = APIRouter()
MISSING: Responses = {404: {"model": Refused, "description": "no job of that name; it ended more than ten minutes ago"}}


class Ready(BaseModel):
    """Whether figures can be had, and what to say while they cannot."""

    ready: bool
    says: str


@router.get("/ready")
def ready(workshop: Shop) -> Ready:
    """Whether the solver is compiled and loaded."""
    done = workshop.ready.is_set()
    return Ready(ready=done, says="" if done else COMPILING)


class UnitRule(BaseModel):
    """How figures in one unit are shown in another: times `factor`, plus `shift`, so many more decimals."""

    unit: str
    factor: float
    shift: float
    instead: str
    more: int


class UnitRules(BaseModel):
    """Rules in the order in which they are carried out; `names` of parts hold a unit and stay as they are."""

    rules: list[UnitRule]
    names: list[str]


@router.get("/units")
def inch_units() -> UnitRules:
    """What the page needs to show °F, inches and cfm."""
    rules = [UnitRule(unit=u, factor=f, shift=s, instead=i, more=m) for u, f, s, i, m in IN_TEXT]
    return UnitRules(rules=rules, names=list(sized_names()))


class WordOut(BaseModel):
    """A word, or several of one meaning, and what it means."""

    names: list[str]
    says: str


@router.get("/words")
def every_word() -> list[WordOut]:
    """Every word of the trade and of ours that stands on the page."""
    return [WordOut(names=list(one.names), says=one.plain) for one in words()]


@router.get("/jobs/{name}", responses=MISSING)
def look(name: str, workshop: Shop) -> JobState:
    """How a job stands, with its result once it is done."""
    found = workshop.jobs.state(name)
    if found is None:
        raise HTTPException(404)
    return found


@router.delete("/jobs/{name}", responses=MISSING)
def stop(name: str, workshop: Shop) -> JobState:
    """Stop a job."""
    found = workshop.jobs.stop(name)
    if found is None:
        raise HTTPException(404)
    return found


@router.post("/jobs/{name}/enough", responses=MISSING)
def enough(name: str, workshop: Shop) -> JobState:
    """Ask a job for what it has found so far; work that cannot give half a result goes on."""
    found = workshop.jobs.enough(name)
    if found is None:
        raise HTTPException(404)
    return found
