"""ISO metric coarse threads: drills, limits of size, the area that carries and the area that strips.

Limits are those of a tapped hole 6H and a screw 6g, as bought. Fine threads and inch threads are left out; a screw of
another thread than these gets no hole sheet.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

Limits = tuple[float, float]  # smallest and largest, m
FLANK = 1.0 / math.sqrt(3.0)  # tan 30 degrees
UNLOADED = 0.8  # pitches at the mouth of a thread that carry little (VDI 2230)


@dataclass(frozen=True)
class Thread:
    """One coarse thread; metres. `gap` lies between screw and basic profile, the others are tolerances."""

    name: str
    diameter: float
    pitch: float
    tap_drill: float
    clearance: float
    runout: float
    gap: float
    outer_tolerance: float
    screw_pitch_tolerance: float
    inner_tolerance: float
    hole_pitch_tolerance: float

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

    @property
    def hole_inner(self) -> Limits:
        """Inner diameter of a 6H hole, what the tap drill leaves, m."""
        low = _micron(self.inner_diameter)
        return low, low + self.inner_tolerance

    @property
    def hole_pitch(self) -> Limits:
        """Pitch diameter of a 6H hole, m."""
        low = _micron(self.pitch_diameter)
        return low, low + self.hole_pitch_tolerance

    @property
    def screw_outer(self) -> Limits:
        """Outer diameter of a 6g screw, m."""
        high = self.diameter - self.gap
        return high - self.outer_tolerance, high

    @property
    def screw_pitch(self) -> Limits:
        """Pitch diameter of a 6g screw, m."""
        high = _micron(self.pitch_diameter) - self.gap
        return high - self.screw_pitch_tolerance, high


def _micron(length: float) -> float:
    """To a whole micrometre, as the standards print diameters."""
    return round(length, 6)


def hole_strip_area(thread: Thread, engaged: float) -> float:
    """Area along which a tapped hole's thread shears off, its worst case: smallest screw in the largest hole.

        A = π n L d_min (1/(2 n) + tan 30° (d_min − D2_max)),   n = 1/P

    Args:
        thread: of the hole.
        engaged: length of thread that carries. [m]

    Returns:
        Sheared area. [m²]

    Source: fed-std-h28.
    Check: M6, worked by hand: 12.19 mm² for each millimetre.
    """
    outer, pitch = thread.screw_outer[0], thread.hole_pitch[1]
    return math.pi / thread.pitch * engaged * outer * (0.5 * thread.pitch + FLANK * (outer - pitch))


def screw_strip_area(thread: Thread, engaged: float) -> float:
    """Area along which the screw's own thread shears off, its worst case.

        A = π n L D1_max (1/(2 n) + tan 30° (d2_min − D1_max))

    Args:
        thread: of the screw.
        engaged: length of thread that carries. [m]

    Returns:
        Sheared area. [m²]

    Source: fed-std-h28.
    Check: M6, worked by hand: 8.646 mm² for each millimetre.
    """
    inner, pitch = thread.hole_inner[1], thread.screw_pitch[0]
    return math.pi / thread.pitch * engaged * inner * (0.5 * thread.pitch + FLANK * (pitch - inner))


def pull_out(thread: Thread, engaged: float, shear: float) -> float:
    """Force that tears the thread out of a tapped hole.

    Args:
        thread: of the hole.
        engaged: screw's length in the thread. [m]
        shear: shear strength of the tapped metal. [Pa]

    Returns:
        Force; the first 0.8 of a pitch counts for nothing. [N]

    Source: fed-std-h28, vdi-2230.
    """
    return shear * hole_strip_area(thread, max(engaged - UNLOADED * thread.pitch, 0.0))


def engagement_for(thread: Thread, force: float, shear: float) -> float:
    """Screw's length in the thread that withstands a force.

    Args:
        thread: of the hole.
        force: to be held. [N]
        shear: shear strength of the tapped metal. [Pa]

    Returns:
        Length, the unloaded first 0.8 of a pitch included. [m]

    Source: fed-std-h28, vdi-2230.
    """
    return force / (shear * hole_strip_area(thread, 1.0)) + UNLOADED * thread.pitch


# name: pitch, tap drill, clearance hole (medium), runout of a blind hole, mm; then es, Td, Td2 of 6g and TD1, TD2 of 6H, µm.
# Sources: iso-261 (pitch), iso-2306 (tap drill), iso-273 (clearance), din-76 (runout), iso-965-1 (limits).
_ROWS = {
    "M2": (0.4, 1.6, 2.4, 2.3, 19, 95, 67, 112, 90),
    "M2.5": (0.45, 2.05, 2.9, 2.6, 20, 100, 71, 125, 95),
    "M3": (0.5, 2.5, 3.4, 2.8, 20, 106, 75, 140, 100),
    "M4": (0.7, 3.3, 4.5, 3.8, 22, 140, 90, 180, 118),
    "M5": (0.8, 4.2, 5.5, 4.2, 24, 150, 95, 200, 125),
    "M6": (1.0, 5.0, 6.6, 5.1, 26, 180, 112, 236, 150),
    "M8": (1.25, 6.8, 9.0, 6.2, 28, 212, 118, 265, 160),
    "M10": (1.5, 8.5, 11.0, 7.3, 32, 236, 132, 300, 180),
    "M12": (1.75, 10.2, 13.5, 8.3, 34, 265, 150, 335, 200),
}
THREADS = {
    name: Thread(name, float(name[1:]) * 1e-3, *(size * 1e-3 for size in row[:4]), *(size * 1e-6 for size in row[4:]))
    for name, row in _ROWS.items()
}
