"""Bench tests of a module between two blocks: as a generator, and its health beside a new one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from ..physics.thermoelectric import resistance_shape, seebeck_shape
from .forms import CHOICE, INSTRUMENTS, LIST, PART, Blank, Filled, Form, Group
from .health import HealthReadings, by_two_loads, judge_health
from .measured import Instrument, Measured, combine, even
from .module import identify_generator
from .module_kettle import identify_kettle
from .module_kinds import likest, likest_text, new_kind
from .module_readings import HeaterReading, Instruments, LoadReading, ModuleReadings, OpenReading
from .procedure import COLD, HOT, BenchTest
from .ratings import at_300
from .result import Result

FACES = (
    Blank("hot", "hot face", "temperature", "86 °C", COLD, HOT),
    Blank("cold", "cold face", "temperature", "8 °C", COLD, HOT),
)
VOLTS = Blank("volts", "volts", "voltage", "3.61 V", -100.0, 100.0)
FAR = "beyond the joints"
KIND = Blank("kind", "a new one of its kind, see: hobwind parts module", PART, "cooler 40 mm 6 A", default="", of="module")

MODULE_FORM = Form(
    (
        Blank("faces_read", f"or {FAR}", CHOICE, "on the module", default="on the module", choices=("on the module", FAR)),
        Blank("joints", "most of both joints, then", "thermal_resistance", "0.5 K/W", 0.0, 20.0, "0.5 K/W"),
        KIND,
        Blank("width", "of the module", "length", "40 mm", 3e-3, 0.2, ""),
    ),
    (
        Group("open", "nothing connected; four or more", (*FACES, VOLTS), 1),
        Group(
            "load",
            "across a known resistor; three or more",
            (
                Blank("ohms", "resistor", "ohms", "2.2 Ω", 1e-3, 1e5),
                replace(VOLTS, example="1.75 V"),
                *FACES,
                Blank("after", "read so long after connecting", "time", "0.5 s", 0.0, 3600.0, "0.5 s"),
            ),
        ),
        Group(
            "heater",
            "known watts into the hot block, lagged",
            (Blank("watts", "heater", "power", "30 W", 0.0, 500.0), *FACES),
        ),
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (
                Blank("thermometers_apart", "one against the other", "temperature_difference", "3 K", 0.0, 20.0, "3 K"),
                Blank("thermometer_step", "last figure and unrest", "temperature_difference", "0.2 K", 0.0, 5.0, "0.2 K"),
                Blank("thermometer_share", "of the difference", "number", "1 %", 0.0, 0.2, "1 %"),
                Blank("meter_share", "of the volts", "number", "0.5 %", 0.0, 0.2, "0.5 %"),
                Blank("meter_step", "last figure of the volts", "voltage", "2 mV", 0.0, 1.0, "2 mV"),
                Blank("resistor_share", "of the resistors", "number", "1 %", 0.0, 0.2, "1 %"),
                Blank("heater_share", "of the watts", "number", "5 %", 0.0, 0.5, "5 %"),
            ),
            single=True,
        ),
    ),
)


def _module(filled: Filled, _: Path) -> Result:
    i, top = filled.rows[INSTRUMENTS][0], filled.top
    tools = Instruments(
        i["thermometers_apart"], i["thermometer_step"], i["thermometer_share"],
        Instrument(i["meter_share"], i["meter_step"]), i["resistor_share"], i["heater_share"],
    )  # fmt: skip
    identify = identify_generator if filled.rows["load"] else identify_kettle
    found = identify(
        ModuleReadings(
            [OpenReading(row["hot"], row["cold"], row["volts"]) for row in filled.rows["open"]],
            [LoadReading(row["ohms"], row["volts"], row["hot"], row["cold"], row["after"]) for row in filled.rows["load"]],
            [HeaterReading(row["watts"], row["hot"], row["cold"]) for row in filled.rows["heater"]],
            tools,
            new_kind(top["kind"]) if top["kind"] else None,
            top["faces_read"] == FAR,
            top["joints"],
        )
    )
    if identify is identify_kettle:
        return found
    heat = found.figure("conductance") if filled.rows["heater"] else None
    kinds = likest(found.figure("seebeck"), found.figure("resistance"), heat, top["width"])
    base = found.base or (kinds[0][0] if kinds else "")
    return replace(found, verdict=f"{found.verdict} {likest_text(kinds)}", base=base)


MODULE = BenchTest(
    "module",
    "module",
    "a module as a generator: volts, ohms, heat",
    "a multimeter, two thermometers, known resistors of 1 to 10 Ω, a kettle, ice, two metal blocks, a clamp.",
    (
        "Clamp the module between the blocks with a smear of compound. One block at the kettle's heat, one in ice water.",
        "When both thermometers stand still for a minute, read open volts and both faces. Again at three other heats.",
        "Connect a known resistor, read its volts within one second: later the current's own cooling spoils it.",
        "Kettle, ice and meter alone give volts per kelvin; a resistor settles the ohms, known watts the heat.",
    ),
    "steam and hot blocks burn; keep fingers off the clamp; do not file or drill white ceramic.",
    MODULE_FORM,
    _module,
)

LOAD = (Blank("ohms", "resistor", "ohms", "8.2 Ω", 1e-3, 1e5), replace(VOLTS, example="3.10 V"))
HEAVY = (replace(LOAD[0], example="2.2 Ω"), replace(VOLTS, example="2.05 V"))
HEALTH_FORM = Form(
    (
        replace(KIND, default=None),
        Blank("at", "temperature of the module", "temperature", "20 °C", COLD, HOT, "20 °C"),
        Blank("meter", "ohms by an AC meter, or broken", "ohms", "2.05 Ω", 1e-3, 1e5, ""),
        Blank("way", "or no way through", CHOICE, "through", default="through", choices=("through", "no way through")),
        Blank("pressed", "ohms, pressing and letting go", LIST, '["2.05 Ω", "2.06 Ω"]', 1e-6, 1e9, "", "ohms"),
        Blank("wandering", "ohms over five minutes, untouched", LIST, '["2.05 Ω", "2.05 Ω"]', 1e-6, 1e9, "", "ohms"),
        Blank("to_ceramic", "a lead to wet foil on the ceramic", "ohms", "20 MΩ", 0.0, 1e15, ""),
    ),
    (
        Group("light", "the larger resistor, same faces, read within a second", LOAD, single=True),
        Group("heavy", "the smaller resistor, the same", HEAVY, single=True),
        Group("open", "nothing connected, faces at rest", (*FACES, VOLTS), single=True),
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (
                Blank("ohms_share", "of the ohms", "number", "2 %", 0.0, 0.3, "2 %"),
                Blank("volts_share", "of the volts", "number", "0.5 %", 0.0, 0.2, "0.5 %"),
                Blank("thermometers_apart", "one against the other", "temperature_difference", "2 K", 0.0, 20.0, "2 K"),
            ),
            single=True,
        ),
    ),
)


def _health(filled: Filled, _: Path) -> Result:
    top, i = filled.top, filled.rows[INSTRUMENTS][0]
    resistance = _ohms(filled, i)
    return replace(
        judge_health(
            HealthReadings(
                new_kind(top["kind"]),
                resistance,
                _volts_per_kelvin(filled, i),
                top["kind"].couples,
                tuple(top["pressed"]),
                tuple(top["wandering"]),
                top["to_ceramic"],
            )
        ),
        base=top["kind"].name,
    )


def _ohms(filled: Filled, i: dict[str, Any]) -> Measured | None:
    """By two loads or an AC meter, at 300 K; None when there is no way through."""
    top, light, heavy = filled.top, filled.one("light"), filled.one("heavy")
    if top["way"] == "no way through":
        return None
    if light is not None and heavy is not None:
        pairs = (light["ohms"], light["volts"]), (heavy["ohms"], heavy["volts"])
        by_two_loads(*pairs)  # complains where that cannot be
        u = {name: Measured(value, even(i["volts_share"]) * 0.3 * abs(value)) for name, value in
             (("a", light["volts"]), ("b", heavy["volts"]))}  # fmt: skip
        u["scale"] = Measured(1.0, even(i["ohms_share"]))
        found, _ = combine(lambda a, b, scale: scale * by_two_loads((pairs[0][0], a), (pairs[1][0], b)), u)
    elif top["meter"] is not None:
        found = Measured(top["meter"], even(i["ohms_share"]) * top["meter"])
    else:
        from ..errors import InputError

        raise InputError(
            "meter: neither that nor [light] with [heavy] given; give the ohms of an AC meter, or volts across two resistors, or "
            'way = "no way through"'
        )
    return at_300(found, resistance_shape, top["at"])


def _volts_per_kelvin(filled: Filled, i: dict[str, Any]) -> Measured | None:
    row = filled.one("open")
    if row is None:
        return None
    difference = Measured(row["hot"] - row["cold"], even(i["thermometers_apart"]))
    volts = Measured(abs(row["volts"]), even(i["volts_share"]) * abs(row["volts"]))
    if difference.value < 5.0:
        from ..errors import InputError

        raise InputError(
            f"open: got {difference.value:.1f} K between the faces; 5 K or more is wanted, with the hot face the hotter one"
        )
    found, _ = combine(lambda v, d: v / d, {"v": volts, "d": difference})
    return at_300(found, seebeck_shape, 0.5 * (row["hot"] + row["cold"]))


HEALTH = BenchTest(
    "health",
    "module",
    "a used module beside a new one: cracked, couples reversed, wet",
    "two known resistors of about 2 and 8 Ω and a meter, or an AC milliohm meter; a kettle for warmth; two boards.",
    (
        "Warm one face, cool the other, both at rest. Volts across the larger resistor, then the smaller, each in a second.",
        "Press the faces together between two boards and let go, reading ohms: a jump is a cracked leg.",
        "Leave it alone for five minutes and read some more: wandering ohms are water inside.",
        "Ohms from a lead to wet foil on the ceramic: less than 1 MΩ is water or soot.",
    ),
    "hot water scalds; never an ordinary ohm meter on a warm module: its volts are read as ohms.",
    HEALTH_FORM,
    _health,
)
