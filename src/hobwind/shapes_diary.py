"""The JSON Schema of what `hobwind diary show --json` prints."""

from __future__ import annotations

from .diary.causes import CAUSES, VALUES
from .shape_words import Schema, count, figure, one_of, rows, text, texts, thing, whole, yes_no


def _when(says: str) -> Schema:
    return figure(f"{says}, seconds since 1970 (UTC)", "s")


def diary() -> Schema:
    """What `hobwind diary show --json` prints."""
    none = "where it was neither measured nor computed"
    number = count("Number of the row in the diary")
    courses = rows(
        "Each value that was found often enough; figures in the unit at the end of its name",
        {
            "name": one_of("Which value", tuple(VALUES)),
            "says": text("What it is"),
            "first": figure("What the first look found", "the value's unit"),
            "last": figure("What the last look found", "the value's unit"),
            "a_year": figure("Change in a year", "the value's unit"),
            "half_a_year": figure("Half of what 19 in 20 lie between", "the value's unit", None, 0.0),
            "of_alarm": figure("Height of its running sum over the one that alarms", "parts of 1", None, 0.0),
        },
    )
    suspects = rows(
        "Causes, the one that explains most first",
        {
            "cause": one_of("Which cause", tuple(CAUSES)),
            "says": text("The same in words"),
            "explains": figure("How much likelier it makes what was found, as a natural logarithm", "parts of 1", None, 0.0),
            "size": figure("How far it has gone, 1 being plainly there", "parts of 1"),
        },
    )
    health = thing(
        "What the looks say of the fan's health",
        {
            "changed": yes_no("Whether anything has changed beyond chance"),
            "told": {"description": "The cause that is sure enough to be named; null when none is.", "enum": [*CAUSES, None]},
            "suspects": suspects,
            "courses": courses,
            "check": text("What to check next"),
            "next_look_s": _when("When to look again"),
            "spares": texts("Parts on hand that would fit"),
        },
        "with fewer than three looks since the fan was last changed, or without its build",
    )
    return whole(
        "hobwind diary show",
        "One fan's winters",
        {
            "made_by": thing("What made this", {"hobwind": text("Version of hobwind"), "layout": count("Layout of the diary")}),
            "fan": text("Name of the fan"),
            "builds": rows(
                "Builds as they were",
                {
                    "id": number, "digest": text("Mark of the build", pattern="^[0-9a-f]{16}$"), "kept_s": _when("When it was kept"),
                    "made_by": text("Version of hobwind that kept it"),
                },
            ),
            "trials": rows("Trials", {"id": number, "taken_s": _when("When"), "says": text("Its verdict", 0)}),
            "logs": rows(
                "Logs",
                {
                    "id": number, "began_s": _when("First row"), "ended_s": _when("Last row"), "rows": count("Rows"),
                    "unread": count("Lines that could not be read"), "source": text("Where it came from"),
                },
            ),
            "evenings": rows(
                "Evenings lit",
                {
                    "began_s": _when("When the plate was lit"), "ended_s": _when("When it was out"),
                    "face_from": one_of("Where the face's temperature is from", ("measured", "computed", "none")),
                    "peak_plate_degC": figure("Hottest plate", "°C"), "peak_face_degC": figure("Hottest hot face", "°C", none),
                    "limit_degC": figure("Limit of the hot face", "°C", "without a build"),
                    "minutes_above_limit": figure("How long the face was above it", "minutes", none, 0.0),
                },
            ),
            "cycles": rows(
                "Cycles of the hot face by depth",
                {
                    "depth_from_K": figure("From this depth", "K", None, 0.0), "depth_to_K": figure("To below this", "K", None, 0.0),
                    "count": figure("How many, halves too", "cycles", None, 0.0),
                },
            ),
            "services": rows(
                "What was done", {"id": number, "done_s": _when("When"), "work": text("Work"), "says": text("In words", 0)}
            ),
            "photos": rows(
                "Photos",
                {
                    "id": number, "taken_s": _when("When"), "says": text("What it shows", 0),
                    "kind": one_of("Kind of file", ("jpg", "png")), "bytes": count("Its size"),
                },
            ),
            "looks": count("Looks since the fan was last changed"),
            "health": health,
        },
    )  # fmt: skip
