"""The pages themselves: the doors, every section, and a plain sentence when something is not there."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from .. import __version__
from ..errors import BuildError, HobwindError, Problem
from .asking import Shop
from .keeping import digest_of
from .sections import SECTIONS, Section, Visit
from .workshop import Workshop

router = APIRouter()
TEMPLATES = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"), autoescape=True, undefined=StrictUndefined,
    trim_blocks=True, lstrip_blocks=True,
)  # fmt: skip
LANGUAGE = "en-GB"


def render(template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """One page from a template; every value is escaped."""
    shared = {"sections": SECTIONS, "version": __version__, "language": LANGUAGE, "here": "", "plain": False, "file": ""}
    return HTMLResponse(TEMPLATES.get_template(template).render(shared | values), status)


def error_page(request: Request, status: int) -> HTMLResponse:
    """What is shown where nothing is."""
    says = "There is no page at this address." if status == 404 else "That did not work."
    return render("sentence.html", status, title="Not here", says=says)


def visit_to(workshop: Workshop, file: str, plain: bool, text: str = "") -> Visit:
    """What a visit brings: the file's text when one is named, else what a door made.

    Args:
        workshop: the run.
        file: name in the folder, or "".
        plain: whether the browser runs no scripts.
        text: of a build, when no file is named.

    Returns:
        The visit; a build with problems comes with them.

    Raises:
        FileError: the file cannot be read.
        InputError: no such name.
    """
    digest, problems, build = "", (), None
    if file:
        text = workshop.folder.read(file)
        digest = digest_of(text)
    found: tuple[Problem, ...] = problems
    if text:
        try:
            build = workshop.read(text, file or "build")
        except BuildError as error:
            found = error.problems
    return Visit(workshop, text, file, digest, build, found, plain)


def show_section(section: Section, visit: Visit, fresh: bool = False) -> HTMLResponse:
    """A section's page; `fresh` says that the text comes from a door and replaces what the tab held."""
    values = dict(section.context(visit))
    return render(
        section.template, title=section.title, here=section.key, section=section, visit=visit, file=visit.file,
        plain=visit.plain, fresh=fresh, **values,
    )  # fmt: skip


@router.get("/")
def front(workshop: Shop) -> Response:
    """The build that was named on the command line, or the four doors."""
    if workshop.first:
        return RedirectResponse(f"/build?file={workshop.first}", 303)
    return RedirectResponse("/doors", 303)


Plain = Annotated[bool, Query(description="for a browser without scripts")]


def _section_route(section: Section) -> None:
    @router.get(f"/{section.key}", name=section.key)
    def page(workshop: Shop, file: str = "", plain: Plain = False) -> Response:
        try:
            return show_section(section, visit_to(workshop, file, plain))
        except HobwindError as error:
            return render("sentence.html", 404, title="Not opened", says=str(error))


for _one in SECTIONS:
    _section_route(_one)
    if _one.more is not None:
        router.include_router(_one.more, prefix=f"/{_one.key}")
