"""What `--json` prints has the shape that docs/schemas promises, and the shapes let nothing else through."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from diary_histories import fill
from hobwind.cli import app
from hobwind.diary.store import open_diary
from hobwind.shapes import SHAPES

EXAMPLES = sorted(
    path for path in (Path(__file__).parents[2] / "examples").glob("*.toml") if not path.stem.endswith(("-bin", ".columns"))
)
SHED = next(path for path in EXAMPLES if path.stem == "boat-shed")
BIN = SHED.with_name("boat-shed-bin.toml")
HUNTER = next(path for path in EXAMPLES if path.stem == "boat-shed-hunting")
UNITS = {
    "_degC": "in °C",
    "_W": "in W",
    "_V": "in V",
    "_A": "in A",
    "_K": "in K",
    "_rpm": "in turns a minute",
    "_m3_per_h": "in m³/h",
    "_m_per_s": "in m/s",
    "_mm": "in mm",
    "_N": "in N",
    "_deg": "in degrees",
    "_s": "in s",
    "_W_per_K": "in W/K",
    "_mm2": "in mm²",
}
BENCH = Path(__file__).parents[2] / "examples" / "bench"
WHOLE = {
    "bench": ("bench", "health", str(BENCH / "coolbox-health.toml"), "--json"),
    "check": ("check", str(HUNTER), "--json"),
    "evening": ("evening", str(HUNTER), "--json"),
    "network": ("network", str(SHED), "--json"),
    "parts": ("parts", "wax", "--json"),
    "guards": ("guards", str(HUNTER), "--json"),
    "faults": ("faults", str(SHED), "--json"),
    "shop": ("shop", str(HUNTER), "--json"),
    "diary": ("diary", "show", "--json"),
    "retrofit": ("retrofit", str(SHED.parent / "retrofit" / "boat-shed-found-fan.toml"), "--json"),
    "odds": ("odds", str(SHED), "--count", "32", "--json"),
    "trial": (
        "trial",
        str(SHED),
        str(SHED.with_name("boat-shed-fire.csv")),
        "--json",
        "--unknown",
        "module conductance",
        "--unknown",
        "seat flatness",
        "--hold-back",
        "30",
    ),
    "worth": ("worth", str(SHED.with_stem("boat-shed-no-guard")), "--count", "8", "--json"),
    "pick": ("pick", str(BIN), "--most", "3000", "--json"),
    "follow": ("follow", str(SHED), str(BIN), "--json"),
    "compare": ("compare", str(SHED), str(HUNTER), "--json"),
}


@pytest.fixture(autouse=True)
def nobodys_parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOBWIND_HOME", str(tmp_path))


@cache
def printed(*words: str) -> Any:
    if words[0] == "diary":
        with open_diary() as diary:
            fill(diary)
    done = CliRunner().invoke(app, words)
    assert done.exit_code in (0, 3), done.output + done.stderr
    return json.loads(done.stdout)


def faults(name: str, data: Any) -> list[str]:
    return [f"{one.json_path}: {one.message}" for one in Draft202012Validator(SHAPES[name]).iter_errors(data)]


def objects(data: Any, place: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Paths of the objects in a document; of a list, the first entry stands for all."""
    if isinstance(data, dict):
        yield place
        for key, value in data.items():
            yield from objects(value, (*place, key))
    elif isinstance(data, list) and data:
        yield from objects(data[0], (*place, 0))


def at(data: Any, place: tuple[Any, ...]) -> Any:
    for step in place:
        data = data[step]
    return data


def properties(schema: Any) -> Iterator[tuple[str, Any]]:
    if isinstance(schema, dict):
        if isinstance(schema.get("properties"), dict):
            yield from schema["properties"].items()
        for value in schema.values():
            yield from properties(value)


def closed(schema: Any) -> Iterator[dict[str, Any]]:
    if isinstance(schema, dict):
        if "properties" in schema and isinstance(schema.get("required"), list):
            yield schema
        for value in schema.values():
            yield from closed(value)


