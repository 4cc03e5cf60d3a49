"""The JSON Schemas of what `hobwind guards` and `hobwind faults` print."""

from __future__ import annotations

from .shape_words import Schema, count, figure, made_by, name, one_of, rows, text, texts, thing, whole, yes_no
from .studies.drill_signs import SIGNS
from .studies.guarded import AS_IT_STANDS, SIMPLE

NOT_LIFTED = "when it never lifts, or does not sit back"


def _column(says: str) -> Schema:
    return {"description": f"{says}, in °C.", "type": "array", "items": {"type": "number"}, "minItems": 2}


def guards() -> Schema:
    """What `hobwind guards BUILD --json` prints."""
    return whole(
        "hobwind guards",
        "Every kind of guard, sized for one build and judged side by side",
        {
            "made_by": made_by(),
            "name": name(),
            "sizes_tried": count("How many sizes were tried"),
            "guards": rows(
                f"The kinds of guard; the first is the build's own ({AS_IT_STANDS}) where it has one",
                {
                    "kind": one_of("Kind of guard", SIMPLE),
                    "says": text("Its sizes"),
                    "parts": texts("Parts to find for it"),
                    "keys": texts("Lines of the build file that carry it out"),
                    "starts_at_plate_degC": figure("Plate at which the blade first turns", "°C", "when it never starts"),
                    "air_at_200_degC_m3_per_h": figure(
                        "Air, settled on a plate of 200 °C", "m³/h", "where it hunts there", 0.0
                    ),
                    "usual_peak_face_degC": figure("Hottest module face of the usual evening", "°C"),
                    "fired_peak_face_degC": figure("Hottest module face of the over-fired evening", "°C"),
                    "minutes_above_limit": figure(
                        "How long a face is above its limit in the over-fired evening", "minutes", least=0.0
                    ),
                    "lifts_fired": count("Lifts in the over-fired evening"),
                    "lifts_usual": count("Lifts in the usual evening"),
                    "hunts": yes_no("Whether it lifts and drops again and again on a plate that does not cool"),
                    "lifts_at_plate_degC": figure("Plate at which it first lifts", "°C", NOT_LIFTED),
                    "lifts_at_held_plate_degC": figure("Lowest plate that, held for hours, leaves it lifted", "°C", NOT_LIFTED),
                    "sits_back_at_plate_degC": figure("Plate at which the seat last closes", "°C", NOT_LIFTED),
                    "force_in_hand_N": figure(
                        "Force of the weakest element of its sort less weight, spring and friction", "N", "without an element"
                    ),
                    "tip_margin_deg": figure("Further slope it bears before it falls, down or lifted", "degrees"),
                    "nearest_its_limit": text("The part nearest its limit, settled or in the over-fired evening"),
                    "margin_K": figure("Limit of that part less its peak", "K"),
                    "harmed_by": {
                        "description": "Single faults that take a part past its limit in the over-fired evening; null where "
                        "one passes it with nothing wrong.",
                        "type": ["array", "null"],
                        "items": {"type": "string"},
                    },
                    "against": texts("What stands against it; none when it can be recommended"),
                    "worst_plate_degC": _column("Hottest plate of several over-fired evenings"),
                    "peak_face_degC": _column("Hottest module face in each of them"),
                },
            ),
            "recommended": {
                "description": "Kind of guard that is recommended; null when none serves.",
                "enum": [*SIMPLE, None],
            },
            "reason": text("Why"),
        },
    )


def _fate() -> dict[str, Schema]:
    return {
        "lives": yes_no("Whether every part stays below its limit in the over-fired evening"),
        "nearest_its_limit": text("The part nearest its limit, or furthest past it"),
        "margin_K": figure("Limit of that part less its peak", "K", "when it is the travel of the wax element"),
        "travel_left_mm": figure("How much further the wax element could push", "mm", "when another part is nearer its limit"),
        "peak_face_degC": figure("Hottest module face", "°C"),
        "minutes_above_limit": figure("How long a face is above its limit", "minutes", least=0.0),
    }


def faults() -> Schema:
    """What `hobwind faults BUILD --json` prints."""
    never = "when no part passes its limit"
    return whole(
        "hobwind faults",
        "One thing after another going wrong in the over-fired evening",
        {
            "made_by": made_by(),
            "name": name(),
            "healthy": thing("With nothing wrong", _fate()),
            "singles": rows(
                "One fault at a time",
                {
                    "fault": text("Its name"),
                    "assumed": text("What is assumed of it"),
                    "source": text("Where that is from: a key of docs/sources.md"),
                    **_fate(),
                    "limit_time_s": figure("When the first part passes its limit", "s", never, 0.0),
                    "signs": rows(
                        "What shows it, the earliest first",
                        {
                            "sign": one_of("The sign", tuple(says for says, _ in SIGNS)),
                            "time_s": figure("When it has shown long enough to be noticed", "s", least=0.0),
                            "minutes_before_limit": figure(
                                "How long before the limit that is, below zero when after it", "minutes", never
                            ),
                        },
                    ),
                    "harmless_by": {
                        "description": "A change that was tried and makes it harmless; null when it is, or none was found.",
                        "type": ["string", "null"],
                    },
                    "keys": texts("Lines of the build file that carry the change out"),
                },
            ),
            "pairs": rows("Two faults at a time, one of them the guard's", {"faults": texts("Names of both"), **_fate()}),
        },
    )
