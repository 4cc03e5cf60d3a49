"""What a trial hands to the diary: health that the fit tells, and logs of any make."""

from __future__ import annotations

import math
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from builds import EXAMPLES, example
from hobwind.cli import app
from hobwind.diary.causes import of_modules, plates_of
from hobwind.diary.store import open_diary, rows
from hobwind.stack.prepare import prepare
from hobwind.studies.odds_inputs import inputs_that_matter, thrower
from hobwind.trial.fit import fit
from hobwind.trial_entry import from_fit
from made_trials import KEYS, fire, made_trial


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOBWIND_HOME", str(tmp_path / "home"))


@pytest.mark.parametrize("share", [0.8, 1.0, 1.2])
def test_ohms_and_volts_of_worn_modules_are_found(share: float) -> None:
    """A module made `share` as good in volts a kelvin, and as much worse in ohms; current and volts at the motor were read.

    What goes into the diary must lie within three of its own spreads of the truth, and be narrower than the guess.
    """
    build = example()
    names = ("module seebeck", "module resistance", "blade power coefficient", "motor torque constant")
    inputs = inputs_that_matter(build)
    off = {"module seebeck": 0.5 * (share - 1.0) + 1.0, "module resistance": 2.0 - share}
    truth = [one.die.spread.value * off.get(one.die.name, 1.0) for one in inputs]
    made = thrower(build, inputs)(truth)
    trial = made_trial(made, fire(build), np.random.default_rng(5), (*KEYS, "volts", "current"))
    told = from_fit(fit(build, trial, names))
    wanted = of_modules(prepare(made), plates_of(build)[1])
    assert set(told) == {"module_resistance_ohm", "outer_volts_mV_per_K"}
    for name, (value, uncertainty) in told.items():
        assert abs(value - wanted[name]) < 3.0 * uncertainty, name
        assert uncertainty < 0.15 * value


def test_what_the_fire_does_not_tell_stays_out() -> None:
    """Plate and sink alone say nothing of ohms."""
    build = example()
    trial = made_trial(build, fire(build), np.random.default_rng(5), ("sink",))
    assert "module_resistance_ohm" not in from_fit(fit(build, trial, ("module resistance", "sink in stream")))


def test_a_log_of_another_make_goes_in_as_it_was(tmp_path: Path) -> None:
    """German headers, decimal commas, an old encoding, a cell that is no figure: by hand 179 of 180 faces, plate peak 200 °C."""
    lines, zero = ["Zeit;Ofenplatte [°C];Heiße Seite [°C]"], datetime(2026, 1, 14, 19, 0).timestamp()
    for minute in range(180):
        plate = 20.0 + 180.0 * math.sin(math.pi * minute / 179.0)
        face = "Fehler" if minute == 50 else f"{20.0 + 0.6 * (plate - 20.0):.1f}".replace(".", ",")
        lines.append(
            f"14.01.2026 {19 + minute // 60}:{minute % 60:02d};{plate:.1f};{face}".replace(".", ",").replace("14,01,", "14.01.")
        )
    log = tmp_path / "abend.csv"
    log.write_bytes("\n".join(lines).encode("latin-1"))
    run = CliRunner()
    assert run.invoke(app, ["diary", "add", str(EXAMPLES / "boat-shed.toml")]).exit_code == 0
    said = run.invoke(app, ["diary", "add", str(log)])
    assert said.exit_code == 0 and 'line 52: Heiße Seite [°C] is "Fehler"; left out' in said.output
    assert "That very log is in the diary already" in run.invoke(app, ["diary", "add", str(log)]).output
    with open_diary() as diary:
        (one,) = rows(diary, "SELECT began_s, peak_plate_degC, face_from FROM evenings")
        assert one["peak_plate_degC"] == pytest.approx(200.0, abs=0.06) and one["face_from"] == "measured"
        assert zero <= one["began_s"] < zero + 900.0  # the plate passes 60 °C within a quarter of an hour
