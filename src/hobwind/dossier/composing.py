"""What stands in a dossier, as plain data: the template sets it, and treats every word of it as a word."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

from .. import __version__
from ..build import Build, digest
from ..parts.kinds import MAKERS, Part
from ..parts.part_fields import FIELDS
from ..shop.order_plan import BOX
from ..shop.section import Section
from ..stack.fields import Seen
from ..stack.keeping import End
from ..stack.steady import MapPoint, Rest
from ..studies.headline import Headline
from ..studies.odds import JUDGES
from ..studies.verdict import Verdict
from ..units import Spread, show, show_spread

# Key of a figure in `figures` below to the two ends between which 19 in 20 lie, in the unit of the key.
Bands = Mapping[str, tuple[float, float]]
READING_ROWS = 18
ZERO = 273.15
RPM = 30.0 / math.pi


def figures(solved: Headline) -> list[tuple[str, str, float | None, str]]:
    """Key figures: key for bands, what it is, value, unit."""
    stove = solved.build.stove
    peak, where = solved.peak_face
    usual = f"{stove.usual_plate.value - ZERO:.0f} °C plate"

    def celsius(kelvin: float | None) -> float | None:
        return None if kelvin is None else kelvin - ZERO

    rows = [
        ("starts_at_plate_degC", "turns from a plate of", celsius(solved.starts_at), "°C"),
        ("stops_at_plate_degC", "stops at a plate of", celsius(solved.stops_at), "°C"),
        ("air_m3_per_h", f"air on a {usual}", solved.usual_air * 3600.0, "m³/h"),
        ("electric_W", f"power on a {usual}", float(solved.usual_point.seen[Seen.electric]), "W"),
        ("hottest_face_degC", f"hottest module face, {where}", celsius(peak), "°C"),
        ("smallest_face_margin_K", "smallest margin of a module face", solved.worst_margin, "K"),
    ]
    if solved.build.guard.kind != "none":
        rows += [
            ("lifts_at_plate_degC", "guard lifts at a plate, warming, of", celsius(solved.worst.figure(End.lift_at)), "°C"),
            ("lifts_at_held_plate_degC", "and at a plate held for hours of", celsius(solved.lifts_held), "°C"),
            ("sits_back_at_plate_degC", "guard sits back at", celsius(solved.worst.figure(End.sit_at)), "°C"),
        ]
    return rows


def _told(value: float | None, unit: str) -> str:
    if value is None:
        return "not on this fire"
    return f"{value:.2f} {unit}" if abs(value) < 10.0 and unit == "W" else f"{value:.0f} {unit}"


def _key_rows(solved: Headline, bands: Bands | None) -> list[list[str]]:
    rows = []
    for key, says, value, unit in figures(solved):
        row = [says, _told(value, unit)]
        if bands is not None:
            ends = bands.get(key)
            row.append("" if ends is None else f"{_told(ends[0], unit)} to {_told(ends[1], unit)}")
        rows.append(row)
    return rows


def _lines(section: Section) -> list[dict[str, Any]]:
    """Lines of a topic: how far in, whether a box to tick stands before it."""
    rows = []
    for line in section.lines:
        text = line.lstrip(" ")
        tick = text.startswith(BOX)
        rows.append({"text": text.removeprefix(BOX).lstrip(" "), "in": len(text) < len(line), "tick": tick})
    return rows


def _expected(point: MapPoint) -> list[str]:
    seen = point.seen
    if point.outcome is not Rest.SETTLED:
        return [f"{point.plate - ZERO:.0f} °C", "hunts" if point.outcome is Rest.HUNTS else "-", "-", "-", "-", "-"]
    return [
        f"{point.plate - ZERO:.0f} °C",
        show(float(seen[Seen.hot_plate]), "temperature"),
        show(float(seen[Seen.sink]), "temperature"),
        f"{float(seen[Seen.speed]) * RPM:.0f} rpm",
        f"{float(seen[Seen.motor_voltage]):.2f} V",
        f"{float(seen[Seen.gap]) * 1e3:.1f} mm",
    ]


def _part_values(build: Build) -> list[list[str]]:
    """Numbers of the parts that decide most, each with its source."""
    parts: list[Part] = [use.part for use in build.modules]
    parts += [build.motor.part, build.blade.part]
    parts += [build.guard.element] if build.guard.element is not None else []
    rows = []
    for part in parts:
        kind = next(name for name, maker in MAKERS.items() if maker is type(part))
        for field, how in FIELDS[kind].items():
            value = getattr(part, field)
            if isinstance(value, Spread):
                rows.append([f"{part.name}: {field}", show_spread(value, how.kind), part.sources.get(field, "given")])
    return rows


def _fire_plan(build: Build) -> list[str]:
    """What to do on the first fire."""
    guard = build.guard.kind != "none"
    stop = build.stove.worst_plate.value - ZERO
    limit = build.face_limit - ZERO
    rows = [
        "Two people, gloves, tongs and a stone slab ready, children and animals out, carbon monoxide alarm tried.",
        "Thermometer on the plate 10 cm beside the foot, under a washer; a second one in a hole of the hot plate or riser top, as "
        "near the modules as can be. An infrared thermometer reads bare metal far too low: black a spot with stove paint.",
        "Fan on the cold stove. A small fire. Read every five minutes; write down at which plate temperature the blade starts.",
        f"Never let the place beside the modules pass {limit:.0f} °C, their limit. At 20 K below that: fan off, onto the stone.",
        "Let the fire die; write down at which plate temperature the blade stops. Cold again: tighten the screws once more.",
    ]
    if guard:
        rows.insert(
            4,
            "Only then a stronger fire: write down at which plate temperature the guard lifts, the gap (feelers, drill shanks), and "
            f"where it sits back. Do not go to {stop:.0f} °C to try it; slow the fire as soon as it has lifted.",
        )
    return rows


def content(
    judged: Verdict,
    sections: Sequence[Section],
    pictures: Sequence[tuple[str, str]],
    sheets: Sequence[str] = (),
    bands: Bands | None = None,
    photos: int = 0,
) -> dict[str, Any]:
    """Everything the template sets.

    Args:
        judged: the build's verdict.
        sections: topics of the shop, in order.
        pictures: caption and SVG of each picture.
        sheets: SVG of each true-scale sheet, one page each.
        bands: between what 19 in 20 lie, by key of `figures`; single figures are shown when None.
        photos: how many photos go with it.

    Returns:
        Plain data.
    """
    build, solved = judged.build, judged.solved
    hand = build.hand_on
    wiring = next((str(one.data["diagram_svg"]) for one in sections if "diagram_svg" in one.data), "")
    return {
        "name": build.name,
        "says": build.says,
        "maker": hand.maker,
        "made_by": f"hobwind {__version__}, build {digest(build)}",
        "sentence": judged.sentence,
        "figures": _key_rows(solved, bands),
        "banded": bands is not None,
        "judges": JUDGES,
        "findings": [{"severity": f.severity, "says": f.says, "mend": f.mend, "source": f.source} for f in judged.findings],
        "margins": [
            [m.part, f"{m.peak - ZERO:.0f} °C", f"{m.limit - ZERO:.0f} °C", f"{m.margin:.0f} K", m.source]
            for m in judged.margins
        ],
        "bench_findings": [
            {"title": one.title, "says": text} for one in sections for text in one.findings if not text.startswith("advice")
        ],
        "cautions": judged.cautions,
        "limits": judged.notes,
        "pictures": [{"caption": caption, "svg": svg} for caption, svg in pictures],
        "sheets": list(sheets),
        "topics": [
            {
                "title": one.title,
                "lines": _lines(one),
                "findings": list(one.findings),
                "svg": wiring if one.key == "wiring" else "",
            }
            for one in sections
        ],
        "fire_plan": _fire_plan(build),
        "expected": [_expected(point) for point in solved.at.from_rest],
        "reading_rows": READING_ROWS,
        "values": [[one.place, one.text, one.origin] for one in build.records if one.text],
        "part_values": _part_values(build),
        "notes": [text for text in re.split(r"\n\s*\n", hand.notes) if text.strip()],
        "terms": hand.terms,
        "photos": [f"photo-{i + 1}.jpg" for i in range(photos)],
    }
