"""The kinds of guard, each as many sized builds: what is sold, where it is held, how far it waits, how far it lifts.

A kind is a function from a build to `Sized` builds. What cannot be made is left out by whoever runs them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from ..build import Build, geometry
from ..build.guide import fitted_beside, lifted_at
from ..build.pin import enough_over_travel, free_stop, heights_in_riser, in_riser, least_wait, with_pin
from ..build.sections import Guard
from ..build.shim import with_shim
from ..parts.catalogue import Shelf
from ..parts.kinds import Wax
from ..units import plain
from .by_hand import BARE_OFF, BEAD_OFF, POCKET_OFF, RING_OFF, WAIT_OFF, by_hand, foot_off
from .headline import reserve_of
from .mends import riser_length
from .widening import widened

WAITS = (0.5e-3, 1e-3, 2e-3, 3.5e-3)  # m; lost motion
STOPS = (1.5e-3, 2e-3, 3e-3, 5e-3)  # m; how far the pin may lift
PINS = (0.7, 0.85, 1.0)  # where a tilting pin in the riser stands, from the pivot edge to where its pocket keeps a wall
POCKET_WALL = 2e-3  # m of metal outside an element's pocket: what the shop asks at least, and its bore's play
LEVERS = (2.0, 3.0)  # one of 1 : 1 only repeats the edge tilt
FEET = (0.010, 0.015, 0.020, 0.025, 0.030, 0.040)  # W/K; thin feet of the element's own on the stove plate
BEADED = 0.02  # W/K; a tip that carries less only does so by a bead
RING, BEAD = 0.060, 0.004  # W/K; a cooling ring round the element, a ceramic bead on the pin's tip
POCKET, BARE = 0.25, 0.010  # W/K; an element in a bored pocket, and what it loses there
TALLEST = 0.25  # m
LOST_MOTION = 1e-3  # m; of a guard that does not say
MOST_MORE, MOST_SHIMS = 4, 12


@dataclass(frozen=True)
class Sized:
    """One guard with its sizes: the changed build, what to say of it, the parts to find."""

    build: Build
    says: str
    parts: tuple[str, ...]


@dataclass(frozen=True)
class Place:
    """Where a wax element can be held: `held_in`, its height [m], holder and loss [W/K], length of the pin [m].

    In the riser the pin is as long as the element's pocket leaves room for, beside the fan as the height there does, whatever is
    said here.
    """

    held_in: str
    height: float
    holder: float
    loss: float
    pin: float
    says: str


def bare(build: Build) -> Build:
    """The build without its guard."""
    return replace(build, guard=replace(build.guard, kind="none", element=None))


def waxes(build: Build) -> list[Wax]:
    """Elements that are sold, and the build's own where it is another."""
    shelf, own = Shelf(None), build.guard.element
    found = [shelf.find("wax", name) for name in shelf.names("wax")]
    return found if own is None or any(one.name == own.name for one in found) else [*found, own]


def places(build: Build, beside: bool) -> Iterator[Place]:
    """Places for the element: on the stove plate; unless it stands beside the fan, also in riser, plates and sink."""
    for foot in FEET:
        says = f"on a foot of its own on the stove plate ({foot * 1e3:.0f} mW/K)"
        yield Place("plate", 0.02, foot, RING, 0.06, says)
    if beside:
        return
    tall, longest = geometry.riser_height(build), max(wax.length.value for wax in waxes(build))
    for high in heights_in_riser(build, longest, max(WAITS)):
        yield Place("riser", high, POCKET, BARE, high, f"in the riser at {high * 1e3:.0f} mm")
    if build.hot_plate is not None:
        yield Place("hot plate", tall, POCKET, BARE, tall, "in the hot plate")
        tall += build.hot_plate.thickness.value
    tall += geometry.module_thickness(build)
    if build.spreader is not None:
        yield Place("spreader", tall, POCKET, BARE, tall, "in the spreader")
    yield Place("sink", tall, POCKET, BARE, tall, "in the sink")


def _wax_guard(build: Build, kind: str, wax: Wax, place: Place) -> Guard:
    """A guard of `kind` with the element at a place, its other sizes at their usual values, as far off as they come out by hand."""
    foot = build.riser[0]
    round_ = foot.shape == "cylinder"
    edge = plain(0.7 * foot.width.value) if round_ else plain(foot.depth.value)
    own = build.guard
    # What a kind or place has no use for stays as the file has it.
    high = own.element_height if own.held_in == place.held_in == "plate" else plain(place.height)
    holder_off, loss_off = (foot_off(place.holder), RING_OFF) if place.held_in == "plate" else (POCKET_OFF, BARE_OFF)
    made = replace(
        build.guard, kind=kind, element=wax, held_in=place.held_in, element_height=high,
        holder_conductance=by_hand(own.holder_conductance, place.holder, holder_off),
        element_loss=by_hand(own.element_loss, place.loss, loss_off), pin_tip=by_hand(own.pin_tip, BEAD, BEAD_OFF),
        lost_motion=by_hand(own.lost_motion, LOST_MOTION, WAIT_OFF), stop=plain(2e-3),
        lever_ratio=plain(LEVERS[0] if kind == "lever tilt" else 1.0), pivot_edge=edge,
        pin_offset=plain(0.0),
    )  # fmt: skip
    if kind != "central lift":
        made = replace(made, pivot_distance=plain(round(PINS[1] * _most_reach(replace(build, guard=made)), 3)))
    return in_riser(made) if place.held_in == "riser" else with_pin(made, place.pin)


