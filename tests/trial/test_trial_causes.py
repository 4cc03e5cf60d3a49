"""Two hundred computed trials with one known cause each: how often the right one comes first. docs/model.md has the table."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from builds import example
from hobwind.studies.odds_inputs import inputs_that_matter, thrower
from hobwind.trial.causes import _OF_BUILD, blames, likely
from hobwind.trial.channels import CHANNELS
from hobwind.trial.predict import nothing_off, predict, rig, slopes
from made_trials import Sensor, draw_sensor, fire, made_trial

KEYS = ("hot_face", "cold_face", "sink", "speed", "element")
HOURS = 2.5
# How strong each cause is drawn: what a maker would notice, up to gross.
STRENGTH = {
    "weak-cooling": (0.4, 0.7), "strong-cooling": (1.2, 1.4), "poor-seat": (2.5, 6.0), "poor-joint": (0.12, 0.4),
    "worn-module": (1.5, 3.0), "heat-slips-past": (1.3, 1.8), "stiff-motor": (1.8, 4.0), "guard-late": (1.012, 1.025),
    "guard-early": (0.975, 0.988),
}  # fmt: skip
METERS = [f"{key}-{what}" for key in KEYS if key != "speed" for what in ("loose", "in-plume")]
CODES = [*STRENGTH, "plate-reads-low", "plate-reads-high", *METERS, "speed-miscounted"]


def tried(count: int) -> tuple[Counter, Counter, Counter]:
    """Trials, right ones and untold ones by cause. All other guesses are off by a quarter of their spreads."""
    build = example()
    inputs = inputs_that_matter(build)
    make, room, curve = thrower(build, inputs), build.stove.room.value, fire(build, "over-fired", HOURS)
    every, right, untold = Counter(), Counter(), Counter()
    alike = None
    for seed in range(count):
        draw, code = np.random.default_rng(1000 + seed), CODES[seed % len(CODES)]
        row = [
            float(np.clip(one.die.spread.value + 0.25 * one.die.spread.sd * draw.standard_normal(), one.die.low, one.die.high))
            for one in inputs
        ]
        sensors = {key: draw_sensor(key, draw) for key in ("plate", *KEYS)}
        if code in STRENGTH:
            factor = draw.uniform(*STRENGTH[code])
            pattern = next(one[2] for one in _OF_BUILD if one[0] == code)
            for k, one in enumerate(inputs):
                joint = any(place.startswith("joint") and place.endswith("fill.conductivity") for place in one.places)
                if joint if pattern == "joint" else re.search(pattern, one.die.name):
                    row[k] = float(np.clip(row[k] * factor, one.die.low, one.die.high))
        trial = made_trial(make(row), curve, draw, KEYS, sensors=sensors, hole=0.45)
        share = draw.uniform(0.08, 0.25)

        def alter(key, change, trial=trial):
            series = trial.series[key]
            trial.series[key] = replace(series, value=change(series.value, series.time))

        key = code.split("-")[0]
        if code == "plate-reads-low":
            alter("plate", lambda v, t, s=share: v - s / (1.0 + s) * (v - room))
        elif code == "plate-reads-high":
            alter("plate", lambda v, t, s=share: v + 0.7 * s / (1.0 - 0.7 * s) * (v - room))
        elif code.endswith("-loose"):
            alter(key, lambda v, t, s=share: v - s * (v - room))
        elif code.endswith("-in-plume"):
            alter(key, lambda v, t, s=share, c=curve: v + s * (np.interp(t, c.time, c.plate) - v))
        elif code == "speed-miscounted":
            factor = draw.choice([0.5, 2.0])
            alter("speed", lambda v, t, f=factor: v * f)
        one = rig(build, trial, inputs)
        # What is predicted follows this trial's own plate; how it answers to each guess is the same along all unaltered plates.
        base = predict(one, nothing_off(one))
        if code.startswith("plate"):
            slope = slopes(one, nothing_off(one))[1]
        else:
            if alike is None or alike.shape[0] != base.size:
                alike = slopes(one, nothing_off(one))[1]
            slope = alike
        found = blames(one, (base, slope))
        every[code] += 1
        right[code] += found[0].code == code
        untold[code] += not likely(found) or len(likely(found)) > 1
    return every, right, untold


def test_the_right_cause_comes_first() -> None:
    every, right, _ = tried(200)
    assert sum(every.values()) == 200
    assert sum(right.values()) >= 160  # wanted: 80 in 100
    assert right["plate-reads-low"] + right["plate-reads-high"] >= 16  # of 20: the plate is told like any other


def test_a_lift_between_two_strengths_is_no_mixture() -> None:
    """A guard early by 1.2 %, exact sensors and guesses: 0.992 and 0.984 were tried, and 0.988 is what it is."""
    build = example()
    inputs = inputs_that_matter(build)
    row = [one.die.spread.value * (0.988 if re.search(r"^wax element (opens|full)$", one.die.name) else 1.0) for one in inputs]
    sensors = {key: Sensor(0.0, CHANNELS[key].lag) for key in ("plate", *KEYS)}
    curve = fire(build, "over-fired", HOURS)
    trial = made_trial(thrower(build, inputs)(row), curve, np.random.default_rng(5), KEYS, sensors=sensors)
    best = blames(rig(build, trial, inputs))[0]
    assert best.code == "guard-early"
    assert best.strength == pytest.approx(0.988, abs=0.0005)  # 0.004 from both that were tried
    assert best.share > 0.97  # nothing else is off


def test_nothing_wrong_needs_no_cause() -> None:
    """Sensors and guesses off as granted: no cause is named in most of ten trials."""
    build = example()
    inputs = inputs_that_matter(build)
    make, named = thrower(build, inputs), 0
    for seed in range(10):
        draw = np.random.default_rng(77 + seed)
        row = [
            float(np.clip(one.die.spread.value + 0.25 * one.die.spread.sd * draw.standard_normal(), one.die.low, one.die.high))
            for one in inputs
        ]
        one = rig(build, made_trial(make(row), fire(build, "usual", HOURS), draw, KEYS), inputs)
        named += bool(likely(blames(one)))
    assert named <= 3


if __name__ == "__main__":
    every, right, untold = tried(200)
    for code in CODES:
        print(f"| {code} | {every[code]} | {right[code]} | {untold[code]} |")  # noqa: T201
    print(f"| all | {sum(every.values())} | {sum(right.values())} | {sum(untold.values())} |")  # noqa: T201
