"""What killed the modules, which fit instead, which guard bolts on, and what the command says and writes."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from builds import EXAMPLES
from hobwind.build import digest, load_build
from hobwind.build.guide_posts import guide_for
from hobwind.build.retrofit_file import SIGNS, load_outside
from hobwind.cli import app
from hobwind.retrofit_screen import TO_MEASURE, retrofit_text
from hobwind.shapes import SHAPES
from hobwind.stack.keeping import End
from hobwind.studies.headline import headline
from hobwind.studies.odds import odds
from hobwind.studies.retrofit import BOLT_ON, DRILLED, LAID_UNDER, NOTHING, OPENED, TAPPED, Retrofit, asks, retrofit
from hobwind.studies.retrofit_causes import CAUSES, LEAST, RARELY, weigh

FOUND = EXAMPLES / "retrofit" / "boat-shed-found-fan.toml"


@lru_cache
def found() -> Retrofit:
    return retrofit(load_outside(FOUND))


@pytest.mark.parametrize(
    ("signs", "past_limit", "past_solder", "first"),
    [
        (("open", "soft joints"), 1.0, 0.9, "melted"),  # beads of solder on a fan that gets that hot
        (("high ohms",), 1.0, 0.0, "cooked"),  # past the rating for hours, never near the solder
        (("moves when pressed", "high ohms"), 0.0, 0.0, "cycled"),  # cool, and a leg that makes and breaks
        (("cracked", "open"), 0.0, 0.0, "crushed"),
        (("leaks to ceramic",), 0.0, 0.0, "wet"),
        (("sound",), 0.5, 0.1, "not dead"),
    ],
)
def test_known_causes_come_first(signs: tuple[str, ...], past_limit: float, past_solder: float, first: str) -> None:
    """Cases whose cause a repairer knows (common practice)."""
    likely = weigh(signs, past_limit, past_solder)
    assert likely[0].cause.code == first
    assert sum(one.share for one in likely) == pytest.approx(1.0, abs=1e-12)


def test_chances_by_hand() -> None:
    """Open and nothing else, half of the fans past the rating and none past the solder.

    melted 0.60 * 0.02 * 0.6 = 0.0072; cooked 0.50 * 0.5 * 0.2 = 0.05; cycled 0.25 * 0.4 = 0.10; crushed 0.15 * 0.5 = 0.075;
    wet 0.10 * 0.2 = 0.02; leads 0.15 * 0.5 = 0.075; not dead 0.15 * 0.03 = 0.0045; together 0.3317.
    """
    shares = {one.cause.code: one.share for one in weigh(("open",), 0.5, 0.0)}
    by_hand = {
        "melted": 0.0072, "cooked": 0.05, "cycled": 0.10, "crushed": 0.075, "wet": 0.02, "leads": 0.075, "not dead": 0.0045,
    }  # fmt: skip
    for code, weight in by_hand.items():
        assert shares[code] == pytest.approx(weight / 0.3317, rel=1e-9)
    assert (LEAST, RARELY) == (0.02, 0.03)
    assert weigh((), 1.0, 1.0) == ()


def test_every_sign_has_a_cause_and_every_chance_is_one() -> None:
    assert {sign for cause in CAUSES for sign in cause.shows} == set(SIGNS)
    assert all(0.0 < share <= 1.0 for cause in CAUSES for share in (cause.common, *cause.shows.values()))
    sources = (Path(__file__).parents[2] / "docs" / "sources.md").read_text("utf-8")
    assert "| repair-practice |" in sources


def test_heat_decides_between_causes() -> None:
    """The same signs: the hotter the fan, the likelier heat."""
    shares = [{x.cause.code: x.share for x in weigh(("open",), hot, hot)}["melted"] for hot in (0.0, 0.3, 1.0)]
    assert shares == sorted(shares) and shares[0] < 0.05 < shares[-1]


def test_death_of_the_found_fan_stands_on_its_figures() -> None:
    death, build = found().death, found().build
    solved = headline(build)
    assert death.peak == pytest.approx(float(solved.worst.end[End.peak_hot]), abs=0.5)  # thrown fans march ten times as roughly
    assert (death.limit, death.solder) == pytest.approx((423.15, 456.15))  # 150 and 183 °C, tin-lead
    assert death.past_limit > 0.9 > death.past_solder > 0.0 and death.causes[0].cause.code == "melted"


def test_modules_by_hand() -> None:
    """Old ones 3.9 mm thick, 2 mm of thread in hand: a generator of 3.8 mm leaves 2.1 mm, a 4.7 mm cooler 1.2 mm."""
    rows = {one.part.name: one for one in found().fits}
    assert rows["generator 40 mm"].thicker == pytest.approx(-1e-4) and rows["generator 40 mm"].screw_left == pytest.approx(
        2.1e-3
    )
    assert rows["cooler 40 mm 4 A"].screw_left == pytest.approx(1.2e-3)
    for name in ("cooler 62 mm", "generator 62 mm"):  # 62 mm on a plate 60 mm deep
        assert rows[name].tried is None and rows[name].against == "wider than its plates"
    same = rows["cooler 40 mm"]  # what it had: nothing changes
    assert same.start_change == pytest.approx(0.0, abs=1e-6) and same.air_change == pytest.approx(0.0, abs=1e-9)
    assert rows["cooler 40 mm 6 A hot solder"].limit == pytest.approx(473.15)
    assert [one.against == "" for one in found().fits] == sorted((one.against == "" for one in found().fits), reverse=True)


def test_a_fit_is_what_its_build_solves_to() -> None:
    fit = next(one for one in found().fits if one.part.name == "generator 40 mm")
    assert fit.tried is not None and fit.starts is not None and fit.margin is not None
    alone = headline(fit.tried.solved.build)
    assert fit.starts == pytest.approx(alone.starts_at, abs=0.5)  # the same evening, kept three times as sparsely
    assert fit.peak == pytest.approx(float(alone.worst.end[End.peak_hot]), abs=0.01)


def test_screws_too_short_are_said(tmp_path: Path) -> None:
    (tmp_path / "fan.toml").write_text(FOUND.read_text("utf-8").replace('spare = "2 mm"', 'spare = "0.5 mm"'), "utf-8")
    from hobwind.build.retrofit_build import reduced
    from hobwind.studies.retrofit_modules import fits

    outside = load_outside(tmp_path / "fan.toml")
    assert outside.screw_spare is not None
    rows = {one.part.name: one for one in fits(reduced(outside).build, outside.screw_spare.value)}
    assert rows["cooler 40 mm 4 A"].against == "the screws lack 0.3 mm of thread"
    assert rows["generator 40 mm"].against == ""


def test_recommended_guard_leaves_the_fan_closed() -> None:
    best = found().best
    assert best is not None and asks(best) == BOLT_ON and not best.shortcomings()
    lifting = replace(best.build, guard=replace(best.build.guard, kind="central lift"))
    lift = replace(best, kind="central lift", solved=replace(best.solved, build=lifting))
    assert asks(lift) == TAPPED and guide_for(lift.build) is not None  # its two eyes are screwed to the riser, two screws each
    # Shims serve too, but five faults harm them, and they cost a fifth of the air.
    shim = next(one for one in found().guards.rows if one.kind == "shim")
    assert best.kind == "edge tilt" and not shim.shortcomings() and len(best.harmed) < len(shim.harmed) == 5
    assert shim.solved.usual_air < 0.8 * best.solved.usual_air
    told = {one.kind: asks(one) for one in found().guards.rows}
    assert told["shim"] == LAID_UNDER and told["none"] == NOTHING and told["taller riser"] == told["more modules"] == OPENED
    for one in found().guards.rows:
        if one.build.guard.element is not None:
            on = BOLT_ON if guide_for(one.build) is None else TAPPED
            held = {"plate": on, "riser": DRILLED}.get(one.build.guard.held_in, OPENED)
            assert asks(one) == held
    assert found().guarded is not None
    direct = odds(best.build, 256, 1)
    assert found().guarded.chance_of("face_over_limit") == direct.chance_of("face_over_limit")


def run(*words: str):
    return CliRunner().invoke(app, list(words))


def test_screen_is_small_and_says_it_all() -> None:
    text = retrofit_text(found())
    lines = text.splitlines()
    assert len(lines) <= 40 and max(map(len, lines)) < 80
    flat = " ".join(text.split())
    for told in (
        "shows open, soft joints",
        "over-fired past its solder",
        "bolts on; the fan stays closed",
        "seat",
        "what the weight leaves",
    ):
        assert told in flat, told
    every = retrofit_text(found(), True)
    assert all(one.part.name in every for one in found().fits) and "[[riser]]" in every and "hot side down" in every


def test_what_to_measure_reads_as_a_file(tmp_path: Path) -> None:
    """Without a file the command prints what to measure; its lines, typed off, are a file that reads without a complaint."""
    done = run("retrofit")
    assert done.exit_code == 0 and done.stdout == TO_MEASURE
    lines = done.stdout.splitlines()
    assert len(lines) <= 40 and max(map(len, lines)) < 81
    start, stop = lines.index("format = 1"), next(i for i, line in enumerate(lines) if line.startswith("Also:"))
    (tmp_path / "fan.toml").write_text("\n".join(lines[start:stop]), "utf-8")
    outside = load_outside(tmp_path / "fan.toml")
    assert outside.signs == ("open",) and len(outside.seen) == 1 and not outside.seen[0].turns


def test_command_writes_and_takes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = run("retrofit", str(FOUND), "--json", "--out", "out", "--take", "mine.toml")
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    assert not list(Draft202012Validator(SHAPES["retrofit"]).iter_errors(told))
    names = {"retrofit.svg", "retrofit.png", "retrofit.json", "retrofit.txt", "retrofit-guards.svg", "retrofit-guards.png"}
    assert {path.name for path in (tmp_path / "out").iterdir()} == names | {"retrofit-build.toml"}
    assert digest(load_build(tmp_path / "mine.toml")) == told["made_by"]["build"]
    assert "solder melts" in (tmp_path / "out" / "retrofit.svg").read_text("utf-8")
    again = run("retrofit", str(FOUND), "--take", "mine.toml")
    assert again.exit_code != 0 and "is there already" in str(again.exception)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("retrofit", "none.toml"), "There is no file none.toml"),
        (("retrofit", "--json"), "FAN: missing; give the file of what was measured"),
        (("retrofit", str(FOUND), "--seed", "-1"), "--seed: got -1"),
    ],
)
def test_bad_commands_are_one_plain_error(words: tuple[str, ...], told: str) -> None:
    done = run(*words)
    assert done.exit_code != 0 and told in str(done.exception)


def test_new_modules_of_a_taken_build_are_said_to_be_new() -> None:
    """So that Shop opens its clamp for them; without any, the file says nothing of them."""
    from hobwind.build import build_from_text
    from hobwind.cli.guarding import _taken

    taken = build_from_text(_taken(found(), True, "generator 40 mm"), "mine.toml")
    assert taken.found and taken.new_modules and taken.modules[0].part.name == "generator 40 mm"
    assert not build_from_text(_taken(found(), True, None), "mine.toml").new_modules
