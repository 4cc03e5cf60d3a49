"""A build made whole reads back as the same build, with every number's source beside it."""

from __future__ import annotations

import pytest

from builds import NAMES, build_with, example
from hobwind.build import build_from_text, digest, whole_text
from hobwind.build.whole import every_value

OTHERS = {
    "pins": (("sink", "part", '"pin fins 100"'), ("screws", "across", '"86 mm"'), ("modules", "count", "1")),
    "measured": (
        ("sink", "part", '"processor cooler with heat pipes"'),
        ("hot_plate", "width", '"60 mm"'),
        ("screws", "across", '"52 mm"'),
        ("modules", "count", "1"),
    ),
    "own numbers": (
        ("motor", "resistance", '"9.5 ± 0.4 Ω"'),
        ("riser", "material", '{ part = "copper", conductivity = "380 W/(m K)" }'),
    ),
    "lagged": (("wiring", "arrangement", '"parallel"'),),
}


def same(first, second) -> None:
    assert dict(every_value(first)) == dict(every_value(second))
    assert digest(first) == digest(second)


@pytest.mark.parametrize("name", NAMES)
def test_reads_back_the_same(name: str) -> None:
    same(example(name), build_from_text(whole_text(example(name))))


@pytest.mark.parametrize("changes", OTHERS.values(), ids=OTHERS)
def test_other_shapes_read_back_too(changes) -> None:
    build = build_with(*changes)
    same(build, build_from_text(whole_text(build)))


def test_names_no_part_of_the_catalogue() -> None:
    text = whole_text(example())
    assert 'part = "' not in text
    assert '"cooler-ratings"' in text and "# usual value" in text and "# given" in text
