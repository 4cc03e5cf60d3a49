"""A push pin and the depth it works in: how deep its bore must be for the lost motion that a guard asks for."""

from __future__ import annotations

import math
from dataclasses import replace

from ..units import plain
from . import geometry
from .sections import Build, Guard


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


def sink_height(build: Build) -> float:
    """From the stove plate to the underside of the sink's part, m."""
    plates = math.fsum(slab.thickness.value for slab in (build.hot_plate, build.spreader) if slab is not None)
    return geometry.riser_height(build) + geometry.module_thickness(build) + plates
