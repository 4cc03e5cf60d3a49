"""The equations behind the figures of the Guard section: force in hand, tipping, where a wax element opens and lets go."""

from __future__ import annotations

import math

from ..build import geometry
from ..build.forces import friction, spring_at_stop
from ..build.guide import FRICTION
from ..build.pin import pin_gap
from ..stack.keeping import End
from ..studies.drill import Single, drill
from ..studies.drill_faults import FAULTS
from ..studies.guards_batch import TRAVEL
from ..studies.guards_sizes import waxes
from ..studies.stroke import element_places, stroke_loop
from ..studies.withstands import harming
from .whys_row import Filled, Look, Why
from .whys_tip import tip

ZERO = 273.15
WAX = ("vehicle-limits", "play-operator")
NO_FAULT = Filled("there is no such fault here", None)
NO_ELEMENT = Filled("no wax element is fitted", None)


def _wanted(look: Look) -> Filled:
    build = look.solved.build
    guard = build.guard
    if guard.element is None:
        return NO_ELEMENT
    weight = geometry.GRAVITY * geometry.fan_mass(build)
    tilted = geometry.pivot_back(build) / guard.pivot_distance.value
    load = weight * (1.0 if guard.kind == "central lift" else tilted)
    lever = guard.lever_ratio.value
    spring = spring_at_stop(guard)
    rubs = 1.0 + friction(build)
    numbers = (
        f"{load:.1f} N at the pin · {lever:.2g} · {rubs:.2f} + ({guard.spring_force.value:.1f} N + "
        f"{guard.spring_rate.value / 1e3:.2f} N/mm · {pin_gap(guard) * 1e3:.2f} mm) · {1.0 + FRICTION:.2f}"
    )
    return Filled(numbers, load * lever * rubs + spring * (1.0 + FRICTION))


def _force(look: Look) -> Filled:
    element, wanted = look.solved.build.guard.element, _wanted(look).value
    if element is None or wanted is None:
        return NO_ELEMENT
    return Filled(f"{element.force.low:.0f} N, the weakest of its sort, − {wanted:.1f} N", element.force.low - wanted)


def _opens(look: Look) -> Filled:
    loop, guard = stroke_loop(look.solved.build), look.solved.build.guard
    if loop is None or guard.element is None:
        return NO_ELEMENT
    e = guard.element
    melts = e.full.value - e.opens.value
    at = e.opens.value + guard.lost_motion.value / e.travel.value * melts
    numbers = (
        f"{e.opens.value - ZERO:.1f} °C + {guard.lost_motion.value * 1e3:.2f} mm/{e.travel.value * 1e3:.1f} mm · {melts:.1f} K"
    )
    return Filled(numbers, at - ZERO)


def _closes(look: Look) -> Filled:
    opens, element = _opens(look).value, look.solved.build.guard.element
    if opens is None or element is None:
        return NO_ELEMENT
    return Filled(f"{opens:.1f} °C − {element.hysteresis.value:.1f} K", opens - element.hysteresis.value)


def _place(look: Look, worst: bool) -> Filled:
    found = element_places(look.solved.build)
    if not 0 <= look.which < len(found):
        return Filled("there is no such place", None)
    one, wax = found[look.which], waxes(look.solved.build)[0]
    way = f"{one.place.holder * 1e3:.0f} mW/K and {wax.lag.value / wax.heat_capacity.value:.2f} K/W of its own in a row"
    held = "the plate" if one.place.held_in == "plate" else f"what holds it, {one.place.height * 1e3:.0f} mm up"
    numbers = f"{way} from {held}, {one.place.loss * 1e3:.0f} mW/K to the air; settled with the fan held down"
    there = one.worst if worst else one.usual
    return Filled(numbers, there - ZERO if math.isfinite(there) else None)


def _alone(look: Look) -> Single | None:
    """The fault asked for, put on the build alone."""
    build = look.solved.build
    if not 0 <= look.which < len(FAULTS) or (FAULTS[look.which].of_guard and build.guard.kind == "none"):
        return None
    return drill(build, (FAULTS[look.which],)).singles[0]


def _fault_face(look: Look) -> Filled:
    one = _alone(look)
    if one is None:
        return NO_FAULT
    bears, healthy = look.solved.build.face_limit - ZERO, look.solved.worst.figure(End.peak_hot)
    numbers = f"over-fired, {one.fault.says}: {one.drilled.peak - ZERO:.1f} °C; it bears {bears:.1f} °C"
    if healthy is not None:
        numbers += f"; with nothing wrong {healthy - ZERO:.1f} °C"
    return Filled(numbers, one.drilled.peak - ZERO)


def _fault_minutes(look: Look) -> Filled:
    one = _alone(look)
    if one is None:
        return NO_FAULT
    numbers = f"over-fired, {one.fault.says}: {one.drilled.minutes_above:.1f} min, straight between steps"
    return Filled(numbers, one.drilled.minutes_above)


def _fault(look: Look) -> Filled:
    one = _alone(look)
    if one is None:
        return NO_FAULT
    changes = ", ".join(f"{change.field.replace('_', ' ')} {change.how} {change.amount:g}" for change in one.fault.changes)
    unit = "mm" if one.drilled.part == TRAVEL else "K"
    numbers = f"over-fired, with {changes} (SI): {one.drilled.part} {one.drilled.margin:.1f} {unit} below its limit"
    return Filled(numbers, one.drilled.margin)


def _harmed(look: Look) -> Filled:
    harm = harming(look.solved.build, look.solved.stack)
    names = ", ".join(fault.name for fault in harm) or "none"
    return Filled(f"over-fired, one of {len(FAULTS)} things wrong at a time; past a limit with: {names}", float(len(harm)))


PLACE = "T = (G T_there + G_ring T_air)/(G + G_ring), 1/G = 1/G_holder + R_wax"
GUARD_WHYS: dict[str, Why] = {
    "guard_opens": Why("Seat opens", "T = T_opens + lost motion/travel · (T_full − T_opens), riser cold", _opens, WAX),
    "guard_closes": Why("Seat closes", "T = T_seat opens − hysteresis", _closes, WAX),
    "guard_wanted": Why("Force to hold it at the stop", "F = (m g share · lever + F_cold + k (lost motion + stop/lever)) · (1 + friction)",
                        _wanted, ("exact", "practice")),
    "guard_force": Why("Force in hand", "F_element, weakest − F_wanted", _force, ("exact", "practice")),
    "guard_place": Why("How warm an element gets there", PLACE, lambda look: _place(look, False), ("exact-series",)),
    "guard_place_worst": Why("How warm an element gets there, over-fired", PLACE, lambda look: _place(look, True), ("exact-series",)),
    "guard_fault": Why("In hand under a fault", "least of (limit − peak) over every part, the one thing changed", _fault,
                       ("practice", "memory")),
    "guard_fault_face": Why("Hottest face under a fault", "max over time of T_hot, the one thing changed", _fault_face,
                            ("practice", "memory")),
    "guard_fault_minutes": Why("Minutes above the limit under a fault", "Σ of the time with T_hot > limit, the one thing changed",
                               _fault_minutes, ("practice", "memory")),
    "guard_harmed": Why("Single faults that would harm it", "how many of the drill's faults take some part's peak to its limit", _harmed,
                        ("practice", "memory")),
    "guard_tip": Why("Further slope before it falls", "θ − slope of the plate, Σ m d cos θ = Σ m h sin θ about the nearest edge", tip,
                     ("exact",)),
}  # fmt: skip
