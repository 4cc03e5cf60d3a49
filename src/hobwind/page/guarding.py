"""Guards as the page gets them: kinds side by side, the build's own guard along its stroke, where an element sits."""

from __future__ import annotations

import math
from typing import Any

from pydantic import BaseModel

from ..build import Build, standing
from ..build.editing import put_lines
from ..build.guide import push_arm
from ..build.guide_posts import guide_for
from ..lifting.foot import strip_for
from ..studies.drill_faults import FAULTS
from ..studies.guarded import AS_IT_STANDS, NONE, Guarded
from ..studies.guards import Guards, guards
from ..studies.guards_sizes import LOST_MOTION, at_place, waxes
from ..studies.headline import lifts_at
from ..studies.margins import EVENING, Margin, margins
from ..studies.stroke import Loop, Seated, element_places, own_place, same_place, stroke_loop
from .jobs import Watch
from .view import view_of
from .workshop import Workshop

ZERO = 273.15
TITLES = {
    AS_IT_STANDS: "Guard as it stands", NONE: "No guard", "central lift": "Central lift", "edge tilt": "Edge tilt",
    "lever tilt": "Lever tilt beside the fan", "taller riser": "Taller riser", "more modules": "More modules",
    "sink or blade": "Larger sink or blade", "shim": "Shims under the foot",
    "modules, lift": "More modules and a central lift", "riser, lift": "Taller riser and a central lift",
    "sink, lift": "Larger sink or blade and a central lift", "shim, lift": "Shims and a central lift",
}  # fmt: skip
HOW = {
    AS_IT_STANDS: "What the build file has.",
    NONE: "The fan stays down, whatever the stove does.",
    "central lift": "The element pushes a pin down to the stove plate: the whole fan rises and an even gap opens.",
    "edge tilt": "A pin near one side lifts that side: the fan leans on its far edge, and a wedge of air opens.",
    "lever tilt": "The element stands beside the fan and lifts one side by a lever: nothing is bored, more lift for the stroke.",
    "taller riser": "No moving part: a longer bar loses more on the way up.",
    "more modules": "No moving part: more modules share the heat.",
    "sink or blade": "No moving part: more cooling at the top.",
    "shim": "No moving part: sheets under the foot that let less heat through.",
    "modules, lift": "More modules share the heat of an ordinary evening; for a hard one the fan is lifted.",
    "riser, lift": "A longer bar cools an ordinary evening; for a hard one the fan is lifted.",
    "sink, lift": "More cooling at the top on an ordinary evening; for a hard one the fan is lifted.",
    "shim, lift": "Sheets under the foot cool an ordinary evening; for a hard one the fan is lifted.",
}


class GuardFigure(BaseModel):
    """One figure of a guard; `plate_degC` and `evening` say at which plate or on which evening its why looks."""

    key: str
    label: str
    text: str
    plate_degC: float | None = None
    evening: str = ""


class GuardRow(BaseModel):
    """One kind of guard at its best sizes: what it is, figures, what stands against it, and the lines that carry it out."""

    kind: str
    title: str
    how: str
    sizes: str
    parts: list[str]
    figures: list[GuardFigure]
    against: list[str]
    best: bool
    lines: list[str]
    text: str


class GuardsOut(BaseModel):
    """Every kind side by side, which is recommended and why."""

    recommended: str
    reason: str
    sizes_tried: int
    rows: list[GuardRow]
    chart: dict[str, Any]


class PlaceOut(BaseModel):
    """One place for the element: how high above the stove plate, and how warm it gets there with the fan down."""

    number: int
    says: str
    held_in: str
    height_mm: float
    usual_degC: float | None
    worst_degC: float | None
    elements: str
    here: bool


class StrokeOut(BaseModel):
    """The build's own wax guard along its stroke."""

    says: list[str]
    figures: list[GuardFigure]
    loop: dict[str, Any]
    along: dict[str, Any]


class GuardLook(BaseModel):
    """What is known of a build's guard at once: the drawing, its stroke where it has one, places for an element."""

    name: str
    kind: str
    sentence: str
    svg: str
    stroke: StrokeOut | None
    places: list[PlaceOut]
    usual_plate_degC: float
    worst_plate_degC: float


def _degrees(kelvin: float | None, otherwise: str) -> str:
    return otherwise if kelvin is None else f"{kelvin - ZERO:.0f} °C"


def _held(least: Margin) -> str:
    """Whether a part comes nearest its limit held at one plate for hours, or as the fire went."""
    return "evening" if least.where == EVENING else "settled"


