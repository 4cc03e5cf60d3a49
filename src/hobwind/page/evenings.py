"""Evenings for the page: a fire that is built in, drawn by hand or held, run on a build and kept a while."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np
from pydantic import BaseModel, ConfigDict, Field

from ..errors import InputError
from ..stack.curves import SHAPES, PlateCurve, built_in
from ..stack.evening import Evening, evening
from .workshop import Workshop

ZERO, EVERY = 273.15, 30.0  # s between kept states
LONGEST_MIN = 24.0 * 60.0
Minutes = Annotated[float, Field(ge=0.0, le=LONGEST_MIN)]
Degrees = Annotated[float, Field(ge=-30.0, le=600.0)]


class Fire(BaseModel):
    """A fire: one of the built-in shapes, or corners of the plate's curve drawn by hand (minutes and °C)."""

    model_config = ConfigDict(extra="forbid")
    shape: Literal["gentle", "usual", "over-fired", "drawn"] = "over-fired"
    minutes: list[Minutes] = Field(default=[], max_length=200)
    plate_degC: list[Degrees] = Field(default=[], max_length=200)
    guard: Literal["free", "held down", "held up"] = "free"


def curve_of(fire: Fire, room: float, usual: float, worst: float) -> PlateCurve:
    """The plate's curve.

    Args:
        fire: as asked for.
        room: room temperature. [K]
        usual: plate in normal burning. [K]
        worst: plate when over-fired. [K]

    Returns:
        The curve.

    Raises:
        InputError: corners that make no curve.
    """
    if fire.shape in SHAPES:
        return built_in(fire.shape, room, usual, worst)
    if len(fire.minutes) != len(fire.plate_degC) or len(fire.minutes) < 2:
        raise InputError(
            f"fire: got {len(fire.minutes)} times and {len(fire.plate_degC)} temperatures; as many of both, at least two"
        )
    time = np.array(fire.minutes) * 60.0
    if np.any(np.diff(time) < 1.0):
        raise InputError("fire: times must rise by a second and more from corner to corner")
    return PlateCurve("drawn", time - time[0], np.array(fire.plate_degC) + ZERO)


def run_fire(workshop: Workshop, text: str, fire: Fire) -> Evening:
    """Run a fire on a build.

    Args:
        workshop: the run.
        text: of a build file.
        fire: which one.

    Returns:
        The evening.

    Raises:
        BuildError: with every problem of the build.
        InputError: corners that make no curve.
    """
    solved = workshop.solve(text)
    stove = solved.build.stove
    curve = curve_of(fire, stove.room.value, stove.usual_plate.value, stove.worst_plate.value)
    made: Evening = workshop.fires.get((text, fire.model_dump_json()), lambda: evening(solved.stack, curve, EVERY, fire.guard))
    return made
