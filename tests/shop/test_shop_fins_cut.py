"""Fins that are cut back for the clamp screws' heads: on the sink's sheet, in list and order, and holes that run into fins."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shop_builds import with_changes

from builds import build_with, example
from hobwind.scene.forms import Circle, Rect
from hobwind.shop.fins_cut import cuts_of
from hobwind.shop.hole_checks import faults
from hobwind.shop.order import faults as out_of_order
from hobwind.shop.order_plan import plan
from hobwind.shop.parts_list import changed_parts, parts_list
from hobwind.shop.templates import templates
from hobwind.units import plain


def test_which_fins_are_cut_by_hand() -> None:
    """The amplifier sink's 14 fins stand 10 mm apart at ±5 ... ±65 mm; screws at ±45, ±25 mm; 12 mm wide.

    Only the fin at ±45 lies within 6 mm and half a fin of the screw's middle; its neighbours are 10 mm off. Cut from 19 to 31 mm.
    """
    found = cuts_of(example())
    assert sorted({round(one.x * 1e3, 3) for one in found}) == [-45.0, 45.0]
    assert sorted({(round(one.y * 1e3, 3), round(one.long * 1e3, 3)) for one in found}) == [(-25.0, 12.0), (25.0, 12.0)]
    assert len(found) == 4
    wide = cuts_of(build_with(("sink", "fins_cut", '"21 mm"')))
    assert sorted({round(one.x * 1e3, 3) for one in wide}) == [-55.0, -45.0, -35.0, 35.0, 45.0, 55.0]


def test_fins_are_numbered_as_the_sheet_shows_them() -> None:
    """One screw at x = 45 mm seen from above, the third fin from the right; seen from below it is the third from the left."""
    build = example()
    assert build.screws is not None
    one = replace(build, screws=replace(build.screws, count=1, across=None, along=None, circle=plain(90e-3)))
    assert {(cut.fin, round(cut.x * 1e3)) for cut in cuts_of(one)} == {(3, 45)}  # from above it is the twelfth


def test_no_fin_is_cut_where_none_is_told_or_nothing_is_drilled() -> None:
    assert cuts_of(build_with(("sink", "fins_cut", '"0 mm"'))) == ()
    assert cuts_of(replace(example(), found=True)) == ()
    assert cuts_of(replace(example(), screws=None)) == ()


def test_the_sink_s_sheet_marks_what_is_cut_and_says_so() -> None:
    (sheet,) = [one for one in templates(example()) if one.key == "sink"]
    marked = [one for one in sheet.shapes if isinstance(one, Rect) and one.part == "fin cut back here"]
    holes = [one for one in sheet.shapes if isinstance(one, Circle) and one.part.startswith("hole A")]
    assert len(marked) == 4
    for hole in holes:  # each hole's middle lies within a fin that is cut there
        assert any(one.x <= hole.x <= one.x + one.width and one.y <= hole.y <= one.y + one.height for one in marked)
    told = " ".join(sheet.says)
    assert "cut back 12 mm wide" in told and "Fins 3 and 12 of 14" in told


def test_list_and_order_say_it() -> None:
    build = example()
    made = plan(build, None, None)
    rows = {row.part: row for row in parts_list(build, made)}
    assert "cut back 12 mm wide" in rows["sink"].what
    keys = [step.key for step in made.steps]
    assert keys.index("fins") < keys.index("lap") and out_of_order(made) == []
    assert "cut back 12 mm wide" in made.steps[keys.index("fins")].says
    uncut = build_with(("sink", "fins_cut", '"0 mm"'))
    assert "fins" not in [step.key for step in plan(uncut, None, None).steps]
    wanted, left = changed_parts(uncut, build)
    assert len(wanted) == 1 and wanted[0].startswith("fins of the sink:") and left == ()
    assert changed_parts(build, uncut)[0] == ()


def test_a_hole_that_runs_into_a_fin_is_told_with_its_figure() -> None:
    """The screws at ±45 mm stand right under fins of ±45: a hole of 6.2 mm takes in 3.1 mm on either side, the fin from its edge on."""
    uncut = with_changes(("sink", "fins_cut", '"0 mm"'))
    told = [one for one in faults(uncut) if one.part == "sink" and "strike fins" in one.says]
    assert len(told) == 1 and len(told[0].spots) == 4
    assert "run into them by 3.1 mm" in told[0].says
    apart = with_changes(("sink", "fins_cut", '"0 mm"'), ("screws", "across", '"80 mm"'))  # 5 mm off, less half a fin: 3.75 mm
    near = [one.says for one in faults(apart) if "strike fins" in one.says]
    assert near and "run into" not in near[0]


@pytest.mark.parametrize("cut", ["12 mm", "30 mm"])
def test_what_the_cuts_take_of_the_fins_is_told(cut: str) -> None:
    (sheet,) = [one for one in templates(build_with(("sink", "fins_cut", f'"{cut}"'))) if one.key == "sink"]
    assert "of all the fins' length goes" in " ".join(sheet.says)
