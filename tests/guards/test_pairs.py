"""Two changes at once where no single one serves, a hair's breadth that counts as none, and a pin that fits its guard."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from builds import build_with, example
from guards.guarded import compared
from hobwind.build import Build, build_from_text, forces, geometry
from hobwind.build.editing import put_lines
from hobwind.build.starter import starter_text
from hobwind.build.writing import whole_text
from hobwind.page.questions import QUESTIONS, scrap_text
from hobwind.shop.hole_checks import faults
from hobwind.shop.stackup import stack_up
from hobwind.stack.curves import PlateCurve
from hobwind.stack.evening import evening
from hobwind.stack.fields import Seen
from hobwind.stack.prepare import prepare
from hobwind.stack.steady import settled_map
from hobwind.studies.findings import findings
from hobwind.studies.guarded import Guarded
from hobwind.studies.guards import Guards, guards, recommend
from hobwind.studies.guards_sizes import finer, places, wax_guards
from hobwind.studies.headline import headline
from hobwind.studies.margins import margins
from hobwind.studies.telling import HAIR
from hobwind.studies.verdict import verdict
from hobwind.studies.widening import pull_of, widened
from hobwind.units import plain

NAMES = ("boat-shed", "boat-shed-no-guard", "boat-shed-hunting")


def unknown() -> Build:
    """The fan of somebody who has scrap and knows nothing of it."""
    return build_from_text(scrap_text([""] * len(QUESTIONS)), Path("scrap.toml"))


@pytest.fixture(scope="module")
def scrap() -> Guards:
    return guards(unknown())


def lifting(found: Guards) -> list[Guarded]:
    return [one for one in found.rows if one.keys and one.build.guard.element is not None]


@pytest.mark.parametrize("name", NAMES)
def test_pin_of_a_sized_guard_fits_the_lost_motion_it_asks_for(name: str) -> None:
    # By hand: depth of the bore = pin + own pin of the element + lost motion, less the carrier tube. Nothing to file off then.
    sized = lifting(compared(name))
    assert sized
    for one in sized:
        stacked = stack_up(one.build, one.solved)
        assert stacked is not None
        assert abs(stacked.file_off) < 1e-9 and stacked.recess == pytest.approx(one.build.guard.lost_motion.value)
        assert stacked.recess - stacked.worst > 0.0  # flush or below, whatever the tolerances do


def told(build: Build) -> Build:
    """The build that the mend of its first finding with lines leads to."""
    solved = headline(build)
    keys = next(one for one in findings(solved) if one.keys).keys
    return build_from_text(put_lines(whole_text(build), keys), Path("mended.toml"))


@pytest.mark.parametrize("name", ["boat-shed-no-guard", "boat-shed-hunting"])
def test_mend_and_comparison_name_one_guard(name: str) -> None:
    """The mend is a central lift; the comparison's own central lift is the same, whichever kind it recommends in the end."""
    mended = told(example(name)).guard
    best = next(one for one in compared(name).rows if one.kind == mended.kind)
    ours, theirs = best.build.guard, mended
    assert ours.element is not None and theirs.element is not None
    assert (ours.element.name, ours.held_in) == (theirs.element.name, theirs.held_in)
    assert ours.holder_conductance.value == pytest.approx(theirs.holder_conductance.value)


def test_mends_leave_a_plate_held_a_little_hotter_than_usual_alone() -> None:
    """By hand, of a lift on a foot of its own: element k of the way from room to plate, so a plate may rise by (lift - rest) / k."""
    for name in ("boat-shed-no-guard", "boat-shed-hunting"):
        solved = headline(told(example(name)))
        guard, stove = solved.build.guard, solved.build.stove
        assert guard.element is not None and solved.reserve is not None
        rest = float(solved.usual_point.seen[Seen.element])
        share = (rest - stove.room.value) / (stove.usual_plate.value - stove.room.value)
        wax, lost = guard.element, guard.lost_motion.value
        lift = wax.opens.value + lost / wax.travel.value * (wax.full.value - wax.opens.value)
        assert solved.reserve == pytest.approx((lift - rest) / share, rel=1e-9) and solved.reserve >= 8.0
        held = settled_map(solved.stack, [stove.usual_plate.value + solved.reserve - 3.0]).from_rest[-1]
        assert held.seen[Seen.lift] == 0.0
        raised = settled_map(solved.stack, [stove.usual_plate.value + solved.reserve + 5.0]).from_rest[-1]
        assert raised.seen[Seen.lift] > 0.0


