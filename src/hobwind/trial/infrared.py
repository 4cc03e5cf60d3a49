"""What an infrared thermometer would have shown had it known the surface: band radiance, and how much the answer can be off."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
BAND = (8e-6, 14e-6)  # m; of nearly every hand-held meter
LEAST = 0.6  # below it no corrected figure is given for a limit
SECOND = 0.01438776877  # m K, h c / k
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
_TABLE_T = np.linspace(200.0, 1300.0, 1101)
METER = 0.01  # of the reading, one spread; a meter of 2 % (common practice)
SPOT = (
    "make a black spot: matt black stove paint, or soot from a candle on a spot rubbed with a wax candle's end, three times as "
    "wide as the meter's circle, fired once; set the meter to 0.95 and hold it so near that its circle lies inside the spot"
)
ASKS = "is the spot larger than the meter's circle at that distance?"


def radiance(kelvin: Floats | float) -> Floats:
    """What a black face radiates within the meter's band, on a scale of its own.

    Args:
        kelvin: any shape. [K]

    Returns:
        In the shape of `kelvin`, proportional to W/m². [-]

    Source: planck.
    """
    t = np.asarray(kelvin, dtype=float)[..., None]
    middle, half = 0.5 * (BAND[1] + BAND[0]), 0.5 * (BAND[1] - BAND[0])
    wave = middle + half * _NODES
    return np.asarray((_WEIGHTS * half / (wave**5 * np.expm1(SECOND / (wave * t)))).sum(axis=-1) * 1e-24)


def temperature(radiant: Floats | float) -> Floats:
    """The inverse of `radiance`, 200 to 1300 K; NaN beyond. [K]"""
    wanted = np.log(np.maximum(np.asarray(radiant, dtype=float), 1e-300))
    table = np.log(radiance(_TABLE_T))
    # Almost straight in 1/T, so a table of 1 K steps is good to 1e-4 K.
    return np.asarray(1.0 / np.interp(wanted, table, 1.0 / _TABLE_T, left=np.nan, right=np.nan))


def corrected(shown: Floats | float, surface: float, setting: float, room: float, subtracts: bool = True) -> Floats:
    """The surface's temperature from what the meter showed.

    Args:
        shown: by the meter, any shape. [K]
        surface: how well the surface radiates in the band, 0 to 1. [-]
        setting: what the meter was set to. [-]
        room: what the surface mirrors. [K]
        subtracts: whether the meter takes the mirrored room off by itself, as most do. [-]

    Returns:
        In the shape of `shown`. [K]

    Limits: a grey surface that mirrors the room and nothing hotter.
    Source: planck.
    """
    mirrored = radiance(room)
    got = setting * radiance(shown) + ((1.0 - setting) * mirrored if subtracts else 0.0)
    return temperature((got - (1.0 - surface) * mirrored) / surface)


def shown_by(true: Floats | float, surface: float, setting: float, room: float, subtracts: bool = True) -> Floats:
    """What a meter shows of a surface; the reverse of `corrected`. [K]"""
    mirrored = radiance(room)
    left = surface * radiance(true) + (1.0 - surface) * mirrored
    return temperature((left - ((1.0 - setting) * mirrored if subtracts else 0.0)) / setting)


@dataclass(frozen=True)
class Surface:
    """How an infrared reading was taken: surface and its spread (one s), the meter's setting. [-]"""

    radiates: float
    spread: float
    setting: float

    @property
    def may_judge(self) -> bool:
        """Whether a corrected figure may be held against a limit."""
        return self.radiates >= LEAST


def doubt(shown: float, how: Surface, room: float) -> float:
    """Spread (one s) of a corrected reading from the surface's own, the meter's and 3 K of the room. [K]"""
    steps = (
        corrected(shown, min(how.radiates + how.spread, 1.0), how.setting, room)
        - corrected(shown, max(how.radiates - how.spread, 0.02), how.setting, room),
        corrected(shown + METER * (shown - 273.15), how.radiates, how.setting, room)
        - corrected(shown - METER * (shown - 273.15), how.radiates, how.setting, room),
        corrected(shown, how.radiates, how.setting, room + 3.0) - corrected(shown, how.radiates, how.setting, room - 3.0),
    )
    return float(np.sqrt(sum(float(s) ** 2 for s in steps)) / 2.0)
