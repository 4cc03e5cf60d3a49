"""Every hole the maker drills: where, how wide, how deep, which thread, and for whom.

Places are as in `build.geometry`: x across, y along, from the middle of the fan, seen from above.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ..build import Build
from ..build import geometry as g
from ..build.guide_posts import guide_for, riser_at
from ..lifting.clip import ASIDE as CLIP_ASIDE
from ..lifting.clip import clip_for
from ..parts.kinds import Material
from .metals import Tapped, tapped
from .plate_screws import Bore, PlateScrews, plate_screws
from .rules import HELD, LEAST, LENGTHS, POINT, SHORT, SPARE, WALL
from .threads import THREADS, Thread, engagement_for, pull_out

NUT_HEIGHT, NUT_ACROSS = 0.8, 2.31  # of the screw: height, and at the most over its corners (M2). Source: iso-4032
PIN_ROOM, POCKET_ROOM = 0.3e-3, 0.2e-3  # m; a pin slides though rusty, an element slips in; common practice


@dataclass(frozen=True)
class Holes:
    """Holes of one kind in one part; metres. `depth` counts from `face` to the drill's full width, None is through.

    `countersink` is its width at the face, of a cone of 90°.
    """

    part: str
    letter: str
    use: str
    places: tuple[tuple[float, float], ...]
    drill: float
    depth: float | None = None
    face: str = "top"
    thread: Thread | None = None
    thread_depth: float | None = None
    countersink: float | None = None

    @property
    def beside(self) -> str:
        """What is written beside each hole."""
        drill = f"drill {size(self.drill)}"
        deep = "" if self.depth is None else f" x {size(self.depth)} deep"
        if self.thread is None:
            sunk = "" if self.countersink is None else f", countersink 90° to {size(self.countersink)}"
            return f"{drill}{deep}{sunk}"
        tap = "" if self.thread_depth is None else f" x {size(self.thread_depth)}"
        return f"{self.thread.name}{tap}, {drill}{deep}"

    @property
    def width(self) -> float:
        """Width of what is cut away: the thread where there is one, the countersink where there is one, m."""
        return max(self.drill if self.thread is None else self.thread.diameter, self.countersink or 0.0)


@dataclass(frozen=True)
class ScrewFit:
    """How a clamp screw sits in the tapped part; metres, newtons. `screw` is None when no stock length fits."""

    thread: Thread
    metal: Tapped
    grip: float
    free: float
    room: float
    usual: float
    least: float
    screw: float | None
    engaged: float
    load: float
    holds: float
    through: bool
    nut: bool = False


def size(length: float) -> str:
    """A length in mm without trailing zeros, to a hundredth."""
    return f"{round(length * 1e3, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def low_part(build: Build) -> str:
    """Which part the clamp screws are tapped into."""
    return "hot plate" if build.hot_plate is not None else f"riser {len(build.riser)}"


def has_flat_base(build: Build) -> bool:
    """Whether the sink is known to have a base plate that holes can go through."""
    return build.sink.part.shape in ("plate fins", "pin fins")


@dataclass(frozen=True)
class Gripped:
    """One part between a clamp screw's head and the tapped plate: name, thickness [m], what it is made of (None: a module)."""

    name: str
    thickness: float
    material: Material | None


def gripped(build: Build) -> list[Gripped]:
    """What a clamp screw spans, from its head down: washers, the bush's collar, the sink's base, spreader, modules."""
    screws, found = build.screws, []
    if screws is not None and screws.washer is not None:
        washer, discs = screws.washer, screws.washers * (screws.nested if screws.washer.dish is not None else 1)
        name = "disc washers" if washer.dish is not None else "washer"
        found.append(Gripped(name, washer.thickness.value * discs, washer.material))
    if screws is not None and screws.bush is not None:
        found.append(Gripped("collar of the bush", screws.bush.flange_thickness.value, screws.bush.material))
    if has_flat_base(build) and _reaches_sink(build):
        found.append(Gripped("sink base", build.sink.part.base_thickness.value, build.sink.part.material))
    if build.spreader is not None:
        found.append(Gripped("spreader", build.spreader.thickness.value, build.spreader.material))
    return [*found, Gripped("modules", g.module_thickness(build), None)]


def grip(build: Build) -> float:
    """From the tapped plate's face to under the screw's head, m."""
    return sum(one.thickness for one in gripped(build))


def _reaches_sink(build: Build) -> bool:
    """Whether the clamp screws stand under the sink's base, and so go through it."""
    if build.screws is None:
        return False
    width, depth = g.sink_base(build)
    return all(abs(x) < 0.5 * width and abs(y) < 0.5 * depth for x, y in g.screw_places(build.screws))


