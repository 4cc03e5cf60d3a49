"""Readings typed at the bench: read, complained about, turned into parts that a build can name."""

from __future__ import annotations

import json
import sys

import pytest

from builds import ROOT, text_of
from hobwind.bench.readings import TESTS, measure, measure_text
from hobwind.cli import main
from hobwind.errors import BuildError

EXAMPLES = ROOT / "examples" / "bench"


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    """Run a command in an empty folder; returns exit code, output, complaints."""
    monkeypatch.chdir(tmp_path)

    def act(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["hobwind", *words])
        with pytest.raises(SystemExit) as stopped:
            main()
        said = capsys.readouterr()
        return int(stopped.value.code or 0), said.out, said.err

    return act


def test_list_and_procedures(run) -> None:
    code, out, _ = run("bench")
    assert code == 0 and all(name in out for name in TESTS)
    for name in TESTS:
        code, out, _ = run("bench", name)
        assert code == 0 and "You need" in out
        assert max(len(line) for line in out.splitlines()) < 80


def test_example_element_is_found_again() -> None:
    """The readings were drawn from an element that opens at 83.1, is full at 95.4 °C, moves 8.3 mm and returns 4.2 K lower."""
    found = measure(TESTS["wax"], EXAMPLES / "tractor-element.toml")
    for name, true in (("opens", 83.1 + 273.15), ("full", 95.4 + 273.15), ("travel", 8.3e-3), ("hysteresis", 4.2)):
        one = found.figure(name)
        assert abs(one.value - true) < 2.0 * one.u, name


def test_a_measured_part_goes_into_a_build(run, tmp_path) -> None:
    code, out, err = run("bench", "wax", str(EXAMPLES / "tractor-element.toml"), "--part", "tractor element")
    assert code == 0 and "Wrote tractor element into parts/wax.toml" in out, err
    (tmp_path / "fan.toml").write_text(text_of().replace('"wax 88"', '"tractor element"'))
    code, out, err = run("check", "fan.toml", "--json")
    assert code in (0, 3), err
    assert json.loads(out)["guard"]["kind"] == "central lift"
    code, out, _ = run("check", "fan.toml", "--values")
    assert '"bench"' in out
    code, _, err = run("bench", "wax", str(EXAMPLES / "tractor-element.toml"), "--part", "tractor element")
    assert code == 2 and "already" in err


@pytest.mark.parametrize("name", ["coolbox-module", "bar-end"])
def test_other_examples_read(name: str) -> None:
    test = TESTS["module" if "module" in name else "metal"]
    found = measure(test, EXAMPLES / f"{name}.toml")
    assert found.fit and all(one.measured.u > 0.0 for one in found.figures)


def test_all_problems_at_once() -> None:
    with pytest.raises(BuildError) as wrong:
        measure_text(TESTS["wax"], '[[up]]\nwater = "80"\nstrok = "1 mm"\n', "pan.toml")
    said = str(wrong.value)
    assert "up[1].water" in said and "without a unit" in said and "up[1].stroke: missing" in said and "up[1].strok" in said


def test_no_such_test(run) -> None:
    code, _, err = run("bench", "rope")
    assert code == 2 and "there are: module, cooler-label" in err
