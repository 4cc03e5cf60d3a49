"""The trade's facts, bracketed by a plausible fan of scrap of our own.

A fan starts on a warming plate at 75 to 100 °C; a plate of 300 °C is over-fired; a guard has lifted by about 250 °C and holds the
face near 150 °C. Common practice, no printed source. The fan is written from what such fans are made of, not sized to the facts:
one 40 mm module for both, a riser of two inches square, an amplifier's sink, a motor from a disc player; its guard is the one
that `guards` sizes.
"""

from __future__ import annotations

from functools import lru_cache

import pytest

from hobwind.build import build_from_text
from hobwind.stack.keeping import End
from hobwind.studies.guarded import Guarded
from hobwind.studies.guards import Guards, guards

SCRAP = """\
# Invented for a test; not a fan that exists.
format = 1
name = "Scrap"

[stove]
usual_plate = "220 °C"
worst_plate = "300 °C"

[[riser]]
shape = "block"
width = "50 mm"
depth = "50 mm"
length = "{length} mm"
material = "aluminium 6082"

[joint.hot]
surface = "filed"

[joint.cold]
surface = "filed"

[[modules]]
part = "cooler 40 mm 6 A"
count = 1

[sink]
part = "amplifier sink 100 x 100"

[motor]
part = "CD spindle motor"

[blade]
part = "blade 150 mm 4"
height = "{height} mm"
"""


@lru_cache
def scrap(length: int) -> Guards:
    """Guards for the scrap fan with a riser of so many millimetres."""
    return guards(build_from_text(SCRAP.format(length=length, height=length + 110)))


def kind(length: int, name: str) -> Guarded:
    return next(one for one in scrap(length).rows if one.kind == name)


@pytest.mark.parametrize("length", [80, 90, 100])
def test_the_facts_of_the_trade(length: int) -> None:
    bare, lift = kind(length, "none"), kind(length, "central lift")
    for one in (bare, lift):
        assert 75.0 < one.solved.starts_at - 273.15 < 100.0
    # 300 °C is over-fired: unguarded the face passes 150 °C for many minutes; on the usual plate it stays near or below.
    assert bare.fired_peak - 273.15 > 180.0 and bare.minutes_above > 20.0
    assert bare.usual_peak - 273.15 < 150.0
    # Lifted by about 250 °C, the face then held near 150 °C however long the fire stays hot; and it lets go again.
    assert 240.0 < lift.solved.worst.figure(End.lift_at) - 273.15 < 260.0
    assert 140.0 < lift.fired_peak - 273.15 < 157.0
    assert lift.lifts_fired == 1 and lift.lifts_usual == 0 and lift.sits_back is not None


def test_a_taller_riser_starts_later_and_stays_cooler() -> None:
    short, tall = kind(80, "none"), kind(100, "none")
    assert short.solved.starts_at < tall.solved.starts_at and short.fired_peak > tall.fired_peak
