"""How far each part stays below what it can bear, over the settled map and the over-fired evening."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..build import Build
from ..physics import wax
from ..stack.fields import P, Seen
from ..stack.keeping import End
from ..stack.steady import Rest
from ..units import Spread
from .at_modules import from_where, neighbours
from .headline import Headline

EVENING = "over-fired evening"


@dataclass(frozen=True)
class Margin:
    """One part's limit and the hottest it gets [K], where that is, and where the limit is from."""

    part: str
    limit: float
    peak: float
    where: str
    source: str

    @property
    def margin(self) -> float:
        """Limit less peak, K."""
        return self.limit - self.peak


def _peak(solved: Headline, column: int, exact: End | None = None) -> tuple[float, str]:
    fired = float(np.nanmax(solved.worst.seen[:, column]))
    if exact is not None:
        fired = float(solved.worst.end[exact])
    points = [p for p in solved.map.from_rest if p.outcome in (Rest.SETTLED, Rest.HUNTS)]
    hottest = max(points, key=lambda p: float(p.seen[column]), default=None)
    if hottest is None or fired >= float(hottest.seen[column]):
        return fired, EVENING
    return float(hottest.seen[column]), f"settled on a plate of {hottest.plate - 273.15:.0f} °C"


def _head(solved: Headline) -> tuple[float, str]:
    """Hottest screw head where it presses on its bush, K."""
    p, build = solved.stack.p, solved.build
    if build.screws is None or build.screws.bush is None:
        return -np.inf, EVENING
    bush = p[P.bush_thickness] / (p[P.bush_conductivity] * p[P.bush_area])
    rest = p[P.screw_length] / (p[P.screw_conductivity] * p[P.screw_area]) + 1.0 / (p[P.head_contact] * p[P.head_area])
    share = bush / (bush + rest)
    rows = solved.worst.seen
    return float(np.nanmax(rows[:, Seen.spreader] + share * (rows[:, Seen.hot_plate] - rows[:, Seen.spreader]))), EVENING


def margins(solved: Headline) -> list[Margin]:
    """Every part with a limit, the smallest margin first.

    Args:
        solved: a solved build.

    Returns:
        Margins in rising order.
    """
    build, found = solved.build, []

    def add(part: str, limit: Spread | None, peak: tuple[float, str], source: str) -> None:
        if limit is not None and np.isfinite(peak[0]):
            found.append(Margin(part, limit.value, peak[0], peak[1], source))

    for k, use in enumerate(build.modules):
        one = use.part
        hot = _peak(solved, Seen.hot_face, End.peak_hot)
        cold = _peak(solved, Seen.cold_face, End.peak_cold)
        which = "" if len(build.modules) == 1 else f" {k + 1}"
        weaker = one.hot_limit if one.hot_limit.value <= one.solder.value else one.solder
        field = "hot_limit" if weaker is one.hot_limit else "solder"
        add(f"module{which}, hot face", weaker, hot, from_where(one.sources, field))
        add(f"module{which}, cold face", one.cold_limit, cold, from_where(one.sources, "cold_limit"))
    found += [Margin(one.part, one.limit, *_peak(solved, one.seen, one.end), one.source) for one in neighbours(build)]
    motor, blade = build.motor.part, build.blade.part
    add("motor body", motor.limit, _peak(solved, Seen.motor, End.peak_motor), from_where(motor.sources, "limit"))
    add("blade", blade.limit, _peak(solved, Seen.air), from_where(blade.sources, "limit"))
    if build.screws is not None and build.screws.bush is not None:
        bush = build.screws.bush
        add(bush.name, bush.limit, _head(solved), from_where(bush.sources, "limit"))
    for part in {id(r.material): r.material for r in build.riser}.values():
        add(f"riser, {part.name}", part.limit, _peak(solved, Seen.foot), from_where(part.sources, "limit"))
    if build.guard.element is not None:
        wax_part = build.guard.element
        peak = _peak(solved, Seen.element, End.peak_element)
        add("wax element", wax_part.bursts, peak, from_where(wax_part.sources, "bursts"))
    return sorted(found, key=lambda one: one.margin)


def travel_left(build: Build, solved: Headline) -> float | None:
    """How much further the element could push at its hottest before it is blocked, m; None without a guard."""
    element = build.guard.element
    if element is None:
        return None
    peak = _peak(solved, Seen.element, End.peak_element)[0]
    pushed = wax.stroke(peak, element.opens.value, element.full.value, element.travel.value, element.creep.value)
    return float(element.most_travel.value - pushed)


def pushed_on(build: Build, solved: Headline) -> float | None:
    """How much further the element pushes at its hottest than stop and over-travel spring take up, m; None without a guard."""
    guard, left = build.guard, travel_left(build, solved)
    if guard.element is None or left is None:
        return None
    pushed = guard.element.most_travel.value - left
    taken = guard.lost_motion.value + guard.stop.value / guard.lever_ratio.value + guard.over_travel.value
    return float(pushed - taken)
