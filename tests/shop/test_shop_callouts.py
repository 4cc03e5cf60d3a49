"""Words on templates: beside a narrow part, none on another, none on an outline."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from builds import NAMES, example
from hobwind.build import Build
from hobwind.scene.forms import Dimension, Rect, Shape, Text, bounds
from hobwind.shop.callouts import NARROW, Named, above
from hobwind.shop.ink import drawn
from hobwind.shop.made_parts import made_parts
from hobwind.shop.templates import templates
from hobwind.units import plain

Box = tuple[float, float, float, float]


def within(shape: Shape) -> Box:
    """A shape's box, a tenth of a millimetre smaller all round: touching is not lying on one another."""
    left, low, right, high = bounds(shape)
    return left + 0.1, low + 0.1, right - 0.1, high - 0.1


def apart(one: Box, other: Box) -> bool:
    return one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


def holds(outer: Box, inner: Box) -> bool:
    return outer[0] < inner[0] and outer[1] < inner[1] and inner[2] < outer[2] and inner[3] < outer[3]


def kinds() -> list[Build]:
    build = example()
    lever = replace(build.guard, kind="lever tilt", lever_ratio=plain(2.0))
    return [*(example(name) for name in NAMES), replace(build, guard=lever)]


@pytest.mark.parametrize("build", kinds(), ids=lambda build: f"{build.name} {build.guard.kind}")
def test_words_of_narrow_parts_lie_on_nothing(build: Build) -> None:
    narrow = {
        part.name.replace(" ", "-") for part in made_parts(build)
        if part.shape == "block" and (part.seen == "the side" or 1e3 * min(part.width, part.depth) <= NARROW)
    }  # fmt: skip
    assert narrow
    for one in templates(build):
        if one.key not in narrow:
            continue
        plain_shapes = [line for shape in one.shapes for line in (drawn(shape) if isinstance(shape, Dimension) else [shape])]
        words = [shape for shape in plain_shapes if isinstance(shape, Text)]
        for first, second in itertools.combinations(words, 2):
            assert apart(within(first), within(second)), (one.key, first.text, second.text)
        for word, shape in itertools.product(words, plain_shapes):
            if isinstance(shape, Rect):
                box = within(word)
                assert apart(box, bounds(shape)) or holds(bounds(shape), box), (one.key, word.text, shape.part)


def test_words_pushed_aside_stay_about_their_places() -> None:
    """Three of 10 letters at one place, 2.4 mm lettering of 0.6021: 14.45 mm each and 1.5 between, the middle one over the place."""
    named = [Named(f"{i}", "TEXT", f"word {i} ten", 0.0, 0.0, 1.0) for i in range(3)]
    texts = [shape for shape in above(named, 5.0) if isinstance(shape, Text)]
    middles = [shape.x + 0.5 * 0.6021 * 2.4 * 10 for shape in texts]
    assert middles == pytest.approx([-15.95, 0.0, 15.95], abs=0.01)
