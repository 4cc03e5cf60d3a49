"""The worth list: changes as a maker would make them, the same dice before and after, and signs that practice knows."""

from __future__ import annotations

import math

import numpy as np
import pytest

from builds import NAMES, build_with, changed, example, greased, text_of
from hobwind.build import build_from_text
from hobwind.build.checks import impossible
from hobwind.build.editing import put_lines
from hobwind.stack.evening import evening
from hobwind.stack.fields import Seen
from hobwind.stack.prepare import prepare
from hobwind.studies.at_modules import neighbours
from hobwind.studies.file_keys import changed_keys
from hobwind.studies.odds_fans import Figure, fans
from hobwind.studies.odds_inputs import fires
from hobwind.studies.worth import ENOUGH, STEPS, Worth, _paired, _score, _told, _whose, worth
from hobwind.studies.worth_changes import (
    WORKS,
    after,
    fresh_compound,
    lagged,
    lapped_foot,
    options,
    retorqued,
    stainless_screws,
)
from hobwind.worth_screen import told_change, worth_text


@pytest.fixture(scope="module")
def bare() -> Worth:
    return worth(example("boat-shed-no-guard"))


@pytest.fixture(scope="module")
def steel() -> Worth:
    return worth(example("boat-shed-steel-screws"))


def mild() -> str:
    """The fan without a guard on a stove that is hardly over-fired, so that its modules have margin to spend."""
    return changed(text_of("boat-shed-no-guard"), "stove", "worst_plate", '"245 °C"')


def every(found: Worth):
    return [*found.gains, *found.idle]


@pytest.mark.parametrize("name", NAMES)
def test_every_option_can_be_made_and_changes_something(name: str) -> None:
    build = example(name)
    found = list(options(build))
    assert {"blade", "motor", "saw", "riser", "clamp", "lagging"} <= {one.work.kind for one in found}
    now = prepare(build)
    for one in found:
        assert not impossible(one.build, [])
        then = prepare(one.build)
        assert not (np.array_equal(then.p, now.p) and np.array_equal(then.q, now.q)), one.says
        assert one.work.minutes > 0 and one.work.cost >= 0.0


def test_an_option_is_what_could_be_written() -> None:
    """Lapping the foot and setting the clamp, by way of the file's reader."""
    rough = build_with(("seat", "flatness", '"0.20 ± 0.05 mm"'))
    by_file, by_lap = (build_with(("seat", "flatness", f'"{text}"')) for text in ("0.08 ± 0.04 mm", "0.03 ± 0.015 mm"))
    assert [made.seat for _, made in lapped_foot(rough)] == [by_file.seat, by_lap.seat]
    assert list(lapped_foot(build_with(("seat", "flatness", '"0.02 mm"')))) == []
    (_, clamped), *_ = retorqued(example())
    low, high = example().modules[0].part.pressure_low.value, example().modules[0].part.pressure_high.value
    assert low < clamped.clamp_pressure.value < high
    (_, lag), *_ = lagged(example())
    assert lag.surround is not None and lag.surround.name == "mineral wool"


@pytest.mark.parametrize(("name", "faces"), [*((name, "wet-and-dry on glass") for name in NAMES), ("boat-shed", "milled")])
def test_the_lines_of_an_option_carry_it_out(name: str, faces: str) -> None:
    """Every kind of work typed into the file, by way of the page's pen and the file's reader: the fan that was tried.

    Outside: the same two evenings of the build as it was tried, which saw no file. Half a kelvin and half a part in a
    hundred, since lines hold three figures; of the work that moves no part that the file sizes by itself.
    """
    text = text_of(name).replace("wet-and-dry on glass", faces)
    build = build_from_text(text)
    kinds = ("foot", "faces", "compound", "clamp", "bushes", "screws", "lagging", "black sink", "blade", "wiring", "motor")
    first = {one.work.kind: one for one in reversed(list(options(build))) if one.work.kind in kinds}
    assert {"foot", "compound", "clamp", "lagging", "black sink", "blade", "motor"} <= first.keys()
    assert ("faces" in first) == (faces == "milled")
    lines = {kind: changed_keys(build, one.build) for kind, one in first.items()}
    assert all(lines.values()), [kind for kind, keys in lines.items() if not keys]
    tried = fans([one.build for one in first.values()])
    typed = fans([build_from_text(put_lines(text, lines[kind])) for kind in first])
    now = fans([build])[0]
    for kind, was, then in zip(first, tried, typed, strict=True):
        for figure, close in ((Figure.starts_at, 0.5), (Figure.peak_face, 0.5), (Figure.air, 0.005 * now[Figure.air])):
            assert then[figure] == pytest.approx(was[figure], abs=close, nan_ok=True), (kind, lines[kind], figure.name)


