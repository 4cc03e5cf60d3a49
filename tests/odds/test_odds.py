"""Odds of whole builds, held against hand calculation, the GUM's law of propagation and finely solved evenings."""

from __future__ import annotations

import math

import numpy as np
import pytest

from builds import NAMES, build_with, changed, example, greased, text_of
from hobwind.build import Build, build_from_text, geometry
from hobwind.odds_screen import odds_text
from hobwind.stack.batch_settled import STRIDES, settle_many
from hobwind.stack.evening import TOLERANCE, evening, run_many
from hobwind.stack.fields import Seen
from hobwind.stack.keeping import End
from hobwind.stack.prepare import prepare
from hobwind.stack.steady import settled_map
from hobwind.studies import odds_fans
from hobwind.studies.at_modules import neighbours
from hobwind.studies.dice import throw, values
from hobwind.studies.headline import headline
from hobwind.studies.odds import FEW, Odds, odds
from hobwind.studies.odds_fans import Figure, fans
from hobwind.studies.odds_inputs import fires, inputs_that_matter, thrower
from hobwind.studies.odds_report import odds_report


@pytest.fixture(scope="module")
def few() -> Odds:
    return odds(example(), FEW, 1)


@pytest.fixture(scope="module")
def bare() -> Odds:
    return odds(example("boat-shed-no-guard"), 512, 1)


def some_fans(build: Build, count: int) -> list[Build]:
    inputs = inputs_that_matter(build)
    rows = values([one.die for one in inputs], throw(count, len(inputs), 3, 1)[0])
    make = thrower(build, inputs)
    return [make(row) for row in rows.tolist()]


@pytest.mark.parametrize("name", [*NAMES])
def test_many_at_once_settle_where_one_does(name: str) -> None:
    """The settled map walks up in many small strides, one build at a time."""
    build = example(name)
    thrown = some_fans(build, 4)
    stacks = [prepare(one) for one in thrown]
    q = prepare(build).q
    plates = np.array([one.stove.usual_plate.value for one in thrown])
    seen = np.zeros((len(thrown), len(Seen)))
    settle_many(np.array([stack.p for stack in stacks]), q, plates, STRIDES, seen)
    for stack, plate, row in zip(stacks, plates, seen, strict=True):
        if not np.array_equal(stack.q, q):
            continue
        point = settled_map(stack, np.linspace(build.stove.room.value, plate, 25)).from_rest[-1]
        assert row[Seen.hot_face] == pytest.approx(point.seen[Seen.hot_face], abs=0.01)
        assert row[Seen.air_flow] == pytest.approx(point.seen[Seen.air_flow], rel=1e-3, abs=1e-7)


def test_thrown_fans_against_finely_solved_evenings() -> None:
    build = example()
    thrown = some_fans(build, 4)
    found = fans(thrown, build)
    for one, row in zip(thrown, found, strict=True):
        usual, worst = (evening(prepare(one), fire, 60.0, tolerance=0.002) for fire in fires(one))
        assert row[Figure.peak_face] == pytest.approx(worst.end[End.peak_hot], abs=0.2)  # the tolerance of a rough step
        assert row[Figure.starts_at] == pytest.approx(usual.end[End.starts_at], abs=0.5)  # the plate climbs 0.1 K a second
        assert row[Figure.lifts] == worst.lifts


@pytest.mark.parametrize("name", ["boat-shed", "boat-shed-no-guard"])
def test_as_written_is_what_the_verdict_says(name: str) -> None:
    """The same evenings, as finely marched: the boat shed's blade stops in the last minute, which rough steps miss."""
    build = example(name)
    written, solved = odds(build, 8, 1).written, headline(build)
    assert written[Figure.starts_at] == pytest.approx(solved.starts_at, abs=TOLERANCE)
    assert written[Figure.stops_at] == pytest.approx(solved.stops_at, abs=TOLERANCE)
    assert written[Figure.peak_face] == pytest.approx(solved.worst.end[End.peak_hot], abs=TOLERANCE)
    assert written[Figure.lifts_at] == pytest.approx(solved.worst.end[End.lift_at], abs=TOLERANCE, nan_ok=True)


