"""Build: the living drawing, key figures, findings and their mends, cards in which every value can be changed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import BaseModel, Field

from ...build.editing import put_lines, put_value
from ...parts.catalogue import Shelf
from ...shop.parts_list import changed_parts
from ..asking import BuildText, Shop, read_build
from ..cards import Card, card, typed_places
from ..drawing import draw
from ..figures import Figure
from ..jobs import JobState
from ..judging import VerdictOut, judge
from ..view import LookOut, look_out, view_of
from .table import Section, Visit

router = APIRouter()


class CardAsked(BuildText):
    """Which card of a build."""

    key: str = Field(max_length=40)


class Edit(BuildText):
    """One value to set; null takes it out, so that the usual value stands (*don't know*)."""

    place: str = Field(max_length=120)
    value: Annotated[str, Field(max_length=300)] | None


class Edited(BaseModel):
    """The new text, and the build to look at."""

    text: str
    look: LookOut


class Try(BuildText):
    """Lines of a build file to be carried out."""

    lines: list[Annotated[str, Field(max_length=200)]] = Field(max_length=40)


class Change(BaseModel):
    """One figure before and after; its key, the plate where it is one at a plate, and each with where it was found."""

    key: str
    label: str
    before: str
    after: str
    before_of: str = ""
    after_of: str = ""


class Tried(BaseModel):
    """A mend carried out: the new text, the build to look at, figures before and after, parts to get or make and parts left over."""

    text: str
    look: LookOut
    changes: list[Change]
    wanted: list[str]
    left_over: list[str]


@router.post("/look")
def look(asked: BuildText, workshop: Shop) -> LookOut:
    """The drawing, the key figures and the settled map of a build."""
    return look_out(view_of(workshop, asked.text))


@router.post("/judge")
def start_judging(asked: BuildText, workshop: Shop) -> JobState:
    """Start the verdict; the job's result is a `VerdictOut`."""
    read_build(asked, workshop)
    return workshop.jobs.start("verdict", lambda watch: judge(workshop, asked.text, watch).model_dump())


@router.post("/verdict")
def verdict_now(asked: BuildText, workshop: Shop) -> VerdictOut:
    """The verdict at once; hunting guards may take seconds."""
    return judge(workshop, asked.text)


@router.post("/card")
def show_card(asked: CardAsked, workshop: Shop) -> Card:
    """Every value of one part, with spread, source and what it does."""
    build = read_build(asked, workshop)
    return card(build, asked.key, Shelf(workshop.folder.path), typed_places(asked.text))


@router.post("/edit")
def edit(asked: Edit, workshop: Shop) -> Edited:
    """Set one value, check the build, and show it; a problem is answered with its place."""
    text = put_value(asked.text, asked.place, asked.value)
    return Edited(text=text, look=look_out(view_of(workshop, text)))


@router.post("/try")
def try_mend(asked: Try, workshop: Shop) -> Tried:
    """Try a mend: nothing is kept, the browser decides."""
    text = put_lines(asked.text, asked.lines)
    before, after = view_of(workshop, asked.text), view_of(workshop, text)
    usual = before.build.stove.usual_plate.value
    was, now = look_out(before), look_out(after)
    old, new = {one.key: one for one in was.overall}, {one.key: one for one in now.overall}
    none = Figure(key="", label="", text="–")
    rows = [(one.label, old.get(key, none), new.get(key, none)) for key, one in (old | new).items()]
    rows += [
        (f"{one.label} at {usual - 273.15:.0f} °C", one, other)
        for one, other in zip(before.figures(usual), after.figures(usual), strict=True)
    ]
    changes = [
        Change(key=a.key or b.key, label=label, before=a.text, after=b.text, before_of=a.of, after_of=b.of)
        for label, a, b in rows if a.text != b.text
    ]  # fmt: skip
    wanted, left_over = changed_parts(before.build, after.build)
    return Tried(text=text, look=now, changes=changes, wanted=list(wanted), left_over=list(left_over))


def context(visit: Visit) -> Mapping[str, Any]:
    """Drawing, figures and findings for the page itself; with scripts the findings come later.

    While the solver is being compiled the fan is drawn cold, without figures.
    """
    if visit.build is None or not (visit.plain or visit.workshop.ready.is_set()):
        own = visit.build if visit.file else None  # what a tab without a file holds is not known here
        return {"look": None, "figures": (), "verdict": None, "cold": "" if own is None else draw(own, {}, {}, 1.0).svg}
    view = view_of(visit.workshop, visit.text, visit.file or "build")
    usual = visit.build.stove.usual_plate.value
    return {
        "look": look_out(view), "figures": view.figures(usual),
        "verdict": judge(visit.workshop, visit.text) if visit.plain else None,
    }  # fmt: skip


SECTION = Section(
    key="build", title="Build", says="The drawing, the key figures and what to mend.", template="build.html", router=router,
    script="build.js", context=context,
)  # fmt: skip
