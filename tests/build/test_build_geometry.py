"""What cannot be made is caught; lengths, places and masses are those of hand arithmetic."""

from __future__ import annotations

import math
import re

import pytest

from builds import build_with, changed, example, text_of
from hobwind.build import build_from_text
from hobwind.build.forces import lifting_force
from hobwind.build.geometry import (
    centre_height,
    fan_mass,
    high_plate,
    low_plate,
    masses,
    module_places,
    riser_height,
    screw_places,
    section_area,
    sink_box,
    sink_heat_capacity,
    sink_mass,
)
from hobwind.build.standing import foot_wanted, gap_factors, stands_when_lifted
from hobwind.errors import BuildError

Change = tuple[str, str, str]
CIRCLE = re.sub(r"^(across|along) = .*\n", "", text_of(), flags=re.M)
ANNULAR = {
    "shape": '"annular fins"', "material": '"pure aluminium"', "finish": '"bright aluminium"', "core_diameter": '"110 mm"',
    "outer_diameter": '"160 mm"', "fin_thickness": '"2 mm"', "fin_pitch": '"8 mm"', "fin_count": "10",
}  # fmt: skip
PINS = {
    "shape": '"pin fins"', "material": '"pure aluminium"', "finish": '"bright aluminium"', "base_width": '"120 mm"',
    "base_length": '"80 mm"', "base_thickness": '"5 mm"', "pin_diameter": '"3 mm"', "pin_height": '"30 mm"',
    "pin_pitch": '"10 mm"', "pin_count": "96",
}  # fmt: skip
MEASURED = {
    "shape": '"measured"', "material": '"pure aluminium"', "finish": '"bright aluminium"', "width": '"120 mm"',
    "depth": '"80 mm"', "height": '"45 mm"', "mass": '"400 g"', "still": '"1.5 K/W"', "still_rise": '"40 K"',
    "blown": '"0.5 K/W"', "blown_at": '"1 m/s"',
}  # fmt: skip


def text_with(changes: tuple[Change, ...], text: str = "") -> str:
    text = text or text_of()
    for section, key, value in changes:
        text = changed(text, section, key, value)
    return text


def own_sink(fields: dict[str, str], **more: str) -> str:
    """The boat shed fan with a sink of its own."""
    rows = "\n".join(f"{key} = {value}" for key, value in (fields | more).items())
    return text_of().replace('part = "amplifier sink 150 x 100"', rows)


