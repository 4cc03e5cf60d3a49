"""Two changes at once where no single one serves, a hair's breadth that counts as none, and a pin that fits its guard."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from guards.guarded import compared
from hobwind.build import Build, build_from_text
from hobwind.page.editing import put_lines
from hobwind.page.questions import QUESTIONS, scrap_text
from hobwind.shop.stackup import stack_up
from hobwind.stack.curves import PlateCurve
from hobwind.stack.evening import evening
from hobwind.stack.prepare import prepare
from hobwind.studies.findings import findings
from hobwind.studies.guarded import Guarded
from hobwind.studies.guards import Guards, guards
from hobwind.studies.headline import headline
from hobwind.studies.margins import margins
from hobwind.studies.telling import HAIR
from hobwind.studies.verdict import verdict

NAMES = ("boat-shed", "boat-shed-no-guard", "boat-shed-hunting")


def unknown() -> Build:
    """The fan of somebody who has scrap and knows nothing of it."""
    return build_from_text(scrap_text([""] * len(QUESTIONS)), Path("scrap.toml"))


@pytest.fixture(scope="module")
def scrap() -> Guards:
    return guards(unknown())


def lifting(found: Guards) -> list[Guarded]:
    return [one for one in found.rows if one.keys and one.build.guard.element is not None]


@pytest.mark.parametrize("name", NAMES)
def test_pin_of_a_sized_guard_fits_the_lost_motion_it_asks_for(name: str) -> None:
    # By hand: depth of the bore = pin + own pin of the element + lost motion, less the carrier tube. Nothing to file off then.
    sized = lifting(compared(name))
    assert sized
    for one in sized:
        stacked = stack_up(one.build, one.solved)
        assert stacked is not None
        assert abs(stacked.file_off) < 1e-9 and stacked.recess == pytest.approx(one.build.guard.lost_motion.value)
        assert stacked.recess - stacked.worst > 0.0  # flush or below, whatever the tolerances do


def test_pin_fits_when_the_lines_stand_in_the_file() -> None:
    text = scrap_text([""] * len(QUESTIONS))
    keys = next(one for one in findings(headline(unknown())) if one.code == "module-too-hot").keys
    made = build_from_text(put_lines(text, keys), Path("scrap.toml"))
    stacked = stack_up(made, headline(made))
    assert stacked is not None and abs(stacked.file_off) < 1e-6


def test_two_changes_are_tried_only_where_no_single_one_serves(scrap: Guards) -> None:
    assert not [one.kind for one in compared("boat-shed").rows if ", lift" in one.kind]
    alone = [one for one in scrap.rows if ", lift" not in one.kind]
    assert alone and all(one.shortcomings() for one in alone)
    best = scrap.best
    assert best is not None and ", lift" in best.kind
    assert best.least.margin > HAIR and best.build.guard.element is not None and best.keys


def test_a_hair_in_hand_speaks_against_a_guard(scrap: Guards) -> None:
    thin = [one for one in scrap.rows if 0.0 < one.least.margin <= HAIR]
    assert thin
    for one in thin:
        assert any("guesses alone are further off" in said for said in one.shortcomings())


def test_unknown_scrap_ends_in_a_mend_that_holds() -> None:
    build = unknown()
    judged = verdict(build)
    assert "on an ordinary fire already" in judged.sentence and "cool it and fit a guard" in judged.sentence
    worst = next(one for one in judged.findings if one.code == "module-too-hot")
    made = build_from_text(put_lines(scrap_text([""] * len(QUESTIONS)), worst.keys), Path("scrap.toml"))
    mended = headline(made)
    assert margins(mended)[0].margin > HAIR and mended.usual.lifts == 0 and not mended.hunts


def test_a_hard_fire_is_named_where_an_ordinary_one_does_no_harm() -> None:
    judged = verdict(compared("boat-shed-no-guard").build)
    assert "on a hard fire the module would cook: fit a guard" in judged.sentence


def test_headline_tells_how_many_faults_would_harm_it() -> None:
    from guards.guarded import drilled

    judged = verdict(compared("boat-shed").build)
    drill = drilled("boat-shed")
    assert f"{len(drill.killers)} of {len(drill.singles)} faults tried" in judged.sentence
    told = next(one for one in judged.findings if one.code == "faults-harm")
    assert all(one.fault.name in told.says for one in drill.killers)


@pytest.mark.parametrize("name", ["boat-shed", "boat-shed-no-guard"])
def test_plate_of_a_lift_when_held_agrees_with_plates_held_for_hours(name: str) -> None:
    # Another way to the same figure: the whole march, each plate held for six hours from cold.
    one = next(row for row in compared(name).rows if row.kind == "central lift")
    at, stack = one.lifts_held, prepare(one.build)
    assert at is not None and one.lifts_at is not None and at < one.lifts_at

    def lifts(plate: float) -> int:
        room = one.build.stove.room.value
        held = PlateCurve("held", np.array([0.0, 2400.0, 24000.0]), np.array([room, plate, plate]))
        return evening(stack, held).lifts

    assert lifts(at - 6.0) == 0 and lifts(at + 3.0) > 0
