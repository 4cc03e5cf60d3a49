"""A push pin, the depth it works in for the lost motion a guard asks for, the bead on its tip, and where it is stopped."""

from __future__ import annotations

import math
from dataclasses import replace

from ..units import plain
from . import geometry
from .sections import Build, Guard
from .tolerance import general_tolerance

SHORTEST_PIN = 5e-3  # m; a shorter one cannot be held, nor does it guide itself in its bore

BARE_TIP = 0.02  # W/K; a tip carries less only by a bead
METAL_TIP = 0.05  # W/K of a bare tip pressed on a plate, which stands in series; middle of a build's usual 0.02 to 0.10
BEAD_CONDUCTIVITY = 2.5  # W/(m K) of steatite, as heating elements have it. Source: from memory
MORE = 1e-3  # m of over-travel beyond what an element uses. Source: choice
BRIDGE = 3e-3  # m; the strip that stops a pin in the open
# m past the bridge: the nut that takes what the collar pushes with, two threads of M4 showing, and the pin's tip beyond its studs, so
# that these stay clear of what it pushes. Sources: iso-4032; the rest a choice
STUD_NUT, SHOWS, TIP = 3.2e-3, 1.4e-3, 0.4e-3
STUD_PAST = STUD_NUT + SHOWS
PAST = STUD_PAST + TIP


def with_pin(guard: Guard, length: float) -> Guard:
    """A guard with a pin of another length, and the depth from the element's seat to what it pushes that goes with it.

    Cold, the tip must stand short of what it pushes by the lost motion: depth + carrier tube = own pin + push pin + lost
    motion. Whoever changes lost motion or pin of a guard that is still to be made takes this, so that the stack-up closes.

    Args:
        guard: a guard with its lost motion.
        length: of the push pin. [m]

    Returns:
        The guard.
    """
    return replace(guard, pin_length=plain(round(length, 6)), pin_bore=plain(round(pin_depth(guard, length), 6)))


def pin_depth(guard: Guard, length: float) -> float:
    """From the element's seat to what the pin pushes, cold, for a pin of some length, m."""
    carrier = 0.0 if guard.carrier_length is None else guard.carrier_length.value
    return length + guard.piston_out.value + guard.lost_motion.value - carrier


def least_wait(guard: Guard) -> float:
    """Lost motion with which the pin lies flush or below, cold, however pin and depth fall within their general tolerances, m."""
    return general_tolerance(guard.pin_length.value) + general_tolerance(guard.pin_bore.value)


def pocket_floor(guard: Guard) -> float:
    """Height above the stove plate of the floor that an element in the riser stands on, its middle at the height given, m."""
    assert guard.element is not None
    return max(guard.element_height.value - 0.5 * guard.element.length.value, 0.0)


def heights_in_riser(build: Build, length: float, waits: float) -> list[float]:
    """Heights at which an element can be held in the riser: whole inside it, with room for a pin below, highest first.

    Args:
        build: the build; its riser is bored from the top.
        length: of the element. [m]
        waits: lost motion. [m]

    Returns:
        Up to four heights of the element's middle, whole millimetres; none where it finds no room. [m]
    """
    low, high = 0.5 * length + waits + SHORTEST_PIN, geometry.riser_height(build) - 0.5 * length
    first, last = math.ceil(low * 1e3 - 1e-9), math.floor(high * 1e3 + 1e-9)
    steps = min(last - first, 3)
    return [round(last + (first - last) * i / max(steps, 1)) * 1e-3 for i in range(steps + 1)]


def usual_pin(guard: Guard, tall: float) -> float:
    """Length of push pin where a file gives none: what an element's pocket leaves room for, else down from what holds it.

    Args:
        guard: with an element, its place, and its lost motion.
        tall: of the whole riser. [m]

    Returns:
        Length. [m]
    """
    if guard.held_in == "riser" and guard.element is not None:
        return in_riser(guard).pin_length.value
    beside = guard.held_in in ("plate", "riser")
    return max(guard.element_height.value if beside else tall, SHORTEST_PIN)


