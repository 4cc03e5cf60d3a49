"""Trial: a measured fire laid over what was predicted; the guesses corrected by it; typed at the fire, or logged live."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter
from fastapi.responses import Response
from pydantic import BaseModel, Field

from ...diary import typed
from ...errors import InputError
from ...examples import example
from ...files import read_bytes
from ...trial.measured import Measured
from ...trial.together import gather, run_trial
from ...trial_entry import enter_trial
from ..asking import Asked, BuildText, Shop
from ..diary_book import opened
from ..jobs import JobState, Watch
from ..trial_logs import CHOICES, MOST_LOG, FileOut, LogIn, ReadOut, file_out, look_at, read
from ..trial_words import trial_out
from ..workshop import Workshop
from . import trial_live
from .table import Section, Visit

router = APIRouter()
router.include_router(trial_live.router)
more = APIRouter()
MOST_LOGS, MOST_EVENINGS = 5, 9
INVENTED = "boat-shed-fire.csv"
GONE = "that trial is not at hand any more; lay the log over the prediction again"


class ReadAsked(Asked):
    """One logger's file to be looked at."""

    log: LogIn
    cold_end_degC: float = Field(default=20.0, ge=-40.0, le=120.0)


class TrialAsked(BuildText):
    """A build, the loggers of one evening (the first with the plate), and other evenings that are fitted together with it."""

    file: str = Field(default="build", max_length=120)
    logs: list[LogIn] = Field(min_length=1, max_length=MOST_LOGS)
    evenings: list[LogIn] = Field(default=[], max_length=MOST_EVENINGS)
    cold_end_degC: float = Field(default=20.0, ge=-40.0, le=120.0)
    hold_back_percent: int = Field(default=0, ge=0, le=80, description="of the evening's end, to be foretold from the rest")


class EnterAsked(Asked):
    """Which trial goes into the diary: the mark that came with it."""

    mark: str = Field(max_length=64)


class Said(BaseModel):
    """A sentence to show."""

    says: str


class EntryIn(Asked):
    """One thing typed at the fire: a reading in its channel's unit, or a mark with channel "note"."""

    when_s: float = Field(ge=0.0, le=1e10, allow_inf_nan=False)
    channel: str = Field(max_length=20)
    value: float | None = Field(default=None, allow_inf_nan=False)
    mark: str = Field(default="", max_length=20)


class TypedIn(Asked):
    """All that was typed at one fire so far."""

    entries: list[EntryIn] = Field(max_length=typed.MOST_ENTRIES)


class TypedName(BaseModel):
    """One typed log that is kept here."""

    name: str
    says: str


class TypedList(BaseModel):
    """Typed logs that are kept here, the newest first."""

    names: list[TypedName]


@router.post("/read")
def read_one(asked: ReadAsked) -> ReadOut:
    """What is in a log: columns guessed or as said, first rows, lines left out, gaps."""
    return look_at(asked.log, asked.cold_end_degC)


def _start(asked: TrialAsked, workshop: Workshop, fitting: bool) -> JobState:
    build = workshop.read(asked.text, re.sub(r"[^\w .()+-]", "_", asked.file) or "build")
    mark = hashlib.sha256(f"{fitting} {asked.model_dump_json()}".encode("utf-8", "surrogatepass")).hexdigest()[:32]
    logs = [read(one, asked.cold_end_degC) for one in asked.logs]
    others = [read(one, asked.cold_end_degC) for one in asked.evenings]
    given = [one.offset_s for one in asked.logs[1:]]
    held = asked.hold_back_percent / 100.0

    def work(watch: Watch) -> dict[str, Any]:
        watch.tell(0.02, "waiting for the solver")
        while not workshop.ready.wait(0.1):
            watch.tell(0.02, "waiting for the solver")

        def tell(share: float, says: str) -> None:
            watch.tell(0.15 + 0.8 * share, says)

        def run() -> Any:
            watch.tell(0.05, "laying the fire over what was predicted")
            beside: list[Measured] = [gather(build, [log], [])[0] for log in others]
            return run_trial(build, logs, given, fitting, (), held, more=beside, tell=tell)

        found = workshop.trials.get(mark, run)
        watch.tell(0.97, "drawing")
        return trial_out(found, mark).model_dump()

    return workshop.jobs.start("fit" if fitting else "trial", work)


