"""A fan's winters in one record: for the screen, for curves and for JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .. import __version__
from ..build import build_from_text
from ..errors import HobwindError
from .causes import CAUSES, VALUES, signatures
from .health import FEWEST, Health, judge, looks_of
from .schema import LAYOUT
from .spares import that_fit
from .store import Diary, find_fan, latest_build, rows

SHAPE = 1


@dataclass(frozen=True)
class Winters:
    """All that the diary holds of one fan; lists of rows by column."""

    fan: dict[str, Any]
    builds: list[dict[str, Any]]
    trials: list[dict[str, Any]]
    logs: list[dict[str, Any]]
    evenings: list[dict[str, Any]]
    cycles: list[dict[str, Any]]
    services: list[dict[str, Any]]
    photos: list[dict[str, Any]]
    looks: int
    health: Health | None
    spares: tuple[str, ...]


def winters(diary: Diary, name: str | None = None) -> Winters:
    """Everything of one fan.

    Args:
        diary: to read from.
        name: of the fan; may be left out when there is one.

    Returns:
        Its winters.

    Raises:
        InputError: no such fan.
        DiaryError: the diary cannot be read.
    """
    fan = find_fan(diary, name)
    row = fan["id"]
    looks = looks_of(diary, row)
    health, spares = None, []
    latest = latest_build(diary, row)
    if latest is not None and len(looks) >= FEWEST:
        try:
            build = build_from_text(latest[1])
            health = judge(looks, signatures(build))
            if health.changed:
                spares = that_fit(CAUSES[health.suspects[0].key].spare, build)
        except HobwindError:
            health = None
    return Winters(
        fan,
        rows(diary, "SELECT id, digest, kept_s, made_by FROM builds WHERE fan_id = ? ORDER BY kept_s", row),
        rows(diary, "SELECT id, taken_s, says FROM trials WHERE fan_id = ? ORDER BY taken_s", row),
        rows(diary, "SELECT id, began_s, ended_s, rows, unread, source FROM logs WHERE fan_id = ? ORDER BY began_s", row),
        rows(
            diary,
            "SELECT e.began_s, e.ended_s, e.face_from, e.peak_plate_degC, e.peak_face_degC, e.limit_degC, e.minutes_above_limit "
            "FROM evenings e JOIN logs l ON l.id = e.log_id WHERE l.fan_id = ? ORDER BY e.began_s",
            row,
        ),
        rows(
            diary,
            "SELECT c.depth_from_K, c.depth_to_K, sum(c.count) AS count FROM cycles c JOIN evenings e ON e.id = c.evening_id "
            "JOIN logs l ON l.id = e.log_id WHERE l.fan_id = ? GROUP BY c.depth_from_K, c.depth_to_K ORDER BY c.depth_from_K",
            row,
        ),
        rows(diary, "SELECT id, done_s, work, says FROM services WHERE fan_id = ? ORDER BY done_s", row),
        rows(
            diary,
            "SELECT id, taken_s, says, kind, length(data) AS bytes FROM photos WHERE fan_id = ? ORDER BY taken_s",
            row,
        ),
        len(looks),
        health,
        tuple(spares),
    )


def winters_report(found: Winters) -> dict[str, Any]:
    """The same as data for JSON."""
    health = found.health
    judged = None
    if health is not None:
        judged = {
            "changed": health.changed,
            "told": health.told,
            "suspects": [
                {"cause": one.key, "says": CAUSES[one.key].says, "explains": one.explains, "size": one.size}
                for one in health.suspects
            ],
            "courses": [
                {
                    "name": one.name,
                    "says": VALUES[one.name].says,
                    "first": one.first,
                    "last": one.last,
                    "a_year": one.a_year,
                    "half_a_year": 2.0 * one.doubt,
                    "of_alarm": one.alarm,
                }
                for one in health.courses
            ],
            "check": health.check,
            "next_look_s": health.next_look,
            "spares": list(found.spares),
        }
    return {
        "shape": SHAPE,
        "made_by": {"hobwind": __version__, "layout": LAYOUT},
        "fan": found.fan["name"],
        "builds": found.builds,
        "trials": found.trials,
        "logs": found.logs,
        "evenings": found.evenings,
        "cycles": found.cycles,
        "services": found.services,
        "photos": found.photos,
        "looks": found.looks,
        "health": judged,
    }
