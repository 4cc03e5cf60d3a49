"""One wax guard along its stroke, against hand calculation; an element's places against two resistances in a row."""

from __future__ import annotations

import numpy as np
import pytest

from builds import example, text_of
from hobwind.build import build_from_text, forces
from hobwind.stack.fields import Seen
from hobwind.stack.prepare import prepare
from hobwind.stack.steady import settled_map
from hobwind.studies.guards_sizes import waxes
from hobwind.studies.stroke import element_places, own_place, same_place, stroke_loop

ZERO = 273.15


def test_the_loop_opens_and_closes_where_a_pencil_says() -> None:
    """Wax 88: opens 88, full 101, travel 9 mm, 4 K between ways; 1 mm lost motion. 88 + 1/9 · 13 = 89.44; 4 K less 85.44."""
    loop = stroke_loop(example())
    assert loop is not None
    assert (loop.lifts_at - ZERO, loop.sits_at - ZERO) == pytest.approx((89.444, 85.444), abs=1e-3)  # printed to 3 digits
    warm = np.interp(94.5 + ZERO, loop.element, loop.opening)
    cool = np.interp(94.5 + ZERO, loop.element, loop.closing)
    # Half of 13 K: half of 9 mm; cooling as if 4 K hotter: (6.5 + 4)/13 · 9 mm. Corners lie between points 0.4 K apart.
    assert (warm * 1e3, cool * 1e3) == pytest.approx((4.5, 7.269), abs=2e-3)
    assert loop.stop_at == pytest.approx(3e-3)  # 1 mm lost and 2 mm of lift
    assert np.all(loop.closing >= loop.opening - 1e-12)


def test_the_force_along_the_stroke_by_hand() -> None:
    """2 kg: 19.613 N, over 1 - 0.4 · 42/92.5 for the guide, and the usual spring, 8 N cold and 0.5 N/mm, a fifth more for friction: 9.6 N
    cold, 10.2 N when 1 mm of lost motion is used up, 23.97 + 10.2 = 34.17 N, and after 2 mm of lift 35.37 N."""
    text = text_of().replace("[guard]\n", '[fan]\nmass = "2 kg"\n\n[guard]\n')
    loop = stroke_loop(build_from_text(text))
    assert loop is not None
    lifted = 2.0 * 9.80665 / (1.0 - 0.4 * 42.0 / 92.5)
    before, after = loop.force[loop.stroke < 1e-3], loop.force[loop.stroke >= 1e-3]
    assert before == pytest.approx(1.2 * (8.0 + 500.0 * loop.stroke[loop.stroke < 1e-3]))
    assert (before[0], before[-1]) == pytest.approx((9.6, 10.2))
    assert after[0] == pytest.approx(lifted + 1.2 * 8.5)
    assert after[-1] == pytest.approx(lifted + 1.2 * (8.0 + 0.5 * 3.0)) == pytest.approx(loop.wanted)
    assert loop.wanted == forces.lifting_force(build_from_text(text))[0]
    assert loop.gap_near[-1] == loop.gap_far[-1] == pytest.approx(2e-3)  # stands as it is lifted: even all round


def test_a_lever_needs_less_stroke_and_more_force() -> None:
    """Lever 2:1: 2 mm of lift take 1 mm of stroke beyond 1 mm lost; pin 51 of 60 mm deep: (0.5 · 60/51) of the weight, twice."""
    text = text_of().replace("[guard]\n", '[fan]\nmass = "2 kg"\n\n[guard]\n').replace('"central lift"', '"lever tilt"')
    text = text.replace('stop = "2 mm"', 'stop = "2 mm"\nlever_ratio = "2"\npivot_distance = "51 mm"')
    loop = stroke_loop(build_from_text(text))
    assert loop is not None and loop.stop_at == pytest.approx(2e-3)
    assert loop.wanted == pytest.approx(1.2 * (2.0 * 9.80665 * 0.5 * 60.0 / 51.0 * 2.0 + 8.0 + 0.5 * 2.0))
    assert (loop.gap_near[-1], loop.gap_far[-1]) == pytest.approx((0.0, 2e-3 * 60.0 / 51.0))  # a wedge: like triangles


def test_no_element_has_no_loop() -> None:
    assert stroke_loop(example("boat-shed-no-guard")) is None


def test_elements_beside_the_fan_read_what_resistances_in_a_row_give() -> None:
    """T = (G T_plate + G_ring T_air)/(G + G_ring), 1/G = 1/G_foot + lag/heat capacity, the wax's own way in (exact-series).

    The air is read from one foot; the other five follow by hand.
    """
    build = example("boat-shed-no-guard")
    found, wax = element_places(build), waxes(build)[0]
    beside = [one for one in found if one.place.held_in == "plate"]
    assert len(beside) == 6
    inside, ring = wax.lag.value / wax.heat_capacity.value, 0.060
    ways = [1.0 / (1.0 / one.place.holder + inside) for one in beside]
    for plate, reads in ((230.0, [one.usual - ZERO for one in beside]), (330.0, [one.worst - ZERO for one in beside])):
        air = (reads[0] * (ways[0] + ring) - ways[0] * plate) / ring
        by_hand = [(way * plate + ring * air) / (way + ring) for way in ways]
        assert reads == pytest.approx(by_hand, abs=0.05)  # settled to a hundredth of a kelvin
    within = [one.usual for one in found if one.place.held_in == "riser"]
    assert len(within) == 4 and within == sorted(within, reverse=True)  # cooler further up
    assert [one.place.height for one in found] == sorted(one.place.height for one in found)


def test_the_builds_own_place_stands_among_the_others() -> None:
    """In a row of its own where it is none of the usual ones; settled as the build itself is with its fan held down."""
    build = example("boat-shed-hunting")
    found, own = element_places(build), own_place(build)
    assert own is not None and [one.place for one in found if same_place(one.place, own)] == [own]
    stove = build.stove
    plates = np.linspace(stove.room.value, stove.usual_plate.value, 6)
    itself = settled_map(prepare(build), plates, "held down").from_rest[-1].seen[Seen.element]
    (row,) = [one for one in found if one.place is own or one.place == own]
    assert row.usual == pytest.approx(float(itself), abs=0.2)  # the element's own size makes tenths
    shed = example("boat-shed")
    assert sum(same_place(one.place, own_place(shed)) for one in element_places(shed)) == 1
