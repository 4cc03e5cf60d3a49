"""What lives at the modules beside their faces: the drill and the guards judge grease and wire as the verdict does.

Outside: the limits as the catalogue's files have them, typed in here, and the hottest of the states that a fine evening keeps.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest

from builds import NAMES, build_with, example, greased
from hobwind.build import Build, build_from_text
from hobwind.build.editing import put_lines
from hobwind.build.writing import whole_text
from hobwind.guards_screen import drill_text
from hobwind.stack.evening import Evening, evening
from hobwind.stack.fields import Seen
from hobwind.stack.keeping import End
from hobwind.stack.prepare import prepare
from hobwind.studies.at_modules import neighbours
from hobwind.studies.drill import Drill, drill
from hobwind.studies.drill_faults import FAULTS, STUCK, faulted
from hobwind.studies.drill_signs import limit_at
from hobwind.studies.guards_batch import fire_of, merit
from hobwind.studies.withstands import harming
from hobwind.units import plain

ZERO = 273.15
GREASE, OIL, WIRE = 180.0, 120.0, 200.0  # °C; zinc oxide grease, old engine oil, the leads' sleeve
POOR = 85.0  # °C; a grease made up for the upper joint
UNDER = "zinc oxide grease, joint under the modules"
OVER = "zinc oxide grease, joint over the modules"
CASES = (*NAMES, "greased", "oiled", "poor above")


@lru_cache
def case(name: str) -> Build:
    """An example, what `hobwind begin` writes with common grease, the boat shed with engine oil under or poor grease over its modules."""
    if name == "greased":
        return build_from_text(greased(), "greased.toml")
    if name == "oiled":
        return build_with(("joint.hot", "fill", '"old engine oil"'))
    if name == "poor above":
        build = example()
        poor = replace(build.joint.cold, fill=replace(build.joint.cold.fill, limit=plain(POOR + ZERO)))
        return replace(build, joint=replace(build.joint, cold=poor))
    return example(name)


@lru_cache
def small(name: str = "greased") -> Drill:
    return drill(case(name), (STUCK,))


def stuck(every: float = 5.0) -> Evening:
    build = case("greased")
    return evening(*faulted(build, prepare(build), (STUCK,)), every)


def by_hand(name: str) -> dict[str, float]:
    """Margins of the over-fired evening from its kept states, K."""
    build = case(name)
    seen = evening(prepare(build), fire_of(build, "over-fired"), 5.0).seen
    hottest = {one: float(seen[:, one].max()) - ZERO for one in Seen}
    use = build.modules[0].part
    found = {
        "module, hot face": min(use.hot_limit.value, use.solder.value) - ZERO - hottest[Seen.hot_face],
        "module, cold face": use.cold_limit.value - ZERO - hottest[Seen.cold_face],
        "wire at the modules": WIRE - hottest[Seen.hot_face],
        "motor body": build.motor.part.limit.value - ZERO - hottest[Seen.motor],
    }
    under, bears = ("old engine oil, joint under the modules", OIL) if name == "oiled" else (UNDER, GREASE)
    found[under] = bears - hottest[Seen.hot_plate]
    found[OVER] = (POOR if name == "poor above" else GREASE) - hottest[Seen.cold_face]
    if build.guard.element is not None:
        found["wax element"] = build.guard.element.bursts.value - ZERO - hottest[Seen.element]
    return found


@pytest.mark.parametrize("name", CASES)
def test_with_nothing_wrong_the_nearest_part_is_that_of_the_evening(name: str) -> None:
    healthy, left = small(name).healthy, by_hand(name)
    assert healthy.part == min(left, key=lambda part: left[part])
    assert healthy.margin == pytest.approx(left[healthy.part], abs=0.1)


def test_a_guard_stuck_cold_takes_the_grease_past_its_limit() -> None:
    """What `hobwind begin` writes: its face and motor bear the stuck guard, its grease does not."""
    single = small().singles[0]
    seen = stuck().seen
    assert seen[:, Seen.margin].min() > 0.0
    assert not single.drilled.lives and single.drilled.part == UNDER
    assert single.drilled.margin == pytest.approx(GREASE + ZERO - float(seen[:, Seen.hot_plate].max()), abs=0.1)
    assert STUCK in harming(case("greased"), prepare(case("greased")))


def test_the_limit_is_passed_when_the_plate_under_the_modules_is_too_hot_for_its_grease() -> None:
    fine = stuck(1.0)
    crossed = float(fine.time[(fine.seen[:, Seen.hot_plate] > GREASE + ZERO).argmax()])
    assert limit_at(case("greased"), stuck(10.0)) == pytest.approx(crossed, abs=2.0)


def test_a_guard_under_which_the_grease_fails_does_not_live() -> None:
    build = case("greased")
    healthy = evening(prepare(build), fire_of(build, "over-fired")).end
    assert merit(build, healthy, 10.0)[0] and not merit(build, stuck().end, 10.0)[0]


def test_the_plates_peak_stands_above_every_kept_state() -> None:
    """A coarse evening's peak is a fine one's, and it is not the face's."""
    for one in (stuck(1.0), evening(prepare(example()), fire_of(example(), "over-fired"), 1.0)):
        low = float(one.seen[:, Seen.hot_plate].max())
        assert low - 1e-9 <= one.end[End.peak_low] <= low + 0.01
        assert one.end[End.peak_low] > one.end[End.peak_hot]


def test_parts_fit_the_columns() -> None:
    text = drill_text(drill(case("greased"), FAULTS), every=True)
    row = next(line for line in text.splitlines() if line.startswith("element stuck cold"))
    assert "  grease -" in row
    assert max(map(len, text.splitlines())) <= 79
    pair = next(line for line in text.splitlines() if line.startswith("element stuck cold + blade jammed"))
    assert pair.endswith("grease")
    assert all(len(f"{one.word} -123 K") < 16 for name in CASES for one in neighbours(case(name)))


def test_a_filling_that_bears_more_is_a_cure_where_the_filling_fails_first() -> None:
    """A slow element cooks ceramic-filled grease (150 °C) between modules that bear 172 °C; copper paste bears 300 °C (memory)."""
    build = build_with(("modules", "part", '"cooler 40 mm 6 A hot solder"'), ("joint.hot", "fill", '"ceramic-filled grease"'))
    slow = next(one for one in drill(build).singles if one.fault.name == "element slow")
    assert not slow.drilled.lives and slow.drilled.part.startswith("ceramic-filled grease")
    assert slow.keys == ('joint.hot.fill = "anti-seize copper paste"',)
    cured = build_from_text(put_lines(whole_text(build), slow.keys), Path("cured.toml"))
    again = next(one for one in drill(cured).singles if one.fault.name == "element slow")
    assert again.drilled.lives and again.drilled.margin > 5.0
