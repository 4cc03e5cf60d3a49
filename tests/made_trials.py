"""Trials made by computing an evening with known truths and reading it through sensors that lag, are off, hiss and drop out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hobwind.build import Build
from hobwind.stack.curves import PlateCurve, built_in
from hobwind.stack.evening import evening
from hobwind.stack.prepare import prepare
from hobwind.trial.channels import CHANNELS
from hobwind.trial.measured import Measured, Series

HISS = {"temperature": 0.4, "turning": 2.0, "current": 4e-4, "voltage": 4e-3, "length": 3e-5}
KEYS = ("hot_face", "cold_face", "sink", "speed", "element")


@dataclass(frozen=True)
class Sensor:
    """What a sensor really does: off by, late by [s], and, for a slipping one, the share of its rise it loses."""

    level: float = 0.0
    lag: float = 0.0
    loses: float = 0.0


def fire(build: Build, shape: str = "usual", hours: float = 3.0) -> PlateCurve:
    """The first hours of a built-in fire."""
    stove = build.stove
    whole = built_in(shape, stove.room.value, stove.usual_plate.value, stove.worst_plate.value)
    keep = whole.time <= hours * 3600.0
    return PlateCurve(shape, whole.time[keep], whole.plate[keep])


def draw_sensor(key: str, draw: np.random.Generator) -> Sensor:
    """A sensor drawn from how sensors of that kind may be off."""
    one = CHANNELS[key]
    return Sensor(one.level * draw.standard_normal(), max(one.lag + one.lag_spread * draw.standard_normal(), 0.0))


def lagged(time: np.ndarray, value: np.ndarray, lag: float) -> np.ndarray:
    """A first-order sensor by small steps, another way than the package's."""
    if lag <= 0.0:
        return value
    read, at = np.empty_like(value), value[0]
    for i, (t, v) in enumerate(zip(time, value, strict=True)):
        at += 0.0 if i == 0 else (v - at) * (1.0 - np.exp(-(t - time[i - 1]) / lag))
        read[i] = at
    return read


def made_trial(
    build: Build,
    curve: PlateCurve,
    draw: np.random.Generator,
    keys: Sequence[str] = KEYS,
    every: float = 10.0,
    sensors: dict[str, Sensor] | None = None,
    drop: float = 0.02,
    name: str = "made.csv",
    hole: float | None = None,
) -> Measured:
    """Measure a computed evening."""
    fine = evening(prepare(build), curve, 2.0)
    at = np.arange(curve.time[0], curve.time[-1] + 1e-9, every)
    series = {}
    for key in ("plate", *keys):
        one = CHANNELS[key]
        sensor = (sensors or {}).get(key) or draw_sensor(key, draw)
        true = fine.seen[:, one.seen]
        if sensor.loses:
            true = true - sensor.loses * (true - build.stove.room.value)
        read = np.interp(at, fine.time, lagged(fine.time, true, sensor.lag))
        read = read * (1.0 + sensor.level) if one.shares else read + sensor.level
        read = read + HISS[one.dimension] * draw.standard_normal(at.size) * (read != 0.0)
        kept = draw.random(at.size) >= drop
        kept[[0, -1]] = True
        gone = (draw.uniform(0.2, 0.7) if hole is None else hole) * at[-1]
        kept &= ~((at > gone) & (at < gone + 240.0)) | (key == "plate")
        series[key] = Series(at[kept], read[kept])
    return Measured(name, series, (), None, "2026-01-14", "0" * 16)