def test_rough_steps_move_bands_by_less_than_they_are_unsettled(monkeypatch: pytest.MonkeyPatch, few: Odds) -> None:
    monkeypatch.setattr(odds_fans, "ROUGH", 0.01)
    fine = odds(example(), FEW, 1)
    for figure in (Figure.starts_at, Figure.peak_face, Figure.margin, Figure.lifts_at, Figure.sits_back_at):
        rough, exact = few.bands[figure], fine.bands[figure]
        assert abs(rough.low - exact.low) < 0.25 * exact.low_loose + 1e-9
        assert abs(rough.high - exact.high) < 0.25 * exact.high_loose + 1e-9


def test_the_law_of_propagation_where_all_is_smooth(bare: Odds) -> None:
    """JCGM 100, 5.1.2: without a guard the hottest face answers nearly in straight lines, so the root of the summed squares
    of slope times spread is the spread. One slope after the other, by single evenings."""
    build = example("boat-shed-no-guard")
    inputs = bare.inputs
    make, middle = thrower(build, inputs), [one.die.spread.value for one in inputs]
    fire = fires(build)[1]
    total = 0.0
    for k, one in enumerate(inputs):
        ends = []
        for sign in (-1.0, 1.0):
            row = list(middle)
            row[k] += sign * one.die.spread.sd
            changed_build = make(row)
            stack, end = prepare(changed_build), np.zeros((1, len(End)))
            stack_fire = fires(changed_build)[1]
            run_many(stack.p[None, :], prepare(build).q, fire.time, stack_fire.plate[None, :], 0.002, end)
            ends.append(end[0, End.peak_hot])
        total += (0.5 * (ends[1] - ends[0])) ** 2
    assert bare.bands[Figure.peak_face].sd == pytest.approx(math.sqrt(total), rel=0.06)  # bends of the second order
    assert bare.bands[Figure.peak_face].mean == pytest.approx(float(bare.written[Figure.peak_face]), abs=1.5)


def test_chance_of_a_weak_element_by_hand() -> None:
    """A fan of 1.5 kg and a spring of 120 N want (1.5 x 9.80665 + 120) x 1.2 = 161.65 N; of an element that has anything
    between 100 and 300 N, 61.65 of 200 are too weak. Such a guard never lifts."""
    text = changed(text_of(), "guard", "spring_force", '"120 N"')
    text = changed(text, "guard", "spring_rate", '"0 N/m"') + '\n[fan]\nmass = "1.5 kg"\n'
    found = odds(build_from_text(text, "weak.toml"), FEW, 1)
    weak, still = found.chance_of("guard_too_weak"), found.chance_of("guard_never_lifts")
    assert weak is not None and still is not None
    assert weak.share == pytest.approx(61.65 / 200.0, abs=weak.loose)
    assert still.share >= weak.share


def test_chance_of_falling_over_by_hand() -> None:
    """Over a foot 26 mm deep, the blade anything from 90 to 150 mm before the sink, all else exact.

    It falls where its weight stands further out than 13 mm - h tan(slope of the plate): so far along that range.
    """
    text = changed(changed(text_of("boat-shed-no-guard"), "riser", "depth", '"26 mm"'), "blade", "before_sink", '"90..150 mm"')
    text = changed(text, "hot_plate", "depth", '"60 mm"')
    build = build_from_text(text, "narrow.toml")
    rows = geometry.masses(build)
    whole = sum(one.mass for one in rows)
    hung = {one.name: one.mass for one in rows if one.name in ("motor", "blade", "fittings")}
    carried = hung["motor"] + hung["fittings"]
    most = 0.013 - geometry.centre_height(build) * math.tan(build.guard.plate_slope.value)
    # whole x most = all of it x (50 mm + before) - what is carried x half a motor
    falls = (whole * most + carried * 0.5 * build.motor.part.length.value) / (carried + hung["blade"]) - 0.050
    share = (0.150 - falls) / 0.060
    assert 0.1 < share < 0.9
    only = [one for one in inputs_that_matter(build, stands=True) if one.key == "blade.before_sink"]
    make = thrower(build, only)
    thrown = fans([make([0.090 + 0.060 * (i + 0.5) / 64.0]) for i in range(64)], build)
    assert thrown[:, Figure.tips].mean() == pytest.approx(share, abs=1.0 / 64.0)
    told = odds(build, 32, 1).chance_of("falls_over")
    assert told is not None and 0.0 < told.share < 1.0
    none = odds(example("boat-shed-no-guard"), 32, 1).chance_of("falls_over")
    assert none is not None and none.share == 0.0


