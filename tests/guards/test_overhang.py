"""Motor and blade hang out before the fins: where the weight then stands, and how much less slope the fan bears, by hand statics."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds import balanced, build_with, changed, example, hung_out, text_of
from hobwind.build import Build, build_from_text, geometry, standing
from hobwind.build.starter import starter_text
from hobwind.build.statics import round_support, tipping_angle
from hobwind.errors import BuildError
from hobwind.studies.hanging import counterweight, hangs_over, nearer, over_middle
from hobwind.studies.odds_inputs import inputs_that_matter, thrower
from hobwind.studies.verdict import verdict
from hobwind.units import plain

SLOPE = math.radians(1.0)  # the usual slope of a stove plate in a build file
FOOT = (("guard", "stands", '"foot"'), ("guard", "foot_radius", '"20 mm"'))
PINS = (("guard", "stands", '"three pins"'), ("guard", "foot_radius", '"30 mm"'))
TILT = (("guard", "kind", '"edge tilt"'), ("guard", "pivot_distance", '"51 mm"'))
LEVER = (("guard", "kind", '"lever tilt"'), ("guard", "pivot_distance", '"51 mm"'), ("guard", "lever_ratio", '"2"'))
KINDS = {"foot": FOOT, "three pins": PINS, "edge tilt": TILT, "lever tilt": LEVER}


def narrow() -> Build:
    """A riser 60 mm wide and 26 mm deep under a plate that carries the modules: its front edge is 13 mm away."""
    return build_with(("riser", "depth", '"26 mm"'), ("hot_plate", "depth", '"60 mm"'))


def test_a_fan_whose_motor_and_blade_hang_out_by_hand() -> None:
    """1.2 kg, of which 0.15 kg hang out 60 mm, its middle 110 mm up on a foot of 30 mm radius. Worked by hand first.

    0.15 x 60 / 1.2 = 7.5 mm before the middle, 22.5 mm inside the rim: tan = 22.5/110, 11.56 degrees; 30/110, 15.26, without.
    """
    foot, along = round_support(30.0), -0.15 * 60.0 / 1.2
    assert math.degrees(tipping_angle(foot, (0.0, along), 110.0)) == pytest.approx(11.56, abs=0.005)
    assert math.degrees(tipping_angle(foot, (0.0, 0.0), 110.0)) == pytest.approx(15.26, abs=0.005)


def test_the_weight_stands_where_the_moments_say() -> None:
    """A sink 100 mm deep, its blade of 20 g 10 mm before it: 60 mm out. A motor of 100 g and 30 mm length: 45 mm out, fittings too."""
    build = build_with(
        ("blade", "before_sink", '"10 mm"'), ("blade", "mass", '"20 g"'), ("motor", "mass", '"100 g"'), ("motor", "length", '"30 mm"')
    )  # fmt: skip
    grams = geometry.fan_mass(build) * 1e3
    before = (20.0 * 60.0 + (100.0 + 50.0) * 45.0) / grams  # mm
    assert geometry.blade_before(build) == pytest.approx(0.060) and geometry.motor_before(build) == pytest.approx(0.045)
    across, along, high = geometry.centre_of_mass(build)
    assert (across, along) == (0.0, pytest.approx(-before * 1e-3))
    # Down on 60 x 60 mm: over the front edge.
    assert standing.tip_margin(build) == pytest.approx(math.atan((30.0 - before) / (high * 1e3)) - SLOPE)
    # Lifted on a foot of 20 mm radius, 5 mm to the right: off its middle by both.
    foot = replace(build, guard=replace(build.guard, stands="foot", foot_radius=plain(0.020), pin_offset=plain(0.005)))
    off = math.hypot(5.0, before)
    rim = math.atan((20.0 - off) / (high * 1e3)) - SLOPE
    assert standing.lifted_margin(foot) == pytest.approx(rim)
    assert standing.foot_wanted(foot) * 1e3 == pytest.approx(high * 1e3 * math.tan(math.radians(4.0)) + off)
    # Three pins of 30 mm radius, one to the right: the sides before and behind it lie at 60 degrees, 15 mm away.
    pins = replace(build, guard=replace(build.guard, stands="three pins", foot_radius=plain(0.030)))
    assert standing.lifted_margin(pins) == pytest.approx(
        math.atan((15.0 - before * math.sin(math.radians(60.0))) / (high * 1e3)) - SLOPE
    )
    # Tilted about the left edge of 60 mm, pin 51 mm from it: the front side of the triangle x/51 + y/30 = 1, both from the edge.
    tilt = replace(build, guard=replace(build.guard, kind="edge tilt", pivot_distance=plain(0.051)))
    beside = (1.0 - 30.0 / 51.0 - before / 30.0) / math.hypot(1.0 / 51.0, 1.0 / 30.0)
    assert standing.lifted_margin(tilt) == pytest.approx(math.atan(beside / (high * 1e3)) - SLOPE)
    # The pivot edge lies along the overhang, which has no arm about it: the pin carries what it did, 30/51 of the weight.
    assert geometry.weight_share(tilt) == pytest.approx(30.0 / 51.0) == geometry.weight_share(hung_out(tilt, 0.1))
    # A pin 4 mm towards the blade bears more, and stands on that side of the riser.
    moved = replace(tilt, guard=replace(tilt.guard, pin_offset=plain(0.004)))
    assert standing.lifted_margin(moved) > standing.lifted_margin(tilt) and geometry.pin_spot(moved)[1] == pytest.approx(-0.004)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@settings(deadline=None)  # the first build reads the catalogue
@given(near=st.floats(-0.04, 0.15), more=st.floats(1e-4, 0.1))
def test_further_out_never_helps_and_nothing_out_is_over_the_middle(kind, near: float, more: float) -> None:
    build = build_with(*kind)
    for margin in (standing.lifted_margin, standing.seated_margin, standing.tip_margin):
        over = balanced(build)
        assert margin(over) == pytest.approx(margin(build, over_middle(build)), abs=1e-12)
        first, second = hung_out(build, near), hung_out(build, near + more)
        if geometry.centre_before(first) >= 0.0:
            assert margin(second) <= margin(first) + 1e-12
        assert margin(first) <= margin(over) + 1e-12
    assert standing.foot_wanted(hung_out(build, near)) >= standing.foot_wanted(balanced(build)) - 1e-12


def test_findings_say_that_the_overhang_is_why_and_what_takes_it_back() -> None:
    def found(build: Build, code: str):
        return next((one for one in verdict(build).findings if one.code == code), None)

    # Down, on a riser 26 mm deep, its middle 117 mm up: 13 mm inside the front edge without overhang, atan(13/117) = 6.3 degrees.
    one = found(hung_out(narrow(), 0.080), "barely-stands")
    assert one is not None and one.severity == "fault" and "motor and blade hang out, 130 mm before" in one.says
    assert "mm deep" in one.mend and "counterweight" in one.mend
    assert found(hung_out(narrow(), 0.290), "falls-over").severity == "danger"
    assert found(balanced(narrow()), "barely-stands") is None
    # Where it would tip without it too, the overhang is not blamed.
    thin = balanced(build_with(("riser", "depth", '"10 mm"'), ("hot_plate", "depth", '"60 mm"')))
    assert "hang out" not in found(thin, "barely-stands").says
    # Lifted on a foot that would do without overhang.
    close = standing.foot_wanted(balanced(build_with(*FOOT))) + 1e-3
    lifted = build_with(FOOT[0], ("guard", "foot_radius", f'"{close!r} m"'))
    one = found(lifted, "tips-when-lifted")
    assert one is not None and one.severity == "fault" and "motor and blade hang out" in one.says
    tilted = found(hung_out(build_with(*TILT), 0.25), "falls-when-tilted")
    assert tilted is not None and tilted.severity == "danger" and "motor and blade hang out" in tilted.says


def test_a_blade_that_far_nearer_or_that_counterweight_makes_it_stand() -> None:
    build, wanted = hung_out(narrow(), 0.150), standing.SLOPE_MARGIN
    assert hangs_over(build, standing.seated_margin, wanted)
    drawn = nearer(build, standing.seated_margin, wanted)
    assert drawn is not None and standing.seated_margin(drawn) >= wanted
    assert standing.seated_margin(hung_out(drawn, drawn.blade.before_sink.value + 2e-3)) < wanted
    # By hand: the counterweight behind, 50 mm from the middle, halfway up a sink of 46 mm that begins 123.9 mm up.
    heavy = counterweight(build, standing.seated_margin, wanted)
    assert heavy is not None
    mass, (_, along, high) = geometry.fan_mass(build), geometry.centre_of_mass(build)

    def holds(more: float) -> bool:
        inside = 0.013 - (-along * mass - 0.050 * more) / (mass + more)
        return inside >= (high * mass + (0.1239 + 0.023) * more) / (mass + more) * math.tan(wanted + SLOPE)

    assert holds(heavy) and not holds(heavy - 0.010)


def test_what_stands_only_by_its_blade_being_near_is_thrown() -> None:
    build = build_with(*FOOT)
    (one,) = [one for one in inputs_that_matter(build, stands=True) if one.key == "blade.before_sink"]
    assert one.die.group == "blade" and one.die.low < 0.0
    make = thrower(build, [one])
    assert make([-0.008]).blade.before_sink.value == -0.008
    # Foot of 20 mm radius: further out there is less of it before the weight.
    assert standing.lifted_margin(make([0.040])) < standing.lifted_margin(build) < standing.lifted_margin(make([0.0]))


def test_reading_it() -> None:
    assert example().blade.before_sink.value == pytest.approx(0.012) and example().blade.before_sink.half == pytest.approx(
        0.020
    )
    assert build_with(("blade", "before_sink", '"-30 mm"')).blade.before_sink.value == pytest.approx(-0.030)
    with pytest.raises(BuildError, match=r'blade.before_sink: got "400 mm"; allowed is -300 mm to 300 mm'):
        build_from_text(changed(text_of(), "blade", "before_sink", '"400 mm"'))


@pytest.mark.parametrize(("stands", "small", "apart"), [("foot", 6, 1.0), ("three pins", 15, 2.0)])
def test_a_foot_or_pins_as_wide_as_the_mend_says_stand(stands: str, small: int, apart: float) -> None:
    """By hand: h tan(slope + 3°) and the centre's own way before the middle, twice that for three pins; whole millimetres, upwards."""
    build = standing_on(stands, small)
    told = next(one for one in verdict(build).findings if one.code == "tips-when-lifted")
    across, along, high = geometry.centre_of_mass(build)
    radius = high * math.tan(build.guard.plate_slope.value + math.radians(3.0)) + math.hypot(across, along)
    found = re.search(r"a foot of (\d+) mm" if stands == "foot" else r"pins on a circle of (\d+) mm", told.mend)
    assert found is not None and apart * radius * 1e3 <= int(found[1]) < apart * (radius * 1e3 + 1.2)
    mended = verdict(standing_on(stands, int(found[1])))
    assert not [one for one in mended.findings if one.code == "tips-when-lifted"]
    assert "it would tip" in verdict(build).sentence and "tip" not in mended.sentence


def standing_on(stands: str, radius: int) -> Build:
    """The begun fan lifted on a foot or on pins of that radius, mm."""
    text = changed(starter_text("x", "x.toml"), "guard", "stands", f'"{stands}"')
    return build_from_text(changed(text, "guard", "foot_radius", f'"{radius} mm"'), "x.toml")
