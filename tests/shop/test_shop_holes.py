"""Holes worked by hand, and builds that cannot be made: each a finding with its figures."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shop_builds import round_riser, wide_spreader, with_changes

from builds import NAMES, example
from hobwind.build import Build
from hobwind.shop.hole_checks import faults, red_spots
from hobwind.shop.holes import all_holes, clamp_load, grip, has_room_for_nuts, screw_fit
from hobwind.shop.made_parts import bar_needed, made_parts, numbered
from hobwind.units import plain


def said(build: Build) -> str:
    return "\n".join(one.says for one in faults(build))


def test_force_on_a_screw_by_hand() -> None:
    """1.1 MPa on two modules of 40 x 40 mm over four screws: 1.1·3200/4 = 880 N."""
    assert clamp_load(example()) == pytest.approx(880.0)


def test_grip_by_hand() -> None:
    """Module 3.9, sink base 6, bush collar 1.2 mm: 11.1 mm; with a spreader of 6 mm between: 17.1 mm."""
    assert grip(example()) == pytest.approx(11.1e-3)
    assert grip(wide_spreader()) == pytest.approx(17.1e-3)


def test_steel_screws_engagement_by_hand() -> None:
    """M6 in 10 mm of 6082: usual 2 d = 12, room 10 − 0.5 = 9.5; free 14, so a 20 mm screw has 6 mm = 1 d in the thread.

    It tears out at 0.6·280·0.25 = 42 MPa on (6 − 0.8)·12.191 mm²: 2662 N, three times 880 N.
    """
    fit = screw_fit(example("boat-shed-steel-screws"))
    assert fit is not None and fit.screw is not None
    assert (fit.usual, fit.room, fit.screw, fit.engaged) == pytest.approx((12e-3, 9.5e-3, 20e-3, 6e-3))
    assert fit.holds == pytest.approx(2662.0, rel=1e-3)  # worked to four digits


def test_a_plate_too_thin_for_a_thread_gets_nuts_by_hand() -> None:
    """M4 in 4 mm of 6082: 5.95 mm of thread wanted, 3.5 there. To the nut 12 + 4; with 3.2 and a pitch, 19.9: a screw of 20 mm.

    The nut's thread tears out at 0.6·360·0.95 = 205.2 MPa on (3.2 − 0.8·0.7)·7.769 mm²: 4209 N.
    """
    thin = with_changes(("hot_plate", "thickness", '"4 mm"'))
    fit = screw_fit(thin)
    assert fit is not None and fit.nut and fit.screw is not None
    assert (fit.free, fit.engaged, fit.screw) == pytest.approx((16e-3, 3.2e-3, 20e-3))
    assert fit.holds == pytest.approx(4209.0, rel=1e-3)  # worked to four digits
    (passes,) = [one for one in all_holes(thin) if one.part == "hot plate" and not one.use.startswith("plate screw")]
    assert passes.thread is None and passes.drill == pytest.approx(4.5e-3)  # ISO 273, medium
    assert "a nut below" in said(thin) and "fault" not in said(thin)
    assert "free_length" not in said(thin)  # the plate below it is counted on both sides


def test_blind_hole_by_hand() -> None:
    """M4 into the round riser: free 20, 25 mm screw would hold 5 < 5.95 mm; 30 mm has 10: tap 10 + 2·0.7, drill 3.8 deeper."""
    build = round_riser()
    (holes,) = [one for one in all_holes(build) if one.thread is not None and one.face == "top"]
    fit = screw_fit(build)
    assert fit is not None and fit.screw == pytest.approx(30e-3)
    assert (holes.thread_depth, holes.depth) == pytest.approx((11.4e-3, 15.2e-3))


def test_pocket_and_pin_by_hand() -> None:
    """Element 35 mm long, its middle at 40 mm, in a riser of 70: the pocket's floor at 22.5, so 47.5 deep from the top."""
    pocket, pin = [
        one for one in all_holes(example("boat-shed-hunting")) if one.part == "riser 1" and "plate screw" not in one.use
    ]
    assert (pocket.drill, pocket.depth) == pytest.approx((16.2e-3, 47.5e-3))
    assert (pin.drill, pin.depth) == (pytest.approx(5.3e-3), None)


def test_saw_lengths_by_hand() -> None:
    """110 mm and 0.5 mm to face at each end: 111; the bar needs a cut of 1.5 mm more: 112.5, bought as 113."""
    (riser, *_) = made_parts(example())
    assert riser.saw_length == pytest.approx(111e-3)
    assert bar_needed(made_parts(example())) == [("60 x 60", "aluminium 6082", pytest.approx(113e-3))]


