"""`hobwind odds` and `hobwind worth` as a maker meets them."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from builds import EXAMPLES, NAMES, ROOT
from hobwind.cli import app
from hobwind.odds_screen import chance_text, rate
from hobwind.shapes import SHAPES
from hobwind.studies import odds as odds_study
from hobwind.studies.dice import Chance
from test_layers import kept_off

SHED = str(ROOT / "examples" / "boat-shed.toml")


def run(*words: str) -> str:
    done = CliRunner().invoke(app, words)
    assert done.exit_code == 0, done.output
    return done.stdout


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("command", [("odds", "--count", "32"), ("worth", "--count", "8")], ids=lambda c: c[0])
def test_fits_the_screen_and_speaks_plainly(command: tuple[str, ...], name: str) -> None:
    said = run(command[0], str(ROOT / "examples" / f"{name}.toml"), *command[1:])
    lines = said.splitlines()
    assert len(lines) <= 40 and max(map(len, lines)) <= 80
    for word in kept_off():
        assert not re.search(rf"\b{re.escape(word)}\b", said, re.I), word
    assert "seed 1" in lines[-1]


@pytest.mark.parametrize("name", NAMES)
def test_odds_keep_to_one_screen(name: str) -> None:
    """40 lines of 79 columns as thrown by default, when rare things happen too; a chance left out is not said to be none."""
    said = run("odds", str(EXAMPLES / f"{name}.toml"))
    assert len(said.splitlines()) <= 40 and max(len(line) for line in said.splitlines()) <= 79
    whole = run("odds", str(EXAMPLES / f"{name}.toml"), "--all")
    chances = [text.split("Chances")[1].split("Measure next")[0] for text in (said, whole)]
    happened = [len(re.findall(r"^  (?:about|all) ", text, re.M)) for text in chances]
    assert (happened[0] < happened[1]) is ("rarer than these" in chances[0])


def test_a_face_that_was_asked_for_is_always_told() -> None:
    """Also where no thrown fan comes near it, and the short list leaves out what never happened; no row is too wide."""
    said = run("odds", SHED, "--count", "64", "--face", "250")
    assert "a module face passes 250 °C on the over-fired evening" in " ".join(said.split())
    assert max(len(line) for line in said.splitlines()) <= 79


def test_odds_say_what_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(odds_study, "SHARED_OUT", 16)
    said = run("odds", SHED, "--count", "64", "--face", "140", "--shares", "--all")
    for words in (
        "19 in 20 lie",
        "Chances",
        "passes 140 °C",
        "Measure next",
        "Shares of the spread",
        "guard hunts",
        "in 2 places",
    ):
        assert words in said, words
    inches = run("odds", SHED, "--count", "64", "--inch")
    assert "°F" in inches and "cfm" in inches and "°C" not in inches and "m³/h" not in inches


def test_worth_in_inches_and_in_full() -> None:
    said = run("worth", SHED, "--count", "8", "--inch", "--all")
    assert "cfm" in said and "°F" in said and "m³/h" not in said
    assert "in the file:" in said and "Not worth doing" in said


@pytest.mark.parametrize("words", [("odds", "--count", "32"), ("odds", "--count", "32", "--shares"), ("worth", "--count", "8")])
def test_json_has_its_shape(words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(odds_study, "SHARED_OUT", 16)
    found = json.loads(run(words[0], SHED, *words[1:], "--json"))
    assert [str(one.message) for one in Draft202012Validator(SHAPES[words[0]]).iter_errors(found)] == []
    assert found["made_by"]["seed"] == 1


def test_pictures_are_written(tmp_path: Path) -> None:
    run("odds", SHED, "--count", "32", "--out", str(tmp_path))
    run("worth", SHED, "--count", "8", "--out", str(tmp_path))
    for stem in ("odds", "worth"):
        for ending in ("svg", "png", "json", "txt"):
            assert (tmp_path / f"{stem}.{ending}").stat().st_size > 300


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("odds", SHED, "--count", "3"), "--count: got 3; 32 to 65536 fans are allowed"),
        (("odds", SHED, "--seed", "-1"), "--seed: got -1; 0 to 2147483647 is allowed"),
        (("odds", SHED, "--face", "140,150"), "--face: got 140,150; one temperature is wanted, °C"),
        (("odds", SHED, "--face", "warm"), "--face: got 'warm'; plates such as 200 or 120,200,300 are wanted, °C"),
        (("worth", SHED, "--count", "5000"), "--count: got 5000; 8 to 4096 fans are allowed"),
    ],
)
def test_bad_input_gets_one_sentence(words: tuple[str, ...], says: str) -> None:
    done = CliRunner().invoke(app, words)
    assert done.exit_code != 0 and says in str(done.exception)


@pytest.mark.parametrize(
    ("share", "loose", "count", "says"),
    [
        (0.025, 0.005, 2048, "about 1 in 40 (1 in 50 to 1 in 33)"),
        (0.0, 0.0, 2048, "none of 2,048 fans (fewer than 1 in 680)"),
        (1.0, 0.0, 2048, "all 2,048 fans"),
        (0.35, 0.01, 2048, "about 7 in 20"),
        (0.95, 0.001, 2048, "about 19 in 20"),
        (0.001, 0.002, 2048, "about 1 in 1,000"),
    ],
)
def test_chances_in_plain_words(share: float, loose: float, count: int, says: str) -> None:
    """Never in n throws: still fewer than 3 in n, 19 in 20 (exp(-3) = 0.05)."""
    assert chance_text(Chance(share, loose, count)) == says


def test_rates_in_plain_words() -> None:
    assert [rate(x) for x in (0.0, 0.05, 0.5, 0.97, 1.0)] == ["none", "1 in 20", "10 in 20", "32 in 33", "all"]
