"""The joint of riser and hot plate: heads of ISO 10642, statics and strengths by hand, places, sheets, order, and the file's say."""

from __future__ import annotations

import io
import math
import xml.etree.ElementTree as ET
from dataclasses import replace

import ezdxf
import numpy as np
import pytest
from shop_builds import round_riser, with_changes

from builds import NAMES, changed, example, text_of
from hobwind.build import Build, build_from_text, digest, whole_text
from hobwind.build import geometry as g
from hobwind.build.whole import every_value
from hobwind.errors import BuildError
from hobwind.scene.forms import Text
from hobwind.shop.arrangement import arrangement
from hobwind.shop.countersunk import SIZES, STAINLESS, STEEL, head_of, metal_for
from hobwind.shop.hole_checks import faults
from hobwind.shop.hole_section import holes_section
from hobwind.shop.holes import all_holes, held_by
from hobwind.shop.made_parts import numbered
from hobwind.shop.order import faults as order_faults
from hobwind.shop.order_plan import plan
from hobwind.shop.paper import Heading, pages
from hobwind.shop.parts_list import parts_list
from hobwind.shop.plate_joint import joint_half, loads, most_on_one, not_held, plate_joint
from hobwind.shop.plate_screws import PlateScrews
from hobwind.shop.sheets_dxf import template_dxf
from hobwind.shop.sheets_svg import page_svg
from hobwind.shop.templates import templates
from hobwind.shop.threads import THREADS
from hobwind.stack.fields import JOINT_HOT_PLATE
from hobwind.stack.net import joint_conductance
from hobwind.stack.prepare import prepare
from hobwind.units import plain

SVG = "{http://www.w3.org/2000/svg}"
FINE = 0.01  # mm


def said(build: Build) -> str:
    return "\n".join(one.says for one in faults(build))


def screws_of(build: Build) -> PlateScrews:
    found = held_by(build)
    assert found is not None
    return found


def shaped(depth: float, width: float = 60e-3, thick: float = 10e-3, name: str = "boat-shed") -> Build:
    """The boat shed's riser of another section, its hot plate of another thickness."""
    build = example(name)
    assert build.hot_plate is not None
    riser = replace(build.riser[0], width=plain(width), depth=plain(depth))
    return replace(build, riser=(riser,), hot_plate=replace(build.hot_plate, thickness=plain(thick)))


def held_as(word: str) -> Build:
    return with_changes(("hot_plate", "held", f'"{word}"'))


# ISO 10642 (from memory, as any screw table prints it): sharp head width, head height, key, mm.
HEADS = {
    "M3": (6.72, 1.86, 2.0),
    "M4": (8.96, 2.48, 2.5),
    "M5": (11.2, 3.1, 3.0),
    "M6": (13.44, 3.72, 4.0),
    "M8": (17.92, 4.96, 5.0),
}


@pytest.mark.parametrize("name", SIZES)
def test_heads_are_those_printed(name: str) -> None:
    head = head_of(THREADS[name])
    assert [one * 1e3 for one in (head.across, head.height, head.key)] == pytest.approx(
        HEADS[name], abs=5e-3
    )  # printed to 0.01


def test_the_screws_metal_grows_like_the_plate() -> None:
    """µm/(m K), any handbook: aluminium 23, copper 17, iron 11; stainless 16.6, steel 11.7."""
    assert (metal_for(23e-6), metal_for(17e-6), metal_for(11e-6)) == (STAINLESS, STAINLESS, STEEL)


def test_prying_by_hand() -> None:
    """Moments about the edge. Two screws 10 and 50 mm from the heel, 0.6 N·m: T·50 + T/5·10 = 600 N·mm, so T = 11.54 N.

    Pulled at the middle with no moment, nobody gets less than his share: 8 N on four is 2 N and up to a fifth more by prying.
    """
    two = ((20e-3, 0.0), (-20e-3, 0.0))
    assert most_on_one(two, (30e-3, 1.0), 0.0, 0.6) == pytest.approx(600.0 / 52.0, rel=1e-9)
    four = ((20e-3, 20e-3), (-20e-3, 20e-3), (-20e-3, -20e-3), (20e-3, -20e-3))
    assert 2.0 <= most_on_one(four, (30e-3, 30e-3), 8.0, 0.0) <= 1.21 * 2.0  # (1 + b)/(1 + b²) is 1.207 at most


