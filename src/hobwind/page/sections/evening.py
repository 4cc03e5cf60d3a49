"""Evening: one fire over time, chosen or drawn; curves, events, and the drawing at every instant."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter
from pydantic import BaseModel, Field

from ...scene.heat import section_temperatures
from ...stack.curves import SHAPES
from ...stack.evening import Evening
from ...stack.fields import Seen
from ...stack.keeping import End
from ..asking import BuildText, Shop
from ..evenings import Fire, run_fire
from ..figures import Figure, evening_figures
from ..jobs import JobState
from ..settled import COLUMNS, ZERO, flows_of
from ..view import LookOut, look_out, view_of
from .table import Section, Visit

router = APIRouter()
MOMENT = (("hot_face", "hottest module face"), ("speed", "speed"), ("air", "air"), ("gap", "gap under the foot"))


class FireAsked(BuildText):
    """A build and a fire."""

    fire: Fire = Fire()


class EventOut(BaseModel):
    """Something that happened."""

    minute: float
    what: str
    plate_degC: float


class Corners(BaseModel):
    """A plate's curve by its corners."""

    minutes: list[float]
    plate_degC: list[float]


class EveningOut(BaseModel):
    """One evening: figures of every instant, what happened, the curves as a chart specification."""

    outcome: str
    minutes: list[float]
    figures: dict[str, list[float | None]]
    heats_degC: dict[str, list[float | None]]
    turning: list[bool]
    events: list[EventOut]
    closing: list[Figure]
    bears: str = Field(description="whether the modules live through it, in a sentence")
    harm: bool = Field(description="whether a face passes its limit")
    hunts: str = Field(description="how the guard hunts; empty when it does not")
    corners: Corners
    chart: dict[str, Any]
    look: LookOut


def _short(value: float, places: int) -> float | None:
    return round(value, places) + 0.0 if math.isfinite(value) else None


def _hunts(ran: Evening) -> str:
    h = ran.hunting
    if h is None:
        return ""
    return (
        f"The guard hunts: {h.lifts} lifts on a plate that does not cool, one every {h.period / 60.0:.1f} minutes, the hot "
        f"face between {h.low - ZERO:.0f} °C and {h.high - ZERO:.0f} °C."
    )


def _bears(ran: Evening, limit: float) -> tuple[str, bool]:
    """Whether the faces stay below their limit, in a sentence and as a fact."""
    peak = ran.figure(End.peak_hot)
    if peak is None or not math.isfinite(peak):
        return "", False
    faces = f"the hottest face gets to {peak - ZERO:.0f} °C, its limit is {limit - ZERO:.0f} °C"
    if peak > limit:
        return f"This fire cooks the modules: {faces}, passed for {float(ran.end[End.above]) / 60.0:.0f} minutes.", True
    return f"By these figures the modules live through this fire: {faces}.", False


def evening_out(asked: FireAsked, workshop: Shop) -> EveningOut:
    """Run a fire and gather what the page shows of it."""
    from ...charts import evening_chart

    view = view_of(workshop, asked.text)
    ran = run_fire(workshop, asked.text, asked.fire)
    limit = view.build.face_limit
    bears, harm = _bears(ran, limit)
    figures: dict[str, list[float | None]] = {
        c.key: [_short(float(v) * c.scale + c.shift, c.places) for v in ran.seen[:, c.seen]] for c in COLUMNS
    }
    figures["riser_top_W"] = [_short(flows_of(row)["riser_top_W"], 2) for row in ran.seen]
    rows = [section_temperatures(row) for row in ran.seen]
    known = [name for name, heat in rows[0].items() if math.isfinite(heat) and heat > -ZERO + 1.0]
    return EveningOut(
        outcome=ran.outcome.value, minutes=[round(float(t) / 60.0, 3) for t in ran.time], figures=figures,
        heats_degC={name: [_short(row[name], 1) for row in rows] for name in known},
        turning=[bool(s > 0.5) for s in ran.seen[:, Seen.spin]],
        events=[EventOut(minute=round(e.time / 60.0, 2), what=e.what, plate_degC=round(e.plate - ZERO, 1)) for e in ran.events],
        closing=evening_figures(ran), bears=bears, harm=harm, hunts=_hunts(ran),
        chart=evening_chart(ran, limit).to_dict(), look=look_out(view),
        corners=Corners(minutes=[float(t) / 60.0 for t in ran.curve.time], plate_degC=[round(float(k) - ZERO, 2) for k in ran.curve.plate]),
    )  # fmt: skip


@router.post("/run")
def run(asked: FireAsked, workshop: Shop) -> EveningOut:
    """Run one evening."""
    return evening_out(asked, workshop)


@router.post("/drill")
def start_drill(asked: BuildText, workshop: Shop) -> JobState:
    """Run every built-in fire with the guard free, stuck down and stuck up; the job's result is a list of rows."""
    view_of(workshop, asked.text)

    limit = workshop.read(asked.text).face_limit

    def work(watch: Any) -> list[dict[str, Any]]:
        found, cases = [], [(shape, guard) for shape in SHAPES for guard in ("free", "held down", "held up")]
        if workshop.read(asked.text).guard.element is None:
            cases = [case for case in cases if case[1] == "free"]
        for i, (shape, guard) in enumerate(cases):
            watch.tell(i / len(cases), f"{shape} evening, guard {guard}")
            ran = run_fire(workshop, asked.text, Fire.model_validate({"shape": shape, "guard": guard}))
            found.append({
                "evening": shape, "guard": guard, "outcome": ran.outcome.value, "harm": _bears(ran, limit)[1],
                "figures": [one.model_dump() for one in evening_figures(ran)],
            })  # fmt: skip
        return found

    return workshop.jobs.start("drill", work)


def context(visit: Visit) -> Mapping[str, Any]:
    """The over-fired evening for a browser without scripts."""
    values: dict[str, Any] = {
        "shapes": SHAPES,
        "moment": MOMENT,
        "closing": (),
        "events": (),
        "picture": "",
        "hunts": "",
        "bears": "",
        "harm": False,
    }
    if visit.build is None or not visit.plain:
        return values
    ran = run_fire(visit.workshop, visit.text, Fire())
    bears, harm = _bears(ran, visit.build.face_limit)
    return values | {"bears": bears, "harm": harm, "closing": evening_figures(ran), "events": ran.events, "hunts": _hunts(ran)}


SECTION = Section(
    key="evening", title="Evening", says="One fire over time: faces, speed, air and gap.", template="evening.html",
    router=router, script="evening.js", context=context,
)  # fmt: skip
