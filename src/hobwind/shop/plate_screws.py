"""The screws that hold a hot plate on its riser: which, how many, where, how long; chosen so that they can be made.

They go from the plate's hot face down into the riser, heads sunk below the face. Their heads lie beside the modules where
there is room: a hole under a module takes contact from it just where the heat crosses, so there the smallest are taken.
From below they would have to be as long as the riser; from the side they would hold by a point. Four keep the plate flat
and cannot let it turn; two must do where four find no place. A thread as for the clamp screws saves a tap; M4 is the least
that does not snap easily, M3 is taken where nothing larger finds room.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..build import Build
from ..build import geometry as g
from .countersunk import SHALLOW, SIZES, SUNK, Head, ScrewMetal, head_of, metal_for
from .metals import tapped
from .rules import EDGE, LEAST, LENGTHS, POINT, SPARE, WALL
from .threads import THREADS, Thread, engagement_for

STEP = 0.5e-3  # m; places are marked out in such steps
BESIDE = 0.25e-3  # m between a countersink and a module's edge
LAND = 1.0e-3  # m of straight hole left below a countersink: a sharp edge there gives way; common practice
DEEP = 3.0  # diameters; deeper threads are not tapped by hand
USUAL = ("M4", "M5", "M6", "M3")  # in the order in which they are tried
Floats = NDArray[np.float64]
Place = tuple[float, float]
Bore = tuple[float, float, float]  # x, y, width


@dataclass(frozen=True)
class PlateScrews:
    """The screws of one hot plate; metres. `covered` is the contact that countersinks take from the modules, m²."""

    thread: Thread
    head: Head
    metal: ScrewMetal
    places: tuple[Place, ...]
    length: float
    engaged: float
    room: float
    covered: float

    @property
    def called(self) -> str:
        """As it is asked for over a counter."""
        return f"{self.thread.name} x {self.length * 1e3:g} countersunk"

    @property
    def thread_depth(self) -> float:
        """Full thread in the riser, m."""
        return self.engaged + SPARE * self.thread.pitch

    @property
    def drill_depth(self) -> float:
        """Tap drill in the riser, at its full width, m."""
        return self.thread_depth + self.thread.runout


def wants_screws(build: Build) -> bool:
    """Whether riser and hot plate are two pieces that this build must screw together."""
    return build.hot_plate is not None and not build.hot_plate.joined and not build.found


def tried(build: Build) -> tuple[str, ...]:
    """Threads in the order in which they are tried: the build's own, else the clamp screws' first."""
    slab, screws = build.hot_plate, build.screws
    if slab is not None and slab.held in SIZES:
        return (slab.held,)
    own = "" if screws is None else screws.part.thread.strip().upper()
    return (own, *(one for one in USUAL if one != own)) if own in ("M4", "M5", "M6") else USUAL


def plate_screws(build: Build, in_riser: Sequence[Bore], in_plate: Sequence[Bore]) -> PlateScrews | None:
    """Screws that find a place.

    Args:
        build: a checked build.
        in_riser: holes in the riser's top part.
        in_plate: holes in the hot plate.

    Returns:
        The screws; None where none are wanted or nothing fits.
    """
    if not wants_screws(build):
        return None
    for beside in (True, False):
        names = tried(build) if beside else sorted(tried(build), key=lambda name: THREADS[name].diameter)
        for name in names:
            fit = _sits(build, THREADS[name])
            if fit is None:
                continue
            places = _places(build, fit, in_riser, in_plate, beside)
            if places:
                return _chosen(build, fit, places)
    return None


@dataclass(frozen=True)
class _Fit:
    thread: Thread
    head: Head
    metal: ScrewMetal
    length: float
    engaged: float
    room: float


def _sits(build: Build, thread: Thread) -> _Fit | None:
    """How long a screw of that thread is; None where plate or riser is too thin for it."""
    slab, top, head = build.hot_plate, build.riser[-1], head_of(thread)
    if slab is None or slab.thickness.value < head.height + SUNK + LAND - 1e-9:
        return None
    screw, metal = metal_for(slab.material.expansion.value), tapped(top.material.name)
    room = top.length.value - WALL - POINT * thread.tap_drill - thread.runout - SPARE * thread.pitch
    usual, most = metal.engagement * thread.diameter, max(DEEP, metal.engagement) * thread.diameter
    whole = engagement_for(
        thread, SHALLOW * screw.strength_hot * thread.stress_area, metal.shear_hot
    )  # the screw gives before its thread
    wanted, most = min(max(usual, whole), most), min(most + STEP, room)
    grip = slab.thickness.value - SUNK
    engaged = [one - grip for one in LENGTHS if LEAST * thread.diameter - 1e-9 <= one - grip <= most + 1e-9]
    if not engaged:
        return None
    deep = next((one for one in engaged if one >= wanted - 1e-9), engaged[-1])
    return _Fit(thread, head, screw, deep + grip, deep, room)


def _apart(x: Floats, y: Floats, box: g.Rectangle) -> Floats:
    """From places to a module's edge, negative inside, m."""
    mx, my, width, depth = box
    dx, dy = np.abs(x - mx) - 0.5 * width, np.abs(y - my) - 0.5 * depth
    return np.asarray(np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0)) + np.minimum(np.maximum(dx, dy), 0.0))


