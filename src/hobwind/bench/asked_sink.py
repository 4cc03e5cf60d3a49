"""Bench test of a sink: known watts, or a cooling curve."""

from __future__ import annotations

from pathlib import Path

from ..errors import InputError
from .forms import INSTRUMENTS, Blank, Filled, Form, Group
from .measured import Instrument
from .procedure import COLD, HOT, BenchTest
from .result import Result
from .sink import Cooling, Settled, SinkReadings, identify_sink

SINK = Blank("sink", "base of the sink", "temperature", "58 °C", COLD, HOT)
ROOM = Blank("room", "room", "temperature", "19 °C", COLD, HOT)
FORM = Form(
    (
        Blank("mass", "of the sink alone", "mass", "640 g", 5e-3, 50.0, ""),
        Blank("width", "across", "length", "120 mm", 5e-3, 1.0, ""),
        Blank("depth", "deep", "length", "60 mm", 5e-3, 1.0, ""),
        Blank("height", "high", "length", "150 mm", 5e-3, 1.0, ""),
        Blank("cooling_room", "room while it cooled", "temperature", "19 °C", COLD, HOT, ""),
        Blank("cooling_air_speed", "stream then; still when left out", "speed", "1.5 m/s", 0.0, 30.0, "0 m/s"),
    ),
    (
        Group(
            "settled",
            "at rest on known watts; two still, two blown",
            (
                Blank("watts", "into the heater", "power", "20 W", 0.0, 2000.0),
                SINK,
                ROOM,
                Blank("air_speed", "stream; still when left out", "speed", "1.5 m/s", 0.0, 30.0, "0 m/s"),
            ),
        ),
        Group(
            "cooling",
            "heater off; ten or more, while it cools by half",
            (Blank("time", "since the first", "time", "2 min", 0.0, 1e5), SINK),
        ),
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (
                Blank("thermometers_apart", "one against the other", "temperature_difference", "1 K", 0.0, 20.0, "1 K"),
                Blank("thermometer_step", "last figure and unrest", "temperature_difference", "0.3 K", 0.001, 5.0, "0.3 K"),
                Blank("watts_share", "watts, strayed heat too", "number", "5 %", 0.0, 0.5, "5 %"),
                Blank("air_share", "anemometer", "number", "10 %", 0.0, 0.5, "10 %"),
            ),
            single=True,
        ),
    ),
)


def _sink(filled: Filled, _: Path) -> Result:
    top, i = filled.top, filled.rows[INSTRUMENTS][0]
    cooling = [Cooling(row["time"], row["sink"]) for row in filled.rows["cooling"]]
    if cooling and top["cooling_room"] is None:
        raise InputError('cooling_room: missing; give the room while it cooled, for example cooling_room = "19 °C"')
    sizes = [top[name] for name in ("width", "depth", "height")]
    return identify_sink(
        SinkReadings(
            [Settled(row["watts"], row["sink"], row["room"], row["air_speed"]) for row in filled.rows["settled"]],
            cooling,
            top["cooling_room"] or 293.15,
            top["cooling_air_speed"],
            top["mass"],
            None if None in sizes else (sizes[0], sizes[1], sizes[2]),
            i["thermometers_apart"],
            i["thermometer_step"],
            i["watts_share"],
            Instrument(i["air_share"], 0.1),
        )
    )


SINK_TEST = BenchTest(
    "sink",
    "sink",
    "a sink on known watts, or cooling: kelvin per watt, heat stored",
    "a power resistor or soldering iron of known watts, lagging, two thermometers, a scale; a fan and an anemometer if any.",
    (
        "Screw the heater to the base with compound, lag its other side thickly. Stand the sink as it will stand in the fan.",
        "Still: volts times amperes, and when nothing moves for ten minutes, base and room. Again with other watts.",
        "Blown: the same in a stream of known speed (no anemometer: the speed that hobwind check gives for your blade).",
        "Heat stored: switch off, read the base every minute or two until half the rise is gone.",
    ),
    "the heater's resistor burns fingers; low volts only, no mains on open terminals; never leave it alone.",
    FORM,
    _sink,
)