def test_a_mend_for_scrap_can_be_drilled_and_tapped() -> None:
    made = told(unknown())
    assert made.hot_plate is not None and made.screws is not None and sum(use.count for use in made.modules) > 1
    assert not [one.says for one in faults(made) if one.says.startswith("fault")]
    # A thread's middle 1.5 diameters from the edge, as common practice has it.
    for x, y in geometry.screw_places(made.screws):
        edge = min(0.5 * made.hot_plate.width.value - abs(x), 0.5 * made.hot_plate.depth.value - abs(y))
        assert edge >= 1.5 * made.screws.part.diameter.value - 1e-9


def test_thicker_screws_where_more_modules_pull_harder() -> None:
    """Three modules of 40 x 40 mm at 1.1 MPa: 5.28 kN on four screws, 1.32 kN each; M4 bears 105 MPa x 8.8 mm2 = 0.92 kN."""
    start = unknown()
    more = widened(replace(start, modules=(replace(start.modules[0], count=3),)))
    assert more.screws is not None and more.screws.part.thread == "M5" and more.screws.bush is not None
    assert more.screws.bush.name == "PEEK bush M5" and more.screws.hole.value > more.screws.bush.outer.value
    assert start.screws is not None and start.screws.part.thread == "M4"


def test_four_screws_where_two_would_yield() -> None:
    """By hand: three modules of 40 x 40 mm at 1.1 MPa on two screws: 2640 N each; M4 of 210 MPa yields at 8.8 mm2 x 210 = 1850 N."""
    start = build_from_text(starter_text("x", "x.toml"), Path("x.toml"))
    three = replace(start, modules=(replace(start.modules[0], count=3),))
    assert pull_of(three) == pytest.approx(3.0 * 1600e-6 * 1.1e6 / 2.0)
    more = widened(three)
    assert more.screws is not None and more.screws.count == 4 and more.screws.part.thread == "M5"
    weak = replace(more, screws=replace(more.screws, count=2, part=start.screws.part if start.screws else more.screws.part))
    told = [one for one in findings(headline(weak)) if one.code == "screws-yield"]
    assert len(told) == 1 and "2640 N" in told[0].says
    assert not [one for one in findings(headline(more)) if one.code == "screws-yield"]


def test_pin_fits_when_the_lines_stand_in_the_file() -> None:
    text = scrap_text([""] * len(QUESTIONS))
    keys = next(one for one in findings(headline(unknown())) if one.code == "module-too-hot").keys
    made = build_from_text(put_lines(text, keys), Path("scrap.toml"))
    stacked = stack_up(made, headline(made))
    assert stacked is not None and abs(stacked.file_off) < 1e-6


@pytest.mark.parametrize(("usual", "worst", "two"), [(240, 330, False), (250, 340, True)])
def test_two_changes_at_once_are_advised_where_they_widen_a_thin_margin_by_five_kelvin(
    usual: int, worst: int, two: bool
) -> None:
    hot = build_with(
        ("stove", "usual_plate", f'"{usual} °C"'), ("stove", "worst_plate", f'"{worst} °C"'), name="boat-shed-no-guard"
    )
    found = guards(hot)
    alone, both = (
        [one for one in found.rows if (", lift" in one.kind) is paired and not one.shortcomings()] for paired in (False, True)
    )
    assert alone and both and not any(one.roomy for one in alone)  # single changes serve, with less than ten kelvin in hand
    assert found.best is not None and (", lift" in found.best.kind) is two
    beaten, foremost = recommend(alone, hot)[0], recommend(both, hot)[0]
    assert beaten is not None and foremost is not None
    assert (foremost.least.margin >= beaten.least.margin + 5.0) is two


def test_two_changes_at_once_are_advised_where_a_single_one_starts_too_late() -> None:
    hot = build_with(("stove", "usual_plate", '"255 °C"'), ("stove", "worst_plate", '"340 °C"'), name="boat-shed-no-guard")
    found = guards(hot)
    beaten = recommend([one for one in found.rows if ", lift" not in one.kind], hot)[0]
    wished = hot.wish.starts_by.value
    assert beaten is not None and beaten.solved.starts_at is not None and beaten.solved.starts_at > wished + 5.0
    assert found.best is not None and ", lift" in found.best.kind
    assert found.best.solved.starts_at is not None and found.best.solved.starts_at <= wished


def test_two_changes_are_tried_only_where_no_single_one_has_enough_in_hand(scrap: Guards) -> None:
    assert not [one.kind for one in compared("boat-shed").rows if ", lift" in one.kind]
    alone = [one for one in scrap.rows if ", lift" not in one.kind]
    assert alone and all(one.shortcomings() for one in alone)
    best = scrap.best
    assert best is not None and ", lift" in best.kind
    assert best.least.margin > HAIR and best.build.guard.element is not None and best.keys


def test_a_hair_in_hand_speaks_against_a_guard(scrap: Guards) -> None:
    thin = [one for one in scrap.rows if 0.0 < one.least.margin <= HAIR]
    assert thin
    for one in thin:
        assert any("guesses alone are further off" in said for said in one.shortcomings())


