"""The arrays that the compiled kernel works on.

Nodes of one build, in this order: the patch of plate under the foot and its four rings (written as deviations from
the undisturbed plate), the riser's cells from the foot up, the hot plate if there is one, the hot and cold face of
each kind of module, the spreader if there is one, the sink, the motor, the wax element.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..compiled import jitable
from ..physics import air, contact
from .fields import BLOCK, COMPOUND, FILLS_AT, JOINTS_AT, PER_JOINT, PER_RISER, RISERS_AT, SHAPES_AT, SHEET, J, P, R

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

RINGS = 4
GRID_START, GRID_STEP, GRID_COUNT = 253.15, 25.0, 32  # K; rows of the plate's table
GAS_REFERENCE = 380.0  # K; film temperature at which the gas in a clamped dry joint is taken
# Surfaces: upright, looking down, glowing only, the motor's, and warmed by the plate only.
VERTICAL, UNDERSIDE, RADIATING, LYING, WARMED = 0, 1, 2, 3, 4
MOST_SKINS = 40
MOST_LINKS = 48
SERIES_TERMS = 30


class Places(NamedTuple):
    """Which node is which."""

    size: int
    foot: int
    top: int
    low: int  # node whose upper face carries the modules
    high: int  # node whose lower face they carry
    sink: int
    motor: int
    element: int
    pushed: int  # what the push pin touches: the patch, or of a pin beside the riser the part that hangs over it


class Seat(NamedTuple):
    """What the seat's law needs of the build."""

    area: float  # m2, foot
    foot_resistance: float  # K/W, half the lowest cell and the coating
    solid: float  # W/m2K through touching spots at the fan's own weight
    standoff: float  # m, separation of the mean planes


class Wired(NamedTuple):
    """The modules and their wiring; k kinds, r strings in parallel."""

    hot: Ints  # (k) node of each kind's hot face; the cold face is the next node
    seebeck: Floats  # (k) V/K at 300 K, one module
    resistance: Floats  # (k) ohm
    conductance: Floats  # (k) W/K
    strings: Floats  # (r, k) modules of each kind in each string


class Net(NamedTuple):
    """One build as arrays; lengths: n nodes, m links, s skins, k module kinds.

    Small functions are handed the part they need and not the whole: a tuple is handed down array by array, seven words each.
    """

    at: Places
    seat: Seat
    wired: Wired
    capacity: Floats  # (n) J/K
    links: Ints  # (m, 2)
    link_g: Floats  # (m) W/K at 300 K
    link_slope: Floats  # (m) relative change of link_g per kelvin
    skins: Ints  # (s, 2) node, kind
    skin: Floats  # (s, 5) area, height, emissivity, view of the plate, height over diameter
    ring_g: Floats  # (5) W/K between patch, rings and the undisturbed plate
    ring_area: Floats  # (5) m2
    table: Floats  # (grid, 3) secant and slope of the plate's upper side loss, scale of the ladder
    gap_area: float  # m2 of bare plate round the modules
    gap_thickness: float  # m
    plate_link: float  # W/K, wax element to the undisturbed plate when a foot of its own stands there
    number: Floats  # (k) modules of each kind
    limit: Floats  # (k) K


class Draft(NamedTuple):
    """Arrays while they are being filled; `used` counts links and skins."""

    capacity: Floats
    links: Ints
    link_g: Floats
    link_slope: Floats
    skins: Ints
    skin: Floats
    used: Ints


@jitable
def add_link(draft: Draft, first: int, second: int, conductance: float, slope: float) -> None:
    """Tie two nodes, W/K at 300 K and its relative change per kelvin."""
    i = draft.used[0]
    draft.links[i, 0], draft.links[i, 1] = first, second
    draft.link_g[i], draft.link_slope[i] = conductance, slope
    draft.used[0] = i + 1


@jitable
def add_skin(
    draft: Draft, node: int, kind: int, area: float, size: float, emissivity: float, view: float, slender: float
) -> None:
    """Give a node a surface to air, plate and room."""
    i = draft.used[1]
    draft.skins[i, 0], draft.skins[i, 1] = node, kind
    draft.skin[i, 0], draft.skin[i, 1], draft.skin[i, 2] = area, size, emissivity
    draft.skin[i, 3], draft.skin[i, 4] = view, slender
    draft.used[1] = i + 1


@jitable
def joint_conductance(p: Floats, q: Ints, which: int, pressure: float) -> float:
    """Conductance of one clamped joint per area, W/m2K."""
    at = JOINTS_AT + which * PER_JOINT
    fill = q[FILLS_AT + which]
    if fill == SHEET:
        return contact.sheet_conductance(p[at + J.conductivity], p[at + J.thickness], p[at + J.contact])
    if fill == COMPOUND:
        line = contact.bond_line(p[at + J.yield_stress], pressure)
        return contact.filled_joint_conductance(p[at + J.conductivity], line, p[at + J.flatness], p[at + J.bow])
    spots = contact.solid_spot_conductance(
        p[at + J.surface_conductivity], p[at + J.roughness], p[at + J.slope], pressure, p[at + J.hardness]
    )
    standoff = contact.plane_separation(p[at + J.roughness], pressure, p[at + J.hardness])
    standoff += air.molecular_jump(GAS_REFERENCE, p[P.pressure])
    gas = contact.gap_conductance(air.conductivity(GAS_REFERENCE), standoff, p[at + J.flatness], p[at + J.bow], 0.0, 0.0)
    return spots + gas


@jitable
def section_area(p: Floats, q: Ints, part: int) -> float:
    """Area of a riser part across its length, m2."""
    at = RISERS_AT + part * PER_RISER
    if q[SHAPES_AT + part] == BLOCK:
        return p[at + R.width] * p[at + R.depth]
    return 0.25 * np.pi * p[at + R.width] ** 2


@jitable
def perimeter(p: Floats, q: Ints, part: int) -> float:
    """Way round a riser part, m."""
    at = RISERS_AT + part * PER_RISER
    if q[SHAPES_AT + part] == BLOCK:
        return 2.0 * (p[at + R.width] + p[at + R.depth])
    return np.pi * p[at + R.width]