def in_riser(guard: Guard) -> Guard:
    """A guard with its element in the riser, and the push pin that its pocket's floor leaves room for.

    Args:
        guard: held in the riser at some height, with an element and its lost motion.

    Returns:
        The guard; a pin shorter than `SHORTEST_PIN` is never given: such an element stands too low, which Shop says.
    """
    carrier = 0.0 if guard.carrier_length is None else guard.carrier_length.value
    return with_pin(guard, max(pocket_floor(guard) + carrier - guard.piston_out.value - guard.lost_motion.value, SHORTEST_PIN))


def sink_height(build: Build) -> float:
    """From the stove plate to the underside of the sink's part, m."""
    plates = math.fsum(slab.thickness.value for slab in (build.hot_plate, build.spreader) if slab is not None)
    return geometry.riser_height(build) + geometry.module_thickness(build) + plates


def bead_length(guard: Guard) -> float:
    """How long a steatite bead on the pin's tip must be: 1/G = 1/G_metal tip + L/(k A), turned round for L.

    Args:
        guard: with its pin.

    Returns:
        Length to half a millimetre; nought where the tip is bare metal. [m]

    Source: exact; steatite from memory.
    Check: 4 mW/K on 5 mm: 250 - 20 = 230 K/W; L = 230 x 2.5 x 19.6e-6 = 11.3 mm.
    """
    if guard.element is None or guard.pin_tip.value >= BARE_TIP:
        return 0.0
    area = 0.25 * math.pi * guard.pin_diameter.value**2
    length = (1.0 / guard.pin_tip.value - 1.0 / METAL_TIP) * BEAD_CONDUCTIVITY * area
    return max(round(length * 2e3) * 0.5e-3, 1e-3)


def enough_over_travel(guard: Guard) -> float:
    """Over-travel with which a guard's element is never blocked, however hot it gets before it bursts, m.

    Its stroke there, less what the pin travels until the stop, and a millimetre, to the next half millimetre; none where the stop
    lies beyond that stroke.

    Args:
        guard: with its element, lost motion, stop and lever.

    Returns:
        Over-travel. [m]

    Check: 8 mm at 95 degrees, 0.05 mm/K on to 125: 9.5; pin's way 1 + 2: 6.5, and 1: 7.5 mm.
    """
    left = most_stroke(guard) - pin_gap(guard)
    return 0.0 if left <= 1e-9 else math.ceil(2e3 * (left + MORE) - 1e-6) * 0.5e-3


def most_stroke(guard: Guard) -> float:
    """How far a guard's element pushes just before it bursts, m."""
    wax = guard.element
    assert wax is not None
    return wax.travel.value + wax.creep.value * max(wax.bursts.value - wax.full.value, 0.0)


def free_stop(guard: Guard) -> float:
    """Stop at which the fan rises as far as the element ever pushes, to the next half millimetre: no over-travel spring is needed, m."""
    return math.ceil(2e3 * (most_stroke(guard) - guard.lost_motion.value) * guard.lever_ratio.value - 1e-6) * 0.5e-3


def pin_gap(guard: Guard) -> float:
    """How far the push pin travels from cold until the stop holds it: lost motion and stop/lever, m."""
    return guard.lost_motion.value + guard.stop.value / guard.lever_ratio.value


def bridge_at(guard: Guard, length: float) -> float:
    """From the element's end of a push pin in the open to the near face of the bridge that stops its collar, m.

    As near to the tip as it goes, where it guides best; but the collar below it sits on metal, not on the bead.

    Args:
        guard: with its pin.
        length: of the pin. [m]

    Returns:
        Distance along the pin, cold. [m]
    """
    return min(length - PAST - BRIDGE, length - bead_length(guard) + pin_gap(guard))
