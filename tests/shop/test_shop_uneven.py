"""Modules whose middle is not the screws': the pressure by hand statics, what is judged, and what evens it out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builds import build_with, example
from hobwind.build.geometry import module_places
from hobwind.shop.clamp import clamp
from hobwind.shop.clamp_sheet import clamp_section
from hobwind.shop.uneven import uneven, uneven_findings
from hobwind.studies.headline import headline
from hobwind.units import plain


def test_three_modules_two_and_one_by_hand() -> None:
    """Modules of 40 mm, 41 apart, two and one: their middle a sixth of 41 = 6.83 mm off.

    A = 4800 mm², J = 3·40⁴/12 + 1600·(2·13.67² + 27.33²) = 2.433e6 mm⁴. p/p0 = 1 + 6.83·A/J·y = 1 + 0.01348 y: the lone one's middle at
    27.33: 1.368, its far edge at 47.33: 1.638; the pair's at −13.67: 0.816, its far edge at −33.67: 0.546.
    """
    three = build_with(("modules", "count", "3"), ("hot_plate", "width", '"102 mm"'), ("hot_plate", "depth", '"81 mm"'))
    one = uneven(three)
    assert one is not None
    assert one.apart == pytest.approx(41e-3 / 6.0)
    assert (one.least, one.most) == pytest.approx((0.546, 1.638), abs=1e-3)  # worked to four digits
    assert sorted(one.shares) == pytest.approx([0.816 / 3.0, 0.816 / 3.0, 1.368 / 3.0], abs=1e-3)


def test_force_and_moment_balance_about_the_screws() -> None:
    """Shares sum to all of the force, and their moment about the screws' middle is nothing but what each tilts within itself."""
    three = build_with(("modules", "count", "3"), ("hot_plate", "width", '"102 mm"'), ("hot_plate", "depth", '"81 mm"'))
    one = uneven(three)
    assert one is not None and sum(one.shares) == pytest.approx(1.0)
    middle = [y for _, y, _, _ in module_places(three)]
    slope = (one.most - one.least) / 81e-3  # from the pair's far edge to the lone one's
    tilt = slope if middle[-1] > middle[0] else -slope
    about = sum(share * y for share, y in zip(one.shares, middle, strict=True)) + tilt * 0.04**2 / 12.0
    assert about == pytest.approx(0.0, abs=1e-9)


def test_nothing_is_said_where_the_middles_meet() -> None:
    one = uneven(example())
    assert one is not None and one.apart == pytest.approx(0.0) and (one.least, one.most) == pytest.approx((1.0, 1.0))
    assert list(uneven_findings(example(), 9e9, (1e6, 1.4e6), 0.05)) == []
    assert uneven(replace(example(), screws=None)) is None


def test_what_is_out_of_range_is_a_fault_with_both_figures_and_a_way_out() -> None:
    """1.1 MPa in the mean: 0.546 and 1.638 times are 0.60 and 1.80 MPa; laid over, the lone one reaches 27.33 + 20 = 47.3 mm."""
    three = build_with(("modules", "count", "3"), ("hot_plate", "width", '"102 mm"'), ("hot_plate", "depth", '"81 mm"'))
    section = clamp_section(clamp(three, headline(three)), three)
    (told,) = [line for line in section.findings if "off the screws' middle" in line]
    assert told.startswith("fault") and "0.60 MPa at one edge, 1.80 at the other" in told
    assert "plates 13.7 mm larger" in told and "6.8 mm over the edge" in told  # 47.3 less half of 81
    assert any("carry 27, 27, 46 % of the force" in line for line in section.lines)
    assert three.hot_plate is not None
    roomy = replace(three, hot_plate=replace(three.hot_plate, depth=plain(96e-3)))
    # On plates of 2 x 47.33 mm and more they are laid about the screws' middle: by hand two rows at -13.67 and 27.33 mm.
    assert sorted({round(1e3 * y, 2) for _, y, _, _ in module_places(roomy)}) == [-13.67, 27.33]
    assert not list(uneven_findings(roomy, 1.1e6, (1e6, 1.4e6), 0.05))
