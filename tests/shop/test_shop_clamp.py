"""Clamp against VDI 2230, EN 16984 (Almen and László) and hand calculation; then the examples, worked by hand where short."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from builds import NAMES, build_with, changed, example, judged, text_of
from hobwind.bench.washers import Disc, disc_force
from hobwind.build import build_from_text
from hobwind.errors import BuildError
from hobwind.shop.clamp import clamp
from hobwind.shop.clamp_sheet import clamp_section, order_of
from hobwind.shop.disc_springs import SIZES, Stack, stacks_for, travel_at
from hobwind.shop.hole_checks import faults
from hobwind.shop.holes import screw_fit
from hobwind.shop.preload import force_after, growth_force, most_preload, screw_compliance, torque_per_newton
from hobwind.shop.threads import THREADS
from hobwind.studies.verdict import verdict
from hobwind.units import plain

FINE = (1e-3, 8e-3 - 0.75 * math.sqrt(0.75) * 1e-3, 8e-3 - 17.0 / 12.0 * math.sqrt(0.75) * 1e-3)  # M8 x 1: P, d2, d3


# VDI 2230 table (read): M8 x 1, class 8.8, D_km 10.3 mm.
@pytest.mark.parametrize(("friction", "kilonewton", "torque"), [(0.10, 20.7, 22.8), (0.12, 20.2, 26.1), (0.14, 19.7, 29.2)])
def test_preload_and_torque_are_the_guideline_s(friction: float, kilonewton: float, torque: float) -> None:
    pitch, middle, core = FINE
    force = most_preload(pitch, middle, core, friction, 640e6)
    assert force == pytest.approx(kilonewton * 1e3, rel=5e-3)  # printed to three digits
    assert force * torque_per_newton(pitch, middle, friction, friction, 10.3e-3) == pytest.approx(torque, rel=0.01)


def test_torque_of_an_m6_by_the_rule_of_thumb() -> None:
    """T = 0.2 F d for dry steel (common practice, friction near 0.15): within a tenth."""
    thread = THREADS["M6"]
    per_newton = torque_per_newton(thread.pitch, thread.pitch_diameter, 0.15, 0.15, 0.5 * (10e-3 + 6.6e-3))
    assert per_newton == pytest.approx(0.2 * 6e-3, rel=0.1)


def test_heat_on_the_clamp() -> None:
    """M6 steel through 30 mm of aluminium sleeve, 130 K: +4.146 kN (hand calculation)."""
    length, sleeve = 30e-3, 0.25 * math.pi * (14e-3**2 - 6.6e-3**2)
    growth = (23.0e-6 - 11.5e-6) * length * 130.0
    compliance = length / (206e9 * 20.12e-6) + length / (70e9 * sleeve)
    assert growth_force(growth, compliance) == pytest.approx(4146.0, abs=1.0)
    assert force_after(1000.0, growth, compliance, lambda _: 0.0) == pytest.approx(5146.0, abs=1.0)


# DIN 2093 / EN 16984 (from memory, confirmed by formula): outer, inner, thickness, dish, travel in mm; N.
@pytest.mark.parametrize(
    ("outer", "inner", "thick", "dish", "travel", "newton"),
    [(8, 4.2, 0.4, 0.2, 0.15, 210), (12.5, 6.2, 0.7, 0.3, 0.23, 673), (20, 10.2, 1.1, 0.45, 0.34, 1530), (10, 5.2, 0.4, 0.3, 0.225, 209)],
)  # fmt: skip
def test_disc_forces_are_the_standard_s(
    outer: float, inner: float, thick: float, dish: float, travel: float, newton: float
) -> None:
    disc = Disc(outer * 1e-3, inner * 1e-3, thick * 1e-3, dish * 1e-3)
    assert disc_force(disc, travel * 1e-3) == pytest.approx(newton, rel=0.02)  # the table rounds the travel to 0.01 mm
    assert travel_at(disc, disc_force(disc, travel * 1e-3)) == pytest.approx(travel * 1e-3, rel=1e-9)


def test_stacks_add_as_springs_do() -> None:
    """Alike: forces add at one travel; facing each other: travels add at one force (mechanics)."""
    disc = SIZES[1]
    one = travel_at(disc, 100.0)
    assert Stack(disc, 2, 1).travel(200.0) == pytest.approx(one)
    assert Stack(disc, 1, 3).travel(100.0) == pytest.approx(3.0 * one)
    assert all(stack.disc.inner > 4e-3 for stack in stacks_for(4e-3))


def test_a_screw_stretches_as_its_bare_shank_and_a_little_more() -> None:
    """80 mm of M6 by Hooke's law; head and thread add the ends' share, about one diameter and a half of length."""
    thread = THREADS["M6"]
    bare = 0.08 / (206e9 * thread.stress_area)
    whole = screw_compliance(0.08, 6e-3, thread.stress_area, thread.core_diameter, 206e9)
    assert bare < whole < bare * (1.0 + 1.5 * 6.0 / 80.0)


def test_torque_on_the_sheet_by_hand() -> None:
    """Boat shed: 1.1 MPa on two modules of 40 x 40 mm, four M4: 880 N each; T = F (P/2pi + 0.577 mu d2 + mu Dkm/2)."""
    one = clamp(example(), judged().solved)
    assert one is not None
    assert one.wanted == pytest.approx(1.1e6 * 2 * 0.04 * 0.04 / 4)
    by_hand = 880.0 * (0.7e-3 / (2 * math.pi) + 0.577 * 0.13 * 3.545e-3 + 0.13 * 0.25 * (7e-3 + 4.5e-3))
    assert one.torque == pytest.approx(by_hand, rel=1e-3)  # d2 typed to a micrometre
    assert one.spread[0] < one.preload < one.spread[1]


@pytest.mark.parametrize("name", NAMES)
def test_growth_is_made_of_its_parts(name: str) -> None:
    """The thicknesses fill the grip, nothing shrinks on a warming fan, and the force follows from growth over give."""
    one = clamp(example(name), judged(name).solved)
    assert one is not None
    screws = example(name).screws
    assert screws is not None
    assert sum(layer.thickness for layer in one.layers) == pytest.approx(screws.free_length.value)
    total = np.asarray(sum(layer.growth for layer in one.layers) - one.screw_growth)
    assert np.array_equal(total, one.difference)
    assert one.bare[1] - one.preload == pytest.approx(total.max() / one.compliance, rel=1e-6)


def test_bare_steel_screws_squeeze_hard_when_hot_and_disc_washers_mend_it() -> None:
    name = "boat-shed-steel-screws"
    bare = clamp(example(name), judged(name).solved)
    assert bare is not None and bare.suggested is not None
    assert bare.pressure(bare.hot[1]) > bare.range[1] > bare.pressure(bare.suggested_hot[1])
    found = clamp_section(bare, example(name)).findings
    assert any(line.startswith("fault: hot the pressure reaches") and "disc washers" in line for line in found)
    mended = build_with(("screws", "washer", '"M8 disc washer"'), name=name)
    fitted = clamp(mended, judged(name).solved)
    assert fitted is not None and fitted.stack is not None and fitted.pressure(fitted.hot[1]) < fitted.range[1]
    assert not any("hot the pressure" in line for line in clamp_section(fitted, mended).findings)
    assert "Surer than torque" in " ".join(clamp_section(fitted, mended).lines)


@pytest.mark.parametrize(
    ("section", "key", "value", "told"),
    [
        ("clamp", "torque", '"3 N·m"', "fault: cold the modules get"),
        ("clamp", "torque", '"3 N·m"', "it yields near"),
        ("screws", "engaged", '"2 mm"', "only 2.0 mm of thread hold, a diameter at least is wanted: longer screws"),
        ("screws", "engaged", '"0.6 mm"', "may pull them out"),
    ],
)
def test_what_is_wrong_with_a_clamp_is_said(section: str, key: str, value: str, told: str) -> None:
    build = build_with((section, key, value))
    found = clamp_section(clamp(build, judged().solved), build).findings
    assert any(told in line for line in found), found


def test_a_disc_washer_that_is_pressed_flat_is_found() -> None:
    build = build_with(("screws", "washer", '"M4 disc washer"'))
    found = clamp_section(clamp(build, judged().solved), build).findings
    assert any("pressed flat" in line for line in found)


def test_screws_are_tightened_crosswise() -> None:
    order = order_of(example())
    assert sorted(order) == [1, 2, 3, 4] and abs(order[0] - order[1]) == 2


def test_no_screws_is_said() -> None:
    text = clamp_section(None, example()).lines[0]
    assert "names no clamp screws" in text


def test_friction_beyond_reason_is_refused() -> None:
    with pytest.raises(BuildError, match=r"clamp.friction: got \"2\"; allowed is"):
        build_with(("clamp", "friction", '"2"'))
    with pytest.raises(BuildError, match=r'clamp.tool: got \'fingers\'; one of "torque wrench"'):
        build_with(("clamp", "tool", '"fingers"'))


def test_clamp_and_holes_tell_one_thread() -> None:
    """One length in the thread and one pull-out for both pages; what the free length spans fills it, the sink's base with it."""
    for name in NAMES:
        build = example(name)
        one, fit = clamp(build, judged(name).solved), screw_fit(build)
        assert one is not None and fit is not None
        assert (one.engaged, one.strips) == (fit.engaged, fit.holds)
        assert sum(layer.thickness for layer in one.layers) == pytest.approx(fit.free)
        assert build.sink.part.base_thickness.value in [layer.thickness for layer in one.layers if layer.name == "sink base"]


