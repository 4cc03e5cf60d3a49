"""Shop: sheets at scale, holes and threads, clamp, stack-up, wiring, the build order to tick, and the dossier."""

from __future__ import annotations

import base64
import secrets
from collections.abc import Mapping
from typing import Any, Literal

from fastapi import APIRouter, Response
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException

from ...dossier_maker import check_photos
from ..asking import BuildText, Refused, Responses, Shop, read_build
from ..jobs import JobState, Watch
from ..shop_files import all_files, dossier_file, sheets_file, template_file
from ..shopping import ShopOut, shop_out
from .table import Section, Visit

router = APIRouter()
Paper = Literal["A4", "Letter"]
PDF, ZIP, DXF = "application/pdf", "application/zip", "image/vnd.dxf"


class ShopAsked(BuildText):
    """A build, the paper its sheets are printed on, and whether inches stand beside the millimetres."""

    paper: Paper = "A4"
    inch: bool = False


class TemplateAsked(BuildText):
    """Which template of a build."""

    key: str = Field(max_length=60)


class DossierOut(BaseModel):
    """A dossier that is ready: what it is fetched by, its file name, its size."""

    id: str
    name: str
    bytes: int


def _file(kind: str) -> dict[str, Any]:
    return {"response_class": Response, "responses": {200: {"content": {kind: {}}, "description": "the file"}}}


def _sent(file: tuple[str, bytes], kind: str) -> Response:
    name, data = file
    return Response(data, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'})


@router.post("/look")
def look(asked: ShopAsked, workshop: Shop) -> ShopOut:
    """Sheets, topics and the build order."""
    return shop_out(workshop, asked.text, asked.paper, asked.inch)


@router.post("/sheets", **_file(PDF))
def sheets(asked: ShopAsked, workshop: Shop) -> Response:
    """Every sheet as one PDF at true scale."""
    return _sent(sheets_file(workshop, asked.text, asked.paper, asked.inch), PDF)


@router.post("/template", **_file(DXF))
def template(asked: TemplateAsked, workshop: Shop) -> Response:
    """One template as DXF, for a laser or a plotter."""
    return _sent(template_file(workshop, asked.text, asked.key), DXF)


@router.post("/everything", **_file(ZIP))
def everything(asked: ShopAsked, workshop: Shop) -> Response:
    """The PDF, an SVG of each page and a DXF of each template, in one ZIP."""
    return _sent(all_files(workshop, asked.text, asked.paper, asked.inch), ZIP)


@router.get("/sheets", **_file(PDF))
def sheets_of(workshop: Shop, file: str, paper: Paper = "A4", inch: bool = False) -> Response:
    """Every sheet of a saved build as one PDF, for a browser without scripts."""
    return _sent(sheets_file(workshop, workshop.folder.read(file), paper, inch), PDF)


@router.get("/everything", **_file(ZIP))
def everything_of(workshop: Shop, file: str, paper: Paper = "A4", inch: bool = False) -> Response:
    """The ZIP of a saved build, for a browser without scripts."""
    return _sent(all_files(workshop, workshop.folder.read(file), paper, inch), ZIP)


@router.post("/dossier")
def start_dossier(asked: ShopAsked, workshop: Shop) -> JobState:
    """Make the dossier; the job's result is a `DossierOut`, by whose id it is fetched."""
    check_photos(read_build(asked, workshop), workshop.folder.path)

    def work(watch: Watch) -> dict[str, Any]:
        name, data = dossier_file(workshop, asked.text, asked.paper, watch)
        key = secrets.token_urlsafe(12)
        workshop.papers.get(key, lambda: (name, data))
        return DossierOut(id=key, name=name, bytes=len(data)).model_dump()

    return workshop.jobs.start("dossier", work)


MISSING: Responses = {
    200: {"content": {PDF: {}}, "description": "the file"},
    404: {"model": Refused, "description": "no dossier of that name; it was made too long ago, make it again"},
}


@router.get("/dossier/{name}", response_class=Response, responses=MISSING)
def dossier(name: str, workshop: Shop) -> Response:
    """A dossier that was made in this run; the last few are kept."""
    found = workshop.papers.there(name)
    if found is None:
        raise HTTPException(404)
    return _sent(found, PDF)


def context(visit: Visit) -> Mapping[str, Any]:
    """Sheets and topics for a browser without scripts."""
    if visit.build is None or not visit.plain:
        return {"shop": None, "pictures": ()}
    found = shop_out(visit.workshop, visit.text, "A4", False)
    pictures = [
        (one, f"data:image/svg+xml;base64,{base64.b64encode(one.svg.encode()).decode()}") for one in found.sheets
    ]  # fmt: skip
    return {"shop": found, "pictures": pictures}


SECTION = Section(
    key="shop", title="Shop", says="Paper for the bench: sheets, holes, clamp, wiring, order of work.", template="shop.html",
    router=router, script="shop.js", context=context,
)  # fmt: skip
