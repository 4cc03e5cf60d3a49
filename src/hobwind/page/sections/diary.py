"""Diary: a fan's winters; evenings, cycles, health, what was done to it, photos; carried away, taken in, checked."""

from __future__ import annotations

import io
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter
from fastapi.responses import FileResponse, Response
from pydantic import BaseModel, Field
from starlette.background import BackgroundTask
from starlette.exceptions import HTTPException

from ...diary import store
from ...diary.causes import VALUES
from ...diary.exchange import export, look_over, take_in
from ...diary.store import NAME, WORKS, Diary, find_fan, folder, open_diary, rows
from ...diary_screen import checked_text
from ...errors import InputError
from ...trial.measured import Measured
from ...trial_entry import began, enter_log
from ..asking import Asked, BuildText, Refused, Responses, Shop, read_build
from ..diary_book import is_there, opened
from ..diary_demo import DEMO
from ..diary_words import WintersOut, when_of, winters_out
from ..trial_logs import Base64, LogIn, bytes_of, read
from .table import Section, Visit

router = APIRouter()
SMALL = 480  # pixels of a thumbnail's longer side
MOST_PLAIN = 6  # fans shown whole without scripts
MISSING: Responses = {404: {"model": Refused, "description": "no photo of that number"}}
OF_FANS = """SELECT f.name, (SELECT count(*) FROM evenings e JOIN logs l ON l.id = e.log_id WHERE l.fan_id = f.id) AS evenings,
 (SELECT count(*) FROM trials t WHERE t.fan_id = f.id) AS trials, (SELECT count(*) FROM photos p WHERE p.fan_id = f.id) AS photos
 FROM fans f ORDER BY f.name"""
FanName = Annotated[str, Field(min_length=1, max_length=120)]
When = Annotated[str, Field(max_length=30, description="such as 2026-01-31T18:30; empty: now")]
Words = Annotated[str, Field(max_length=2000)]


class FanOut(BaseModel):
    """One fan in the diary, and how much there is of it."""

    name: str
    evenings: int
    trials: int
    photos: int


class Fans(BaseModel):
    """The fans in the diary; `there` says whether there is a diary at all yet."""

    there: bool
    fans: list[FanOut]


class Said(BaseModel):
    """A sentence to show."""

    says: str


class Keeping(BuildText):
    """The build that is open here, to be kept as it is; `fan` names it otherwise than the file does."""

    fan: str = Field(default="", max_length=120)


class Service(Asked):
    """What was done to a fan."""

    fan: FanName
    work: str = Field(max_length=60)
    says: Words = ""
    when: When = ""


class Measurement(Asked):
    """One figure of a fan's health that was measured; `half` is how far it may be off, 19 in 20, in its own unit."""

    fan: FanName
    name: str = Field(max_length=40)
    value: float = Field(allow_inf_nan=False, ge=-1e6, le=1e6)
    half: float = Field(allow_inf_nan=False, gt=0.0, le=1e6)
    says: Words = ""
    when: When = ""


class Photo(Asked):
    """A photo of a fan, JPEG or PNG."""

    fan: FanName
    data: Base64
    says: Words = ""
    when: When = ""


class LogAsked(Asked):
    """The log of an evening of a fan; `when` is its first line, where the log itself gives no day."""

    fan: FanName
    log: LogIn
    when: When = ""


class Carried(Asked):
    """A diary that was carried here: what export wrote, or a diary's own file."""

    data: Base64


def known_fans(book: Diary) -> list[FanOut]:
    """The fans of a diary, by name."""
    return [FanOut(**row) for row in rows(book, OF_FANS)]


@contextmanager
def _reading(invented: bool) -> Iterator[Diary]:
    """The diary, or the invented one."""
    if invented:
        with open_diary(DEMO.path()) as book:
            yield book
        return
    with opened() as book:
        yield book


@contextmanager
def _of_fan(name: str) -> Iterator[tuple[Diary, str]]:
    """The diary to write to, and the fan's name in it; where there is none yet, none is made."""
    if not is_there():
        raise InputError("the diary holds no fan yet; keep the build that is open here, and it begins")
    with opened(writes=True) as book:
        yield book, str(find_fan(book, name)["name"])


@router.get("/fans")
def fans(invented: bool = False) -> Fans:
    """The fans in the diary."""
    if not invented and not is_there():
        return Fans(there=False, fans=[])
    with _reading(invented) as book:
        return Fans(there=True, fans=known_fans(book))


@router.get("/winters")
def show(fan: str = "", invented: bool = False) -> WintersOut:
    """One fan's winters."""
    if not invented and not is_there():
        raise InputError("the diary is empty; keep the build that is open here, and it begins")
    with _reading(invented) as book:
        return winters_out(book, fan or None)


@router.post("/build")
def keep_build(asked: Keeping, workshop: Shop) -> Said:
    """Keep the build that is open here as it is now."""
    build = read_build(asked, workshop)
    with opened(writes=True) as book:
        store.add_build(book, build, time.time(), asked.fan or None)
    return Said(says=f'"{asked.fan or build.name}" is in the diary as it is now, made whole.')