def test_loads_by_hand() -> None:
    """60 x 60 x 110 mm of 2700 kg/m³ is 1.0692 kg: 10.485 N, its middle 55 mm below the joint: 0.5767 N·m.

    Lifted 2 mm after 1 mm lost the spring gives 8 + 0.5·3 = 9.5 N, the guide's eyes 92.5 mm apart lose 0.4·42/92.5 = 0.1816 of the push:
    10.485/0.8184 + 9.5·1.2 = 24.21 N, and the tip pushes 30 + 4 + 8 = 42 mm off the middle.
    """
    upright, lying, lifted = loads(example())
    assert (upright.pull, upright.moment) == pytest.approx((10.485, 0.0), abs=1e-3)
    assert (lying.pull, lying.moment) == pytest.approx((0.0, 0.5767), abs=1e-4)
    assert lifted.pull == pytest.approx(24.21, abs=0.01)
    assert lifted.moment == pytest.approx(
        (g.fan_mass(example()) * 9.80665 / (1.0 - 0.4 * 42.0 / 92.5) + 9.5 * 1.2) * 42e-3, rel=1e-6
    )


def test_an_element_in_the_riser_presses_the_joint_together() -> None:
    assert [one.says for one in loads(example("boat-shed-hunting"))] == ["carried by its sink", "held by its sink on its side"]


def test_a_tilted_riser_hangs_on_its_heel() -> None:
    """Tilted about the far edge of a foot 60 mm wide, pin 50 mm from it: the spring's 8 + 0.5·(1 + 3) = 10 N act 20 mm off the middle."""
    build = with_changes(("guard", "kind", '"edge tilt"'), ("guard", "stop", '"3 mm"'))
    tilted = loads(build)[-1]
    assert (tilted.pull, tilted.moment) == pytest.approx(((10.485 + 10.0) * 1.2, 10.0 * 1.2 * 20e-3), rel=1e-3)


def test_the_joint_worked_by_hand() -> None:
    """Four M3 x 16 of A2-70 at ±25.5, ±24.5 on the boat shed.

    Heel 30 mm out, along: (24.212·30 + 1479.8)·54.5/(2·(54.5² + 5.5²)) = 20.04 N. Thread: 16 − 9.8 = 6.2 mm in it; a millimetre
    shears along π/0.5·2.874·(0.25 + 0.57735·(2.874 − 2.775)) = 5.547 mm² at 0.6·280·0.25 = 42 MPa: (6.2 − 0.4)·5.547·42 = 1351 N.
    The screw: 0.8·450·0.78·5.03 = 1412 N. Heat: 8.87 mm grow 6.8 µm/(m K)·230 K more, 13.87 µm, over 17.24 nm/N: 805 N.
    Torque: F·(0.5/2π + 0.577·0.13·2.675 + 0.13·√2·5.06/2) mm = F·0.7454 mm.
    """
    build = example()
    screws = screws_of(build)
    assert (screws.called, screws.metal) == ("M3 x 16 countersunk", STAINLESS)
    assert {(round(abs(x) * 1e3, 6), round(abs(y) * 1e3, 6)) for x, y in screws.places} == {(25.5, 24.5)}
    one = plate_joint(build, screws)
    assert one.load == pytest.approx(20.04, abs=0.01)
    assert one.strips == pytest.approx(1351.0, rel=2e-3)  # worked to four digits
    assert one.yields == pytest.approx(1412.0, rel=2e-3)
    assert one.growth == pytest.approx(805.0, rel=5e-3)
    assert one.torque / one.preload * 1e3 == pytest.approx(0.7454, rel=1e-3)
    assert one.hot == pytest.approx(min(one.strips, one.yields) / 1.25)  # whatever the friction, a quarter is kept in hand
    assert not list(not_held(one))


