"""The guide of a fan that is pushed up off its middle, against the balance of moments and friction written out."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from builds import example
from hobwind.build.geometry import FRICTION
from hobwind.build.guide import RUB, fitted_beside, guide_length, push_arm, standing_height
from hobwind.scene.forms import Rect
from hobwind.scene.shapes import section
from hobwind.studies.mends import riser_length


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
    """Boat shed: 110 mm under the hot plate, element 35, lost motion 1, foot 10: 64, so the 60 it has. With 90 mm: 44 mm."""
    build = example()
    assert fitted_beside(build).pin_length.value == pytest.approx(60e-3)
    low = riser_length(build, 0.090)
    low = replace(low, guard=fitted_beside(low))
    assert low.guard.pin_length.value == pytest.approx(44e-3)
    height = standing_height(low)
    assert height is not None and height == pytest.approx(10e-3)
