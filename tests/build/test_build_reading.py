"""Build files are read with every fault told at once, and every value keeps where it came from."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from builds import NAMES, ROOT, build_with, changed, example, text_of
from hobwind.build import FORMAT, Build, build_from_text, digest, load_build, starter_text, whole_text
from hobwind.build.bin_file import load_bin
from hobwind.build.retrofit_file import load_outside
from hobwind.errors import BuildError

BASE = text_of()


def told(text: str) -> list[str]:
    """The problems of a text, each as `place: what is wrong`."""
    with pytest.raises(BuildError) as caught:
        build_from_text(text, "fan.toml")
    assert str(caught.value).splitlines() == [f"fan.toml: {problem}" for problem in caught.value.problems]
    return [str(problem) for problem in caught.value.problems]


def told_of(*changes: tuple[str, str, str]) -> list[str]:
    """The problems of the boat shed fan with keys changed."""
    text = BASE
    for section, key, value in changes:
        text = changed(text, section, key, value)
    return told(text)


def test_values_arrive_in_si() -> None:
    build = example()
    assert build.stove.usual_plate.value == pytest.approx(503.15)
    assert (build.stove.room.value, build.stove.room.half) == (pytest.approx(288.15), 4.0)
    assert build.wish.air.value == pytest.approx(35.0 / 3600.0)
    assert [part.length.value for part in build.riser] == [0.11]
    assert (build.clamp_pressure.value, build.clamp_pressure.half) == (pytest.approx(1.1e6), pytest.approx(0.3e6))
    assert build.guard.holder_conductance.value == 0.025 and build.guard.plate_slope.value == pytest.approx(math.radians(1))


def test_all_problems_in_one_go() -> None:
    text = BASE
    for section, key, value in (
        ("stove", "room", '"15 furgs"'),
        ("wish", "air", '"35"'),
        ("riser", "length", '"110 kg"'),
        ("seat", "flatness", '"0.06 m"'),
        ("hot_plate", "material", '"unobtainium"'),
        ("modules", "count", "99"),
        ("wiring", "arrangement", '"serie"'),
        ("screws", "hole", "true"),
        ("blade", "heigth", '"230 mm"'),
        ("guard", "kind", '"sideways"'),
    ):
        text = changed(text, section, key, value)
    places = [problem.split(": ")[0] for problem in told(text)]
    wanted = {
        "stove.room", "wish.air", "riser[1].length", "seat.flatness", "hot_plate.material", "modules[1].count",
        "wiring.arrangement", "screws.hole", "blade.heigth", "guard.kind",
    }  # fmt: skip
    assert set(places) == wanted and len(places) == len(wanted)


@pytest.mark.parametrize(
    ("section", "key", "value", "says"),
    [
        ("stove", "room", '"15"', 'stove.room: got "15" without a unit (°C, K or °F)'),
        ("stove", "room", '"90 °C"', 'stove.room: got "90 °C"; allowed is -30 °C to 45 °C'),
        ("stove", "room", "[15]", "stove.room: got [15]; text such as"),
        ("stove", "plate_thickness", '"1,250 mm"', "1.25 mm or 1250 mm"),
        ("riser", "width", '"60 mmm"', 'riser[1].width: got "60 mmm", whose unit "mmm" is not known'),
        ("riser", "material", '"aluminum 6082"', 'Nearest: "aluminium 6082"'),
        ("riser", "shape", '"blok"', 'did you mean "block"?'),
        ("modules", "count", '"two"', "modules[1].count: got 'two'; a whole number from 1 to 16 is wanted"),
        ("modules", "count", "2.0", "a whole number from 1 to 16"),
        ("modules", "part", '"cooler 40mm 6A"', 'Nearest: "cooler 40 mm 6 A"'),
        ("modules", "seebek", '"0.05 V/K"', 'modules[1].seebek: unknown key; did you mean "seebeck"?'),
        ("modules", "seebeck", '"9 V/K"', "modules[1].seebeck"),
        ("stove", "usual_plat", '"230 °C"', 'did you mean "usual_plate"?'),
        ("wiring", "limit", '"900 °C"', "wiring.limit"),
        ("joint.hot", "fill", '"butter"', '"zinc oxide grease"'),
        ("joint.hot", "surfase", '"milled"', 'joint.hot.surfase: unknown key; did you mean "surface"?'),
        ("guard", "element", '"wax 888"', 'Nearest: "wax 88"'),
        ("guard", "stop", '"nan mm"', "guard.stop"),
        ("screws", "bush", "3", "screws.bush: got 3"),
        ("motor", "emissivity", '"1.5"', "motor.emissivity"),
    ],
)
def test_one_fault_is_told_once_with_its_place(section: str, key: str, value: str, says: str) -> None:
    problems = told_of((section, key, value))
    assert len(problems) == 1 and says in problems[0]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "format: missing; write format = 1 at the top"),
        ("format = 0\n", "format: got 0; format = 1 is wanted"),
        ('format = "1"\n', "format: got '1'; format = 1 is wanted"),
        ("format = true\n", "format: got True; format = 1 is wanted"),
        ("format = 2\n", "format: is 2, made by a newer hobwind; this one reads up to 1: update hobwind"),
        ("format = 1\n[stove\n", "file: is not readable as TOML"),
        ("format = 1\nformat = 1\n", "file: is not readable as TOML"),
        ("format = " + "9" * 5000 + "\n", "file: "),
        ("format = 0x" + "f" * 5000 + "\n", "file: "),
        ("format = 1\n" + "a." * 3000 + "a = 1\n", "file: "),
        ("format = 1\na = " + "[" * 3000 + "]" * 3000 + "\n", "file: "),
    ],
    ids=lambda text: text[:20],
)
def test_files_of_the_wrong_form(text: str, says: str) -> None:
    problems = told(text)
    assert len(problems) == 1 and problems[0].startswith(says.split(": ")[0]) and says in problems[0]
    assert len(problems[0]) < 300


def test_the_format_is_this_one() -> None:
    assert FORMAT == 1 and isinstance(build_from_text(BASE), Build)


def test_an_almost_empty_file_lists_what_is_missing() -> None:
    problems = "\n".join(told("format = 1\n"))
    for place in ("riser", "modules", "sink", "motor", "blade"):
        assert re.search(rf"^{place}[\[.:]", problems, re.M)
    assert "[[riser]]" in problems and "[[modules]]" in problems


@pytest.mark.parametrize("section", ["stove", "wish", "seat", "wiring", "clamp", "guard", "blade", "sink", "riser", "modules"])
def test_a_section_that_is_none(section: str) -> None:
    text = re.sub(rf"^\[+{section}\]+.*?(?=^\[|\Z)", "", BASE, flags=re.M | re.S)
    problems = told(text.replace("format = 1", f"format = 1\n{section} = 3"))
    assert problems[0].split(":")[0].split(".")[0] == section and "got 3" in problems[0]


@pytest.mark.parametrize(
    ("strings", "says"),
    [
        ("[[3]]", "wires [3] modules of each kind, but the build has [2]"),
        ("[[1, 1]]", "one number a kind of module is wanted"),
        ("[[true], [1]]", "is wanted"),
        ("[[0], [2]]", "is wanted"),
        ('"two"', "got 'two'"),
        ("[]", "got []"),
    ],
)
def test_wrong_wiring_groups(strings: str, says: str) -> None:
    problems = told_of(("wiring", "arrangement", '"groups"'), ("wiring", "strings", strings))
    assert len(problems) == 1 and problems[0].startswith("wiring.strings: ") and says in problems[0]


def test_wiring() -> None:
    groups = ("wiring", "arrangement", '"groups"')
    assert example().wiring.strings == ((2,),)
    assert build_with(("wiring", "arrangement", '"parallel"')).wiring.strings == ((1,), (1,))
    assert build_with(groups, ("wiring", "strings", "[[1], [1]]")).wiring.strings == ((1,), (1,))
    assert "wiring.strings: got None" in told_of(groups)[0]


def test_joints() -> None:
    build = build_with(("joint.hot", "fill", '"dry"'), ("joint.cold", "fill", '"graphite sheet"'))
    assert build.joint.hot.fill is None
    assert build.joint.cold.fill is not None and build.joint.cold.fill.name == "graphite sheet"
    assert build.joint.riser.fill is not None and build.joint.riser.fill.name == "zinc oxide grease"
    assert build.joint.riser.surface.name == "milled" and build.joint.hot.surface.name == "wet-and-dry on glass"
    own = build_with(("joint.hot", "fill", '{ part = "zinc oxide grease", conductivity = "1.5 W/(m K)" }'))
    assert own.joint.hot.fill is not None and own.joint.hot.fill.conductivity.value == 1.5


def test_single_fields_of_a_part_are_set_anew() -> None:
    build = build_with(
        ("modules", "seebeck", '"47 ± 1 mV/K"'), ("riser", "material", '{ part = "copper", density = "8000 kg/m³" }')
    )
    assert build.modules[0].part.seebeck.value == pytest.approx(0.047)
    assert build.modules[0].part.resistance == example().modules[0].part.resistance
    assert build.riser[0].material.density.value == 8000.0
    assert build.riser[0].material.expansion == build_with(("riser", "material", '"copper"')).riser[0].material.expansion


def test_a_slip_inside_a_part_is_told() -> None:
    problems = told_of(("riser", "material", '{ part = "copper", densty = "8000 kg/m³" }'))
    assert len(problems) == 1 and problems[0].startswith("riser[1].material.densty: ") and '"density"' in problems[0]
    for wrong in ("3", "[]", "1979-05-27", "true"):
        problems = told_of(("riser", "material", wrong))
        assert len(problems) == 1 and problems[0].startswith("riser[1].material: got ")


def test_a_wrong_pin_length_is_told_once() -> None:
    for wrong in ('"rubbish"', "[3]", '"60"'):
        problems = told_of(("guard", "pin_length", wrong))
        assert len(problems) == 1 and problems[0].startswith("guard.pin_length: ")


def test_circle_or_rectangle() -> None:
    for more in (
        (),
        (("screws", "across", '"90 mm"'),),
        (("screws", "across", '"90 mm"'), ("screws", "along", '"50 mm"')),
    ):
        text = re.sub(r"^(across|along) = .*\n", "", BASE, flags=re.M)
        for section, key, value in (*more, *((("screws", "circle", '"103 mm"'),) if more else ())):
            text = changed(text, section, key, value)
        problems = told(text)
        assert len(problems) == 1 and problems[0].startswith("screws: give either circle")


def test_an_own_sink_whose_shape_has_a_source_still_needs_its_sizes() -> None:
    text = re.sub(r'^part = "amplifier sink.*$', 'shape = ["plate fins", "me"]\nmaterial = "copper"', BASE, flags=re.M)
    places = {problem.split(": ")[0] for problem in told(text)}
    assert {"sink.base_width", "sink.fin_pitch", "sink.fin_count", "sink.fin_thickness", "sink.finish"} <= places


def test_parts_beside_the_build_come_first(tmp_path: Path) -> None:
    (tmp_path / "fan.toml").write_text(BASE, "utf-8")
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "finish.toml").write_text('["stove paint"]\nemissivity = "0.5"\n', "utf-8")
    build = load_build(tmp_path / "fan.toml")
    assert build.stove.plate_finish.emissivity.value == 0.5 and build.file == "fan.toml"
    assert re.search(r"^plate_finish = .*  # beside the build$", whole_text(build), re.M)


def test_origins() -> None:
    text = whole_text(example())
    assert 'room = "15 ± 4 °C"  # given' in text
    assert 'altitude = "100 m"  # usual value, practice' in text
    assert 'name = "CD spindle motor"  # catalogue' in text
    assert re.search(r'^resistance = \["7.7 ± 3.0 ohm", "low-voltage-motor"\]$', text, re.M)


def test_the_digest_is_stable_and_changes_with_any_value() -> None:
    mark = digest(example())
    assert re.fullmatch("[0-9a-f]{16}", mark) and digest(build_from_text(BASE, "other name.toml")) == mark
    assert digest(build_from_text("# a remark\n" + BASE.replace('"60 mm"', '"6 cm"'))) == mark
    changes = [
        ("stove", "room", '"15 ± 4.1 °C"'), ("stove", "room", '"11..19 °C"'), ("seat", "flatness", '"0.061 ± 0.03 mm"'),
        ("modules", "couples", '"126"'), ("wiring", "arrangement", '"parallel"'), ("joint.hot", "fill", '"dry"'),
        ("guard", "held_in", '"sink"'), ("sink", "fin_count", '"13"'), ("screws", "count", "2"),
        ("riser", "material", '{ part = "aluminium 6082", density = "2701 kg/m³" }'),
    ]  # fmt: skip
    marks = {digest(build_with(change)) for change in changes}
    assert len(marks) == len(changes) and mark not in marks
    assert len({digest(example(name)) for name in NAMES}) == len(NAMES)


@pytest.mark.parametrize("name", ["My fan", 'A "quoted" \\ name', "Übergröße ☃", "{x} {}", ""])
def test_the_starter_is_a_build_whatever_it_is_called(name: str) -> None:
    build = build_from_text(starter_text(name, "fan.toml"))
    assert build.name == name.replace("\\", "").replace('"', "'")


@pytest.mark.parametrize("name", ["a\\nb", "\\u001b[31mred", "\\u0000", "x" * 81, "\\u202e"])
def test_a_name_is_one_line_that_a_screen_can_show(name: str) -> None:
    problems = told(BASE.replace('name = "Boat shed"', f'name = "{name}"'))
    assert len(problems) == 1 and problems[0].startswith("file.name: got ") and problems[0].isprintable()
    assert build_from_text(BASE.replace('name = "Boat shed"', 'name = "' + "x" * 80 + '"')).name == "x" * 80


def test_a_bush_goes_into_the_hole_too() -> None:
    screws = build_from_text(re.sub(r"^hole = .*\n", "", BASE, flags=re.M)).screws
    assert screws is not None and screws.bush is not None
    assert screws.hole.value == pytest.approx(screws.bush.outer.value + 0.2e-3)
    bare = build_from_text(re.sub(r"^(hole|bush) = .*\n", "", BASE, flags=re.M)).screws
    assert bare is not None and bare.hole.value == pytest.approx(1.1 * 4e-3)


@pytest.mark.parametrize(
    ("file", "load", "says"),
    [
        (
            "examples/boat-shed-bin.toml",
            load_build,
            "is a bin file: hobwind pick tries its combinations; a build file is wanted here",
        ),
        (
            "examples/retrofit/boat-shed-found-fan.toml",
            load_build,
            "is a found fan's file: hobwind retrofit reads it; a build file",
        ),
        ("examples/boat-shed.toml", load_bin, "is a build file: hobwind check judges it; a bin file is wanted here"),
        (
            "examples/boat-shed.toml",
            load_outside,
            "is a build file: hobwind check judges it; a found fan's file is wanted here",
        ),
    ],
)
def test_a_file_of_another_kind_is_told_in_one_sentence(file: str, load: Callable[[Path], object], says: str) -> None:
    with pytest.raises(BuildError) as caught:
        load(ROOT / file)
    assert len(caught.value.problems) == 1 and caught.value.problems[0].says.startswith(says)
