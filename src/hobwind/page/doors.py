"""The four doors of a first visit, without a file."""

from __future__ import annotations

from typing import Annotated, Any

import vl_convert as vlc
from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from ..errors import FileError, HobwindError, InputError
from ..examples import example
from . import pages
from .asking import Shop
from .bins import bin_files, build_files
from .questions import BLADES, MEASURES, QUESTIONS, fan_text, read_answer, scrap_text
from .sections import SECTIONS
from .view import look_out, view_of
from .workshop import Workshop

router = APIRouter()
EXAMPLES = (
    ("boat-shed", "The boat shed: sound, with a guard"), ("boat-shed-no-guard", "The same without a guard"),
    ("boat-shed-hunting", "A guard that hunts"), ("boat-shed-steel-screws", "Bare steel screws"),
    ("boat-shed-soft-solder", "A module with soft solder"),
)  # fmt: skip
BUILD = SECTIONS[0]
MOST_ANSWER = 40
Answers = Annotated[list[Annotated[str, Query(max_length=MOST_ANSWER)]], Query()]
SNIPPET = "window.vegaEmbed = vegaEmbed;"
_library: list[bytes] = []


@router.get("/doors")
def doors(workshop: Shop, asked: Annotated[str, Query(max_length=MOST_ANSWER)] = "") -> Response:
    """Four ways to begin; `asked` is the section that was opened without a build."""
    without = next((one.title for one in SECTIONS if one.key == asked), "")
    names = build_files(workshop.folder) if without else []
    return pages.render("doors.html", title="Begin", without=without, names=names)


@router.get("/show")
def show(workshop: Shop, plain: bool = False) -> Response:
    """The boat-shed fan on a cold plate and one slider."""
    text = example("boat-shed").read_text("utf-8")
    look = look_out(view_of(workshop, text)) if plain or workshop.ready.is_set() else None
    return pages.render("show.html", title="Show me", text=text, look=look, plain=plain)


def _made(workshop: Workshop, text: str, plain: bool) -> Response:
    return pages.show_section(BUILD, pages.visit_to(workshop, "", plain, text), fresh=True)


@router.get("/scrap")
def scrap(workshop: Shop, a: Answers = [], plain: bool = False) -> Response:  # noqa: B006 - FastAPI copies it
    """One question a screen; after the last, the drawing and the verdict."""
    says = ""
    for i, answer in enumerate(a[: len(QUESTIONS)]):
        try:
            read_answer(QUESTIONS[i], answer)
        except InputError as error:
            a, says = a[:i], str(error)
            break
    if len(a) >= len(QUESTIONS):
        return _made(workshop, scrap_text(a[: len(QUESTIONS)]), plain)
    return pages.render(
        "scrap.html", title=f"Scrap, question {len(a) + 1}", question=QUESTIONS[len(a)], number=len(a) + 1, of=len(QUESTIONS),
        answers=a, says=says,
    )  # fmt: skip


@router.get("/fan")
def fan(workshop: Shop, request: Request, ready: bool = False, plain: bool = False) -> Response:
    """Outside measurements of a fan, and from them a wide build."""
    given = {key: str(value)[:MOST_ANSWER] for key, value in request.query_params.items()}
    values: dict[str, Any] = {"measures": MEASURES, "blades": BLADES, "given": given, "says": ""}
    if ready:
        try:
            text = fan_text(given, given.get("fins", ""), given.get("blade", ""))
            visit = pages.visit_to(workshop, "", plain, text)
            if not visit.problems:
                return pages.show_section(BUILD, visit, fresh=True)
            values["says"] = " ".join(f"{one.place}: {one.says}." for one in visit.problems[:3])
        except HobwindError as error:
            values["says"] = str(error)
    return pages.render("fan.html", title="I have a fan", **values)


@router.get("/somebody")
def somebody(workshop: Shop) -> Response:
    """Open somebody's build: from the folder, or dropped here."""
    names, bins = build_files(workshop.folder), bin_files(workshop.folder)
    return pages.render("somebody.html", title="Open a build", names=names, bins=bins, examples=EXAMPLES)


@router.get("/example/{name}")
def shown_example(name: str, workshop: Shop, plain: bool = False) -> Response:
    """One of the invented builds, as a copy that is not saved yet."""
    if name not in {one for one, _ in EXAMPLES}:
        return pages.render("sentence.html", 404, title="Not here", says="There is no example of that name.")
    try:
        return _made(workshop, example(name).read_text("utf-8"), plain)
    except FileError as error:
        return pages.render("sentence.html", 404, title="Not here", says=str(error))


@router.get("/charts/library.js")
def library() -> Response:
    """The chart library out of the package that also draws the files' curves; nothing is fetched."""
    if not _library:
        _library.append(vlc.javascript_bundle(SNIPPET).encode())
    return Response(_library[0], media_type="text/javascript", headers={"Cache-Control": "max-age=86400"})