@router.post("/service")
def add_service(asked: Service) -> Said:
    """Enter what was done to a fan."""
    at = when_of(asked.when)
    with _of_fan(asked.fan) as (book, fan):
        store.add_service(book, fan, asked.work, asked.says, time.time() if at is None else at)
    return Said(says=f"Entered: {asked.work}.")


@router.post("/look")
def add_look(asked: Measurement) -> Said:
    """Enter a figure that was measured, such as the modules' resistance on the bench: one more look at the fan's health."""
    at = when_of(asked.when)
    if asked.name not in VALUES:
        raise InputError(f'figure: got "{asked.name}"; one of {", ".join(VALUES)} is wanted')
    with _of_fan(asked.fan) as (book, fan), store.written(book) as connection:
        row, when = store.fan_id(connection, fan), time.time() if at is None else at
        store.put_look(connection, row, when, asked.says, {asked.name: (asked.value, 0.5 * asked.half)})
    return Said(says=f"Entered: {VALUES[asked.name].says}.")


@router.post("/photo")
def add_photo(asked: Photo) -> Said:
    """Keep a photo, without the places and names that a camera writes into it."""
    at, data = when_of(asked.when), bytes_of("the photo", asked.data)
    with _of_fan(asked.fan) as (book, fan):
        store.add_photo(book, fan, data, asked.says, time.time() if at is None else at)
    return Said(says="Entered, without the places and names a camera writes into it.")


@router.get("/photo/{number}", response_class=Response, responses=MISSING)
def photo(number: int, small: bool = False) -> Response:
    """A photo, or a small one of it."""
    if not 0 < number < 2**62 or not is_there():
        raise HTTPException(404, "there is no such photo")
    with opened() as book:
        found = rows(book, "SELECT kind, data FROM photos WHERE id = ?", number)
    if not found:
        raise HTTPException(404, "there is no such photo")
    data, kind = bytes(found[0]["data"]), "image/png" if found[0]["kind"] == "png" else "image/jpeg"
    return Response(_small(data) if small else data, media_type="image/jpeg" if small else kind)


def _small(data: bytes) -> bytes:
    """A thumbnail, the right way up."""
    from PIL import Image, ImageOps

    with Image.open(io.BytesIO(data)) as picture:
        picture.draft("RGB", (SMALL, SMALL))
        turned = ImageOps.exif_transpose(picture)
        turned.thumbnail((SMALL, SMALL))
        out = io.BytesIO()
        turned.convert("RGB").save(out, "JPEG", quality=80)
    return out.getvalue()


@router.post("/log")
def add_log(asked: LogAsked, workshop: Shop) -> Said:
    """Enter the log of an evening; its columns are guessed unless they are said."""
    at, log = when_of(asked.when), read(asked.log, 20.0)
    start = began(log, time.time()) if at is None else at
    measured = Measured(log.name, log.series, log.notes, log.room, log.date, log.digest)
    with _of_fan(asked.fan) as (book, fan):
        put = enter_log(book, log, measured, fan, start)
    if put is None:
        return Said(says="That very log is in the diary already.")
    left = f"; {len(log.bad)} lines or cells left out" if log.bad else ""
    read_as = ", ".join(f"{one.header} = {one.channel}" for one in log.columns if one.channel != "-")
    return Said(says=f"Entered as log {put}, read as {read_as}{left}.")


@router.get("/export", response_class=Response)
def carry_away() -> Response:
    """The whole diary as one zip."""
    if not is_there():
        raise InputError("the diary is empty; there is nothing to carry away yet")
    place = tempfile.TemporaryDirectory(prefix="hobwind-diary-")
    with opened() as book:
        path = export(book, Path(place.name) / "diary.zip")
    return FileResponse(path, media_type="application/zip", filename="diary.zip", background=BackgroundTask(place.cleanup))


@router.post("/import")
def carry_in(asked: Carried) -> Said:
    """Take in an exported diary; what is there already is not doubled."""
    data = bytes_of("the file", asked.data)
    with tempfile.TemporaryDirectory(prefix="hobwind-diary-") as place:
        path = Path(place) / "diary.zip"
        path.write_bytes(data)
        if not data.startswith((b"PK", b"SQLite format 3")):
            raise InputError("the file is no diary; a zip that hobwind exported is wanted")
        with opened(writes=True) as book:
            new = take_in(book, path)
    told = ", ".join(f"{n} {table}" for table, n in new.items() if table not in ("channels", "blocks", "block_values"))
    return Said(says=f"Taken in: {told or 'nothing that was not there already'}.")


@router.get("/check")
def check() -> Said:
    """Check the diary's file."""
    path = folder() / NAME
    return Said(says=checked_text(str(path), look_over(path)))


def context(visit: Visit) -> Mapping[str, Any]:
    """Works and figures to choose from; without scripts the fans and their winters."""
    found: list[WintersOut] = []
    known: list[FanOut] = []
    if is_there():
        with opened() as book:
            known = known_fans(book)
            if visit.plain:
                found = [winters_out(book, one.name) for one in known[:MOST_PLAIN]]
    return {"works": WORKS, "values": VALUES, "known": known, "winters": found}


SECTION = Section(
    key="diary", title="Diary", says="The fan's winters: minutes above the limit, firings, what to check.", template="diary.html",
    router=router, script="diary.js", context=context,
)  # fmt: skip
