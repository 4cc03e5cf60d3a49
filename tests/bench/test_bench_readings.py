"""Readings typed at the bench: read, complained about, turned into parts that a build can name."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path

import pytest

from builds import ROOT, text_of
from hobwind.bench.readings import TESTS, measure, measure_text
from hobwind.bench.scrap import MINUTE_TESTS
from hobwind.build import build_from_text, load_build
from hobwind.cli import main
from hobwind.errors import BuildError, InputError

EXAMPLES = ROOT / "examples" / "bench"
# One example for each test, and what its readings were drawn from; names are figures, values SI.
DRAWN = {
    "module": ("coolbox-module", {}),
    "cooler-label": ("coolbox-print", {}),
    "generator-label": ("generator-print", {}),
    "health": ("coolbox-health", {}),
    "motor": (
        "cassette-motor",
        {"resistance": 7.7, "torque_constant": 7.5e-3, "friction": 150e-6, "drag": 25e-9, "brush_drop": 0.03},
    ),
    "blade": ("hand-cut-blade", {"power_coefficient": 0.17, "thrust_coefficient": 0.14}),
    "sink": ("amplifier-sink", {"heat_capacity": 610.0, "blown_seen": 0.62}),
    "wax": ("tractor-element", {"opens": 356.25, "full": 368.55, "travel": 8.3e-3, "hysteresis": 4.2}),
    "spring": ("deck-spring", {"spring_rate": 1180.0, "free_length": 36e-3}),
    "washers": ("disc-washers", {}),
    "metal": ("bar-end", {}),
    "flat": ("riser-foot", {}),
}


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    """Run a command in an empty folder; returns exit code, output, complaints."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOBWIND_HOME", str(tmp_path / "home"))

    def act(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["hobwind", *words])
        with pytest.raises(SystemExit) as stopped:
            main()
        said = capsys.readouterr()
        return int(stopped.value.code or 0), said.out, said.err

    return act


def kept_off() -> list[str]:
    """The left column of docs/words.md."""
    text = (ROOT / "docs" / "words.md").read_text("utf-8").split("## Kept off screens")[1].split("These are better")[0]
    return [word for word in re.findall(r"^\| ([\w -]+?) \|", text, re.M) if word not in ("not this", "---")]


def plain(text: str) -> None:
    """Fits a screen and keeps words off."""
    assert len(text.splitlines()) <= 40 and max(len(line) for line in text.splitlines()) <= 80, text
    for word in kept_off():
        assert not re.search(rf"\b{re.escape(word)}\b", text, re.I), word


def example(name: str) -> Path:
    return EXAMPLES / f"{DRAWN[name][0]}.toml"


def test_keep_or_scrap(run) -> None:
    code, out, _ = run("bench")
    assert code == 0 and all(name in out for name in TESTS)
    plain(out)
    assert out.count("  keep: ") == out.count("  scrap: ") == len(MINUTE_TESTS) >= 9


@pytest.mark.parametrize("name", TESTS)
def test_procedures(run, name: str) -> None:
    code, out, _ = run("bench", name)
    assert code == 0 and "You need" in out and "Cautions" in out
    plain(out)


@pytest.mark.parametrize("name", TESTS)
def test_the_procedure_shows_readings_that_are_understood(name: str) -> None:
    """The blanks filled with their own examples read without a complaint about form."""
    from hobwind.bench.forms import fill
    from hobwind.build.reader import Notes
    from hobwind.parts.catalogue import Shelf

    form, notes = TESTS[name].form, Notes(Shelf(None))

    def answer(blank):  # noqa: ANN001, ANN202
        if blank.kind == "list":
            return json.loads(blank.example)
        return int(blank.example) if blank.kind == "count" else blank.example

    table = {blank.key: answer(blank) for blank in form.blanks}
    for group in form.groups:
        row = {blank.key: answer(blank) for blank in group.blanks}
        table[group.key] = row if group.single else [row] * max(group.least, 1)
    fill(notes, form, table)
    assert [str(one) for one in notes.problems] == []


