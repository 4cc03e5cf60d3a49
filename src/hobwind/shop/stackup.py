"""The guard's stack-up: from the wax element's seat to the pin's tip, cold and hot, before and after measuring.

Cold the tip must stand short of what it pushes by the lost motion; hot the gap must open as wished; the element must
never be blocked. Worst case, root of the sum of squares, and thrown like dice. Left out: wear, dirt under the seat.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from ..build import Build
from ..build.tolerance import general_tolerance
from ..lifting.train import PIN_EYE
from ..physics import wax
from ..stack.fields import P, Seen
from ..stack.keeping import End
from ..studies.headline import Headline
from ..units import Spread
from .fits import Fit, fit, hot_clearance, tilt

THROWS, SEED = 20000, 20260
CALIPER = 0.05e-3  # m; what a reading with a caliper may be off when nothing is said. Source: from memory
LENGTHS = ("pin_bore", "carrier_length", "piston_out", "pin_length")


@dataclass(frozen=True)
class Link:
    """One length of the chain: +1 makes the tip lie deeper, -1 brings it out; length and half tolerance, m."""

    name: str
    field: str
    sign: int
    length: float
    half: float
    measured: bool


@dataclass(frozen=True)
class Stackup:
    """The chain and what follows from it; metres unless said. Recess: how far the tip stands short, cold."""

    links: tuple[Link, ...]
    recess: float
    worst: float
    squares: float
    sampled: tuple[float, float]
    wanted: float
    short: float
    stroke_peak: float
    opens_to: tuple[float, float]
    stop: float
    lever: float
    travel_left: float
    blocked_by: float
    fit: Fit
    clearance: float
    clearance_hot: float
    wander: float

    @property
    def file_off(self) -> float:
        """How much longer than wanted the pin is, m; negative: too short."""
        return self.wanted - self.recess


def worst_case(halves: list[float]) -> float:
    """Sum of all tolerances, m."""
    return math.fsum(halves)


def root_sum_square(halves: list[float]) -> float:
    """Root of the sum of squared tolerances, m."""
    return math.sqrt(math.fsum(half * half for half in halves))


def thrown(links: tuple[Link, ...], seed: int = SEED) -> tuple[float, float]:
    """Recess between which 19 in 20 fans lie when every length falls anywhere within its tolerance, m."""
    dice = np.random.default_rng(seed)
    total = np.zeros(THROWS)
    for link in links:
        total += link.sign * (link.length + link.half * dice.uniform(-1.0, 1.0, THROWS))
    low, high = np.quantile(total, [0.025, 0.975])
    return float(low), float(high)


def _half(spread: Spread) -> float:
    """Tolerance of a drawn length: its own, else the general one of ISO 2768 medium."""
    return spread.half if spread.half > 0.0 else general_tolerance(spread.value)


def chain(build: Build) -> tuple[Link, ...]:
    """The lengths between the element's seat and the pin's tip, measured ones in place of drawn ones.

    Args:
        build: a build with a guard.

    Returns:
        The links. [m]
    """
    guard, measured = build.guard, build.measured
    carrier = guard.carrier_length
    drawn: list[tuple[str, str, int, Spread | None, Spread | None]] = [
        ("from the element's seat to the face the pin must reach", "pin_bore", 1, guard.pin_bore, measured.pin_bore),
        ("carrier tube under the element's shoulder", "carrier_length", 1, carrier, measured.carrier_length),
        ("element's own pin, standing out cold", "piston_out", -1, guard.piston_out, measured.piston_out),
        ("push pin", "pin_length", -1, guard.pin_length, measured.pin_length),
    ]
    found = []
    for name, field, sign, length, hand in drawn:
        if hand is not None:
            found.append(Link(name, field, sign, hand.value, hand.half or CALIPER, True))
        elif length is not None and (length.value > 0.0 or length.half > 0.0):
            found.append(Link(name, field, sign, length.value, _half(length), False))
    return tuple(found)


def stack_up(build: Build, solved: Headline) -> Stackup | None:
    """Work the guard's stack-up through.

    Args:
        build: a checked build.
        solved: the same build solved.

    Returns:
        The stack-up; None when the build has no guard.
    """
    guard = build.guard
    if guard.kind == "none" or guard.element is None:
        return None
    element, links = guard.element, chain(build)
    recess = math.fsum(link.sign * link.length for link in links)
    halves = [link.half for link in links]
    sampled = thrown(links)
    peak = max(float(solved.worst.end[End.peak_element]), float(np.max(solved.usual.seen[:, Seen.element])))
    pushed = wax.stroke(peak, element.opens.value, element.full.value, element.travel.value, element.creep.value)
    lever, stop = guard.lever_ratio.value, guard.stop.value
    free = [lever * (pushed - one) for one in (sampled[1], sampled[0])]
    growth = float(solved.stack.p[P.pin_growth]) * float(np.mean(_riser_rise(build, solved)))
    opens = (min(max(free[0] + growth, 0.0), stop), min(max(free[1] + growth, 0.0), stop))
    used = max(recess, 0.0) + stop / lever + guard.over_travel.value
    hand, size = build.measured, guard.pin_diameter.value
    wanted_fit = fit(size, guard.pin_fit)
    cold = wanted_fit.least if guard.held_in == "riser" else PIN_EYE
    if hand.pin_diameter is not None and hand.bore_diameter is not None:
        cold = hand.bore_diameter.value - hand.pin_diameter.value
    rise = _riser_rise(build, solved)
    hole = build.riser[0].material
    pin_rise = max(float(np.max(solved.worst.seen[:, Seen.local])), float(np.max(rise)) + build.stove.room.value)
    hot = hot_clearance(
        cold, size, hole.expansion.value, float(np.max(rise)), guard.pin_material.expansion.value,
        0.5 * (pin_rise - build.stove.room.value + float(np.max(rise))),
    )  # fmt: skip
    across = guard.carrier_diameter.value if guard.carrier_diameter is not None else element.diameter.value
    return Stackup(
        links=links,
        recess=recess,
        worst=worst_case(halves),
        squares=root_sum_square(halves),
        sampled=sampled,
        wanted=guard.lost_motion.value,
        short=guard.lost_motion.half,
        stroke_peak=pushed,
        opens_to=opens,
        stop=stop,
        lever=lever,
        travel_left=element.most_travel.value - pushed,
        blocked_by=pushed - used,
        fit=wanted_fit,
        clearance=cold,
        clearance_hot=hot,
        wander=tilt(guard.carrier_square.value, across, guard.pin_length.value),
    )


def _riser_rise(build: Build, solved: Headline) -> Any:
    seen = solved.worst.seen
    return 0.5 * (seen[:, Seen.foot] + seen[:, Seen.riser_top]) - build.stove.room.value


def figures(one: Stackup) -> dict[str, Any]:
    """The stack-up as data with units in its keys."""

    def mm(length: float) -> float:
        return round(length * 1e3, 3) + 0.0

    return {
        "links": [
            {"name": x.name, "field": x.field, "sign": x.sign, "length_mm": mm(x.length), "half_mm": mm(x.half),
             "measured": x.measured}
            for x in one.links
        ],
        "recess_mm": mm(one.recess),
        "recess_wanted_mm": mm(one.wanted),
        "worst_case_mm": mm(one.worst),
        "root_sum_square_mm": mm(one.squares),
        "sampled_low_mm": mm(one.sampled[0]),
        "sampled_high_mm": mm(one.sampled[1]),
        "file_off_pin_mm": mm(one.file_off),
        "stroke_at_hottest_mm": mm(one.stroke_peak),
        "gap_low_mm": mm(one.opens_to[0]),
        "gap_high_mm": mm(one.opens_to[1]),
        "stop_mm": mm(one.stop),
        "element_travel_left_mm": mm(one.travel_left),
        "over_travel_wanted_mm": mm(max(one.blocked_by, 0.0)),
        "fit": one.fit.name,
        "clearance_cold_um": round(one.clearance * 1e6, 1),
        "clearance_hot_um": round(one.clearance_hot * 1e6, 1),
        "pin_wander_mm": mm(one.wander),
    }  # fmt: skip
