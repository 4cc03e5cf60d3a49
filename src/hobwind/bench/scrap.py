"""Keep or scrap: for each kind of part one test of a minute, with bare hands or a meter."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class MinuteTest:
    """One test of a minute: what it is for, what to do, and what keeps or scraps the part. Source: bench-practice."""

    part: str
    do: str
    keep: str
    scrap: str


MINUTE_TESTS = (
    MinuteTest(
        "module",
        "palm on one face, the other on cold metal, meter on millivolts",
        "50 mV or more in ten seconds, steady when pressed",
        "no volts, or they jump as you press",
    ),
    MinuteTest(
        "motor",
        "spin the shaft with two fingers; then one AA cell on its leads",
        "coasts on, starts on the cell in any position",
        "notchy, gritty, or needs a push",
    ),
    MinuteTest(
        "blade",
        "spin it on its shaft, watch the tips against an edge",
        "tips within 1 mm, stops anywhere",
        "cracks, a loose hub, always the same vane down",
    ),
    MinuteTest(
        "sink",
        "hold the base in hot tap water, feel the fin tips",
        "tips warm in half a minute, base takes a rule without light",
        "cold tips (glued fins), a cracked or pitted base",
    ),
    MinuteTest(
        "wax",
        "drop it into boiling water, then into cold",
        "pin out by 5 mm and more in a minute, and back in",
        "no travel, wax or green water round the pin, pin stays out",
    ),
    MinuteTest(
        "spring",
        "squeeze it shut five times beside a new or unused one",
        "comes back to the same length",
        "shorter than before, rust pits, blue from heat",
    ),
    MinuteTest(
        "washers",
        "lay a disc on glass, press the rim with a thumb",
        "rocks nowhere, dished, springs back in a vice",
        "flat, cracked at the hole, stays flat after the vice",
    ),
    MinuteTest(
        "bar",
        "magnet, a file stroke, heft; one end into hot water",
        "no magnet, soft bright cut, far end warm in half a minute",
        "holds a magnet or stays cold: no riser of it",
    ),
    MinuteTest(
        "face",
        "steel rule on edge against a lamp, both diagonals",
        "no light, or a hair of it",
        "light you can read by: saw or file first",
    ),
)