def test_what_less_pressure_costs_by_hand() -> None:
    """Grease of 150 Pa on 36 cm²: 131 µm·(150/978 kPa)^0.166 is 30.5 µm, at 187 kPa 40.1: 9.6 µm/(0.75·0.0036) is 3.6 mK for a watt."""
    lines = " ".join(holes_section(example()).lines)
    assert "the clamp's 3520 N there" in lines and "stays 10 µm thicker than it says: 3.6 mK for each watt" in lines


def test_preload_is_what_the_model_reckons_where_the_screws_bear_it() -> None:
    """Clamped with 0.15 MPa on 3200 mm², the joint wants 120 N of each of four."""
    build = with_changes(("clamp", "pressure", '"0.15 MPa"'))
    assert plate_joint(build, screws_of(build)).preload == pytest.approx(120.0)


def test_screws_that_do_not_hold_are_a_fault() -> None:
    """A riser of 5 kg hung far below a plate of soft metal: what comes on one screw passes half of what its thread bears."""
    build = example()
    one = plate_joint(build, screws_of(build))
    weak = replace(one, strips=1.9 * one.load)
    (told,) = not_held(weak)
    assert "do not hold" in told and f"{one.load:.0f} N come on one" in told
    (told,) = not_held(replace(one, preload=0.0))
    assert "come loose" in told


@pytest.mark.parametrize("build", [*(example(name) for name in NAMES), shaped(45e-3), shaped(70e-3), held_as("M5")])
def test_walls_and_edges(build: Build) -> None:
    """1.5 mm round every countersink and thread, 1.5 diameters from the riser's edge to a thread's middle (common practice)."""
    screws = screws_of(build)
    assert build.hot_plate is not None
    sink, thread = 0.5 * (HEADS[screws.thread.name][0] + 0.4) * 1e-3, screws.thread.diameter
    half = joint_half(build)
    for x, y in screws.places:
        assert min(half[0] - abs(x), half[1] - abs(y)) >= 1.5 * thread - 1e-9
        assert (
            min(0.5 * build.hot_plate.width.value - abs(x), 0.5 * build.hot_plate.depth.value - abs(y)) >= sink + 1.5e-3 - 1e-9
        )
        for one in all_holes(build):
            if "plate screw" in one.use or one.part == "sink":
                continue
            own = sink if one.part == "hot plate" else 0.5 * thread
            for a, b in one.places:
                assert math.hypot(x - a, y - b) >= own + 0.5 * one.width + 1.5e-3 - 1e-9, one.use
    assert not [one for one in faults(build) if "plate screw" in one.says and one.says.startswith("fault")]


def test_heads_beside_the_modules_or_what_they_cost() -> None:
    """Modules end 20 mm from the middle; a riser 45 mm deep leaves 2.5 mm: four M3 cones of 7.12 mm take 4·39.8 = 159 mm²."""
    assert screws_of(example()).covered == 0.0 and "of the contact" not in said(example())
    narrow = shaped(45e-3)
    assert screws_of(narrow).thread.name == "M3"
    assert "159 of 3200 mm² (5%) of the contact" in said(narrow)


def test_a_clamp_thread_is_taken_where_it_fits() -> None:
    """With 15 mm of riser beyond the modules the clamp's own M4 goes in: one tap and drill fewer."""
    build = replace(shaped(70e-3), hot_plate=replace(shaped(70e-3).hot_plate, depth=plain(70e-3)))  # type: ignore[type-var]
    screws = screws_of(build)
    assert screws.thread.name == "M4" and screws.covered == 0.0


def test_a_pocket_is_missed() -> None:
    """A pocket of 16.2 mm 15 mm to the side of the middle stands where screws would: they move."""
    build = with_changes(
        ("guard", "kind", '"edge tilt"'), ("guard", "stop", '"3 mm"'), ("guard", "pivot_distance", '"45 mm"'),
        name="boat-shed-hunting",
    )  # fmt: skip
    pocket = next(one for one in all_holes(build) if one.use.startswith("pocket"))
    assert pocket.places == ((pytest.approx(15e-3), 0.0),)
    apart = min(math.dist(pocket.places[0], place) for place in screws_of(build).places)
    assert apart >= 0.5 * (16.2e-3 + screws_of(build).thread.diameter) + 1.5e-3


