"""The lifted drawing: whatever kind of guard, pin and element still meet while the fan stands at its stop."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from builds import example
from hobwind.build import Build
from hobwind.page.drawing import draw
from hobwind.units import plain

SVG = "{http://www.w3.org/2000/svg}"


def held(held_in: str) -> Build:
    build = example()
    return replace(build, guard=replace(build.guard, held_in=held_in))


def groups(build: Build) -> dict[str, dict[str, tuple[float, float]]]:
    """Top and bottom on paper of the guard's rectangles, by group and part."""
    root = ElementTree.fromstring(draw(build, {}, {}, 20.0).svg)
    found: dict[str, dict[str, tuple[float, float]]] = {}
    for group in root.iter(f"{SVG}g"):
        if group.get("id") in ("still", "lifting", "pushing", "lever", "front"):
            rows = [
                (one.get("data-part"), float(one.get("y", "0")), float(one.get("height", "0")))
                for one in group.iter(f"{SVG}rect")
            ]
            found[str(group.get("id"))] = {str(part): (y, y + high) for part, y, high in rows}
    return found


def test_a_pin_that_pushes_up_reaches_down_through_its_element() -> None:
    """It rises out of the element that stays: by as much as the element is long it still hides its lower end."""
    found = groups(held("plate"))
    pin, element = found["pushing"]["push pin"], found["front"]["wax element"]
    assert pin[1] == pytest.approx(element[1]) and "wax element" not in found["lifting"]
    assert pin[0] == pytest.approx(found["lifting"]["hot plate"][1])  # its tip at the underside it pushes


@pytest.mark.parametrize("held_in", ["riser", "hot plate", "sink"])
def test_a_pin_that_stays_on_the_plate_is_met_by_the_elements_own(held_in: str) -> None:
    found = groups(held(held_in))
    own, element, pin = found["lifting"]["element's pin"], found["lifting"]["wax element"], found["front"]["push pin"]
    assert own[0] == pytest.approx(element[1]) and own[1] > own[0]
    assert own[1] <= pin[1] + 0.011 and pin[0] == pytest.approx(element[1])  # hidden behind the push pin while the fan is down
    assert not found["pushing"]


def test_a_tilting_fan_turns_about_its_foots_far_edge() -> None:
    """Foot 60 mm wide: the edge lies 30 mm left of its middle, the pin 72 mm from it. Its top, 305 mm up, leans 305·2/72 = 8.5 mm:
    drawn 20/8.5 = 2.4 times as far. Riser of 110 mm over a foot 40 mm wide and 80 mm deep: 20 mm left of the middle, 52 mm from it.
    """
    pushed = replace(example().guard, kind="edge tilt", pivot_distance=plain(0.072))
    foot = replace(example().riser[0], width=plain(0.04), depth=plain(0.08))
    narrow = replace(example(), riser=(foot,), guard=replace(pushed, pivot_distance=plain(0.052)))
    told = [draw(one, {}, {}, 20.0).svg for one in (example(), replace(example(), guard=pushed), narrow)]

    def read(svg: str, key: str) -> str:
        return re.search(rf'data-{key}="([^"]*)"', svg)[1]  # type: ignore[index]

    assert read(told[0], "pivot") == "" and read(told[0], "times") == "4" and read(told[1], "times") == "2.4"
    for svg, back, reach in ((told[1], 30.0, 72.0), (told[2], 20.0, 52.0)):
        x, y, far = (float(one) for one in read(svg, "pivot").split())
        edge_x, edge_y = (float(one) for one in read(svg, "edge").split())
        assert (x, y, far) == pytest.approx((edge_x, edge_y, reach), abs=0.011)
        assert float(read(svg, "foot")) == pytest.approx(2.0 * back)


def test_stop_guide_and_lever_are_drawn_where_they_move_or_stay() -> None:
    found = groups(held("plate"))
    collar, bridge, hot = found["pushing"]["stop collar"], found["front"]["bridge"], found["lifting"]["hot plate"]
    assert "guide posts" in found["still"] and {"lower eye", "upper eye"} <= set(found["lifting"])
    assert collar[0] - bridge[1] == pytest.approx(1.0 + 2.0)  # lost motion and stop: the pin's whole way
    assert bridge[0] > hot[1]  # the bridge is lower on paper than the plate that the pin pushes
    levered = groups(replace(example(), guard=replace(example().guard, kind="lever tilt", lever_ratio=plain(2.0))))
    assert levered["lever"]["lever"][0] == pytest.approx(levered["lifting"]["hot plate"][1])
    assert levered["lever"]["lever"][1] == pytest.approx(levered["pushing"]["push pin"][0])
    clipped = groups(held("hot plate"))
    assert "bridge" in clipped["lifting"] and "stop collar" in clipped["front"]  # hangs on the fan; stays on its pin


def test_sizes_of_the_fan_move_with_it() -> None:
    svg = draw(example(), {}, {}, 20.0).svg
    fan, still = (
        svg.split('<g id="sizes-fan"')[1].split('<g id="items"')[0],
        svg.split('<g id="sizes"')[1].split('<g id="sizes-fan"')[0],
    )
    assert fan.count('class="size"') == 3 and still.count('class="size"') == 1  # riser, fan, blade; the foot's width stays
