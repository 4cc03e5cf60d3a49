"""A fan known from outside only: its form, and what comes of it: what killed it, which modules fit, a guard that bolts on."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, Field

from ..build.editing import put_lines
from ..build.retrofit_file import MOST_SEEN, SIGNS, Outside, outside_from_text
from ..build.toml_lines import section_lines, toml_value
from ..errors import InputError
from ..odds_screen import rate
from ..studies.retrofit import Retrofit, asks, retrofit
from .asking import Asked
from .guarding import TITLES, GuardFigure, guard_figures
from .jobs import Watch
from .whys_found import FIT_HEADS, band_figures, cause_figure, fit_figures, heat_figures
from .whys_trial import ToldFigure

ZERO = 273.15


@dataclass(frozen=True)
class Asks:
    """One thing to measure: its place in the file, label, unit, an example, what is taken when it is not known ("": left out)."""

    place: str
    label: str
    unit: str
    example: str
    guess: str
    helps: str = ""


FORM: tuple[tuple[str, tuple[Asks, ...]], ...] = (
    ("Size it up, cold", (
        Asks("fan.weight", "weight", "g", "1850 ± 20", "1500 ± 600 g", "on a kitchen scale"),
        Asks("fan.base_width", "foot, across", "mm", "60", "60 ± 15 mm"),
        Asks("fan.base_depth", "foot, front to back", "mm", "60", "60 ± 15 mm"),
        Asks("fan.height", "stove plate to the tips of the fins", "mm", "158", "150 ± 40 mm"),
        Asks("fan.sink_from", "stove plate to where the sink begins", "mm", "112", ""),
        Asks("fan.sink_width", "sink, across the fins", "mm", "150", "100 ± 25 mm"),
        Asks("fan.sink_depth", "sink, along the fins", "mm", "100", "80 ± 20 mm"),
        Asks("fan.fins", "number of fins", "", "14", "12"),
        Asks("fan.hub", "stove plate to the middle of the blade", "mm", "215", "180 ± 40 mm"),
        Asks("fan.hub_before", "sink's front edge to the middle of the blade", "mm", "12", "", "how far out motor and blade hang"),
        Asks("fan.blade_diameter", "blade, tip to tip", "mm", "150", "150 ± 25 mm"),
        Asks("fan.vanes", "vanes of the blade", "", "4", ""),
        Asks("fan.motor_diameter", "motor, across", "mm", "24", ""),
    )),
    ("A wider plate under the modules, if there is one", (
        Asks("fan.plate_width", "its width", "mm", "90", ""), Asks("fan.plate_depth", "its depth", "mm", "60", ""),
        Asks("fan.plate_thickness", "its thickness", "mm", "8", ""),
    )),
    ("Modules and stove", (
        Asks("module.size", "module, across", "mm", "40", "", "what shows between plate and sink"),
        Asks("module.thickness", "module, thickness", "mm", "3.9 ± 0.1", "", "feelers in the slit"),
        Asks("stove.usual_plate", "stove plate on a usual evening", "°C", "230", ""),
        Asks("stove.worst_plate", "stove plate at its worst", "°C", "330", ""),
    )),
)  # fmt: skip
ASKED = {one.place: one for _, rows in FORM for one in rows}
SEEN = (("plate", "stove plate", "°C"), ("room", "room", "°C"), ("base", "riser, just above the plate", "°C"),
        ("top", "riser, under the modules", "°C"), ("sink", "sink, between two fins", "°C"), ("speed", "blade", "rpm"))  # fmt: skip
TICKED = "ticked"
SEEN_UNITS = {key: unit for key, _, unit in SEEN} | {"turns": TICKED}
WORD = Annotated[str, Field(max_length=40)]


class FanAsked(Asked):
    """What was measured from outside, by place in the file ("fan.height"), as typed; blank for *don't know*.

    A row of `seen` may have "turns", of any text, where the blade turned.
    """

    name: Annotated[str, Field(max_length=80)] = "My found fan"
    values: Annotated[dict[WORD, WORD], Field(max_length=40)] = {}
    shows: Annotated[list[WORD], Field(max_length=len(SIGNS))] = []
    seen: Annotated[list[Annotated[dict[WORD, WORD], Field(max_length=len(SEEN) + 1)]], Field(max_length=MOST_SEEN)] = []


class CauseOut(BaseModel):
    """What may have killed the modules: how likely in words, what happened, what helps against it."""

    share: float
    likely: ToldFigure
    says: str
    mend: str


class FitOut(BaseModel):
    """One module in place of the old; `figures` in the order of `FIT_HEADS`, none where it does not fit at all."""

    name: str
    against: str
    lives: bool
    all_live: bool
    figures: list[ToldFigure]


class BoltOut(BaseModel):
    """One guard for the found fan: what it asks of it, what stands against it, and the build with it."""

    title: str
    asks: str
    sizes: str
    parts: list[str]
    against: list[str]
    figures: list[GuardFigure]
    best: bool
    text: str


class FoundOut(BaseModel):
    """Everything found about one fan; `text` is its reduced build."""

    name: str
    rules: list[str]
    tuned: list[str]
    bands: list[ToldFigure]
    heat: list[ToldFigure]
    signs: str
    causes: list[CauseOut]
    fit_heads: list[str]
    fits: list[FitOut]
    fits_chart: dict[str, Any] | None
    sentence: str
    guards: list[BoltOut]
    guards_chart: dict[str, Any]
    text: str


def _typed(typed: str, unit: str) -> str | int | bool:
    """As the file has it: the unit added where none was typed; whole numbers as such where there is no unit; a tick is true."""
    text = typed.strip()
    if unit == TICKED:
        return True
    if not unit:
        return int(text) if re.fullmatch(r"\d{1,6}", text) else text
    return text if re.search(r'[A-Za-z°"]', text) else f"{text} {unit}"


def outside_text(asked: FanAsked) -> str:
    """The file of outside measurements that a form comes to.

    Args:
        asked: the form.

    Returns:
        TOML; what is not known is guessed widely or left to the rules.

    Raises:
        InputError: a place that the form does not have.
    """
    sections: dict[str, dict[str, Any]] = {"stove": {}, "fan": {}, "module": {}}
    for place in asked.values:
        if place not in ASKED:
            raise InputError(f'got "{place}"; one of {", ".join(ASKED)} is wanted')
    for place, one in ASKED.items():
        section, key = place.split(".")
        typed = asked.values.get(place, "").strip()
        if typed or one.guess:
            sections[section][key] = _typed(typed or one.guess, one.unit)
    if asked.shows:
        sections["module"]["shows"] = list(asked.shows)
    lines = ["# Measured from outside on a fan whose inside is unknown; blanks were guessed.", "", "format = 1",
             f"name = {toml_value(asked.name.strip() or 'My found fan')}"]  # fmt: skip
    for head, table in sections.items():
        if table:
            lines += section_lines(f"[{head}]", table)
    for row in asked.seen:
        known = {key: _typed(typed, SEEN_UNITS.get(key, "")) for key, typed in row.items() if typed.strip()}
        if known:
            lines += section_lines("[[seen]]", {key: known[key] for key in known})
    return "\n".join(lines) + "\n"


def outside_of(asked: FanAsked) -> Outside:
    """What a form comes to, checked.

    Args:
        asked: the form.

    Returns:
        The outside measurements.

    Raises:
        BuildError: with every problem, each at its place in the form.
        InputError: a place that the form does not have.
    """
    return outside_from_text(outside_text(asked), "what was measured")


def _degrees(kelvin: float | None, otherwise: str = "never") -> str:
    return otherwise if kelvin is None else f"{kelvin - ZERO:.0f} °C"


def found_out(found: Retrofit) -> FoundOut:
    """A found fan for the page."""
    from ..charts_guards import guards_chart
    from ..charts_retrofit import modules_chart

    death, best = found.death, found.best
    text = found.made.text
    fits = [
        FitOut(name=f"{one.count} × {one.part.name}", against=one.against, figures=fit_figures(one, found.build),
               lives=one.peak is not None and one.peak < one.limit, all_live=one.margin is not None and one.margin > 0.0)
        for one in found.fits
    ]  # fmt: skip
    if best is None:
        nearest = found.reason.removeprefix("no guard here serves. ")
        sentence = f"No guard that leaves the fan closed serves. {nearest[:1].upper()}{nearest[1:]}."
    else:
        harm = None if found.guarded is None else found.guarded.chance_of("face_over_limit")
        told = ""
        if harm is not None:
            often = f"none of {harm.count} throws" if harm.share <= 0.0 else f"about {rate(harm.share)}"
            told = f"; over-fired, a face passes its limit in {often}"
        sentence = f"{TITLES[best.kind]} ({asks(best)}): starts at {_degrees(best.solved.starts_at)}, {best.least.part} "
        sentence += f"{best.least.margin:.0f} K below its limit{told}."
    guards = [
        BoltOut(
            title=TITLES[one.kind], asks=asks(one), sizes=one.says, parts=list(one.parts), against=one.shortcomings(),
            figures=guard_figures(one), best=one is best,
            text=put_lines(text, one.keys),
        )
        for one in sorted(found.guards.rows, key=lambda one: (one is not best, bool(one.shortcomings())))
    ]  # fmt: skip
    return FoundOut(
        name=found.outside.name, rules=list(found.made.rules),
        tuned=[f"{one.says}, now {one.text}" for one in found.tuned], bands=band_figures(found), heat=heat_figures(found),
        signs=", ".join(death.signs),
        causes=[CauseOut(share=one.share, likely=cause_figure(one, death), says=one.cause.says, mend=one.cause.mend)
                for one in death.causes if one.share >= 0.02],
        fit_heads=[*FIT_HEADS], fits=fits, fits_chart=modules_chart(found).to_dict() if any(one.figures for one in fits) else None,
        sentence=sentence, guards=guards, guards_chart=guards_chart(found.guards).to_dict(), text=text,
    )  # fmt: skip


def worked_out(outside: Outside, watch: Watch) -> FoundOut:
    """Work out a found fan.

    Args:
        outside: what was measured.
        watch: told of progress.

    Returns:
        Everything found.

    Raises:
        BuildError: what was measured cannot be a fan.
    """
    return found_out(retrofit(outside, progress=lambda done, of, what: watch.tell(done / of, what)))


def check_fan(asked: FanAsked) -> Outside:
    """The form's measurements, so far that they can be a fan at all."""
    from ..build.retrofit_build import reduced

    outside = outside_of(asked)
    reduced(outside)
    return outside
