"""How unevenly a clamp presses where the modules' middle is not the screws' middle.

Both plates are taken as rigid, all modules as equally springy and all screws as equally tight; then the pressure varies linearly,
as over the foot of a wall. Left out: bending of the plates, which spreads it a little, and what a stiffer module takes for itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ..build import Build
from ..build import geometry as g

OFF = 0.2e-3  # m; less is nothing beside how well modules are laid by hand. Source: choice


@dataclass(frozen=True)
class Uneven:
    """Screws' middle less modules' middle [m], least and greatest pressure over the mean one [-], each module's share of the force."""

    off: tuple[float, float]
    least: float
    most: float
    shares: tuple[float, ...]

    @property
    def apart(self) -> float:
        """How far the middles lie apart, m."""
        return math.hypot(*self.off)


def uneven(build: Build) -> Uneven | None:
    """The linear pressure under an eccentric force.

        p/p0 = 1 + A (e_x, e_y) . J^-1 . (x - x_c, y - y_c),  J the second moments of all module faces about their middle

    Args:
        build: a checked build.

    Returns:
        Ratios to the mean pressure; below nothing the face would gape. None where there are no screws.

    Source: exact (hand statics of a rigid plate on springs).
    """
    if build.screws is None:
        return None
    places, screws = g.module_places(build), g.screw_places(build.screws)
    area = math.fsum(w * d for _, _, w, d in places)
    middle = (math.fsum(x * w * d for x, _, w, d in places) / area, math.fsum(y * w * d for _, y, w, d in places) / area)
    off = tuple(math.fsum(one[i] for one in screws) / len(screws) - middle[i] for i in (0, 1))
    own = [(x - middle[0], y - middle[1], w, d) for x, y, w, d in places]
    xx = math.fsum(w * d * (x * x + w * w / 12.0) for x, _, w, d in own)
    yy = math.fsum(w * d * (y * y + d * d / 12.0) for _, y, w, d in own)
    xy = math.fsum(w * d * x * y for x, y, w, d in own)
    whole = xx * yy - xy * xy
    slope = (area * (off[0] * yy - off[1] * xy) / whole, area * (off[1] * xx - off[0] * xy) / whole)

    def over_mean(x: float, y: float) -> float:
        return 1.0 + slope[0] * x + slope[1] * y

    corners = [over_mean(x + 0.5 * i * w, y + 0.5 * j * d) for x, y, w, d in own for i in (-1, 1) for j in (-1, 1)]
    shares = tuple(over_mean(x, y) * w * d / area for x, y, w, d in own)
    return Uneven((off[0], off[1]), min(corners), max(corners), shares)


def _mpa(pressure: float) -> str:
    return f"{pressure * 1e-6:.2f}"


def uneven_lines(build: Build, pressure: float) -> Iterator[str]:
    """What the bench hears of it; nothing where the middles meet.

    Args:
        build: a checked build.
        pressure: mean one on the modules, cold. [Pa]

    Yields:
        Where the middles lie, pressures, shares.
    """
    one = uneven(build)
    if one is None or one.apart < OFF:
        return
    told = ", ".join(f"{100.0 * share:.0f}" for share in one.shares)
    yield (
        f"The modules' middle lies {one.apart * 1e3:.1f} mm off the screws' middle. Between stiff plates the pressure then runs from "
        f"{_mpa(max(one.least, 0.0) * pressure)} at one edge to {_mpa(one.most * pressure)} MPa at the other; the modules, row by row, "
        f"carry {told} % of the force."
    )


def uneven_findings(build: Build, pressure: float, allowed: tuple[float, float], loose: float) -> Iterator[str]:
    """What is out of the modules' range, and how to even it out.

    Args:
        build: a checked build.
        pressure: mean one on the modules, cold. [Pa]
        allowed: the modules' range. [Pa]
        loose: share by which makers differ about the ends of it. [-]

    Yields:
        One finding at most.
    """
    one = uneven(build)
    if one is None or one.apart < OFF:
        return
    low, high = one.least * pressure, one.most * pressure
    if allowed[0] * (1.0 - loose) <= low and high <= allowed[1] * (1.0 + loose):
        return
    gapes = ", where it gapes" if low < 0.0 else ""
    yield (
        f"fault: the modules' middle lies {one.apart * 1e3:.1f} mm off the screws' middle: {_mpa(max(low, 0.0))} MPa at one edge{gapes}, "
        f"{_mpa(high)} at the other; they want {_mpa(allowed[0])} to {_mpa(allowed[1])}: {_evened(build, one)}"
    )


def _evened(build: Build, one: Uneven) -> str:
    """A dummy that fills the row, or plates on which the modules have room to lie about the screws' middle."""
    (low_w, low_d), (high_w, high_d) = g.low_plate(build), g.high_plate(build)
    room = (0.5 * min(low_w, high_w), 0.5 * min(low_d, high_d))
    reach = [
        max(abs(place[axis] + one.off[axis]) + 0.5 * place[axis + 2] for place in g.module_places(build)) for axis in (0, 1)
    ]
    # A kind with fewer in its last row leaves room for dummies beside them.
    fill = "fill the short row with dead modules of the same thickness, all by calipers to 0.05 mm, or take as many as fill it"
    over = max(reach[axis] - room[axis] for axis in (0, 1))
    if over <= 0.0:
        return f"set the screws about the plates' middle, or {fill}"
    return (
        f"{fill}; or plates {2e3 * over:.1f} mm larger, for laid over so that the middles meet they would stand {over * 1e3:.1f} mm over "
        "the edge of these"
    )
