"""Plates widened for more modules: hot plate and spreader as large as they must be, the clamp screws moved out with them.

What is sized here can be drilled and tapped: walls, edges and the screws' free length follow the workshop's own rules.
"""

from __future__ import annotations

import math
from dataclasses import replace

from ..build import Build, geometry
from ..build.sections import Screws, Slab
from ..parts.catalogue import Shelf
from ..parts.kinds import Screw
from ..units import plain

PLATE = 0.010  # m; thickness of a plate that is added
METAL = "aluminium 6082"
CLEAR, STEP = 0.5e-3, 0.5e-3  # m; between a screw's hole and a module; places are marked out in such steps
EDGE, WALL = 1.5, 1.5e-3  # diameters from a thread's middle to an edge; m of metal beside a hole. Common practice
THREADS = ("M3", "M4", "M5", "M6")
FOUR = 4  # screws, one at each corner, where fewer would be pulled too hard
# Pa on a clamp screw's stress area, about half of what soft stainless bears; the stress area as a share of the full circle.
STRESS, CORE = 105e6, 0.70  # Source: common practice; iso-898
PASSES, BUSHED = 0.5e-3, 0.2e-3  # m; by which a hole is wider than the screw, than the bush
HEAD_ROOM = 2e-3  # m; by which fins are cut back further than a head is wide


def widened(build: Build, spread: bool = False) -> Build:
    """A build whose plates carry all its modules and the screws beside them.

    Args:
        build: with more modules than its plates were made for.
        spread: whether a spreader is added even where the sink's base is wide enough: it shares the heat out.

    Returns:
        The build with a hot plate and a spreader as far as its own do not suffice, screws as thick as the clamp now asks for.
    """
    boxes = geometry.balanced(geometry.module_places(build))
    wide = 2.0 * max(abs(x) + 0.5 * w for x, _, w, _ in boxes)
    deep = 2.0 * max(abs(y) + 0.5 * d for _, y, _, d in boxes)
    (low_w, low_d), (high_w, high_d) = geometry.low_plate(build), geometry.high_plate(build)
    screws, across, along = _strong(build), wide, deep
    if wide > min(low_w, high_w) or deep > min(low_d, high_d):
        screws, across, along = _moved_out(screws, wide, deep)
    low = _plate(build.hot_plate, (low_w, low_d), (across, along))
    high = _plate(build.spreader, (high_w, high_d), (across, along), spread)
    added = PLATE if low is not None and build.hot_plate is None else 0.0
    topped = PLATE if high is not None and build.spreader is None else 0.0
    if screws is not None:
        screws = replace(screws, free_length=plain(round(screws.free_length.value + topped, 5)))
    blade = replace(build.blade, height=plain(round(build.blade.height.value + added + topped, 4)))
    made = replace(build, hot_plate=low, spreader=high, screws=screws, blade=blade)
    struck = geometry.fins_struck(made)
    if screws is not None and struck:
        cut = plain(round(geometry.head_across(screws) + HEAD_ROOM, 4))
        made = replace(made, sink=replace(made.sink, fins_cut=cut))
    return made


def pull_of(build: Build) -> float:
    """What the clamp asks of each of its screws, cold, N; nothing without screws."""
    if build.screws is None:
        return 0.0
    area = sum(use.count * use.part.width.value * use.part.depth.value for use in build.modules)
    return build.clamp_pressure.value * area / build.screws.count


def bears(part: Screw) -> float:
    """What a screw bears with a factor of two to its yield, N."""
    return STRESS * CORE * 0.25 * math.pi * part.diameter.value**2


def _strong(build: Build) -> Screws | None:
    """The clamp screws, or thicker ones of the same metal, or four, where the clamp would pull these too near their yield."""
    screws = build.screws
    if screws is None or screws.count >= FOUR:
        return _thicker(build)[0]
    found, strong = _thicker(build)
    if strong:
        return found
    more, strong = _thicker(replace(build, screws=replace(screws, count=FOUR)))
    return more if strong else found


def _thicker(build: Build) -> tuple[Screws | None, bool]:
    """As many screws, as thick as the clamp asks for, and whether any is thick enough; the same ones where none is."""
    screws = build.screws
    if screws is None:
        return None, True
    pull, shelf = pull_of(build), Shelf(None)
    metal = screws.part.name.removeprefix(f"{screws.part.thread} ")
    for thread in THREADS[THREADS.index(screws.part.thread) :] if screws.part.thread in THREADS else ():
        part = shelf.find("screw", f"{thread} {metal}") if f"{thread} {metal}" in shelf.names("screw") else screws.part
        if pull > bears(part):
            continue
        if part.name == screws.part.name:
            return screws, True
        bush, washer = screws.bush, screws.washer
        bush = None if bush is None else shelf.find("bush", bush.name.replace(screws.part.thread, thread))
        washer = None if washer is None else shelf.find("washer", washer.name.replace(screws.part.thread, thread))
        through = part.diameter.value + PASSES if bush is None else bush.outer.value + BUSHED
        return replace(screws, part=part, bush=bush, washer=washer, hole=plain(round(through, 5))), True
    return screws, screws.part.thread not in THREADS or pull <= bears(screws.part)


def _plate(now: Slab | None, has: tuple[float, float], wanted: tuple[float, float], add: bool = False) -> Slab | None:
    """The plate of that place as wide as wanted: as it is where that does, a new one where there was none."""
    if has[0] >= wanted[0] - 1e-9 and has[1] >= wanted[1] - 1e-9 and (now is not None or not add):
        return now
    metal = Shelf(None).find("material", METAL)
    new = now or Slab(plain(has[0]), plain(has[1]), plain(PLATE), metal, metal.finish)
    width, depth = (math.ceil(1e3 * max(a, b) - 1e-6) * 1e-3 for a, b in zip(has, wanted, strict=True))
    return replace(new, width=plain(width), depth=plain(depth))


def _moved_out(screws: Screws | None, wide: float, deep: float) -> tuple[Screws | None, float, float]:
    """Screws beside a block of modules, and the width and depth of plate that takes both."""
    if screws is None:
        return None, wide, deep
    hole = screws.hole.value
    edge = max(EDGE * screws.part.diameter.value, 0.5 * hole + WALL)
    if screws.circle is not None:
        circle = math.ceil((math.hypot(wide, deep) + hole + 2.0 * CLEAR) / STEP - 1e-6) * STEP
        out = 0.5 * circle
        reach = [max(abs(place[axis]) for place in _around(screws, out)) + edge for axis in (0, 1)]
        return replace(screws, circle=plain(round(circle, 5))), max(wide, 2.0 * reach[0]), max(deep, 2.0 * reach[1])
    across = math.ceil((wide + hole + 2.0 * CLEAR) / STEP - 1e-6) * STEP
    along = max(math.floor((deep - 2.0 * edge) / STEP + 1e-6) * STEP, 2.0 * hole)
    placed = replace(screws, across=plain(round(across, 4)), along=plain(round(along, 4)))
    return placed, across + 2.0 * edge, max(deep, along + 2.0 * edge)


def _around(screws: Screws, radius: float) -> list[tuple[float, float]]:
    return geometry.screw_places(replace(screws, circle=plain(2.0 * radius)))
