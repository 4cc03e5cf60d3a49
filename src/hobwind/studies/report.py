"""Every result as plain data with units in its keys: what `--json` prints. Shapes are versioned and have schemas."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .. import __version__
from ..build import FORMAT, Build, digest
from ..stack.evening import Evening, Hunting
from ..stack.fields import Seen
from ..stack.keeping import End
from ..stack.network import SAYS, Network
from ..stack.steady import MapPoint, Rest
from .headline import Headline
from .ledger import ledger, onward
from .verdict import Verdict

Floats = NDArray[np.float64]
ZERO = 273.15
SHAPE = 1  # version of every shape below
RPM = 30.0 / math.pi


def made_by(build: Build) -> dict[str, Any]:
    """Version, format, and the mark of the build; nothing here is drawn by chance, so there is no seed."""
    return {"hobwind": __version__, "format": FORMAT, "build": digest(build), "seed": None}


def number(value: float | None, places: int = 4) -> float | None:
    """A figure for JSON: rounded, and null where there is none."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), places) + 0.0


def celsius(kelvin: float | None) -> float | None:
    """A temperature for JSON, °C."""
    return None if kelvin is None else number(kelvin - ZERO, 3)


def point(one: MapPoint) -> dict[str, Any]:
    """One settled state."""
    seen = one.seen
    figures = {
        "hot_face_degC": celsius(seen[Seen.hot_face]),
        "cold_face_degC": celsius(seen[Seen.cold_face]),
        "sink_degC": celsius(seen[Seen.sink]),
        "seat_heat_W": number(seen[Seen.seat_heat]),
        "module_heat_W": number(seen[Seen.module_heat]),
        "electric_W": number(seen[Seen.electric], 6),
        "motor_V": number(seen[Seen.motor_voltage], 5),
        "current_A": number(seen[Seen.current], 6),
        "speed_rpm": number(seen[Seen.speed] * RPM, 2),
        "air_m3_per_h": number(seen[Seen.air_flow] * 3600.0, 3),
        "breeze_1m_m_per_s": number(seen[Seen.breeze]),
        "gap_mm": number(seen[Seen.gap] * 1e3),
        "margin_K": number(seen[Seen.margin], 3),
        "balance_W": number(seen[Seen.balance], 12),
    }
    if one.outcome is not Rest.SETTLED:  # the figures of a balance that does not stand are nobody's
        figures = dict.fromkeys(figures)
    return {
        "plate_degC": celsius(one.plate),
        "branch": one.branch,
        "outcome": one.outcome.value,
        **figures,
        "guard": "up" if seen[Seen.lift] > 0.0 else "down",
    }


def hunting_report(hunting: Hunting | None) -> dict[str, Any] | None:
    """How a guard hunts, or nothing."""
    if hunting is None:
        return None
    return {
        "lifts": hunting.lifts,
        "hot_face_low_degC": celsius(hunting.low),
        "hot_face_high_degC": celsius(hunting.high),
        "period_s": number(hunting.period, 1),
    }


def band(solved: Headline, one: MapPoint) -> dict[str, Any] | None:
    """The band in which a restless point moves, from an evening held at its plate."""
    return hunting_report(solved.band_at(one.plate)) if one.outcome is Rest.HUNTS else None


def guard_report(solved: Headline) -> dict[str, Any]:
    """When the guard lifts and sits back."""
    worst, usual = solved.worst, solved.usual
    hunting = worst.hunting or usual.hunting
    return {
        "kind": solved.build.guard.kind,
        "lifts_at_plate_degC": celsius(worst.figure(End.lift_at)),
        "lifts_at_held_plate_degC": celsius(solved.lifts_held),
        "sits_back_at_plate_degC": celsius(worst.figure(End.sit_at)),
        "lifts_usual": usual.lifts,
        "lifts_over_fired": worst.lifts,
        "hunts": solved.hunts,
        "hunting": hunting_report(hunting),
    }