@pytest.mark.parametrize("name", NAMES)
def test_parts_are_numbered_once_each(name: str) -> None:
    rows = numbered(example(name))
    assert [one.number for one in rows] == list(range(1, len(rows) + 1))
    # A riser's side is a second sheet of the riser, under its number.
    assert {one.name.removesuffix(" side") for one in made_parts(example(name))} <= {one.name for one in rows}


def test_thread_deeper_than_the_plate() -> None:
    """A hot plate of 4 mm leaves 3.5 mm for M4; 880 N twice over 42 MPa asks for 5.95 mm. Below is riser: no room for a nut."""
    build = with_changes(("hot_plate", "thickness", '"4 mm"'), ("riser", "width", '"100 mm"'))
    fit = screw_fit(build)
    assert fit is not None and not fit.nut
    # A round riser: the screws' middles lie 51.5 mm out, an M4 nut reaches 4.62 mm back from there.
    top = build.riser[-1]
    for wide, room in ((93e-3, True), (94e-3, False)):
        bar = replace(top, shape="cylinder", width=plain(wide), depth=plain(wide))
        assert has_room_for_nuts(replace(build, riser=(bar,))) is room
    assert "thread is deeper than the part: 6.0 mm of thread are wanted" in said(build)
    assert "there is room for 3.5 mm" in said(build)
    assert ("hot plate", "A", 0) in red_spots(faults(build))


def test_wall_and_break_out() -> None:
    """Ø75: on 69 mm an M4 leaves 37.5 − 34.5 − 2 = 1.0 mm; on 74 mm it breaks out by 1.5 mm."""
    assert "leaves a wall of 1.0 mm; 1.5 mm at least" in said(round_riser("69 mm"))
    assert "breaks out of the part's edge by 1.5 mm; move it inwards by 3.0 mm" in said(round_riser("74 mm"))
    thin = with_changes(("screws", "along", '"56 mm"'), ("hot_plate", "depth", '"62.6 mm"'))
    assert "leaves a wall of 1.3 mm" in said(thin)  # 31.3 - 28 - 2
    assert "advice: hot plate, hole A (clamp screw, 4 mm) is 5.0 mm from the edge; 1.5 diameters, 6.0 mm" in said(example())


def test_pocket_of_a_tilting_fan_may_miss_the_riser() -> None:
    """The pin 80 mm from the far edge of a foot 60 mm wide is 20 mm outside it."""
    build = with_changes(
        ("guard", "kind", '"edge tilt"'), ("guard", "stop", '"3 mm"'), ("guard", "pivot_distance", '"80 mm"'),
        name="boat-shed-hunting",
    )  # fmt: skip
    assert "breaks out of the part's edge by 28.1 mm" in said(build)  # 20 + 16.2 / 2


def test_a_screw_too_near_the_pocket() -> None:
    """Eight screws on 66 mm, one at (33, 0); the pin 60 mm from the far edge is at 22.5 across: 10.5 - 2 - 8.1 = 0.4 mm of wall."""
    build = round_riser(
        "66 mm", ("screws", "count", "8"), ("guard", "kind", '"edge tilt"'), ("guard", "stop", '"3 mm"'),
        ("guard", "pivot_distance", '"60 mm"'),
    )  # fmt: skip
    assert "leave a wall of 0.4 mm between them" in said(build)
    assert {("riser 1", "A", 0), ("riser 1", "B", 0)} <= red_spots(faults(build))


def test_pocket_without_a_floor() -> None:
    """A pocket whose floor is 3 mm up leaves less than a point's length, 16.2·0.3 = 4.9 mm."""
    build = with_changes(("guard", "element_height", '"20.5 mm"'), name="boat-shed-hunting")
    assert "1.5 mm at least is wanted" in said(build) and "pocket of the wax element" in said(build)


def test_free_length_shorter_than_the_parts() -> None:
    assert "screws.free_length is 9.0 mm" in said(with_changes(("screws", "free_length", '"9 mm"')))
    assert "take 11.1 mm" in said(with_changes(("screws", "free_length", '"9 mm"')))


def test_heads_strike_fins() -> None:
    """Fins of the 150 mm amplifier sink stand at ±5, ±15 ... ±45 mm: right under screws at ±45."""
    assert "4 screw heads, 9.0 mm across, strike fins: the nearest fin is 0.0 mm" in said(
        with_changes(("sink", "fins_cut", '"8 mm"'))
    )
    assert "strike fins" not in said(example())  # cut back to 12 mm, more than the 9 mm of a collar
    apart = with_changes(("sink", "fin_pitch", '"18 mm"'), ("sink", "fin_count", "7"))  # at ±36 and ±54: 7.75 mm of room
    assert "strike fins" not in said(apart)


def test_unknown_thread() -> None:
    build = with_changes(("screws", "thread", '"1/4-20"'))
    assert screw_fit(build) is None
    assert '"1/4-20" is not a coarse thread' in said(build)
