"""Speed of odds and of the worth list: rows for the table of `make speed`."""

from __future__ import annotations

import time

from builds import example
from hobwind.studies.dice import Progress
from hobwind.studies.odds import FEW, MANY, SHARED_OUT, odds
from hobwind.studies.odds_fans import Figure
from hobwind.studies.worth import worth

Row = tuple[str, float, str]


def rows() -> list[Row]:
    """What, seconds, and how settled the answer is."""
    build, hunting = example(), example("boat-shed-hunting")
    odds(build, FEW)
    told, few = [], None
    for count, says in ((MANY, "by default; wanted 5 s"), (FEW, "for a ranking")):
        few, seconds = min((_timed_odds(build, count) for _ in range(3)), key=lambda one: one[1])
        peak = few.bands[Figure.peak_face]
        note = f"hottest face: ends to {max(peak.low_loose, peak.high_loose):.1f} K; {says}"
        told.append((f"odds, boat-shed, {few.count:,} fans, {2 * few.count:,} evenings", seconds, note))
    assert few is not None
    began: list[float] = []

    def first_part(done: int, _: int) -> None:
        if done == few.count:
            began.append(time.perf_counter())

    seconds, shared = _timed_shares(build, first_part, began)
    told.append((f"shares on top, {2 * shared:,} evenings", seconds, ""))
    for name, one in (("boat-shed", build), ("boat-shed-hunting", hunting)):
        worth(one)
        best, times = None, []
        for _ in range(3):
            start = time.perf_counter()
            best = worth(one)
            times.append(time.perf_counter() - start)
        assert best is not None
        count = len(best.gains) + len(best.idle)
        told.append((f"worth list, {name}", min(times), f"{count} changes, {best.count} fans before and after; wanted 2 s"))
    return told


def _timed_odds(build, count):
    start = time.perf_counter()
    found = odds(build, count)
    return found, time.perf_counter() - start


def _timed_shares(build, progress: Progress, began: list[float]) -> tuple[float, int]:
    found = odds(build, FEW, 1, progress, SHARED_OUT)
    assert found.shares is not None
    return time.perf_counter() - began[0], found.shares.count


if __name__ == "__main__":
    for what, seconds, note in rows():
        print(f"{what:<50}{seconds * 1e3:>11.0f} ms   {note}")
