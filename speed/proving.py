"""Speed of trials: a fit of six unknowns, and the reading of a winter's log; rows for the table of `make speed`."""

from __future__ import annotations

import time

import numpy as np

from builds import example
from hobwind.trial.fit import fit
from hobwind.trial.logs import read_log
from made_trials import fire, made_trial

Row = tuple[str, float, str]
SIX = ("seat flatness", "module conductance", "module seebeck", "sink in stream", "motor friction", "blade power coefficient")
LINES = 10_000_000


def rows() -> list[Row]:
    """What, seconds, and what it came to."""
    build = example()
    trial = made_trial(build, fire(build), np.random.default_rng(3))
    fit(build, trial, SIX)
    done, seconds = min((_timed(lambda: fit(build, trial, SIX)) for _ in range(3)), key=lambda one: one[1])
    told = [("fit, 3 h, 5 channels, 6 unknowns", seconds, f"{done.evenings} evenings, {len(done.told)} told; wanted 2 s")]
    block = "\n".join(f"%07d,{20 + i % 280}.{i % 10},{18 + i % 90}.5,{i % 1500}" for i in range(1000))
    text = "time_s,plate_degC,sink_degC,speed_rpm\n" + "\n".join(
        block % tuple(range(k, k + 1000)) for k in range(0, LINES, 1000)
    )
    log, seconds = _timed(lambda: read_log(text.encode(), "winter.csv"))
    told.append((f"a log of {log.rows:,} lines", seconds, f"{log.rows / seconds:,.0f} lines/s; wanted 200,000"))
    return told


def _timed(act):
    start = time.perf_counter()
    found = act()
    return found, time.perf_counter() - start


if __name__ == "__main__":
    for what, seconds, note in rows():
        print(f"{what:<50}{seconds * 1e3:>11.0f} ms   {note}")
