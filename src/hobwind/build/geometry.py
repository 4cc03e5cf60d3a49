"""Lengths, places and masses that follow from a build: what the physics, the checks and the drawings share.

Axes: x across, y along the fins, z up from the stove plate; the origin is the middle of the foot. The blade stands before the fins, at
negative y: seen from there x points right. A guard that tilts the fan does so sideways: the edge it turns about lies along y at the
foot's far side, the pin or what it pushes at positive x, where the plates overhang.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from ..parts.kinds import Sink
from .sections import Build, RiserPart, Screws
from .statics import Point

GRAVITY = 9.80665  # m/s2
BETWEEN = 1e-3  # m; room left between neighbouring modules
TILTS = ("edge tilt", "lever tilt")
FITTINGS = 0.05  # kg; strut, wire, screws

Place = tuple[float, float, float]  # across, along, up
Rectangle = tuple[float, float, float, float]  # middle x, middle y, width, depth


class Lump(NamedTuple):
    """One part as a mass: its name, kg, height of its middle above the stove plate, how far that lies before the foot's middle; m."""

    name: str
    mass: float
    height: float
    before: float


def riser_height(build: Build) -> float:
    """Height of the whole riser, m."""
    return sum(part.length.value for part in build.riser)


def section_area(part: RiserPart) -> float:
    """Area of one riser part across its length, m2."""
    if part.shape == "cylinder":
        return 0.25 * math.pi * part.width.value**2
    return part.width.value * part.depth.value


def low_plate(build: Build) -> tuple[float, float]:
    """Width and depth of what carries the modules from below: the hot plate, or the riser's top, m."""
    if build.hot_plate is not None:
        return build.hot_plate.width.value, build.hot_plate.depth.value
    top = build.riser[-1]
    return top.width.value, top.depth.value


def high_plate(build: Build) -> tuple[float, float]:
    """Width and depth of what lies on the modules: the spreader, or the sink's base, m."""
    if build.spreader is not None:
        return build.spreader.width.value, build.spreader.depth.value
    return sink_base(build)


def sink_base(build: Build) -> tuple[float, float]:
    """Width and depth of the face the sink turns to the modules, m."""
    sink = build.sink.part
    if sink.shape == "measured":
        return sink.width.value, sink.depth.value
    if sink.shape == "annular fins":
        return sink.core_diameter.value, sink.core_diameter.value
    return sink.base_width.value, sink.base_length.value


def sink_box(build: Build) -> tuple[float, float, float]:
    """Width, depth and height of the box round the sink, m."""
    sink = build.sink.part
    if sink.shape == "measured":
        return sink.width.value, sink.depth.value, sink.height.value
    if sink.shape == "annular fins":
        across, along = sink.outer_diameter.value, sink.fin_count * sink.fin_pitch.value
        return (across, across, along) if sink.axis == "upright" else (across, along, across)
    grown = sink.fin_height if sink.shape == "plate fins" else sink.pin_height
    return sink.base_width.value, sink.base_length.value, sink.base_thickness.value + grown.value


def module_thickness(build: Build) -> float:
    """Thickness of the module layer, m."""
    return max(use.part.thickness.value for use in build.modules)


def plate_below_sink(build: Build) -> tuple[float, float]:
    """Width and depth that hide the sink's underside from the stove plate, m."""
    width, depth = low_plate(build)
    if build.spreader is not None:
        return max(width, build.spreader.width.value), max(depth, build.spreader.depth.value)
    return width, depth


def module_places(build: Build) -> list[Rectangle]:
    """Where each module lies, kind after kind, in the rows and columns that overhang the plates least, m.

    Where the plates have room for it, their common middle lies over the plates' middle, so that the screws press all alike.
    """
    sizes = [(use.part.width.value, use.part.depth.value) for use in build.modules for _ in range(use.count)]
    width, depth = max(s[0] for s in sizes) + BETWEEN, max(s[1] for s in sizes) + BETWEEN
    low, high = low_plate(build), high_plate(build)
    room = (min(low[0], high[0]), min(low[1], high[1]))
    best, columns = math.inf, 1
    for across in range(1, len(sizes) + 1):
        down = math.ceil(len(sizes) / across)
        over = max(across * width - BETWEEN - room[0], 0.0) + max(down * depth - BETWEEN - room[1], 0.0)
        over += 1e-3 * abs(across - down) * width
        if over < best - 1e-12:
            best, columns = over, across
    rows = math.ceil(len(sizes) / columns)
    places = []
    for i, (w, d) in enumerate(sizes):
        row, column = divmod(i, columns)
        inside = min(columns, len(sizes) - row * columns)
        places.append(((column - 0.5 * (inside - 1)) * width, (row - 0.5 * (rows - 1)) * depth, w, d))
    level = balanced(places)
    fits = all(abs(x) + 0.5 * w <= 0.5 * room[0] + 1e-9 and abs(y) + 0.5 * d <= 0.5 * room[1] + 1e-9 for x, y, w, d in level)
    return level if fits else places


