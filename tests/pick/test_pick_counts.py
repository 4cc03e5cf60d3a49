"""Every combination is counted, none is lost: against counts made by hand and against the build's own checks."""

from __future__ import annotations

import numpy as np
import pytest

from bins import shed, sieve_of, small
from hobwind.build import build_from_text, digest
from hobwind.build.checks import impossible
from hobwind.stack.fields import P, Q
from hobwind.stack.prepare import prepare
from hobwind.studies.pick.fits import BUSH, FITS, NO_GUARD, REASONS, SHORT, TOOL, TWICE
from hobwind.studies.pick.options import Options, divisions, mixes
from hobwind.studies.pick.sieve import Sieve


@pytest.mark.parametrize(("count", "ways"), list(enumerate((1, 2, 3, 5, 7, 11, 15, 22), start=1)))
def test_like_modules_divide_as_numbers_do(count: int, ways: int) -> None:
    """Divisions of n like things: the partitions of n, 1 2 3 5 7 11 15 22 (Euler; OEIS A000041)."""
    assert len(list(divisions((count,)))) == ways


@pytest.mark.parametrize(("count", "ways"), list(enumerate((1, 2, 5, 15, 52), start=1)))
def test_unlike_modules_divide_as_sets_do(count: int, ways: int) -> None:
    """Divisions of n unlike things: the Bell numbers 1 2 5 15 52 (OEIS A000110)."""
    assert len(list(divisions((1,) * count))) == ways


def test_mixed_modules_divided_by_hand() -> None:
    """Two a and one b by hand: aab, aa|b, ab|a, a|a|b. Each once, and every module used."""
    found = list(divisions((2, 1)))
    assert sorted(found) == sorted([((2, 1),), ((2, 0), (0, 1)), ((1, 1), (1, 0)), ((1, 0), (1, 0), (0, 1))])
    for strings in divisions((2, 2, 1)):
        assert tuple(map(sum, zip(*strings, strict=True))) == (2, 2, 1)


def test_sets_of_modules_by_hand() -> None:
    """Of two a and one b at most two in a fan: a, b, aa, ab, in 1 + 1 + 2 + 2 wirings; aab alone is left out."""
    found, left_out = mixes((2, 1), 2)
    assert len(found) == 6 and left_out == 1 and len(set(found)) == 6


def test_small_bin_by_hand() -> None:
    """384 = 3 mixes x 1 motor x 2 blades x 2 sinks x 2 lengths x 2 hot plates x 2 spreaders x 2 screws x 2 guards.

    Half has no guard (192). Of the rest, a quarter would use the one plate twice (48). Of the 144 left, two modules do not
    go on the bare 60 mm bar (2/3 of 96: 64), and on the plate two modules are wider than the 75 mm sink (2/3 of half of 48:
    16). What is left is 64.
    """
    sieve = sieve_of("small")
    (space,) = sieve.options.spaces()
    assert space.size == 384
    counts = np.bincount(sieve.fits.reasons(space.places(np.arange(384))), minlength=len(REASONS))
    told = {REASONS[i]: int(n) for i, n in enumerate(counts) if n}
    assert told == {
        "fits": 64,
        "it has no guard, and one is wished": 192,
        "one plate cannot be hot plate and spreader at once": 48,
        "the modules are wider than the plate below them": 64,
        "the modules are wider than the plate above them": 16,
    }


@pytest.mark.parametrize(
    ("change", "reason", "falls"),
    [
        # No saw: both lengths are shorter than the bar, so all 192 guarded ones fall.
        (("money = 20", 'money = 20\ntools = ["drill press", "taps"]'), "a tool is wanted that is not there", 192),
        # Screws of 12 mm: 3.9 mm module, 4 mm base at the least, 2 mm washers and 6 mm of thread are 15.9 mm: all that is left falls.
        (('length = "40 mm"', 'length = "12 mm"'), "the clamp screws are too short", 64),
        # Two plates: none is used twice. 48 come back; both plates below and above: two modules fit the plates (100 x 60).
        (('name = "jig plate"', 'name = "jig plate"\ncount = 2'), "one plate cannot be hot plate and spreader at once", 0),
        # Two bushes for four screws: the bushed half of the 64 falls.
        (('part = "PEEK bush M4"', 'part = "PEEK bush M4"\ncount = 2'), "the bush does not go with the screws, or there are too few", 32),
    ],
)  # fmt: skip
def test_reasons_by_hand(change: tuple[str, str], reason: str, falls: int) -> None:
    sieve = Sieve(Options(small(change)))
    (space,) = sieve.options.spaces()
    counts = np.bincount(sieve.fits.reasons(space.places(np.arange(space.size))), minlength=len(REASONS))
    assert int(counts[REASONS.index(reason)]) == falls


