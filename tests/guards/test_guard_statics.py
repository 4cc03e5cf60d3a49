"""Tip-over, lever force, wedge and shim against hand statics and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from builds import balanced, build_with, changed, example, text_of
from hobwind.build import build_from_text
from hobwind.build.forces import lifting_force
from hobwind.build.geometry import (
    centre_height,
    fan_mass,
    pin_spot,
    pivot_back,
    tilt_angle,
    weight_share,
)
from hobwind.build.shim import with_shim
from hobwind.build.standing import (
    SLOPE_MARGIN,
    foot_wanted,
    gap_factors,
    lifted_margin,
    stands_when_lifted,
    tip_margin,
)
from hobwind.build.statics import round_support, tipping_angle
from hobwind.errors import BuildError
from hobwind.parts.catalogue import Shelf
from hobwind.physics import air
from hobwind.stack.elements import seat_coefficient
from hobwind.stack.fields import P
from hobwind.stack.prepare import prepare
from hobwind.studies.verdict import verdict
from reference_march import build_net

SLOPE = math.radians(1.0)  # the usual slope of a stove plate in a build file


def by_turning(first, second, centre, height) -> float:
    """Tip-over about one edge by turning the body about it until its centre of mass is highest, rad."""
    edge = np.array([*second, 0.0]) - np.array([*first, 0.0])
    arm = np.array([*centre, height]) - np.array([*first, 0.0])
    angles = np.linspace(-1.5, 1.5, 60001)
    turns = np.outer(angles, -edge / np.linalg.norm(edge))
    return float(-angles[Rotation.from_rotvec(turns).apply(arm)[:, 2].argmax()])


@pytest.mark.parametrize(
    ("support", "centre", "height"),
    [
        ([(-30, 0), (30, 0), (0, 51)], (0, 26), 99),
        ([(-30, 0), (30, 0), (12, 45)], (0, 20), 80),
        ([(-40, -25), (40, -25), (40, 25), (-40, 25)], (5, -3), 120),
        ([(-30, 0), (30, 0), (0, 20)], (0, 28), 90),  # outside: it falls on level ground
    ],
    ids=["pin in the middle", "pin aside", "four corners", "beyond the pin"],
)
def test_tipping_is_where_the_weight_stands_highest(support, centre, height) -> None:
    edges = zip(support, support[1:] + support[:1], strict=True)
    turned = min(by_turning(a, b, centre, height) for a, b in edges)
    assert tipping_angle(support, centre, height) == pytest.approx(turned, abs=6e-5)  # the grid of angles


def test_a_round_foot_tips_over_its_rim() -> None:
    assert tipping_angle(round_support(25.0), (0.0, 0.0), 100.0) == pytest.approx(math.atan(0.25), abs=1e-12)
    assert tipping_angle(round_support(25.0, (10.0, 0.0)), (0.0, 0.0), 100.0) == pytest.approx(math.atan(0.15), abs=1e-12)


def tilting(pivot: str = "51 mm", stop: str = "2 mm", **more: str):
    """A fan that tilts, its motor and blade over the middle of its foot: `test_overhang` has those that hang out."""
    keys = {"pivot_distance": pivot, "stop": stop, **more}
    return balanced(
        build_with(("guard", "kind", '"edge tilt"'), *(("guard", key, f'"{value}"') for key, value in keys.items()))
    )


def test_a_tilted_fan_by_hand() -> None:
    build = tilting()
    high, turn = centre_height(build) * 1e3, math.atan(2.0 / 51.0)
    assert tilt_angle(build) == pytest.approx(turn)
    # Foot 60 x 60 mm: the weight stands 30 mm before the pivot edge. The near side of the triangle it stands on runs from
    # the edge's end (30, 0) to the pin (0, 51), x/30 + y/51 = 1, and is nearest as the pin just takes the weight.
    beside = (1.0 - 30.0 / 51.0) / math.hypot(1.0 / 30.0, 1.0 / 51.0)
    assert lifted_margin(build) == pytest.approx(math.atan(beside / high) - SLOPE)
    # With the pin far off and a strong tilt the edge itself is nearest: the weight leans towards it as the far side rises.
    steep = tilting("300 mm", "80 mm", lever_ratio="15")
    turn = math.atan(80.0 / 300.0)
    before = 30.0 * math.cos(turn) - high * math.sin(turn)
    above = 30.0 * math.sin(turn) + high * math.cos(turn)
    assert lifted_margin(steep) == pytest.approx(math.atan(before / above) - SLOPE)
    # Down, the nearest edge is 30 mm away.
    assert tip_margin(balanced(example())) == pytest.approx(math.atan(30.0 / high) - SLOPE)


def test_a_riser_that_is_not_square_tilts_sideways() -> None:
    """A foot 40 mm wide and 80 mm deep, its pin 50 mm from the edge: that edge runs along the 80 mm, 20 mm left of the middle."""
    build = build_with(
        ("guard", "kind", '"edge tilt"'), ("guard", "pivot_distance", '"50 mm"'), ("guard", "stop", '"2 mm"'),
        ("riser", "width", '"40 mm"'), ("riser", "depth", '"80 mm"'),
    )  # fmt: skip
    assert build.guard.pivot_edge.value == pytest.approx(0.080) and pivot_back(build) == pytest.approx(0.020)
    # Where the pin lifts 1 mm, 50 mm from the edge, the foot's other side rises 40/50 mm.
    assert gap_factors(build) == pytest.approx((0.0, 0.8))
    # The spring: 8 N cold, 0.5 N/mm over 1 mm of lost motion and 2 mm of lift.
    # About the edge: weight x 20 mm = force x 50 mm; the pin in the riser stands 50 - 20 = 30 mm right of the middle.
    weight = 9.80665 * fan_mass(build)
    assert lifting_force(build)[0] == pytest.approx((weight * 20.0 / 50.0 + 8.0 + 0.5 * (1.0 + 2.0)) * 1.2)
    assert pin_spot(build) == pytest.approx((0.030, 0.0))
    # The weight stands 20 mm before the edge, and the triangle's side runs from the edge's end (0, 40) to the pin (50, 0):
    # x/50 + y/40 = 1. Near is the side, (1 - 20/50)/hypot(1/50, 1/40) = 18.7 mm, until the tilt of 2.3 degrees leans the weight
    # towards the edge.
    high, turn = centre_height(build) * 1e3, math.atan(2.0 / 50.0)
    ways = [math.atan((1.0 - 20.0 / 50.0) / math.hypot(1.0 / 50.0, 1.0 / 40.0) / high)]
    ways.append(math.atan((20.0 * math.cos(turn) - high * math.sin(turn)) / (20.0 * math.sin(turn) + high * math.cos(turn))))
    assert lifted_margin(build) == pytest.approx(min(ways) - SLOPE)
    assert tip_margin(build) == pytest.approx(min(*ways, math.atan(20.0 / high)) - SLOPE)


def test_a_round_foot_tilts_about_its_chord() -> None:
    """A foot 60 mm across on an edge of 36 mm: sqrt(30^2 - 18^2) = 24 mm from the middle. Weight x 24 = force x 60; far rim 54/60."""
    text = changed(text_of(), "riser", "shape", '"cylinder"')
    text = text.replace('width = "60 mm"\ndepth = "60 mm"\nlength', 'diameter = "60 mm"\nlength')
    for key, value in (("kind", '"edge tilt"'), ("pivot_edge", '"36 mm"'), ("pivot_distance", '"60 mm"')):
        text = changed(text, "guard", key, value)
    build = build_from_text(text)
    assert pivot_back(build) == pytest.approx(0.024) and gap_factors(build) == pytest.approx((0.0, 0.9))
    assert weight_share(build) == pytest.approx(0.4)


def test_tilting_far_enough_falls_backwards() -> None:
    """At tan(tilt) = 30 mm over the height of the weight it stands over the pivot edge: nothing in hand."""
    high = centre_height(tilting())
    over = 51.0 * 0.030 / high
    less, more = (tilting(stop=f"{over * share} mm", lever_ratio="2") for share in (0.98, 1.02))
    assert lifted_margin(less) > -SLOPE > lifted_margin(more)


def test_a_pin_short_of_the_middle_lifts_nothing() -> None:
    """Between pivot edge and weight a pin cannot carry the fan: it falls over the pin."""
    assert lifted_margin(tilting("25 mm")) < -SLOPE < lifted_margin(tilting("35 mm"))
    assert lifted_margin(tilting(pin_offset="12 mm")) < lifted_margin(tilting())


def test_a_round_bar_needs_an_edge_to_tilt_about() -> None:
    text = changed(text_of(), "riser", "shape", '"cylinder"')
    text = text.replace('width = "60 mm"\ndepth = "60 mm"\nlength', 'diameter = "60 mm"\nlength')
    text = changed(text, "guard", "kind", '"edge tilt"')
    assert lifted_margin(balanced(build_from_text(text))) == pytest.approx(-SLOPE)  # a line to stand on: falls sideways
    assert lifted_margin(build_from_text(changed(text, "guard", "pivot_edge", '"40 mm"'))) > 0.0


def test_central_pins() -> None:
    foot = balanced(
        build_with(("guard", "stands", '"foot"'), ("guard", "foot_radius", '"20 mm"'), ("guard", "pin_offset", '"5 mm"'))
    )
    high = centre_height(foot)
    assert lifted_margin(foot) == pytest.approx(math.atan(0.015 / high) - SLOPE)
    assert foot_wanted(foot) == pytest.approx(high * math.tan(SLOPE + SLOPE_MARGIN) + 0.005)
    pins = balanced(build_with(("guard", "stands", '"three pins"'), ("guard", "foot_radius", '"20 mm"')))
    assert lifted_margin(pins) == pytest.approx(math.atan(0.010 / high) - SLOPE)  # a triangle's side is half its radius away
    assert math.isinf(lifted_margin(example())) and stands_when_lifted(example())  # a guide


def test_lever_force_by_moments() -> None:
    text = changed(text_of() + '\n[fan]\nmass = "2.5 kg"\n', "guard", "kind", '"lever tilt"')
    for key, value in (("pivot_distance", '"40 mm"'), ("lever_ratio", '"2"'), ("stop", '"2 mm"')):
        text = changed(text, "guard", key, value)
    # About the pivot edge: 2.5 kg x 9.80665 N/kg x 30 mm = F x 40 mm, F = 18.39 N; a lever that doubles the way doubles
    # the force, 36.77 N; the spring 8 N and 500 N/m over 1 mm of lost motion and the element's own 1 mm; a fifth more for friction.
    wanted, has = lifting_force(build_from_text(text))
    assert wanted == pytest.approx((2 * 2.5 * 9.80665 * 30.0 / 40.0 + 8.0 + 0.5 * 2.0) * 1.2)
    assert has == 200.0  # the middle of 100..300 N


def test_a_wedge_conducts_what_its_logarithm_says() -> None:
    """A central pin that tips: gas k ln(1 + 2g/s)/(2g) where a level lift has k/(s + g), about two and a half times as much."""
    flat = ("seat", "flatness", '"0 mm"')
    level = build_with(flat)
    tipped = build_with(flat, ("guard", "stands", '"foot"'), ("guard", "foot_radius", '"2 mm"'))
    assert gap_factors(level) == (1.0, 1.0) and gap_factors(tipped) == (0.0, 2.0)
    gap, local, foot = 2e-3, 500.0, 350.0
    found = []
    for build in (level, tipped):
        prepared = prepare(build)
        seat = build_net(prepared.p, prepared.q).seat
        found.append(float(seat_coefficient(seat, prepared.p, local, foot, gap, 0.0)))
    k = float(air.conductivity(425.0))
    s = float(seat.standoff + air.molecular_jump(425.0, prepared.p[P.pressure]))
    straight, wedge = k / (s + gap), k * math.log(1.0 + 2.0 * gap / s) / (2.0 * gap)
    assert 2.0 < wedge / straight < 3.0
    assert found[1] - found[0] == pytest.approx(wedge - straight, rel=3e-3)  # five places stand for the integral


def test_shims_by_hand() -> None:
    bare, sheet = example(), Shelf(None).find("sheet", "mica dry")
    shimmed = with_shim(bare, sheet, 8)
    # Mica 0.06 mm at 0.5 W/mK, and a gap of 4.674 x 4 um of air at 0.035 W/mK for each: 120 + 534 K mm2/W, eight times.
    wanted = 8 * (0.06e-3 / 0.5 + 4.674 * 4e-6 / 0.035)

    def layer(build) -> float:
        p = prepare(build).p
        return float(p[P.coating] / p[P.coating_conductivity])

    assert layer(shimmed) - layer(bare) == pytest.approx(wanted)
    assert layer(with_shim(shimmed, sheet, 2)) == pytest.approx(layer(with_shim(bare, sheet, 2)))
    typed = build_with(("seat", "shim", '"mica dry"'), ("seat", "shim_count", "8"))
    assert layer(typed) == pytest.approx(layer(shimmed))


@pytest.mark.parametrize(
    ("section", "key", "value", "says"),
    [
        ("seat", "shim", '"newspaper"', 'seat.shim: no sheet named "newspaper"'),
        ("seat", "shim", "3", "seat.shim: got 3; the name of a sheet is wanted"),
        ("seat", "shim_count", "0", "seat.shim_count: got 0; a whole number from 1 to 20 is wanted"),
        ("guard", "pivot_edge", '"2 m"', 'guard.pivot_edge: got "2 m"; allowed is 0 mm to 500 mm'),
        ("guard", "pin_offset", '"5 K"', "guard.pin_offset"),
    ],
)
def test_bad_input(section: str, key: str, value: str, says: str) -> None:
    with pytest.raises(BuildError) as caught:
        build_with((section, key, value))
    problems = [str(problem) for problem in caught.value.problems]
    assert len(problems) == 1 and problems[0].startswith(says), problems


def test_findings_about_standing() -> None:
    def codes(build):
        return {(one.code, one.severity) for one in verdict(build).findings}

    tipping = build_with(("guard", "stands", '"foot"'), ("guard", "foot_radius", '"5 mm"'))
    assert ("tips-when-lifted", "fault") in codes(tipping)
    assert ("tips-when-lifted", "fault") in codes(tilting("34 mm"))
    assert ("falls-when-tilted", "danger") in codes(tilting("25 mm"))
    # A sink 150 mm wide over a riser of 150: no plate over the pin beside it.
    bare = build_with(("riser", "width", '"150 mm"'), ("hot_plate", "width", '"150 mm"'))
    assert ("nothing-over-pin", "fault") in codes(bare)
    assert not {code for code, _ in codes(tilting())} & {"tips-when-lifted", "falls-when-tilted"}


def test_a_pivot_distance_that_is_not_where_the_guard_stands_is_found_with_the_line_that_puts_it_right() -> None:
    """A foot 60 mm wide, its pin 42 mm beside its middle: 30 + 42 = 72 mm from the edge, whatever the file says."""
    (found,) = [one for one in verdict(tilting("60 mm")).findings if one.code == "pushed-elsewhere"]
    assert found.severity == "fault" and found.keys == ('guard.pivot_distance = "72 mm"',) and "with 60.0 mm" in found.says
    assert not [one for one in verdict(tilting("72 mm")).findings if one.code == "pushed-elsewhere"]
