"""The application: routes of every section, pages, own files, and one place where errors become sentences."""

from __future__ import annotations

import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from .. import __version__
from ..errors import BuildError, HobwindError
from . import doors, files_api, jobs_api, pages
from .asking import ProblemOut, Refused, Responses
from .jobs import Busy, JobDesk
from .keeping import Changed, Folder
from .sections import SECTIONS
from .walls import Walls
from .warming import warm
from .workshop import Workshop

HERE = Path(__file__).parent
REFUSALS: Responses = {422: {"model": Refused, "description": "why nothing came of it, in one sentence each"}}


def make_workshop(folder: Path, first: str = "", key: str = "") -> Workshop:
    """One run's shared things.

    Args:
        folder: the only folder from which build files are read.
        first: file in it that is opened first; "" for none.
        key: that other devices must bring; "" for none.

    Returns:
        The workshop.
    """
    return Workshop(Folder(folder), JobDesk(), first, key)


def make_app(workshop: Workshop, hosts: frozenset[str]) -> FastAPI:
    """The application behind its walls.

    Args:
        workshop: the run's shared things.
        hosts: Host headers that are ours, with port.

    Returns:
        The application.
    """

    @asynccontextmanager
    async def life(app: FastAPI) -> AsyncIterator[None]:
        threading.Thread(target=warm, args=(workshop,), daemon=True, name="warm").start()
        yield
        workshop.jobs.close()
        workshop.live.close()

    app = FastAPI(
        title="hobwind", version=__version__, summary="Routes of the page; each takes and gives JSON.",
        openapi_url="/api", docs_url=None, redoc_url=None, lifespan=life, responses=REFUSALS,
        swagger_ui_oauth2_redirect_url=None,
    )  # fmt: skip
    app.state.workshop = workshop
    for section in SECTIONS:
        if section.router is not None:
            app.include_router(section.router, prefix=f"/api/{section.key}", tags=[section.title])
    app.include_router(jobs_api.router, prefix="/api", tags=["Work"])
    app.include_router(files_api.router, prefix="/api/files", tags=["Files"])
    app.include_router(pages.router, include_in_schema=False)
    app.include_router(doors.router, include_in_schema=False)
    app.mount("/own", StaticFiles(directory=HERE / "static"))
    app.add_exception_handler(HobwindError, _told)
    app.add_exception_handler(RequestValidationError, _misshapen)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(Exception, _ours)
    app.add_middleware(Walls, hosts=hosts, key=workshop.key)
    return app


def _refused(status: int, says: str, problems: list[ProblemOut] | None = None) -> JSONResponse:
    return JSONResponse(Refused(says=says, problems=problems or []).model_dump(), status)


async def _told(request: Request, error: Exception) -> Response:
    if isinstance(error, BuildError):
        rows = [ProblemOut(place=one.place, says=one.says) for one in error.problems]
        says = str(rows[0].place) + ": " + rows[0].says if len(rows) == 1 else f"the build has {len(rows)} problems"
        return _refused(422, says, rows)
    if isinstance(error, Changed):
        return JSONResponse({"says": str(error), "text": error.text, "digest": error.digest}, 409)
    return _refused(429 if isinstance(error, Busy) else 422, str(error))


async def _misshapen(request: Request, error: Exception) -> Response:
    if not isinstance(error, RequestValidationError):
        raise error
    rows = [
        ProblemOut(place=".".join(str(word) for word in one["loc"][1:]) or "body", says=str(one["msg"]))
        for one in error.errors()[:20]
    ]
    return _refused(422, f"{rows[0].place}: {rows[0].says}" if rows else "what was sent cannot be read", rows)


async def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    if request.url.path.startswith("/api"):
        says = {404: "there is nothing at this address", 405: "this address does not take that kind of request"}
        return _refused(status, says.get(status, str(getattr(error, "detail", "refused"))))
    return pages.error_page(request, status)


async def _ours(request: Request, error: Exception) -> Response:
    says = f"hobwind itself went wrong ({type(error).__name__}); your files are untouched. Report what stands in its window"
    return _refused(500, says)