def _most_reach(build: Build) -> float:
    """How far from the pivot edge a pin in the riser may stand, so that the pocket of the element over it keeps a wall, m."""
    element = build.guard.element
    assert element is not None
    return geometry.foot_reach(build) - 0.5 * element.diameter.value - POCKET_WALL


def _sized(build: Build, guard: Guard, place: str) -> Sized:
    kind, wax = guard.kind, guard.element
    assert wax is not None
    guard = replace(guard, over_travel=plain(enough_over_travel(guard)))
    if guard.held_in == "plate":
        guard = fitted_beside(replace(build, guard=guard))
    else:
        guard = in_riser(guard) if guard.held_in == "riser" else with_pin(guard, guard.pin_length.value)
    # Not in the riser, the pin stands beside the foot, across from the edge that the fan tilts about.
    if kind != "central lift" and guard.held_in != "riser":
        beside = replace(build, guard=guard)
        reach = geometry.pivot_back(beside) + lifted_at(beside)
        guard = replace(guard, pivot_distance=plain(round(reach, 3)))
    says = f"{wax.name} {place}, lost motion {guard.lost_motion.value * 1e3:.1f} mm, stop {guard.stop.value * 1e3:.1f} mm"
    if kind != "central lift":
        says += f", pushed up {guard.pivot_distance.value * 1e3:.0f} mm from the edge it tilts about"
    if kind == "lever tilt":
        says += f", lever {guard.lever_ratio.value:.1f} : 1"
    made = replace(build, guard=guard)
    return Sized(made, says, guard_parts(made))


def guard_parts(build: Build) -> tuple[str, ...]:
    """What a guard with an element is made of; nothing without one."""
    guard = build.guard
    if guard.element is None:
        return ()
    parts = [
        guard.element.name,
        f"pin {guard.pin_diameter.value * 1e3:.0f} mm" + (" with a ceramic bead" if guard.pin_tip.value < BEADED else ""),
        "over-travel spring",
        "return spring",
    ]
    if guard.held_in == "plate":
        parts += ["thin foot", "cooling ring"]
    if guard.kind == "central lift":
        parts.append({"guide": "guide", "foot": "foot", "three pins": "three pins"}[guard.stands])
    elif build.riser[0].shape == "cylinder":
        parts.append(f"strip {guard.pivot_edge.value * 1e3:.0f} mm long under the rim")
    if guard.kind == "lever tilt":
        parts.append("lever with its stand")
    return tuple(parts)


def at_place(build: Build, kind: str, place: Place) -> Build:
    """One wax guard at a place, its element and other sizes as they come: what the place itself does to the element."""
    return replace(build, guard=_wax_guard(build, kind, waxes(build)[0], place))


def wax_guards(build: Build, kind: str, place: Place, settled: float) -> list[tuple[float, Sized]]:
    """Every element with every lost motion at one place, each with the plate's reserve over the usual one.

    Args:
        build: the build.
        kind: of the guard.
        place: of the element.
        settled: element's temperature at that place on the usual plate, the fan down. [K]

    Returns:
        Kelvin of plate from the usual one to lifting, and the sized guard.
    """
    found = []
    for wax in waxes(build):
        guard = _wax_guard(build, kind, wax, place)
        for wait in WAITS:
            if least_wait(guard) < wait < wax.travel.value:
                waits = by_hand(build.guard.lost_motion, wait, WAIT_OFF)
                sizes = replace(guard, lost_motion=waits)
                reserve = reserve_of(sizes, settled, build.stove.room.value, build.stove.usual_plate.value)
                found.append((reserve, _sized(build, sizes, place.says)))
    return found


def finer(one: Sized) -> list[Sized]:
    """The same element with the same lost motion, other stops, pin places and levers: the second look."""
    build, guard = one.build, one.build.guard
    assert guard.element is not None
    place = one.says.removeprefix(f"{guard.element.name} ").split(", lost motion")[0]
    reach, tilts = _most_reach(build), guard.kind != "central lift"
    found = []
    for stop in (*STOPS, None):
        for pin in PINS if tilts and guard.held_in == "riser" else (PINS[1],):
            for lever in LEVERS if guard.kind == "lever tilt" else (1.0,):
                sizes = replace(
                    guard,
                    lever_ratio=plain(lever),
                    pivot_distance=plain(round(pin * reach, 3)) if tilts else guard.pivot_distance,
                )
                sizes = replace(sizes, stop=plain(free_stop(sizes) if stop is None else stop))
                found.append(_sized(build, sizes, place))
    return found