def told(text: str) -> list[str]:
    with pytest.raises(BuildError) as caught:
        build_from_text(text)
    return [str(problem) for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("changes", "place", "says"),
    [
        ([("sink", "fin_thickness", '"10 mm"')], "sink.fin_pitch", "the fins are 10.0 mm thick"),
        ([("sink", "fin_pitch", '"2 mm"')], "sink.fin_pitch", "Did you give the gap?"),
        # 16 fins at 10 mm: 15 pitches and one fin of 2.5 mm, 152.5 mm
        (
            [("sink", "fin_count", "16")],
            "sink.fin_count",
            "16 fins at 10.0 mm need 152.5 mm, but the base is 150.0 mm wide",
        ),
        (
            [("modules", "width", '"120 mm"'), ("modules", "count", "1")],
            "modules",
            "the plate below them is 100.0 mm x 60.0 mm",
        ),
        ([("modules", "depth", '"61 mm"'), ("screws", "along", '"54 mm"')], "modules", "but the plate below"),
        ([("screws", "across", '"70 mm"'), ("screws", "along", '"30 mm"')], "screws", "goes through a module"),
        ([("screws", "across", '"97 mm"')], "screws", "beyond the plate below the modules (100.0 mm x 60.0 mm)"),
        ([("screws", "along", '"6.5 mm"'), ("screws", "across", '"93 mm"')], "screws", "are 6.5 mm apart and meet"),
        (
            [("screws", "hole", '"4 mm"'), ("screws", "bush", '"PEEK bush M4"')],
            "screws.hole",
            "is 4.0 mm, but the screw is 4.0 mm",
        ),
        ([("screws", "count", "3")], "screws.count", "two or four screws are wanted"),
        ([("screws", "bush", '"PEEK bush M3"')], "screws.bush", "has a bore of 3.1 mm, but the screw is 4.0 mm"),
        ([("screws", "hole", '"5.5 mm"')], "screws.bush", "is 5.8 mm across, but the hole is 5.5 mm"),
        ([("hot_plate", "width", '"29 mm"')], "hot_plate", "less than half as wide as the riser"),
        (
            [("guard", "pin_length", '"60 mm"'), ("guard", "pin_bore", '"59 mm"')],
            "guard.pin_length",
            "longer than the 59.0 mm its bore leaves it",
        ),
        ([("guard", "held_in", '"spreader"')], "guard.held_in", "the build has none; hold it in the sink"),
        (
            [("guard", "held_in", '"riser"'), ("guard", "element_height", '"111 mm"')],
            "guard.element_height",
            "above the riser's top at 110.0 mm",
        ),
        ([("guard", "stop", '"90 mm"')], "guard.stop", "more than the"),
        ([("blade", "height", '"76 mm"')], "blade.height", "strike the stove plate"),
        (
            [("stove", "usual_plate", '"340 °C"')],
            "stove",
            "usual_plate 340 °C and worst_plate 330 °C must rise in this order",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "-".join(key for _, key, _ in value),
)
def test_what_cannot_be_made_is_told(changes: list[Change], place: str, says: str) -> None:
    problems = told(text_with(tuple(changes)))
    assert any(problem.startswith(f"{place}: ") and says in problem for problem in problems), problems


@pytest.mark.parametrize(
    "changes",
    [
        [("sink", "fin_thickness", '"9.9 mm"'), ("sink", "fin_count", "15")],
        [("sink", "fin_count", "15")],  # 14 pitches and a fin, 142.5 mm on 150 mm
        [("screws", "across", '"93 mm"')],
        [("blade", "height", '"78 mm"')],
        [("guard", "pin_bore", '"60 mm"')],
        [("stove", "usual_plate", '"329 °C"')],
        [("hot_plate", "width", '"150 mm"')],
    ],
    ids=lambda value: "-".join(key for _, key, _ in value),
)
def test_what_just_fits_is_taken(changes: list[Change]) -> None:
    assert build_with(*changes).modules


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (own_sink(ANNULAR, outer_diameter='"110 mm"'), "sink.outer_diameter: is 110.0 mm, but the core is 110.0 mm"),
        (own_sink(ANNULAR, fin_thickness='"8 mm"'), "sink.fin_pitch: is 8.0 mm, but the fins are 8.0 mm thick"),
        (own_sink(ANNULAR, bore='"110 mm"'), "sink.bore: is 110.0 mm, but the core is 110.0 mm"),
        (own_sink(PINS, pin_diameter='"10 mm"'), "sink.pin_pitch: is 10.0 mm, but the pins are 10.0 mm thick"),
        # 13 rows of 9 at 10 mm on 120 x 80 mm
        (own_sink(PINS, pin_count="118"), "sink.pin_count: is 118, but at that pitch the base holds 117 at most"),
        (text_with((("screws", "circle", '"60 mm"'),), CIRCLE), "goes through a module"),
    ],
    ids=lambda text: text[-40:],
)
def test_other_sinks_and_circles(text: str, says: str) -> None:
    assert any(says in problem for problem in told(text))


def test_module_corners_stay_on_a_round_riser() -> None:
    text = re.sub(r"^\[hot_plate\].*?(?=^\[)|^\[screws\].*?(?=^\[)", "", text_of(), flags=re.M | re.S)
    text = re.sub(r'^shape = "block".*?^length', 'diameter = "{size}"\nlength', text, flags=re.M | re.S).replace(
        "count = 2", "count = 1"
    )
    # A square of 40 mm reaches 20 sqrt 2 = 28.28 mm from its middle: 56.6 mm across.
    assert "corners reach 28.3 mm from the middle, but the round riser ends at 27.5 mm" in "".join(
        told(text.replace("{size}", "55 mm"))
    )
    build = build_from_text(text.replace("{size}", "57 mm"))
    assert section_area(build.riser[0]) == pytest.approx(math.pi / 4 * 0.057**2)
    assert low_plate(build) == (0.057, 0.057)


