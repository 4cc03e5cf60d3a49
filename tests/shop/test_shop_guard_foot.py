"""A guard that stands beside its fan: its foot in metal and millimetres, its standing height, its steps."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from builds import EXAMPLES, ROOT, example, judged
from hobwind.build import Build, BuildError, build_from_text
from hobwind.build.editing import put_lines
from hobwind.build.guide import fitted_beside, push_arm, standing_height
from hobwind.build.retrofit_build import reduced
from hobwind.build.retrofit_file import load_outside
from hobwind.lifting.foot import (
    BOLTED,
    cooler_by,
    leg_length,
    no_strip,
    reckoned,
    rim_inside,
    rods_apart,
    strip_for,
    stuck_force,
    top_stress,
)
from hobwind.lifting.heat import STILL_AIR
from hobwind.lifting.train import train
from hobwind.scene.forms import Rect, Text
from hobwind.scene.shapes import section
from hobwind.shop.arrangement import arrangement
from hobwind.shop.made_parts import made_parts
from hobwind.shop.order import faults
from hobwind.shop.order_guard import guard_parts
from hobwind.shop.order_plan import fan_parts, plan
from hobwind.shop.paper import Heading
from hobwind.shop.parts_list import parts_list, parts_section
from hobwind.shop.stackup import chain, stack_up
from hobwind.units import plain


def reckoned_with(wanted: float) -> Build:
    build = example()
    build = replace(build, guard=replace(build.guard, holder_conductance=plain(wanted)))
    return replace(build, guard=fitted_beside(build))


@pytest.mark.parametrize("wanted", [0.010, 0.015, 0.020, 0.025, 0.030, 0.040])
def test_strip_carries_what_the_guard_was_reckoned_with(wanted: float) -> None:
    build = reckoned_with(wanted)
    strip = strip_for(build)
    assert strip is not None and strip.strong_enough and no_strip(build) == ""
    # By hand: stainless 304 of 15 W/(m K) at 20 °C, 0.0011 1/K more, between 88 °C and 230 °C: 17.3 W/(m K); G = 2 k A / L.
    warm = 15.0 * (1.0 + 0.0011 * (0.5 * (88.0 + 230.0) - 20.0))
    assert strip.conductivity == pytest.approx(warm, rel=1e-6)
    assert 2.0 * warm * strip.thickness * strip.width / strip.length == pytest.approx(wanted, rel=0.1)
    # A fin with m L below a half gives off less than a tenth of what passes: its foot-to-tip loss is tanh(mL)·mL/2 at most. A leg
    # that carries as little as 5 mW/K is long and gives off more; how much cooler the element stays for it is told.
    assert strip.fin < (0.6 if wanted >= 0.015 else 0.9)
    height = standing_height(build)
    assert height is not None and strip.tall == pytest.approx(height - 3e-3)  # it is as tall as it must stand, less the base


def test_a_leg_along_its_bends_by_hand() -> None:
    """11 mm tall of 1 mm sheet: 11 - 4 straight, two quarter rounds of 1.4 mm; flat, toe to toe, the strip is all of that."""
    assert leg_length(11e-3, 1e-3) == pytest.approx(7e-3 + 2.0 * 0.5 * math.pi * 1.4e-3)
    strip = strip_for(example())
    assert strip is not None
    assert strip.blank == pytest.approx(2.0 * strip.toe + 2.0 * leg_length(strip.tall, strip.thickness) + 16e-3)


def test_the_seat_by_hand_statics_and_by_strips_of_its_rim() -> None:
    """A rigid rim of 16 mm on a strip of 10 mm, 1 mm thick, 60 N: the rim's arm by summing it over the strip's width."""
    across = np.linspace(-5.0, 5.0, 20000, endpoint=False) + 0.00025
    inside = float(np.mean(8.0 - np.sqrt(64.0 - across**2)))
    assert 1e3 * rim_inside(16e-3, 10e-3) == pytest.approx(inside, rel=1e-4)
    moment = 30.0 * (inside + 1.5) * 1e-3  # half the force, to the middle of the leg's sheet
    assert top_stress(60.0, 16e-3, 1e-3, 10e-3) == pytest.approx(moment / (10e-3 * 1e-6 / 6.0), rel=1e-4)


def test_both_springs_press_on_the_foot_by_hand() -> None:
    """Boat shed: 74 N in the capsule squeezed by all of its 9 mm; the return spring 8 N and 0.5 N/mm over 1 + 2 + 9 mm: 14 N."""
    build = example()
    made, guard = train(build), build.guard
    assert made is not None and made.over is not None and guard.element is not None
    assert made.over.most == pytest.approx(made.over.force + 9e-3 * made.over.rate)
    assert stuck_force(build) == pytest.approx(made.over.most + 8.0 + 0.5 * 12.0)
    strip = strip_for(build)
    assert strip is not None and strip.force == stuck_force(build) and strip.strong_enough
    # A weak element gives no more than it has.
    weak = replace(build, guard=replace(guard, element=replace(guard.element, force=plain(20.0))))
    assert stuck_force(weak) == 20.0


def test_a_foot_that_stands_too_low_or_is_too_weak_says_so() -> None:
    build = example()
    low = replace(build, guard=replace(build.guard, holder_conductance=plain(0.005)))
    assert strip_for(low) is None and "carries 5 mW/K where the element stands 14 mm over the plate" in no_strip(low)
    heavy = replace(
        build, guard=replace(build.guard, over_travel=plain(0.0), element=replace(build.guard.element, force=plain(400.0)))
    )  # type: ignore[type-var]
    assert "MPa when the fan is stuck (400 N)" in no_strip(heavy)


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
    assert (foot.y, foot.height) == (3.0, pytest.approx(11.0)) and element.y == pytest.approx(14.0)
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
    foot = next(row.what for row in parts_list(example(), plan(example(), None, None)) if row.part == "thin foot")
    assert "25 mW/K" in foot and "stainless 304" in foot and "bent to a table" in foot


def test_a_found_fan_is_left_as_it_is(tmp_path: Path) -> None:
    outside = load_outside(ROOT / "examples/retrofit/boat-shed-found-fan.toml")
    lines = ['guard.kind = "central lift"', 'guard.element = "wax 78"', 'guard.held_in = "plate"', 'guard.pin_length = "60 mm"']
    build = build_from_text(put_lines(reduced(outside).text, lines), tmp_path / "found.toml")
    assert build.found and not example().found
    made = plan(build, None, None)
    assert not faults(made)
    assert not set(made.parts) & set(fan_parts(build))
    assert [step.key for step in made.steps] == ["look", "element", "pin", "bridge", "guide", "prove"]
    told = parts_section(build, parts_list(build, made))
    assert not any(line.startswith(("riser:", "sink:", "motor:", "modules:")) for line in told.lines)
    assert any("riser" in line and "stay as they are" in line for line in told.lines)
    # Nothing of it is sawn; drilled are the holes for the eyes' screws in the riser's side only, and the words say so.
    assert [one.name for one in made_parts(build) if one.name not in made.parts] == ["riser 1 side"]
    assert not any(one.sawn for one in made_parts(build))
    bored = build_from_text(put_lines(reduced(outside).text, [*lines, 'guard.held_in = "riser"']), tmp_path / "bored.toml")
    assert [one.name for one in made_parts(bored) if one.name not in guard_parts(bored)] == [
        "riser 1",
        "riser 1 side",
    ] and "bore" in [step.key for step in plan(bored, None, None).steps]


def test_fan_made_takes_two_words_only() -> None:
    with pytest.raises(BuildError, match="fan.made"):
        build_from_text((EXAMPLES / "boat-shed.toml").read_text("utf-8") + '\n[fan]\nmade = "bought"\n', Path("x.toml"))


def test_what_the_strip_leaves_out_against_a_strip_cut_in_slices() -> None:
    """The same strip as 400 slices in a row, each losing heat to still air, solved as a plain chain of conductances."""
    build = example()
    strip = strip_for(build)
    assert strip is not None
    guard, hot, n = build.guard, build.stove.usual_plate.value - build.stove.room.value, 400
    loss = guard.element_loss.value
    along = strip.conductivity * strip.width * strip.thickness / (strip.length / n)
    aside = STILL_AIR * 2.0 * (strip.width + strip.thickness) * strip.length / n
    along, aside, toe = 2.0 * along, 2.0 * aside, 2.0 * BOLTED * strip.width * strip.toe  # two legs side by side
    matrix, given = np.zeros((n + 1, n + 1)), np.zeros(n + 1)
    for i in range(n + 1):  # node 0 under the toe, node n the element; half a slice's air at either end
        air = aside * (0.5 if i in (0, n) else 1.0)
        matrix[i, i] = air + (along if i < n else loss) + (along if i > 0 else toe)
        if i > 0:
            matrix[i, i - 1] = matrix[i - 1, i] = -along
    given[0] = toe * hot
    true = float(np.linalg.solve(matrix, given)[-1])
    told = hot * strip.carries / (strip.carries + loss)
    assert told - true == pytest.approx(cooler_by(build, strip), rel=1e-3)  # 400 slices: good to (n / 400)²
    assert f"about {told - true:.0f} K cooler" in reckoned(build, strip)


def test_the_strip_is_a_sheet_with_its_bends_marked() -> None:
    """Toes 25, legs 11.4, top 16 mm: 88.8 mm of 1 x 8, 25.2 over its ears, a stud's hole 6 mm from either end."""
    (foot,) = [one for one in made_parts(example()) if one.name == "thin foot"]
    assert (foot.width, foot.depth, foot.tall) == pytest.approx((88.8e-3, 25.2e-3, 1e-3), abs=1e-5) and not foot.sawn
    assert {mark.depth for mark in foot.marks} == {8e-3}
    assert [round(1e3 * mark.width, 1) for mark in foot.marks] == [25.0, 11.4, 16.0, 11.4, 25.0]
    assert math.fsum(mark.width for mark in foot.marks) == pytest.approx(foot.width)
    assert [abs(x) for x, _ in foot.holes[0].places] == pytest.approx([0.5 * foot.width - 6e-3] * 2)
    assert any("2 k A / L = 2 x 17.3" in note for note in foot.notes)
    # Bent, its toes' holes come to lie over the studs' in the base.
    strip, rods = strip_for(example()), rods_apart(example())
    assert strip is not None
    bent = 0.5 * strip.top + 3.0 * strip.thickness + strip.toe - 6e-3
    assert bent == pytest.approx(0.5 * rods)


def test_every_length_of_the_chain_is_on_the_drawing() -> None:
    """By hand: foot 14, element 35, seat to hot plate 61, together 110; push pin 60 beside them."""
    page = next(one for one in arrangement(example(), Heading("x", "y"), "A4") if one.key == "arrangement-section")
    told = [
        shape.text
        for shape in page.shapes
        if isinstance(shape, Text) and shape.part != "number" and shape.text in {"14", "35", "61", "60"}
    ]
    assert sorted(told) == ["14", "35", "60", "60", "61"]  # 60 twice: the pin, and the foot's width
    links = [round(1e3 * link.length) for link in chain(example())]
    assert links == [61, 60]
