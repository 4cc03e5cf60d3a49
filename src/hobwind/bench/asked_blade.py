"""Bench test of a blade on its motor."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from ..errors import InputError
from .asked_motor import ELECTRIC, SPEED, speed_of
from .blade import BladeMotor, BladeReading, BladeReadings, identify_blade
from .forms import COUNT, INSTRUMENTS, PART, Blank, Filled, Form, Group
from .measured import Instrument, Measured
from .procedure import BenchTest
from .result import Result

FORM = Form(
    (
        Blank("diameter", "tip to tip", "length", "150 ± 1 mm", 0.02, 1.0, doubt=True),
        Blank("blades", "vanes", COUNT, "4", 1, 30),
        Blank("pitch", "how far it would screw in a turn", "length", "90 ± 20 mm", 0.0, 2.0, "", doubt=True),
        Blank("motor", "a part; measure it first", PART, "CD spindle motor", default="", of="motor"),
        Blank("torque_constant", "or the motor's", "torque_constant", "7.5 ± 0.3 mN·m/A", 1e-5, 1.0, "", doubt=True),
        Blank("friction", "and its friction", "torque", "150 ± 30 µN·m", 0.0, 0.1, "", doubt=True),
        Blank("room", "air there", "temperature", "20 °C", 233.0, 333.0, "20 °C"),
        Blank("altitude", "above the sea", "length", "200 m", -500.0, 5000.0, "0 m"),
    ),
    (
        Group(
            "turning",
            "settled; two or three voltages, far apart",
            (*ELECTRIC, *SPEED, Blank("air_speed", "mean over the disc", "speed", "1.1 m/s", 0.0, 30.0, "")),
            2,
        ),
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (
                Blank("volts_share", "volt meter", "number", "0.5 %", 0.0, 0.2, "0.5 %"),
                Blank("amperes_share", "ampere meter", "number", "1.5 %", 0.0, 0.3, "1.5 %"),
                Blank("amperes_step", "its last figure", "current", "0.3 mA", 0.0, 1.0, "0.3 mA"),
                Blank("speed_share", "speed", "number", "0.5 %", 0.0, 0.2, "0.5 %"),
                Blank("air_share", "anemometer", "number", "10 %", 0.0, 0.5, "10 %"),
            ),
            single=True,
        ),
    ),
)


def _blade(filled: Filled, folder: Path) -> Result:
    top, i, doubts = filled.top, filled.rows[INSTRUMENTS][0], list[str]()
    rows = [
        BladeReading(
            row["volts"], row["amperes"], speed_of(row, top["blades"], folder, f"turning {n}", doubts), row["air_speed"]
        )
        for n, row in enumerate(filled.rows["turning"], 1)
    ]
    found = identify_blade(
        BladeReadings(
            top["diameter"], top["blades"], rows, _motor(filled), top["pitch"], top["room"], top["altitude"],
            Instrument(i["amperes_share"], i["amperes_step"]), Instrument(i["volts_share"], 0.005),
            Instrument(i["speed_share"], 1.0), Instrument(i["air_share"], 0.1),
        )
    )  # fmt: skip
    return replace(found, doubts=(*doubts, *found.doubts))


def _motor(filled: Filled) -> BladeMotor:
    """The named part, what is typed on top of it."""
    part, top = filled.top["motor"], filled.top
    if part is None and top["torque_constant"] is None:
        raise InputError("motor: neither that nor torque_constant given; the motor is the scale: measure it, or name a part")
    named = (
        BladeMotor(Measured(0.0, 0.0))
        if part is None
        else BladeMotor(
            *(
                Measured(one.value, one.sd)
                for one in (part.torque_constant, part.resistance, part.friction, part.drag, part.brush_drop)
            )
        )
    )
    typed = {"constant": top["torque_constant"], "friction": top["friction"]}
    return replace(named, **{key: value for key, value in typed.items() if value is not None})


BLADE = BenchTest(
    "blade",
    "blade",
    "a blade on its motor: its twist, and its air if you have an anemometer",
    "the blade on a motor you have measured, a supply, a multimeter, something that counts turns; an anemometer if any.",
    (
        "Hold the motor so that nothing stands near the blade for a metre on either side.",
        "At two or three voltages, far apart: volts, amperes and speed when all has settled.",
        "Anemometer: hold it close behind the disc at five places from hub to tip, take the mean.",
    ),
    "eyes and fingers out of the disc; a hand-cut blade can throw a vane: try it behind a board first.",
    FORM,
    _blade,
)
