"""Bench test of a small motor; its speed typed, from a strobe, or from a recording."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

from ..errors import InputError
from .forms import COUNT, INSTRUMENTS, LIST, WORDS, Blank, Filled, Form, Group
from .measured import Instrument
from .motor import identify_motor
from .motor_readings import MotorReadings, Running
from .procedure import BenchTest
from .result import Result

SPEED = (
    Blank("speed", "speed", "turning", "1620 rpm", 0.0, 1e4, ""),
    Blank("frequency", "or the tone or flash", "frequency", "54 Hz", 0.1, 5e3, ""),
    Blank("recording", "or a recording's file", WORDS, "run-2.m4a", default=""),
)
MARKS = Blank("blades", "vanes or marks that pass in one turn", COUNT, "2", 1, 60, "")
ELECTRIC = (
    Blank("volts", "volts at the terminals", "voltage", "1.5 V", 0.0, 100.0),
    Blank("amperes", "amperes", "current", "24 mA", 0.0, 50.0),
)
FORM = Form(
    (
        Blank("ohms", "winding, five places", LIST, '["7.6 Ω", "7.9 Ω"]', 1e-3, 1e5, None, "ohms"),
        Blank("breaks_at", "going up", LIST, '["0.31 V", "0.36 V"]', 0.0, 100.0, "", "voltage"),
        Blank("stops_at", "coming down", LIST, '["0.22 V", "0.20 V"]', 0.0, 100.0, "", "voltage"),
        MARKS,
    ),
    (
        Group("running", "free, no blade; three volts or more", (*ELECTRIC, *SPEED)),
        Group(
            "generator",
            "in a drill chuck, nothing connected",
            (Blank("volts", "volts at the terminals", "voltage", "0.79 V", 0.0, 100.0), *SPEED),
        ),
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (
                Blank("ohms_share", "ohm meter", "number", "1 %", 0.0, 0.3, "1 %"),
                Blank("ohms_step", "its last figure and leads", "ohms", "0.1 Ω", 0.0, 10.0, "0.1 Ω"),
                Blank("volts_share", "volt meter", "number", "0.5 %", 0.0, 0.2, "0.5 %"),
                Blank("volts_step", "its last figure", "voltage", "5 mV", 0.0, 1.0, "5 mV"),
                Blank("amperes_share", "ampere meter", "number", "1.5 %", 0.0, 0.3, "1.5 %"),
                Blank("amperes_step", "its last figure", "current", "0.3 mA", 0.0, 1.0, "0.3 mA"),
                Blank("speed_share", "speed", "number", "0.5 %", 0.0, 0.2, "0.5 %"),
            ),
            single=True,
        ),
    ),
)


def speed_of(row: dict[str, Any], blades: int | None, folder: Path, place: str, doubts: list[str]) -> float:
    """The speed of one row, however it was taken.

    Args:
        row: with speed, frequency or recording.
        blades: vanes or marks; needed for a tone.
        folder: where recordings lie.
        place: of the row, for messages.
        doubts: added to.

    Returns:
        Speed. [rad/s]

    Raises:
        InputError: none of the three given, or no count of blades.
        FileError: the recording cannot be read.
    """
    if row["speed"] is not None:
        return float(row["speed"])
    if row["frequency"] is None and not row["recording"]:
        raise InputError(f"{place}: no speed given; one of speed, frequency or recording is wanted")
    if blades is None:
        raise InputError(f"{place}: a tone needs its count; give blades = the vanes, marks or flashes that pass in one turn")
    if row["frequency"] is not None:
        return 2.0 * math.pi * float(row["frequency"]) / blades
    from .recording import samples_of
    from .sound import speed_from_sound

    heard = speed_from_sound(*samples_of(folder / row["recording"]), blades)
    doubts += [f"{place}: {doubt}" for doubt in heard.doubts]
    return heard.speed.value


def _motor(filled: Filled, folder: Path) -> Result:
    top, i, doubts = filled.top, filled.rows[INSTRUMENTS][0], list[str]()
    running = [
        Running(row["volts"], row["amperes"], speed_of(row, top["blades"], folder, f"running {n}", doubts))
        for n, row in enumerate(filled.rows["running"], 1)
    ]
    generator = [
        (speed_of(row, top["blades"], folder, f"generator {n}", doubts), row["volts"])
        for n, row in enumerate(filled.rows["generator"], 1)
    ]
    found = identify_motor(
        MotorReadings(
            top["ohms"], running, generator, top["breaks_at"], top["stops_at"],
            Instrument(i["ohms_share"], i["ohms_step"]), Instrument(i["volts_share"], i["volts_step"]),
            Instrument(i["amperes_share"], i["amperes_step"]), Instrument(i["speed_share"], 1.0),
        )
    )  # fmt: skip
    return replace(found, doubts=(*doubts, *found.doubts))


MOTOR = BenchTest(
    "motor",
    "motor",
    "a small motor: winding, constant, friction, breaking away",
    "a multimeter, a battery or lab supply of 0 to 3 V, something that counts turns: a strobe, or a phone that records.",
    (
        "Leads off, blade off. Winding ohms at five shaft positions or more, turning a little each time.",
        "Running free at three voltages or more: volts at the terminals, amperes, speed. For a recording stick a paper flag "
        "on the shaft and count its ends as blades.",
        "Raise the volts from nothing until it just breaks away, lower them until it stops; five times, other positions.",
        "Or in a drill chuck of known speed: volts at its terminals, nothing connected.",
    ),
    "tape over sharp shafts; unplug scrap machines and let capacitors run empty before you open them.",
    FORM,
    _motor,
)
