"""Guards and the fault drill as plain data: what `--json` prints."""

from __future__ import annotations

import math
from typing import Any

from .drill import Drill, Drilled, Single
from .guarded import Guarded
from .guards import Guards
from .guards_batch import TRAVEL
from .report import SHAPE, celsius, made_by, number


def guards_report(found: Guards) -> dict[str, Any]:
    """The comparison of guards.

    Args:
        found: the comparison.

    Returns:
        Data for `json.dumps`; keys carry their units.
    """
    return {
        "shape": SHAPE,
        "made_by": made_by(found.build),
        "name": found.build.name,
        "sizes_tried": found.tried,
        "guards": [_guard(one) for one in found.rows],
        "recommended": None if found.best is None else found.best.kind,
        "reason": found.reason,
    }


def _guard(one: Guarded) -> dict[str, Any]:
    force, least = one.force_in_hand, one.least
    return {
        "kind": one.kind,
        "says": one.says,
        "parts": list(one.parts),
        "keys": list(one.keys),
        "starts_at_plate_degC": celsius(one.solved.starts_at),
        "air_at_200_degC_m3_per_h": None if one.air is None else number(one.air * 3600.0, 3),
        "usual_peak_face_degC": celsius(one.usual_peak),
        "fired_peak_face_degC": celsius(one.fired_peak),
        "minutes_above_limit": number(one.minutes_above, 3),
        "lifts_fired": one.lifts_fired,
        "lifts_usual": one.lifts_usual,
        "hunts": one.hunts,
        "lifts_at_plate_degC": celsius(one.lifts_at),
        "lifts_at_held_plate_degC": celsius(one.lifts_held),
        "sits_back_at_plate_degC": celsius(one.sits_back),
        "force_in_hand_N": number(force, 3),
        "tip_margin_deg": number(math.degrees(one.tip_margin), 3),
        "nearest_its_limit": least.part,
        "margin_K": number(least.margin, 3),
        "harmed_by": None if one.harmed is None else list(one.harmed),
        "against": one.shortcomings(),
        "worst_plate_degC": [celsius(float(plate)) for plate in one.plates],
        "peak_face_degC": [celsius(float(peak)) for peak in one.peaks],
    }


def drill_report(found: Drill) -> dict[str, Any]:
    """The fault drill.

    Args:
        found: the drill.

    Returns:
        Data for `json.dumps`; keys carry their units.
    """
    return {
        "shape": SHAPE,
        "made_by": made_by(found.build),
        "name": found.build.name,
        "healthy": _drilled(found.healthy),
        "singles": [_single(one) for one in found.singles],
        "pairs": [{"faults": [fault.name for fault in pair.faults], **_drilled(pair)} for pair in found.pairs],
    }


def _drilled(one: Drilled) -> dict[str, Any]:
    return {
        "lives": one.lives,
        "nearest_its_limit": one.part,
        "margin_K": None if one.part == TRAVEL else number(one.margin, 3),
        "travel_left_mm": number(one.margin, 3) if one.part == TRAVEL else None,
        "peak_face_degC": celsius(one.peak),
        "minutes_above_limit": number(one.minutes_above, 3),
    }


def _single(one: Single) -> dict[str, Any]:
    limit = one.limit_time
    return {
        "fault": one.drilled.name,
        "assumed": one.fault.says,
        "source": one.fault.source,
        **_drilled(one.drilled),
        "limit_time_s": number(limit, 1),
        "signs": [
            {
                "sign": sign.says,
                "time_s": number(sign.time, 1),
                "minutes_before_limit": None if limit is None else number((limit - sign.time) / 60.0, 2),
            }
            for sign in one.seen
        ],
        "harmless_by": one.cure or None,
        "keys": list(one.keys),
    }
