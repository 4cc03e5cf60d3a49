"""A trial as plain data, as `hobwind trial --json` prints it; docs/schemas has its shape."""

from __future__ import annotations

from typing import Any

from .. import __version__
from ..build import FORMAT, digest
from ..studies.report import SHAPE
from .channels import CHANNELS, TEMPERATURE
from .compare import Compared
from .fit import Fit
from .predict import INPUT
from .together import Trial

SHOWN_KEYS = {"temperature": ("degC", 273.15), "temperature_difference": ("K", 0.0)}
# Ending of a channel's keys, and from SI to it.
ENDINGS = {
    "temperature": ("degC", "K", 1.0, -273.15), "turning": ("rpm", "rpm", 9.549296585513721, 0.0), "current": ("A", "A", 1.0, 0.0),
    "voltage": ("V", "V", 1.0, 0.0), "length": ("mm", "mm", 1e3, 0.0),
}  # fmt: skip


def trial_report(found: Trial) -> dict[str, Any]:
    """The trial as plain data.

    Args:
        found: the trial.

    Returns:
        What --json prints.
    """
    return {
        "shape": SHAPE,
        "made_by": {"hobwind": __version__, "format": FORMAT, "build": digest(found.build), "seed": None},
        "name": found.build.name,
        "logs": [_log(found, k) for k in range(len(found.logs))],
        "shown": [
            {
                "code": one.code, "says": one.says,
                "value": None if one.value is None else one.value - SHOWN_KEYS[one.dimension][1],
                "half": one.half, "unit": SHOWN_KEYS[one.dimension][0],
            }
            for one in found.verdict.shown
        ],
        "not_shown": list(found.verdict.missing),
        "next_fire": found.verdict.next_fire,
        "cautions": list(found.verdict.cautions),
        "channels": [] if found.compared is None else _channels(found.compared),
        "causes": [
            {"code": one.code, "says": one.says, "share": one.share, "likely": one in found.causes and not found.unexplained}
            for one in found.every_cause
        ],
        "fit": None if found.fit is None else _fit(found.fit),
        "foretold": None if found.foretold is None else {
            "log": found.foretold.name, "points": found.foretold.count, "inside": found.foretold.inside,
        },
    }  # fmt: skip


def _log(found: Trial, k: int) -> dict[str, Any]:
    log = found.logs[k]
    return {
        "name": log.name,
        "digest": log.digest,
        "date": log.date,
        "lines": log.rows,
        "offset_s": 0.0 if k == 0 else found.offsets[k - 1].seconds,
        "columns": [{"header": c.header, "channel": c.channel, "unit": c.unit, "why": c.why} for c in log.columns],
        "left_out": [{"line": line, "says": says} for line, says in log.bad],
        "gaps": [{"from_s": a, "to_s": b} for a, b in log.gaps],
    }


def _channels(compared: Compared) -> list[dict[str, Any]]:
    rows = []
    for one, points in zip(compared.differences, compared.rig.points, strict=True):
        part = compared.rig.part(one.key)
        _, step, factor, shift = ENDINGS[CHANNELS[one.key].dimension]
        rows.append({
            "channel": one.key,
            "unit": "degC" if CHANNELS[one.key].dimension == TEMPERATURE else step,
            "usual_difference": one.usual * factor,
            "lasting_difference": None if one.since is None else one.mean * factor,
            "since_s": one.since,
            "inside": one.inside,
            "time_s": points.time.tolist(),
            "measured": (points.value * factor + shift).tolist(),
            "predicted": (compared.predicted[part] * factor + shift).tolist(),
            "low": (compared.low[part] * factor + shift).tolist(),
            "high": (compared.high[part] * factor + shift).tolist(),
        })  # fmt: skip
    return rows


def _fit(done: Fit) -> dict[str, Any]:
    places = {one.key: list(one.places) for one in done.rig.inputs}
    return {
        "settled": done.settled,
        "evenings": done.evenings,
        "logs": len(done.rigs),
        "walk_steps": None if done.walked is None else done.walked.steps,
        "usual_before": done.before,
        "usual_after": done.after,
        "unknowns": [
            {
                "name": one.unknown.name, "places": places.get(one.unknown.of, []) if one.unknown.kind == INPUT else [],
                "before": one.before.value, "half_before": one.before.half, "after": one.after.value, "half_after": one.after.half,
                "left": one.left, "goes_with": one.goes_with, "closely": one.closely, "told": one.told, "why_not": one.why_not,
                "ends": None if one.ends is None else list(one.ends),
            }
            for one in done.found
        ],
    }  # fmt: skip
