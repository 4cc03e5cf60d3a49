"""Causes told apart by their signatures, over invented histories from the whole model."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from builds import ROOT, build_with, example
from diary_histories import history, hits, shown, table
from hobwind.diary.causes import CAUSES
from hobwind.diary.health import FALSE_EVERY, Look, judge, read_look
from hobwind.diary.spares import that_fit
from hobwind.errors import InputError
from hobwind.parts.catalogue import Shelf


def test_the_right_cause_comes_first_in_200_histories() -> None:
    found = hits()
    assert sum(len(one) for one in found.values()) == 200
    for key, judged in found.items():
        first = sum(one.suspects[0].key == key for one in judged)
        assert first >= 0.8 * len(judged), key  # the wanted share, for each cause alone
        told_wrong = sum(one.told not in (key, None) for one in judged)
        assert told_wrong <= 0.1 * len(judged), key


def test_the_table_in_the_docs_is_what_came_out() -> None:
    assert table() in (Path(__file__).parents[2] / "docs" / "health.md").read_text("utf-8")


def test_false_alarms_of_all_values_together() -> None:
    """Nothing changes: in n looks an alarm comes about n/200 times; 120 histories of 8 to 14 looks give about 6."""
    draw = np.random.default_rng(11)
    judged = [judge(history(None, draw), shown()) for _ in range(120)]
    looks = sum(one.looks - 1 for one in judged)
    alarms = sum(one.changed for one in judged)
    assert alarms <= looks / FALSE_EVERY + 3.0 * (looks / FALSE_EVERY) ** 0.5


def test_signatures_as_worked_by_hand() -> None:
    """Signs by reasoning: more ohms, fewer watts, a later start; a fouled blade only slows; wax alone moves the lift."""
    for key, one in {name: rows[1] for name, rows in shown().items()}.items():
        assert (one["module_resistance_ohm"] > 0.0) == (key == "ageing")
        assert (abs(one["lifts_at_plate_degC"]) > 1.0) == (key in ("guard", "thermometer"))
    new = example().modules[0].part.resistance.value
    assert shown()["ageing"][1]["module_resistance_ohm"] == pytest.approx(0.25 * new, rel=1e-9)  # by definition of its size
    blade = shown()["blade"][1]
    # Fan law by hand: on the same torque 1.25 times the power coefficient turns at 1/√1.25 of 1632 rpm, 172 rpm slower; less stall
    # torque from a warmer sink makes it more, the motor's own drag less: a third either way.
    assert blade["speed_at_usual_plate_rpm"] == pytest.approx(-172.0, rel=0.33)
    thermometer = shown()["thermometer"][1]
    assert thermometer["outer_volts_mV_per_K"] == pytest.approx(
        94.31 * (1 / 1.04 - 1), rel=0.06
    )  # 4 % on the drop, α not quite flat


def test_too_few_looks_is_said() -> None:
    looks = [Look(1.7e9 + i, {"module_resistance_ohm": (2.0, 0.02)}) for i in range(2)]
    with pytest.raises(InputError, match="2 looks at this fan since it was last changed; 3 are needed"):
        judge(looks, shown())


@pytest.mark.parametrize(
    ("table_", "says"),
    [
        ([], 'got no "values"'),
        ({"values": {"module_resistance_ohm": [2.0, 0.02]}}, "looked_s is None; seconds since 1970"),
        ({"looked_s": 1.7e9, "values": {"ohms": [2.0, 0.02]}}, 'values holds "ohms"; one of module_resistance_ohm'),
        ({"looked_s": 1.7e9, "values": {"module_resistance_ohm": [2.0, 0.0]}}, "standard uncertainty above 0"),
    ],
)
def test_a_bad_look_is_told(table_: object, says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_look(table_, "look.json")


def test_every_cause_has_something_to_check() -> None:
    assert all(cause.check and cause.says for cause in CAUSES.values())


def test_spares_on_hand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOBWIND_HOME", str(tmp_path))
    assert that_fit("wax", example()) == []  # the catalogue is not on hand
    build = build_with()
    element = build.guard.element
    assert element is not None
    parts = tmp_path / "parts"
    parts.mkdir()
    for name in ("wax", "blade"):
        (parts / f"{name}.toml").write_text((ROOT / f"src/hobwind/parts/catalogue/{name}.toml").read_text("utf-8"), "utf-8")
    assert element.name in that_fit("wax", build)
    assert 0 < len(that_fit("blade", build)) < len(Shelf().names("blade"))  # not every blade goes on this fan
    assert that_fit("", build) == []