def test_unknown_scrap_ends_in_a_mend_that_holds() -> None:
    build = unknown()
    judged = verdict(build)
    assert "on an ordinary fire already" in judged.sentence and "cool it and fit a guard" in judged.sentence
    worst = next(one for one in judged.findings if one.code == "module-too-hot")
    made = build_from_text(put_lines(scrap_text([""] * len(QUESTIONS)), worst.keys), Path("scrap.toml"))
    mended = headline(made)
    assert margins(mended)[0].margin > HAIR and mended.usual.lifts == 0 and not mended.hunts


def test_a_hard_fire_is_named_where_an_ordinary_one_does_no_harm() -> None:
    judged = verdict(compared("boat-shed-no-guard").build)
    assert "on a hard fire the module would cook: fit a guard" in judged.sentence


def test_headline_tells_how_many_faults_would_harm_it() -> None:
    from guards.guarded import drilled

    judged = verdict(compared("boat-shed").build)
    drill = drilled("boat-shed")
    assert f"{len(drill.killers)} of {len(drill.singles)} faults tried" in judged.sentence
    told = next(one for one in judged.findings if one.code == "faults-harm")
    assert all(one.fault.name in told.says for one in drill.killers)


@pytest.mark.parametrize("name", ["boat-shed", "boat-shed-no-guard"])
def test_plate_of_a_lift_when_held_agrees_with_plates_held_for_hours(name: str) -> None:
    # Another way to the same figure: the whole march, each plate held for six hours from cold.
    one = next(row for row in compared(name).rows if row.kind == "central lift")
    at, stack = one.lifts_held, prepare(one.build)
    assert at is not None and one.lifts_at is not None and at < one.lifts_at

    def lifts(plate: float) -> int:
        room = one.build.stove.room.value
        held = PlateCurve("held", np.array([0.0, 2400.0, 24000.0]), np.array([room, plate, plate]))
        return evening(stack, held).lifts

    assert lifts(at - 6.0) == 0 and lifts(at + 3.0) > 0


def test_pin_beside_the_fan_is_as_far_from_the_pivot_edge_as_it_stands() -> None:
    """Foot of 60 mm, element of 16 mm 4 mm beside it: 30 + 4 + 8 = 42 mm off the middle, 30 + 42 = 72 mm from the far edge."""
    for one in compared("boat-shed-no-guard").rows:
        if one.kind == "edge tilt":
            assert one.build.guard.held_in == "plate"
            assert one.build.guard.pivot_distance.value == pytest.approx(72e-3)
            # Hand statics: weight in the middle, 30 mm from the edge; pushed 72 mm from it: 30/72 of the weight, spring and friction.
            guard, weight = one.build.guard, 9.80665 * geometry.fan_mass(one.build)
            spring = guard.spring_force.value + guard.spring_rate.value * (guard.lost_motion.value + guard.stop.value)
            assert forces.force_at(one.build, guard.stop.value) == pytest.approx((weight * 30 / 72 + spring) * 1.2)
            return
    raise AssertionError("no edge tilt was sized")


@pytest.mark.parametrize(
    ("changes", "edge", "beside", "within"),
    [
        # 50 mm wide, 70 deep: edge of 70 mm, 25 mm off the middle; pin 25 + 4 + 8 mm on the other side, within 0.85 of
        # 50 - 8 - 2 = 40 mm, so that an element of 16 mm keeps a wall of 2.
        ({"width": plain(0.050), "depth": plain(0.070)}, 0.070, 0.062, 0.034),
        # Round, 60 mm, on an edge of 42: sqrt(30^2 - 21^2) = 21.4 mm off the middle; 21.4 + 42 beside, 0.85 of 51.4 - 10 within.
        ({"shape": "cylinder"}, 0.042, 0.0634, 0.0352),
    ],
    ids=["not square", "round"],
)
def test_tilts_are_sized_across_the_width(changes, edge: float, beside: float, within: float) -> None:
    shed = example("boat-shed-no-guard")
    build = replace(shed, riser=(replace(shed.riser[0], **changes),))
    for held_in, reach in (("plate", beside), ("riser", within)):
        place = next(one for one in places(build, False) if one.held_in == held_in)
        for _, one in wax_guards(build, "edge tilt", place, 370.0):
            guard = one.build.guard
            assert guard.pivot_edge.value == pytest.approx(edge)
            assert guard.pivot_distance.value == pytest.approx(reach, abs=5.1e-4)  # to a millimetre, as a file has it
            for other in [one, *(finer(one) if held_in == "riser" else [])]:
                assert not [found.says for found in faults(other.build) if "wall" in found.says or "breaks out" in found.says]