def test_clamp_holes_and_pockets_are_kept_off() -> None:
    """Clamp screws at ±25.5, ±24.5, just where plate screws would stand: 3.56 + 2 + 1.5 mm from each at least.

    A riser of 24 x 24 mm has room for M3 at ±7.5, 10.6 mm from the middle; with a pocket of 16.2 mm there, 11.1 mm are wanted.
    """
    build = with_changes(("screws", "across", '"51 mm"'), ("screws", "along", '"49 mm"'))
    assert build.screws is not None
    apart = min(math.dist(a, b) for a in g.screw_places(build.screws) for b in screws_of(build).places)
    assert apart >= 7.06e-3 - 1e-9
    assert held_by(shaped(24e-3, 24e-3)) is not None
    assert held_by(shaped(24e-3, 24e-3, name="boat-shed-hunting")) is None


def test_no_place_is_a_fault_with_figures() -> None:
    """M3: half a cone of 7.12, 0.25 and 1.5·3 mm are 8.3 mm of riser; its head, 1.86 + 0.2 + 1 mm, wants 3.1 mm of plate."""
    tiny = shaped(12e-3, 12e-3)
    assert held_by(tiny) is None
    assert "nothing holds it to its riser. Countersunk M3 screws want 8.3 mm of riser beyond the modules" in said(tiny)
    thin = shaped(60e-3, thick=3e-3)
    assert "M3 heads want a plate of 3.1 mm; it is 3.0 mm" in said(thin)
    order = plan(tiny, None, None)
    assert "No screws found a place" in next(step.says for step in order.steps if step.key == "hot-plate")


def test_holes_on_both_templates_to_a_hundredth() -> None:
    """Riser: 2.5 mm tap drills; plate: 3.4 mm clearance (ISO 273) in cones of 6.72 + 2·0.2 mm; all at ±25.5, ±24.5."""
    wanted = sorted((x, y) for x in (-25.5, 25.5) for y in (-24.5, 24.5))
    drawn = {one.key: one for one in templates(example())}
    for key, widths in (("riser-1", (2.5, 3.0)), ("hot-plate", (3.4, 7.12))):
        space = ezdxf.read(io.StringIO(template_dxf(drawn[key]))).modelspace()
        for width in widths:
            got = sorted(
                (c.dxf.center.x, c.dxf.center.y) for c in space.query("CIRCLE") if abs(2.0 * c.dxf.radius - width) < FINE
            )
            assert np.allclose(got, wanted, atol=FINE), (key, width)
        (page,) = pages(drawn[key], Heading("a", "b"), "A4")
        circles = ET.fromstring(page_svg(page)).iter(f"{SVG}circle")
        found = sorted(
            (float(str(c.get("cx"))), float(str(c.get("cy"))))
            for c in circles
            if abs(2.0 * float(str(c.get("r"))) - widths[0]) < FINE
        )
        across, up = [x for x, _ in found], [y for _, y in found]
        assert (max(across) - min(across), max(up) - min(up)) == pytest.approx((51.0, 49.0), abs=FINE)


def test_depths_by_hand() -> None:
    """6.2 mm of screw, 2·0.5 deeper tapped, 2.8 more drilled for the tap (DIN 76, from memory): 7.2 and 10.0 mm."""
    tapped = next(one for one in all_holes(example()) if one.part == "riser 1")
    assert (tapped.thread_depth, tapped.depth) == pytest.approx((7.2e-3, 10.0e-3))
    lines = "\n".join(holes_section(example()).lines)
    assert "hot plate B: 4 x plate screw passes: drill 3.4, countersink 90° to 7.12, through" in lines
    assert "4 x M3 x 16 countersunk" in lines


def test_they_are_listed_numbered_and_drawn() -> None:
    build = example()
    row = next(one for one in parts_list(build, plan(build, None, None)) if one.part == "plate screws")
    assert row.count == 4 and "M3 x 16" in row.what and "A2-70" in row.what
    number = next(one for one in numbered(build) if one.name == "plate screws").number
    for page in arrangement(build, Heading("a", "b"), "A4"):
        told = {shape.text for shape in page.shapes if isinstance(shape, Text) and shape.part == "number"}
        assert str(number) in told, page.key