def taller_risers(build: Build) -> list[Sized]:
    """Risers from fresh bar, 5 mm apart."""
    start, now = bare(build), geometry.riser_height(build)
    first = math.floor(now / 5e-3 + 1.0) * 5e-3
    count = max(int((TALLEST - first) / 5e-3 + 1e-9) + 1, 0)
    found = []
    for i in range(count):
        length = round(first + 5e-3 * i, 4)
        metal = build.riser[0].material.name
        says = f"a riser of {length * 1e3:.0f} mm instead of {now * 1e3:.0f} mm"
        found.append(Sized(riser_length(start, length), says, (f"{metal} bar, {length * 1e3:.0f} mm",)))
    return found


def more_modules(build: Build) -> list[Sized]:
    """One to four modules more of the first kind, all in series or all in parallel, plates and screws widened as they need."""
    found = []
    for more in range(1, MOST_MORE + 1):
        uses = (replace(build.modules[0], count=build.modules[0].count + more), *build.modules[1:])
        more_of = replace(bare(build), modules=uses)
        plates = [widened(more_of)] + ([widened(more_of, spread=True)] if build.spreader is None else [])
        counts = tuple(use.count for use in uses)
        kinds = range(len(counts))
        rows = tuple(tuple(int(k == kind) for k in kinds) for kind in kinds for _ in range(counts[kind]))
        for wider in plates:
            for word, strings in (("series", (counts,)), ("parallel", rows)):
                if len(strings) <= 8:
                    wiring = replace(build.wiring, arrangement=word, strings=strings)
                    says = f"{sum(counts)} modules instead of {sum(counts) - more}, in {word}"
                    says += ", with a spreader" if wider.spreader is not None and build.spreader is None else ""
                    needs = [f"{more} more {build.modules[0].part.name}", *_plates_to_find(build, wider)]
                    found.append(Sized(replace(wider, wiring=wiring), says, tuple(needs)))
    return found


def _plates_to_find(build: Build, wider: Build) -> list[str]:
    """What a widened build needs beside its modules, in words."""
    found = []
    for name, old, new in (("hot plate", build.hot_plate, wider.hot_plate), ("spreader", build.spreader, wider.spreader)):
        if new is not None and new != old:
            width, depth, thick = (size.value * 1e3 for size in (new.width, new.depth, new.thickness))
            found.append(f"{name} {width:.0f} x {depth:.0f} x {thick:.0f} mm")
    if wider.screws is not None and build.screws is not None and wider.screws.part.name != build.screws.part.name:
        found.append(f"{wider.screws.count} screws {wider.screws.part.name}")
    if wider.sink.fins_cut != build.sink.fins_cut:
        found.append("fins cut back round the screw heads")
    return found


def bigger_sinks_and_blades(build: Build) -> list[Sized]:
    """Sinks of the catalogue that are heavier, blades that are wider, and both at once."""
    start, shelf = bare(build), Shelf(None)
    sinks = [build.sink]
    for name in shelf.names("sink"):
        use = replace(build.sink, part=shelf.find("sink", name))
        if geometry.sink_mass(replace(build, sink=use)) > geometry.sink_mass(build) * 1.05:
            sinks.append(use)
    blades, wide = [build.blade], build.blade.part.diameter.value
    for name in shelf.names("blade"):
        part = shelf.find("blade", name)
        if part.diameter.value > wide * 1.02:
            high = build.blade.height.value + 0.5 * (part.diameter.value - wide)
            blades.append(replace(build.blade, part=part, height=plain(round(high, 3))))
    found = []
    for sink in sinks:
        for blade in blades:
            news = [new.part.name for new, old in ((sink, build.sink), (blade, build.blade)) if new is not old]
            if news:
                found.append(Sized(replace(start, sink=sink, blade=blade), " and ".join(news), tuple(news)))
    return found


def shims(build: Build) -> list[Sized]:
    """Sheets that bear the over-fired plate, one to twelve of them under the foot."""
    start, shelf = bare(build), Shelf(None)
    found = []
    for name in shelf.names("sheet"):
        sheet = shelf.find("sheet", name)
        if sheet.limit is None or sheet.limit.value <= build.stove.worst_plate.value or sheet.conductivity.value > 1.0:
            continue
        for count in range(1, MOST_SHIMS + 1):
            says = f"{count} sheet{'' if count == 1 else 's'} of {name} under the foot"
            found.append(Sized(with_shim(start, sheet, count), says, (f"{count} x {name}",)))
    return found


PASSIVE: tuple[tuple[str, Callable[[Build], list[Sized]]], ...] = (
    ("taller riser", taller_risers),
    ("more modules", more_modules),
    ("sink or blade", bigger_sinks_and_blades),
    ("shim", shims),
)
# Two changes at once, for builds that one alone does not save: what cools an ordinary evening, and a lift for the hard one.
PAIRED = tuple(
    (f"{word}, lift", sizes)
    for word, sizes in (("modules", more_modules), ("riser", taller_risers), ("sink", bigger_sinks_and_blades), ("shim", shims))
)
WAX = ("central lift", "edge tilt", "lever tilt")
