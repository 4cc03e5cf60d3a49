"""The logs of a found fan as plain data with units in its keys: the part of `hobwind retrofit --json` that tells of them."""

from __future__ import annotations

from typing import Any

from ..studies.report import RPM, celsius, number
from .found_fan import FromLogs
from .settled import Stretch, Told


def logs_report(found: FromLogs) -> dict[str, Any]:
    """The logs, the stretches taken of each, and what they told of the stove.

    Args:
        found: the fan with its logs.

    Returns:
        Data for `json.dumps`; keys carry their units.
    """
    return {
        "logs": [
            {
                "name": one.measured.name,
                "room_degC": celsius(one.room),
                "room_from": one.room_from,
                "turning_from": one.turning_from,
                "stretches": [_stretch(stretch) for stretch in one.stretches],
            }
            for one in found.logs
        ],
        "stove": list(found.stove),
    }


def _stretch(one: Stretch) -> dict[str, Any]:
    return {
        "start_min": number(one.start / 60.0, 2),
        "stop_min": number(one.stop / 60.0, 2),
        "plate_degC": celsius(one.plate),
        "slope_K_per_min": number(60.0 * one.slope, 3),
        "lag_K": number(one.late, 2),
        "turns": one.turns,
        "told": [_told(told) for told in one.told],
    }


def _told(one: Told) -> dict[str, Any]:
    spins = one.place == "speed"
    return {
        "what": one.place,
        "read_degC": None if spins else celsius(one.read),
        "rest_degC": None if spins else celsius(one.settled),
        "off_K": None if spins else number(one.half, 2),
        "read_rpm": number(one.read * RPM, 1) if spins else None,
        "rest_rpm": number(one.settled * RPM, 1) if spins else None,
        "off_rpm": number(one.half * RPM, 1) if spins else None,
    }
