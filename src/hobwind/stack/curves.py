"""Plate temperature over an evening: built-in fires, or one that was measured."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class PlateCurve:
    """Undisturbed plate temperature as straight lines between corners; time in s, plate in K, both (corners,)."""

    name: str
    time: Floats
    plate: Floats


# Minutes from lighting, and how far the plate has come from the room (0) to the usual plate (1) and on to the worst (2).
# Invented shapes of ordinary fires: a first fire of kindling, a load burning down, reloads that give a surge.
_SHAPES: dict[str, tuple[tuple[float, float], ...]] = {
    "gentle": (
        (0, 0.0), (5, 0.06), (15, 0.24), (30, 0.48), (50, 0.68), (75, 0.78), (90, 0.80), (120, 0.76), (150, 0.66),
        (180, 0.54), (240, 0.24), (300, 0.06),
    ),
    "usual": (
        (0, 0.0), (4, 0.08), (10, 0.28), (20, 0.58), (32, 0.85), (45, 0.97), (55, 1.0), (70, 0.95), (75, 0.92),
        (85, 0.97), (95, 1.0), (110, 0.98), (130, 0.86), (150, 0.70), (165, 0.58), (180, 0.48),
        (240, 0.22), (300, 0.06),
    ),
    "over-fired": (
        (0, 0.0), (4, 0.10), (10, 0.34), (20, 0.70), (30, 0.95), (40, 1.0), (48, 0.97), (50, 1.0), (56, 1.45),
        (62, 1.82), (68, 1.97), (74, 2.0), (90, 2.0), (96, 1.92), (105, 1.65), (118, 1.25), (130, 1.0), (150, 0.80),
        (180, 0.55), (240, 0.24), (300, 0.06),
    ),
}  # fmt: skip
SHAPES = tuple(_SHAPES)


def built_in(shape: str, room: float, usual: float, worst: float) -> PlateCurve:
    """Return one of the built-in evenings, three hours of fire and two of dying down.

    Args:
        shape: one of `SHAPES`. [-]
        room: room temperature, where the plate starts. [K]
        usual: plate in normal burning. [K]
        worst: plate when over-fired. [K]

    Returns:
        The curve. [s, K]

    Raises:
        KeyError: `shape` is not one of `SHAPES`.
    """
    corners = _SHAPES[shape]
    minutes = np.array([c[0] for c in corners])
    plate = np.interp([c[1] for c in corners], [0.0, 1.0, 2.0], [room, usual, worst])
    return PlateCurve(shape, minutes * 60.0, plate)


def held(plate: float, room: float, hours: float, rise_minutes: float = 40.0) -> PlateCurve:
    """Return an evening that warms up in a straight line and then stays at one plate temperature.

    Args:
        plate: where it stays. [K]
        room: where it starts. [K]
        hours: whole length. [h]
        rise_minutes: time to get there. [min]

    Returns:
        The curve. [s, K]
    """
    corners = np.array([0.0, rise_minutes * 60.0, hours * 3600.0])
    return PlateCurve(f"held at {plate - 273.15:.0f} °C", corners, np.array([room, plate, plate]))