def check_report(judged: Verdict) -> dict[str, Any]:
    """Everything `hobwind check` knows."""
    solved = judged.solved
    peak, where = solved.peak_face
    at = sorted([*solved.at.from_rest, *solved.at.running_down], key=lambda p: (p.plate, p.branch))
    return {
        "shape": SHAPE,
        "made_by": made_by(judged.build),
        "name": judged.build.name,
        "sentence": judged.sentence,
        "starts_at_plate_degC": celsius(solved.starts_at),
        "starts_at_slow_plate_degC": celsius(solved.map.starts_at()),
        "stops_at_plate_degC": celsius(solved.stops_at),
        "stops_at_slow_plate_degC": celsius(solved.map.stops_at()),
        "at_plate": [point(one) | {"hunting": band(solved, one)} for one in at],
        "usual_plate": point(solved.usual_point),
        "hottest_face_degC": celsius(peak),
        "hottest_face_where": where,
        "limit_reached_at_plate_degC": celsius(solved.limit_reached_at),
        "minutes_above_limit": number(float(solved.worst.end[End.above]) / 60.0, 3),
        "guard": guard_report(solved),
        "margins": [
            {
                "part": one.part,
                "limit_degC": celsius(one.limit),
                "peak_degC": celsius(one.peak),
                "margin_K": number(one.margin, 2),
                "where": one.where,
                "source": one.source,
            }
            for one in judged.margins
        ],
        "heat_ledger": {
            "plate_degC": celsius(solved.usual_point.plate),
            "entries": [
                {"says": e.says, "heat_W": number(e.watts), "past_the_modules": e.bypass}
                for e in ledger(solved.usual_point.seen)
            ],
            "onward": [{"says": e.says, "heat_W": number(e.watts)} for e in onward(solved.usual_point.seen)],
        },
        "findings": [
            {
                "severity": f.severity,
                "code": f.code,
                "says": f.says,
                "mend": f.mend,
                "mend_keys": list(f.keys),
                "source": f.source,
            }
            for f in judged.findings
        ],
        "notes": judged.notes,
        "cautions": judged.cautions,
    }


def _column(evening: Evening, which: Seen, scale: float = 1.0, off: float = 0.0, places: int = 4) -> list[Any]:
    return [number(value * scale - off, places) for value in evening.seen[:, which]]


def evening_report(build: Build, ran: Evening) -> dict[str, Any]:
    """One evening over time; figures of the element are null without a guard."""
    guarded = build.guard.element is not None
    return {
        "shape": SHAPE,
        "made_by": made_by(build),
        "name": build.name,
        "evening": ran.curve.name,
        "outcome": ran.outcome.value,
        "time_s": [number(t, 3) for t in ran.time],
        "plate_degC": _column(ran, Seen.plate, 1.0, ZERO, 3),
        "hot_face_degC": _column(ran, Seen.hot_face, 1.0, ZERO, 3),
        "cold_face_degC": _column(ran, Seen.cold_face, 1.0, ZERO, 3),
        "sink_degC": _column(ran, Seen.sink, 1.0, ZERO, 3),
        "element_degC": _column(ran, Seen.element, 1.0, ZERO, 3) if guarded else [None] * len(ran.time),
        "gap_mm": _column(ran, Seen.gap, 1e3),
        "speed_rpm": _column(ran, Seen.speed, RPM, 0.0, 2),
        "air_m3_per_h": _column(ran, Seen.air_flow, 3600.0, 0.0, 3),
        "electric_W": _column(ran, Seen.electric, 1.0, 0.0, 6),
        "starts_at_plate_degC": celsius(ran.figure(End.starts_at)),
        "stops_at_plate_degC": celsius(ran.figure(End.stops_at)),
        "peak_hot_face_degC": celsius(ran.figure(End.peak_hot)),
        "peak_time_s": number(ran.figure(End.peak_time), 2),
        "minutes_above_limit": number(float(ran.end[End.above]) / 60.0, 4),
        "minutes_turning": number(float(ran.end[End.turning]) / 60.0, 3),
        "lifts": ran.lifts,
        "events": [
            {
                "time_s": number(e.time, 2),
                "what": e.what,
                "plate_degC": celsius(e.plate),
                "element_degC": celsius(e.element) if guarded else None,
            }
            for e in ran.events
        ],
        "hunting": hunting_report(ran.hunting),
    }


def network_report(build: Build, net: Network) -> dict[str, Any]:
    """One operating point as nodes and links."""
    return {
        "shape": SHAPE,
        "made_by": made_by(build),
        "name": build.name,
        "plate_degC": celsius(net.plate),
        "outcome": net.outcome,
        "nodes": [
            {
                "node": name,
                "temperature_degC": celsius(kelvin),
                "left_over_W": number(net.left_over.get(name), 12),
            }
            for name, kelvin in net.nodes.items()
        ],
        "links": [
            {
                "from": link.first,
                "to": link.second,
                "says": link.says,
                "heat_W": number(float(link.watts), 6),
                "conductance_W_per_K": number(conductance(net, link.first, link.second, float(link.watts)), 6),
                "formula": link.formula,
                "source": link.source,
            }
            for link in net.links
        ],
        "words": dict(SAYS),
    }


def conductance(net: Network, first: str, second: str, watts: float) -> float | None:
    """Watts over temperature difference of one link; None where a side has no temperature or both are equal. [W/K]"""
    if first not in net.nodes or second not in net.nodes:
        return None
    apart = net.nodes[first] - net.nodes[second]
    # A side that the stove's glow warms takes heat though it is the hotter one: no conductance tells that.
    return watts / apart if abs(apart) > 1e-6 and watts * apart >= 0.0 else None
