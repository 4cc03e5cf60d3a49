"""The verdict of a trial: what the fire showed, with how well it is known; what it did not show; and the next fire to light."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..build import Build
from .channels import CHANNELS
from .columns import Column
from .infrared import LEAST, SPOT
from .measured import Measured, Series, noise_of

TURNING = 5.0  # rad/s, about 50 rpm
OPEN_GAP = 2e-4  # m
WELL_BELOW = 10.0  # K under the worst plate that do not count as over-fired
_LIFTED = r"lift|rais|gehoben|hebt|lev[eé]|soulev|levant|alz|getild|løft|lyft"
_SAT = r"\bsat\b|sits|sit back|back down|dropped|gesetzt|setzt|repos|posad|zakt|satt"
_STOPPED = r"stop|stand|steht|stehen|arr[eê]t|par[oó]|ferm"
_STARTED = r"start|turning|turns|l[aä]uft|dreht|tourne|d[eé]marr|gira|arranc|draait"


@dataclass(frozen=True)
class Shown:
    """One thing a trial showed: code, words, figure and its 19-in-20 half [SI], the dimension; None where words alone tell it."""

    code: str
    says: str
    value: float | None
    half: float | None
    dimension: str


@dataclass(frozen=True)
class TrialVerdict:
    """What was shown, what was not, the next fire, and what to mind at it."""

    shown: tuple[Shown, ...]
    missing: tuple[str, ...]
    next_fire: str
    cautions: tuple[str, ...]


CAUTIONS = (
    "Stay with it: gloves or tongs and a stone to set the fan on; alarm on, air inlet open, children and animals away.",
    "If the face comes within 10 K of its limit, or the plate runs away: slow the fire the stove maker's way, fan off; never water.",
)


def _half(trial: Measured, key: str) -> float:
    """What a single reading may be off, 19 in 20. [SI]"""
    channel, series = CHANNELS[key], trial.series[key]
    level = channel.level if not channel.shares else 0.0
    return 2.0 * float(np.sqrt(level**2 + trial.doubt.get(key, 0.0) ** 2 + min(noise_of(series, key), channel.typed) ** 2))


def _plate_at(trial: Measured, time: float, before: float) -> tuple[float, float]:
    """The plate at an instant, and what it may be off: the meter's share and how far it moved between two readings. [K]"""
    plate = trial.series["plate"]
    value = float(np.interp(time, plate.time, plate.value))
    moved = abs(value - float(np.interp(before, plate.time, plate.value)))
    return value, float(np.hypot(_half(trial, "plate"), moved))


def _crossings(series: Series, least: float) -> tuple[tuple[float, float] | None, tuple[float, float] | None]:
    """When a channel first rises above, and last falls below a figure: that time and the reading before it. [s]"""
    above = series.value > least
    up = np.flatnonzero(above[1:] & ~above[:-1]) + 1
    down = np.flatnonzero(~above[1:] & above[:-1]) + 1
    return (
        (float(series.time[up[0]]), float(series.time[up[0] - 1])) if up.size else None,
        (float(series.time[down[-1]]), float(series.time[down[-1] - 1])) if down.size else None,
    )


def noted_turning(trial: Measured) -> tuple[float, float] | None:
    """Between which times the blade turned as the notes say, s; to the end where none says that it stopped; None without a note."""
    began = _noted(trial, _STARTED)
    if began is None:
        return None
    ended = [note.time for note in trial.notes if note.time > began[0] and re.search(_STOPPED, note.text, re.I)]
    return began[0], min(ended, default=trial.span[1])


def _noted(trial: Measured, pattern: str) -> tuple[float, float] | None:
    found = next((note for note in trial.notes if re.search(pattern, note.text, re.I)), None)
    return None if found is None else (found.time, found.time - 60.0)


