"""What a maker makes by hand comes out with a spread: how far each size of a guard that is still to be made may be off.

Two standard deviations each. A value that the file has already keeps the spread it has there.
"""

from __future__ import annotations

import math

from ..units import NORMAL, Spread

FOOT_OFF = 0.16  # of its conductance, a strip cut and bent to a thin foot. Source: common practice, as in the boat shed
RING_OFF = 0.010  # W/K; a cooling ring on the element. Source: common practice, as in the boat shed
BEAD_OFF = 0.002  # W/K; a ceramic bead on a pin's tip. Source: common practice, as in the boat shed
WAIT_OFF = 0.2e-3  # m; lost motion set with a file and a feeler. Source: common practice, as in the boat shed
POCKET_OFF, BARE_OFF = 0.10, 0.004  # W/K; a bored pocket, and what an element loses in it. Source: the file's usual values
TOLD = 3  # decimals of W/K to which a foot's spread is told


def by_hand(own: Spread, value: float, half: float) -> Spread:
    """A size that is still to be made, with the spread it will have.

    Args:
        own: what the file has for it; where that is the same value nothing is made anew, and its spread stays.
        value: wanted. [SI]
        half: two standard deviations of what a maker makes. [SI]

    Returns:
        The value, to the last bit, with a spread. [SI]
    """
    if math.isclose(own.value, value, rel_tol=1e-9):
        return Spread(value, own.half, own.shape)
    return Spread(value, half, NORMAL)


def foot_off(holder: float) -> float:
    """How far a thin foot's conductance may be off, to the milliwatt per kelvin in which it is told, W/K.

    Check: 0.16 x 25 mW/K = 4 mW/K, as the boat shed says; of 20, 3.2, told as 3.
    """
    return round(FOOT_OFF * holder, TOLD)
