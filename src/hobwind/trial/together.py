"""One trial out of its logs: loggers joined, what is off by infrared carried along, everything compared, fitted and judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..build import Build
from ..errors import InputError
from . import infrared
from .causes import ENOUGH, Blame, blames, likely
from .channels import CHANNELS
from .columns import Column
from .compare import Compared, compare
from .fit import Fit, Foretold, fit, foretell
from .guesses import Tell
from .joining import Offset, by_clocks, joined, slide
from .logs import ROOM_MIRRORED, Log
from .measured import Measured, Note, Series
from .predict import nothing_off, rig, seen_evening
from .shown import TrialVerdict, verdict_of_trial


@dataclass(frozen=True)
class Trial:
    """Everything that a trial comes to.

    `offsets` belongs to the logs after the first; `fit`, `fitted` and `foretold` are None unless asked for.
    """

    build: Build
    logs: tuple[Log, ...]
    offsets: tuple[Offset, ...]
    measured: Measured
    verdict: TrialVerdict
    compared: Compared | None
    causes: tuple[Blame, ...]
    every_cause: tuple[Blame, ...]
    fit: Fit | None = None
    fitted: Compared | None = None
    foretold: Foretold | None = None

    @property
    def unexplained(self) -> bool:
        """Whether something is off that no one cause explains by half."""
        return bool(self.causes) and self.causes[0].share < ENOUGH


def gather(build: Build, logs: Sequence[Log], given: Sequence[float | None]) -> tuple[Measured, tuple[Offset, ...]]:
    """Join the logs of one evening.

    Args:
        build: a checked build; it foretells a channel for a log that has none in common with the first.
        logs: the first has the plate.
        given: offset of each log after the first where it was given or kept, else None. [s]

    Returns:
        The trial's readings, and the offsets.

    Raises:
        InputError: a log adds nothing, or no offset can be found.
    """
    first = logs[0]
    series, notes, offsets = dict(first.series), list(first.notes), list[Offset]()
    room, doubt = first.room, _doubt(first)
    for log, wanted in zip(logs[1:], given, strict=True):
        off = Offset(wanted, 1.0, "as given") if wanted is not None else _offset(build, first, series, log)
        offsets.append(off)
        series = joined(series, log, off.seconds)
        doubt = {**_doubt(log), **doubt}
        notes += [Note(note.time + off.seconds, note.text) for note in log.notes]
        room = log.room if room is None else room
    digest = "+".join(log.digest for log in logs)
    name = " + ".join(log.name for log in logs)
    ordered = tuple(sorted(notes, key=lambda note: note.time))
    return Measured(name, series, ordered, room, first.date, digest, doubt), tuple(offsets)


def _doubt(log: Log) -> dict[str, float]:
    """What infrared adds to how far a channel may be off, at its hottest. [K]"""
    room = log.room or ROOM_MIRRORED
    return {
        one.channel: infrared.doubt(float(log.shown[one.channel].value.max()), one.surface, room)
        for one in log.columns
        if one.surface is not None and one.channel in log.shown
    }


def _offset(build: Build, first: Log, series: dict[str, Series], log: Log) -> Offset:
    clocks = by_clocks(first, log)
    common = next((key for key in CHANNELS if key in log.series and key in series), None)
    if common is not None:
        found = slide(series[common], log.series[common])
        if found.agrees > -1.0:
            return replace(found, how=CHANNELS[common].says)
    if clocks is not None:
        return Offset(clocks, 1.0, "their clocks")
    if "plate" in series:
        made = rig(build, Measured(first.name, series), ())
        time, seen = seen_evening(made, nothing_off(made))
        best = Offset(0.0, -1.0, "")
        for key, mine in log.series.items():
            found = slide(Series(time, np.nan_to_num(seen[:, CHANNELS[key].seen])), mine)
            if found.agrees > best.agrees:
                best = replace(found, how=f"{CHANNELS[key].says} as predicted")
        if best.agrees > -1.0:
            return best
    raise InputError(f"{log.name}: by how much its clock is off cannot be found; give it with --offset, in seconds")


def run_trial(
    build: Build, logs: Sequence[Log], given: Sequence[float | None] = (), fitting: bool = False, names: Sequence[str] = (),
    hold_back: float = 0.0, another: Measured | None = None, more: Sequence[Measured] = (), walking: int = 0,
    tell: Tell | None = None,
) -> Trial:  # fmt: skip
    """Judge a trial: join, compare, look for causes, and fit when asked.

    Args:
        build: a checked build.
        logs: of the evening; the first has the plate.
        given: offsets of the others, None where to be found. [s]
        fitting: whether guesses are corrected.
        names: inputs that may be off; empty: every one that matters.
        hold_back: share of the evening's end that the fit does not see and foretells. [-]
        another: another evening that the fit foretells.
        more: other evenings of the same fan, fitted together with this one.
        walking: steps of each walk through everything that fits; 0: none.
        tell: told how far the fit is; may raise to stop.

    Returns:
        The trial.

    Raises:
        InputError: nothing that can be compared or fitted.
    """
    measured, offsets = gather(build, logs, given or [None] * (len(logs) - 1))
    one = rig(build, measured)  # complains where there is no plate
    columns: dict[str, Column] = {c.channel: c for log in reversed(logs) for c in log.columns}
    verdict = verdict_of_trial(one.build, measured, columns)
    if not one.points:
        return Trial(build, tuple(logs), offsets, measured, verdict, None, (), ())
    compared = compare(one)
    every = blames(one, (compared.predicted, compared.slope))
    found = Trial(build, tuple(logs), offsets, measured, verdict, compared, likely(every), tuple(every))
    if not fitting:
        return found
    start, stop = measured.span
    part = stop - hold_back * (stop - start)
    foretold = None
    if hold_back > 0.0:
        foretold = foretell(fit(build, measured, names, part, more, 0, tell), measured, part)
    done = fit(build, measured, names, None, more, walking, tell)
    if another is not None:
        foretold = foretell(done, another)
    return replace(found, fit=done, fitted=compare(done.rig, *done.of_evening(0)), foretold=foretold)