def test_without_spread_everything_is_certain() -> None:
    """Every throw of exact values is the build as written."""
    build = example()
    inputs = inputs_that_matter(build, stands=True)
    exact = thrower(build, inputs)([one.die.spread.value for one in inputs])
    assert inputs_that_matter(exact, stands=True) == []
    found = odds(exact, 32, 1)
    peak = found.bands[Figure.peak_face]
    # The same steps give the same figure to the last bit, coarse ones and those of a single evening alike.
    assert peak.low == peak.high == fans([build], build)[0, Figure.peak_face] and peak.high_loose == 0.0
    assert fans([exact], exact, TOLERANCE)[0, Figure.peak_face] == found.written[Figure.peak_face]
    assert found.measures == () and found.shares is None


def test_the_same_seed_gives_the_same_answer(few: Odds) -> None:
    assert odds_report(odds(example(), FEW, 1)) == odds_report(few)
    assert odds_report(odds(example(), FEW, 2)) != odds_report(few)


def test_bands_of_two_seeds_agree_within_what_they_say(few: Odds) -> None:
    other = odds(example(), FEW, 99)
    for figure in (Figure.starts_at, Figure.peak_face):
        mine, theirs = few.bands[figure], other.bands[figure]
        assert abs(mine.middle - theirs.middle) < 2.0 * (mine.middle_loose + theirs.middle_loose)
        assert abs(mine.high - theirs.high) < 2.0 * (mine.high_loose + theirs.high_loose)


def test_no_guard_no_odds_of_a_guard(bare: Odds) -> None:
    assert bare.chance_of("guard_hunts") is None and bare.chance_of("wax_bursts") is None
    over = bare.chance_of("face_over_limit")
    assert over is not None and over.share == 1.0
    assert Figure.lifts_at not in bare.bands


def test_air_while_the_fan_is_down_is_told_beside_that_of_all(few: Odds, bare: Odds) -> None:
    """A guard that holds some fans up on the usual plate makes two heaps of their air; the upper one alone is the unguarded fan's."""
    air, up = few.figures[..., Figure.air], few.figures[..., Figure.lifted] > 0.0
    assert 0.1 < up.mean() < 0.5
    down = few.bands[Figure.air_down]
    assert [down.low, down.middle, down.high] == pytest.approx(np.quantile(air[~up], [0.025, 0.5, 0.975]), rel=1e-12)
    assert down.missing == pytest.approx(up.mean())
    alone = bare.bands[Figure.air]
    assert few.bands[Figure.air].low < 0.5 * alone.low
    for ours, theirs in ((down.low, alone.low), (down.middle, alone.middle), (down.high, alone.high)):
        assert ours == pytest.approx(theirs, abs=2.0 * (alone.low_loose + down.low_loose))
    assert Figure.air_down not in bare.bands
    report = odds_report(few)["bands"]["air_fan_down_m3_per_h"]
    assert (
        report["low"] == pytest.approx(3600.0 * down.low, rel=1e-3)
        and odds_report(bare)["bands"]["air_fan_down_m3_per_h"]["low"] is None
    )


def test_a_hunting_guard_is_said_to_hunt() -> None:
    found = odds(example("boat-shed-hunting"), 32, 1)
    hunts = found.chance_of("guard_hunts")
    assert hunts is not None and hunts.share > 0.5