@pytest.mark.parametrize("name", TESTS)
def test_examples_come_to_what_they_were_drawn_from(run, name: str) -> None:
    assert example(name).read_text("utf-8").splitlines()[0].count("Invented") == 1
    found = measure(TESTS[name], example(name))
    for figure, true in DRAWN[name][1].items():
        one = found.figure(figure)
        assert abs(one.value - true) < 2.0 * one.u, figure
    code, out, _ = run("bench", name, str(example(name)))
    assert code == 0 and "± is 19 in 20" in out and "change them under [instruments]" in " ".join(out.split())
    plain(out)


def test_every_example_is_used() -> None:
    assert {path.stem for path in EXAMPLES.iterdir()} == {stem for stem, _ in DRAWN.values()}


def test_a_measured_part_goes_into_a_build(run, tmp_path) -> None:
    code, out, err = run("bench", "wax", str(example("wax")), "--part", "tractor element")
    assert code == 0 and "Wrote tractor element into parts/wax.toml" in out, err
    (tmp_path / "fan.toml").write_text(text_of().replace('"wax 88"', '"tractor element"'))
    code, out, err = run("check", "fan.toml", "--json")
    assert code in (0, 3), err
    assert json.loads(out)["guard"]["kind"] == "central lift"
    code, out, _ = run("check", "fan.toml", "--values")
    assert '"bench"' in out
    code, _, err = run("bench", "wax", str(example("wax")), "--part", "tractor element")
    assert code == 2 and "already" in err


PLACES = {  # what the boat shed names now, to be taken over by the measured part
    "module": ('"cooler 40 mm 6 A"', "modules", lambda b: b.modules[0].part),
    "cooler-label": ('"cooler 40 mm 6 A"', "modules", lambda b: b.modules[0].part),
    "generator-label": ('"cooler 40 mm 6 A"', "modules", lambda b: b.modules[0].part),
    "motor": ('"CD spindle motor"', "motor", lambda b: b.motor.part),
    "blade": ('"blade 150 mm 4"', "blade", lambda b: b.blade.part),
    "sink": ('"amplifier sink 150 x 100"', "sink", lambda b: b.sink.part),
    "wax": ('"wax 88"', "guard", lambda b: b.guard.element),
    "metal": ('"aluminium 6082"', "riser", lambda b: b.riser[0].material),
    "flat": ('"wet-and-dry on glass"', "joint", lambda b: b.joint.hot.surface),
}


@pytest.mark.parametrize("name", PLACES)
def test_every_kind_of_part_can_be_named_by_a_build(run, tmp_path, name: str) -> None:
    code, _, err = run("bench", name, str(example(name)), "--part", "mine")
    assert code == 0, err
    old, _, pick = PLACES[name]
    (tmp_path / "fan.toml").write_text(text_of().replace(old, '"mine"'), "utf-8")
    part = pick(load_build(Path("fan.toml")))
    assert part.name == "mine" and part.origin == "beside the build"
    found = measure(TESTS[name], example(name))
    shared = [one for one in found.figures if hasattr(part, one.name) and one.dimension != "number"]
    assert shared
    for one in shared:
        assert getattr(part, one.name).value == pytest.approx(one.measured.value, rel=1e-5), one.name
        assert getattr(part, one.name).sd == pytest.approx(one.measured.u, rel=0.01), one.name


def test_a_washer_is_kept_and_a_spring_goes_into_the_build(run, tmp_path) -> None:
    code, _, err = run("bench", "washers", str(example("washers")), "--part", "mine")
    assert code == 0, err
    text = text_of().replace("[screws]\n", '[screws]\nwasher = "mine"\n')
    (tmp_path / "fan.toml").write_text(text, "utf-8")
    assert load_build(Path("fan.toml")).screws.washer.outer.value == pytest.approx(12.5e-3)
    code, _, err = run("bench", "spring", str(example("spring")), "--part", "mine")
    assert code == 2 and "the build's own [guard]" in err
    code, _, err = run("bench", "health", str(example("health")), "--part", "mine")
    assert code == 2 and "finds no figure" in err


