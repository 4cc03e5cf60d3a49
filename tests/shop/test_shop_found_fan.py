"""A found fan stays whole: Shop lists, draws and builds its guard alone; and every kind of guard has steps of its own."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any

import pytest

from builds import EXAMPLES, example, judged
from hobwind.build import Build, build_from_text, whole_text
from hobwind.build.guide_posts import guide_for
from hobwind.build.retrofit_build import reduced
from hobwind.build.retrofit_file import outside_from_text
from hobwind.errors import BuildError
from hobwind.shop.clamp import clamp
from hobwind.shop.hole_section import holes_section
from hobwind.shop.holes import all_holes
from hobwind.shop.made_parts import made_parts
from hobwind.shop.order import faults
from hobwind.shop.order_plan import fan_parts, order_section, parts_of, plan
from hobwind.shop.parts_list import changed_parts, guard_extras, parts_list, parts_section
from hobwind.shop.stackup import stack_up
from hobwind.shop.stackup_sheet import stackup_section
from hobwind.shop.templates import templates
from hobwind.shop.topics import topics
from hobwind.studies.headline import headline
from hobwind.units import plain

HELD = ("riser", "hot plate", "sink", "plate")
KINDS = ("central lift", "edge tilt", "lever tilt")


@lru_cache
def found_fan(held_in: str = "plate") -> Build:
    """The found boat shed fan with the guard of the boat shed put to it."""
    path = EXAMPLES / "retrofit" / "boat-shed-found-fan.toml"
    build = reduced(outside_from_text(path.read_text("utf-8"), path.name, path.parent)).build
    return replace(build, guard=replace(example().guard, held_in=held_in))


def test_a_made_whole_found_fan_is_still_found() -> None:
    assert build_from_text(whole_text(found_fan()), "whole.toml").found
    assert not build_from_text(whole_text(example()), "whole.toml").found


@pytest.mark.parametrize("held_in", HELD)
def test_its_order_begins_with_the_whole_fan_and_only_adds_the_guard(held_in: str) -> None:
    made = plan(found_fan(held_in), None, None)
    assert faults(made) == []
    assert {"wax element", "push pin", "return spring"} <= set(made.parts) == set(parts_of(found_fan(held_in)))
    assert not set(made.parts) & set(fan_parts(found_fan(held_in)))  # nothing of the fan itself
    assert made.steps[0].key == "look" and "do not take it apart" in made.steps[0].says
    assert ("bore" in [step.key for step in made.steps]) == (held_in == "riser")
    broken = [step.key for step in made.steps][1:]
    assert 'step "look" is left out' in faults(made, broken)


def test_a_riser_bored_from_its_foot_takes_the_element_first() -> None:
    keys = [step.key for step in plan(found_fan("riser"), None, None).steps]
    assert keys.index("bore") < keys.index("element") < keys.index("pin") < keys.index("prove")
    assert all("pin comes before element" in faults(plan(found_fan("riser"), None, None), order)[0]
               for order in (["look", "bore", "pin", "element", "guide", "prove"],))  # fmt: skip


def test_nothing_of_it_is_sawn_or_drilled_but_for_the_guard() -> None:
    # The guide's eyes are screwed to its riser's side: two holes each, tapped; nothing else of it is touched.
    assert {one.part for one in all_holes(found_fan())} == {"riser 1 side"}
    fans = {"riser-1", "hot-plate", "spreader", "sink"}
    assert not fans & {one.key for one in templates(found_fan())}
    section = holes_section(found_fan("riser"))
    assert section.data["saw"] == [] and not section.findings
    (pocket,) = [one for one in all_holes(found_fan("riser")) if one.part == "riser 1"]
    # Middle of the 35 mm element at half the riser, bored from the foot to its upper end.
    guard = found_fan("riser").guard
    assert guard.element is not None
    assert pocket.depth == pytest.approx(guard.element_height.value + 0.5 * guard.element.length.value)
    assert fans & {one.key for one in templates(found_fan("riser"))} == {"riser-1"}
    assert templates(found_fan("riser"))[0].title.endswith("from below")


def test_another_motor_for_a_found_fan_is_still_told() -> None:
    before = found_fan()
    after = replace(before, motor=replace(before.motor, part=replace(before.motor.part, name="another motor")))
    assert changed_parts(before, after)[0] == ("motor: another motor",)


@pytest.mark.parametrize("held_in", HELD)
def test_new_modules_have_their_steps_their_row_and_the_compound(held_in: str) -> None:
    """Open, clean, test, lay, close, as anybody changes modules (common practice); then the guard."""
    build = replace(found_fan(held_in), new_modules=True)
    made = plan(build, None, None)
    assert faults(made) == []
    keys = [step.key for step in made.steps]
    assert keys[0] == "look" and "do not take it apart" not in made.steps[0].says
    order = ["open", "clean", "modules", "clamp", "pin", "prove"]
    assert [key for key in keys if key in order] == order and keys.index("leads") < keys.index("modules")
    assert keys.index("clamp") < keys.index("element")
    assert set(made.parts) == set(parts_of(build)) and "modules" in made.parts
    rows = {row.part: row for row in parts_list(build, made)}
    assert rows["modules"].count == sum(use.count for use in build.modules)
    told = " ".join(parts_section(build, parts_list(build, made)).lines)
    assert "zinc oxide grease" in told and "modules, sink" not in told and "see which fit instead" not in told
    broken = [key for key in keys if key != "clean"]
    assert 'step "clean" is left out' in faults(made, broken)


def test_the_torque_of_new_modules_is_told_in_rounds_or_asked_for() -> None:
    build = replace(found_fan(), new_modules=True)
    one = clamp(build, headline(build))
    assert one is not None
    said = next(step.says for step in plan(build, one, None).steps if step.key == "clamp")
    assert f"{0.3 * one.torque:.2f}, {0.6 * one.torque:.2f}, {one.torque:.2f} N·m" in said
    bare = replace(build, screws=None)
    assert "write them under [screws]" in next(step.says for step in plan(bare, None, None).steps if step.key == "clamp")
    told = next(one for one in topics(bare, headline(build)) if one.key == "clamp")
    assert any("no torque can be told" in line for line in told.findings)


def test_tapped_holes_are_said_where_the_guide_is_screwed_to_the_fan() -> None:
    """Two eyes with two screws each."""
    with_guide = found_fan()
    assert guide_for(with_guide) is not None and "Four holes" in plan(with_guide, None, None).steps[0].says
    none = replace(with_guide, guard=replace(with_guide.guard, kind="edge tilt"))
    assert guide_for(none) is None and "Four holes" not in plan(none, None, None).steps[0].says
    into = [one for part in made_parts(with_guide) if part.name == "riser 1 side" for one in part.holes]
    assert sum(len(one.places) for one in into) == 4


def test_modules_said_to_be_new_are_read_written_and_refused() -> None:
    text = whole_text(replace(found_fan(), new_modules=True))
    assert build_from_text(text, "whole.toml").new_modules
    assert not build_from_text(whole_text(found_fan()), "whole.toml").new_modules
    with pytest.raises(BuildError, match=r'fan.modules: got "some"; "its own" or "new" is wanted'):
        build_from_text(text.replace('modules = "new"', 'modules = "some"'), "whole.toml")
    with pytest.raises(BuildError, match=r'fan.modules: "new" is said of a found fan'):
        build_from_text(text.replace('made = "found"\n', ""), "whole.toml")


@pytest.mark.parametrize("held_in", HELD)
@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_guard_has_its_own_steps(kind: str, held_in: str) -> None:
    build = replace(example(), guard=replace(example().guard, kind=kind, held_in=held_in))
    made = plan(build, None, None)
    assert faults(made) == []
    step = {one.key: one for one in made.steps}
    keys = list(step)
    says = f"{step['pin'].says} {step['element'].says}"
    checks = " ".join(check for one in made.steps for check in one.checks)
    within = held_in == "riser"
    assert ("into its bore" in says) == within and ("clipped to the side of the" in says) == (held_in in ("hot plate", "sink"))
    assert ("beside the riser" in says) == (held_in == "plate") and ("lever" in says) == (kind == "lever tilt")
    assert ("short of the face" in checks) == within and ("feeler of" in checks) != within
    assert ("about which the fan tilts" in checks) == (kind != "central lift")
    # In the riser it is closed in by what lies on top; elsewhere it comes last and stays within reach.
    assert (keys.index("element") < keys.index("clamp")) == within
    assert any("wax element" in one.closes for one in made.steps) == within
    early = [key for key in keys if key != "pin"]
    early.insert(0, "pin")
    assert any("pin comes before" in line for line in faults(made, early))
    assert "To reach wax element again" in " ".join(order_section(made).lines) or not within


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"stands": "three pins", "foot_radius": plain(0.04)}, "three pins on a circle of 40 mm radius"),
        ({"stands": "foot", "foot_radius": plain(0.03)}, "foot of 30 mm radius"),
    ],
)
def test_what_a_guard_needs_besides_is_listed(changes: dict[str, Any], told: str) -> None:
    build = example()
    extras = guard_extras(replace(build, guard=replace(build.guard, **changes)))
    assert any(line.startswith(told) for line in extras) and not any(line.startswith(told) for line in guard_extras(build))


@pytest.mark.parametrize("held_in", HELD)
def test_the_stack_up_speaks_of_a_bore_only_where_there_is_one(held_in: str) -> None:
    build = replace(example(), guard=replace(example().guard, held_in=held_in))
    words = " ".join(stackup_section(stack_up(build, judged().solved), build).lines)
    assert ("straightedge across the foot" in words) == (held_in == "riser") == ("Pin in its bore" in words)
