"""`hobwind trial` as a maker meets it."""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
from pathlib import Path

import pytest
from typer.testing import CliRunner

from builds import ROOT
from hobwind.build import load_build
from hobwind.cli import app
from test_layers import kept_off

SHED = str(ROOT / "examples" / "boat-shed.toml")


@pytest.fixture
def fire(tmp_path: Path) -> Path:
    return Path(shutil.copy(ROOT / "examples" / "boat-shed-fire.csv", tmp_path / "fire.csv"))


def run(*words: str, code: int = 0) -> str:
    done = CliRunner().invoke(app, words)
    assert done.exit_code == code, (done.output, done.exception)
    return done.stdout


def refused(*words: str) -> str:
    done = CliRunner().invoke(app, words)
    assert done.exit_code != 0
    return str(done.exception)


def test_fits_the_screen_speaks_plainly_and_keeps_the_columns(fire: Path, tmp_path: Path) -> None:
    said = run("trial", SHED, str(fire), "--fit", "--take", str(tmp_path / "fitted.toml"))
    lines = said.splitlines()
    assert len(lines) <= 41 and max(map(len, lines[:-1])) < 80  # and one that says what was written
    for word in kept_off():
        assert not re.search(rf"\b{re.escape(word)}\b", said, re.I), word
    for words in (
        'line 203: Heißseite [°C] is "Fehler"', "Shown: started at", "guard lifted", "sat back", "Not shown: an over-fired stove",
        "what we guessed before", "module conductance", "Next fire, attended", "never water",
    ):  # fmt: skip
        assert words in " ".join(said.split()) or words in said, words
    assert (tmp_path / "fire.columns.toml").is_file()
    fitted = load_build(tmp_path / "fitted.toml")
    assert fitted.modules[0].part.conductance.value == pytest.approx(0.6, abs=0.06)  # the example was computed with 0.6


def test_kept_columns_are_used_and_mended(fire: Path) -> None:
    run("trial", SHED, str(fire), "--column", "Kühlkörper=-")
    again = run("trial", SHED, str(fire))
    assert "Kühlkörper [°C]" in again.split("not used: ")[1].split(";")[0]
    (fire.parent / "fire.columns.toml").write_text("[[column]]\n", "utf-8")
    assert "fire.columns.toml: cannot be used" in refused("trial", SHED, str(fire))


def test_two_loggers_are_joined(fire: Path) -> None:
    """The same evening in two files, the second's clock an hour and 97 s behind, no channel in common."""
    head, *rows = [line.split(";") for line in fire.read_text("utf-8").splitlines()[1:]]
    rows = [row for row in rows if len(row) == len(head)]
    one, two = fire.with_name("one.csv"), fire.with_name("two.csv")
    seconds = [15 * i for i in range(len(rows))]
    one.write_text("\n".join(["time_s;Platte °C", *(f"{s};{r[1]}" for s, r in zip(seconds, rows, strict=True))]), "utf-8")
    two.write_text(
        "\n".join(["time_s;Senke sink °C", *(f"{s + 97 - 3600};{r[4]}" for s, r in zip(seconds, rows, strict=True))]), "utf-8"
    )
    said = " ".join(run("trial", SHED, str(one), "--also", str(two)).split())
    found = re.search(r"joined by ([+-]\d+) s, found by sink as predicted", said)
    assert found is not None and abs(int(found[1])) < 120  # times count from each log's first line; the sink is a prediction
    assert "joined by +50 s, found by as given" in " ".join(
        run("trial", SHED, str(one), "--also", str(two), "--offset", "50").split()
    )


def test_infrared_of_a_shiny_face_gives_no_figure_for_a_limit(fire: Path) -> None:
    said = " ".join(run("trial", SHED, str(fire), "--infrared", "hot_face=0.3±0.1 at 0.95").split())
    assert "left to its limit" not in said and "make a black spot" in said and "larger than the meter's circle" in said


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--hold-back", "95"), "--hold-back: got 95; 0 to 80 percent"),
        (("--offset", "5"), "one for each --also is wanted"),
        (("--infrared", "sink=3"), "how well its surface radiates"),
        (("--column", "x=sink"), "HEADER=CHANNEL is wanted"),
        (("--take", SHED), "name a new file"),
    ],
)
def test_wrong_options(fire: Path, words: tuple[str, ...], says: str) -> None:
    assert says in refused("trial", SHED, str(fire), *words)


def test_a_log_without_a_plate(tmp_path: Path) -> None:
    log = tmp_path / "no.csv"
    log.write_text("time_s,sink_degC\n" + "\n".join(f"{60 * i},{20 + i}" for i in range(30)), "utf-8")
    assert 'name its column, such as --column "T1=plate"' in refused("trial", SHED, str(log))


def test_a_trial_goes_into_the_diary(fire: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the screen says was shown stands in the diary, with half the printed ± as its standard uncertainty."""
    monkeypatch.setenv("HOBWIND_HOME", str(tmp_path))
    said = run("trial", SHED, str(fire), "--diary")
    printed = re.search(r"started at a plate of (\d+) ± (\d+) °C", " ".join(said.split()))
    assert printed is not None and "Entered into the diary" in said
    with sqlite3.connect(tmp_path / "diary.sqlite") as book:
        ((says, report),) = book.execute("select says, report from trials").fetchall()
        values = dict(book.execute("select name, value from look_values").fetchall())
        assert book.execute("select count(*) from evenings").fetchone() == (1,)
    assert f"{printed[1]} °C" in says and json.loads(report)["name"] == "Boat shed"
    assert round(values["starts_at_plate_degC"]) == int(printed[1]) and "lifts_at_plate_degC" in values
    assert "1 trial" in run("diary", "show")
    assert "a trial of that very log is in the diary already" in refused("trial", SHED, str(fire), "--diary")
    assert "1 trial" in run("diary", "show")
