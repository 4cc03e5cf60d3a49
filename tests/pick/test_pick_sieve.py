"""The coarse sieve against the settled map and the evening of each build, one by one; executors, stopping, drawing."""

from __future__ import annotations

import signal
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor

import numpy as np
import pytest

from bins import shed, sieve_of, small
from builds import NAMES, example, stack
from hobwind.stack.curves import built_in
from hobwind.stack.evening import evening
from hobwind.stack.fields import Q, Seen
from hobwind.stack.keeping import End
from hobwind.stack.prepare import prepare
from hobwind.stack.sifting import MOST_SOLVES, Sift, evenings, sifted
from hobwind.stack.steady import Rest, settled_map
from hobwind.studies.pick import pick
from hobwind.studies.pick.fits import FITS
from hobwind.studies.pick.sieve import Sieve

STEP = 1.0  # K between the plates of the map


def figures_of(prepared, usual: float, worst: float):
    return sifted(prepared.p[None], prepared.q[None], usual, worst)[0]


def against_the_map(prepared, usual: float, worst: float) -> None:
    """Starts, stops, air, hottest face and lifting plate of one build, against its settled map in steps of a kelvin."""
    found = figures_of(prepared, usual, worst)
    plates = np.append(np.arange(prepared.p[0] + 1.0, worst, STEP), worst)
    plates = np.unique(np.append(plates, usual))
    whole = settled_map(prepared, plates)
    assert found[Sift.settled] == 1.0 and found[Sift.solves] <= MOST_SOLVES
    start, stop = whole.starts_at(), whole.stops_at()
    assert np.isfinite(found[Sift.starts]) is np.bool_(start is not None)
    if start is not None and stop is not None:
        # A step of the map, and a hundredth of the torque, which is a hundredth of the rise.
        assert abs(found[Sift.starts] - start) < STEP + 0.01 * (start - prepared.p[0]) + 0.1
        assert abs(found[Sift.stops] - stop) < STEP + 0.02 * (start - prepared.p[0]) + 0.5
    lifted = [point.plate for point in whole.from_rest if point.seen[Seen.lift] > 0.0]
    assert bool(lifted) is bool(np.isfinite(found[Sift.lifts]))
    if lifted:
        assert (
            abs(found[Sift.lifts] - lifted[0]) < STEP + 1.0
        )  # 0.3 K of the element, which follows the plate by a half or less
    if not lifted or lifted[0] > usual:
        at = next(point for point in whole.from_rest if abs(point.plate - usual) < 1e-9)
        assert found[Sift.air] == pytest.approx(float(at.seen[Seen.air_flow]), rel=1e-6)  # both closed to 1e-9
        settled = [float(p.seen[Seen.hot_face]) for p in whole.from_rest if p.outcome is Rest.SETTLED]
        assert abs(found[Sift.hot] - max(settled)) < 0.6 * (STEP + 1.0)  # the face rises by some 0.6 K for each of the plate


@pytest.mark.parametrize("name", [name for name in NAMES if name != "boat-shed-hunting"])
def test_examples_against_their_maps(name: str) -> None:
    stove = example(name).stove
    against_the_map(stack(name), stove.usual_plate.value, stove.worst_plate.value)


@pytest.mark.parametrize("name", ["small", "shed"])
def test_combinations_against_their_maps(name: str) -> None:
    """Every seventh combination of the small bin, and some of the boat shed's whose guard is no part of a loop."""
    sieve = sieve_of(name)
    stove = sieve.options.bin.base.stove
    space = sieve.options.spaces()[0]
    rows = space.places(np.random.default_rng(2).permutation(space.size)[:4000])
    rows = rows[sieve.fits.reasons(rows) == FITS]
    outside = [row for row in rows if sieve.options.guards[row[8]][0] in (-1, 0)]
    for row in outside[:: 7 if name == "small" else 1][:16]:
        prepared = prepare(sieve.fits.maker.build(sieve.options.choice(row)))
        against_the_map(prepared, stove.usual_plate.value, stove.worst_plate.value)


def test_most_come_to_rest_within_the_solves() -> None:
    """Of a thousand combinations of the boat shed's bin, guards inside a loop among them, each is solved within twelve."""
    sieve = sieve_of("shed")
    space, stove = sieve.options.spaces()[0], sieve.options.bin.base.stove
    rows = space.places(np.random.default_rng(4).permutation(space.size)[:12_000])
    p, q = sieve.rows.make(rows[sieve.fits.reasons(rows) == FITS][:1000])
    found = sifted(p, q, stove.usual_plate.value, stove.worst_plate.value)
    assert found[:, Sift.solves].max() <= MOST_SOLVES
    assert found[:, Sift.settled].mean() > 0.995


def test_many_evenings_are_each_ones_own() -> None:
    """Unlike builds marched in one batch end as each does alone; a step's error of 0.1 K against 0.02 K."""
    names = ("boat-shed", "boat-shed-no-guard", "boat-shed-steel-screws")
    stove = example(names[0]).stove
    fire = built_in("over-fired", stove.room.value, stove.usual_plate.value, stove.worst_plate.value)
    stacks = [stack(name) for name in names]
    ends = evenings(np.stack([s.p for s in stacks]), np.stack([s.q for s in stacks]), fire.time, fire.plate, 0.1)
    for one, end in zip(stacks, ends, strict=True):
        alone = evening(one, fire).end
        for key, near in ((End.peak_hot, 0.2), (End.starts_at, 0.5), (End.lifts, 0.0), (End.peak_motor, 0.2)):
            assert abs(end[key] - alone[key]) <= near


