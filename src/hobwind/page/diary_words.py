"""A fan's winters as the page shows them: figures with their whys, the time line, health, curves."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from ..diary.causes import VALUES
from ..diary.health import FEWEST, Course, Health, looks_of
from ..diary.store import Diary
from ..diary.summary import Winters, winters
from ..diary_screen import day, health_words, span
from ..errors import InputError
from .whys_trial import Told, ToldFigure, told, told_figure


class ItemOut(BaseModel):
    """One thing on the time line: when, of what kind, what it was, and the photo's row where it is one."""

    when_s: float
    day: str
    kind: str
    title: str
    says: str
    photo: int | None
    why: Told | None = None


class CycleOut(BaseModel):
    """Cycles of the hot face of one depth."""

    depth: str
    count: float


class HealthOut(BaseModel):
    """What the looks say of the fan's health, what to check next and when, and what is on hand."""

    changed: bool
    says: str
    check: str
    look_by: str
    values: list[ToldFigure]
    spares: list[str]


class WintersOut(BaseModel):
    """Everything of one fan; `wanted` says what is still missing for a word on its health."""

    fan: str
    figures: list[ToldFigure]
    cycles: list[CycleOut]
    timeline: list[ItemOut]
    health: HealthOut | None
    wanted: str
    chart: dict[str, Any] | None
    looks: dict[str, Any] | None


def _figures(found: Winters) -> list[ToldFigure]:
    lit = found.evenings
    hours = sum(one["ended_s"] - one["began_s"] for one in lit)
    judged = [one for one in lit if one["minutes_above_limit"] is not None]
    above = sum(one["minutes_above_limit"] for one in judged)
    cycles = sum(one["count"] for one in found.cycles)
    measured = sum(one["face_from"] == "measured" for one in lit)
    faces = f"the face measured on {measured}, computed from the plate on {sum(one['face_from'] == 'computed' for one in lit)}"
    at = f"{len(found.logs)} logs in the diary"
    return [
        told_figure("diary_evenings", "evenings lit", f"{len(lit)}", f"{len(lit)} such stretches in {len(found.logs)} logs", at),
        told_figure("diary_lit", "lit in all", span(hours), f"sum over {len(lit)} evenings: {hours / 3600.0:.1f} h", at),
        told_figure("diary_above", "hot face above its limit", f"{above:.0f} min" if judged else "not known",
                    f"sum over {len(judged)} evenings: {above:.1f} min; {faces}", at),
        told_figure("diary_cycles", "cycles of the hot face", f"{cycles:g}",
                    "; ".join(f"{c['depth_from_K']:.0f} to {c['depth_to_K']:.0f} K: {c['count']:g}" for c in found.cycles) or "none", at),
    ]  # fmt: skip


def _value(one: Course) -> ToldFigure:
    value = VALUES[one.name]
    unit = "K" if value.unit == "°C" else value.unit
    change = f"{one.a_year:+.3g} ± {2.0 * one.doubt:.2g} {unit} a year"
    alarm = f"its running sum stands at {one.alarm:.2f} of the height that alarms"
    changed = ", changed" if one.alarm >= 1.0 else ""
    numbers = f"first {one.first:.4g}, last {one.last:.4g} {value.unit}; {change}; {alarm}"
    return told_figure(
        "diary_value", f"{value.says}: {change}{changed}", f"{one.last:.4g} {value.unit}", numbers, "looks since it was changed"
    )


def _health(health: Health, spares: tuple[str, ...]) -> HealthOut:
    return HealthOut(
        changed=health.changed, says=health_words(health), check=health.check, look_by=day(health.next_look),
        values=[_value(one) for one in health.courses], spares=list(spares),
    )  # fmt: skip


def _items(found: Winters) -> Iterator[ItemOut]:
    def item(when: float, kind: str, title: str, says: str, photo: int | None = None, why: Told | None = None) -> ItemOut:
        return ItemOut(when_s=when, day=day(when), kind=kind, title=title, says=says, photo=photo, why=why)

    for one in found.evenings:
        peak = f", hot face {one['peak_face_degC']:.0f} °C ({one['face_from']})" if one["peak_face_degC"] is not None else ""
        over = one["minutes_above_limit"]
        above = "" if not over else f"; {over:.0f} min above its limit of {one['limit_degC']:.0f} °C"
        says = f"plate to {one['peak_plate_degC']:.0f} °C{peak}{above}"
        lit, limit = one["ended_s"] - one["began_s"], one["limit_degC"]
        numbers = f"{lit / 60.0:.1f} min between the first and the last reading above 60 °C; {says}"
        if limit is not None and one["peak_face_degC"] is not None:
            numbers += f"; {limit:.0f} °C − {one['peak_face_degC']:.1f} °C left"
        yield item(
            one["began_s"],
            "evening",
            f"lit for {span(lit)}",
            says,
            why=told("diary_evening", numbers, day(one["began_s"]), lit / 60.0),
        )
    for one in found.services:
        yield item(one["done_s"], "done", one["work"], one["says"])
    for one in found.trials:
        yield item(one["taken_s"], "trial", "trial", one["says"], why=told("diary_trial", one["says"], day(one["taken_s"])))
    for one in found.builds:
        yield item(one["kept_s"], "build", "build as it was", f"mark {one['digest']}")
    for one in found.photos:
        yield item(one["taken_s"], "photo", "photo", one["says"], one["id"])


def _wanted(found: Winters) -> str:
    if found.health is not None:
        return ""
    if not found.builds:
        return "No build of this fan is in the diary yet: enter the one that is open here."
    many = "1 look" if found.looks == 1 else f"{found.looks} looks"
    return f"{many} since the fan was last changed; with {FEWEST} the diary says how it is ageing. Every trial put in is one."


def winters_out(diary: Diary, fan: str | None) -> WintersOut:
    """A fan's winters for the browser.

    Args:
        diary: to read from.
        fan: its name; None: the only one.

    Returns:
        What the page shows.

    Raises:
        InputError: no such fan.
        DiaryError: the diary cannot be read.
    """
    from ..charts_diary import looks_chart, winters_chart

    found = winters(diary, fan)
    name = found.fan["name"]
    curves = looks_chart(looks_of(diary, found.fan["id"], True), found.services, f"{name}: what every look found")
    return WintersOut(
        fan=name, figures=_figures(found),
        cycles=[CycleOut(depth=f"{c['depth_from_K']:.0f} to {c['depth_to_K']:.0f} K", count=c["count"]) for c in found.cycles],
        timeline=sorted(_items(found), key=lambda one: -one.when_s),
        health=None if found.health is None else _health(found.health, found.spares), wanted=_wanted(found),
        chart=winters_chart(found).to_dict() if found.evenings else None, looks=None if curves is None else curves.to_dict(),
    )  # fmt: skip


def when_of(text: str) -> float | None:
    """A day, or a day and a time, as a browser's form gives it; None when it is empty. [s since 1970]

    Raises:
        InputError: it is none.
    """
    if not text:
        return None
    for form in ("%Y-%m-%dT%H:%M", "%Y-%m-%d"):
        with contextlib.suppress(ValueError, OverflowError):
            return time.mktime(time.strptime(text, form))
    raise InputError(f'when: got "{text[:30]}"; a day such as 2026-01-31, or 2026-01-31T18:30, is wanted')
