"""Type K thermocouples: volts to temperature and back (ITS-90)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
# Reference function of type K, mV over °C: NIST Monograph 175 and IEC 60584-1.
_ABOVE = (
    -0.176004136860e-01, 0.389212049750e-01, 0.185587700320e-04, -0.994575928740e-07, 0.318409457190e-09,
    -0.560728448890e-12, 0.560750590590e-15, -0.320207200030e-18, 0.971511471520e-22, -0.121047212750e-25,
)  # fmt: skip
_BELOW = (
    0.0, 0.394501280250e-01, 0.236223735980e-04, -0.328589067840e-06, -0.499048287770e-08, -0.675090591730e-10,
    -0.574103274280e-12, -0.310888728940e-14, -0.104516093650e-16, -0.198892668780e-19, -0.163226974860e-22,
)  # fmt: skip
_BUMP = (0.118597600000e00, -0.118343200000e-03, 0.126968600000e03)
COLDEST, HOTTEST = -200.0, 1372.0  # °C
_TABLE_T = np.arange(COLDEST, HOTTEST + 0.5, 1.0)


def millivolts(celsius: Floats | float) -> Floats:
    """What a type K pair gives with its cold end at 0 °C.

    Args:
        celsius: temperature of the hot end, any shape. [°C]

    Returns:
        Volts, in the shape of `celsius`. [mV]

    Limits: -270 to 1372 °C.
    Source: nist-175.
    """
    t = np.asarray(celsius, dtype=float)
    above = np.polynomial.polynomial.polyval(t, _ABOVE) + _BUMP[0] * np.exp(_BUMP[1] * (t - _BUMP[2]) ** 2)
    return np.asarray(np.where(t >= 0.0, above, np.polynomial.polynomial.polyval(np.minimum(t, 0.0), _BELOW)))


def celsius(volts: Floats | float, cold_end: float) -> Floats:
    """Temperature of the hot end of a type K pair.

    Args:
        volts: measured, any shape. [mV]
        cold_end: temperature where the pair joins the meter. [°C]

    Returns:
        Temperature, in the shape of `volts`; NaN beyond -200 to 1372 °C. [°C]

    Limits: the inverse of `millivolts` by table and one Newton step, to 1e-4 K.
    Source: nist-175.
    """
    wanted = np.asarray(volts, dtype=float) + millivolts(cold_end)
    table = millivolts(_TABLE_T)
    t = np.interp(wanted, table, _TABLE_T, left=np.nan, right=np.nan)
    slope = (millivolts(t + 0.05) - millivolts(t - 0.05)) / 0.1
    return np.asarray(t + (wanted - millivolts(t)) / slope)
