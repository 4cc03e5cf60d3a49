"""Fits and stack-up against ISO 286, ISO 2768 and sums done by hand."""

from __future__ import annotations

import math

import pytest

from builds import build_with, changed, example, judged, text_of
from hobwind.build import build_from_text, digest, whole_text
from hobwind.build.tolerance import general_tolerance
from hobwind.shop.fits import FITS, fit, hot_clearance, tilt
from hobwind.shop.stackup import Link, chain, root_sum_square, stack_up, thrown, worst_case
from hobwind.shop.stackup_sheet import stackup_section

HUNTING = "boat-shed-hunting"


# ISO 286 (read): least and most clearance in micrometres; 6 mm belongs to 3..6, 8 and 10 mm to 6..10.
@pytest.mark.parametrize(
    ("size", "name", "least", "most"),
    [(6, "H7/g6", 4, 24), (6, "H8/f7", 10, 40), (8, "H7/g6", 5, 29), (10, "H7/g6", 5, 29), (8, "H8/f7", 13, 50), (10, "H8/f7", 13, 50)],
)  # fmt: skip
def test_fits_are_the_standard_s(size: float, name: str, least: float, most: float) -> None:
    found = fit(size * 1e-3, name)
    assert (found.least * 1e6, found.most * 1e6) == pytest.approx((least, most), abs=1e-9)


def test_looser_fits_are_looser() -> None:
    assert fit(5e-3, "H7/g6").most < fit(5e-3, "H8/f7").most < fit(5e-3, "H9/d9").most and len(FITS) == 3


# ISO 2768-1 (from memory), mm: medium 3..6 0.1, 6..30 0.2, 30..120 0.3; fine 30..120 0.15.
@pytest.mark.parametrize(
    ("size", "grade", "half"), [(5, "medium", 0.1), (20, "medium", 0.2), (60, "medium", 0.3), (60, "fine", 0.15)]
)
def test_general_tolerances(size: float, grade: str, half: float) -> None:
    assert general_tolerance(size * 1e-3, grade) == pytest.approx(half * 1e-3)


def test_the_stack_of_the_hand_calculation() -> None:
    """± .10 .10 .05 .20 .15: worst case .60, by squares .2915 (hand calculation)."""
    halves = [0.10, 0.10, 0.05, 0.20, 0.15]
    assert worst_case(halves) == pytest.approx(0.60)
    assert root_sum_square(halves) == pytest.approx(0.2915, abs=5e-5)


def test_thrown_lengths_follow_the_arithmetic_of_even_chances() -> None:
    """One link: 19 in 20 of an even chance lie within 0.95 of its half width; two alike: a triangle, 1 - sqrt(0.05) of twice."""
    link = Link("a", "a", 1, 1.0, 0.1, False)
    assert thrown((link,))[1] == pytest.approx(1.095, abs=2e-3)  # 20000 throws: the edge is known to about 1e-3
    assert thrown((link, link))[1] == pytest.approx(2.0 + 0.2 * (1.0 - math.sqrt(0.05)), abs=3e-3)
    assert thrown((link,)) == thrown((link,))


def test_hot_clearance_by_hand() -> None:
    """5 mm stainless pin 16.6e-6 at 150 K in aluminium 23.4e-6 at 100 K: 10 um + 5e-3 (2.34e-3 - 2.49e-3) = 9.25 um."""
    assert hot_clearance(10e-6, 5e-3, 23.4e-6, 100.0, 16.6e-6, 150.0) == pytest.approx(9.25e-6)
    assert tilt(0.05e-3, 16e-3, 64e-3) == pytest.approx(0.2e-3)


def test_a_chain_that_is_not_drawn_is_drawn_for_the_lost_motion() -> None:
    stack = stack_up(example(HUNTING), judged(HUNTING).solved)
    assert stack is not None
    assert stack.recess == pytest.approx(example(HUNTING).guard.lost_motion.value)
    assert stack.worst == pytest.approx(sum(link.half for link in stack.links))
    assert stack.squares <= stack.worst and stack.file_off == pytest.approx(0.0, abs=1e-12)


def measured(**lengths: str) -> str:
    rows = "".join(f'{key} = "{value}"\n' for key, value in lengths.items())
    return changed(text_of(HUNTING), "guard", "pin_bore", '"41 mm"') + f"\n[measured]\n{rows}"


