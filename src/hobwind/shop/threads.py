"""ISO metric coarse threads: what to drill before tapping, what to drill for clearance, and the area that carries.

Fine threads and inch threads are left out; a screw of another thread than these gets no hole sheet.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Thread:
    """One coarse thread; metres."""

    name: str
    diameter: float
    pitch: float
    tap_drill: float
    clearance: float

    @property
    def pitch_diameter(self) -> float:
        """Diameter halfway up the flanks, m."""
        return self.diameter - 0.75 * math.sqrt(0.75) * self.pitch

    @property
    def core_diameter(self) -> float:
        """Diameter at the root of the screw's thread, d3, m."""
        return self.diameter - 17.0 / 12.0 * math.sqrt(0.75) * self.pitch

    @property
    def inner_diameter(self) -> float:
        """Smallest diameter of the tapped hole's basic profile, D1, m."""
        return self.diameter - 1.25 * math.sqrt(0.75) * self.pitch

    @property
    def stress_area(self) -> float:
        """Area that carries, from the mean of pitch and root diameter, m2."""
        return 0.0625 * math.pi * (self.pitch_diameter + self.core_diameter) ** 2


# name: pitch, tap drill, clearance hole (medium), mm. Sources: iso-261 (pitch), iso-2306 (tap drill), iso-273 (clearance).
_ROWS = {
    "M2": (0.4, 1.6, 2.4),
    "M2.5": (0.45, 2.05, 2.9),
    "M3": (0.5, 2.5, 3.4),
    "M4": (0.7, 3.3, 4.5),
    "M5": (0.8, 4.2, 5.5),
    "M6": (1.0, 5.0, 6.6),
    "M8": (1.25, 6.8, 9.0),
    "M10": (1.5, 8.5, 11.0),
    "M12": (1.75, 10.2, 13.5),
}
THREADS = {
    name: Thread(name, float(name[1:]) * 1e-3, pitch * 1e-3, drill * 1e-3, clear * 1e-3)
    for name, (pitch, drill, clear) in _ROWS.items()
}
