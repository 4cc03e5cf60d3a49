"""Ways of guarding that the page offers for a bin, at the sizes a starter bin has."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from ..build.bin_sections import Bin

FOOT = {
    "held_in": "plate", "holder_conductance": "0.025 ± 0.005 W/K", "element_loss": "0.060 ± 0.012 W/K",
    "lost_motion": "1.0 ± 0.2 mm", "stop": "2 mm", "over_travel": "10 mm", "pin_length": "60 mm", "pin_tip": "0.004 ± 0.002 W/K",
}  # fmt: skip
RISER = {"held_in": "riser", "heights": [0.3, 0.6], "lost_motion": "0.5 ± 0.2 mm", "stop": "4 mm", "over_travel": "10 mm"}
# Key: what it is, and its section [[guard]].
WAYS: dict[str, tuple[str, dict[str, Any]]] = {
    "lift-foot": ("central lift, element on its own foot", {"kind": "central lift", **FOOT}),
    "lift-riser": ("central lift, element in the riser", {"kind": "central lift", **RISER}),
    "tilt-foot": ("edge tilt, element on its own foot", {"kind": "edge tilt", **FOOT}),
    "tilt-riser": ("edge tilt, element in the riser", {"kind": "edge tilt", **RISER}),
    "lever-foot": ("lever tilt beside the fan, element on its own foot", {"kind": "lever tilt", **FOOT, "lever_ratio": "2"}),
}


class WayOut(BaseModel):
    """One way of guarding that may be tried: its key, what it is, whether the bin has it."""

    key: str
    label: str
    on: bool


def ways_of(read: Bin) -> list[WayOut]:
    """Every way that is offered, and whether a bin has one of its kind and place."""
    have = {(way.guard.kind, way.guard.held_in) for way in read.guards}
    return [WayOut(key=key, label=label, on=(entry["kind"], entry["held_in"]) in have) for key, (label, entry) in WAYS.items()]