@pytest.mark.parametrize("name", SHAPES)
def test_the_shape_is_a_sound_schema(name: str) -> None:
    Draft202012Validator.check_schema(SHAPES[name])
    found = list(closed(SHAPES[name]))
    assert found
    for one in found:
        assert one["additionalProperties"] is False and one["required"] == list(one["properties"])


@pytest.mark.parametrize("name", SHAPES)
def test_every_key_is_described_with_its_unit(name: str) -> None:
    for key, schema in properties(SHAPES[name]):
        says = schema["description"]
        assert says.endswith(".") and says[0].isupper() or says.split(":")[0] in {"from_rest", "danger", "starts and stops"}, (
            key
        )
        suffix = max((ending for ending in UNITS if key.endswith(ending)), key=len, default=None)
        if suffix is not None:
            assert re.search(rf"{re.escape(UNITS[suffix])}[.,;]", says), f"{key}: {says}"
        if key.startswith("minutes"):
            assert "in minutes" in says


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_check(path: Path) -> None:
    assert faults("check", printed("check", str(path), "--json")) == []


def test_check_at_other_plates() -> None:
    found = printed("check", str(HUNTER), "--at", "30,230,260,400", "--json")
    assert faults("check", found) == []
    assert [one["plate_degC"] for one in found["at_plate"]] == [30.0, 30.0, 230.0, 230.0, 260.0, 260.0, 400.0, 400.0]


@pytest.mark.parametrize("fire", ["gentle", "usual", "over-fired"])
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_evening(path: Path, fire: str) -> None:
    found = printed("evening", str(path), "--fire", fire, "--json")
    assert faults("evening", found) == []
    assert {len(value) for key, value in found.items() if isinstance(value, list) and key != "events"} == {901}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_held_evening(path: Path) -> None:
    assert faults("evening", printed("evening", str(path), "--held", "250", "--json")) == []


def test_an_evening_that_never_starts() -> None:
    found = printed("evening", str(SHED), "--held", "30", "--hours", "1", "--json")
    assert faults("evening", found) == []
    assert found["starts_at_plate_degC"] is None and found["stops_at_plate_degC"] is None and found["events"] == []


@pytest.mark.parametrize("guard", ["free", "held-down", "held-up"])
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_network(path: Path, guard: str) -> None:
    assert faults("network", printed("network", str(path), "--plate", "200", "--guard", guard, "--json")) == []


@pytest.mark.parametrize("words", [(), ("module",), ("wax", "wax 88")], ids=lambda words: " ".join(words) or "all")
def test_parts(words: tuple[str, ...]) -> None:
    found = printed("parts", *words, "--json")
    assert faults("parts", found) == [] and found["parts"]


@pytest.mark.parametrize("name", SHAPES)
def test_no_key_may_be_left_out_or_added(name: str) -> None:
    data = printed(*WHOLE[name])
    tried = 0
    for place in objects(data):
        if place[-1:] == ("numbers",):
            continue
        for key in at(data, place):
            less = copy.deepcopy(data)
            del at(less, place)[key]
            assert faults(name, less), f"{place} passes without {key}"
            tried += 1
        more = copy.deepcopy(data)
        at(more, place)["spare"] = 1
        assert faults(name, more), f"{place} passes with one key more"
    assert tried >= len(SHAPES[name]["required"])


@pytest.mark.parametrize(
    ("name", "place", "value"),
    [
        ("check", ("shape",), 2),
        ("check", ("findings", 0, "severity"), "grave"),
        ("check", ("at_plate", 0, "branch"), "from rest"),
        ("check", ("at_plate", 0, "plate_degC"), None),
        ("check", ("guard", "lifts_usual"), 1.5),
        ("evening", ("plate_degC", 0), "15"),
        ("evening", ("plate_degC", 0), -300.0),
        ("evening", ("time_s", 0), None),
        ("network", ("links", 0, "heat_W"), None),
        ("parts", ("parts", 0, "kind"), "waxes"),
    ],
)
def test_wrong_values_are_refused(name: str, place: tuple[Any, ...], value: object) -> None:
    data = copy.deepcopy(printed(*WHOLE[name]))
    at(data, place[:-1])[place[-1]] = value
    assert len(faults(name, data)) == 1
