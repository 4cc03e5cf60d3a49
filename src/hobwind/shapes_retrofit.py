"""The JSON Schema of what `hobwind retrofit` prints."""

from __future__ import annotations

from .build.retrofit_file import GRADES, SIGNS
from .shape_words import Schema, count, figure, made_by, name, one_of, rows, text, texts, thing, whole, yes_no
from .studies.guarded import SIMPLE
from .studies.retrofit import CLOSED, DRILLED, OPENED
from .studies.retrofit_causes import CAUSES
from .studies.retrofit_tuning import WORDS

NOT = "where it does not fit"
NEVER = "where it never comes about"


def _bands() -> Schema:
    figures = (
        ("starts_at_plate_degC", "plate at which it starts", "°C"),
        ("air_m3_per_h", "air on the usual plate", "m³/h"),
        ("hottest_face_degC", "hottest face when over-fired", "°C"),
    )
    ends = {"low": "All but 1 in 40 lie above", "middle": "Half lie above", "high": "All but 1 in 40 lie below"}
    return thing(
        "The unguarded fan thrown within its spreads, its modules whole",
        {f"{end}_{key}": figure(f"{says}: {what}", unit, NEVER) for key, what, unit in figures for end, says in ends.items()},
    )


def _seen() -> Schema:
    ends = {"seen": "As it was read", "before": "As the rules have it", "after": "As tuned"}
    degrees = {f"{end}_degC": figure(says, "°C", "of a speed") for end, says in ends.items()}
    turns = {f"{end}_rpm": figure(says, "turns a minute", "of a temperature") for end, says in ends.items()}
    return rows(
        "Every reading beside the build",
        {"plate_degC": figure("Plate", "°C"), "what": one_of("What was read", tuple(WORDS)), **degrees, **turns},
    )


def _logs() -> Schema:
    hot = {
        "read_degC": figure("As it was read", "°C", "of a speed"),
        "rest_degC": figure("As it would be at rest", "°C", "of a speed"),
        "off_K": figure("What that may be off, 19 in 20", "K", "of a speed", 0.0),
    }
    spins = {
        "read_rpm": figure("As it was read", "turns a minute", "of a temperature"),
        "rest_rpm": figure("As it would be at rest", "turns a minute", "of a temperature"),
        "off_rpm": figure("What that may be off, 19 in 20", "turns a minute", "of a temperature", 0.0),
    }
    stretches = {
        "start_min": figure("Begins so long after the log", "min"),
        "stop_min": figure("Ends so long after the log's beginning", "min"),
        "plate_degC": figure("Plate, the mean", "°C"),
        "slope_K_per_min": figure("How fast the plate moves", "K/min"),
        "lag_K": figure("How far the fan lags behind rest at most", "K", None, 0.0),
        "turns": yes_no("Whether the blade turned"),
        "told": rows("What was read", {"what": one_of("Where", tuple(WORDS)), **hot, **spins}),
    }
    return rows(
        "Logs of real fires, and what was taken of each",
        {
            "name": text("Name of the file"),
            "room_degC": figure("Room of that evening", "°C", "where the log does not tell it"),
            "room_from": text("How the room is known"),
            "turning_from": text("How it is known whether the blade turned"),
            "stretches": rows("Stretches near enough to rest", stretches),
        },
    )


def retrofit() -> Schema:
    """What `hobwind retrofit FAN --json` prints."""
    return whole(
        "hobwind retrofit",
        "A fan known from outside: its inside, what killed its modules, which fit, and a guard that bolts on",
        {
            "made_by": made_by(True),
            "name": name(),
            "logs": _logs(),
            "stove": texts("What the logs told of the stove's evenings where the file does not say"),
            "rules": texts("How what cannot be seen was found"),
            "sink_base_asked_mm": figure("Thickness of the sink's base that the weight asks for", "mm"),
            "tuned": rows(
                "Inputs moved to match what was seen, two at most",
                {"place": text("Key in the build file"), "says": text("What it is"), "now": text("Its value now")},
            ),
            "seen": _seen(),
            "bands": _bands(),
            "death": thing(
                "What killed the modules",
                {
                    "signs": {
                        "description": "What they show.", "type": "array", "items": {"enum": list(SIGNS)},
                    },
                    "peak_face_degC": figure("Hottest face of the unguarded over-fired evening", "°C"),
                    "limit_degC": figure("Rated hot face of the old modules", "°C"),
                    "solder_degC": figure("Melting point of their solder", "°C"),
                    "past_limit": figure("Share of thrown fans past the rating", "parts of 1", None, 0.0),
                    "past_solder": figure("Share of thrown fans past the solder", "parts of 1", None, 0.0),
                    "causes": rows(
                        "Causes, the likeliest first; none where no sign was given",
                        {
                            "code": one_of("Its short name", tuple(cause.code for cause in CAUSES)),
                            "says": text("What happened"),
                            "mend": text("What helps against it"),
                            "share": figure("Its chance among these", "parts of 1", None, 0.0),
                        },
                    ),
                },
            ),
            "modules": rows(
                "Catalogue modules in place of the old ones, the fitting first",
                {
                    "name": text("Name of the module"),
                    "count": count("How many"),
                    "against": text("Why it does not fit, empty where it does", 0),
                    "thicker_mm": figure("New less old thickness: so much longer a pin held above must be", "mm"),
                    "screw_left_mm": figure("Thread in hand after that", "mm", "where it was not measured"),
                    "hot_limit_degC": figure("Rated hot face", "°C"),
                    "solder_degC": figure("Melting point of its solder", "°C"),
                    "grade": one_of("Made as", GRADES),
                    "starts_at_plate_degC": figure("Plate at which it starts", "°C", NOT),
                    "start_change_K": figure("Later than with the old ones when whole", "K", NOT),
                    "air_change_m3_per_h": figure("More air on the usual plate", "m³/h", NOT),
                    "peak_face_degC": figure("Hottest face when over-fired, no guard", "°C", NOT),
                    "margin_K": figure("Limit of the part nearest its own less its peak", "K", NOT),
                    "nearest_its_limit": text("That part, empty where it does not fit", 0),
                    "leads_margin_K": figure("What the leads' sleeve has in hand", "K", NOT),
                },
            ),
            "guards": rows(
                "Every kind of guard, sized for the reduced build",
                {
                    "kind": one_of("Kind of guard", SIMPLE),
                    "asks": one_of("What it asks of the fan", (*CLOSED, DRILLED, OPENED)),
                    "says": text("Its sizes"),
                    "parts": texts("Parts to find for it"),
                    "keys": texts("Lines of the build file that carry it out"),
                    "starts_at_plate_degC": figure("Plate at which the blade first turns", "°C", "when it never starts"),
                    "margin_K": figure("Limit of the part nearest its own less its peak", "K"),
                    "nearest_its_limit": text("That part"),
                    "against": texts("What stands against it"),
                },
            ),
            "recommended": {
                "description": "The guard recommended among those that leave the fan closed; null when none serves.",
                "enum": [*SIMPLE, None],
            },
            "reason": text("Why"),
            "guarded_face_over_limit": figure(
                "Share of thrown fans with that guard whose face passes its limit", "parts of 1", "without one", 0.0
            ),
            "build": text("The reduced build as a build file"),
        },
    )  # fmt: skip