def test_a_spread_of_its_own_goes_into_the_file_with_the_line() -> None:
    """A foot lapped so well, a clamp set so well: what is typed is thrown as widely as what was tried."""
    build, text = example("boat-shed-no-guard"), text_of("boat-shed-no-guard")
    for kind, spread in (("foot", lambda one: one.seat.flatness), ("clamp", lambda one: one.clamp_pressure)):
        one = next(one for one in options(build) if one.work.kind == kind)
        typed = spread(build_from_text(put_lines(text, changed_keys(build, one.build))))
        assert typed.shape == spread(one.build).shape
        assert (typed.value, typed.half) == pytest.approx((spread(one.build).value, spread(one.build).half), rel=0.01)


def test_no_work_where_there_is_nothing_to_do() -> None:
    assert list(stainless_screws(example())) == []  # they are stainless
    assert len(list(stainless_screws(example("boat-shed-steel-screws")))) == 1


def test_the_same_dice_before_and_after() -> None:
    """Nothing changed: no change, whatever the dice. And the band of a change is far narrower than that of the fan."""
    build = example("boat-shed-no-guard")
    first, second = _paired([build, build], 32, 1)
    assert np.array_equal(first, second, equal_nan=True)
    (_, packed), *_ = lagged(build)
    before, later = _paired([build, packed], 32, 1)
    peak = Figure.peak_face
    assert (later[:, peak] - before[:, peak]).std() < 0.1 * before[:, peak].std()


def test_steps_by_hand() -> None:
    """5 K sooner, a tenth more air, 5 K more margin: three felt steps. Margin beyond ENOUGH brings nothing."""
    build = example("boat-shed-no-guard")
    before = fans([build])
    later = before.copy()
    later[:, Figure.starts_at] -= STEPS["start"]
    later[:, Figure.air] *= 1.0 + STEPS["air"]
    before[:, Figure.margin] = later[:, Figure.margin] = 10.0
    for other in (Figure.motor_margin, Figure.joint_margin):
        before[:, other] = later[:, other] = 50.0
    later[:, Figure.margin] += STEPS["margin"]
    assert _score(build, before, later) == pytest.approx([3.0])
    later[:, Figure.margin] = ENOUGH + 100.0
    assert _score(build, before, later) == pytest.approx([2.0 + (ENOUGH - 10.0) / STEPS["margin"]])
    later[:, Figure.starts_at] = np.nan  # never starts: as if only on the usual plate
    assert _score(build, before, later)[0] < -10.0


def test_a_guard_is_worth_most_where_modules_cook(bare: Worth) -> None:
    best = bare.gains[0]
    assert best.option.work.kind == "guard" and best.changes[Figure.margin].mean > 20.0
    assert best.helps > 0.9 and "guard" in " ".join(best.keys)


def test_screws_that_steal_heat(steel: Worth) -> None:
    """Practice, and Araiz et al. 2018: bare screws and a small gap carry up to a third of the heat; bushes give it back."""
    kinds = {gain.option.work.kind: gain for gain in steel.gains}
    for kind in ("bushes", "screws"):
        assert kinds[kind].changes[Figure.air].mean > 0.0 and kinds[kind].changes[Figure.starts_at].mean < 0.0
    # A bush stops more than a poorer conducting screw does.
    assert kinds["bushes"].changes[Figure.air].mean > kinds["screws"].changes[Figure.air].mean


def test_more_pressure_on_grease_brings_little(bare: Worth) -> None:
    """Li et al. 2019: four times the pressure on a greased module adds 0 to 8 % of its volts."""
    gain = next(one for one in every(bare) if one.option.work.kind == "clamp")
    usual = float(np.nanmean(bare.before[:, Figure.air]))
    assert abs(gain.changes[Figure.air].mean) < 0.08 * usual and gain.why_not


def test_old_compound_is_worth_renewing() -> None:
    old = build_from_text(mild().replace("zinc oxide grease", "dried-out old grease"), "old.toml")
    (_, white), (_, grey) = fresh_compound(old)
    # Grey compound bears 150 °C, as much as the modules: it goes to their cold side only.
    assert {white.joint.hot.fill.name, white.joint.cold.fill.name} == {"zinc oxide grease"}
    assert (grey.joint.hot.fill.name, grey.joint.cold.fill.name) == ("dried-out old grease", "ceramic-filled grease")
    gain = next(one for one in every(worth(old)) if one.option.work.kind == "compound")
    assert gain.changes[Figure.starts_at].mean < -1.0 and gain.changes[Figure.air].mean > 0.0 and gain.helps == 1.0


def test_a_foot_as_sawn_is_worth_lapping() -> None:
    """The seat's gas by hand: crown 0.35 mm -> 0.03 mm changes k/d ln(1 + d/Y) at Y = 10 µm, k = 0.035 W/(m K), from 358 to
    1617 W/(m² K): on 36 cm², from 0.78 to 0.17 K/W."""
    rough = build_from_text(changed(mild(), "seat", "flatness", '"0.35 ± 0.1 mm"'), "rough.toml")
    gain = next(one for one in worth(rough).gains if one.option.work.kind == "foot")
    drop = sum(sign * 1.0 / (0.035 / d * math.log(1.0 + d / 10e-6) * 36e-4) for d, sign in ((0.35e-3, 1.0), (0.03e-3, -1.0)))
    assert drop == pytest.approx(0.61, abs=0.01)
    # With some 40 W through the seat the riser's foot, and so the hottest face, runs tens of kelvin hotter; half at least.
    assert gain.changes[Figure.peak_face].mean > 0.25 * 40.0 * drop
    assert gain.changes[Figure.starts_at].mean < -5.0