def balanced(places: list[Rectangle]) -> list[Rectangle]:
    """Modules moved together so that the middle of all their faces lies at the origin, m."""
    area = math.fsum(w * d for _, _, w, d in places)
    middle_x = math.fsum(x * w * d for x, _, w, d in places) / area
    middle_y = math.fsum(y * w * d for _, y, w, d in places) / area
    if math.hypot(middle_x, middle_y) < 1e-9:
        return places
    return [(x - middle_x, y - middle_y, w, d) for x, y, w, d in places]


def screw_places(screws: Screws) -> list[tuple[float, float]]:
    """Middles of the clamp screws: at the corners of a rectangle, or evenly on a circle starting between the axes, m."""
    if screws.across is not None and screws.along is not None:
        x, y = 0.5 * screws.across.value, 0.5 * screws.along.value
        corners = [(x, y), (-x, y), (-x, -y), (x, -y)]
        return corners[: screws.count] if screws.count != 2 else [corners[0], corners[2]]
    radius = 0.5 * (screws.circle.value if screws.circle is not None else 0.0)
    start = math.pi / 4.0 if screws.count == 4 else 0.0
    turn = 2.0 * math.pi / screws.count
    return [(radius * math.cos(start + i * turn), radius * math.sin(start + i * turn)) for i in range(screws.count)]


def head_across(screws: Screws) -> float:
    """What a clamp screw lays on its bearing face: its head, or its bush's collar where that is wider, m."""
    return max(screws.part.head_diameter.value, screws.bush.flange_diameter.value if screws.bush is not None else 0.0)


def fin_places(sink: Sink) -> list[float]:
    """Middles of a sink's plate fins across it, even about the middle, m."""
    return [(i - 0.5 * (sink.fin_count - 1)) * sink.fin_pitch.value for i in range(sink.fin_count)]


def fins_struck(build: Build) -> list[tuple[int, float]]:
    """Clamp screws whose heads find no room between the fins they stand among.

    Returns:
        Place in `screw_places` and room from the screw's middle to the nearest fin [m]; none where fins are cut back wide
        enough, where the sink has no plate fins, or where the screws stand outside its base.
    """
    sink, screws = build.sink.part, build.screws
    if sink.shape != "plate fins" or screws is None or build.sink.fins_cut.value >= head_across(screws):
        return []
    width, depth = sink_base(build)
    fins, found = fin_places(sink), []
    for i, (x, y) in enumerate(screw_places(screws)):
        room = min(abs(x - fin) for fin in fins) - 0.5 * sink.fin_thickness.value
        if room < 0.5 * head_across(screws) - 1e-9 and abs(x) < 0.5 * width and abs(y) < 0.5 * depth:
            found.append((i, room))
    return found


def sink_mass(build: Build) -> float:
    """Mass of the sink, kg."""
    sink = build.sink.part
    if sink.shape == "measured":
        return float(sink.mass.value)
    if sink.shape == "plate fins":
        base = sink.base_width.value * sink.base_length.value * sink.base_thickness.value
        grown = sink.fin_count * sink.fin_height.value * sink.fin_thickness.value * sink.base_length.value
    elif sink.shape == "annular fins":
        core, outer = sink.core_diameter.value, sink.outer_diameter.value
        base = 0.25 * math.pi * core**2 * sink.fin_count * sink.fin_pitch.value
        if sink.bore is not None:
            base -= 0.25 * math.pi * sink.bore.value**2 * sink.fin_count * sink.fin_pitch.value
        grown = 0.25 * math.pi * (outer**2 - core**2) * sink.fin_thickness.value * sink.fin_count
    else:
        base = sink.base_width.value * sink.base_length.value * sink.base_thickness.value
        grown = sink.pin_count * 0.25 * math.pi * sink.pin_diameter.value**2 * sink.pin_height.value
    return float((base + grown) * sink.material.density.value)


def sink_heat_capacity(build: Build) -> float:
    """Heat stored in the sink per kelvin, J/K."""
    return sink_mass(build) * float(build.sink.part.material.specific_heat.value)


def blade_before(build: Build) -> float:
    """How far the blade's middle stands before the middle of the foot, along the fins, m."""
    return 0.5 * sink_box(build)[1] + build.blade.before_sink.value


