"""Logs of a found fan on the page: which stretches are near rest, what each told, and the rows of the form they come to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pydantic import BaseModel, Field

from ..build.retrofit_build import reduced
from ..build.retrofit_file import Outside, Sighting
from ..errors import InputError
from ..found_fan_screen import CAUTION, RULE, room_words, told_words, when_words
from ..trial.found_fan import with_logs
from ..trial.logs import Log
from ..trial.settled import Logged
from ..trial.together import gather
from .asking import Asked
from .found import FanAsked
from .trial_logs import LogIn, on_the_page

MOST_LOGS = 4  # of one fan
ZERO = 273.15
RPM = 9.549296585513721


class StretchesAsked(Asked):
    """A found fan as its form stands, rows of its own looks among it, and the logs of evenings with it on the stove."""

    fan: FanAsked
    logs: list[LogIn] = Field(min_length=1, max_length=MOST_LOGS)
    cold_end_degC: float = Field(default=20.0, ge=-40.0, le=120.0)


class StretchOut(BaseModel):
    """One stretch taken: when and how near rest, what each place told, and its row of the form."""

    when: str
    told: list[str]
    row: dict[str, str]


class LogOut(BaseModel):
    """One log: how its room and blade are known, its picture, and what was taken."""

    name: str
    says: str
    chart: dict[str, Any]
    stretches: list[StretchOut]


class StretchesOut(BaseModel):
    """What logs told; `fills` are fields of the form that were blank, `stove` says how they come about."""

    logs: list[LogOut]
    rule: str
    caution: str
    stove: list[str]
    fills: dict[str, str]


def row_of(one: Sighting) -> dict[str, str]:
    """A look as a row of the form, in the units that stand there."""
    row = {"plate": f"{one.plate - ZERO:.1f}"}
    if one.room is not None:
        row["room"] = f"{one.room - ZERO:.1f}"
    row |= {place: f"{read.value - ZERO:.1f} ± {read.half:.1f}" for place, read in one.temperatures}
    if one.speed is not None:
        row["speed"] = f"{one.speed.value * RPM:.0f} ± {one.speed.half * RPM:.0f}"
    return row | ({"turns": "yes"} if one.turns else {})


def _log(log: Logged) -> LogOut:
    from ..charts_found_fan import log_chart

    words = room_words(log)
    return LogOut(
        name=log.measured.name, says=f"{words[:1].upper()}{words[1:]}.", chart=log_chart(log).to_dict(),
        stretches=[
            StretchOut(when=when_words(one), told=[told_words(told) for told in one.told], row=row_of(one.sighting))
            for one in log.stretches
        ],
    )  # fmt: skip


def stretches_of(outside: Outside, asked: FanAsked, logs: Sequence[Log]) -> StretchesOut:
    """Take what is near rest out of logs of a found fan.

    Args:
        outside: what the form comes to.
        asked: the form, to know what is blank in it.
        logs: as read.

    Returns:
        What was taken, and what to fill into the form.

    Raises:
        InputError: a log tells nothing of this fan.
    """
    build = reduced(outside).build
    try:
        found = with_logs(outside, [gather(build, [log], [])[0] for log in logs])
    except InputError as error:
        raise InputError(on_the_page(str(error))) from error
    stove = found.outside.kept.get("stove", {})
    fills = {
        place: str(stove[key]).removesuffix(" °C")
        for key in ("usual_plate", "worst_plate")
        if not asked.values.get(place := f"stove.{key}", "").strip() and key in stove
    }
    return StretchesOut(
        logs=[_log(one) for one in found.logs], rule=RULE, caution=CAUTION, stove=list(found.stove), fills=fills
    )
