"""Many thrown fans through a usual and an over-fired evening and to rest on the usual plate: one row of figures each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from ..build import Build
from ..build.standing import tip_margin
from ..stack.batch_settled import STRIDES, settle_many
from ..stack.curves import PlateCurve
from ..stack.evening import HUNTING_LIFTS, run_many
from ..stack.fields import CELLS_AT, MOST_RISERS, Q, Seen
from ..stack.keeping import FINISHED, End
from ..stack.net import Ints
from ..stack.prepare import prepare
from .at_modules import Neighbour, neighbours
from .dice import Floats
from .odds_inputs import fires

# Largest error of a step, K: ten times a single evening's. The bands move by far less than they are unsettled by.
ROUGH = 0.2
ALOFT = 0.0  # m; a lift above it counts as lifted

Figure = IntEnum(
    "Figure",
    "starts_at stops_at air breeze peak_face margin minutes_above lifts_at sits_back_at lifts motor_margin wax_margin "
    "hunts lifted weak finished joint_margin joint air_down tips",
    start=0,
)


@dataclass(frozen=True)
class Told:
    """How one figure is told: its words, its dimension, and whether more of it is better (0: neither)."""

    says: str
    dimension: str
    better: int


TOLD: dict[Figure, Told] = {
    Figure.starts_at: Told("starts at", "temperature", -1),
    Figure.stops_at: Told("stops at", "temperature", -1),
    Figure.air: Told("air, usual plate", "air_flow", 1),
    Figure.air_down: Told("air, fan down", "air_flow", 1),
    Figure.breeze: Told("breeze at 1 m", "speed", 1),
    Figure.peak_face: Told("hottest face", "temperature", -1),
    Figure.margin: Told("face to its limit", "temperature_difference", 1),
    Figure.minutes_above: Told("above the limit", "time", -1),
    Figure.lifts_at: Told("guard lifts at", "temperature", 0),
    Figure.sits_back_at: Told("sits back at", "temperature", 0),
    Figure.lifts: Told("number of lifts", "number", 0),
    Figure.motor_margin: Told("left, motor body", "temperature_difference", 1),
    Figure.wax_margin: Told("left, wax element", "temperature_difference", 1),
    Figure.joint_margin: Told("left, joint, wire", "temperature_difference", 1),
}


@dataclass(frozen=True)
class _Fan:
    """What is kept of a thrown build once the kernel's inputs are made from it."""

    inputs: Floats
    choices: Ints
    usual: PlateCurve
    worst: PlateCurve
    usual_plate: float
    motor_limit: float
    bursts: float
    beside: tuple[Neighbour, ...]
    tips: bool


def _fan(build: Build) -> _Fan:
    stack, (usual, worst), wax = prepare(build), fires(build), build.guard.element
    return _Fan(
        inputs=stack.p,
        choices=stack.q,
        usual=usual,
        worst=worst,
        usual_plate=build.stove.usual_plate.value,
        motor_limit=build.motor.part.limit.value,
        bursts=np.nan if wax is None else wax.bursts.value,
        beside=tuple(neighbours(build)),
        tips=tip_margin(build) < 0.0,
    )


def fans(thrown: Iterable[Build], base: Build | None = None, tolerance: float | None = None) -> Floats:
    """March builds through their evenings; those with the same choices go through the kernel together.

    Args:
        thrown: the builds; taken one at a time and let go, since thousands held at once keep the collector of garbage busy.
        base: what they were thrown from, where they differ from one build in their numbers only; it lends them the cells
            of its riser, so that all are cut alike.
        tolerance: largest error of a step of an evening; None: `ROUGH`. [K]

    Returns:
        (builds, Figure), NaN where a figure never came about. Peak face, margin, minutes and lifts are of the over-fired
        evening, starts and stops of the usual one, air and breeze settled on the usual plate, `air_down` where the guard leaves the fan
        down there; joint is the place among
        `neighbours` of what is nearest its limit at the modules. [SI; minutes in s]
    """
    made = [_fan(one) for one in thrown]
    choices = np.array([one.choices for one in made])
    if base is not None:
        cells = slice(CELLS_AT, CELLS_AT + MOST_RISERS)
        choices[:, cells] = prepare(base).q[cells]
    found = np.full((len(made), len(Figure)), np.nan)
    kinds, which = np.unique(choices, axis=0, return_inverse=True)
    for k, q in enumerate(kinds):
        rows = np.flatnonzero(which.ravel() == k)
        found[rows] = _march(q, [made[int(i)] for i in rows], ROUGH if tolerance is None else tolerance)
    return found


def _march(q: Ints, made: list[_Fan], tolerance: float) -> Floats:
    m, inputs = len(made), np.array([one.inputs for one in made])
    usual, worst = (np.zeros((m, len(End))) for _ in range(2))
    run_many(inputs, q, made[0].usual.time, np.array([one.usual.plate for one in made]), tolerance, usual)
    run_many(inputs, q, made[0].worst.time, np.array([one.worst.plate for one in made]), tolerance, worst)
    seen = np.zeros((m, len(Seen)))
    settle_many(inputs, q, np.array([one.usual_plate for one in made]), STRIDES, seen)
    found = np.full((m, len(Figure)), np.nan)
    found[:, Figure.starts_at], found[:, Figure.stops_at] = usual[:, End.starts_at], usual[:, End.stops_at]
    found[:, Figure.air], found[:, Figure.breeze] = seen[:, Seen.air_flow], seen[:, Seen.breeze]
    found[:, Figure.peak_face], found[:, Figure.margin] = worst[:, End.peak_hot], worst[:, End.worst_margin]
    found[:, Figure.minutes_above], found[:, Figure.lifts] = worst[:, End.above], worst[:, End.lifts]
    found[:, Figure.lifts_at], found[:, Figure.sits_back_at] = worst[:, End.lift_at], worst[:, End.sit_at]
    found[:, Figure.motor_margin] = [one.motor_limit for one in made] - worst[:, End.peak_motor]
    found[:, Figure.wax_margin] = [one.bursts for one in made] - worst[:, End.peak_element]
    for i, one in enumerate(made):
        left = [beside.limit - worst[i, beside.end] for beside in one.beside]
        found[i, Figure.joint], found[i, Figure.joint_margin] = np.argmin(left), np.min(left)
    found[:, Figure.hunts] = np.maximum(usual[:, End.run], worst[:, End.run]) >= HUNTING_LIFTS
    found[:, Figure.weak] = q[Q.stuck]
    found[:, Figure.lifted] = seen[:, Seen.lift] > ALOFT
    found[:, Figure.air_down] = np.where(found[:, Figure.lifted] > 0.0, np.nan, found[:, Figure.air])
    found[:, Figure.tips] = [one.tips for one in made]
    found[:, Figure.finished] = (usual[:, End.outcome] == FINISHED) & (worst[:, End.outcome] == FINISHED)
    return found
