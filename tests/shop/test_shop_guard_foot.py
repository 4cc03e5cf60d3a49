"""A guard that stands beside its fan: its foot in metal and millimetres, its standing height, its steps."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builds import EXAMPLES, ROOT, example, judged
from hobwind.build import BuildError, build_from_text
from hobwind.build.guide import push_arm, standing_height
from hobwind.build.retrofit_build import reduced
from hobwind.build.retrofit_file import load_outside
from hobwind.page.editing import put_lines
from hobwind.scene.forms import Rect
from hobwind.scene.shapes import section
from hobwind.shop.guard_foot import strip_for
from hobwind.shop.made_parts import made_parts
from hobwind.shop.order import faults
from hobwind.shop.order_plan import plan
from hobwind.shop.parts_list import guard_extras, parts_list, parts_section
from hobwind.shop.stackup import stack_up
from hobwind.units import plain


@pytest.mark.parametrize("wanted", [0.010, 0.015, 0.020, 0.025, 0.030, 0.040])
def test_strip_carries_what_the_guard_was_reckoned_with(wanted: float) -> None:
    build = example()
    strip = strip_for(replace(build, guard=replace(build.guard, holder_conductance=plain(wanted))))
    assert strip is not None
    # By hand: stainless 304 of 15 W/(m K) at 20 °C, 0.0011 1/K more, between 88 °C and 230 °C: 17.3 W/(m K); G = k A / L.
    warm = 15.0 * (1.0 + 0.0011 * (0.5 * (88.0 + 230.0) - 20.0))
    assert strip.conductivity == pytest.approx(warm, rel=1e-6)
    assert warm * strip.thickness * strip.width / strip.length == pytest.approx(wanted, rel=0.1)
    # A fin with m L below a half gives off less than a tenth of what passes: its foot-to-tip loss is tanh(mL)·mL/2 at most.
    assert strip.fin < 0.6


def test_element_in_the_riser_needs_no_strip() -> None:
    assert strip_for(example("boat-shed-hunting")) is None and standing_height(example("boat-shed-hunting")) is None


def test_standing_height_closes_the_chain_on_the_drawing() -> None:
    # By hand: hot plate's underside at 110 mm; pin 60, lost motion 1, element 35 mm: 14 mm are left below the element.
    build = example()
    assert standing_height(build) == pytest.approx(0.014)
    shapes = [one for one in section(build).shapes if isinstance(one, Rect)]
    element = next(one for one in shapes if one.part == "wax element")
    pin = next(one for one in shapes if one.part == "push pin")
    foot = next(one for one in shapes if one.part == "thin foot")
    assert (foot.y, foot.height) == (0.0, pytest.approx(14.0)) and element.y == pytest.approx(14.0)
    assert pin.y == pytest.approx(49.0) and pin.height == pytest.approx(60.0 + 1.0)  # drawn through its lost motion
    stacked = stack_up(build, judged("boat-shed").solved)
    assert stacked is not None and 1e3 * stacked.links[0].length == pytest.approx(pin.height)


def test_steps_of_a_guard_beside_the_fan_bore_nothing() -> None:
    build = example()
    made = plan(build, None, None)
    assert not faults(made)
    told = {step.key: step for step in made.steps}
    words = " ".join(step.says for step in made.steps)
    assert "into its bore" not in words and "beside the riser" in told["element"].says
    assert f"{1e3 * push_arm(build):.0f} mm from the fan's middle" in told["element"].says
    keys = [step.key for step in made.steps]
    assert keys.index("clamp") < keys.index("element") < keys.index("pin") < keys.index("prove")


def test_list_tells_the_foot_in_metal_and_millimetres() -> None:
    foot = next(one for one in guard_extras(example()) if one.startswith("thin foot"))
    assert "25 mW/K" in foot and "stainless 304" in foot and "mm free between plate and element" in foot


def test_a_found_fan_is_left_as_it_is(tmp_path: Path) -> None:
    outside = load_outside(ROOT / "examples/retrofit/boat-shed-found-fan.toml")
    lines = ['guard.kind = "central lift"', 'guard.element = "wax 78"', 'guard.held_in = "plate"', 'guard.pin_length = "60 mm"']
    build = build_from_text(put_lines(reduced(outside).text, lines), tmp_path / "found.toml")
    assert build.found and not example().found
    made = plan(build, None, None)
    assert not faults(made)
    assert set(made.parts) == {"wax element", "push pin", "return spring"}
    assert [step.key for step in made.steps] == ["look", "element", "pin", "guide", "prove"]
    told = parts_section(build, parts_list(build, made))
    assert not any(line.startswith(("riser:", "sink:", "motor:", "modules:")) for line in told.lines)
    assert any("riser" in line and "stay as they are" in line for line in told.lines)
    assert made_parts(build) == ()  # nothing of it is sawn or drilled
    bored = build_from_text(put_lines(reduced(outside).text, [*lines, 'guard.held_in = "riser"']), tmp_path / "bored.toml")
    assert [one.name for one in made_parts(bored)] == ["riser 1"] and "bore" in [
        step.key for step in plan(bored, None, None).steps
    ]


def test_fan_made_takes_two_words_only() -> None:
    with pytest.raises(BuildError, match="fan.made"):
        build_from_text((EXAMPLES / "boat-shed.toml").read_text("utf-8") + '\n[fan]\nmade = "bought"\n', Path("x.toml"))
