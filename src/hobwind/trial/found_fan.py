"""A found fan and the logs of real fires it stood on: their looks added to what was measured, and what they say of the stove."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ..build.retrofit_build import reduced
from ..build.retrofit_file import Outside, Sighting
from ..errors import InputError
from ..studies.retrofit_tuning import tune
from ..units import QuantityError, read_quantity, show
from .measured import Measured
from .predict import EVERY
from .settled import MOST_LATE, PLACES, WARM, WINDOW, Logged, log_of

LONG = 1800.0  # s at or above which the plate is in all on a usual evening
OVER = 5  # minutes over which a rise is taken, so that noise is none
RUNAWAY = 600.0  # s by which an inlet is closed too late
WORST = 603.15  # K; of a stove of which nobody says how hot it gets (practice, as in a build file)
HOTTEST = 773.15  # K; no stove plate of a build file is hotter
ABOUT = 5.0  # K to which the stove's evenings are rounded


@dataclass(frozen=True)
class FromLogs:
    """A found fan with its logs; `stove` says in sentences what they told of the stove where the file says nothing."""

    outside: Outside
    logs: tuple[Logged, ...]
    stove: tuple[str, ...]


def with_logs(outside: Outside, trials: Sequence[Measured]) -> FromLogs:
    """What was measured from outside, with the looks that logs of real fires tell added to it.

    The lag is worked out twice: with the build by rule, and with the one tuned to what the first look through the logs told.

    Args:
        outside: what was measured from outside.
        trials: logs, each an evening of its own.

    Returns:
        The outside with the looks of every log after those typed and the stove's evenings filled in, and the logs.

    Raises:
        BuildError: what was measured cannot be a fan.
        InputError: a log has no plate, or nothing else that tells of this fan, or never comes near rest.
    """
    for trial in trials:
        if not any(key in trial.series for key in (*PLACES, "speed")):
            raise InputError(
                f"{trial.name}: has none of base, riser, sink, speed beside the plate; a found fan is told from those. "
                'Name a column, such as --column "T2=sink"'
            )
    outside, stove = _stove(outside, trials)
    build = reduced(outside).build
    logs = tuple(log_of(build, trial) for trial in trials)
    _refuse(logs)
    tuned, _ = tune(build, [*outside.seen, *looks(logs)])
    if tuned:
        build = reduced(outside, {one.place: one.text for one in tuned}).build
        logs = tuple(log_of(build, trial) for trial in trials)
        _refuse(logs)
    return FromLogs(replace(outside, seen=(*outside.seen, *looks(logs))), logs, stove)


def _stove(outside: Outside, trials: Sequence[Measured]) -> tuple[Outside, tuple[str, ...]]:
    """The stove's usual and worst plate where the file does not say them, from the logs, and how, in sentences.

    Usual: what the plate held for half an hour in all. Worst: where its fastest rise while hot would have led in ten minutes
    more, or what is taken of an unknown stove, whichever is hotter: no quiet evening shows how hot a stove can get.
    """
    table: dict[str, Any] = dict(outside.kept.get("stove", {}))
    held, hottest, beyond = 0.0, 0.0, 0.0
    for trial in trials:
        if "plate" not in trial.series:
            continue
        grid = np.arange(*trial.span, 60.0)
        plate = np.interp(grid, trial.series["plate"].time, trial.series["plate"].value)
        hottest = max(hottest, float(plate.max(initial=0.0)))
        many = min(int(LONG / 60.0), plate.size)
        held = max(held, float(np.sort(plate)[-many]) if many else 0.0)
        hot = plate > plate.min() + 2.0 / 3.0 * (plate.max() - plate.min())
        rise = (plate[OVER:] - plate[:-OVER])[hot[OVER:]] / (60.0 * OVER)
        beyond = max(beyond, float(plate.max()) + RUNAWAY * float(rise.max(initial=0.0)))
    said = []
    worst_said = _said_worst(table)
    if worst_said is not None and hottest > worst_said:
        said.append(
            f"the plate reached {show(hottest, 'temperature')} in the log and the file's worst is {show(worst_said, 'temperature')}: "
            "put stove.worst_plate right"
        )
    elif held and "usual_plate" not in table:
        usual = min(max(ABOUT * round((held - 273.15) / ABOUT), 65.0), 445.0)
        table["usual_plate"] = f"{usual:.0f} °C"
        said.append(f"usual plate {usual:.0f} °C: it held that for half an hour in all")
    if beyond and "worst_plate" not in table:
        worst = min(max(beyond, WORST), HOTTEST)
        why = f"no fire logged leads beyond it; {show(beyond, 'temperature')} is where its fastest rise would have led"
        if beyond >= WORST:
            why = f"ten minutes more of its fastest rise while hot, {(beyond - 273.15):.0f} °C"
        worst = ABOUT * np.ceil((worst - 273.15) / ABOUT)
        table["worst_plate"] = f"{worst:.0f} °C"
        said.append(f"worst plate {worst:.0f} °C: {why}")
    return replace(outside, kept={**outside.kept, "stove": table}), tuple(said)


def _said_worst(table: dict[str, Any]) -> float | None:
    """The worst plate of the file, where it has one that can be read. [K]"""
    try:
        return read_quantity(str(table["worst_plate"]), "temperature").value
    except (KeyError, QuantityError):
        return None


def looks(logs: Sequence[Logged]) -> list[Sighting]:
    """The looks that logs told, in their order."""
    return [stretch.sighting for log in logs for stretch in log.stretches]


def _refuse(logs: Sequence[Logged]) -> None:
    """Complain of a log of which nothing could be taken.

    Raises:
        InputError: with how near to rest it comes, and what to do.
    """
    for log in logs:
        if log.stretches:
            continue
        wanted = (
            f"{WINDOW / 60:.0f} min within {MOST_LATE:.0f} K are wanted. Keep the stove steady for half an hour, air and door "
            "untouched, and log that; or type one settled look under [[seen]]"
        )
        step = int(WINDOW / EVERY) + 1
        rows = np.lib.stride_tricks.sliding_window_view(log.late, step) if log.late.size >= step else np.full((1, 1), np.nan)
        late = rows.max(axis=1)
        if not np.isfinite(late).any():
            raise InputError(
                f"{log.measured.name}: tells nothing: nowhere do plate and fan stay {WARM:.0f} K above the room for that long, or "
                f"the blade does not turn where the build by rule does (name motor and blade in the file); {wanted}"
            )
        i = int(np.nanargmin(late))
        raise InputError(
            f"{log.measured.name}: never comes near enough to rest: at best, from {log.time[i] / 60:.0f} min on (plate "
            f"{log.plate[i] - 273.15:.0f} °C), the fan lags up to {late[i]:.0f} K behind the stove; {wanted}"
        )
