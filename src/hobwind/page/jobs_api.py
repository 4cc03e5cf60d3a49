"""Routes for long work, and for whether the solver is ready."""

from __future__ import annotations

from fastapi import APIRouter
from pydantic import BaseModel
from starlette.exceptions import HTTPException

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
