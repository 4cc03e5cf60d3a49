"""The clip of an element at a plate's side: its sizes by hand, its holes on clip and plate one over the other, no room told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builds import example
from hobwind.build import Build
from hobwind.lifting.clip import clip_for, no_clip
from hobwind.lifting.foot import rods_apart
from hobwind.lifting.frame import bridge_height, rod_length
from hobwind.lifting.room import lacks
from hobwind.shop.hole_checks import faults
from hobwind.shop.holes import all_holes
from hobwind.shop.made_parts import made_parts
from hobwind.shop.order import faults as order_faults
from hobwind.shop.order_plan import plan
from hobwind.shop.parts_list import guard_extras
from hobwind.units import plain


def at_side(held_in: str, wide: float = 0.1) -> Build:
    build = example()
    assert build.hot_plate is not None
    plate = replace(build.hot_plate, width=plain(wide))
    guard = replace(build.guard, held_in=held_in, element_loss=plain(0.01))
    return replace(build, hot_plate=plate, guard=guard)


def test_ear_by_hand() -> None:
    """Plate 100 mm on a riser of 60: 20 mm past it, 16 of them taken; element of 16 mm beside the edge, its middle at 58, 5 mm past it."""
    one = clip_for(at_side("hot plate"))
    assert one is not None
    assert (one.inner, one.screws, one.element, one.outer) == pytest.approx((0.034, 0.042, 0.058, 0.071))
    assert one.lap == pytest.approx(0.016) and one.hole == pytest.approx(0.0161)
    # M4 through 5 mm of ear into as much of the plate's 10 as 8: 13, so 12 mm; 7 in the plate, within a thread tapped through.
    assert one.screw == pytest.approx(0.012) and one.screw - 5e-3 <= one.thick


def test_its_holes_lie_over_the_plates() -> None:
    build = at_side("hot plate")
    one = clip_for(build)
    parts = {part.name: part for part in made_parts(build)}
    assert one is not None and {"element clip", "keeper", "bridge"} <= set(parts)
    clip = parts["element clip"]
    middle = 0.5 * (one.inner + one.outer)
    screws = next(holes for holes in clip.holes if holes.use.startswith("screw"))
    plate = next(holes for holes in all_holes(build) if holes.use == "screw of the element's clip")
    assert plate.part == "hot plate" and plate.thread is not None and plate.thread.name == "M4"
    assert [(x + middle, y) for x, y in screws.places] == [pytest.approx(place) for place in plate.places]
    # Studs in one line through keeper, clip and bridge.
    for name in ("element clip", "keeper", "bridge"):
        studs = next(holes for holes in parts[name].holes if holes.use == "bridge stud")
        assert sorted(y for _, y in studs.places) == pytest.approx([-0.5 * rods_apart(build), 0.5 * rods_apart(build)])
    # From a nut of 3.2 and two threads of 0.7 mm over the keeper of 3 to as much below the bridge of 3.
    high, rod = bridge_height(build), rod_length(build)
    assert high is not None and rod == pytest.approx(high + 3e-3 + 3e-3 + 2.0 * 4.6e-3)
    # They end short of the pin's tip, which stands the lost motion over the stove plate: never on it.
    assert build.guard.element is not None
    assert high + 3e-3 + 4.6e-3 < build.guard.element.length.value + build.guard.pin_length.value
    assert not [found for found in faults(build) if found.part in ("element clip", "keeper")]
    assert not order_faults(plan(build, None, None)) and not guard_extras(build)[1:]


@pytest.mark.parametrize("held_in", ["hot plate", "sink"])
def test_no_room_for_a_clip_is_told(held_in: str) -> None:
    """A hot plate of 80 mm reaches 10 mm past the riser; under a sink of 150 a plate of 140 leaves 5: 13 are wanted."""
    tight = at_side(held_in, 0.08 if held_in == "hot plate" else 0.14)
    assert clip_for(tight) is None
    assert (
        f"the {held_in} reaches {10 if held_in == 'hot plate' else 5} mm past what stands below it; 13 are wanted"
        in no_clip(tight)
    )
    assert "its element finds no clip" in lacks(tight)
    assert any("it finds no room there" in line for line in guard_extras(tight))
    assert no_clip(at_side(held_in)) == ""
