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


def test_a_tilting_fan_is_seen_to_rise_at_its_near_edge() -> None:
    """Foot 60 mm deep, pin 50 mm from the far edge: where the pin lifts 1 mm the near edge rises 60/50; a lever of 2 : 1 halves the pin."""
    guard = replace(example().guard, kind="lever tilt", lever_ratio=plain(2.0), pivot_distance=plain(0.05))
    told = [draw(replace(example(), guard=one), {}, {}, 20.0).svg for one in (example().guard, guard)]
    read = [[re.search(rf'data-{key}="([^"]*)"', one)[1] for key in ("near", "pin")] for one in told]  # type: ignore[index]
    assert read == [["1.0000", "1.0000"], ["1.2000", "0.5000"]]
    assert 'id="underside"' in told[1] and 'id="underside"' not in told[0]


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