def test_asked_face_and_progress() -> None:
    told: list[tuple[int, int]] = []
    found = odds(example(), 32, 1, lambda done, whole: told.append((done, whole)), 8, face=403.15)
    asked = found.chance_of("face_over_asked")
    assert asked is not None and asked.share == pytest.approx((found.figures[..., Figure.peak_face] > 403.15).mean())
    assert [done for done, _ in told] == sorted({done for done, _ in told})
    assert told[-1][0] == told[-1][1]
    assert found.shares is not None and found.shares.count == 8 * (len(found.shares.groups) + 2)


def test_measuring_what_is_named_narrows_as_promised(few: Odds) -> None:
    """One of the first to measure is measured: its spread cut to a quarter in the file. The band shrinks as foretold."""
    # 0.3 ± 0.15 mN·m, by far the widest of what a start hangs on; the ring, of what the lift hangs on, stands level with it.
    first = next(one for one in few.measures[:2] if one.input.die.name == "motor breakaway")
    measured = build_with(("motor", "breakaway", '"300 ± 37.5 µN·m"'))
    after = odds(measured, 512, 1).bands[Figure.starts_at]
    assert after.half == pytest.approx(first.then[0], rel=0.12)  # ends of bands of 256 fans move by 7 %
    assert after.half < 0.85 * first.now[0]


def test_shares_sum_and_agree_with_single_ones() -> None:
    """Without a guard nothing acts together, so that each part's share is the sum of its inputs', and all sum to one."""
    found = odds(example("boat-shed-no-guard"), 256, 1, share_out=128)
    shares = found.shares
    assert shares is not None
    peak = 2
    assert np.nansum(shares.alone[peak]) == pytest.approx(1.0, abs=0.15)
    top = int(np.nanargmax(shares.together[peak]))
    singles = sum(m.share[peak] for m in found.measures if m.input.die.group == shares.groups[top])
    assert shares.alone[peak, top] == pytest.approx(singles, abs=shares.alone_loose[peak, top] + 0.1)


def test_grease_that_fails_is_counted() -> None:
    """A grease that bears 180 °C by the catalogue, without a guard: the plate under the modules of each thrown fan by a single
    evening. The wire bears 200 °C."""
    build = example("boat-shed-no-guard")
    thrown = some_fans(build, 8)
    low, hot = [], []
    for one in thrown:
        seen = evening(prepare(one), fires(one)[1], 10.0, tolerance=0.002).seen
        low.append(180.0 + 273.15 - seen[:, Seen.hot_plate].max())
        hot.append(200.0 + 273.15 - seen[:, Seen.hot_face].max())
    row = fans(thrown, build)
    assert row[:, Figure.joint_margin] == pytest.approx(np.minimum(low, hot), abs=0.2)  # the tolerance of a rough step
    places = row[:, Figure.joint].astype(int)
    assert [neighbours(build)[at].word for at in places] == [
        "grease" if a < b else "wire" for a, b in zip(low, hot, strict=True)
    ]
    found = odds(build, FEW, 1)
    event = next(one for one in found.events if one.code == "joint_over_limit")
    assert event.says.startswith("the grease or the wire at the modules")
    assert event.chance.share == (found.figures[..., Figure.joint_margin] < 0.0).mean()


def test_a_grease_that_fails_in_every_fan_is_told() -> None:
    """What `hobwind begin` writes, without its guard and on 90 mm of riser: 230 °C at the grease, as its stuck guard has it."""
    text = greased().replace('length = "110 mm"', 'length = "90 mm"').replace('"220 mm"', '"200 mm"')
    bare = build_from_text(text[: text.index("[guard]")], "scrap.toml")
    found = odds(bare, FEW, 1)
    assert found.chance_of("joint_over_limit").share == 1.0 and found.chance_of("face_over_limit").share < 0.2
    low = evening(prepare(bare), fires(bare)[1], 10.0).seen[:, Seen.hot_plate].max()
    assert found.written[Figure.joint_margin] == pytest.approx(180.0 + 273.15 - low, abs=0.1) and low - 273.15 > 230.0
    lines = odds_text(found).splitlines()
    assert any("the grease or the wire at the modules passes its limit" in line for line in lines)
    assert max(map(len, lines)) <= 79 and len(lines) <= 40
    assert odds_report(found)["bands"]["joint_margin_K"]["high"] < 0.0
