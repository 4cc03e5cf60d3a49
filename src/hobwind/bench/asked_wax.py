"""Bench test of a wax element in a pan of water."""

from __future__ import annotations

from pathlib import Path

from .forms import INSTRUMENTS, Blank, Filled, Form, Group
from .measured import Instrument
from .procedure import BenchTest
from .result import Result
from .wax import WaxReadings, identify_wax

PIN = (
    Blank("water", "water", "temperature", "84 °C", 273.0, 400.0),
    Blank("stroke", "pin is out by", "length", "1.2 mm", -1e-3, 0.05),
)
DUNK = (
    Blank("start", "element before", "temperature", "20 °C", 270.0, 400.0),
    Blank("bath", "hot water", "temperature", "96 °C", 270.0, 400.0),
    Blank("half_after", "pin half out after", "time", "38 s", 0.5, 3600.0),
)
FORM = Form(
    (Blank("scale", "kitchen scale that the pin just lifts", "mass", "18 kg", 0.1, 200.0, ""),),
    (
        Group("up", "warming; ten or more", PIN, 3),
        Group("down", "cooling; ten or more", PIN),
        Group("dunk", "bare, from cold into hot stirred water", DUNK, single=True),
        Group("dunk_held", "the same in its own holder", DUNK, single=True),
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (
                Blank("thermometer", "thermometer", "temperature_difference", "1 K", 0.01, 10.0, "1 K"),
                Blank("ruler", "rule", "length", "0.3 mm", 1e-6, 5e-3, "0.3 mm"),
                Blank("watch", "stop watch", "time", "2 s", 0.01, 60.0, "2 s"),
            ),
            single=True,
        ),
    ),
)


def _wax(filled: Filled, _: Path) -> Result:
    i = filled.rows[INSTRUMENTS][0]
    dunks = (
        None if row is None else (row["start"], row["bath"], row["half_after"])
        for row in map(filled.one, ("dunk", "dunk_held"))
    )
    ways = {key: [(row["water"], row["stroke"]) for row in filled.rows[key]] for key in ("up", "down")}
    return identify_wax(
        WaxReadings(
            ways["up"],
            ways["down"],
            next(dunks),
            filled.top["scale"],
            Instrument(0.0, i["thermometer"]),
            Instrument(0.0, i["ruler"]),
            Instrument(0.0, i["watch"]),
            dunk_held=next(dunks),
        )
    )


WAX = BenchTest(
    "wax",
    "wax",
    "a wax element in a pan of water",
    "a pan of water on a small flame, a thermometer, a steel rule, a spoon to stir; for the force a kitchen scale.",
    (
        "Hang element and thermometer in cold water. Warm it slowly, stir, and read the pin every kelvin once it moves.",
        "Go five kelvin beyond full stroke, no further. Take the flame away, stir, and read on while it cools.",
        "Dunk: from a known cold into hot stirred water, bare or in its own holder; seconds until the pin is half out.",
        "Force: a bar across the pin onto a kitchen scale; what it just lifts.",
    ),
    "boiling water; never clamp the pin: a blocked element bursts; it pushes with the force of a grown man's hand.",
    FORM,
    _wax,
)
