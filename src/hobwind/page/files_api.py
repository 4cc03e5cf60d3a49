"""Routes for build files: list, read, save, autosave, and has anybody changed it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Response
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException

from ..dossier import build_inside
from ..errors import InputError
from .asking import Asked, Refused, Responses, Shop, Text
from .keeping import digest_of
from .trial_logs import Base64, bytes_of

router = APIRouter()
MISSING: Responses = {404: {"model": Refused, "description": "no file of that name in the folder"}}


class Listed(BaseModel):
    """Build files in the folder."""

    names: list[str]


class FileText(BaseModel):
    """A file, its mark as loaded, and what was autosaved beside it and never saved (null when nothing was)."""

    name: str
    text: str
    digest: str
    autosaved: str | None


class Mark(BaseModel):
    """The mark of the file as it stands on disk; "" when it is gone."""

    digest: str


class Saving(Asked):
    """Text to write, and the mark of the file as it was loaded ("" for a new file)."""

    text: Text
    loaded: str = ""


class Spare(Asked):
    """Text to write beside the file."""

    text: Text


class Conflict(BaseModel):
    """The file on disk is another one than was loaded: what stands there now (null when it is gone)."""

    says: str
    text: str | None
    digest: str


class Dossier(Asked):
    """A dossier as it was dropped in."""

    name: Annotated[str, Field(max_length=200)]
    data: Base64


class Inside(BaseModel):
    """The build file that lies in a dossier."""

    text: str


@router.post("/dossier")
def from_dossier(asked: Dossier) -> Inside:
    """Get the build file out of a dossier; nothing is written."""
    name = asked.name or "the dossier"
    return Inside(text=build_inside(bytes_of(name, asked.data), name).text.decode("utf-8"))


@router.get("")
def names(workshop: Shop) -> Listed:
    """List the build files."""
    return Listed(names=workshop.folder.names())


@router.get("/{name}", responses=MISSING)
def read(name: str, workshop: Shop) -> FileText:
    """Read one."""
    text = workshop.folder.text_now(name)
    if text is None:
        raise HTTPException(404)
    return FileText(name=name, text=text, digest=digest_of(text), autosaved=workshop.folder.autosaved(name))


@router.get("/{name}/mark")
def mark(name: str, workshop: Shop) -> Mark:
    """Its mark now, to notice that somebody else changed it."""
    text = workshop.folder.text_now(name)
    return Mark(digest="" if text is None else digest_of(text))


@router.put("/{name}", responses={409: {"model": Conflict, "description": "changed on disk; nothing was written"}})
def save(name: str, asked: Saving, workshop: Shop) -> Mark:
    """Save it whole, if what stands on disk is still what was loaded."""
    _writable(asked.text)
    return Mark(digest=workshop.folder.save(name, asked.text, asked.loaded))


@router.put("/{name}/autosave", status_code=204)
def autosave(name: str, asked: Spare, workshop: Shop) -> Response:
    """Keep the text beside the file in case of a crash."""
    _writable(asked.text)
    workshop.folder.autosave(name, asked.text)
    return Response(status_code=204)


@router.delete("/{name}/autosave", status_code=204)
def drop_autosave(name: str, workshop: Shop) -> Response:
    """Throw away what was autosaved."""
    workshop.folder.drop_autosave(name)
    return Response(status_code=204)


def _writable(text: str) -> None:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise InputError("the text holds a broken letter (half of a pair) that no file can keep; delete it") from error
