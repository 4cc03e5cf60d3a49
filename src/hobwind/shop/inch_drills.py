"""Inch drills nearest to a metric one: number and letter drills and sixty-fourths (from memory, as on any wall chart)."""

from __future__ import annotations

from math import gcd

_NUMBERS = (
    2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935, 1910, 1890, 1850, 1820, 1800, 1770, 1730, 1695, 1660, 1610,
    1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285, 1200, 1160, 1130, 1110, 1100, 1065, 1040, 1015, 995, 980,
    960, 935, 890, 860, 820, 810, 785, 760, 730, 700, 670, 635, 595, 550, 520, 465, 430, 420, 410, 400,
)  # fmt: skip
_LETTERS = (
    234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295, 302, 316, 323, 332, 339, 348, 358, 368, 377, 386,
    397, 404, 413,
)  # fmt: skip
INCH = 0.0254  # m


def _fraction(sixty_fourths: int) -> str:
    common = gcd(sixty_fourths, 64)
    return f"{sixty_fourths // common}/{64 // common} in"


DRILLS: dict[str, float] = {
    **{f"no. {i + 1}": size * 1e-4 * INCH for i, size in enumerate(_NUMBERS)},
    **{f"letter {chr(65 + i)}": size * 1e-3 * INCH for i, size in enumerate(_LETTERS)},
    **{_fraction(i): i / 64.0 * INCH for i in range(1, 64)},
}


def nearest_drill(diameter: float) -> tuple[str, float]:
    """The inch drill nearest to a diameter.

    Args:
        diameter: wanted. [m]

    Returns:
        Its name and its diameter. [m]
    """
    name = min(DRILLS, key=lambda one: abs(DRILLS[one] - diameter))
    return name, DRILLS[name]


def in_inch(length: float) -> str:
    """A length as inches to a thousandth.

    Args:
        length: any. [m]

    Returns:
        Such as "0.130 in".
    """
    return f"{length / INCH:.3f} in"