def clamp_load(build: Build) -> float:
    """Force on one clamp screw: the pressure wanted over all modules, shared evenly, N."""
    area = sum(use.count * use.part.width.value * use.part.depth.value for use in build.modules)
    return build.clamp_pressure.value * area / (build.screws.count if build.screws is not None else 1)


def screw_fit(build: Build) -> ScrewFit | None:
    """How far the clamp screws reach into the tapped part and what the thread there holds when hot.

    Args:
        build: a checked build.

    Returns:
        None when there are no clamp screws, their thread is not in the table, or a found fan stays closed.
    """
    return None if build.found else screw_sits(build)


def screw_sits(build: Build) -> ScrewFit | None:
    """The same for a found fan too, whose clamp is worked through for who opens it."""
    if build.screws is None:
        return None
    thread = THREADS.get(build.screws.part.thread.strip().upper())
    if thread is None:
        return None
    slab, top = build.hot_plate, build.riser[-1]
    material = slab.material if slab is not None else top.material
    metal, load = tapped(material.name), clamp_load(build)
    tall = slab.thickness.value if slab is not None else top.length.value
    through = slab is not None
    room = tall - SHORT if through else tall - WALL - POINT * thread.tap_drill - thread.runout - SPARE * thread.pitch
    gripped_length = grip(build)
    free = max(build.screws.free_length.value, gripped_length)
    usual = metal.engagement * thread.diameter
    least = max(LEAST * thread.diameter, engagement_for(thread, HELD * load, metal.shear_hot))
    nut = through and room < least - 1e-9 and build.screws.engaged is None and has_room_for_nuts(build)
    if nut:
        metal = tapped("plain steel")
        gripped_length, free = gripped_length + tall, free + tall
    first = ScrewFit(thread, metal, gripped_length, free, room, usual, least, None, 0.0, load, 0.0, through, nut)
    screw, engaged = stock_length(first, free)
    if build.screws.engaged is not None:
        engaged = build.screws.engaged.value
    return replace(first, screw=screw, engaged=engaged, holds=pull_out(thread, engaged, metal.shear_hot))


def stock_length(fit: ScrewFit, free: float) -> tuple[float | None, float]:
    """The stock screw for a free length and how much of it holds, m; None where no stock length lies between.

    Args:
        fit: thread, metal and room; its own free length is not looked at.
        free: from under the head to the first thread that holds. [m]

    Returns:
        Length of the screw, and length in the thread or nut.
    """
    if fit.nut:  # a pitch of thread stands out of a nut
        engaged = NUT_HEIGHT * fit.thread.diameter
        return next((one for one in LENGTHS if one >= free + engaged + fit.thread.pitch - 1e-9), None), engaged
    aim = min(fit.usual, fit.room) if fit.room >= fit.least else fit.room
    fits = [one for one in LENGTHS if free + fit.least - 1e-9 <= one <= free + fit.room + 1e-9]
    screw = min(fits, key=lambda one: (abs(one - free - aim), one)) if fits else None
    return screw, max(screw - free if screw is not None else aim, 0.0)


def has_room_for_nuts(build: Build) -> bool:
    """Whether nuts on the clamp screws find room below the hot plate, beside the riser."""
    screws, top = build.screws, build.riser[-1]
    if screws is None or build.hot_plate is None:
        return False
    half = 0.5 * NUT_ACROSS * screws.part.diameter.value
    wide, deep = 0.5 * top.width.value, 0.5 * top.depth.value
    if top.shape == "cylinder":
        return all(math.hypot(x, y) - wide >= half for x, y in g.screw_places(screws))
    return all(max(abs(x) - wide, abs(y) - deep) >= half for x, y in g.screw_places(screws))


def _screw_holes(build: Build) -> list[Holes]:
    screws = build.screws
    if screws is None:
        return []
    places, fit = tuple(g.screw_places(screws)), screw_fit(build)
    found = []
    if fit is None:
        found.append(Holes(low_part(build), "", f"clamp screw {screws.part.thread}", places, screws.part.diameter.value))
    elif fit.nut:
        found.append(Holes(low_part(build), "", "clamp screw passes, a nut below", places, fit.thread.clearance))
    elif fit.through:
        found.append(Holes(low_part(build), "", "clamp screw", places, fit.thread.tap_drill, thread=fit.thread))
    else:
        deep = fit.engaged + SPARE * fit.thread.pitch
        found.append(
            Holes(
                low_part(build), "", "clamp screw", places, fit.thread.tap_drill, deep + fit.thread.runout, "top",
                fit.thread, deep,
            )
        )  # fmt: skip
    what = "clamp screw passes" if screws.bush is None else "bush of the clamp screw"
    if build.spreader is not None:
        found.append(Holes("spreader", "", what, places, screws.hole.value))
    if has_flat_base(build) and _reaches_sink(build):
        found.append(Holes("sink", "", what, places, screws.hole.value))
    return found


