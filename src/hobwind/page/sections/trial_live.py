"""Routes of Trial for a fire as it burns: serial ports, one live log, and the look ahead."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter
from pydantic import BaseModel, Field

from ...diary.live import Ahead, look_ahead
from ...diary_screen import alarm_words, newest_words
from ...errors import InputError
from ..asking import BuildText, Shop, read_build
from ..live_desk import MOST_PORTS, Running, ports
from ..whys_trial import ToldFigure, told_figure
from ..workshop import Workshop

router = APIRouter()
COURSE = 240  # points of the plate's course that are drawn
Degrees = Annotated[float, Field(ge=-60.0, le=900.0, allow_inf_nan=False)]
When = Annotated[float, Field(ge=0.0, le=1e10, allow_inf_nan=False)]


class PortOut(BaseModel):
    """A serial port, and what is plugged in there."""

    name: str
    says: str


class Ports(BaseModel):
    """Serial ports of this machine; `lan` says whether other devices may come in with the key of this run."""

    ports: list[PortOut]
    lan: bool


class LiveAsked(BuildText):
    """Which ports to log from, for the build on the stove."""

    ports: list[Annotated[str, Field(max_length=200)]] = Field(min_length=1, max_length=MOST_PORTS)
    baud: int = Field(default=115200, ge=300, le=4_000_000)
    names: str = Field(default="", max_length=200)
    limit_degC: float | None = Field(default=None, ge=40.0, le=400.0)
    minutes: float | None = Field(default=None, gt=0.0, le=3000.0)


class AheadOut(BaseModel):
    """What is coming if the plate goes on as now: moments from now, plate and hot face then, and how near the face is."""

    slope_K_per_min: float
    minutes: list[float]
    plate_degC: list[float]
    face_degC: list[float]
    face: ToldFigure | None
    then: ToldFigure | None
    limit_degC: float
    alarm: str = Field(pattern="^(calm|coming|close|above)$")
    says: str


class LiveOut(BaseModel):
    """The live log: what has come in and what is coming; `said` is what came of the last one, `left` of any that was cut off."""

    running: bool
    fan: str
    ports: list[PortOut]
    lines: int
    unread: int
    newest: list[ToldFigure]
    course_min: list[float]
    course_degC: list[float]
    ahead: AheadOut | None
    said: str
    left: str


class AheadAsked(BuildText):
    """The plate so far, and the newest measured face."""

    when_s: list[When] = Field(max_length=3000)
    plate_degC: list[Degrees] = Field(max_length=3000)
    face_degC: Degrees | None = None


class AheadAnswer(BaseModel):
    """What is coming; null where there is nothing to go by yet."""

    ahead: AheadOut | None


def _out(ahead: Ahead | None) -> AheadOut | None:
    if ahead is None:
        return None
    face = None
    if ahead.face_now is not None:
        how = "measured" if ahead.measured else "computed"
        numbers = f"{how}: {ahead.face_now:.1f} °C; its limit is {ahead.limit:.0f} °C"
        face = told_figure("live_face", f"hot face now, {how}", f"{ahead.face_now:.0f} °C", numbers, "the plate as it came")
    then = None
    if len(ahead.seconds) > 1:
        minutes, plate, hot = ahead.seconds[1] / 60.0, float(ahead.plate[1]), float(ahead.face[1])
        slope = 60.0 * ahead.slope
        numbers = (
            f"at {slope:+.2f} K/min the plate is then at {plate:.1f} °C, and the face, {minutes:.1f} min on, at {hot:.1f} °C"
        )
        label = f"in {minutes:.0f} min, if the plate goes on at {slope:.1f} K/min"
        then = told_figure("live_ahead", label, f"face {hot:.0f} °C", numbers, "the plate as it came", hot)
    return AheadOut(
        slope_K_per_min=round(60.0 * ahead.slope, 2), minutes=[round(one / 60.0, 1) for one in ahead.seconds],
        plate_degC=[round(one, 1) for one in ahead.plate], face_degC=[round(one, 1) for one in ahead.face], face=face, then=then,
        limit_degC=round(ahead.limit, 1), alarm=ahead.alarm, says="hot face " + alarm_words(ahead),
    )  # fmt: skip


def _live(workshop: Workshop) -> LiveOut:
    one: Running | None = workshop.live.running
    if one is None:
        return LiveOut(running=False, fan="", ports=[], lines=0, unread=0, newest=[], course_min=[], course_degC=[], ahead=None,
                       said=workshop.live.said, left=workshop.live.left)  # fmt: skip
    seen = one.seen
    with seen.lock:
        course, newest = list(seen.plate), newest_words(seen)
    skip = max(1, len(course) // COURSE)
    thin = course[::skip] + ([course[-1]] if course and (len(course) - 1) % skip else [])
    return LiveOut(
        running=True, fan=one.fan, ports=[PortOut(name=port, says=seen.state.get(port, "opening")) for port in seen.ports],
        lines=seen.lines, unread=seen.unread, newest=[
            told_figure("live_reading", name, text, f"{name} {text}, of {seen.lines} lines", ", ".join(seen.ports)) for name, text in newest
        ],
        course_min=[round((when - course[0][0]) / 60.0, 3) for when, _ in thin], course_degC=[round(plate, 1) for _, plate in thin],
        ahead=_out(one.ahead), said=one.wrong, left=workshop.live.left,
    )  # fmt: skip


@router.get("/ports")
def list_ports(workshop: Shop) -> Ports:
    """The serial ports of this machine."""
    return Ports(ports=[PortOut(name=one.name, says=one.says) for one in ports()], lan=bool(workshop.key))


@router.get("/live")
def live(workshop: Shop) -> LiveOut:
    """How the live log stands; what a crash has left behind is folded into the diary."""
    workshop.live.look_back()
    return _live(workshop)


@router.post("/live")
def start(asked: LiveAsked, workshop: Shop) -> LiveOut:
    """Begin a live log; every line is kept as it comes, and the build is entered into the diary."""
    build = read_build(asked, workshop)
    workshop.live.start(build, asked.ports, asked.baud, asked.names, asked.limit_degC, asked.minutes)
    return _live(workshop)


@router.delete("/live")
def end(workshop: Shop) -> LiveOut:
    """End the live log and fold it into the diary."""
    workshop.live.end()
    return _live(workshop)


@router.post("/ahead")
def ahead(asked: AheadAsked, workshop: Shop) -> AheadAnswer:
    """What is coming if the plate goes on as it does, from readings typed so far."""
    if len(asked.when_s) != len(asked.plate_degC):
        raise InputError(f"got {len(asked.when_s)} times and {len(asked.plate_degC)} plates; as many of both are wanted")
    solved = workshop.solve(asked.text)
    limit = solved.build.face_limit - 273.15
    course = sorted(dict(zip(asked.when_s, asked.plate_degC, strict=True)).items())
    return AheadAnswer(ahead=_out(look_ahead(solved.stack, course, asked.face_degC, limit)))
