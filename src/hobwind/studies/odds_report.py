"""Odds as plain data with units in its keys."""

from __future__ import annotations

from typing import Any

from .dice import no_band
from .odds import HEAD, JUDGES, Odds
from .odds_fans import TOLD, Figure
from .odds_inputs import how
from .report import SHAPE, ZERO, made_by, number

# Key of each figure, and how SI becomes the unit in the key.
KEYS: dict[Figure, tuple[str, float, float]] = {
    Figure.starts_at: ("starts_at_plate_degC", 1.0, -ZERO),
    Figure.stops_at: ("stops_at_plate_degC", 1.0, -ZERO),
    Figure.air: ("air_m3_per_h", 3600.0, 0.0),
    Figure.air_down: ("air_fan_down_m3_per_h", 3600.0, 0.0),
    Figure.breeze: ("breeze_1m_m_per_s", 1.0, 0.0),
    Figure.peak_face: ("hottest_face_degC", 1.0, -ZERO),
    Figure.margin: ("margin_K", 1.0, 0.0),
    Figure.minutes_above: ("minutes_above_limit", 1.0 / 60.0, 0.0),
    Figure.lifts_at: ("lifts_at_plate_degC", 1.0, -ZERO),
    Figure.sits_back_at: ("sits_back_at_plate_degC", 1.0, -ZERO),
    Figure.lifts: ("lifts", 1.0, 0.0),
    Figure.motor_margin: ("motor_margin_K", 1.0, 0.0),
    Figure.wax_margin: ("wax_margin_K", 1.0, 0.0),
    Figure.joint_margin: ("joint_margin_K", 1.0, 0.0),
}


def _band(odds: Odds, figure: Figure) -> dict[str, Any]:
    _, factor, shift = KEYS[figure]
    band = odds.bands.get(figure, no_band(1.0))
    return {
        "low": number(band.low * factor + shift),
        "middle": number(band.middle * factor + shift),
        "high": number(band.high * factor + shift),
        "as_written": number(float(odds.written[figure]) * factor + shift),
        "low_settled_to": number(band.low_loose * factor),
        "high_settled_to": number(band.high_loose * factor),
        "never": number(band.missing, 6),
    }


def _shares(odds: Odds) -> dict[str, Any] | None:
    shares = odds.shares
    if shares is None:
        return None
    rows = [
        {
            "part": part,
            "figure": KEYS[figure][0],
            "alone": number(shares.alone[f, g]),
            "alone_settled_to": number(shares.alone_loose[f, g]),
            "together": number(shares.together[f, g]),
            "together_settled_to": number(shares.together_loose[f, g]),
        }
        for g, part in enumerate(shares.groups)
        for f, figure in enumerate(HEAD)
    ]
    return {"evenings": 2 * shares.count, "rows": rows}


def odds_report(odds: Odds) -> dict[str, Any]:
    """Everything `hobwind odds` knows."""
    measures = []
    for rank, measure in enumerate(odds.measures, start=1):
        narrows = [
            {
                "figure": KEYS[figure][0],
                "share": number(share),
                "share_settled_to": number(loose),
                "half_now": number(now * KEYS[figure][1]),
                "half_then": number(then * KEYS[figure][1]),
            }
            for figure, share, loose, now, then in zip(
                HEAD, measure.share, measure.loose, measure.now, measure.then, strict=True
            )
        ]
        one = measure.input
        measures.append({"rank": rank, "input": one.die.name, "part": one.die.group, "how": how(one), "narrows": narrows})
    return {
        "shape": SHAPE,
        "made_by": made_by(odds.build) | {"seed": odds.seed},
        "name": odds.build.name,
        "fans": odds.count,
        "evenings": 2 * odds.count,
        "judges": JUDGES,
        "bands": {KEYS[figure][0]: _band(odds, figure) for figure in TOLD},
        "chances": [
            {
                "code": event.code,
                "says": event.says,
                "share": number(event.chance.share, 6),
                "settled_to": number(event.chance.loose, 6),
            }
            for event in odds.events
        ],
        "measure_next": measures,
        "shares": _shares(odds),
        "inputs": [{"name": one.die.name, "part": one.die.group, "places": list(one.places)} for one in odds.inputs],
    }
