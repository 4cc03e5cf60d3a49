"""Readings by CSV and at prompts: the same part as from the TOML file, and every slip told."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from builds import ROOT
from hobwind.bench.csv_form import header_of, table_from_csv
from hobwind.bench.forms import INSTRUMENTS, Form
from hobwind.bench.readings import TESTS, measure, measure_table
from hobwind.bench_ask import ask_form, readings_text
from hobwind.cli import app
from hobwind.errors import BuildError

EXAMPLES = ROOT / "examples" / "bench"


def test_a_spreadsheet_with_decimal_commas() -> None:
    by_csv = measure(TESTS["wax"], EXAMPLES / "tractor-element.csv")
    by_toml = measure(TESTS["wax"], EXAMPLES / "tractor-element.toml")
    assert [one.measured for one in by_csv.figures] == [one.measured for one in by_toml.figures]


@pytest.mark.parametrize("name", TESTS)
def test_the_header_that_is_shown_is_understood(name: str) -> None:
    header = header_of(TESTS[name].form)
    groups = [one.key for one in TESTS[name].form.groups if one.key != INSTRUMENTS]
    row = ",".join(groups[0] if cell == "reading" else "1" for cell in header.split(","))
    table = table_from_csv(TESTS[name].form, f"{header}\n{row}\n", "r.csv")
    assert table


def test_spellings_of_units() -> None:
    form = TESTS["spring"].form
    for header in ("length_mm,scale_g", "length [mm],scale (g)", "length mm;scale g", "length [mm]\tscale [g]"):
        part = next(one for one in (";", "\t", ",") if one in header)
        table = table_from_csv(form, f"# invented\n{header}\n30{part}640\n26{part}1210\n", "r.csv")
        assert table == {"squeezed": [{"length": "30 mm", "scale": "640 g"}, {"length": "26 mm", "scale": "1210 g"}]}
    once = table_from_csv(form, "length_mm,scale_g,fitted_mm\n30,640,24\n26,1210,\n", "r.csv")
    assert once["fitted"] == "24 mm" and len(once["squeezed"]) == 2
    assert table_from_csv(TESTS["metal"].form, "mass_g,displaced_g,magnet\n812,301,does not hold\n", "m.csv") == {
        "mass": "812 g", "displaced": "301 g", "magnet": "does not hold",
    }  # fmt: skip
    ohms = table_from_csv(
        TESTS["motor"].form, "reading,ohms [Ω],volts_V,amperes_mA,speed_rpm\nrunning,7.6 7.9,1.5,24,1620\n", "m.csv"
    )
    assert ohms["ohms"] == ["7.6 Ω", "7.9 Ω"] and ohms["running"][0]["speed"] == "1620 rpm"


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("spring", "length,scale_g\n1,2\n", 'column "length" has no unit; write it as length_mm'),
        ("spring", "girth_mm,scale_g\n1,2\n", 'column "girth_mm" is not known; length_mm,scale_g is wanted'),
        ("spring", "length_mm,scale_g\n1,2,3\n", "part cells by ; where decimals have commas"),
        ("spring", "length_mm,scale_g,fitted_mm\n30,640,24\n26,1210,25\n", "fitted is 25 mm, but an earlier line says 24 mm"),
        ("wax", "water_degC,stroke_mm\n80,1\n", "add a column reading with up, down, dunk"),
        ("wax", "reading,water_degC,stroke_mm\nsideways,80,1\n", 'reading is "sideways"; one of up, down, dunk'),
        ("module", "reading,hot_degC,cold_degC,volts_V,ohms_ohm\nopen,80,10,3,5\n", 'sort "open" has no ohms'),
    ],
)
def test_slips_in_a_table(name: str, text: str, says: str) -> None:
    with pytest.raises(BuildError) as wrong:
        table_from_csv(TESTS[name].form, text, "r.csv")
    assert says in str(wrong.value) and "r.csv: line" in str(wrong.value)


def typed(table: dict[str, object], form: Form) -> list[str]:
    """The answers that a file's table would take, in the order of the questions."""

    def answer(row: dict[str, object], key: str) -> str:
        given = row.get(key, "")
        return " ".join(one.replace(" ", "") for one in given) if isinstance(given, list) else str(given)

    said = [answer(table, blank.key) for blank in form.blanks]
    for group in form.groups:
        rows = table.get(group.key, [])
        rows = [rows] if isinstance(rows, dict) else rows
        for row in rows:  # type: ignore[attr-defined]
            said += [answer(row, blank.key) for blank in group.blanks]
        if group.key == INSTRUMENTS and not rows:
            said += [""] * len(group.blanks)
        elif not group.single or not rows:
            said += [""] * (1 if group.blanks[0].needed else len(group.blanks))
    return said


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("wax", "tractor-element"), ("motor", "cassette-motor"), ("sink", "amplifier-sink"), ("metal", "bar-end"),
        ("module", "coolbox-module"), ("flat", "riser-foot"), ("health", "coolbox-health"), ("blade", "hand-cut-blade"),
    ],
)  # fmt: skip
def test_prompts_come_to_the_same_part(name: str, stem: str) -> None:
    table = tomllib.loads((EXAMPLES / f"{stem}.toml").read_text("utf-8"))
    answers = iter(typed(table, TESTS[name].form))
    heard = ask_form(TESTS[name].form, lambda _: next(answers), lambda _: None)
    assert list(answers) == []
    asked, filed = measure_table(TESTS[name], heard, "typed"), measure(TESTS[name], EXAMPLES / f"{stem}.toml")
    assert [one.measured for one in asked.figures] == [one.measured for one in filed.figures]
    again = tomllib.loads(readings_text(name, heard))
    assert measure_table(TESTS[name], again, "kept").figures == asked.figures


def test_bare_figures_take_the_unit_asked_for_and_slips_are_asked_again() -> None:
    shown, told = list[str](), list[str]()

    def hear(question: str) -> str:
        shown.append(question)
        return next(answers)

    # The empty answer, the wrong unit and the word that is no choice are asked again.
    answers = iter(["812", "", "5 kg/s", "301", "yes", "holds", "", ""])
    heard = ask_form(TESTS["metal"].form, hear, told.append)
    assert heard == {"mass": "812 g", "displaced": "301 g", "magnet": "holds"}
    assert shown[0] == "mass: dry, g" and "displaced" in shown[1] and "[not tried]" in shown[4]
    assert any("An answer is needed" in line for line in told) and any("measures something else" in line for line in told)


def test_ask_on_the_command_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(app, ["bench", "metal", "bar.toml", "--ask"], input="812\n301\n\n\n\n")
    assert done.exit_code == 0 and "Likely aluminium" in done.output and "Wrote bar.toml" in done.output
    again = CliRunner().invoke(app, ["bench", "metal", "bar.toml"])
    assert again.exit_code == 0 and "Likely aluminium" in again.output
    over = CliRunner().invoke(app, ["bench", "metal", "bar.toml", "--ask"])
    assert over.exit_code != 0 and "is there already" in str(over.exception)