def guard_figures(one: Guarded) -> list[GuardFigure]:
    """What is shown of one kind of guard, each figure with where its why looks."""
    back = "it stays up" if one.lifts_fired else "–"
    force = one.force_in_hand
    rows = [
        GuardFigure(key="starts_at", label="starts at a plate of", text=_degrees(one.solved.starts_at, "never")),
        GuardFigure(
            key="air", label="air at 200 °C", text="hunts there" if one.air is None else f"{one.air * 3600.0:.0f} m³/h", plate_degC=200.0
        ),
        GuardFigure(key="evening_peak", label="hottest face, usual", text=_degrees(one.usual_peak, "–"), evening="usual"),
        GuardFigure(key="evening_peak", label="hottest face, over-fired", text=_degrees(one.fired_peak, "–"), evening="over-fired"),
        GuardFigure(key="evening_above", label="above its limit", text=f"{one.minutes_above:.0f} min", evening="over-fired"),
        GuardFigure(key="smallest_margin", label=f"least in hand, {_held(one.least)}: {one.least.part}", text=f"{one.least.margin:.0f} K"),
        GuardFigure(key="guard_tip", label="further slope before it falls", text=f"{math.degrees(one.tip_margin):.0f}°"),
    ]  # fmt: skip
    if one.harmed is not None:
        rows.append(
            GuardFigure(
                key="guard_harmed", label="single faults that would harm it", text=f"{len(one.harmed)} of {len(FAULTS)}"
            )
        )
    if one.build.guard.element is not None:
        rows[2:2] = [
            GuardFigure(key="lifts_at", label="lifts at a plate of, warming", text=_degrees(one.lifts_at, "never")),
            GuardFigure(key="lifts_held", label="lifts at a plate of, held for hours", text=_degrees(one.lifts_held, "never")),
            GuardFigure(key="sits_at", label="sits back at", text=_degrees(one.sits_back, back)),
            GuardFigure(key="evening_lifts", label="lifts, usual", text=f"{one.lifts_usual}", evening="usual"),
            GuardFigure(key="evening_lifts", label="lifts, over-fired", text=f"{one.lifts_fired}", evening="over-fired"),
        ]
        if force is not None:
            rows.append(GuardFigure(key="guard_force", label="force in hand, weakest element", text=f"{force:.0f} N"))
    return rows


def _how(one: Guarded) -> str:
    """How a guard works, and what its guide must be where the element stands beside the fan."""
    guide = guide_for(one.build)
    if one.kind == AS_IT_STANDS or guide is None or guide.wanted is None:
        return HOW[one.kind]
    where = (
        "stands beside the fan on a thin foot of its own and pushes it up"
        if one.build.guard.held_in == "plate"
        else (f"is held at the side of the {one.build.guard.held_in} and pushes a pin down to the stove plate")
    )
    return (
        f"The element {where}, {1e3 * push_arm(one.build):.0f} mm off its middle; a guide that holds the fan at two heights "
        f"{1e3 * (guide.high - guide.low):.0f} mm apart keeps it level, and an even gap opens."
    )


def _row(one: Guarded, best: bool, text: str) -> GuardRow:
    return GuardRow(
        kind=one.kind, title=TITLES[one.kind], how=_how(one), sizes=one.says, figures=guard_figures(one), best=best,
        parts=[part for part in one.parts if part != one.says], against=one.shortcomings(), lines=list(one.keys),
        text=put_lines(text, one.keys),
    )  # fmt: skip


def guards_out(found: Guards, text: str) -> GuardsOut:
    """A comparison for the page.

    Args:
        found: the comparison.
        text: of the build file that was compared.

    Returns:
        Its rows, the recommendation, the curve of every kind.
    """
    from ..charts_guards import guards_chart

    return GuardsOut(
        recommended="" if found.best is None else found.best.kind, reason=found.reason, sizes_tried=found.tried,
        rows=[_row(one, one is found.best, text) for one in found.rows], chart=guards_chart(found).to_dict(),
    )  # fmt: skip


def compared(workshop: Workshop, text: str, watch: Watch | None = None) -> GuardsOut:
    """Size every kind of guard for a build; from a small store when this very text was compared before.

    Args:
        workshop: the run.
        text: of a build file.
        watch: told of progress, if any.

    Returns:
        The comparison.

    Raises:
        BuildError: with every problem found.
    """

    def progress(done: int, of: int, kind: str) -> None:
        if watch is not None:
            watch.tell(done / of, f"sizing {TITLES[kind][0].lower()}{TITLES[kind][1:]} ({done + 1} of {of})")

    made: GuardsOut = workshop.kinds.get(text, lambda: guards_out(guards(workshop.read(text), progress), text))
    return made