@pytest.mark.parametrize("name", ["spring", "washers", "flat"])
def test_lines_for_a_build_are_read_by_it(name: str) -> None:
    found = measure(TESTS[name], example(name))
    section, lines = found.lines[0], found.lines[1:]
    text = text_of()
    for line in lines:  # a key that the example has already gives way
        text = re.sub(rf"(?m)^{line.split(' = ')[0]} = .*\n", "", text)
    build = build_from_text(text.replace(f"{section}\n", "\n".join([section, *lines, ""]), 1))
    held = {"spring": build.guard.spring_force.value, "washers": build.clamp_pressure.value, "flat": build.seat.flatness.value}
    wanted = {"spring": "spring_force", "washers": "pressure", "flat": "seat_flatness"}[name]
    assert held[name] == pytest.approx(found.figure(wanted).value, rel=5e-3)  # printed to 3 or 4 digits


def test_health_on_the_command_line() -> None:
    wet = measure(TESTS["health"], example("health"))
    assert not wet.fit and "water or soot" in wet.verdict and "Dry it" in wet.steps[0]
    text = example("health").read_text("utf-8").replace("85 kΩ", "20 MΩ")
    text = re.sub(r"(?m)^(pressed|wandering).*\n", "", text)
    # By two loads: (1.242 - .762)/(.762/2.2 - 1.242/8.2) = 2.463 Ω at 17 °C, by hand.
    dry = measure_text(TESTS["health"], text, "dry.toml")
    new = 1.88
    assert dry.figure("resistance_ratio").value == pytest.approx(2.463 / 0.956 / new, rel=0.06)
    turned = text + '[open]\nhot = "80 °C"\ncold = "20 °C"\nvolts = "1.5 V"\n'
    assert not measure_text(TESTS["health"], turned, "t.toml").fit
    broken = 'kind = "cooler 40 mm 6 A"\nway = "no way through"\n'
    assert "no way through" in measure_text(TESTS["health"], broken, "b.toml").verdict
    with pytest.raises(InputError, match="neither that nor"):
        measure_text(TESTS["health"], 'kind = "cooler 40 mm 6 A"\n', "b.toml")
    with pytest.raises(InputError, match="5 K or more"):
        measure_text(TESTS["health"], turned.replace('"80 °C"', '"21 °C"'), "b.toml")


def test_a_module_beside_its_kind() -> None:
    text = example("module").read_text("utf-8")
    assert "Most like: cooler 40 mm 6 A" in measure(TESTS["module"], example("module")).verdict
    named = measure_text(TESTS["module"], 'kind = "cooler 40 mm 6 A"\n' + text, "m.toml")
    assert named.base == "cooler 40 mm 6 A" and "catalogue's for cooler 40 mm 6 A" in " ".join(named.doubts)
    worse = re.sub(r'ohms = "(\S+) Ω"', lambda m: f'ohms = "{2.2 * float(m[1]):.3g} Ω"', text)
    worn = measure_text(TESTS["module"], 'kind = "cooler 40 mm 6 A"\n' + worse, "m.toml")
    assert not worn.fit and "times the resistance of a new" in worn.verdict


def test_instruments_can_be_changed() -> None:
    text = example("wax").read_text("utf-8")
    coarse = measure_text(TESTS["wax"], text + '\n[instruments]\nthermometer = "3 K"\n', "pan.toml")
    fine = measure(TESTS["wax"], example("wax"))
    assert coarse.figure("opens").u > 2.0 * fine.figure("opens").u
    assert coarse.tools[0] == "thermometer ± 3 K" and fine.tools[0] == "thermometer ± 1 K"