def test_no_geometry_is_judged_on_values_that_could_not_be_read() -> None:
    problems = told(text_with((("sink", "fin_pitch", '"ten mm"'), ("modules", "width", '"999 mm"'))))
    assert [problem.split(": ")[0] for problem in problems] == ["modules[1].width", "sink.fin_pitch"]


def test_lengths() -> None:
    build = example()
    assert riser_height(build) == 0.11
    assert (low_plate(build), high_plate(build)) == ((0.1, 0.06), (0.15, 0.1))
    assert sink_box(build) == pytest.approx((0.15, 0.1, 0.046))
    assert section_area(build.riser[0]) == pytest.approx(0.0036)


def test_modules_lie_side_by_side() -> None:
    # Two of 40 mm with 1 mm between: middles 20.5 mm either side.
    assert [pytest.approx(place) for place in [(-0.0205, 0.0, 0.04, 0.04), (0.0205, 0.0, 0.04, 0.04)]] == module_places(
        example()
    )
    one = build_with(("modules", "count", "1"))
    assert module_places(one) == [(0.0, 0.0, 0.04, 0.04)]
    wide = (("hot_plate", "width", '"90 mm"'), ("hot_plate", "depth", '"90 mm"'), ("modules", "count", "4"))
    text = re.sub(r"^\[screws\].*?(?=^\[)", "", text_with(wide), flags=re.M | re.S)
    places = module_places(build_from_text(text))
    assert sorted((round(x * 1e4), round(y * 1e4)) for x, y, _, _ in places) == [
        (-205, -205),
        (-205, 205),
        (205, -205),
        (205, 205),
    ]


def test_screws_lie_where_they_are_said_to() -> None:
    screws = example().screws
    assert screws is not None
    assert set(screw_places(screws)) == {(0.045, 0.025), (-0.045, 0.025), (-0.045, -0.025), (0.045, -0.025)}
    two = build_with(("screws", "count", "2")).screws
    assert two is not None
    (ax, ay), (bx, by) = screw_places(two)
    assert (ax, ay) == (-bx, -by) and abs(ax) == 0.045 and abs(ay) == 0.025
    big = (("hot_plate", "width", '"120 mm"'), ("hot_plate", "depth", '"100 mm"'), ("screws", "circle", '"100 mm"'))
    for count, first in ((2, (0.05, 0.0)), (3, (0.05, 0.0)), (4, (0.05 / math.sqrt(2), 0.05 / math.sqrt(2)))):
        text = text_with((*big, ("screws", "count", str(count))), CIRCLE).replace(
            "count = 2\n\n[wiring", "count = 1\n\n[wiring"
        )
        round_ = build_from_text(text).screws
        assert round_ is not None
        places = screw_places(round_)
        assert len(places) == count and places[0] == pytest.approx(first)
        assert all(math.hypot(*place) == pytest.approx(0.05) for place in places)
        assert sum(x for x, _ in places) == pytest.approx(0.0, abs=1e-12)


