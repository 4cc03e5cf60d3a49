"""How fast combinations of a bin are sifted, and how that grows: rows of the table of `make speed`.

Run by itself in a process of its own, so that its memory is its own. The bin is the boat shed's with many more saw lengths,
so that a million different combinations fit.
"""

from __future__ import annotations

import resource
import sys
import time

import numpy as np

from builds import EXAMPLES
from hobwind.build.bin_file import bin_from_text
from hobwind.stack.fields import Seen
from hobwind.stack.prepare import prepare
from hobwind.stack.sifting import Sift, sifted
from hobwind.stack.steady import settled_map
from hobwind.studies.pick.fits import FITS
from hobwind.studies.pick.options import Options
from hobwind.studies.pick.sieve import Sieve

SIZES = (1_000, 10_000, 100_000, 1_000_000)
WANTED = "wanted: 100,000 on two cores within 30 s and 500 MB"
LOOKED_AT = 60  # builds whose figures are held against their settled maps


def large_sieve() -> Sieve:
    """The boat shed's bin with the square and the round bar at every millimetre or two."""
    text = (EXAMPLES / "boat-shed-bin.toml").read_text("utf-8")
    text = text.replace('lengths = ["80 mm", "110 mm"]', 'shortest = "45 mm"\nlongest = "150 mm"\nstep = "2 mm"')
    text = text.replace('lengths = ["60 mm"]', 'shortest = "45 mm"\nlongest = "140 mm"\nstep = "2 mm"')
    return Sieve(Options(bin_from_text(text)))


def fitting(sieve: Sieve, count: int) -> np.ndarray:
    """Options of so many different combinations that fit."""
    space, draw = sieve.options.spaces()[0], np.random.default_rng(1)
    found, size = [], 0
    numbers = draw.permutation(space.size)
    for start in range(0, len(numbers), 200_000):
        rows = space.places(numbers[start : start + 200_000])
        found.append(rows[sieve.fits.reasons(rows) == FITS].astype(np.int32))
        size += len(found[-1])
        if size >= count:
            break
    return np.concatenate(found)[:count]


def error(sieve: Sieve, rows: np.ndarray) -> tuple[float, float]:
    """Largest difference of the start [K] and of the air [share] against settled maps in half kelvins."""
    stove, late, blown = sieve.stove, [], []
    usual, worst = stove.usual_plate.value, stove.worst_plate.value
    outside = [row for row in rows.astype(np.int64) if sieve.options.guards[row[8]][0] == 0][:LOOKED_AT]
    for row in outside:
        stack = prepare(sieve.fits.maker.build(sieve.options.choice(row)))
        found = sifted(stack.p[None], stack.q[None], usual, worst)[0]
        plates = np.unique(np.append(np.arange(stack.p[0] + 0.5, worst, 0.5), usual))
        whole = settled_map(stack, plates)
        start = whole.starts_at()
        if start is not None and np.isfinite(found[Sift.starts]):
            late.append(abs(start - 0.25 - found[Sift.starts]))
        at = next(point for point in whole.from_rest if point.plate == usual)
        if at.seen[Seen.lift] == 0.0 and at.seen[Seen.air_flow] > 0.0:
            blown.append(abs(found[Sift.air] / at.seen[Seen.air_flow] - 1.0))
    return max(late), max(blown)


def main() -> None:
    """Print the rows."""
    most = int(sys.argv[1]) if len(sys.argv) > 1 else SIZES[-1]
    sieve = large_sieve()
    rows = fitting(sieve, most)
    sieve.solve(rows[:16], None, None)
    late, blown = error(sieve, rows)
    print(f"combinations of a bin by steady map; start within {late:.1f} K, air within {blown:.0e} of the whole map; {WANTED}")
    for size in (one for one in SIZES if one <= min(most, len(rows))):
        begun = time.perf_counter()
        figures, done, _ = sieve.solve(rows[:size], None, None)
        seconds = time.perf_counter() - begun
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
        left = int(size - (figures[done, Sift.settled] > 0.5).sum())
        print(
            f"{size:>12,} combinations{seconds:>10.2f} s{size / seconds:>10,.0f} a second{memory:>8.0f} MB   {left} found no rest"
        )


if __name__ == "__main__":
    main()
