"""The whole pick: sieve, evenings, full maps, and a few different answers with their reasons and their odds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from ...build.bin_build import Maker
from ...build.bin_sections import Bin
from ..telling import celsius
from . import ranking
from .chances import Chances, chances, is_gamble, steadier_first
from .judging import Judged, Sample, evening_sample, judge, sieved_sample
from .options import Options, Space
from .sieve import CHUNK, Progress, Sieve, Sieved
from .weak import Limit, limiting

Ints = NDArray[np.int64]
Stage = Callable[[str, int, int], None]  # what is done, how many of them are, of how many
MOST = 5_000_000  # combinations tried; out of more, so many are drawn
SURVIVORS, EACH = 240, 3  # fans that go through evenings; at most so many that differ in saw length, wiring or screws only
FULL, FULL_EACH, FULL_SIDE = 30, 1, 4  # fans that get a whole map: the best, and the best in one respect
EXTREMES = 15  # the earliest, the windiest and the coolest of the living ones go along
BOUGHT = 8  # fans in full with each part that may be bought
SHOWN = 3
# What an answer may be better at than the best one, and by how much it must be: margin K, start K, air m3/s.
SIDES: tuple[tuple[Callable[[Judged], float], float], ...] = (
    (lambda one: min(one.margin, ranking.ENOUGH), 3.0),
    (lambda one: -(one.starts or ranking.LATE), 1.0),
    (lambda one: one.air, 1.0 / 3600.0),
)


@dataclass(frozen=True)
class Purchase:
    """One part that may be bought: the best fan with it, and how that stands against the best without.

    `thrown` are the chances of that fan where it ranks before the first answer; one that is more of a gamble is not worth it.
    """

    name: str
    kind: str
    price: float
    fan: Judged
    worth: bool
    thrown: Chances | None = None


@dataclass(frozen=True)
class Picked:
    """What the bin can become: a few different answers, best first; purchases, best first; and all that was tried.

    `thrown` are the answers' chances, None where it was stopped before; `dropped` the answers that fell back by them.
    """

    bin: Bin
    seed: int
    sieved: Sieved
    answers: tuple[Judged, ...]
    thrown: tuple[Chances | None, ...]
    dropped: tuple[bool, ...]
    limits: tuple[Limit | None, ...]
    purchases: tuple[Purchase, ...]
    survivors: Sample
    too_dear: tuple[str, ...]
    sets_left_out: int
    evenings: int
    full: int

    @property
    def listed(self) -> tuple[Judged, ...]:
        """The answers, and after them the fan with the one part worth buying where there is one."""
        worth = [purchase.fan for purchase in self.purchases if purchase.worth]
        return (*self.answers, *worth[:1])


def pick(
    bin: Bin,
    executor: Executor | None = None,
    seed: int = 1,
    most: int = MOST,
    shown: int = SHOWN,
    progress: Progress | None = None,
    stage: Stage | None = None,
    slices: int = CHUNK,
) -> Picked:
    """Try every combination of a bin and judge the best in full.

    Args:
        bin: a checked bin.
        executor: where chunks of combinations are solved; this machine's cores when None.
        seed: of the order, and of the draw where there are more than `most`. [-]
        most: combinations tried. [-]
        shown: different answers wanted. [-]
        progress: told (done, of how many, seconds left) after every chunk.
        stage: told what comes after the sieve, before each step of it; whatever it raises ends the pick.
        slices: combinations solved at once; fewer let others in between more often. [-]

    Returns:
        What was found; when somebody stopped it (Ctrl-C), out of what was done by then.
    """
    options, tell = Options(bin), stage or _nobody
    sieve, spaces = Sieve(options, slices), options.spaces()
    sieved = sieve.run(spaces, executor, seed, most, progress)
    coarse = sieved_sample(options, sieved.rows, sieved.space, sieved.figures)
    keep = np.concatenate(
        [_keep(coarse, coarse.space == k, SURVIVORS if k == 0 else SURVIVORS // 4) for k in range(len(spaces))]
    )
    survivors = _through_evenings(sieve, _of(coarse, keep), sieved.figures[keep], slices, tell)
    judged: list[Judged] = []
    bought: dict[tuple[str, int], list[Judged]] = {}
    whole = _for_the_whole_map(survivors, spaces)
    try:
        for count, i in enumerate(whole):
            tell("judged in full", count, len(whole))
            buys, choice = spaces[survivors.space[i]].buys, options.choice(survivors.rows[i])
            one = judge(options, choice, sieve.fits.maker.build(choice), buys)
            (judged if buys is None else bought.setdefault(buys, [])).append(one)
    except KeyboardInterrupt:  # what was judged by then is kept
        sieved = replace(sieved, stopped=True)
    answers = different(sorted(judged, key=lambda one: one.rank, reverse=True), shown)
    purchases = _purchases(options, answers, bought)
    thrown: tuple[Chances | None, ...] = (None,) * len(answers)
    try:
        found = []
        for count, one in enumerate(answers):
            tell("answers thrown within their spreads", count, len(answers))
            found.append(chances(one.build, seed))
        order = steadier_first(found)
        steady, thrown = tuple(answers[i] for i in order), tuple(found[i] for i in order)
        purchases = _thrown(_purchases(options, steady, bought), thrown, seed)
        answers = steady
    except KeyboardInterrupt:  # the order as written stands
        sieved, thrown = replace(sieved, stopped=True), (None,) * len(answers)
    return Picked(
        bin=bin,
        seed=seed,
        sieved=sieved,
        answers=answers,
        thrown=thrown,
        dropped=tuple(
            is_gamble(thrown[i]) and any(other.rank < one.rank for other in answers[:i]) for i, one in enumerate(answers)
        ),
        limits=tuple(limiting(options, sieve.fits.maker, one) for one in answers),
        purchases=purchases,
        survivors=survivors,
        too_dear=tuple(options.too_dear()),
        sets_left_out=options.sets_left_out,
        evenings=len(keep),
        full=len(judged) + sum(len(fans) for fans in bought.values()),
    )


def _nobody(what: str, done: int, of: int) -> None:
    """Nobody listens."""


def _through_evenings(sieve: Sieve, coarse: Sample, figures: NDArray[np.float64], slices: int, tell: Stage) -> Sample:
    """Both evenings of many fans, some at a time: an evening costs about ten times what the sieve does."""
    step, parts = max(slices // 10, 1), []
    for start in range(0, max(len(coarse.rows), 1), step):
        tell("fans through evenings", start, len(coarse.rows))
        mine = np.arange(start, min(start + step, len(coarse.rows)))
        parts.append(evening_sample(sieve, _of(coarse, mine), figures[mine]))
    return Sample(*(np.concatenate([getattr(part, one.name) for part in parts]) for one in fields(Sample)))


def _for_the_whole_map(survivors: Sample, spaces: Sequence[Space]) -> list[int]:
    """Which fans get a whole map: the best of each space and, of what is on hand, the best in one respect."""
    order, families, found = survivors.order(), _families(survivors.rows), []
    for k, space in enumerate(spaces):
        mine = order[survivors.space[order] == k]
        chosen = ranking.survivors(mine, families, FULL_EACH, FULL if space.buys is None else BOUGHT)
        found += chosen.tolist()
        if space.buys is None and len(mine):
            as_good = mine[survivors.met[mine].sum(axis=1) == survivors.met[mine[0]].sum()]
            sides = np.concatenate(_sides(survivors, as_good, families, FULL_SIDE))
            found += [int(i) for i in np.unique(sides) if i not in chosen]
    return found


def _keep(coarse: Sample, mine: NDArray[np.bool_], most: int) -> Ints:
    """Which fans of one space go through evenings: the best of each family, and the extremes among the living."""
    order = coarse.order()
    order = order[mine[order]]
    found = ranking.survivors(order, _families(coarse.rows), EACH, most)
    living = order[coarse.met[order, 0] & coarse.met[order, 1]]
    sides = _sides(coarse, living, _families(coarse.rows), EXTREMES)
    return np.array(sorted({int(i) for i in np.concatenate([found, *sides])}), np.int64)


def _sides(sample: Sample, among: Ints, families: Ints, most: int) -> list[Ints]:
    """The earliest, the windiest and the coolest of some fans, best first within what is equal."""
    keys = (sample.starts, -sample.air, -np.minimum(sample.margin, ranking.ENOUGH))
    return [ranking.survivors(among[np.argsort(key[among], kind="stable")], families, 1, most) for key in keys]


def _of(sample: Sample, keep: Ints) -> Sample:
    return Sample(
        sample.rows[keep], sample.space[keep], sample.starts[keep], sample.air[keep], sample.margin[keep], sample.met[keep],
        sample.points[keep],
    )  # fmt: skip


def _families(rows: Ints) -> Ints:
    """One number for fans of the same modules, motor, blade, sink and guard."""
    columns = (0, 1, 2, 3, 8)
    found = np.zeros(len(rows), np.int64)
    for column in columns:
        found = found * (int(rows[:, column].max(initial=0)) + 1) + rows[:, column]
    return found


def _parts(one: Judged) -> tuple[object, ...]:
    choice = one.choice
    return frozenset(place for place, _ in choice.mix.uses), choice.motor, choice.blade, choice.sink


def different(ranked: Sequence[Judged], shown: int) -> tuple[Judged, ...]:
    """A few answers, no two with the same parts, that show the trade.

    The best; then those that keep the most margin, start earliest and move the most air without meeting fewer wishes;
    then the best that no other one beats all round; then the best of the rest.

    Args:
        ranked: best first.
        shown: how many. [-]

    Returns:
        Answers, best first.
    """
    turning = [one for one in ranked if one.starts is not None]
    if not turning:
        return tuple(ranked[:1])
    best = turning[0]
    found, seen = [best], {_parts(best)}

    def take(one: Judged) -> None:
        if len(found) < shown and _parts(one) not in seen:
            found.append(one)
            seen.add(_parts(one))

    as_good = [one for one in turning if sum(one.met) >= sum(best.met)]
    for good, enough in SIDES:
        side = max(as_good, key=lambda one: (good(one), one.points))
        if good(side) - good(best) >= enough:
            take(side)
    starts, air, margin = (np.array([getattr(one, name) for one in turning]) for name in ("starts", "air", "margin"))
    on = ranking.front(starts, air, margin)
    for wanted in (True, False):
        for one, fronting in zip(turning, on, strict=True):
            if bool(fronting) is wanted:
                take(one)
    return tuple(sorted(found, key=lambda one: one.rank, reverse=True))


def _purchases(
    options: Options, answers: tuple[Judged, ...], bought: dict[tuple[str, int], list[Judged]]
) -> tuple[Purchase, ...]:
    found = []
    for one, fans in bought.items():
        item, best = options.bin.of(one[0])[one[1]], max(fans, key=lambda fan: fan.rank)
        worth = best.starts is not None and (not answers or best.rank > answers[0].rank)
        found.append(Purchase(item.name, item.kind, options.price(one), best, worth))
    return tuple(sorted(found, key=lambda purchase: purchase.fan.rank, reverse=True))


def _thrown(purchases: tuple[Purchase, ...], answers: Sequence[Chances | None], seed: int) -> tuple[Purchase, ...]:
    """Purchases that seem worth it thrown too: none is worth it that makes a gamble out of what was none."""
    found, settles_for_it = [], not answers or is_gamble(answers[0])
    for one in purchases:
        told = chances(one.fan.build, seed) if one.worth else None
        found.append(replace(one, worth=one.worth and (settles_for_it or not is_gamble(told)), thrown=told))
    return tuple(found)


def build_text(found: Picked, number: int) -> str:
    """One listed answer as a build file.

    Args:
        found: the pick.
        number: of the answer, from 1. [-]

    Returns:
        TOML.
    """
    one = found.listed[number - 1]
    start = "never starts" if one.starts is None else f"starts at {celsius(one.starts)}"
    says = f"{start}, {one.air * 3600.0:.0f} m³/h, least margin {one.margin:.0f} K"
    return Maker(found.bin).text(one.choice, f"answer {number} of seed {found.seed}; {says}")