def test_masses_by_hand() -> None:
    light = (("hot_plate", "material", '{ part = "copper", density = "9000 kg/m³" }'),
             ("riser", "material", '{ part = "copper", density = "8000 kg/m³" }'),
             ("sink", "material", '"pure aluminium"'), ("motor", "mass", '"100 g"'), ("blade", "mass", '"20 g"'))  # fmt: skip
    build = build_with(*light)
    density = build.sink.part.material.density.value
    # Riser 60 x 60 x 110 mm: 396 cm3; hot plate 100 x 60 x 10 mm: 60 cm3; modules 2 x 40 x 40 x 3.9 mm at 3.5 g/cm3;
    # sink 150 x 100 x 6 mm and 14 fins of 40 x 2.5 x 100 mm: 90 + 140 cm3.
    wanted = {
        "riser 1": (3.168, 0.055), "hot plate": (0.54, 0.115), "modules": (0.04368, 0.12195),
        "sink": (230e-6 * density, 0.1239 + 0.023), "motor": (0.1, 0.23), "blade": (0.02, 0.23), "fittings": (0.05, 0.23),
    }  # fmt: skip
    assert {one.name: (pytest.approx(one.mass), pytest.approx(one.height)) for one in masses(build)} == wanted
    whole = sum(mass for mass, _ in wanted.values())
    centre = sum(mass * height for mass, height in wanted.values()) / whole
    assert fan_mass(build) == pytest.approx(whole) and centre_height(build) == pytest.approx(centre)
    assert sink_heat_capacity(build) == pytest.approx(230e-6 * density * build.sink.part.material.specific_heat.value)
    # A sink 100 mm deep, the blade 12 mm before it, a motor of 12.5 mm: 62 mm out, and 55.75 with the fittings.
    out = (0.02 * 0.062 + (0.1 + 0.05) * 0.05575) / whole
    # The foot: centre height times the tangent of the plate's slope and three degrees more, and what hangs out.
    assert foot_wanted(build) == pytest.approx(centre * math.tan(math.radians(1.0 + 3.0)) + out)
    weighed = text_of() + '\n[fan]\nmass = "2.5 kg"\n'
    assert fan_mass(build_from_text(weighed)) == 2.5


@pytest.mark.parametrize(
    ("fields", "volume", "box"),
    [
        # core 110 mm over ten pitches of 8 mm, ten rings of 2 mm out to 160 mm
        (ANNULAR, math.pi / 4 * (0.11**2 * 0.08 + (0.16**2 - 0.11**2) * 0.02), (0.16, 0.16, 0.08)),
        (
            ANNULAR | {"bore": '"20 mm"'},
            math.pi / 4 * ((0.11**2 - 0.02**2) * 0.08 + (0.16**2 - 0.11**2) * 0.02),
            (0.16, 0.16, 0.08),
        ),
        (PINS, 0.12 * 0.08 * 0.005 + 96 * math.pi / 4 * 0.003**2 * 0.03, (0.12, 0.08, 0.035)),
    ],
    ids=["annular", "bored", "pins"],
)
def test_masses_of_other_sinks(fields: dict[str, str], volume: float, box: tuple[float, float, float]) -> None:
    text = re.sub(r"^\[screws\].*?(?=^\[)", "", own_sink(fields), flags=re.M | re.S)
    build = build_from_text(text)
    assert sink_mass(build) == pytest.approx(volume * build.sink.part.material.density.value)
    assert sink_box(build) == pytest.approx(box)


def test_a_weighed_sink() -> None:
    build = build_from_text(own_sink(MEASURED))
    assert sink_mass(build) == pytest.approx(0.4) and sink_box(build) == (0.12, 0.08, 0.045)


def test_a_lifted_fan_needs_its_foot() -> None:
    wanted = foot_wanted(example())
    for radius, stands, factors in ((wanted * 1.02, True, (1.0, 1.0)), (wanted * 0.98, False, (0.0, 2.0))):
        build = build_with(("guard", "stands", '"foot"'), ("guard", "foot_radius", f'"{radius} m"'))
        assert stands_when_lifted(build) is stands and gap_factors(build) == factors
    assert stands_when_lifted(example())


def test_lifting_force_by_hand() -> None:
    build = build_from_text(text_of() + '\n[fan]\nmass = "2.5 kg"\n')
    # Weight 2.5 x 9.80665 N over what the guide leaves (eyes 92.5 mm apart, pin 42 mm aside, friction 0.2), a spring of 8 N and
    # 500 N/m over 1 mm of lost motion and a stop of 2 mm, and a fifth more for its friction.
    wanted = 2.5 * 9.80665 / (1.0 - 2.0 * 0.2 * 42.0 / 92.5) + (8.0 + 500.0 * (0.001 + 0.002)) * 1.2
    element = build.guard.element
    assert element is not None and lifting_force(build) == (pytest.approx(wanted), element.force.value)
    tilted = build_from_text(text_with((("guard", "kind", '"edge tilt"'), ("guard", "pivot_distance", '"40 mm"'))))
    assert gap_factors(tilted) == (0.0, pytest.approx(0.06 / 0.04))
