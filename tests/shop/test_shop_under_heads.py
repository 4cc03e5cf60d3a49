"""What stands under the clamp screws' heads adds up by hand, is listed with its sizes, and is drawn where it is turned."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builds import EXAMPLES, build_with, example, judged
from hobwind.build.retrofit_build import reduced
from hobwind.build.retrofit_file import outside_from_text
from hobwind.scene.forms import Circle
from hobwind.shop.clamp import clamp
from hobwind.shop.clamp_sheet import clamp_section
from hobwind.shop.disc_springs import SIZES, Stack
from hobwind.shop.hole_section import holes_section
from hobwind.shop.holes import screw_fit
from hobwind.shop.order import faults
from hobwind.shop.order_plan import plan
from hobwind.shop.parts_list import parts_list, parts_section
from hobwind.shop.rules import LENGTHS
from hobwind.shop.templates import templates
from hobwind.shop.under_heads import THICK, sized_for, spacer_for, stack_height
from hobwind.units import plain


def rows(build, squeezed=None):  # type: ignore[no-untyped-def]
    return {row.part: row for row in parts_list(build, plan(build, squeezed, None))}


def test_the_spacer_fills_what_parts_leave_by_hand() -> None:
    """12 mm free; module 3.9, sink base 6 and collar 1.2 are 11.1: a ring of 0.9 mm, ISO 273 bore 4.5, as wide as an M4 head, 7 mm."""
    ring = spacer_for(example())
    assert ring is not None
    assert (ring.bore, ring.outer, ring.long) == pytest.approx((4.5e-3, 7e-3, 0.9e-3))
    told = rows(example())["spacers"]
    assert told.count == 4 and "bore 4.5, outside 7, 0.9 mm long" in told.what
    assert "or a plain washer M4 (0.8 mm)" in told.what  # ISO 7089: 0.8 mm thick
    assert any("a spacer Ø7 / 4.5 x 0.9 under each head" in line for line in holes_section(example()).lines)
    assert spacer_for(build_with(("screws", "free_length", '"11.1 mm"'))) is None
    path = EXAMPLES / "retrofit" / "boat-shed-found-fan.toml"
    found = reduced(outside_from_text(path.read_text("utf-8"), path.name, path.parent)).build
    assert spacer_for(found) is None  # it has its own


def test_screws_bushes_and_washers_are_listed_with_their_sizes() -> None:
    """M4: 12 free and 8 in the thread are 20. A bush passes 6 mm of base, half a millimetre short. Two discs alike on each screw."""
    listed = rows(example())
    assert listed["clamp screws"].what == "M4 x 20 mm, stainless 304" and listed["clamp screws"].count == 4
    assert "bore 4.1, outside 5.8, collar Ø9 x 1.2, 5.5 mm long below it" in listed["bushes"].what
    discs = rows(build_with(("screws", "washer", '"M4 disc washer"'), ("screws", "nested", "2"), ("screws", "washers", "3")))[
        "washers"
    ]
    assert discs.count == 24 and "6 on each screw, 3 groups of 2 alike, group facing group" in discs.what
    assert "8 x 4.2 x 0.4 mm, dished 0.2" in discs.what  # EN 16984


def test_what_is_turned_has_a_sheet_and_a_step() -> None:
    sheets = {one.key: one for one in templates(example())}
    for key, across in (("bushes", (9.0, 4.1, 5.8)), ("spacers", (7.0, 4.5))):
        drawn = {round(one.diameter, 3) for one in sheets[key].shapes if isinstance(one, Circle)}
        assert drawn == set(across) and "4 of them" in " ".join(sheets[key].says)
    assert "bushes-strip" not in sheets and "spacers-strip" not in sheets
    made = plan(example(), None, None)
    assert faults(made) == [] and "spacers" in next(step.fits for step in made.steps if step.key == "clamp")
    mica = build_with(("screws", "bush", '"mica tube M4"'))
    assert "bushes" not in {one.key for one in templates(mica)}  # rolled, not turned


def test_a_stack_s_height_by_hand() -> None:
    """Free: each group its discs and one dish, EN 16984: 2 x 0.7 + 0.3 = 1.7; three such groups 5.1. Pressed flat: the metal alone."""
    disc = SIZES[5]  # 12.5 x 6.2 x 0.7 x 0.3
    assert stack_height(Stack(disc, 2, 1), 0.0) == pytest.approx(1.7e-3)
    assert stack_height(Stack(disc, 2, 3), 0.0) == pytest.approx(5.1e-3)
    assert stack_height(Stack(disc, 2, 3), 1e6) == pytest.approx(4.2e-3)


@pytest.mark.parametrize("free", ["12 mm", "14 mm", "16 mm", "18 mm"])
def test_a_proposed_stack_fits_or_the_screw_is_named_that_it_takes(free: str) -> None:
    """Parts, discs, washers and ring add up to the free length, and with the thread to a screw that is sold."""
    build = build_with(("screws", "free_length", f'"{free}"'))
    one, fit = clamp(build, judged().solved), screw_fit(build)
    assert one is not None and fit is not None and one.suggested is not None
    made = sized_for(build, one.suggested, one.preload)
    assert made is not None
    high = stack_height(one.suggested, one.preload) + made.washers * THICK
    assert 11.1e-3 + high + made.ring == pytest.approx(made.free, abs=0.5e-3 + 1e-9)  # what filing takes up
    assert made.fits == (11.1e-3 + high <= fit.free + 0.5e-3)
    assert made.screw in LENGTHS and made.screw == pytest.approx(made.free + made.engaged)
    assert fit.least <= made.engaged <= fit.room
    told = " ".join(clamp_section(one, build).lines)
    assert ("That fits" in told) == made.fits and ("takes longer screws" in told) != made.fits
    followed = replace(build, screws=replace(build.screws, free_length=plain(made.free)))  # type: ignore[type-var]
    again = sized_for(followed, one.suggested, one.preload)
    assert again is not None and again.fits and again.screw == made.screw


def test_where_no_stock_length_lies_between_a_ring_makes_it_up() -> None:
    """M6 in 9.5 mm of room: 9.9 mm of parts, a disc of 1.02 and washers of 4 leave 14.9 free; 25 mm wants 15.5: a ring of 0.6."""
    build = example("boat-shed-steel-screws")
    one = clamp(build, judged("boat-shed-steel-screws").solved)
    assert one is not None and one.suggested is not None
    made = sized_for(build, one.suggested, one.preload)
    assert made is not None and made.screw == pytest.approx(25e-3)
    assert made.ring == pytest.approx(0.6e-3) and made.free == pytest.approx(15.5e-3, abs=0.05e-3)


def test_the_list_says_what_disc_washers_add() -> None:
    build = example()
    one = clamp(build, judged().solved)
    told = " ".join(parts_section(build, parts_list(build, plan(build, one, None)), one).lines)
    assert "8 disc washers 12.5 x 6.2 x 0.7 mm" in told and "8 thick washers, bore 4.5, outside 12.5, 2 mm thick" in told
    assert "4 screws M4 x 25 mm in place of those above" in told and "no spacers" in told
