"""A thin foot for a wax element, in metal and millimetres: the strip that carries as much heat as a guard was reckoned with.

The strip leads from the stove plate, where its end is held down flat, to the element. G = k A / L; what the strip itself loses
to the air on its way is not in that figure and is told as a share.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..build import Build
from ..build.guide import standing_height
from ..parts.catalogue import Shelf

METAL = "stainless 304"
RING_FROM = 0.02  # W/K; an element loses more than that only by a ring
SHEETS = (0.5e-3, 0.8e-3, 1.0e-3, 1.5e-3)  # m; what kitchen ware and sheet offcuts have. Source: from memory
WIDE = (4e-3, 6e-3, 8e-3, 10e-3, 12e-3, 15e-3, 20e-3, 25e-3)  # m; strips that hand shears cut straight
SHORTEST, LONGEST = 10e-3, 30e-3  # m; between plate and element: shorter is not cut to size, longer sways
REFERENCE = 293.15  # K; at which a metal's conductivity is given
TOE = 15e-3  # m of strip held flat on the plate. Source: from memory
BOLTED = 2000.0  # W/(m2 K) of a bare toe pressed on the plate. Source: from memory
STILL_AIR = 10.0  # W/(m2 K) by convection and glow from a bright strip in still air. Source: from memory


@dataclass(frozen=True)
class Strip:
    """A strip of sheet: metal, its conductivity [W/(m K)], thickness, width, free length [m], what it carries [W/K].

    `fin` is m·L of the strip as a fin in still air: below a half it loses less than a tenth of what it carries on its way.
    """

    metal: str
    conductivity: float
    thickness: float
    width: float
    length: float
    carries: float
    fin: float

    @property
    def says(self) -> str:
        """What to cut."""
        return (
            f"a strip of {self.metal}, {self.thickness * 1e3:g} x {self.width * 1e3:g} mm, {self.length * 1e3:.0f} mm free between plate "
            "and element, its end held flat on the plate"
        )


def strip_for(build: Build) -> Strip | None:
    """The strip whose conductance comes nearest a guard's foot of its own, of whole millimetres.

    Args:
        build: a checked build.

    Returns:
        The strip; None where the element does not stand on the stove plate or no strip comes within a tenth.

    Source: exact (G = k A / L); conductivity from the catalogue; sizes from memory.
    Check: stainless of 17.3 W/(m K) warm, 1 x 20 mm, 14 mm free carry 25 mW/K, by hand.
    """
    guard = build.guard
    if guard.element is None or guard.held_in != "plate":
        return None
    metal, wanted = Shelf(None).find("material", METAL), guard.holder_conductance.value
    # Between an element about to open and a plate in normal burning.
    middle = 0.5 * (guard.element.opens.value + build.stove.usual_plate.value)
    conductivity = metal.conductivity.value * (1.0 + metal.conductivity_slope.value * (middle - REFERENCE))
    found = []
    for thick in SHEETS:
        for wide in WIDE:
            length = round(conductivity * thick * wide / wanted * 1e3) * 1e-3
            if SHORTEST <= length <= LONGEST:
                carries = conductivity * thick * wide / length
                fin = length * math.sqrt(STILL_AIR * 2.0 * (thick + wide) / (conductivity * thick * wide))
                found.append(Strip(METAL, conductivity, thick, wide, length, carries, fin))
    near = [one for one in found if abs(one.carries / wanted - 1.0) <= 0.1]
    high = standing_height(build) or SHORTEST  # the strip may be as long as the element stands high
    return min(near, key=lambda one: (abs(one.carries / wanted - 1.0) > 0.03, abs(one.length - high), one.fin), default=None)


def blank(build: Build, strip: Strip) -> float:
    """How long the strip is cut: toe on the plate, free length, and as much under the element as the element is wide, m."""
    assert build.guard.element is not None
    return TOE + strip.length + build.guard.element.diameter.value


def cooler_by(build: Build, strip: Strip) -> float:
    """How much cooler than reckoned the element stays on the usual plate, for what G = k A / L leaves out, K.

    A strip that loses heat on its way is a fin between two temperatures, n = m L: G n / sinh n passes, G n tanh(n/2) is lost
    from either end, at the element's besides its ring's loss; the toe's bare joint stands in series.

    Args:
        build: a checked build with such a strip.
        strip: the strip.

    Returns:
        Kelvin, for an element that neither lifts nor takes heat through its pin. [K]

    Source: incropera (fin between two temperatures); air and joint from memory.
    """
    loss, n = build.guard.element_loss.value, strip.fin
    through, side, toe = strip.carries * n / math.sinh(n), strip.carries * n * math.tanh(0.5 * n), BOLTED * strip.width * TOE
    share = through / (through + side + loss)  # of what the strip's foot is warmer than the air, the element is
    foot = toe / (toe + side + through * (1.0 - share))  # of what the plate is, the strip's foot is
    hot = build.stove.usual_plate.value - build.stove.room.value
    return hot * (strip.carries / (strip.carries + loss) - share * foot)


def reckoned(build: Build, strip: Strip) -> str:
    """How the strip was reckoned, and what is left out, for whoever cuts it."""
    return (
        f"The foot: k A / L = {strip.conductivity:.1f} W/(m K) x {strip.thickness * 1e3:g} x {strip.width * 1e3:g} mm / "
        f"{strip.length * 1e3:.0f} mm = {strip.carries * 1e3:.1f} mW/K. Thicker, wider or shorter: a hotter element, which opens "
        f"on a cooler plate. Left out are the air along the strip and the bare joint under its toe: with both it stays about "
        f"{cooler_by(build, strip):.0f} K cooler on the usual plate and opens later. Compound under the toe; then try it by thermometer."
    )
