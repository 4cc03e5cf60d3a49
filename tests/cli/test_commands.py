"""The commands as a user meets them: exit codes, whole messages, what stands on the screen and in the files."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from builds import EXAMPLES, NAMES, judged, text_of
from hobwind import __version__
from hobwind.cli import main
from hobwind.screens import verdict_text
from unfolding import unfolded

POINT = {
    "plate_degC", "hot_face_degC", "cold_face_degC", "sink_degC", "seat_heat_W", "module_heat_W", "electric_W", "motor_V",
    "current_A", "speed_rpm", "air_m3_per_h", "breeze_1m_m_per_s", "gap_mm", "guard", "branch", "outcome", "margin_K",
    "balance_W",
}  # fmt: skip
EXITS = {
    "boat-shed": 0,
    "boat-shed-no-guard": 3,
    "boat-shed-hunting": 0,
    "boat-shed-steel-screws": 0,
    "boat-shed-soft-solder": 3,
}


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    """Run a command in an empty folder; returns exit code, output, complaints."""
    monkeypatch.chdir(tmp_path)

    def act(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["hobwind", *words])
        with pytest.raises(SystemExit) as stopped:
            main()
        said = capsys.readouterr()
        code = stopped.value.code
        return (code if isinstance(code, int) else 0), said.out, unfolded(said.err)

    return act


@pytest.mark.parametrize("name", NAMES)
def test_check_exit_code_and_size(name: str, run) -> None:
    code, out, err = run("check", str(EXAMPLES / f"{name}.toml"))
    assert code == EXITS[name], err
    lines = out.splitlines()
    assert len(lines) <= 40 and max(len(line) for line in lines) < 80
    assert out == verdict_text(judged(name))


def test_check_json(run) -> None:
    code, out, _ = run("check", str(EXAMPLES / "boat-shed.toml"), "--json", "--at", "120,200,300")
    found = json.loads(out)
    assert code == 0
    assert sorted({round(p["plate_degC"]) for p in found["at_plate"]}) == [120, 200, 300]
    assert {p["branch"] for p in found["at_plate"]} == {"from_rest", "running_down"}
    for point in found["at_plate"]:
        assert set(point) >= POINT
    for key in (
        "starts_at_plate_degC", "starts_at_slow_plate_degC", "stops_at_plate_degC", "hottest_face_degC",
        "limit_reached_at_plate_degC", "guard", "heat_ledger",
    ):  # fmt: skip
        assert key in found
    for finding in found["findings"]:
        assert {"severity", "code", "says", "mend"} <= set(finding)
    assert found["made_by"]["hobwind"] == __version__ and re.fullmatch(r"[0-9a-f]{16}", found["made_by"]["build"])


def test_evening_json_and_same_bytes(run) -> None:
    first = run("evening", str(EXAMPLES / "boat-shed-hunting.toml"), "--fire", "usual", "--json")
    second = run("evening", str(EXAMPLES / "boat-shed-hunting.toml"), "--fire", "usual", "--json")
    assert first == second and first[0] == 0
    found = json.loads(first[1])
    columns = ["time_s", "plate_degC", "hot_face_degC", "cold_face_degC", "sink_degC", "gap_mm", "speed_rpm", "electric_W"]
    assert len({len(found[key]) for key in columns}) == 1
    assert found["lifts"] >= 3 and found["hunting"]["lifts"] >= 3
    assert found["minutes_above_limit"] == 0.0 and found["peak_hot_face_degC"] > 80.0


def test_begin_writes_a_starter_that_checks_clean(run, tmp_path) -> None:
    code, out, _ = run("begin", "My Fan")
    assert code == 0 and (tmp_path / "my-fan.toml").exists() and "hobwind check my-fan.toml" in out
    code, out, err = run("check", "my-fan.toml", "--json")
    assert code == 0, err
    assert {f["severity"] for f in json.loads(out)["findings"]} <= {"advice"}
    code, _, err = run("begin", "My Fan")
    assert code == 2 and err.strip() == (
        "Error: my-fan.toml is there already; choose another name, or add --force to write over it"
    )
    assert run("begin", "My Fan", "--force")[0] == 0


def test_all_problems_in_one_go(run, tmp_path) -> None:
    text = text_of().replace('length = "110 mm"', 'length = "110"').replace("M4 stainless", "M4 stainles")
    text = text.replace('usual_plate = "230 °C"', 'usual_plate = "1,250 °C"').replace("[seat]", "[seat]\nflatnes = 1")
    (tmp_path / "bad.toml").write_text(text)
    code, out, err = run("check", "bad.toml")
    assert code == 2 and not out
    lines = err.strip().splitlines()
    assert lines[0] == f"Error: {len(lines) - 1} problems"
    assert any(line.startswith("bad.toml: riser[1].length: ") and "without a unit" in line for line in lines)
    assert any("screws.part" in line and '"M4 stainless"' in line for line in lines)
    assert any("1.25 °C or 1250 °C" in line for line in lines)
    assert any('did you mean "flatness"' in line for line in lines)
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("check", "nowhere.toml"), "There is no file nowhere.toml"),
        (("check", "."), "is a folder"),
        (("check", str(EXAMPLES / "boat-shed.toml"), "--at", "hot"), "--at"),
        (("check", str(EXAMPLES / "boat-shed.toml"), "--at", "900"), "plates from -20 to 500"),
        (("evening", str(EXAMPLES / "boat-shed.toml"), "--fire", "furious"), "gentle, usual, over-fired"),
        (("evening", str(EXAMPLES / "boat-shed.toml"), "--every", "0"), "1 to 3600 s"),
        (("evening", str(EXAMPLES / "boat-shed.toml"), "--guard", "loose"), "free, held-down, held-up"),
        (("network", str(EXAMPLES / "boat-shed.toml"), "--as", "gold"), "table or spice"),
        (("parts", "modul"), 'Did you mean "module"'),
        (("parts", "module", "cooler-40"), "Nearest"),
        (("fly",), "See: hobwind --help"),
        (("check",), "See: hobwind --help"),
    ],
)
def test_bad_input_is_one_plain_error(words, told, run) -> None:
    code, out, err = run(*words)
    assert code == 2 and not out
    assert err.startswith("Error: ") and told in err and "Traceback" not in err
    assert len(err.strip().splitlines()) == 1


def test_help_shows_the_makers_commands_first(run) -> None:
    code, out, _ = run("--help")
    assert code == 0
    places = [out.index(word) for word in ("begin", "parts", "check", "evening", "demo", "network")]
    assert places[-1] == max(places) and out.index("For engineers") < out.index("network")
    assert run("--version")[1].strip() == f"hobwind {__version__}"


def test_parts_say_their_sources(run) -> None:
    code, out, _ = run("parts", "module", "cooler 40 mm 6 A")
    assert code == 0 and "cooler-ratings" in out and "seebeck" in out
    assert all(len(line) < 100 for line in out.splitlines())


def test_pictures_are_written_whole_or_said(run, tmp_path) -> None:
    code, out, err = run("check", str(EXAMPLES / "boat-shed.toml"), "--out", "pictures")
    assert code == 0, err
    for name in ("section.svg", "map.svg", "over-fired-evening.svg", "section.dxf", "plan.svg", "check.json", "verdict.txt"):
        assert (tmp_path / "pictures" / name).stat().st_size > 500, name
        assert name in out
    (tmp_path / "file").write_text("x")
    code, _, err = run("check", str(EXAMPLES / "boat-shed.toml"), "--out", "file")
    assert code == 2 and "file is no folder" in err and (tmp_path / "file").read_text() == "x"


def test_plain_screens_get_plain_letters() -> None:
    environment = dict(os.environ, LANG="C", LC_ALL="C", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    command = [sys.executable, "-m", "hobwind", "check", str(EXAMPLES / "boat-shed.toml"), "--all"]
    ran = subprocess.run(command, env=environment, capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr.decode("ascii", "replace")
    assert b"degC" in ran.stdout and b"?" not in ran.stdout
    ran.stdout.decode("ascii")


def test_output_cut_off_by_a_pipe_is_no_error() -> None:
    command = f"{sys.executable} -m hobwind check {EXAMPLES / 'boat-shed.toml'} --json | head -1"
    ran = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False)
    assert ran.stdout.strip() == "{" and "Traceback" not in ran.stderr and "Error" not in ran.stderr


def test_measured_fire(run, tmp_path) -> None:
    rows = ["time_min,plate_degC", *[f"{m},{20 + 5 * m}" for m in range(0, 50, 5)]]
    (tmp_path / "fire.csv").write_text("\n".join(rows))
    code, out, err = run("evening", str(EXAMPLES / "boat-shed.toml"), "--fire", "fire.csv")
    assert code == 0, err
    assert "the fire of fire.csv, finished" in out
    (tmp_path / "fire.csv").write_text("\n".join([*rows, "10,100"]))
    code, _, err = run("evening", str(EXAMPLES / "boat-shed.toml"), "--fire", "fire.csv")
    assert code == 2 and "line 12: time goes from 2700 s to 600 s; times must rise" in err


def test_unreadable_bytes(run, tmp_path: Path) -> None:
    (tmp_path / "latin.toml").write_bytes('name = "Öl"'.encode("latin-1"))
    code, _, err = run("check", "latin.toml")
    assert code == 2 and "not UTF-8" in err
    (tmp_path / "big.toml").write_bytes(b"#" * 50_000_000)
    code, _, err = run("check", "big.toml")
    assert code == 2 and "50000000 bytes" in err


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("", "fan.toml"),
        ("Ola's fan.toml", "ola-s-fan.toml"),
        ("../../etc/x", "etc-x.toml"),
        ("Übergröße 3", "übergröße-3.toml"),
        ("n" * 5000, "n" * 60 + ".toml"),
        ('a "b" \\ {c}\x1b[31m', "a-b-c-31m.toml"),
    ],
    ids=lambda text: text[:12],
)
def test_begin_with_any_name(name: str, file: str, run, tmp_path) -> None:
    code, out, err = run("begin", "--", name)
    assert (code, err) == (0, "")
    assert unfolded(out) == f"Wrote {file}. Change it to what lies on your bench, then: hobwind check {file}\n"
    assert [path.name for path in tmp_path.iterdir()] == [file]
    assert run("check", "--values", file)[0] == 0


NO_FIRE = "There is no file none.csv. Check the name"


@pytest.mark.parametrize(
    ("words", "whole"),
    [
        (("check", "none.toml"), "There is no file none.toml. Check the name, or make one with: hobwind begin NAME"),
        (("check", "."), ". is a folder; name a file in it"),
        (("network", str(EXAMPLES / "boat-shed.toml"), "--as", "gold"), '--as: got "gold"; table or spice is wanted'),
        (("evening", str(EXAMPLES / "boat-shed.toml"), "--hours", "nan"), "--hours: got nan h; 0.1 to 48 h is allowed"),
        (("evening", str(EXAMPLES / "boat-shed.toml"), "--fire", "none.csv"), NO_FIRE),
        (("parts", "modul"), 'no kind of part called "modul". Did you mean "module"? Kinds: '),
        (("check", "one.toml"), "one.toml: format: missing; write format = 1 at the top"),
        (("check", "deep.toml"), "deep.toml: file: nests brackets or dots too deeply to be one of hobwind's files"),
        (("check", "digits.toml"), "digits.toml: file: holds a whole number beyond all reason"),
        (("check", "nul.toml"), "nul.toml: file: is not readable as TOML: "),
    ],
    ids=lambda words: "-".join(words[:2])[-30:] if isinstance(words, tuple) else "",
)  # fmt: skip
def test_whole_messages(words, whole: str, run, tmp_path) -> None:
    texts = {"one": "", "deep": "format = 1\n" + "a." * 9000 + "a = 1", "digits": "format = " + "9" * 9000, "nul": "\0"}
    for name, text in texts.items():
        (tmp_path / f"{name}.toml").write_text(text)
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert err.startswith(f"Error: {whole}") and (whole.endswith(": ") or err == f"Error: {whole}\n")


def test_forty_problems_and_how_many_more(run, tmp_path) -> None:
    (tmp_path / "bad.toml").write_text(text_of() + "".join(f"wrong_{i} = 1\n" for i in range(60)))
    code, out, err = run("check", "bad.toml")
    lines = err.splitlines()
    assert (code, out) == (2, "") and lines[0] == "Error: 60 problems" and lines[-1] == "and 20 more"
    assert len(lines) == 42 and all(line.startswith("bad.toml: guard.wrong_") for line in lines[1:-1])


def test_evening_on_a_held_plate(run) -> None:
    words = ("evening", str(EXAMPLES / "boat-shed.toml"), "--held", "180", "--hours", "1", "--every", "60", "--json")
    code, out, err = run(*words)
    assert code == 0, err
    found = json.loads(out)
    assert set(found) >= {"time_s", "plate_degC", "element_degC", "peak_hot_face_degC", "minutes_above_limit", "lifts"}
    steps = {later - earlier for earlier, later in zip(found["time_s"], found["time_s"][1:], strict=False)}
    assert {round(step) for step in steps} <= {60} and found["plate_degC"][-1] == pytest.approx(180.0)
    assert found["peak_hot_face_degC"] >= max(found["hot_face_degC"]) - 1e-6 and found["lifts"] == 0


def test_network_forms(run) -> None:
    build = str(EXAMPLES / "boat-shed.toml")
    code, out, _ = run("network", build, "--plate", "200")
    assert code == 0 and "200 °C" in out.splitlines()[0]
    code, out, _ = run("network", build, "--as", "spice")
    assert code == 0 and out.startswith("*") and out.rstrip().endswith(".end")
    code, out, _ = run("network", build, "--json", "--guard", "held-down")
    found = json.loads(out)
    held = {"plate", "air", "room"}
    rest = {node["node"]: node["left_over_W"] for node in found["nodes"] if node["left_over_W"] is not None}
    assert code == 0 and rest and not held & set(rest) and max(map(abs, rest.values())) < 1e-3


def test_same_bytes_from_other_processes() -> None:
    seen = set()
    for seed in ("0", "1"):
        command = [sys.executable, "-m", "hobwind", "check", str(EXAMPLES / "boat-shed.toml"), "--json"]
        ran = subprocess.run(command, env=dict(os.environ, PYTHONHASHSEED=seed), capture_output=True, check=False)
        assert ran.returncode == 0
        seen.add(ran.stdout)
    assert len(seen) == 1


def test_a_danger_is_told_first_and_ends_with_three(run) -> None:
    code, out, _ = run("check", str(EXAMPLES / "boat-shed-no-guard.toml"), "--json")
    findings = json.loads(out)["findings"]
    assert code == 3 and findings[0]["severity"] == "danger" and findings[0]["mend"]
    order = ["danger", "fault", "advice"]
    ranks = [order.index(finding["severity"]) for finding in findings]
    assert ranks == sorted(ranks)


def test_a_failed_solve_ends_with_one(run, monkeypatch) -> None:
    from hobwind.errors import SolveError
    from hobwind.studies import verdict

    def fail(*_: object) -> None:
        raise SolveError("no answer was found")

    monkeypatch.setattr(verdict, "verdict", fail)
    assert run("check", str(EXAMPLES / "boat-shed.toml")) == (1, "", "Error: no answer was found\n")
