"""The guide of a fan that is pushed up off its middle, against the balance of moments and friction written out."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from builds import example, judged
from hobwind.build.forces import force_at, friction
from hobwind.build.geometry import GRAVITY, fan_mass
from hobwind.build.guide import FRICTION, RUB, fitted_beside, foot_height, guide_length, push_arm, standing_height
from hobwind.build.guide_posts import guide_for, rub_share, too_short
from hobwind.build.over_pin import misses
from hobwind.lifting.room import lacks
from hobwind.scene.forms import Rect
from hobwind.scene.shapes import section
from hobwind.shop.stackup import stack_up
from hobwind.shop.stackup_sheet import stackup_section
from hobwind.studies.mends import riser_length
from hobwind.units import plain


def force_for(weight: float, arm: float, length: float) -> float:
    """What lifts a weight past two rubbing bearings, by going round: each push presses them, the rubbing asks for more push."""
    push = weight
    for _ in range(2000):
        pressed = push * arm / length
        push = weight + 2.0 * RUB * pressed
    return push


def test_the_length_keeps_to_the_friction_that_is_reckoned() -> None:
    build = example("boat-shed")
    found = guide_length(build)
    assert found is not None
    arm, (good, binds) = push_arm(build), found
    assert force_for(20.0, arm, good) == pytest.approx(20.0 * (1.0 + FRICTION), rel=1e-9)
    assert force_for(20.0, arm, 0.97 * binds) > 1e12 and math.isfinite(force_for(20.0, arm, 1.1 * binds))


def test_no_guide_is_asked_for_where_none_is_needed() -> None:
    build = example("boat-shed")
    inside = replace(build, guard=replace(build.guard, held_in="riser"))
    standing = replace(build, guard=replace(build.guard, stands="three pins"))
    assert (
        guide_length(inside) is None and guide_length(standing) is None and guide_length(example("boat-shed-no-guard")) is None
    )


@pytest.mark.parametrize("held_in", ["plate", "hot plate", "sink", "riser"])
def test_the_drawing_puts_the_pin_where_it_pushes(held_in: str) -> None:
    build = example("boat-shed")
    build = replace(build, guard=replace(build.guard, held_in=held_in))
    (drawn,) = [one for one in section(build).shapes if isinstance(one, Rect) and one.part == "wax element"]
    assert drawn.x + 0.5 * drawn.width == pytest.approx(1e3 * push_arm(build))


def test_pin_beside_the_fan_leaves_its_foot_room() -> None:
    """Boat shed: 110 mm under the hot plate, element 35, lost motion 1, foot 11.2: 62. With 90 mm: 42."""
    build = example()
    assert fitted_beside(build).pin_length.value == pytest.approx(62e-3)
    low = riser_length(build, 0.090)
    low = replace(low, guard=fitted_beside(low))
    assert low.guard.pin_length.value == pytest.approx(42e-3)
    height = standing_height(low)
    assert height is not None and height == pytest.approx(12e-3)


def test_a_foot_that_carries_little_stands_high() -> None:
    """By hand: two legs of 6 mm2 and 17 W/(m K); 10 mW/K want 20.4 mm each, over 3 mm of base; 60 mW/K would do with 3.4, so 10."""
    guard = example().guard
    assert foot_height(replace(guard, holder_conductance=plain(0.010))) == pytest.approx(23.4e-3)
    assert foot_height(replace(guard, holder_conductance=plain(0.060))) == pytest.approx(10e-3)


def test_a_short_guide_costs_force() -> None:
    """Boat shed on 70 mm of riser: eyes at 10 and 62.5 mm, pin 42 mm aside: 0.4 x 42 / 52.5 = 0.32 of the push is rubbed away."""
    build = riser_length(example(), 0.070)
    guide, weight = guide_for(build), GRAVITY * fan_mass(build)
    assert guide is not None and (guide.low, guide.high) == pytest.approx((10e-3, 62.5e-3))
    assert rub_share(build) == pytest.approx(0.32)
    assert force_for(weight, push_arm(build), guide.high - guide.low) == pytest.approx(weight / 0.68, rel=1e-9)
    spring = (8.0 + 0.5 * 1.0) * (1.0 + FRICTION)  # 8 N cold, 0.5 N/mm over 1 mm of lost motion
    assert force_at(build, 0.0) == pytest.approx(weight / 0.68 + spring, rel=1e-9)
    tall = riser_length(example(), 0.150)
    assert friction(tall) == FRICTION  # as far apart as is wanted: the usual share
    assert "find only" in too_short(riser_length(example(), 0.050)) and too_short(build) == ""


@pytest.mark.parametrize("tall", [0.05, 0.07, 0.09, 0.11, 0.15])
def test_posts_stay_in_their_eyes_and_strike_nothing(tall: float) -> None:
    build = riser_length(example(), tall)
    guide, stop = guide_for(build), build.guard.stop.value
    assert guide is not None
    assert guide.post <= tall - 2e-3  # the hot plate, 100 mm wide, hangs over posts 41 mm from the middle
    if tall >= 0.06:
        assert guide.high + 1.5e-3 + stop < guide.post and guide.high - guide.low >= 32e-3
    assert guide.low - 1.5e-3 > 3e-3 + 3.2e-3  # clear of the base's sheet and the thin locknut M6 (ISO 4035: 3.2 mm)
    assert all(0.0 < high < tall for high in guide.screws)


@pytest.mark.parametrize("kind", ["central lift", "edge tilt", "lever tilt"])
def test_a_pin_over_which_nothing_hangs_is_a_fault_with_the_widths(kind: str) -> None:
    """A riser 150 mm wide: pin, or lever's end, 75 + 4 + 8 = 87 mm off the middle; the sink's base, 150 mm, ends at 75.

    Pin of 5 mm under it all across: 2·87 + 5 = 179 mm of sink, or 150 - 29 = 121 mm of riser: 60.5 + 12 + 2.5 = 75.
    """
    shed = example()
    guard = replace(shed.guard, kind=kind)
    build = replace(shed, guard=guard, riser=(replace(shed.riser[0], width=plain(0.150)),))
    missed = misses(build)
    assert missed is not None and "87 mm off its middle" in missed.says and "the sink's base, ends at 75 mm" in missed.says
    assert "179 mm wide" in missed.mend and "a riser at most 121 mm wide" in missed.mend
    told = stackup_section(stack_up(build, judged().solved), build).findings
    assert any(one.startswith("fault: nothing hangs over the pin") for one in told)
    assert "nothing hangs over its pin" in lacks(build)
    assert misses(replace(shed, guard=guard)) is None and "nothing hangs over its pin" not in lacks(replace(shed, guard=guard))
    assert misses(replace(build, guard=replace(guard, held_in="riser"))) is None


def test_a_plate_that_draws_back_from_its_pin_is_a_fault() -> None:
    """Riser 70 mm wide: pin 35 + 12 = 47 mm off the middle; hot plate to 50, 110 mm up. Tilted by 3 mm at 82 mm the plate goes to
    (35 + 50)·cos - 110·sin - 35 = 45.9 mm, by 2 mm to 47.3; on a riser of 60 mm (30 + 50)·cos - 110·sin - 30 = 46.9, past the pin's 42.
    """
    shed = example()
    wide = replace(shed, riser=(replace(shed.riser[0], width=plain(0.070)),))

    def tilting(build, distance: float, **more):
        return replace(build, guard=replace(build.guard, kind="edge tilt", pivot_distance=plain(distance), **more))

    missed = misses(tilting(wide, 0.082, stop=plain(0.003)))
    assert missed is not None and missed.code == "slips-off-pin"
    assert "from 50 to 45.9 mm off the middle" in missed.says and "47 mm off it" in missed.says
    more = re.search(r"a hot plate (\d+) mm wider", missed.mend)
    assert more is not None and wide.hot_plate is not None
    for short, wrong in ((0, None), (2, "slips-off-pin")):
        plate = replace(wide.hot_plate, width=plain(0.100 + 1e-3 * (float(more[1]) - short)))
        again = misses(tilting(replace(wide, hot_plate=plate), 0.082, stop=plain(0.003)))
        assert (None if again is None else again.code) == wrong
    assert misses(tilting(wide, 0.082)) is None and misses(tilting(shed, 0.072)) is None and misses(wide) is None
    assert misses(tilting(shed, 0.072, stop=plain(0.006))) is not None  # 6 mm draw it back by 9
    turned = misses(
        replace(wide, guard=replace(wide.guard, kind="lever tilt", lever_ratio=plain(2.0), pivot_distance=plain(0.074)))
    )
    assert turned is None  # a lever's end at 39 mm