def _stroke(loop: Loop, build: Build) -> StrokeOut:
    from ..charts_stroke import along_chart, loop_chart

    guard = build.guard
    gap = float(loop.gap_far[-1]) * 1e3
    spare = math.degrees(standing.tip_margin(build))
    says = [
        f"Warming, the pin has used up its {loop.lost_motion * 1e3:.1f} mm of lost motion when the element is at "
        f"{loop.lifts_at - ZERO:.0f} °C: the seat opens. Cooling, it closes at {loop.sits_at - ZERO:.0f} °C.",
        f"At the stop the gap is {gap:.1f} mm"
        + (" all round." if float(loop.gap_near[-1]) > 0.0 else " at the side that rises, a wedge."),
    ]
    if guard.over_travel.value > 0.0:
        says.append(
            f"What the element pushes beyond the stop, up to {guard.over_travel.value * 1e3:.0f} mm, the over-travel spring takes."
        )
    figures = [
        GuardFigure(key="guard_opens", label="seat opens with the element at", text=f"{loop.lifts_at - ZERO:.0f} °C"),
        GuardFigure(key="guard_closes", label="and closes at", text=f"{loop.sits_at - ZERO:.0f} °C"),
        GuardFigure(key="guard_wanted", label="force to hold it at the stop", text=f"{loop.wanted:.0f} N"),
        GuardFigure(key="guard_force", label="force in hand, weakest element", text=f"{loop.has_weakest - loop.wanted:.0f} N"),
        GuardFigure(key="guard_tip", label="further slope before it falls", text=f"{spare:.0f}°"),
    ]
    return StrokeOut(says=says, figures=figures, loop=loop_chart(build, loop).to_dict(), along=along_chart(loop).to_dict())


def _place(number: int, one: Seated, build: Build) -> PlaceOut:
    own = own_place(build)
    lost = build.guard.lost_motion.value if own is not None else LOST_MOTION
    fitting = [
        wax.name.removeprefix("wax ") for wax in waxes(build)
        if math.isfinite(one.usual) and one.usual + 2.0 < lifts_at(wax, lost) < one.worst - 2.0 and one.worst < wax.bursts.value
    ]  # fmt: skip
    strip = strip_for(at_place(build, "central lift", one.place)) if one.place.held_in == "plate" else None
    cut = (
        ""
        if strip is None
        else f": {strip.metal}, {strip.thickness * 1e3:g} x {strip.width * 1e3:g} mm, bent to a table {strip.tall * 1e3:.0f} mm tall"
    )
    return PlaceOut(
        number=number, says=one.place.says + cut, held_in=one.place.held_in, height_mm=round(one.place.height * 1e3, 1),
        usual_degC=round(one.usual - ZERO, 1) if math.isfinite(one.usual) else None,
        worst_degC=round(one.worst - ZERO, 1) if math.isfinite(one.worst) else None,
        elements=", ".join(fitting), here=own is not None and same_place(one.place, own),
    )  # fmt: skip


def guard_look(workshop: Workshop, text: str) -> GuardLook:
    """What is known of a build's guard at once.

    Args:
        workshop: the run.
        text: of a build file.

    Returns:
        Drawing, stroke, places.

    Raises:
        BuildError: with every problem found.
    """
    view = view_of(workshop, text)
    build = view.build
    loop, stove = stroke_loop(build), build.stove
    drawing = view.drawing(stove.usual_plate.value)
    kind = build.guard.kind
    usual, worst = stove.usual_plate.value - ZERO, stove.worst_plate.value - ZERO
    left = margins(view.solved)[0].margin
    sentence = (
        f"This build has no guard; over-fired to a plate of {worst:.0f} °C, "
        if loop is None
        else f"This build has a guard, {kind}; over-fired to a plate of {worst:.0f} °C, "
    ) + (f"every part keeps {left:.0f} K to its limit." if left > 0.0 else f"a part passes its limit by {-left:.0f} K.")
    return GuardLook(
        name=build.name, kind=kind, sentence=sentence, svg=drawing.svg,
        stroke=None if loop is None else _stroke(loop, build),
        places=[_place(i, one, build) for i, one in enumerate(element_places(build), start=1)],
        usual_plate_degC=round(usual, 1), worst_plate_degC=round(worst, 1),
    )  # fmt: skip
