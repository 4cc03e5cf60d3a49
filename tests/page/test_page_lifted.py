"""The lifted drawing: whatever kind of guard, pin and element still meet while the fan stands at its stop."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from builds import example
from hobwind.build import Build
from hobwind.page.drawing import draw

SVG = "{http://www.w3.org/2000/svg}"


def held(held_in: str) -> Build:
    build = example()
    return replace(build, guard=replace(build.guard, held_in=held_in))


def groups(build: Build) -> dict[str, dict[str, tuple[float, float]]]:
    """Top and bottom on paper of the guard's rectangles, by group and part."""
    root = ElementTree.fromstring(draw(build, {}, {}, 20.0).svg)
    found: dict[str, dict[str, tuple[float, float]]] = {}
    for group in root.iter(f"{SVG}g"):
        if group.get("id") in ("lifting", "pushing", "front"):
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


def test_the_drawing_says_how_high_the_pin_pushes() -> None:
    """Hot plate's underside at 110 mm; a tilt by an angle a lifts what is straight over the pin by x tan a + 110 (1/cos a - 1)."""
    told = {name: re.search(r'data-over="([\d.]+)"', draw(held(name), {}, {}, 20.0).svg) for name in ("plate", "riser")}
    assert [one[1] for one in told.values() if one] == ["110", "0"]
