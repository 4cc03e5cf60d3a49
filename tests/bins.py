"""A small bin whose combinations can be counted by hand, shared by the tests of picking."""

from __future__ import annotations

from functools import lru_cache

from builds import EXAMPLES
from hobwind.build.bin_file import bin_from_text
from hobwind.build.bin_sections import Bin
from hobwind.studies.pick.options import Options
from hobwind.studies.pick.sieve import Sieve

SHED = EXAMPLES / "boat-shed-bin.toml"
SMALL = """
format = 1
name = "small bin"
[stove]
usual_plate = "230 °C"
worst_plate = "320 °C"
room = "20 °C"
[wish]
starts_by = "110 °C"
air = "35 m³/h"
guard = true
money = 20
[[module]]
part = "cooler 40 mm 6 A"
count = 2
[[motor]]
part = "CD spindle motor"
[[blade]]
part = "blade 150 mm 4"
[[blade]]
part = "blade 120 mm 5 plastic"
[[sink]]
part = "amplifier sink 150 x 100"
[[sink]]
part = "amplifier sink 75 x 75"
[[bar]]
name = "square end"
shape = "block"
width = "60 mm"
depth = "60 mm"
length = "200 mm"
material = "aluminium 6082"
lengths = ["80 mm", "110 mm"]
[[plate]]
name = "jig plate"
width = "100 mm"
depth = "60 mm"
thickness = "10 mm"
material = "aluminium 6082"
[[screws]]
part = "M4 stainless"
length = "40 mm"
[[bush]]
part = "PEEK bush M4"
[[element]]
part = "wax 88"
[[guard]]
kind = "central lift"
held_in = "plate"
holder_conductance = "0.025 W/K"
element_loss = "0.06 W/K"
lost_motion = "1 mm"
stop = "2 mm"
pin_length = "60 mm"
pin_tip = "0.004 W/K"
"""


def small(*changes: tuple[str, str]) -> Bin:
    """The small bin with words of its text changed."""
    text = SMALL
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return bin_from_text(text, "small.toml")


@lru_cache
def shed() -> Bin:
    """The boat shed's bin."""
    return bin_from_text(SHED.read_text("utf-8"), SHED.name)


@lru_cache
def sieve_of(name: str) -> Sieve:
    """The sieve of the small bin or the boat shed's."""
    return Sieve(Options(small() if name == "small" else shed()))
