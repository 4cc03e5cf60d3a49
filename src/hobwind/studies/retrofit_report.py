"""A found fan as plain data with units in its keys: what `hobwind retrofit --json` prints."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from .guarded import Guarded
from .odds import Odds
from .odds_fans import Figure
from .report import SHAPE, celsius, made_by, number
from .retrofit import Retrofit, asks
from .retrofit_modules import Fit
from .retrofit_tuning import Matched

RPM = 30.0 / math.pi


def retrofit_report(found: Retrofit, logged: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """Everything found about one fan.

    Args:
        found: the fan.
        logged: what logs of real fires told, as `logs_report` has it; None without logs.

    Returns:
        Data for `json.dumps`; keys carry their units.
    """
    death, best = found.death, found.best
    harm = None if found.guarded is None else found.guarded.chance_of("face_over_limit")
    return {
        "shape": SHAPE,
        "made_by": {**made_by(found.build), "seed": found.thrown.seed},
        "name": found.outside.name,
        **({"logs": [], "stove": []} if logged is None else logged),
        "rules": list(found.made.rules),
        "sink_base_asked_mm": number(found.made.base_asked * 1e3, 3),
        "tuned": [{"place": one.place, "says": one.says, "now": one.text} for one in found.tuned],
        "seen": [_matched(one) for one in found.matched],
        "bands": _bands(found.thrown),
        "death": {
            "signs": list(death.signs),
            "peak_face_degC": celsius(death.peak),
            "limit_degC": celsius(death.limit),
            "solder_degC": celsius(death.solder),
            "past_limit": number(death.past_limit, 6),
            "past_solder": number(death.past_solder, 6),
            "causes": [
                {"code": one.cause.code, "says": one.cause.says, "mend": one.cause.mend, "share": number(one.share, 6)}
                for one in death.causes
            ],
        },
        "modules": [_fit(one) for one in found.fits],
        "guards": [_guard(one) for one in found.guards.rows],
        "recommended": None if best is None else best.kind,
        "reason": found.reason,
        "guarded_face_over_limit": None if harm is None else number(harm.share, 6),
        "build": found.made.text,
    }


def _matched(one: Matched) -> dict[str, Any]:
    spins = one.what == "speed"
    values = {"seen": one.seen, "before": one.before, "after": one.after}
    told = {f"{key}_degC": None if spins else celsius(value) for key, value in values.items()}
    told |= {f"{key}_rpm": number(value * RPM, 1) if spins else None for key, value in values.items()}
    return {"plate_degC": celsius(one.plate), "what": one.what, **told}


def _bands(thrown: Odds) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for figure, key, factor, shift in (
        (Figure.starts_at, "starts_at_plate_degC", 1.0, -273.15),
        (Figure.air, "air_m3_per_h", 3600.0, 0.0),
        (Figure.peak_face, "hottest_face_degC", 1.0, -273.15),
    ):
        band = thrown.bands.get(figure)
        for end in ("low", "middle", "high"):
            found[f"{end}_{key}"] = None if band is None else number(getattr(band, end) * factor + shift, 3)
    return found


def _fit(one: Fit) -> dict[str, Any]:
    return {
        "name": one.part.name,
        "count": one.count,
        "against": one.against,
        "thicker_mm": number(one.thicker * 1e3, 3),
        "screw_left_mm": None if one.screw_left is None else number(one.screw_left * 1e3, 3),
        "hot_limit_degC": celsius(one.part.hot_limit.value),
        "solder_degC": celsius(one.part.solder.value),
        "grade": one.part.grade,
        "starts_at_plate_degC": celsius(one.starts),
        "start_change_K": number(one.start_change, 3),
        "air_change_m3_per_h": None if one.air_change is None else number(one.air_change * 3600.0, 3),
        "peak_face_degC": celsius(one.peak),
        "margin_K": number(one.margin, 3),
        "nearest_its_limit": one.nearest,
        "leads_margin_K": number(one.wire_margin, 3),
    }


def _guard(one: Guarded) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "asks": asks(one),
        "says": one.says,
        "parts": list(one.parts),
        "keys": list(one.keys),
        "starts_at_plate_degC": celsius(one.solved.starts_at),
        "margin_K": number(one.least.margin, 3),
        "nearest_its_limit": one.least.part,
        "against": one.shortcomings(),
    }
