"""What the build foretells of a trial's own fire: at which plate and when the blade starts and the guard lifts and sits back."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..stack.fields import Seen
from .measured import Floats
from .predict import Rig, nothing_off, seen_evening


@dataclass(frozen=True)
class Foreseen:
    """One thing foretold: its code as in a trial's verdict, when [s], and the plate then [K]."""

    code: str
    time: float
    plate: float


def _rises(value: Floats) -> np.ndarray:
    return np.flatnonzero((value[1:] > 0.0) & (value[:-1] <= 0.0)) + 1


def foreseen(one: Rig) -> tuple[Foreseen, ...]:
    """What the build foretells along the measured plate.

    Args:
        one: build and trial.

    Returns:
        Start of the blade, first lift and last sitting back; what does not come about is left out.
    """
    time, seen = seen_evening(one, nothing_off(one))
    speed, gap, plate = (np.nan_to_num(seen[:, column]) for column in (Seen.speed, Seen.gap, Seen.plate))
    at = {
        "started": _rises(speed)[:1],
        "lifted": _rises(gap)[:1],
        "sat-back": np.flatnonzero((gap[1:] <= 0.0) & (gap[:-1] > 0.0))[-1:] + 1,
    }
    return tuple(Foreseen(code, float(time[i]), float(plate[i])) for code, found in at.items() for i in found)