def test_measured_parts_say_what_to_file() -> None:
    """Bore 41.00, pin measured 40.40: 0.60 short, 1.00 wanted: file 0.40 off."""
    build = build_from_text(measured(pin_length="40.40 mm", pin_bore="41.00 mm"))
    stack = stack_up(build, judged(HUNTING).solved)
    assert stack is not None and stack.recess == pytest.approx(0.60e-3) and stack.file_off == pytest.approx(0.40e-3)
    section = stackup_section(stack, build)
    assert "File 0.40 mm off the push pin's plain end" in " ".join(section.lines)
    assert section.data["file_off_pin_mm"] == pytest.approx(0.4)
    assert all(link.half == pytest.approx(0.05e-3) for link in stack.links if link.measured)


def test_a_pin_too_short_names_the_other_face_to_file() -> None:
    build = build_from_text(measured(pin_length="39.50 mm", pin_bore="41.00 mm"))
    section = stackup_section(stack_up(build, judged(HUNTING).solved), build)
    assert "The pin is 0.50 mm too short" in " ".join(section.lines)
    assert any("as measured the tip stands 1.50 mm short" in line for line in section.findings)


def test_the_right_pin_is_left_alone() -> None:
    build = build_from_text(measured(pin_length="40.00 mm", pin_bore="41.00 mm"))
    section = stackup_section(stack_up(build, judged(HUNTING).solved), build)
    assert "nothing to file" in " ".join(section.lines)


def test_carrier_and_piston_enter_with_their_signs() -> None:
    text = measured(carrier_length="8 mm", piston_out="6 mm", pin_length="40 mm", pin_bore="39 mm")
    build = build_from_text(text)
    assert sum(link.sign * link.length for link in chain(build)) == pytest.approx(1e-3)  # 39 + 8 - 6 - 40


def test_what_is_wrong_with_a_stack_up_is_said() -> None:
    proud = build_from_text(measured(pin_length="41.10 mm", pin_bore="41.00 mm"))
    assert any("proud when cold" in line for line in stackup_section(stack_up(proud, judged(HUNTING).solved), proud).findings)
    tight = build_from_text(measured(pin_diameter="5.000 mm", bore_diameter="5.002 mm"))
    assert any(
        "sticks in its bore" in line for line in stackup_section(stack_up(tight, judged(HUNTING).solved), tight).findings
    )
    # Boat shed without its over-travel spring: the element pushes 10.8 mm, the stop allows 1.0 + 2.0: it is blocked.
    hard = build_with(("guard", "over_travel", '"0 mm"'))
    shed = stackup_section(stack_up(hard, judged().solved), hard)
    assert any("the stop blocks the element" in line for line in shed.findings)
    assert not any("blocks" in line for line in stackup_section(stack_up(example(), judged().solved), example()).findings)


def test_no_guard_nothing_to_stack() -> None:
    build = example("boat-shed-no-guard")
    assert stack_up(build, judged("boat-shed-no-guard").solved) is None
    assert "no guard" in stackup_section(None, build).lines[0]


def test_new_fields_survive_being_made_whole() -> None:
    build = build_with(
        ("guard", "carrier_length", '"8 mm"'), ("screws", "nested", "2"), ("screws", "washers", "3"), ("clamp", "torque", '"0.5 N·m"'),
        ("wiring", "slot", '"the left fin"'),
    )  # fmt: skip
    again = build_from_text(whole_text(build), "again")
    assert digest(again) == digest(build) and again.screws is not None and again.screws.nested == 2
    assert again.wiring.slot == "the left fin" and again.guard.carrier_length is not None


def test_a_pin_that_does_not_fit_its_pocket_is_found() -> None:
    """Element 35 mm long, its middle at 40 mm: floor at 22.5. A pin of 40 with 1 mm lost motion wants 41, so 40 - 18.5 = 21.5 mm fits."""
    build = build_with(("guard", "pin_length", '"40 mm"'), name=HUNTING)
    found = stackup_section(stack_up(build, judged(HUNTING).solved), build).findings
    assert any(
        "pocket's floor is 22.50 mm over the plate, but pin and chain are for 41.00 mm: a pin of 21.50 mm fits" in x
        for x in found
    )
    mended = example(HUNTING)  # which gives no length of pin, so that the pocket's own is taken
    assert mended.guard.pin_length.value == pytest.approx(21.5e-3) and mended.guard.pin_bore.value == pytest.approx(22.5e-3)
    section = stackup_section(stack_up(mended, judged(HUNTING).solved), mended)
    assert not any("pocket's floor" in x for x in section.findings) and section.data["recess_mm"] == pytest.approx(1.0)
    in_hand = build_from_text(measured(pin_length="40.00 mm", pin_bore="41.00 mm"))
    told = stackup_section(stack_up(in_hand, judged(HUNTING).solved), in_hand).findings
    assert not any("pocket's floor" in x for x in told)
