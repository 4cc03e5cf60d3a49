"""Bench tests of an unknown bar and of a face: metal by mass and water, flatness by straight edge."""

from __future__ import annotations

from pathlib import Path

from .flat import BOW, LIGHT, FaceReadings, Gap, identify_face
from .forms import CHOICE, INSTRUMENTS, PART, Blank, Filled, Form, Group
from .measured import Instrument
from .metal import MetalReadings, identify_metal
from .procedure import BenchTest
from .result import Result

MAGNET = {"holds": True, "does not hold": False, "not tried": None}
METAL_FORM = Form(
    (
        Blank("mass", "dry", "mass", "812 g", 1e-3, 100.0),
        Blank("displaced", "scale shows with the bar hung in", "mass", "301 g", 1e-4, 100.0),
        Blank("magnet", "or holds, or not tried", CHOICE, "does not hold", default="not tried", choices=tuple(MAGNET)),
    ),
    (
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (
                Blank("scale_share", "of the scale", "number", "0.2 %", 0.0, 0.1, "0.2 %"),
                Blank("scale_step", "its last figure", "mass", "1 g", 1e-6, 0.1, "1 g"),
            ),
            single=True,
        ),
    ),
)


def _metal(filled: Filled, _: Path) -> Result:
    top, i = filled.top, filled.rows[INSTRUMENTS][0]
    scale = Instrument(i["scale_share"], i["scale_step"])
    return identify_metal(MetalReadings(top["mass"], top["displaced"], MAGNET[top["magnet"]], scale))


METAL = BenchTest(
    "metal",
    "material",
    "an unknown bar by mass, water and magnet",
    "a kitchen scale, a bowl of water, thread, a magnet.",
    (
        "Weigh the bar dry.",
        "Put the bowl of water on the scale and set it to nought. Hang the bar in the water by a thread, free of the bowl and "
        "without bubbles: the scale now shows the mass of displaced water.",
        "Try the magnet.",
    ),
    "a light silvery bar may be magnesium: its chips burn. Lead and zinc give off bad fumes when melted.",
    METAL_FORM,
    _metal,
)

FLAT_FORM = Form(
    (
        Blank("made", "how it was made, see: hobwind parts surface", PART, "filed", of="surface"),
        Blank("face", "the face across", "length", "60 mm", 0.01, 1.0),
        Blank("edge", "straight edge on it; else as the face", "length", "60 mm", 0.01, 1.0, ""),
        Blank("where", "the light is widest", CHOICE, "both ends", default="both ends", choices=tuple(BOW)),
        Blank("on", "the seat's other face; else a joint", PART, "stove plate", default="", of="surface"),
    ),
    (
        Group(
            "gap",
            "along, across, both diagonals; the widest gap of each",
            (
                Blank("goes", "leaf that goes in", "length", "0.04 mm", 0.0, 5e-3, "0 mm"),
                Blank("stops", "next leaf, that does not", "length", "0.05 mm", 0.0, 5e-3, "0 mm"),
                Blank("light", "or the light", CHOICE, "thin white", default="", choices=("", *LIGHT)),
            ),
            1,
        ),
        Group(
            INSTRUMENTS,
            "how far readings may be off",
            (Blank("feeler", "leaves", "length", "5 µm", 0.0, 1e-4, "5 µm"),),
            single=True,
        ),
    ),
)


def _flat(filled: Filled, _: Path) -> Result:
    t = filled.top
    return identify_face(
        FaceReadings(
            [Gap(row["goes"], row["stops"], row["light"]) for row in filled.rows["gap"]],
            t["edge"] or t["face"],
            t["face"],
            t["where"],
            t["made"],
            t["on"],
            filled.rows[INSTRUMENTS][0]["feeler"],
        )
    )


FLAT = BenchTest(
    "flat",
    "surface",
    "a face by straight edge, feeler or light, for seat and joints",
    "a steel straight edge or a ground square, feeler leaves or a lamp, a wiped face.",
    (
        "Wipe the face, stone off burrs. Stand the edge on it along, across and over both diagonals.",
        "Hold it so that both ends show the same light. Which leaf goes under at the widest place, which next one does not?",
        "Or by light: none; coloured (about 2 µm); thin white (to 15 µm); broad white (more).",
        "Where is it widest: the middle, both ends, or one way only (bent like a strip)?",
    ),
    "sharp burrs cut; lap wet, since dry lapping dust harms lungs.",
    FLAT_FORM,
    _flat,
)