def test_lists_are_sorted_and_whole(bare: Worth, steel: Worth) -> None:
    for found in (bare, steel):
        steps = [gain.steps for gain in found.gains]
        assert steps == sorted(steps, reverse=True)
        assert all(gain.why_not for gain in found.idle) and not any(gain.why_not for gain in found.gains)
        kinds = [gain.option.work.kind for gain in every(found)]
        assert len(kinds) == len(set(kinds)) and set(kinds) <= {work.kind for work in WORKS}
        assert found.pair is None or found.pair.steps > found.gains[0].steps


def test_the_best_pair_is_both_at_once(bare: Worth) -> None:
    pair = bare.pair
    assert pair is not None and " and " in pair.option.work.kind
    first, second = (next(one.option for one in every(bare) if one.option.work.kind == kind)
                     for kind in pair.option.work.kind.split(" and "))  # fmt: skip
    both = after(first, second)
    assert both is not None and both.says == pair.option.says
    assert pair.option.work.minutes == first.work.minutes + second.work.minutes


def test_the_same_seed_gives_the_same_list(bare: Worth) -> None:
    again = worth(example("boat-shed-no-guard"))
    assert [(one.option.says, one.steps) for one in every(again)] == [(one.option.says, one.steps) for one in every(bare)]


def test_changes_that_cook_modules_are_not_advised() -> None:
    """At 262 °C hardly any margin is left: what makes the face hotter without end is found wanting, and it is said why."""
    near = build_from_text(changed(mild(), "stove", "worst_plate", '"262 °C"'), "near.toml")
    before = worth(near)
    for one in before.gains:
        assert one.changes[Figure.margin].mean > -5.0, one.option.says
    assert any("pass a limit" in one.why_not or "margin" in one.why_not for one in before.idle)


def test_lapping_that_takes_the_greases_last_kelvins_is_not_advised() -> None:
    """What `hobwind begin` writes, without its guard and with a foot as sawn: the face bears 300 °C and has plenty, the grease
    180 °C. Outside: the plate under the modules of one evening before and one after, against the catalogue's 180 °C."""
    text = greased()
    text = changed(
        changed(text[: text.index("[guard]")], "seat", "flatness", '"0.35 ± 0.1 mm"'), "stove", "worst_plate", '"255 °C"'
    )
    found = worth(build_from_text(text, "bare.toml"))
    lapped = next(one for one in found.idle if one.option.work.kind == "foot")
    left = [180.0 - (evening(prepare(one), fires(one)[1], 10.0).seen[:, Seen.hot_plate].max() - 273.15)
            for one in (found.build, lapped.option.build)]  # fmt: skip
    assert left[0] > 0.0 > left[1]
    assert lapped.why_not.endswith(f"then pass a limit, now {20.0 * (found.before[:, Figure.joint_margin] < 0.0).mean():.0f}")
    assert (lapped.nearest, lapped.nearest_then) == ("grease", "grease")
    change = lapped.changes[Figure.margin]
    assert change.mean == pytest.approx(left[1] - left[0], abs=change.half)
    for lines in (worth_text(found).splitlines(), worth_text(found, every=True).splitlines()):
        assert max(map(len, lines)) <= 79
    told = " ".join(worth_text(found, every=True).split())
    assert f"grease's margin {change.mean:+.0f} K ± {change.half:.0f} K" in told


def test_the_margin_is_the_least_and_its_owner_is_that_of_most_fans(bare: Worth) -> None:
    """Three fans by hand; and the boat shed, whose faces bear 150 °C, always nearer than their grease's 180 °C."""
    build = example("boat-shed-no-guard")
    rows = np.repeat(fans([build]), 3, axis=0)
    rows[:, Figure.margin], rows[:, Figure.joint_margin] = 10.0, [4.0, 12.0, 3.0]
    rows[:, Figure.joint] = [one.word for one in neighbours(build)].index("grease")
    assert _told(rows, Figure.margin).tolist() == [4.0, 10.0, 3.0] and _whose(build, rows) == "grease"
    rows[0, Figure.joint_margin] = 11.0
    assert _whose(build, rows) == "face"
    assert {gain.nearest for gain in every(bare)} == {"face"}


def test_a_fan_that_seldom_starts_is_told_by_how_many_do() -> None:
    """A change of the start says nothing of fans that never started; counted by hand from the thrown rows."""
    found = worth(build_with(("motor", "part", '"toy can motor, small"'), ("blade", "part", '"blade 127 mm 2"')), 32)
    best = next(one for one in found.gains if "another motor" in one.option.says)
    share = float(np.isfinite(found.before[:, Figure.starts_at]).mean())
    assert share < 0.75 and best.starting[0] == share and best.starting[1] > share
    said = told_change(Figure.starts_at, best)
    assert said == f"in {round(20 * best.starting[1])} fans in 20, {round(20 * share)} before"
