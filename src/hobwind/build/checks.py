"""Builds that cannot be made: parts that do not fit in, on or past each other.

Each check names the sections it reads; it is left out when one of them could not be read, so that no message comes
from a value that only holds a place.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from ..errors import Problem
from . import geometry
from .sections import Build


def _mm(length: float) -> str:
    return f"{length * 1e3:.1f} mm"


def _fins(build: Build) -> Iterator[Problem]:
    sink = build.sink.part
    if sink.shape == "pin fins":
        thick, pitch, what = sink.pin_diameter.value, sink.pin_pitch.value, "pin"
    elif sink.shape in ("plate fins", "annular fins"):
        thick, pitch, what = sink.fin_thickness.value, sink.fin_pitch.value, "fin"
    else:
        return
    if thick >= pitch:
        yield Problem(
            f"sink.{what}_pitch",
            f"is {_mm(pitch)}, but the {what}s are {_mm(thick)} thick; the pitch, middle to middle, must exceed the "
            "thickness. Did you give the gap?",
        )
    if sink.shape == "plate fins":
        needed = (sink.fin_count - 1) * pitch + thick
        if needed > sink.base_width.value * 1.001:
            yield Problem(
                "sink.fin_count",
                f"{sink.fin_count} fins at {_mm(pitch)} need {_mm(needed)}, but the base is "
                f"{_mm(sink.base_width.value)} wide; count the fins again or measure the pitch over several",
            )
    if sink.shape == "annular fins" and sink.outer_diameter.value <= sink.core_diameter.value:
        yield Problem(
            "sink.outer_diameter",
            f"is {_mm(sink.outer_diameter.value)}, but the core is {_mm(sink.core_diameter.value)}; fins must stand out",
        )
    if sink.shape == "annular fins" and sink.bore.value >= sink.core_diameter.value:
        yield Problem(
            "sink.bore",
            f"is {_mm(sink.bore.value)}, but the core is {_mm(sink.core_diameter.value)}; a bore is smaller than its core",
        )
    if sink.shape == "pin fins":
        most = math.floor(sink.base_width.value / pitch + 1) * math.floor(sink.base_length.value / pitch + 1)
        if sink.pin_count > most:
            yield Problem("sink.pin_count", f"is {sink.pin_count}, but at that pitch the base holds {most} at most")


def _modules_fit(build: Build) -> Iterator[Problem]:
    places = geometry.module_places(build)
    right = max(abs(x) + 0.5 * w for x, _, w, _ in places)
    far = max(abs(y) + 0.5 * d for _, y, _, d in places)
    count = len(places)
    for name, (width, depth), round_ in (
        ("the plate below them", geometry.low_plate(build), build.hot_plate is None),
        ("the plate above them", geometry.high_plate(build), False),
    ):
        over = max(right - 0.5 * width, far - 0.5 * depth)
        if over > 0.5e-3:
            yield Problem(
                "modules",
                f"{count} side by side take {_mm(2 * right)} x {_mm(2 * far)}, but {name} is {_mm(width)} x {_mm(depth)}; "
                f"fewer or smaller modules, or a larger {'riser or a hot plate' if round_ else 'plate'}",
            )
        elif round_ and build.riser[-1].shape == "cylinder":
            corner = max(math.hypot(abs(x) + 0.5 * w, abs(y) + 0.5 * d) for x, y, w, d in places)
            if corner > 0.5 * width + 0.5e-3 and max(w * d for _, _, w, d in places) > 0.0:
                yield Problem(
                    "modules",
                    f"corners reach {_mm(corner)} from the middle, but the round riser ends at {_mm(0.5 * width)}; "
                    "module corners must lie on metal: use a hot plate or a larger bar",
                )


def _screws_pass(build: Build) -> Iterator[Problem]:
    screws = build.screws
    if screws is None:
        return
    places, hole = geometry.screw_places(screws), screws.hole.value
    if hole <= screws.part.diameter.value:
        yield Problem(
            "screws.hole", f"is {_mm(hole)}, but the screw is {_mm(screws.part.diameter.value)}; the hole must be larger"
        )
    if screws.across is not None and screws.count not in (2, 4):
        yield Problem("screws.count", f"is {screws.count}; with across and along, two or four screws are wanted")
    for x, y in places:
        for mx, my, w, d in geometry.module_places(build):
            beside = math.hypot(max(abs(x - mx) - 0.5 * w, 0.0), max(abs(y - my) - 0.5 * d, 0.0))
            if beside < 0.5 * hole:
                yield Problem(
                    "screws",
                    f"a screw at {_mm(x)}, {_mm(y)} from the middle goes through a module (it reaches from "
                    f"{_mm(mx - 0.5 * w)} to {_mm(mx + 0.5 * w)}); move the screws outwards",
                )
                break
        else:
            continue
        break
    for name, (width, depth) in (("below", geometry.low_plate(build)), ("above", geometry.high_plate(build))):
        x, y = max(abs(p[0]) for p in places), max(abs(p[1]) for p in places)
        if x + 0.5 * hole > 0.5 * width or y + 0.5 * hole > 0.5 * depth:
            yield Problem(
                "screws",
                f"holes reach {_mm(x + 0.5 * hole)} x {_mm(y + 0.5 * hole)} from the middle, beyond the plate {name} the "
                f"modules ({_mm(width)} x {_mm(depth)}); move them inwards or take a larger plate",
            )
    for i, first in enumerate(places):
        for second in places[i + 1 :]:
            apart = math.dist(first, second)
            if apart < hole + 1e-3:
                yield Problem(
                    "screws", f"two holes of {_mm(hole)} are {_mm(apart)} apart and meet; fewer screws or a wider circle"
                )
                return
    if screws.bush is not None and not 0.0 <= screws.bush.inner.value - screws.part.diameter.value < 0.8e-3:
        yield Problem(
            "screws.bush",
            f"has a bore of {_mm(screws.bush.inner.value)}, but the screw is {_mm(screws.part.diameter.value)}; "
            f"take a bush for {screws.part.thread}",
        )
    if screws.bush is not None and screws.bush.outer.value > hole:
        yield Problem(
            "screws.bush",
            f"is {_mm(screws.bush.outer.value)} across, but the hole is {_mm(hole)}; drill larger holes or turn the bush down",
        )


def _riser_sound(build: Build) -> Iterator[Problem]:
    top = build.riser[-1]
    if build.hot_plate is not None:
        slab = build.hot_plate
        if slab.width.value < 0.5 * top.width.value or slab.depth.value < 0.5 * top.depth.value:
            yield Problem("hot_plate", "is less than half as wide as the riser it lies on; give its sizes again")


def _guard_fits(build: Build) -> Iterator[Problem]:
    guard, tall = build.guard, geometry.riser_height(build)
    if guard.kind == "none" or guard.element is None:
        return
    carrier = 0.0 if guard.carrier_length is None else guard.carrier_length.value
    room = guard.pin_bore.value + carrier - guard.piston_out.value
    if guard.pin_length.value > room + 1e-6:
        yield Problem(
            "guard.pin_length",
            f"is {_mm(guard.pin_length.value)}, longer than the {_mm(room)} its bore leaves it; cold, the pin must lie "
            "flush or below: shorten the pin",
        )
    if guard.held_in == "riser":
        widest = min(part.width.value for part in build.riser)
        if guard.element.diameter.value >= widest:
            yield Problem(
                "guard.element",
                f"is {_mm(guard.element.diameter.value)} across, but the riser is {_mm(widest)}; hold it elsewhere",
            )
        if guard.element_height.value > tall:
            yield Problem(
                "guard.element_height",
                f"is {_mm(guard.element_height.value)}, above the riser's top at {_mm(tall)}; give a height inside it",
            )
        if build.screws is not None and build.hot_plate is None and guard.kind == "central lift":
            reach = min(math.hypot(*place) for place in geometry.screw_places(build.screws))
            pocket = 0.5 * (guard.element.diameter.value + build.screws.hole.value)
            if reach < pocket:
                yield Problem("screws", f"a hole {_mm(reach)} from the middle meets the wax element's pocket; move it out")
    if guard.held_in == "hot plate" and build.hot_plate is None:
        yield Problem("guard.held_in", 'is "hot plate", but the build has none; hold it in the riser')
    if guard.held_in == "spreader" and build.spreader is None:
        yield Problem("guard.held_in", 'is "spreader", but the build has none; hold it in the sink')
    most = guard.element.most_travel.value * guard.lever_ratio.value
    if guard.stop.value > most:
        yield Problem(
            "guard.stop",
            f"is {_mm(guard.stop.value)}, more than the {_mm(most)} the element can ever push; lower the stop",
        )


def _temperatures(build: Build) -> Iterator[Problem]:
    stove = build.stove
    if not stove.room.value < stove.usual_plate.value < stove.worst_plate.value:
        zero = 273.15
        yield Problem(
            "stove",
            f"room {stove.room.value - zero:.0f} °C, usual_plate {stove.usual_plate.value - zero:.0f} °C and worst_plate "
            f"{stove.worst_plate.value - zero:.0f} °C must rise in this order",
        )
    if build.guard.element is not None and build.guard.element.opens.value >= build.guard.element.full.value:
        yield Problem("guard.element", "opens at or above the temperature where it is full; opens must be lower")


def _blade_clears(build: Build) -> Iterator[Problem]:
    low = build.blade.height.value - 0.5 * build.blade.part.diameter.value
    if low < 2e-3:
        yield Problem(
            "blade.height",
            f"is {_mm(build.blade.height.value)}, but the blade reaches {_mm(0.5 * build.blade.part.diameter.value)} down "
            "from there and would strike the stove plate; raise the motor or take a smaller blade",
        )


CHECKS: tuple[tuple[tuple[str, ...], Callable[[Build], Iterator[Problem]]], ...] = (
    (("stove", "guard"), _temperatures),
    (("sink",), _fins),
    (("riser", "hot_plate"), _riser_sound),
    (("riser", "hot_plate", "modules", "spreader", "sink"), _modules_fit),
    (("riser", "hot_plate", "modules", "spreader", "sink", "screws"), _screws_pass),
    (("riser", "hot_plate", "modules", "spreader", "sink", "screws", "guard"), _guard_fits),
    (("blade",), _blade_clears),
)


def impossible(build: Build, problems: list[Problem]) -> list[Problem]:
    """Every reason why `build` cannot be made, leaving out what rests on sections already found wanting.

    Args:
        build: as read.
        problems: what reading it brought up.

    Returns:
        Further problems.
    """
    bad = {problem.place.split(".")[0].split("[")[0] for problem in problems}
    found: list[Problem] = []
    for sections, check in CHECKS:
        if not bad & set(sections):
            found += check(build)
    return found
