"""The wax element: temperature in, pin stroke out, with a memory.

The wax melts over some kelvin and pushes a pin; on cooling the pin returns some kelvin later. Both are one play
between the element's temperature and a remembered one.
"""

from __future__ import annotations

from ..compiled import jitable


@jitable
def play(memory: float, temperature: float, hysteresis: float) -> float:
    """The remembered temperature after the element has moved to `temperature`.

        w <- min(max(w, T), T + H)

    Args:
        memory: remembered before. [K]
        temperature: of the element now. [K]
        hysteresis: between rising and falling. [K]

    Returns:
        Remembered temperature. [K]

    Source: play-operator.
    Check: the play row of the tests.

    >>> play(363.15, 360.15, 4.0)
    363.15
    """
    return min(max(memory, temperature), temperature + hysteresis)


@jitable
def stroke(memory: float, opens: float, full: float, travel: float, creep: float) -> float:
    """Pin stroke at a remembered temperature.

    Args:
        memory: remembered temperature. [K]
        opens: where the pin begins to move. [K]
        full: where it has its full travel. [K]
        travel: at `full`. [m]
        creep: beyond `full`. [m/K]

    Returns:
        Stroke. [m]

    Limits: straight between opening and full; real elements bend at both ends.
    Source: vehicle-limits.
    Check: opens 82, full 95, 8 mm: 90 degrees 4.923 mm.

    >>> round(stroke(363.15, 355.15, 368.15, 8e-3, 0.0) * 1e3, 3)
    4.923
    """
    if memory <= opens:
        return 0.0
    if memory <= full:
        return travel * (memory - opens) / (full - opens)
    return travel + creep * (memory - full)