@pytest.mark.parametrize("name", NAMES)
def test_the_order_screws_them_in_before_the_modules_close_them_in(name: str) -> None:
    made = plan(example(name), None, None)
    keys = [step.key for step in made.steps]
    step = made.steps[keys.index("hot-plate")]
    assert "plate screws" in step.fits and keys.index("hot-plate") < keys.index("modules")
    assert f"{plate_joint(example(name), screws_of(example(name))).torque:.2f} N·m" in step.says
    assert any("straightedge pass over it" in check for check in step.checks)
    assert order_faults(made) == []
    late = [key for key in keys if key != "hot-plate"]
    late.insert(late.index("clamp") + 1, "hot-plate")
    assert any("plate screws" in told for told in order_faults(made, late))


@pytest.mark.parametrize("word", ["one piece", "brazed", "soft solder"])
def test_one_metal_needs_no_screws(word: str) -> None:
    build = held_as(word)
    assert held_by(build) is None and "nothing holds" not in said(build)
    assert "plate screws" not in plan(build, None, None).parts
    assert "zinc oxide grease" not in next(step.says for step in plan(build, None, None).steps if step.key == "hot-plate")
    again = build_from_text(whole_text(build), "whole.toml")
    assert again.hot_plate is not None and again.hot_plate.held == word
    assert digest(again) == digest(build) != digest(example())


def test_one_metal_has_no_joint_to_cross() -> None:
    """Solder of 0.1 mm at 50 W/(m K) lets 0.5 MW/(m² K) through (from memory); grease some 20 kW/(m² K); one piece is no joint."""

    def through(build: Build) -> float:
        made = prepare(build)
        return float(joint_conductance(made.p, made.q, JOINT_HOT_PLATE, 1e6))

    assert 1e4 < through(example()) < 3e4
    assert through(held_as("brazed")) == through(held_as("soft solder")) == pytest.approx(5e5)
    assert through(held_as("one piece")) > 1e8


def test_a_size_that_is_named_is_taken() -> None:
    assert screws_of(held_as("M5")).thread.name == "M5"


def test_saying_nothing_is_saying_screws() -> None:
    """Old files keep their mark, by which their fires and answers are known."""
    assert digest(held_as("screws")) == digest(example())
    assert not [place for place, _ in every_value(example()) if place.endswith("held")]


def test_a_word_that_is_not_known() -> None:
    with pytest.raises(BuildError) as caught:
        build_from_text(changed(text_of(), "hot_plate", "held", '"glue"'), "shop.toml")
    assert "'glue'" in str(caught.value) and '"soft solder"' in str(caught.value) and "hot_plate.held" in str(caught.value)


def test_a_spreader_is_not_held_so() -> None:
    text = text_of() + '\n[spreader]\nwidth = "100 mm"\ndepth = "60 mm"\nthickness = "6 mm"\nmaterial = "copper"\nheld = "M4"\n'
    with pytest.raises(BuildError, match="held"):
        build_from_text(text, "shop.toml")


def test_a_found_fan_has_its_joint() -> None:
    found = replace(example(), found=True)
    assert held_by(found) is None
    assert "hot plate" not in said(found) and "riser:" not in said(found)
    assert "plate screws" not in [one.name for one in numbered(found)]


def test_a_build_without_a_hot_plate_has_none() -> None:
    assert held_by(round_riser()) is None


def test_riser_parts_are_told_of() -> None:
    """M8 shears π/1.25·7.760·(0.625 + 0.57735·(7.760 − 7.348)) = 16.83 mm² a millimetre: (16 − 1)·16.83·42 MPa = 10.60 kN."""
    build = example()
    two = replace(build, riser=build.riser * 2)
    assert "a headless M8 stud in the middle, 16.0 mm deep in both; its thread holds 10602 N" in said(two)
    assert "Nothing on these sheets holds its parts" in next(
        step.says for step in plan(two, None, None).steps if step.key == "foot"
    )
    hunting = example("boat-shed-hunting")
    assert "two headless M8 studs, clear of the wax element's pocket" in said(replace(hunting, riser=hunting.riser * 2))
    assert "stud" not in said(build)