@pytest.mark.parametrize("name", ["small", "shed"])
def test_what_fits_can_be_made_and_what_falls_cannot(name: str) -> None:
    """The tables say of each combination what the build's own checks say of the whole build."""
    sieve, draw = sieve_of(name), np.random.default_rng(5)
    own = {NO_GUARD, TOOL, TWICE, BUSH, SHORT}  # what a build file does not know of: wishes, tools, counts, screw lengths
    for space in sieve.options.spaces():
        rows = space.places(draw.choice(space.size, min(space.size, 150), replace=False))
        for row, reason in zip(rows, sieve.fits.reasons(rows), strict=True):
            if reason in own:
                continue
            made = sieve.fits.maker.build(sieve.options.choice(row))
            assert bool(impossible(made, [])) is bool(reason != FITS), (REASONS[reason], impossible(made, []))


@pytest.mark.parametrize("name", ["small", "shed"])
def test_rows_are_those_of_the_whole_build(name: str) -> None:
    """Rows put together from blocks equal `prepare` of the whole build; only sums are rounded otherwise (1e-12)."""
    sieve, draw = sieve_of(name), np.random.default_rng(7)
    for space in sieve.options.spaces():
        rows = space.places(np.sort(draw.choice(space.size, min(space.size, 30_000), replace=False)))
        rows = rows[sieve.fits.reasons(rows) == FITS]
        rows = rows[draw.permutation(len(rows))[:60]]
        p, q = sieve.rows.make(rows)
        for i, row in enumerate(rows):
            stack = prepare(sieve.fits.maker.build(sieve.options.choice(row)))
            off = [P(j).name if j < len(P) else j for j in np.flatnonzero(~np.isclose(p[i], stack.p, rtol=1e-12, atol=0.0))]
            assert not off and np.array_equal(q[i], stack.q), (space.buys, off)


def test_weight_foot_and_force_of_tilting_guards() -> None:
    """Tilts, and a lifted fan on a foot or three pins, hang on the whole stack: their rows too are those of the whole build."""
    ways = """
[[guard]]
kind = "edge tilt"
held_in = "riser"
heights = [0.3, 0.7]
pivot_distance = "45 mm"
[[guard]]
kind = "central lift"
held_in = "sink"
stands = "foot"
foot_radius = "9 mm"
[[guard]]
kind = "central lift"
held_in = "sink"
stands = "three pins"
foot_radius = "16 mm"
pin_offset = "1 mm"
[[guard]]
kind = "lever tilt"
held_in = "hot plate"
lever_ratio = "3"
spring_force = "400 N"
"""
    sieve = Sieve(Options(small(('[[guard]]\nkind = "central lift"', ways + '[[guard]]\nkind = "central lift"'))))
    (space,) = sieve.options.spaces()
    rows = space.places(np.arange(space.size))
    rows = rows[sieve.fits.reasons(rows) == FITS]
    stuck, tips = set(), dict[str, set[float]]()
    p, q = sieve.rows.make(rows)
    for i in range(0, len(rows), 3):
        made = sieve.fits.maker.build(sieve.options.choice(rows[i]))
        stack = prepare(made)
        assert np.allclose(p[i], stack.p, rtol=1e-12, atol=0.0) and np.array_equal(q[i], stack.q)
        stuck.add(int(q[i, Q.stuck]))
        if made.guard.kind == "central lift":
            tips.setdefault(made.guard.stands, set()).add(float(p[i, P.gap_high]))
    assert stuck == {0, 1} and tips["foot"] == tips["three pins"] == {1.0, 2.0}  # both kinds of each were among them


def test_the_file_of_a_choice_is_the_choice() -> None:
    """Twenty fans out of the boat shed's bin, each written as a build file and read back: the same build."""
    sieve, draw = sieve_of("shed"), np.random.default_rng(11)
    for space in sieve.options.spaces()[:3]:
        rows = space.places(draw.choice(space.size, 40_000 if space.size > 40_000 else space.size, replace=False))
        rows = rows[sieve.fits.reasons(rows) == FITS][:7]
        for row in rows:
            choice = sieve.options.choice(row)
            text = sieve.fits.maker.text(choice, "a test")
            assert digest(build_from_text(text)) == digest(sieve.fits.maker.build(choice))


def test_boat_shed_bin_holds_what_it_promises() -> None:
    bin = shed()
    on_hand = {
        kind: [i for i in bin.of(kind) if i.price is None] for kind in ("module", "motor", "blade", "sink", "bar", "element")
    }
    assert sum(item.count for item in on_hand["module"]) >= 4 and len(on_hand["module"]) == 3
    assert [len(on_hand[kind]) for kind in ("motor", "blade", "sink", "bar", "element")] == [5, 4, 4, 3, 2]
    assert "nvented" in bin.says
