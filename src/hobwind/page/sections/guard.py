"""Guard: kinds side by side, where the element sits, stroke, the fault drill, and a found fan mended."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter

from ...build.retrofit_file import SIGNS
from ...examples import example
from ...files import read_bytes
from ..asking import BuildText, Shop, read_build
from ..drills import drilled
from ..found import FORM, SEEN, FanAsked, check_fan, worked_out
from ..found_logs import StretchesAsked, stretches_of
from ..guarding import TITLES, GuardLook, compared, guard_look
from ..jobs import JobState, Watch
from ..trial_logs import CHOICES, MOST_LOG, FileOut, file_out, read
from .table import Section, Visit

router = APIRouter()
FAN, INVENTED = "boat-shed-found-fan", "boat-shed-found-fire.csv"
LOOKS = 3  # settled readings of a found fan that the form has room for


@router.post("/look")
def look(asked: BuildText, workshop: Shop) -> GuardLook:
    """The build's own guard along its stroke, and every place where an element could sit."""
    return guard_look(workshop, asked.text)


@router.post("/compare")
def start_comparing(asked: BuildText, workshop: Shop) -> JobState:
    """Size every kind of guard and judge them side by side; the job's result is a `GuardsOut`."""
    read_build(asked, workshop)
    return workshop.jobs.start("guards", lambda watch: compared(workshop, asked.text, watch).model_dump())


@router.post("/drill")
def start_drill(asked: BuildText, workshop: Shop) -> JobState:
    """Let one thing after another go wrong in the over-fired evening; the job's result is a `DrillOut`."""
    read_build(asked, workshop)
    return workshop.jobs.start("faults", lambda watch: drilled(workshop, asked.text, watch).model_dump())


@router.post("/found")
def start_found(asked: FanAsked, workshop: Shop) -> JobState:
    """Work out a fan known from outside only; the job's result is a `FoundOut`."""
    outside = check_fan(asked)
    return workshop.jobs.start("found fan", lambda watch: worked_out(outside, watch).model_dump())


@router.post("/stretches")
def start_stretches(asked: StretchesAsked, workshop: Shop) -> JobState:
    """Take what is near rest out of logs of a found fan; the job's result is a `StretchesOut`."""
    outside = check_fan(asked.fan)
    logs = [read(one, asked.cold_end_degC) for one in asked.logs]

    def work(watch: Watch) -> dict[str, Any]:
        watch.tell(0.1, "the fan by rule, along the fire")
        return stretches_of(outside, asked.fan, logs).model_dump()

    return workshop.jobs.start("fan's logs", work)


@router.get("/invented")
def invented() -> FileOut:
    """The log of an invented fire with the boat shed's found fan on the stove."""
    return file_out(INVENTED, read_bytes(example(f"retrofit/{FAN}").with_name(INVENTED), MOST_LOG))


def context(visit: Visit) -> Mapping[str, Any]:
    """The form of a found fan; without scripts the guard as it stands and every kind beside it."""
    values: dict[str, Any] = {
        "form": FORM,
        "seen": SEEN,
        "signs": SIGNS,
        "looks": LOOKS,
        "look": None,
        "found": None,
        "choices": CHOICES,
        "kinds": list(TITLES),
    }
    if visit.build is None or not visit.plain:
        return values
    return values | {"look": guard_look(visit.workshop, visit.text), "found": compared(visit.workshop, visit.text)}


SECTION = Section(
    key="guard", title="Guard", says="Kinds of guard side by side, where the element sits, what can go wrong.",
    template="guard.html", router=router, script="guard.js", context=context,
)  # fmt: skip
