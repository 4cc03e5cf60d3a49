"""The fault drill: each fault is what its words say, the dead are dead, cures cure, signs are seen when they show."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from guarded import drilled

from builds import NAMES, build_with, changed, example, stack, text_of
from hobwind.build import build_from_text
from hobwind.errors import InputError
from hobwind.stack import fields
from hobwind.stack.evening import evening
from hobwind.stack.fields import J, P, Q, Seen
from hobwind.stack.keeping import End
from hobwind.stack.prepare import prepare
from hobwind.studies.drill import drill
from hobwind.studies.drill_faults import FAULTS, Change, Fault, check_faults, faulted
from hobwind.studies.drill_signs import limit_at, signs
from hobwind.studies.guards_batch import fire_of, part_margins

BY_NAME = {fault.name: fault for fault in FAULTS}


def ran(name: str, build_name: str = "boat-shed", every: float = 20.0):
    build = example(build_name)
    return evening(*faulted(build, stack(build_name), (BY_NAME[name],)), every)


def changes(name: str) -> dict[str, tuple[float, float]]:
    """Numbers before and after a fault."""
    before, (after, _) = stack().p, faulted(example(), stack(), (BY_NAME[name],))
    names = {int(one): one.name for one in P}
    return {names.get(i, str(i)): (before[i], after.p[i]) for i in np.flatnonzero(before != after.p)}


def test_every_fault_asked_for_is_there() -> None:
    wanted = (
        "stuck cold, slow, half its stroke, pin fouled, spring broken, blade jammed, blade slipping, compound dried, slack, "
        "open, cracked, 35 °C, hotter, painted, warped, grit, latched, surge"
    )
    assert len(FAULTS) == 18
    for words in wanted.split(", "):
        assert sum(words in fault.name for fault in FAULTS) == 1, words
    assert all(fault.says and fault.source in ("practice", "memory") for fault in FAULTS)


def test_changes_are_what_the_words_say() -> None:
    assert changes("half its stroke").keys() == {"wax_travel", "wax_creep"}
    assert changes("on painted plate") == {"coating": (pytest.approx(5e-5), pytest.approx(15e-5))}
    assert changes("clamp gone slack") == {"clamp_pressure": (pytest.approx(1.1e6), pytest.approx(0.11e6))}
    assert changes("element stuck cold") == {}
    assert faulted(example(), stack(), (BY_NAME["element stuck cold"],))[0].q[Q.stuck] == 1
    # Compound: conductivity of the five joints, all of them filled in the boat shed.
    at = [fields.JOINTS_AT + i * fields.PER_JOINT + J.conductivity for i in range(5)]
    after = faulted(example(), stack(), (BY_NAME["compound dried"],))[0].p
    assert after[at] == pytest.approx(stack().p[at] / 3.0)
    # Three times the lag: holder and wax in series with the capacity, 1/G = 1/holder + lag/capacity, so C/G triples.
    slow = changes("element slow")
    lag = [c * (1 / 0.025 + w / c) for w, c in zip(slow["wax_lag"], slow["wax_capacity"], strict=True)]
    assert lag[1] / lag[0] == pytest.approx(3.0)


def test_a_weak_module_is_wired_where_it_was() -> None:
    text = changed(text_of(), "modules", "count", "4")
    text = changed(changed(text, "hot_plate", "width", '"200 mm"'), "screws", "across", '"186 mm"')
    text = text.replace(
        "[motor]", '[spreader]\nwidth = "200 mm"\ndepth = "60 mm"\nthickness = "8 mm"\nmaterial = "copper"\n\n[motor]'
    )
    text = changed(changed(text, "wiring", "arrangement", '"groups"'), "wiring", "strings", "[[2], [2]]")
    build = build_from_text(text)
    weak, _ = faulted(build, prepare(build), (BY_NAME["one module cracked"],))
    assert list(weak.q[fields.COUNTS_AT : fields.COUNTS_AT + 2]) == [3, 1]
    strings = weak.q[fields.STRINGS_AT :].reshape(-1, fields.MOST_KINDS)[:2, :2]
    assert strings.tolist() == [[1, 1], [2, 0]]
    # One of two strings open: half the current through the same motor at a stall, so it breaks away later; all dead in series.
    opened = evening(*faulted(build, prepare(build), (BY_NAME["one module open"],)))
    whole = evening(prepare(build), fire_of(build, "over-fired"))
    assert whole.end[End.starts_at] < opened.end[End.starts_at]
    assert not np.isfinite(ran("one module open").end[End.starts_at])


def test_fires() -> None:
    plain = fire_of(example(), "over-fired")
    hotter = faulted(example(), stack(), (BY_NAME["on a hotter spot"],))[1]
    assert hotter.plate.max() == pytest.approx(plain.plate.max() + 40.0) and hotter.plate[0] == plain.plate[0]
    surge = faulted(example(), stack(), (BY_NAME["reload surge"],))[1]
    start = plain.time[plain.plate.argmax()]
    rise = np.interp([start, start + 300.0, start + 900.0], surge.time, surge.plate)
    assert rise - np.interp([start, start + 300.0, start + 900.0], plain.time, plain.plate) == pytest.approx([0.0, 60.0, 60.0])


def test_a_stuck_element_is_no_guard_at_all() -> None:
    """Two ways to the same evening: an element that never moves, and a fan without a guard."""
    stuck, bare = (
        ran("element stuck cold"),
        evening(stack("boat-shed-no-guard"), fire_of(example("boat-shed-no-guard"), "over-fired")),
    )
    assert stuck.end[End.peak_hot] == pytest.approx(bare.end[End.peak_hot], abs=0.02)
    assert stuck.end[End.above] == pytest.approx(bare.end[End.above], abs=2.0)


def test_a_broken_spring_stays_up() -> None:
    broken = ran("return spring broken")
    lifted = broken.seen[:, Seen.lift] > 0.0
    first = int(lifted.argmax())
    assert lifted[first:].all() and broken.seen[-1, Seen.plate] < 330.0
    assert drilled().singles[4].drilled.lives  # no air, but no harm either


def test_jammed_and_slipping() -> None:
    assert (ran("blade jammed").seen[:, Seen.speed] == 0.0).all()
    usual, slips = evening(stack(), fire_of(example(), "over-fired")), ran("blade slipping")
    turning = (usual.seen[:, Seen.speed] > 100.0) & (usual.seen[:, Seen.lift] == 0.0)
    # Air goes with the root of the push, the push with the square of the blade's speed: half the speed, half the air.
    share = slips.seen[turning, Seen.air_flow] / usual.seen[turning, Seen.air_flow]
    assert np.median(share) == pytest.approx(0.5, abs=0.1) and share.max() < 0.7
    blade = 0.2 * slips.seen[turning, Seen.speed] / usual.seen[turning, Seen.speed]
    assert np.median(blade) == pytest.approx(np.median(share), abs=0.02)  # thinner warm air aside


@pytest.mark.parametrize("name", NAMES)
def test_lives_and_dies_as_the_single_evening_says(name: str) -> None:
    build = example(name)
    for one in drilled(name).singles:
        fine = ran(one.fault.name, name)
        left = part_margins(build, fine.end)
        assert one.drilled.lives == (min(left.values()) > 0.0)
        assert one.drilled.peak == pytest.approx(float(fine.end[End.peak_hot]), abs=0.05)
        assert (one.limit_time is None) == (min(v for k, v in left.items() if not k.startswith("travel")) > 0.0)


def test_pairs_hold_a_fault_of_the_guard() -> None:
    pairs = drilled().pairs
    ours = sum(fault.of_guard for fault in FAULTS)
    others = len(FAULTS) - ours
    assert len(pairs) == ours * others + ours * (ours - 1) // 2
    assert all(any(fault.of_guard for fault in pair.faults) for pair in pairs)
    by_hand = (BY_NAME["half its stroke"], BY_NAME["room at 35 °C"])
    pair = next(pair for pair in pairs if set(pair.faults) == set(by_hand))
    fine = evening(*faulted(example(), stack(), by_hand))
    assert pair.peak == pytest.approx(float(fine.end[End.peak_hot]), abs=0.1)
    assert drilled("boat-shed-no-guard").pairs == ()


def test_cures_cure() -> None:
    """The lines of the build file typed in, and the same fault again: every part lives, and the fan is sound without it."""
    cured = [one for one in drilled().singles if one.cure]
    assert len(cured) >= 3
    for one in cured:
        text = text_of()
        for line in one.keys:
            place, value = line.split(" = ", 1)
            section, key = place.rsplit(".", 1)
            text = changed(text, section.replace("[1]", ""), key, value)
        build = build_from_text(text)
        for faults in ((), (one.fault,)):
            end = evening(*faulted(build, prepare(build), faults)).end
            assert min(part_margins(build, end).values()) > 0.0, (one.drilled.name, one.keys)
        told = re.search(r"; ([^;]+) then (\d+) K below its limit", one.cure)
        assert told is not None
        assert part_margins(build, end)[told[1]] == pytest.approx(
            float(told[2]), abs=1.0
        )  # whole kelvin, sizes to three figures
    assert not any(one.cure for one in drilled().singles if one.drilled.lives)


def test_signs_show_when_they_are_there() -> None:
    usual, stuck = (evening(stack(), fire_of(example(), "over-fired"), 10.0), ran("element stuck cold", every=10.0))
    found = {sign.says: sign.time for sign in signs(usual, stuck, 1.0)}
    # It ought to have lifted clear at some moment; two minutes later the sign has lasted.
    clear = usual.time[(usual.seen[:, Seen.lift] > 0.3e-3).argmax()]
    assert found == {"fan not up": pytest.approx(clear + 120.0, abs=20.0)}
    # Minutes before the limit: the moment the face crosses 150 °C in a finer evening, less that.
    fine = ran("element stuck cold", every=1.0)
    crossed = fine.time[(fine.seen[:, Seen.hot_face] > 423.15).argmax()]
    assert limit_at(example(), stuck) == pytest.approx(crossed, abs=2.0)
    single = drilled().singles[0]
    assert single.limit_time - single.seen[0].time == pytest.approx(crossed - clear - 120.0, abs=25.0)
    assert signs(usual, usual, 1.0) == ()
    halved = signs(usual, usual, 0.5)
    assert [sign.says for sign in halved] == ["blade slower than usual"]


def test_a_warm_room_wakes_an_element_that_a_ring_cools() -> None:
    """Closed form: on its own foot the element settles at room + (plate - room) G/(G + loss); 20 K more of room move the
    lifting plate down by 20 x loss/G."""
    cool, warm = evening(stack(), fire_of(example(), "usual")), ran("room at 35 °C")
    holder = 1.0 / (1.0 / 0.025 + stack().p[P.wax_lag] / stack().p[P.wax_capacity])
    assert cool.lifts == 0
    lifts_at = 363.15 - 0.3  # wax 88 and 1 mm of 9 mm over 13 K: 89.4 °C

    def plate(room: float) -> float:
        return room + (lifts_at - room) * (1.0 + 0.060 / holder)

    moved = plate(308.15) - plate(288.15)
    assert moved == pytest.approx(-20.0 * 0.060 / holder) and plate(308.15) < example().stove.usual_plate.value
    assert float(warm.end[End.lift_at]) < example().stove.usual_plate.value


def test_own_faults_and_bad_ones() -> None:
    mine = Fault("blade bent", "a tenth more twist", (Change("blade_power", "times", 1.1),), False, "practice")
    found = drill(example(), (mine,))
    assert [one.drilled.name for one in found.singles] == ["blade bent"] and found.pairs == ()
    with pytest.raises(InputError, match='fault "blade bent": got the field "blade_twist"; one of one module'):
        drill(example(), (replace(mine, changes=(Change("blade_twist", "times", 1.1),)),))
    with pytest.raises(InputError, match="one of set, times, plus is wanted"):
        check_faults((replace(mine, changes=(Change("blade_power", "by", 1.1),)),))


def test_dead_before_anything_goes_wrong() -> None:
    found = drilled("boat-shed-soft-solder")
    assert not found.healthy.lives and not any(one.cure for one in found.singles)
    assert drill(build_with(("stove", "worst_plate", '"240 °C"'))).healthy.lives


def test_a_cure_that_starts_later_than_wished_says_so() -> None:
    """The boat shed wishes a start by 110 °C; read off the sentence itself."""
    found = drilled("boat-shed")
    assert found.build.wish.starts_by.value == pytest.approx(273.15 + 110.0)
    starts = [(int(re.findall(r"start at (\d+) °C", one.cure)[0]), one.cure) for one in found.singles if "start at" in one.cure]
    assert any(start > 111 for start, _ in starts) and any(start < 110 for start, _ in starts)
    for start, says in starts:
        assert says.endswith(", later than wished") is (start > 110), says