def _edge(round_: bool, width: float, depth: float, x: Floats, y: Floats) -> Floats:
    return 0.5 * width - np.hypot(x, y) if round_ else np.minimum(0.5 * width - np.abs(x), 0.5 * depth - np.abs(y))


def _places(build: Build, fit: _Fit, in_riser: Sequence[Bore], in_plate: Sequence[Bore], beside: bool) -> tuple[Place, ...]:
    """The pattern that stands widest apart: four at the corners of a rectangle, else two across from each other."""
    top, (wide, deep) = build.riser[-1], g.low_plate(build)
    sink, thread = 0.5 * fit.head.countersink, fit.thread
    edge = max(EDGE * thread.diameter, 0.5 * thread.diameter + WALL)

    def free(x: Floats, y: Floats) -> NDArray[np.bool_]:
        found = _edge(top.shape == "cylinder", top.width.value, top.depth.value, x, y) >= edge - 1e-9
        found &= _edge(False, wide, deep, x, y) >= sink + WALL - 1e-9
        for box in g.module_places(build) if beside else ():
            found &= _apart(x, y, box) >= sink + BESIDE - 1e-9
        for own, holes in ((0.5 * thread.diameter, in_riser), (sink, in_plate)):
            for a, b, width in holes:
                found &= np.hypot(x - a, y - b) >= own + 0.5 * width + WALL - 1e-9
        return np.asarray(found)

    across = np.arange(int(0.5 * top.width.value / STEP) + 1) * STEP
    along = np.arange(int(0.5 * top.depth.value / STEP) + 1) * STEP
    x, y = np.meshgrid(across, along, indexing="ij")
    one, other = free(x, y) & free(-x, -y), free(-x, y) & free(x, -y)
    least = 2.0 * sink + WALL  # middle to middle: countersinks leave a wall between each other
    four = one & other & (2.0 * np.minimum(x, y) >= least)
    at = _widest(four, np.minimum(x, y), x + y)
    if at is not None:
        i, k = float(x[at]), float(y[at])
        return (i, k), (-i, k), (-i, -k), (i, -k)
    apart = 2.0 * np.hypot(x, y) >= least
    at = _widest((one | other) & apart, np.hypot(x, y), x + y)
    if at is None:
        return ()
    i, k = float(x[at]), float(y[at])
    return ((i, k), (-i, -k)) if one[at] else ((-i, k), (i, -k))


def _widest(good: NDArray[np.bool_], first: Floats, second: Floats) -> tuple[int, int] | None:
    """Where the first figure is largest among the good, the second where several are alike."""
    if not good.any():
        return None
    score = np.where(good, first + 1e-3 * second, -1.0)
    i, k = np.unravel_index(int(np.argmax(score)), score.shape)
    return int(i), int(k)


def _chosen(build: Build, fit: _Fit, places: tuple[Place, ...]) -> PlateScrews:
    """Under modules a countersink takes its whole circle, at most; near an edge less."""
    radius, boxes = 0.5 * fit.head.countersink, g.module_places(build)
    under = sum(any(_apart(np.array(x), np.array(y), box) < radius for box in boxes) for x, y in places)
    return PlateScrews(fit.thread, fit.head, fit.metal, places, fit.length, fit.engaged, fit.room, under * math.pi * radius**2)
