"""How far a length may be off that carries no tolerance of its own."""

from __future__ import annotations

# Upper bound of the size and tolerance, mm. Source: iso-2768, fine and medium.
GENERAL = {
    "fine": ((6.0, 0.05), (30.0, 0.1), (120.0, 0.15), (400.0, 0.2)),
    "medium": ((6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5)),
}


def general_tolerance(size: float, grade: str = "medium") -> float:
    """Tolerance of a length that carries none of its own.

    Args:
        size: the length. [m]
        grade: "fine" or "medium". [-]

    Returns:
        Half width of the tolerance, ± this. [m]

    Source: iso-2768.
    """
    rows = GENERAL[grade]
    return 1e-3 * next((tolerance for bound, tolerance in rows if size * 1e3 <= bound), rows[-1][1])
