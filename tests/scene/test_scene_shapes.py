"""Shapes stand where the geometry says, in millimetres."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hobwind.build import Build
from hobwind.build import geometry as g
from hobwind.parts.catalogue import Shelf
from hobwind.scene.forms import Circle, Dimension, Rect, Scene
from hobwind.scene.shapes import plan, section

SINKS = ["amplifier sink 150 x 100", "finned barrel 80", "engine cylinder", "pin fins 60"]


def rects(scene: Scene, part: str) -> list[Rect]:
    return [shape for shape in scene.shapes if isinstance(shape, Rect) and shape.part == part]


def test_riser_is_to_scale(build: Build) -> None:
    (riser,) = rects(section(build), "riser 1")
    assert riser.height == pytest.approx(build.riser[0].length.value * 1e3, abs=1e-9)
    assert riser.width == pytest.approx(build.riser[0].width.value * 1e3, abs=1e-9)
    assert riser.y == 0.0


def test_modules_lie_between_riser_and_sink(build: Build) -> None:
    scene = section(build)
    (module,) = rects(scene, "module")
    assert module.y == pytest.approx(g.riser_height(build) * 1e3)
    assert min(part.y for part in rects(scene, "sink")) == pytest.approx(module.y + module.height)


def test_dimensions_say_what_the_geometry_says(build: Build) -> None:
    sizes = {s.part: s.measure for s in section(build).shapes if isinstance(s, Dimension)}
    blade, hub = build.blade.part.diameter.value * 1e3, build.blade.height.value * 1e3
    assert sizes["riser"] == pytest.approx(g.riser_height(build) * 1e3)
    assert sizes["foot"] == pytest.approx(build.riser[0].width.value * 1e3)
    assert sizes["blade"] == pytest.approx(blade)
    assert sizes["fan"] == pytest.approx(hub + 0.5 * blade)


def test_plan_has_every_module_and_screw_hole(build: Build) -> None:
    scene = plan(build)
    assert build.screws is not None
    holes = [(s.x, s.y, s.diameter) for s in scene.shapes if isinstance(s, Circle) and s.part == "screw holes"]
    hole = build.screws.hole.value * 1e3
    expected = [(x * 1e3, y * 1e3, hole) for x, y in g.screw_places(build.screws)]
    assert len(holes) == len(expected)
    for found, wanted in zip(holes, expected, strict=True):
        assert found == pytest.approx(wanted, abs=1e-6)
    for i, (x, y, wide, deep) in enumerate(g.module_places(build)):
        (module,) = rects(scene, f"module {i + 1}")
        middle = (module.x + 0.5 * module.width, module.y + 0.5 * module.height)
        assert middle == pytest.approx((x * 1e3, y * 1e3), abs=1e-6)
        assert (module.width, module.height) == pytest.approx((wide * 1e3, deep * 1e3))


@pytest.mark.parametrize("name", SINKS)
def test_every_shape_of_sink_fills_its_box(build: Build, name: str) -> None:
    other = replace(build, sink=replace(build.sink, part=Shelf(None).find("sink", name)))
    width, _, height = g.sink_box(other)
    parts = [shape for shape in section(other).shapes if shape.part == "sink"]
    assert parts
    drawn = Scene("", tuple(parts), ()).box
    assert drawn[2] - drawn[0] <= width * 1e3 + 1e-6
    assert drawn[3] - drawn[1] == pytest.approx(height * 1e3)


@pytest.mark.parametrize("held_in", ["riser", "spreader", "sink", "plate"])
def test_element_stands_above_the_stove_plate(build: Build, held_in: str) -> None:
    scene = section(replace(build, guard=replace(build.guard, held_in=held_in)))
    (element,) = rects(scene, "wax element")
    assert element.y >= 0.0
    for pin in rects(scene, "push pin"):
        assert pin.height > 0.0
