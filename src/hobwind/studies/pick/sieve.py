"""Combinations through the coarse sieve, chunk by chunk, on this machine's cores or on anybody's executor.

The order is shuffled by the seed, so that what was done when somebody stops it is a fair sample; what is found when it is
all done hangs neither on the order nor on who computed which chunk.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Generator, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...stack.sifting import Sift, sift_shared, sifted
from .fits import FITS, REASONS, Fits
from .options import Options, Space
from .rows import Rows

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Small = NDArray[np.int32]
Progress = Callable[[int, int, float], None]  # done, of how many, seconds left
CHUNK = 2000  # combinations a worker is given at once: about a second's work
BLOCK = 200_000  # combinations looked up at once in the tables of what fits
IN_FLIGHT = 16  # chunks handed out at a time


@dataclass(frozen=True)
class Sieved:
    """What came through: options of each combination (m, axes), its space (m), its figures (m, len(Sift)); and the counts.

    `tried` combinations were looked at out of `possible`; `fell` counts those that do not fit, reason by reason; `solved` of
    the `fitting` ones were solved before somebody stopped it, and `unsettled` of these found no rest.
    """

    rows: Ints
    space: Ints
    figures: Floats
    possible: int
    tried: int
    fell: dict[str, int]
    fitting: int
    solved: int
    unsettled: int
    stopped: bool


class Sieve:
    """The sieve of one bin: its spaces, what fits, and kernel rows; `chunk` combinations are solved at once."""

    def __init__(self, options: Options, chunk: int = CHUNK) -> None:
        self.options, self.chunk = options, chunk
        self.fits = Fits(options)
        self.rows = Rows(options, self.fits)
        self.stove = options.bin.base.stove

    def run(self, spaces: list[Space], executor: Executor | None, seed: int, most: int, progress: Progress | None) -> Sieved:
        """Try every combination of the given spaces.

        Args:
            spaces: products of options.
            executor: where chunks are solved; this machine's cores when None.
            seed: of the shuffle, and of the draw where there are too many.
            most: combinations tried; more are drawn from. [-]
            progress: told after every chunk.

        Returns:
            What came through.
        """
        draw = np.random.default_rng(seed)
        possible = sum(space.size for space in spaces)
        counts = np.zeros(len(REASONS), np.int64)
        kept: list[Small] = []
        of: list[NDArray[np.int16]] = []
        tried = 0
        for k, space in enumerate(spaces):
            for numbers in _numbers(space.size, possible, most, draw):
                places = space.places(numbers)
                reasons = self.fits.reasons(places)
                counts += np.bincount(reasons, minlength=len(REASONS))
                fits = places[reasons == FITS].astype(np.int32)
                kept.append(fits)
                of.append(np.full(len(fits), k, np.int16))
                tried += len(numbers)
        rows: Small = np.concatenate([np.zeros((0, len(self.options.sizes)), np.int32), *kept])
        order = draw.permutation(len(rows))
        of_space = np.concatenate([np.zeros(0, np.int16), *of])[order]
        rows = rows[order]
        figures, done, stopped = self.solve(rows, executor, progress)
        solved = np.flatnonzero(done)
        settled = solved[figures[solved, Sift.settled] > 0.5]
        fell = {REASONS[i]: int(counts[i]) for i in range(1, len(REASONS)) if counts[i]}
        return Sieved(
            rows[settled].astype(np.int64), of_space[settled].astype(np.int64), figures[settled], possible, tried, fell,
            len(rows), len(solved), len(solved) - len(settled), stopped,
        )  # fmt: skip

    def solve(
        self, rows: Small, executor: Executor | None, progress: Progress | None
    ) -> tuple[Floats, NDArray[np.bool_], bool]:
        """Figures of every row, which rows were done, and whether somebody stopped it."""
        figures, done = np.full((len(rows), len(Sift)), np.nan), np.zeros(len(rows), bool)
        starts, begun, stopped = range(0, len(rows), self.chunk), time.perf_counter(), False
        chunks = self._here(rows, starts) if executor is None else self._there(rows, starts, executor)
        count = 0
        try:
            for start, found in chunks:
                figures[start : start + len(found)] = found
                done[start : start + len(found)] = True
                count += len(found)
                if progress is not None:
                    spent = time.perf_counter() - begun
                    progress(count, len(rows), spent / count * (len(rows) - count))
        except KeyboardInterrupt:
            stopped = True
        finally:
            chunks.close()
        return figures, done, stopped

    def _inputs(self, rows: Small, start: int) -> tuple[Floats, Ints]:
        return self.rows.make(rows[start : start + self.chunk].astype(np.int64))

    def _here(self, rows: Small, starts: range) -> Generator[tuple[int, Floats]]:
        usual, worst = self.stove.usual_plate.value, self.stove.worst_plate.value
        for start in starts:
            p, q = self._inputs(rows, start)
            out = np.zeros((len(p), len(Sift)))
            sift_shared(p, q, usual, worst, out)
            yield start, out

    def _there(self, rows: Small, starts: range, executor: Executor) -> Generator[tuple[int, Floats]]:
        usual, worst = self.stove.usual_plate.value, self.stove.worst_plate.value
        waiting: dict[Future[Floats], int] = {}
        left = iter(starts)
        try:
            while True:
                while len(waiting) < IN_FLIGHT and (start := next(left, None)) is not None:
                    p, q = self._inputs(rows, start)
                    waiting[executor.submit(sifted, p, q, usual, worst)] = start
                if not waiting:
                    return
                for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                    yield waiting.pop(future), future.result()
        finally:
            for future in waiting:
                future.cancel()


def _numbers(size: int, possible: int, most: int, draw: np.random.Generator) -> Iterator[Ints]:
    """Numbers of the combinations to try, block by block: all of them, or a fair share drawn without repeats."""
    if possible <= most:
        for start in range(0, size, BLOCK):
            yield np.arange(start, min(start + BLOCK, size), dtype=np.int64)
        return
    share = max(1, int(size * (most / possible)))
    drawn: Ints = np.unique(draw.integers(0, size, int(share * 1.2) + 16))
    if len(drawn) > share:
        drawn = np.sort(draw.choice(drawn, share, replace=False))
    for start in range(0, len(drawn), BLOCK):
        yield drawn[start : start + BLOCK]
