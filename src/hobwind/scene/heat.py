"""Temperatures of one instant as part names and colours.

The scale runs evenly in lightness from pale (cool) to dark (hot), so that it keeps its order in black and white.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from ..stack.fields import Seen
from .forms import RISER, Rect, Scene

ZERO = 273.15
PALEST = "#ffffff"  # no temperature known
RISER_FOOT, RISER_TOP = "riser foot", "riser top"
STOVE_PLATE = "stove plate"
_PARTS = {
    STOVE_PLATE: Seen.plate, "plate under the seat": Seen.local, RISER_FOOT: Seen.foot, RISER_TOP: Seen.riser_top,
    "wax element": Seen.element, "hot plate": Seen.hot_plate, "module hot face": Seen.hot_face,
    "module cold face": Seen.cold_face, "spreader": Seen.spreader, "sink": Seen.sink, "motor": Seen.motor,
}  # fmt: skip

# Corners of the scale as lightness, green-red and blue-yellow in Oklab, cool to hot.
_SCALE = (
    (0.955, -0.012, -0.022), (0.86, -0.005, 0.062), (0.70, 0.075, 0.085), (0.53, 0.125, 0.055), (0.37, 0.085, 0.0),
)  # fmt: skip


def section_temperatures(seen: NDArray[np.float64]) -> dict[str, float]:
    """Part names and their temperatures.

    Args:
        seen: one row that follows `Seen`. [SI, K]

    Returns:
        Temperature of each part, whether or not a build has it. [°C]
    """
    return {part: float(seen[column]) - ZERO for part, column in _PARTS.items()}


def riser_ends(scene: Scene, temperatures: Mapping[str, float]) -> dict[str, tuple[float, float]]:
    """Temperature at the lower and upper end of each riser part, °C: straight between foot and top."""
    if RISER_FOOT not in temperatures or RISER_TOP not in temperatures:
        return {}
    parts = [s for s in scene.shapes if isinstance(s, Rect) and s.layer == RISER and s.part.startswith("riser ")]
    if not parts:
        return {}
    low, high = min(p.y for p in parts), max(p.y + p.height for p in parts)
    foot, top = temperatures[RISER_FOOT], temperatures[RISER_TOP]
    slope = (top - foot) / max(high - low, 1e-9)
    return {p.part: (foot + slope * (p.y - low), foot + slope * (p.y + p.height - low)) for p in parts}


def scale_ends(temperatures: Mapping[str, float]) -> tuple[float, float]:
    """Round figures that hold all temperatures between them, °C."""
    known = [value for value in temperatures.values() if math.isfinite(value)] or [0.0]
    low = 20.0 * math.floor(min(known) / 20.0)
    return low, low + 40.0 * max(math.ceil((max(known) - low) / 40.0), 1)  # four steps of whole tens


def colour(share: float) -> str:
    """The scale at a share from 0 (cool) to 1 (hot), as #rrggbb."""
    at = min(max(share, 0.0), 1.0) * (len(_SCALE) - 1)
    i = min(int(at), len(_SCALE) - 2)
    light, a, b = (low + (high - low) * (at - i) for low, high in zip(_SCALE[i], _SCALE[i + 1], strict=True))
    long = (light + 0.3963377774 * a + 0.2158037573 * b) ** 3
    medium = (light - 0.1055613458 * a - 0.0638541728 * b) ** 3
    short = (light - 0.0894841775 * a - 1.2914855480 * b) ** 3
    linear = (
        4.0767416621 * long - 3.3077115913 * medium + 0.2309699292 * short,
        -1.2684380046 * long + 2.6097574011 * medium - 0.3413193965 * short,
        -0.0041960863 * long - 0.7034186147 * medium + 1.7076147010 * short,
    )
    return "#" + "".join(f"{round(255.0 * _gamma(channel)):02x}" for channel in linear)


def _gamma(linear: float) -> float:
    level = min(max(linear, 0.0), 1.0)
    return 12.92 * level if level <= 0.0031308 else 1.055 * level ** (1.0 / 2.4) - 0.055