def motor_before(build: Build) -> float:
    """How far the motor's middle stands before the middle of the foot, m: half its length behind the blade's middle.

    Limits: the few millimetres of shaft between them are left out, which takes the motor for a little further out than it is.
    """
    return blade_before(build) - 0.5 * build.motor.part.length.value


def masses(build: Build) -> list[Lump]:
    """Mass and place of each part; all but blade, motor and what carries it lie over the middle of the foot, and all do across."""
    rows: list[tuple[str, float, float]] = []
    base = 0.0
    for i, part in enumerate(build.riser):
        length = part.length.value
        rows.append((f"riser {i + 1}", section_area(part) * length * part.material.density.value, base + 0.5 * length))
        base += length
    if build.hot_plate is not None:
        slab = build.hot_plate
        volume = slab.width.value * slab.depth.value * slab.thickness.value
        rows.append(("hot plate", volume * slab.material.density.value, base + 0.5 * slab.thickness.value))
        base += slab.thickness.value
    thick = module_thickness(build)
    modules = sum(u.count * u.part.width.value * u.part.depth.value for u in build.modules) * thick * 3500.0
    rows.append(("modules", modules, base + 0.5 * thick))
    base += thick
    if build.spreader is not None:
        slab = build.spreader
        volume = slab.width.value * slab.depth.value * slab.thickness.value
        rows.append(("spreader", volume * slab.material.density.value, base + 0.5 * slab.thickness.value))
        base += slab.thickness.value
    rows.append(("sink", sink_mass(build), base + 0.5 * sink_box(build)[2]))
    hub, motor = build.blade.height.value, motor_before(build)
    return [
        *(Lump(*row, 0.0) for row in rows),
        Lump("motor", build.motor.part.mass.value, hub, motor),
        Lump("blade", build.blade.part.mass.value, hub, blade_before(build)),
        Lump("fittings", FITTINGS, hub, motor),
    ]


def fan_mass(build: Build) -> float:
    """Mass of the fan: as weighed, else from its parts, kg."""
    if build.mass is not None:
        return build.mass.value
    return sum(one.mass for one in masses(build))


def centre_of_mass(build: Build) -> Place:
    """Centre of mass from the parts: across, along the fins and above the stove plate, m; before the middle is negative along."""
    rows = masses(build)
    whole = sum(one.mass for one in rows)
    before, height = sum(one.mass * one.before for one in rows), sum(one.mass * one.height for one in rows)
    return 0.0, -before / whole, height / whole


def centre_height(build: Build) -> float:
    """Height of the centre of mass above the stove plate, from the parts, m."""
    return centre_of_mass(build)[2]


def centre_before(build: Build) -> float:
    """How far motor and blade draw the centre of mass before the middle of the foot, m."""
    return -centre_of_mass(build)[1]


def pivot_back(build: Build) -> float:
    """How far the edge it tilts about lies from the middle of the foot, across, m; on a round foot the edge is a chord."""
    foot, edge = build.riser[0], build.guard.pivot_edge.value
    if foot.shape == "cylinder":
        return math.sqrt(max(0.25 * foot.width.value**2 - 0.25 * edge**2, 0.0))
    return 0.5 * foot.width.value


def foot_reach(build: Build) -> float:
    """From the edge it tilts about to the foot's other side, m."""
    return pivot_back(build) + 0.5 * build.riser[0].width.value


def tilts(build: Build) -> bool:
    """Whether the guard tilts the fan about an edge of its foot."""
    return build.guard.kind in TILTS


def weight_share(build: Build) -> float:
    """Share of the fan's weight that is lifted where the guard pushes: all of it, or what the pivot edge leaves.

    That edge runs along the fins, so how far motor and blade hang out before them has no arm about it: it moves load along the edge.

    Source: exact (moments about the pivot edge, as the pin takes the weight).
    """
    return pivot_back(build) / build.guard.pivot_distance.value if tilts(build) else 1.0


def pin_spot(build: Build) -> Point:
    """Where a pin in the riser stands, across and along, m: at its distance from the pivot edge, or in the middle.

    Off the middle it stands to the right, of a fan that tilts before the middle, under the weight of motor and blade.
    """
    guard, offset = build.guard, build.guard.pin_offset.value
    return (guard.pivot_distance.value - pivot_back(build), -offset) if tilts(build) else (offset, 0.0)


def tilt_angle(build: Build) -> float:
    """How far the guard tilts the fan at its stop, rad."""
    guard = build.guard
    return math.atan(guard.stop.value / guard.pivot_distance.value) if tilts(build) else 0.0
