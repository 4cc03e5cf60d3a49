"""The settled map as columns of numbers: everything that the slider shows, computed once for a build."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, Field

from ..build import Build
from ..scene.heat import section_temperatures
from ..stack.fields import Seen
from ..stack.prepare import Stack
from ..stack.steady import BRANCHES, MapPoint, Rest, SettledMap, settled_map
from ..studies.mapping import confirmed

ZERO, STEP, LOOKS = 273.15, 2.0, 2  # K; K from plate to plate; held evenings to confirm half-open points
RPM = 30.0 / math.pi
Row = NDArray[np.float64]


@dataclass(frozen=True)
class Column:
    """One figure at one plate: its key with the unit, the observation, and how it is turned into the shown unit."""

    key: str
    seen: Seen
    scale: float = 1.0
    shift: float = 0.0
    places: int = 3


COLUMNS = (
    Column("speed_rpm", Seen.speed, RPM, 0.0, 1), Column("air_m3_per_h", Seen.air_flow, 3600.0, 0.0, 2),
    Column("breeze_m_per_s", Seen.breeze), Column("electric_W", Seen.electric, 1.0, 0.0, 4),
    Column("hot_face_degC", Seen.hot_face, 1.0, -ZERO, 2), Column("margin_K", Seen.margin, 1.0, 0.0, 2),
    Column("gap_mm", Seen.gap, 1e3), Column("lift_mm", Seen.lift, 1e3), Column("stroke_mm", Seen.stroke, 1e3),
    Column("motor_V", Seen.motor_voltage), Column("current_A", Seen.current), Column("enters_W", Seen.seat_heat, 1.0, 0.0, 2),
    Column("module_W", Seen.module_heat, 1.0, 0.0, 2), Column("sink_W", Seen.sink_loss, 1.0, 0.0, 2),
)  # fmt: skip


class Branch(BaseModel):
    """One branch over plate temperature; every list has one entry for each plate, null where nothing stands."""

    outcome: list[str] = Field(description='"settled", "hunts" or what else the search for rest ended in')
    figures: dict[str, list[float | None]]
    heats_degC: dict[str, list[float | None]] = Field(description="temperature of each part by its name on the drawing")


class MapOut(BaseModel):
    """Both branches: warming up from rest, and running down."""

    plate_degC: list[float]
    from_rest: Branch
    running_down: Branch
    heaviest_W: float


def heats_of(seen: Row) -> dict[str, float]:
    """Temperature of each part, °C; those a build does not have are left out."""
    return {part: heat for part, heat in section_temperatures(seen).items() if math.isfinite(heat) and heat > -ZERO + 1.0}


def flows_of(seen: Row) -> dict[str, float]:
    """Heat bands by name, W."""
    top = seen[Seen.seat_heat] - seen[Seen.riser_loss]
    return {
        "enters_W": float(seen[Seen.seat_heat]), "riser_top_W": float(top), "module_W": float(seen[Seen.module_heat]),
        "sink_W": float(seen[Seen.sink_loss]),
    }  # fmt: skip


def plates_of(build: Build) -> Row:
    """Plates of the slider: every 2 K from the room to a little above the worst plate."""
    low = STEP * math.floor((build.stove.room.value - ZERO) / STEP)
    high = STEP * math.ceil((build.stove.worst_plate.value - ZERO + 10.0) / STEP)
    return np.arange(low, high + 0.5 * STEP, STEP) + ZERO


def slider_map(build: Build, stack: Stack) -> SettledMap:
    """The map under the slider, half-open points confirmed by held evenings."""
    return confirmed(stack, settled_map(stack, plates_of(build)), LOOKS)


def _outcome(rest: Rest) -> str:
    return {Rest.SETTLED: "settled", Rest.HUNTS: "hunts"}.get(rest, rest.value)


def _rounded(value: float, places: int) -> float | None:
    return round(value, places) + 0.0 if math.isfinite(value) else None


def _branch(points: tuple[MapPoint, ...]) -> Branch:
    figures: dict[str, list[float | None]] = {
        c.key: [_rounded(float(p.seen[c.seen]) * c.scale + c.shift, c.places) for p in points] for c in COLUMNS
    }
    figures["riser_top_W"] = [_rounded(flows_of(p.seen)["riser_top_W"], 2) for p in points]
    names = {name for point in points for name in heats_of(point.seen)}
    rows = [section_temperatures(point.seen) for point in points]
    heats = {name: [_rounded(row[name], 1) for row in rows] for name in sorted(names)}
    return Branch(outcome=[_outcome(p.outcome) for p in points], figures=figures, heats_degC=heats)


def map_out(found: SettledMap) -> MapOut:
    """The map as the page gets it.

    Args:
        found: from `slider_map`.

    Returns:
        Columns of numbers.
    """
    up, down = found.from_rest, found.running_down
    heaviest = max(float(point.seen[Seen.seat_heat]) for point in (*up, *down))
    return MapOut(
        plate_degC=[round(point.plate - ZERO, 3) for point in up], from_rest=_branch(up), running_down=_branch(down),
        heaviest_W=round(heaviest, 2),
    )  # fmt: skip


def point_at(found: SettledMap, plate: float, branch: str) -> MapPoint:
    """The point nearest to a plate on one branch.

    Args:
        found: the map.
        plate: [K]
        branch: "from_rest" or "running_down". [-]

    Returns:
        The point.
    """
    points = found.from_rest if branch == BRANCHES[0] else found.running_down
    return min(points, key=lambda point: abs(point.plate - plate))