def test_where_the_holes_put_nuts_the_clamp_reckons_with_them() -> None:
    thin = build_with(("hot_plate", "thickness", '"4 mm"'))
    one, fit = clamp(thin, verdict(thin).solved), screw_fit(thin)
    assert one is not None and fit is not None and one.nut and fit.nut
    assert (one.engaged, one.strips) == (fit.engaged, fit.holds)
    assert [layer.name for layer in one.layers][-2:] == ["modules", "hot plate"]
    assert sum(layer.thickness for layer in one.layers) == pytest.approx(16e-3)


def test_a_longer_free_length_is_made_up_under_the_heads_and_costs_no_thread() -> None:
    """With a spreader of 10 mm the parts fill 1.2 + 6 + 10 + 3.9 mm; a fault names that length, and following it mends it."""
    plate = 'width = "100 mm"\ndepth = "60 mm"\nthickness = "10 mm"\nmaterial = "aluminium 6082"'
    text = changed(text_of("boat-shed"), "screws", "free_length", '"14 mm"') + f"\n[spreader]\n{plate}\n"
    spread = build_from_text(text)
    told = [one.says for one in faults(spread) if "free_length" in one.says]
    assert told and "take 21.1 mm" in told[0]
    assert spread.screws is not None
    followed = replace(spread, screws=replace(spread.screws, free_length=plain(21.1e-3)))
    assert not [one.says for one in faults(followed) if one.says.startswith("fault")]
    one = clamp(followed, judged().solved)
    assert one is not None and one.engaged >= 2.0 * 4e-3 - 1e-9
    assert [layer.name for layer in one.layers] == ["collar of the bush", "sink base", "spreader", "modules"]
