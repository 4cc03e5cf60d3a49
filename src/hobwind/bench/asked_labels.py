"""Bench tests that read what a seller prints: a cooler's ratings, a generator's power sheet."""

from __future__ import annotations

from pathlib import Path

from .forms import INSTRUMENTS, Blank, Filled, Form, Group
from .procedure import BenchTest
from .ratings import CoolerPrints, GeneratorPrints, from_cooler_prints, from_generator_prints
from .result import Result

SHARE = Group(
    INSTRUMENTS,
    "how far a printed figure may be from the module in hand",
    (Blank("printed_share", "of any printed figure", "number", "5 %", 0.0, 0.5, "5 %"),),
    single=True,
)
COOLER_FORM = Form(
    (
        Blank("hot", "the ratings hold at", "temperature", "27 °C", 250.0, 400.0, "27 °C"),
        Blank("volts", "most volts", "voltage", "15.4 V", 0.05, 100.0),
        Blank("amperes", "most amperes", "current", "6 A", 0.05, 100.0),
        Blank("difference", "largest difference", "temperature_difference", "68 K", 20.0, 100.0),
        Blank("heat", "most heat pumped", "power", "53 W", 0.0, 2000.0, "0 W"),
        Blank("resistance", "by alternating current", "ohms", "1.9 Ω", 0.0, 100.0, "0 Ω"),
    ),
    (SHARE,),
)
GENERATOR_FORM = Form(
    (
        Blank("hot", "hot face of the sheet", "temperature", "300 °C", 300.0, 700.0),
        Blank("cold", "cold face of the sheet", "temperature", "30 °C", 250.0, 500.0),
        Blank("open_volts", "nothing connected", "voltage", "8.4 V", 0.0, 100.0, "0 V"),
        Blank("matched_volts", "into the best load", "voltage", "4.2 V", 0.0, 100.0, "0 V"),
        Blank("watts", "into the best load", "power", "14.6 W", 0.0, 500.0, "0 W"),
        Blank("ohms", "the module's own", "ohms", "1.2 Ω", 0.0, 100.0, "0 Ω"),
        Blank("heat", "into the hot face", "power", "365 W", 0.0, 5000.0, "0 W"),
    ),
    (SHARE,),
)


def _cooler(filled: Filled, _: Path) -> Result:
    t = filled.top
    return from_cooler_prints(
        CoolerPrints(
            t["hot"], t["volts"], t["amperes"], t["difference"], t["heat"], t["resistance"],
            share=filled.rows[INSTRUMENTS][0]["printed_share"],
        )
    )  # fmt: skip


def _generator(filled: Filled, _: Path) -> Result:
    t = filled.top
    return from_generator_prints(
        GeneratorPrints(
            t["hot"], t["cold"], t["open_volts"], t["matched_volts"], t["watts"], t["ohms"], t["heat"],
            share=filled.rows[INSTRUMENTS][0]["printed_share"],
        )
    )  # fmt: skip


COOLER = BenchTest(
    "cooler-label",
    "module",
    "a module from its printed cooler ratings",
    "the sheet or the print of a module sold as a cooler.",
    (
        "Copy what is printed, and the temperature that it holds for; sheets name 25, 27 or 50 °C.",
        "Two published ways are tried on it; how far they lie apart is part of the spread, and contradictions are told.",
    ),
    "a print proves nothing about the module in hand: test it before you build on it.",
    COOLER_FORM,
    _cooler,
)
GENERATOR = BenchTest(
    "generator-label",
    "module",
    "a module from its printed generator ratings",
    "the sheet of a module sold as a generator.",
    (
        "Copy both faces' temperatures, and volts, watts and ohms that hold at them.",
        "Two of volts, watts and ohms are enough; a third shows whether they go together.",
    ),
    "a print proves nothing about the module in hand: test it before you build on it.",
    GENERATOR_FORM,
    _generator,
)