def verdict_of_trial(build: Build, trial: Measured, columns: Mapping[str, Column]) -> TrialVerdict:
    """Say what a trial showed.

    Args:
        build: a checked build.
        trial: what was measured.
        columns: what each channel was read from.

    Returns:
        The verdict of the trial.
    """
    shown: list[Shown] = []
    missing: list[str] = []
    turned = next((key for key in ("speed", "current") if key in trial.series), None)
    rise = None if turned is None else _crossings(trial.series[turned], TURNING if turned == "speed" else 0.01)[0]
    started = rise if turned == "speed" else _noted(trial, _STARTED) or rise
    if started is not None:
        value, half = _plate_at(trial, *started)
        shown.append(Shown("started", "started at a plate of", value, half, "temperature"))
    else:
        always = turned is not None and bool((trial.series[turned].value > TURNING).all()) and turned == "speed"
        missing.append(
            "when it starts: "
            + ("it turned before the log began" if always else "no speed and no note of it, or it never turned")
        )
    _guard(build, trial, shown, missing)
    face = trial.series.get("hot_face")
    limit = build.face_limit
    column = columns.get("hot_face")
    if face is None:
        missing.append("how hot the module's face gets: it was not measured")
    elif column is not None and column.surface is not None and not column.surface.may_judge:
        missing.append(
            f"how hot the face gets: read by infrared on a surface that radiates less than {LEAST:g} of black, which no figure "
            f"for a limit can rest on; {SPOT}"
        )
    else:
        peak, half = (
            float(np.percentile(face.value, 99.5)) if face.value.size > 400 else float(face.value.max()),
            _half(trial, "hot_face"),
        )
        shown.append(Shown("peak-face", "hottest face", peak, half, "temperature"))
        shown.append(Shown("margin", "left to its limit", limit - peak, half, "temperature_difference"))
    hottest, half = float(trial.series["plate"].value.max()), _half(trial, "plate")
    shown.append(Shown("peak-plate", "hottest plate", hottest, half, "temperature"))
    worst = build.stove.worst_plate.value
    if hottest < worst - WELL_BELOW:
        missing.append(
            f"an over-fired stove: the plate never passed {hottest - 273.15:.0f} °C, and this build is to bear {worst - 273.15:.0f} °C"
        )
    return TrialVerdict(tuple(shown), tuple(missing), _next_fire(build, shown, missing, hottest, limit), CAUTIONS)


def _guard(build: Build, trial: Measured, shown: list[Shown], missing: list[str]) -> None:
    if build.guard.kind == "none":
        return
    gap = trial.series.get("gap")
    up, down = (None, None) if gap is None else _crossings(gap, OPEN_GAP)
    up, down = up or _noted(trial, _LIFTED), down or _noted(trial, _SAT)
    for code, says, when in (("lifted", "guard lifted at a plate of", up), ("sat-back", "sat back at a plate of", down)):
        if when is not None:
            value, half = _plate_at(trial, *when)
            shown.append(Shown(code, says, value, half, "temperature"))
    if up is None:
        missing.append("whether the guard lifts: it did not, or nobody wrote it down")
    elif down is None:
        missing.append("whether the guard sits back")


def _next_fire(build: Build, shown: list[Shown], missing: list[str], hottest: float, limit: float) -> str:
    """The next fire that would show most of what is missing, without asking for a danger."""
    codes = {one.code: one for one in shown}
    margin = codes.get("margin")
    if "peak-face" not in codes:
        return f"The same fire again, with a thermocouple at the hot face, the plate no hotter than {hottest - 273.15:.0f} °C."
    if margin is not None and margin.value is not None and margin.value - (margin.half or 0.0) < 15.0:
        return "No hotter fire: the face is too near its limit. Mend that first, then this fire again."
    worst = build.stove.worst_plate.value
    guarded = build.guard.kind != "none"
    if (guarded and "lifted" not in codes) or hottest < worst - WELL_BELOW:
        # The face rises with the plate: as far as half of what is left allows.
        left = 25.0 if margin is None or margin.value is None else 0.5 * margin.value
        step = min(hottest + min(40.0, max(left, 10.0)), worst)
        wanted = "until the guard lifts" if guarded and "lifted" not in codes else "briefly"
        return f"A hotter fire in one small step: the plate to {step - 273.15:.0f} °C, {wanted}, watching the face, then let it die down."
    if guarded and "sat-back" not in codes:
        return "The same fire, logged until the plate is cold, to see the guard sit back."
    return (
        "The same fire again on another evening: two that agree are worth more than one."
        if not missing
        else (f"The same fire again with what was missing written down, the face below {limit - 283.15:.0f} °C.")
    )
