"""The worth list as plain data with units in its keys."""

from __future__ import annotations

from typing import Any

from .odds_fans import Figure
from .report import SHAPE, made_by, number
from .worth import Gain, Worth

# Key of each change, and how SI becomes the unit in the key.
KEYS = {
    Figure.starts_at: ("start_K", 1.0),
    Figure.air: ("air_m3_per_h", 3600.0),
    Figure.peak_face: ("hottest_face_K", 1.0),
    Figure.margin: ("margin_K", 1.0),
}


def _gain(gain: Gain) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    for figure, (key, factor) in KEYS.items():
        one = gain.changes[figure]
        changes[key] = number(one.mean * factor)
        changes[f"half_{key}"] = number(one.half * factor)
    return {
        "kind": gain.option.work.kind,
        "says": gain.option.says,
        "minutes": gain.option.work.minutes,
        "cost_in_modules": gain.option.work.cost,
        "steps": number(gain.steps),
        "helps": number(gain.helps),
        **changes,
        "nearest_before": gain.nearest,
        "nearest_after": gain.nearest_then,
        "why_not": gain.why_not,
        "caution": gain.option.work.caution,
        "keys": list(gain.keys),
    }


def worth_report(found: Worth) -> dict[str, Any]:
    """Everything `hobwind worth` knows."""
    return {
        "shape": SHAPE,
        "made_by": made_by(found.build) | {"seed": found.seed},
        "name": found.build.name,
        "fans": found.count,
        "worth_doing": [_gain(gain) for gain in found.gains],
        "best_pair": None if found.pair is None else _gain(found.pair),
        "not_worth_doing": [_gain(gain) for gain in found.idle],
    }
