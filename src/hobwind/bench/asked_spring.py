"""Bench tests of a return spring and of a stack of disc washers."""

from __future__ import annotations

from pathlib import Path

from .forms import COUNT, INSTRUMENTS, Blank, Filled, Form, Group
from .measured import Instrument
from .procedure import BenchTest
from .result import Result
from .spring import GRAVITY, SpringReadings, Wire, identify_spring
from .washers import Disc, WasherReadings, identify_washers

SPRING_FORM = Form(
    (
        Blank("fitted", "length in the guard, cold", "length", "24 mm", 1e-3, 1.0, ""),
        Blank("wire", "wire", "length", "1.0 mm", 1e-4, 0.02, ""),
        Blank("coil", "coil, middle of the wire", "length", "10 mm", 1e-3, 0.2, ""),
        Blank("turns", "turns that work", "number", "8", 1.0, 200.0, ""),
    ),
    (
        Group(
            "squeezed",
            "four lengths or more; two at least",
            (
                Blank("length", "length", "length", "30 mm", 1e-3, 1.0),
                Blank("scale", "kitchen scale shows", "mass", "640 g", 0.0, 200.0),
            ),
            2,
        ),
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (
                Blank("ruler", "rule", "length", "0.3 mm", 1e-6, 5e-3, "0.3 mm"),
                Blank("scale_share", "of the scale", "number", "1 %", 0.0, 0.2, "1 %"),
                Blank("scale_step", "its last figure", "mass", "5 g", 0.0, 1.0, "5 g"),
            ),
            single=True,
        ),
    ),
)


def _spring(filled: Filled, _: Path) -> Result:
    top, i = filled.top, filled.rows[INSTRUMENTS][0]
    wire = None
    if top["wire"] is not None and top["coil"] is not None and top["turns"] is not None:
        wire = Wire(top["wire"], top["coil"], top["turns"])
    rows = [(row["length"], row["scale"] * GRAVITY) for row in filled.rows["squeezed"]]
    balance = Instrument(i["scale_share"], i["scale_step"] * GRAVITY)
    return identify_spring(SpringReadings(rows, top["fitted"], wire, Instrument(0.0, i["ruler"]), balance))


SPRING = BenchTest(
    "spring",
    "",
    "a return spring on a kitchen scale",
    "a kitchen scale, a steel rule, a guide rod or tube to keep the spring straight, a drill press to push with.",
    (
        "Stand the spring on the scale round its rod. Bring the drill press spindle, at rest, down on it.",
        "At four lengths from just touching to nearly closed: length between the faces, and what the scale shows.",
        "Read the length it will have in the guard too. Wire, coil and turns, if you can measure them, check the unit.",
    ),
    "a squeezed spring flies: wear glasses, keep the rod in, switch the drill off at the wall.",
    SPRING_FORM,
    _spring,
)

WASHER_FORM = Form(
    (
        Blank("outer", "outer diameter", "length", "12.5 mm", 2e-3, 0.1),
        Blank("inner", "hole", "length", "6.2 mm", 1e-3, 0.05),
        Blank("thickness", "of the steel", "length", "0.7 mm", 1e-4, 0.01),
        Blank("height", "free height of one, on a flat", "length", "1.0 mm", 1e-4, 0.02),
        Blank("nested", "lie the same way in a pack", COUNT, "2", 1, 10, "1"),
        Blank("packs", "packs that face each other", COUNT, "2", 1, 30, "1"),
        Blank("squeeze", "of the whole stack", "length", "0.4 mm", 1e-6, 0.05, ""),
        Blank("screws", "that carry such a stack", COUNT, "4", 1, 12, "1"),
        Blank("area", "pressed face of all modules", "area", "3200 mm²", 1e-6, 0.1, ""),
    ),
    (
        Group(
            "pressed",
            "the stack on a scale",
            (
                Blank("by", "squeezed by", "length", "0.3 mm", 1e-6, 0.05),
                Blank("scale", "scale shows", "mass", "60 kg", 1e-3, 2000.0),
            ),
        ),
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (
                Blank("caliper", "sizes", "length", "0.02 mm", 1e-6, 1e-3, "0.02 mm"),
                Blank("gauge", "squeeze", "length", "0.05 mm", 1e-6, 1e-3, "0.05 mm"),
                Blank("scale_share", "of the scale", "number", "3 %", 0.0, 0.3, "3 %"),
            ),
            single=True,
        ),
    ),
)


def _washers(filled: Filled, _: Path) -> Result:
    t, i = filled.top, filled.rows[INSTRUMENTS][0]
    return identify_washers(
        WasherReadings(
            Disc(t["outer"], t["inner"], t["thickness"], t["height"] - t["thickness"]),
            t["nested"], t["packs"], [(row["by"], row["scale"] * GRAVITY) for row in filled.rows["pressed"]],
            t["squeeze"], t["screws"], t["area"], i["caliper"], i["gauge"], i["scale_share"],
        )
    )  # fmt: skip


WASHERS = BenchTest(
    "washers",
    "washer",
    "a stack of disc washers, by size and on a scale",
    "a caliper that reads hundredths, a flat plate; to press it a drill press and a bathroom scale.",
    (
        "Measure one disc: outer, hole, thickness, free height on the flat plate. Take the mean of three discs.",
        "Note how they lie: nested the same way adds force, facing each other adds travel.",
        "If you can: press the stack on the scale, reading squeeze and force at two places below flat.",
    ),
    "a hard disc can crack and fly: wear glasses. Bright yellow or grey plating may hold cadmium: do not file it.",
    WASHER_FORM,
    _washers,
)
