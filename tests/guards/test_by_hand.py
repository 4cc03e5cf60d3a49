"""A guard that is still to be made has the spread of what hands make: in its lines, read back from them, and in its odds."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builds import EXAMPLES, build_with, example, text_of
from guards.guarded import row
from hobwind.build import build_from_text
from hobwind.build.editing import put_lines
from hobwind.studies.file_keys import changed_keys
from hobwind.studies.guards_sizes import FEET, at_place, places, wax_guards
from hobwind.studies.mends import with_guard
from hobwind.studies.odds import FEW, odds
from hobwind.studies.odds_fans import Figure
from hobwind.units import NORMAL, Spread, plain

MADE = ("holder_conductance", "element_loss", "lost_motion", "pin_tip")
BARE = "boat-shed-no-guard"


def test_odds_of_a_sized_guard_are_as_wide_as_those_of_the_same_guard_in_a_file() -> None:
    """The boat shed tells its guard's spreads by hand; of the guard sized for it no less is known or unknown."""
    sized = row("central lift").build
    told, found = (odds(build, FEW, 1).bands[Figure.lifts_at].half for build in (example(), sized))
    assert found > 0.8 * told


@pytest.mark.parametrize("kind", ["central lift", "edge tilt", "lever tilt"])
def test_lines_carry_the_spread_and_read_back_the_same(kind: str) -> None:
    one = row(kind, BARE)
    assert one.build.guard.held_in == "plate"
    lines = {key.split(" = ")[0].removeprefix("guard."): key for key in one.keys}
    read = build_from_text(put_lines(text_of(BARE), one.keys), Path("read.toml")).guard
    for key in MADE:
        made, back = getattr(one.build.guard, key), getattr(read, key)
        assert "±" in lines[key], lines[key]
        assert back.value == pytest.approx(made.value, rel=1e-9) and back.half == pytest.approx(made.half, rel=1e-9)


def test_every_place_has_the_boat_sheds_spread() -> None:
    """Foot of 25 ± 4 mW/K is 16 %, to the milliwatt: 10 ± 2, 15 ± 2, 20 ± 3, 25 ± 4, 30 ± 5, 40 ± 6; in metal the usual values."""
    build, off = example(BARE), dict(zip(FEET, (2e-3, 2e-3, 3e-3, 4e-3, 5e-3, 6e-3), strict=True))
    seen = set()
    for place in places(build, False):
        guard = at_place(build, "central lift", place).guard
        beside = place.held_in == "plate"
        seen.add(place.held_in)
        assert guard.holder_conductance == Spread(place.holder, pytest.approx(off[place.holder] if beside else 0.10), NORMAL)
        assert guard.element_loss == Spread(place.loss, 0.010 if beside else 0.004, NORMAL)
        assert guard.pin_tip == Spread(0.004, 0.002, NORMAL)
        assert {one.build.guard.lost_motion.half for _, one in wax_guards(build, "central lift", place, 330.0)} <= {0.2e-3}
    assert seen == {"plate", "riser", "hot plate", "sink"}


def test_a_makers_own_spread_stays_where_the_value_is_his() -> None:
    """A foot measured to 25 ± 1 mW/K is that foot; another has yet to be made. The value is not moved by a bit."""
    build = build_with(("guard", "holder_conductance", '"0.025 ± 0.001 W/K"'))
    feet = {place.holder: place for place in places(build, True)}
    own, other = (at_place(build, "central lift", feet[holder]).guard.holder_conductance for holder in (0.025, 0.020))
    assert own == Spread(0.025, pytest.approx(0.001), NORMAL) and own.value == 0.025
    assert other == Spread(0.020, 0.003, NORMAL)


def test_a_lost_motion_that_a_mend_makes_longer_has_its_spread() -> None:
    build = build_from_text((EXAMPLES / f"{BARE}.toml").read_text("utf-8"), Path("bare.toml"))
    short = replace(build, guard=replace(build.guard, lost_motion=plain(0.1e-3)))
    made = [changed for _, changed in with_guard(short)]
    assert made
    for one in made:
        assert one.guard.lost_motion.value > 0.1e-3 and one.guard.lost_motion.half == 0.2e-3
        assert any(key.startswith("guard.lost_motion") and "±" in key for key in changed_keys(short, one))
