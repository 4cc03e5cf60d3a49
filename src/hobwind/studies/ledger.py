"""The heat ledger: where every watt that the stove gives goes, by-passes named."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..stack.fields import Seen

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Entry:
    """One line: what, W, and whether that heat goes past the modules."""

    says: str
    watts: float
    bypass: bool


def ledger(seen: Floats) -> list[Entry]:
    """Split the heat entering the fan at one settled state.

    Args:
        seen: observations in the layout of `Seen`. [SI]

    Returns:
        What comes in, then where it goes; the lines after the first add up to it.
    """
    entering = seen[Seen.seat_heat] + seen[Seen.pin_heat] + seen[Seen.foot_heat]
    lines = [
        Entry("from the stove plate into the fan", entering, False),
        Entry("lost from the riser's sides", seen[Seen.riser_loss] + seen[Seen.hot_plate_loss], True),
        Entry("past the modules through the clamp screws", seen[Seen.screw_heat], True),
        Entry("past the modules through air or lagging", seen[Seen.surround_heat], True),
        Entry("through the modules", seen[Seen.module_heat], False),
    ]
    rest = entering - sum(line.watts for line in lines[1:])
    lines.append(Entry("through the guard's element and holder", rest, True))
    return lines


def onward(seen: Floats) -> list[Entry]:
    """What becomes of the modules' heat and power at one settled state.

    Args:
        seen: observations in the layout of `Seen`. [SI]

    Returns:
        Electric power and its ends; the plate's glow into the sink, which passes by the foot; and what the sink sheds.
    """
    return [
        Entry("turned into electricity", seen[Seen.electric], False),
        Entry("of it moving air", seen[Seen.shaft_power], False),
        Entry("of it warming motor and leads", seen[Seen.motor_heat] + seen[Seen.leads_heat], False),
        Entry("glowing from the stove plate straight into the sink", seen[Seen.sink_glow], True),
        Entry(
            "shed by sink and spreader in all", seen[Seen.sink_loss] + seen[Seen.spreader_loss] + seen[Seen.sink_glow], False
        ),
    ]
