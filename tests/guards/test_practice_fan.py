"""The trade's facts, bracketed by a plausible fan of scrap of our own.

A fan starts on a warming plate at 75 to 100 °C; a plate of 300 °C is over-fired; a guard has lifted by about 250 °C and holds the
face near 150 °C. Common practice, no printed source. The fan is written from what such fans are made of, not sized to the facts:
one 40 mm module for both, a riser of two inches square, an amplifier's sink, a motor from a disc player. Its guard is once the one
that `guards` sizes, and once one that nobody sized: the two elements every car breaker has, on one foot and ring.
"""

from __future__ import annotations

from functools import lru_cache

import pytest

from hobwind.build import build_from_text
from hobwind.stack.keeping import End
from hobwind.studies.guarded import Guarded
from hobwind.studies.guards import Guards, guards
from hobwind.studies.headline import Headline, headline

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

# A strip of tin under the element, a washer of sheet round it, a spark plug's ceramic on the pin: round figures, the same for all.
GUARD = """
[guard]
kind = "central lift"
element = "{element}"
held_in = "plate"
holder_conductance = "0.020 W/K"
element_loss = "0.050 W/K"
lost_motion = "1 mm"
stop = "2 mm"
over_travel = "10 mm"
pin_length = "40 mm"
pin_tip = "0.004 W/K"
"""


@lru_cache
def scrap(length: int) -> Guards:
    """Guards for the scrap fan with a riser of so many millimetres."""
    return guards(build_from_text(SCRAP.format(length=length, height=length + 110)))


def kind(length: int, name: str) -> Guarded:
    return next(one for one in scrap(length).rows if one.kind == name)


@lru_cache
def by_hand(length: int, element: str) -> Headline:
    """The scrap fan with the guard that nobody sized."""
    text = SCRAP.format(length=length, height=length + 110) + GUARD.format(element=element)
    return headline(build_from_text(text))


@pytest.mark.parametrize("length", [80, 90, 100])
def test_a_guard_that_nobody_sized_lifts_by_about_250(length: int) -> None:
    """Elements of 82 and 88 degrees, the usual two, bracket 250 °C of plate within 20 K and 150 °C of face within 12 K."""
    cool, warm = by_hand(length, "wax 82"), by_hand(length, "wax 88")
    lifts = [one.worst.figure(End.lift_at) - 273.15 for one in (cool, warm)]
    faces = [one.worst.figure(End.peak_hot) - 273.15 for one in (cool, warm)]
    assert 230.0 < lifts[0] < 250.0 < lifts[1] < 270.0
    assert 138.0 < faces[0] < 150.0 < faces[1] < 162.0
    assert [(one.usual.lifts, one.worst.lifts) for one in (cool, warm)] == [(0, 1), (0, 1)]


@pytest.mark.parametrize("length", [80, 90, 100])
def test_the_facts_of_the_trade(length: int) -> None:
    """Start and unguarded faces are found; lift and held face are sized between usual and worst plate: they only agree with the trade."""
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