def test_all_problems_at_once() -> None:
    with pytest.raises(BuildError) as wrong:
        measure_text(TESTS["wax"], '[[up]]\nwater = "80"\nstrok = "1 mm"\n[[up]]\n[[up]]\n', "pan.toml")
    said = str(wrong.value)
    assert "up[1].water" in said and "without a unit" in said and "up[1].stroke: missing" in said and "up[1].strok" in said


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("metal", 'mass = "800 ± 5 g"\ndisplaced = "300 g"', "a reading without ± is wanted"),
        ("motor", 'ohms = ["7 Ω"]\n[[running]]\nvolts="1 V"\namperes="20 mA"\nspeed = "27 Hz"', "Hertz go under frequency"),
        ("motor", 'ohms = "7 Ω"', "a list such as ohms = "),
        ("motor", 'ohms = ["7"]', "without a unit"),
        ("wax", "[[up]]\n", "got 1; at least 3 readings headed"),
        ("sink", "settled = 3", "readings headed"),
        ("blade", 'diameter = "15 cm"', "blades: missing"),
        ("flat", 'made = "gnawed"\nface = "60 mm"', 'no surface named "gnawed"'),
        ("washers", "outer = [", "is not readable as TOML"),
        ("sink", '[instruments]\nthermo = "1 K"', "instruments.thermo"),
    ],
)
def test_slips_in_a_file(name: str, text: str, says: str) -> None:
    with pytest.raises(BuildError, match=re.escape(says)):
        measure_text(TESTS[name], text, "r.toml")


TURNS = '[[turning]]\nvolts="1 V"\namperes="20 mA"\nspeed="900 rpm"\n' * 2


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("blade", 'diameter = "15 cm"\nblades = 2\n' + TURNS, "neither that nor"),
        ("sink", '[[cooling]]\ntime = "0 s"\nsink = "60 °C"\n', "cooling_room: missing"),
        ("motor", 'ohms = ["7 Ω"]\n[[running]]\nvolts="1 V"\namperes="20 mA"\n', "running 1: no speed given"),
        ("sink", "", "r.toml: sink: got neither"),
    ],
)  # fmt: skip
def test_readings_that_cannot_be(name: str, text: str, says: str) -> None:
    with pytest.raises(InputError, match=re.escape(says)):
        measure_text(TESTS[name], text, "r.toml")


def test_a_blade_on_a_motor_measured_here(run, tmp_path) -> None:
    """The motor's test first, kept as a part; the blade's test then names it."""
    run("bench", "motor", str(example("motor")), "--part", "deck motor")
    text = re.sub(r"(?m)^(torque_constant|friction) = .*\n", "", example("blade").read_text("utf-8"))
    (tmp_path / "blade.toml").write_text('motor = "deck motor"\n' + text, "utf-8")
    found = measure(TESTS["blade"], Path("blade.toml")).figure("power_coefficient")
    assert abs(found.value - 0.17) < 2.0 * found.u


def test_out_writes_picture_and_figures(run, tmp_path) -> None:
    code, out, _ = run("bench", "wax", str(example("wax")), "--out", "o")
    assert code == 0 and "bench-wax.svg" in out
    svg = (tmp_path / "o" / "bench-wax.svg").read_text("utf-8")
    assert "going up" in svg and "coming down" in svg and "stroke, mm" in svg
    assert (tmp_path / "o" / "bench-wax.png").read_bytes()[:4] == b"\x89PNG"
    data = json.loads((tmp_path / "o" / "bench-wax.json").read_text("utf-8"))
    rows = re.findall(r"\[\[(up|down)\]\]", example("wax").read_text("utf-8"))
    assert sum(len(one["readings"]) for one in data["curves"]) == len(rows)
    code, out, _ = run("bench", "health", str(example("health")), "--out", "h")  # no curve, and no picture
    assert code == 0 and "bench-health.txt" in out and ".svg" not in out


def test_no_such_test(run) -> None:
    code, _, err = run("bench", "rope")
    assert code == 2 and "there are: module, cooler-label" in err
