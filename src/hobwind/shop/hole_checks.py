"""What cannot be drilled, tapped or fitted as described: each a finding with its figures, and the holes to draw in red."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ..build import Build
from ..build import geometry as g
from .holes import Holes, ScrewFit, grip, held_by, low_part, screw_fit, size
from .made_part import MadePart
from .made_parts import made_parts
from .plate_words import plate_findings
from .rules import EDGE, FEW, HELD, LEAST, POINT, WALL

Spot = tuple[str, str, int]  # part, letter of the holes, which of them


@dataclass(frozen=True)
class Finding:
    """What is wrong with which part, in words with figures, and the holes it is about."""

    part: str
    says: str
    spots: tuple[Spot, ...] = ()


def red_spots(findings: tuple[Finding, ...]) -> frozenset[Spot]:
    """Every hole that is drawn in red."""
    return frozenset(spot for one in findings for spot in one.spots)


def mm(length: float) -> str:
    """A length for a finding, mm to a tenth."""
    return f"{length * 1e3 + 0.0:.1f} mm"


def to_edge(part: MadePart, x: float, y: float) -> float:
    """From a place to the part's nearest edge, negative outside (but for a part with an outline of its own), m.

    Args:
        part: block or round.
        x: across. [m]
        y: along. [m]

    Returns:
        Distance. [m]
    """
    if part.shape == "round":
        return 0.5 * part.width - math.hypot(x, y)
    if part.outline:
        return min(_off(x, y, part.outline[i - 1], part.outline[i]) for i in range(len(part.outline)))
    return min(0.5 * part.width - abs(x), 0.5 * part.depth - abs(y))


def _off(x: float, y: float, one: tuple[float, float], other: tuple[float, float]) -> float:
    """From a place to a straight edge between two corners, m."""
    dx, dy = other[0] - one[0], other[1] - one[1]
    share = min(max(((x - one[0]) * dx + (y - one[1]) * dy) / (dx**2 + dy**2), 0.0), 1.0)
    return math.hypot(x - one[0] - share * dx, y - one[1] - share * dy)


def _all(holes: Holes) -> tuple[Spot, ...]:
    return tuple((holes.part, holes.letter, i) for i in range(len(holes.places)))


def _edges(part: MadePart) -> Iterator[Finding]:
    """One finding for each set of holes: its worst one."""
    for holes in part.holes:
        walls = [to_edge(part, x, y) - 0.5 * holes.width for x, y in holes.places]
        worst = min(walls)
        thin = tuple((holes.part, holes.letter, i) for i, wall in enumerate(walls) if wall < WALL)
        named = f"{part.name}, hole {holes.letter} ({holes.use}, {size(holes.width)} mm)"
        if worst < -1e-6:
            told = f"breaks out of the part's edge by {mm(-worst)}; move it inwards by {mm(WALL - worst)} or more."
            yield Finding(part.name, f"fault: {named} {told}", thin)
        elif worst < WALL:
            told = f"leaves a wall of {mm(worst)}; {mm(WALL)} at least is wanted: move it inwards or drill smaller."
            yield Finding(part.name, f"fault: {named} {told}", thin)
        elif holes.thread is not None and worst + 0.5 * holes.width < EDGE * holes.width - 1e-9:
            middle, wanted = worst + 0.5 * holes.width, EDGE * holes.width
            told = f"is {mm(middle)} from the edge; {EDGE:g} diameters, {mm(wanted)}, keep the edge from bulging when tapped."
            yield Finding(part.name, f"advice: {named} {told}")


def _neighbours(part: MadePart) -> Iterator[Finding]:
    """Walls between holes; holes on one axis belong together."""
    spots = [
        (holes, (holes.part, holes.letter, i), place) for holes in part.holes for i, place in enumerate(holes.places)
    ]  # fmt: skip
    worst: tuple[float, Finding] | None = None
    for k, (one, first, here) in enumerate(spots):
        for other, second, there in spots[k + 1 :]:
            apart = math.dist(here, there)
            wall = apart - 0.5 * (one.width + other.width)
            if apart < 1e-6 or wall >= WALL or (worst is not None and wall >= worst[0]):
                continue
            lead = f"{part.name}, holes {one.letter} ({one.use}) and {other.letter} ({other.use})"
            told = f"meet: they overlap by {mm(-wall)}" if wall < 0.0 else f"leave a wall of {mm(wall)} between them"
            said = f"fault: {lead} {told}; {mm(WALL)} at least is wanted."
            worst = wall, Finding(part.name, said, (first, second))
    if worst is not None:
        yield worst[1]


def _depths(part: MadePart) -> Iterator[Finding]:
    for holes in part.holes:
        if holes.depth is None:
            continue
        whole = holes.depth + POINT * holes.drill
        left = part.tall - whole
        # A pocket whose floor the push pin pierces needs a floor for the element to stand on, like any blind hole.
        if left < WALL:
            told = (
                f"fault: {part.name}, hole {holes.letter} ({holes.use}) is {mm(whole)} deep with the drill's point, but the part is "
                f"{mm(part.tall)}: {mm(left)} would be left, {mm(WALL)} at least is wanted."
            )
            yield Finding(part.name, told, _all(holes))


def _engagement(build: Build, fit: ScrewFit, tapped_holes: tuple[Spot, ...]) -> Iterator[Finding]:
    name, thread, low = low_part(build), fit.thread.name, max(fit.least, LEAST * fit.thread.diameter)
    if fit.nut:
        told = f"a thread that holds wants {mm(low)}, it has {mm(max(fit.room, 0.0))}: these sheets put a nut below it on each screw"
        yield Finding(name, f"advice: {name}: too thin to be tapped for {thread}: {told}.")
    elif fit.room < low - 1e-9:
        why = f"{LEAST:g} diameter and {HELD:g} times the clamp's {fit.load:.0f} N when hot"
        yield Finding(
            name,
            f"fault: {name}: the {thread} thread is deeper than the part: {mm(low)} of thread are wanted ({why}), there is room for "
            f"{mm(max(fit.room, 0.0))}; a thicker part, a smaller screw, or a bolt right through with a nut.",
            tapped_holes,
        )
    elif fit.screw is None:
        least, most = fit.free + fit.least, fit.free + fit.room
        told = f"no stock length lies between {mm(least)} and {mm(most)}; cut a longer one to {mm(fit.free + fit.engaged)}."
        yield Finding("clamp screws", f"advice: clamp screws: {told}")
    given, spanned = build.screws.free_length.value if build.screws is not None else fit.free, grip(build)
    if given < spanned - FEW:
        yield Finding(
            "clamp screws",
            f"fault: screws.free_length is {mm(given)}, but modules, plates and bush between head and thread take {mm(spanned)}; "
            "measure again, these sheets use the larger.",
        )


def _of_screws(part: MadePart, build: Build) -> list[Holes]:
    places = () if build.screws is None else tuple(g.screw_places(build.screws))
    return [holes for holes in part.holes if holes.places == places]


def _fins(build: Build, part: MadePart) -> Iterator[Finding]:
    """Whether a screw's head, or its bush's collar, finds room between the fins."""
    sink, screws = build.sink.part, build.screws
    if part.name != "sink" or sink.shape != "plate fins" or screws is None:
        return
    head, rooms = g.head_across(screws), dict(g.fins_struck(build))
    struck = [((holes.part, holes.letter, i), rooms[i]) for holes in _of_screws(part, build) for i in rooms]
    if struck:
        worst = min(room for _, room in struck)
        gap = sink.fin_pitch.value - sink.fin_thickness.value
        into = max(0.5 * one.width for one in _of_screws(part, build)) - max(worst, 0.0)
        runs = f"; the holes themselves run into them by {mm(into)}" if into > 5e-5 else ""
        yield Finding(
            "sink",
            f"fault: sink: {len(struck)} screw heads, {mm(head)} across, strike fins: the nearest fin is {mm(max(worst, 0.0))} from "
            f"the hole, the gap {mm(gap)}{runs}. "
            f"Cut the fins back round them (and say so: sink.fins_cut, {mm(head)} or more) or move the screws.",
            tuple(spot for spot, _ in struck),
        )


def faults(build: Build) -> tuple[Finding, ...]:
    """Everything about the holes that cannot be made, or not well, as described.

    Args:
        build: a checked build.

    Returns:
        Findings with figures.
    """
    found: list[Finding] = []
    fit = screw_fit(build)
    for part in made_parts(build):
        found += [*_edges(part), *_neighbours(part), *_depths(part), *_fins(build, part)]
        if fit is not None and part.name == low_part(build):
            threaded = tuple(spot for holes in part.holes if holes.thread is not None for spot in _all(holes))
            found += _engagement(build, fit, threaded)
    found += [Finding(part, says) for part, says in plate_findings(build, held_by(build))]
    if build.screws is not None and fit is None and not build.found:
        got = build.screws.part.thread
        said = f'fault: screws: "{got}" is not a coarse thread from M2 to M12; its tap drill is not known here.'
        found.append(Finding("clamp screws", said))
    return tuple(found)