@router.post("/run")
def start_trial(asked: TrialAsked, workshop: Shop) -> JobState:
    """Lay a fire over what was predicted; the job's result is a `TrialOut`."""
    return _start(asked, workshop, False)


@router.post("/fit")
def start_fit(asked: TrialAsked, workshop: Shop) -> JobState:
    """The same, and correct the guesses by it; the job's result is a `TrialOut` with its `fit`."""
    return _start(asked, workshop, True)


@router.post("/diary")
def enter(asked: EnterAsked, workshop: Shop) -> Said:
    """Put a trial into the diary: the build as it is, the evening, the verdict, and what it says of the fan's health."""
    found = workshop.trials.find(asked.mark)
    if found is None:
        raise InputError(GONE)
    with opened(writes=True) as book:
        return Said(says=enter_trial(book, found).split(" See: ")[0])


@router.get("/typed")
def list_typed() -> TypedList:
    """Logs that were typed at the fire and are kept here."""
    found = []
    for path in typed.kept()[:20]:
        lines = read_bytes(path, typed.MOST_BYTES).decode("utf-8", "replace").splitlines()
        if len(lines) > 1:
            many = f"{len(lines) - 1} entries" if len(lines) > 2 else "1 entry"
            found.append(TypedName(name=path.stem, says=f"{lines[1].split(',')[0][:16]}, {many}"))
    return TypedList(names=found)


@router.put("/typed/{name}")
def keep_typed(name: str, asked: TypedIn) -> Said:
    """Keep what was typed at the fire, in place of what came before under this name."""
    typed.keep(name, [typed.Entry(one.when_s, one.channel, one.value, one.mark) for one in asked.entries])
    return Said(says=f"{len(asked.entries)} kept")


@router.get("/typed/{name}")
def one_typed(name: str) -> FileOut:
    """One typed log, to be used like any other."""
    return file_out(f"{name}.csv", typed.text_of(name).encode())


@router.get("/invented")
def invented() -> FileOut:
    """The log of an invented fire in the boat shed, to look at."""
    return file_out(INVENTED, read_bytes(example("boat-shed").with_name(INVENTED), MOST_LOG))


@more.get("/pad")
def pad(workshop: Shop, file: str = "", plain: bool = False) -> Response:
    """The pad for typing at the fire."""
    from ..pages import show_section, visit_to

    return show_section(PAD, visit_to(workshop, file, plain))


def pad_context(visit: Visit) -> Mapping[str, Any]:
    """Places to touch and their units, marks, and the drawing."""
    from ..view import look_out, view_of

    known = visit.build is not None and (visit.plain or visit.workshop.ready.is_set())
    look = look_out(view_of(visit.workshop, visit.text, visit.file or "build")) if known else None
    places = [(key, CHOICES[key], unit, low, high) for key, (unit, low, high) in typed.READINGS.items()]
    return {"places": places, "marks": typed.MARKS, "look": look}


def context(visit: Visit) -> Mapping[str, Any]:
    """What a column may hold; for a browser without scripts, the commands."""
    return {"choices": CHOICES}


PAD = Section(
    key="trial/pad", title="At the fire", says="Readings typed at the stove.", template="pad.html", script="pad.js",
    context=pad_context,
)  # fmt: skip
SECTION = Section(
    key="trial", title="Trial", says="A measured fire laid over what was predicted.", template="trial.html", router=router,
    script="trial.js", context=context, more=more,
)  # fmt: skip