def whole(executor: Executor | None, seed: int = 1):
    sieve = Sieve(sieve_of("small").options, 13)
    found = sieve.run(sieve.options.spaces(), executor, seed, 10**6, None)
    order = np.lexsort(found.rows.T[::-1])
    return found.rows[order], found.figures[order], found


@pytest.fixture(scope="module")
def cluster():
    """A scheduler with two workers on this machine."""
    from distributed import LocalCluster

    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1") as running:
        yield running


@pytest.mark.parametrize("make", [lambda: ThreadPoolExecutor(2), lambda: ProcessPoolExecutor(2)], ids=["threads", "processes"])
def test_any_executor_finds_the_same(make) -> None:
    rows, figures, _ = whole(None)
    with make() as executor:
        others, theirs, _ = whole(executor)
    assert np.array_equal(rows, others) and np.array_equal(figures, theirs, equal_nan=True)


@pytest.mark.filterwarnings("ignore")  # the cluster's own, which come and go with its versions
def test_a_cluster_finds_the_same(cluster, tmp_path) -> None:
    """Two worker processes of Dask, reached by the address that the command line takes."""
    from hobwind.cli.choosing import executor_at

    rows, figures, _ = whole(None)
    with executor_at("dask://" + cluster.scheduler_address.removeprefix("tcp://")) as executor:
        others, theirs, _ = whole(executor)
    assert np.array_equal(rows, others) and np.array_equal(figures, theirs, equal_nan=True)


def test_ctrl_c_keeps_what_was_found() -> None:
    """A real interrupt after the second chunk: what was solved is ranked, and it says how much was not."""
    calls = []

    def stop(done: int, of: int, left: float) -> None:
        calls.append((done, of, left))
        if len(calls) == 2:
            signal.raise_signal(signal.SIGINT)

    found = pick(small(), seed=3, progress=stop, slices=16)
    assert found.sieved.stopped and (found.sieved.solved, found.sieved.fitting) == (32, 64)
    assert found.answers and calls[0][:2] == (16, 64) and all(left >= 0.0 for _, _, left in calls)


def test_smaller_slices_change_nothing_and_every_stage_is_told() -> None:
    told = []
    whole, sliced = pick(small()), pick(small(), slices=7, stage=lambda what, done, of: told.append((what, done, of)))
    assert [(one.choice, one.points) for one in whole.answers] == [(one.choice, one.points) for one in sliced.answers]
    stages = list(dict.fromkeys(what for what, _, _ in told))
    assert stages == ["fans through evenings", "judged in full", "answers thrown within their spreads"]
    assert all(0 <= done < of for _, done, of in told)


def test_what_a_stage_raises_ends_the_pick() -> None:
    def stop(what: str, done: int, of: int) -> None:
        if what == "judged in full" and done == 1:
            raise TimeoutError

    with pytest.raises(TimeoutError):
        pick(small(), stage=stop)


def test_the_seed_repeats_and_does_not_matter_when_all_is_tried() -> None:
    first, again, other = (pick(small(), seed=seed) for seed in (1, 1, 2))
    told = [[(one.choice, one.points) for one in found.answers] for found in (first, again, other)]
    assert told[0] == told[1] == told[2] and first.sieved.tried == 384


def test_too_many_are_drawn_by_the_seed_and_said() -> None:
    sieve = sieve_of("shed")
    spaces = sieve.options.spaces()
    total = sum(space.size for space in spaces)
    draws = [sieve.run(spaces, None, seed, 4000, None) for seed in (1, 1, 2)]
    for found in draws:
        assert found.possible == total and 3900 <= found.tried <= 4000
        assert found.tried == found.fitting + sum(found.fell.values())
    assert np.array_equal(draws[0].rows, draws[1].rows) and not np.array_equal(draws[0].rows, draws[2].rows)
    unique = np.unique(np.column_stack([draws[0].rows, draws[0].space]), axis=0)
    assert len(unique) == len(draws[0].rows)


def test_a_guard_that_cannot_lift_is_none() -> None:
    """A spring stronger than the element: stuck, so the hottest face is that of the worst plate with the seat shut."""
    prepared = stack("boat-shed")
    q = prepared.q.copy()
    q[Q.stuck] = 1
    stove = example("boat-shed").stove
    found = sifted(prepared.p[None], q[None], stove.usual_plate.value, stove.worst_plate.value)[0]
    bare = figures_of(stack("boat-shed-no-guard"), stove.usual_plate.value, stove.worst_plate.value)
    assert np.isnan(found[Sift.lifts]) and abs(found[Sift.hot] - bare[Sift.hot]) < 1.0  # the idle element takes a watt or so


def test_shed_has_no_silent_loss() -> None:
    found = sieve_of("shed").run(sieve_of("shed").options.spaces()[:1], None, 1, 30_000, None)
    assert found.solved == found.fitting and found.unsettled == found.solved - len(found.rows)
    assert shed().wishes.must_guard and "it has no guard, and one is wished" in found.fell


def test_ctrl_c_while_the_best_are_judged_keeps_those_judged(monkeypatch) -> None:
    """A real interrupt while the fifth fan goes through its whole map: the answers come from the four before it."""
    from hobwind.studies.pick import picking

    judged = []

    def judge(*words):
        judged.append(1)
        if len(judged) == 5:
            signal.raise_signal(signal.SIGINT)
        return genuine(*words)

    genuine = picking.judge
    monkeypatch.setattr(picking, "judge", judge)
    found = pick(small())
    assert found.sieved.stopped and found.full == 4 and found.answers