def _guard_holes(build: Build) -> list[Holes]:
    """An element in the riser: its pocket from the top of the part it begins in, and the pin's bore down to the foot."""
    guard = build.guard
    if guard.element is None or guard.held_in != "riser":
        return []
    spot, wide = (g.pin_spot(build),), guard.element.diameter.value + POCKET_ROOM
    bottom = max(guard.element_height.value - 0.5 * guard.element.length.value, 0.0)
    lid = bottom + guard.element.length.value
    if build.found:  # its clamp stays closed, so the pocket comes from the foot; a plug there guides the pin
        return [Holes("riser 1", "", "pocket of the wax element, from the foot", spot, wide, lid)]
    pin, found, base = guard.pin_diameter.value + PIN_ROOM, [], 0.0
    for i, part in enumerate(build.riser):
        name, top = f"riser {i + 1}", base + part.length.value
        if base < lid and bottom < top:
            depth = None if bottom <= base + 1e-9 else top - bottom
            found.append(Holes(name, "", "pocket of the wax element", spot, wide, depth))
            if depth is not None:
                found.append(Holes(name, "", "push pin", spot, pin))
        elif top <= bottom + 1e-9:
            found.append(Holes(name, "", "push pin", spot, pin))
        base = top
    return found


def side_of(name: str) -> str:
    """Name of the riser part's side that a guide's eyes are screwed to, on the sheets."""
    return f"{name} side"


def _clip_holes(build: Build) -> list[Holes]:
    """The screws of the element's clip, tapped into the plate that it is screwed under."""
    one = clip_for(build)
    if one is None or (one.plate == "sink" and not has_flat_base(build)):
        return []
    thread, places = THREADS["M4"], ((one.screws, -CLIP_ASIDE), (one.screws, CLIP_ASIDE))
    return [Holes(one.plate, "", "screw of the element's clip", places, thread.tap_drill, thread=thread)]


def _guide_holes(build: Build) -> list[Holes]:
    """The screws of a guide's eyes, tapped into the riser's side: across it, and up from the middle of the part's height."""
    guide, thread = guide_for(build), THREADS["M4"]
    if guide is None:
        return []
    found = []
    for name, high in zip(("lower eye", "upper eye"), guide.screws, strict=True):
        i, base = riser_at(build, high)
        part = build.riser[i]
        up = round(high - base - 0.5 * part.length.value, 6)
        deep = tapped(part.material.name).engagement * thread.diameter + SPARE * thread.pitch
        places = ((-guide.aside, up), (guide.aside, up))
        found.append(
            Holes(
                side_of(f"riser {i + 1}"), "", f"screw of the {name}", places, thread.tap_drill, round(deep + thread.runout, 4), "side",
                thread, round(deep, 4),
            )
        )  # fmt: skip
    return found


def _bores(holes: list[Holes], part: str) -> list[Bore]:
    return [(x, y, one.width) for one in holes if one.part == part for x, y in one.places]


def _other_holes(build: Build) -> list[Holes]:
    """All holes but those of the plate screws; a found fan's clamp stays closed."""
    return ([] if build.found else _screw_holes(build)) + _guard_holes(build) + _clip_holes(build)


def held_by(build: Build) -> PlateScrews | None:
    """The screws that hold the hot plate on its riser; None where none are wanted, or none find a place."""
    return _held(build, _other_holes(build))


def _held(build: Build, others: list[Holes]) -> PlateScrews | None:
    return plate_screws(build, _bores(others, f"riser {len(build.riser)}"), _bores(others, "hot plate"))


def _plate_holes(build: Build, others: list[Holes]) -> list[Holes]:
    """Tapped into the riser, passing the plate with their heads sunk."""
    screws = _held(build, others)
    if screws is None:
        return []
    thread = screws.thread
    return [
        Holes(
            f"riser {len(build.riser)}", "", "plate screw", screws.places, thread.tap_drill, screws.drill_depth, "top", thread,
            screws.thread_depth,
        ),
        Holes("hot plate", "", "plate screw passes", screws.places, thread.clearance, countersink=screws.head.countersink),
    ]  # fmt: skip


def all_holes(build: Build) -> tuple[Holes, ...]:
    """Every hole that the build asks for, lettered part by part.

    Args:
        build: a checked build; of a found one, only what its guard needs.

    Returns:
        Sets of like holes; A, B, ... within each part.
    """
    found, seen = [], dict[str, int]()
    others = _other_holes(build)
    for one in others + _plate_holes(build, others) + _guide_holes(build):
        found.append(replace(one, letter=chr(65 + seen.get(one.part, 0))))
        seen[one.part] = seen.get(one.part, 0) + 1
    return tuple(found)
