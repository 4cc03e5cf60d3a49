"""Sliding fits of a pin in its bore (ISO 286), cold and hot; general tolerances (ISO 2768); a tube's square end.

Only basic sizes up to 18 mm and the three fits a pin wants are carried.
"""

from __future__ import annotations

from dataclasses import dataclass

BOUNDS = (3.0, 6.0, 10.0, 18.0)  # mm; a row below serves sizes above the one before and up to this
# Micrometres for each row. Source: iso-286.
GRADES = {6: (6, 8, 9, 11), 7: (10, 12, 15, 18), 8: (14, 18, 22, 27), 9: (25, 30, 36, 43)}
SHAFTS = {"g": (2, 4, 5, 6), "f": (6, 10, 13, 16), "d": (20, 30, 40, 50)}
FITS = {"H7/g6": (7, "g", 6), "H8/f7": (8, "f", 7), "H9/d9": (9, "d", 9)}


@dataclass(frozen=True)
class Fit:
    """A fit: name, and the clearances it allows, m."""

    name: str
    least: float
    most: float

    @property
    def middle(self) -> float:
        """Clearance to aim at, m."""
        return 0.5 * (self.least + self.most)


def fit(size: float, name: str) -> Fit:
    """Clearances of a fit with the hole at its basic size.

    Args:
        size: basic diameter. [m]
        name: a key of `FITS`. [-]

    Returns:
        The fit. [m]

    Limits: up to 18 mm; a thicker pin is given the row of 18 mm.
    Source: iso-286.
    Check: 6 mm H7/g6: 4 to 24 micrometres.

    >>> round(fit(6e-3, "H7/g6").most * 1e6)
    24
    """
    row = next((i for i, bound in enumerate(BOUNDS) if size * 1e3 <= bound + 1e-9), len(BOUNDS) - 1)
    hole, letter, shaft = FITS[name]
    least = SHAFTS[letter][row]
    return Fit(name, least * 1e-6, (least + GRADES[hole][row] + GRADES[shaft][row]) * 1e-6)


def hot_clearance(
    clearance: float, diameter: float, hole_expansion: float, hole_rise: float, pin_expansion: float, pin_rise: float
) -> float:
    """Clearance of a pin in its bore when both are hot.

        c' = c + d (alpha_hole dT_hole - alpha_pin dT_pin)

    Args:
        clearance: cold. [m]
        diameter: of pin and bore. [m]
        hole_expansion: of the metal round the bore. [1/K]
        hole_rise: above the temperature at which it was measured. [K]
        pin_expansion: of the pin. [1/K]
        pin_rise: likewise. [K]

    Returns:
        Clearance hot; negative: the pin sticks. [m]

    Source: exact.
    """
    return clearance + diameter * (hole_expansion * hole_rise - pin_expansion * pin_rise)


def tilt(out_of_square: float, across: float, length: float) -> float:
    """How far the far end of a tube or pin stands aside because its end face is not square.

    Args:
        out_of_square: height of one side of the end face over the other. [m]
        across: diameter of the end face. [m]
        length: from the face to the far end. [m]

    Returns:
        Sideways. [m]

    Source: exact.
    """
    return out_of_square / across * length
