"""What a bin can become, as the page gets it: a pick with its reasons, and somebody's build followed with the bin."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from pydantic import BaseModel

from ..bin_screen import odds_says
from ..build import Build
from ..build.bin_sections import Bin
from ..build.writing import whole_text
from ..studies import compare as compared
from ..studies.follow import follow
from ..studies.headline import AIR_AT
from ..studies.pick import pick
from ..studies.pick.judging import Judged
from ..studies.pick.picking import Picked, build_text
from ..studies.pick.words import beats, guard, limited, missed, modules, plates, riser, screws, wiring
from ..studies.telling import ZERO, celsius
from .figures import Figure
from .jobs import Watch
from .judging import FindingOut, findings_out

SLICE = 250  # combinations solved at once: about a tenth of a second, so that other tabs stay quick
SIEVE, EVENINGS, FULL = 0.6, 0.75, 0.9  # shares of the bar at which each stage ends
# The why of a compared figure: its key, and the evening it is of.
WHY = {
    "starts_at_plate_degC": ("starts_at", ""), "stops_at_plate_degC": ("stops_at", ""), "hottest_face_degC": ("peak_face", ""),
    "air_usual_m3_per_h": ("air", ""), "least_margin_K": ("smallest_margin", ""), "lifts_at_plate_degC": ("lifts_at", ""),
    "lifts_usual": ("evening_lifts", "usual"), "lifts_over_fired": ("evening_lifts", "over-fired"),
}  # fmt: skip
REBUILT = "rebuilt from your bin"
AIR = re.compile(r"air_at_(?P<plate>\d+)_m3_per_h")
EVENING_STAGE, LAST_STAGE = "fans through evenings", "answers thrown within their spreads"
STAGES = {EVENING_STAGE: (SIEVE, EVENINGS), "judged in full": (EVENINGS, FULL), LAST_STAGE: (FULL, 1.0)}


class Row(BaseModel):
    """One part of an answer: what it serves as, and which."""

    what: str
    says: str


class Answer(BaseModel):
    """One fan out of the bin: parts, saw and wiring, figures, reasons, and its build file."""

    number: int
    title: str
    parts: list[Row]
    figures: list[Figure]
    misses: list[str]
    reasons: list[str]
    buys: str
    gamble: bool
    usual_plate_degC: float
    text: str


class PickOut(BaseModel):
    """What the bin can become, best first; what was tried, and what fell and why; the picture as a chart's specification."""

    head: str
    fell: list[Row]
    answers: list[Answer]
    buying: str
    chart: dict[str, Any] | None


class MatchOut(BaseModel):
    """One part of theirs and what is on hand instead."""

    what: str
    theirs: str
    on_hand: str
    differs: list[str]


class Pair(BaseModel):
    """One part or figure of two builds; of a figure the key of its why, and at which plate or on which evening it holds."""

    label: str
    first: str
    second: str
    key: str = ""
    plate_degC: float | None = None
    evening: str = ""


class Compared(BaseModel):
    """Two builds side by side: parts in which they differ, and what they lead to; the text of each, for the whys."""

    first: str
    second: str
    first_text: str
    second_text: str
    parts: list[Pair]
    figures: list[Pair]


class FollowOut(BaseModel):
    """Somebody's build with the parts on hand; `text` is the rebuilt fan's file."""

    name: str
    matches: list[MatchOut]
    let_go: list[str]
    todo: list[str]
    sentence: str
    findings: list[FindingOut]
    theirs: Compared
    mine: Compared | None
    text: str


def _figures(one: Judged) -> list[Figure]:
    start = "never" if one.starts is None else celsius(one.starts)
    least = f"least margin: {one.margins[0].part}" if one.margins else "least margin"
    usual = celsius(one.build.stove.usual_plate.value)
    return [
        Figure(key="starts_at", label="starts at a plate of", text=start),
        Figure(key="air", label=f"air on a plate of {usual}", text=f"{one.air * 3600.0:.0f} m³/h"),
        Figure(key="peak_face", label="hottest face of all", text=celsius(one.face)),
        Figure(key="smallest_margin", label=least, text=f"{one.margin:.0f} K"),
    ]


def _rows(bin: Bin, one: Judged) -> list[Row]:
    choice = one.choice
    motor, blade, sink = (bin.of(kind)[getattr(choice, kind)].name for kind in ("motor", "blade", "sink"))
    taken = " and ".join(f"{count} x {bin.of('module')[place].name}" for place, count in choice.mix.uses)
    found = [
        ("modules", taken), ("wiring", wiring(bin, choice) if choice.mix.count > 1 else ""),
        ("saw", riser(bin, choice)), ("plates", plates(bin, choice)), ("sink", sink), ("screws", screws(bin, choice)),
        ("motor", motor), ("blade", blade), ("guard", guard(bin, choice)),
    ]  # fmt: skip
    return [Row(what=what, says=says) for what, says in found if says]


def _answer(found: Picked, number: int) -> Answer:
    one, mine = found.listed[number - 1], number <= len(found.answers)
    reasons = []
    if mine:
        following = found.answers[number : number + 1]
        reasons = [f"Beats answer {number + 1}: {beats(one, other)}." for other in following]
        reasons.append(f"Limited by {limited(found.limits[number - 1])}.")
        thrown, dropped = found.thrown[number - 1], found.dropped[number - 1]
    else:
        bought = next(purchase for purchase in found.purchases if purchase.fan is one)
        thrown, dropped = bought.thrown, False
        reasons = [f"Against answer 1 it {beats(one, found.answers[0])}."] if found.answers else []
    told = odds_says(found, thrown, dropped)
    buys = "" if one.buys is None else found.bin.of(one.buys[0])[one.buys[1]].name
    choice = one.choice
    return Answer(
        number=number, title=f"{modules(found.bin, choice)}; {found.bin.of('motor')[choice.motor].name}",
        parts=_rows(found.bin, one), figures=_figures(one), misses=missed(one),
        reasons=[*reasons, f"{told[0].upper()}{told[1:]}."], buys=buys, gamble=thrown is not None and thrown.is_gamble,
        usual_plate_degC=one.build.stove.usual_plate.value - ZERO, text=build_text(found, number),
    )  # fmt: skip


