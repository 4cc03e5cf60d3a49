"""Speed of guards side by side and of the fault drill: rows for the table of `make speed`."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from builds import example, stack
from hobwind.stack.evening import evening
from hobwind.stack.keeping import End
from hobwind.studies.drill import drill
from hobwind.studies.guards import guards
from hobwind.studies.guards_batch import fire_of, run_stacks

Row = tuple[str, float, str]


def _best(act: Callable[[], object]):
    """What it gives, and the shortest of three runs, s."""
    times = []
    for _ in range(3):
        start = time.perf_counter()
        found = act()
        times.append(time.perf_counter() - start)
    return found, min(times)


def _loose(name: str) -> float:
    """How far the search's coarse steps move an over-fired peak, K."""
    build, prepared = example(name), stack(name)
    fire = fire_of(build, "over-fired")
    rough = float(run_stacks([prepared], [fire])[0, End.peak_hot])
    return float(np.abs(rough - evening(prepared, fire, 20.0, "free", 1e-5).end[End.peak_hot]))


def rows() -> list[Row]:
    """What, seconds, and how exact the answer is."""
    told = []
    for name in ("boat-shed", "boat-shed-hunting"):
        build = example(name)
        guards(build)
        found, seconds = _best(lambda build=build: guards(build))
        note = f"{found.tried} sizes, peaks to {_loose(name):.2f} K; wanted 10 s"
        told.append((f"guards side by side, {name}", seconds, note))
        drilled, seconds = _best(lambda build=build: drill(build))
        count = len(drilled.singles) + len(drilled.pairs)
        told.append((f"fault drill, {name}", seconds, f"{count} faults and pairs, and cures; wanted 2 s"))
    return told


if __name__ == "__main__":
    for what, seconds, note in rows():
        print(f"{what:<50}{seconds * 1e3:>11.0f} ms   {note}")