def _buying(found: Picked) -> str:
    if not found.purchases:
        dear = f"{', '.join(found.too_dear)} cost more than {found.bin.wishes.money:g}" if found.too_dear else ""
        return f"Worth buying: nothing; {dear or 'the price list is empty'}."
    best = next((one for one in found.purchases if one.worth), None)
    if best is None:
        return f"Worth buying: nothing on the price list betters the first answer ({len(found.purchases)} parts tried)."
    return f"Worth buying: {best.name}, {best.price:g}; it is answer {len(found.listed)}."


def _head(found: Picked) -> str:
    s = found.sieved
    told = f"{s.tried:,} combinations, {s.fitting:,} fit together"
    if s.tried < s.possible:
        told += f"; out of {s.possible:,} these were drawn, the others were not tried"
    told += f". {s.solved:,} were solved, {found.evenings} went through evenings, {found.full} were judged in full"
    if s.stopped:
        told = f"Ended by hand: this is the best of what was tried by then. {told}"
    left = f"; sets of more than {found.bin.wishes.most_modules} modules were left out" if found.sets_left_out else ""
    return f"{told}{left}."


def ranked(bin: Bin, seed: int, most: int, shown: int, watch: Watch) -> PickOut:
    """Try every combination of a bin.

    Args:
        bin: a checked bin.
        seed: of the order and the draw. [-]
        most: combinations tried. [-]
        shown: different answers wanted. [-]
        watch: told of progress; ends the pick once somebody pressed stop.

    Returns:
        The answers with their reasons.
    """
    from ..charts_bin import front_chart

    def enough() -> None:
        """The pick takes this for Ctrl-C: it goes on with what was found by then."""
        if watch.enough.is_set():
            watch.enough.clear()
            raise KeyboardInterrupt

    def progress(done: int, of: int, left: float) -> None:
        watch.tell(SIEVE * done / max(of, 1), f"{done:,} of {of:,} solved, about {left:.0f} s left")
        enough()

    def stage(what: str, done: int, of: int) -> None:
        low, high = STAGES[what]
        watch.tell(low + (high - low) * done / max(of, 1), f"{done} of {of} {what}")
        if what != EVENING_STAGE and (done or what == LAST_STAGE):  # there is something to keep
            enough()

    watch.tell(0.0, "looking what fits together")
    found = pick(bin, None, seed, most, shown, progress, stage, SLICE)
    fell = [Row(what=f"{count:,}", says=says) for says, count in sorted(found.sieved.fell.items(), key=lambda row: -row[1])]
    return PickOut(
        head=_head(found), fell=fell, answers=[_answer(found, i + 1) for i in range(len(found.listed))],
        buying=_buying(found), chart=front_chart(found).to_dict() if found.answers else None,
    )  # fmt: skip


def _on_stove(build: Build, bin: Bin) -> str:
    """A build as text that stands on the bin's stove."""
    kept = [one for one in build.records if not one.place.startswith("stove.")]
    stove = [one for one in bin.base.records if one.place.startswith("stove.")]
    return whole_text(replace(build, stove=bin.base.stove, records=(*stove, *kept)))


def _side_by_side(found: compared.Comparison, first: str, second: str, first_text: str, second_text: str) -> Compared:
    usual = found.second.build.stove.usual_plate.value - ZERO

    def pair(row: compared.Row, name: str) -> Pair:
        at = AIR.fullmatch(name)
        key, evening = ("air", "") if at else WHY.get(name, ("", ""))
        plate = float(at["plate"]) if at else usual
        return Pair(label=row.what, first=row.first, second=row.second, key=key, plate_degC=plate, evening=evening)

    return Compared(
        first=first, second=second, first_text=first_text, second_text=second_text,
        parts=[Pair(label=row.what, first=row.first, second=row.second) for row in found.parts if row.differs],
        figures=[pair(row, value.key) for row, value in zip(found.figures, found.values, strict=True)],
    )  # fmt: skip


def followed(theirs: Build, bin: Bin, mine: Build | None, watch: Watch) -> FollowOut:
    """Rebuild somebody's fan with what is on hand.

    Args:
        theirs: their build.
        bin: ours.
        mine: a build of ours to hold the rebuilt fan against; None when there is none.
        watch: told of progress.

    Returns:
        Part by part, what to do, what becomes of it.

    Raises:
        SolveError: nothing on hand makes a fan.
    """
    watch.tell(0.05, "looking for the nearest parts")
    found = follow(theirs, bin)
    watch.tell(0.8, "beside yours")
    ours = (
        None
        if mine is None
        else _side_by_side(compared.compare(mine, found.judged.build, AIR_AT), mine.name, REBUILT, whole_text(mine), found.text)
    )
    return FollowOut(
        name=theirs.name, let_go=list(found.let_go), todo=list(found.todo), sentence=found.judged.sentence, text=found.text,
        matches=[
            MatchOut(what=row.what, theirs=row.theirs, on_hand=row.on_hand, differs=list(row.differences)) for row in found.matches
        ],
        findings=findings_out(found.judged.findings),
        theirs=_side_by_side(found.comparison, "theirs, on your stove", REBUILT, _on_stove(theirs, bin), found.text), mine=ours,
    )  # fmt: skip
