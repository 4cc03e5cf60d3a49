"""The JSON Schema of what `hobwind trial --json` prints."""

from __future__ import annotations

from .shape_words import Schema, bare, count, figure, made_by, name, one_of, rows, text, texts, thing, whole, yes_no
from .trial.channels import CHANNELS, NOTE, ROOM
from .trial.columns import LEFT, TIME

OWN = "the channel's unit"


def _list(says: str, unit: str) -> Schema:
    return {"description": f"{says}, in {unit}, one for each point.", "type": "array", "items": bare(figure("", unit))}


def trial() -> Schema:
    """What `hobwind trial --json` prints."""
    return whole(
        "hobwind trial",
        "What a real fire showed, beside what was predicted",
        {
            "made_by": made_by(),
            "name": name(),
            "logs": rows(
                "The logs, the first with the plate",
                {
                    "name": text("File it was read from"),
                    "digest": text("Mark of the file: it changes when any byte does", pattern="^[0-9a-f]{16}$"),
                    "date": text("Day it begins, as 2026-01-14; empty where no date is given", 0),
                    "lines": count("Lines below the header"),
                    "offset_s": figure("Added to its times to make them the first log's", "s"),
                    "columns": rows(
                        "What its columns are",
                        {
                            "header": text("Header of the column"),
                            "channel": one_of("What it holds", (TIME, *CHANNELS, ROOM, NOTE, LEFT)),
                            "unit": text("Unit; empty where it has none", 0),
                            "why": text("Why it was taken so", 0),
                        },
                    ),
                    "left_out": rows(
                        "Lines or cells that were not used",
                        {"line": count("Number of the line"), "says": text("What is wrong")},
                    ),
                    "gaps": rows(
                        "Times without lines", {"from_s": figure("Last line before", "s"), "to_s": figure("First after", "s")}
                    ),
                },
            ),
            "shown": rows(
                "What the fire showed",
                {
                    "code": text("What it is, in one word"),
                    "says": text("The same in words"),
                    "value": figure("Figure", "the unit beside it", "where words alone tell it"),
                    "half": figure("How far it may be off, 19 in 20", "the unit beside it, K for degC", "where not known", 0.0),
                    "unit": one_of("Unit", ("degC", "K")),
                },
            ),
            "not_shown": texts("What the fire did not show"),
            "next_fire": text("The next fire to light, attended"),
            "cautions": texts("What to mind at it"),
            "channels": rows(
                "Measured on predicted",
                {
                    "channel": one_of("What was measured", tuple(CHANNELS)),
                    "unit": one_of("Unit", ("degC", "rpm", "A", "V", "mm")),
                    "usual_difference": figure("Usual difference, measured less predicted", OWN, None, 0.0),
                    "lasting_difference": figure("Difference while it lasts", OWN, "where none lasts"),
                    "since_s": figure("Since when it lasts", "s", "where none lasts"),
                    "inside": count("Points in the 19-in-20 band"),
                    "time_s": _list("Times of the points", "s"),
                    "measured": _list("Measured", OWN),
                    "predicted": _list("Predicted with everything as guessed", OWN),
                    "low": _list("Lower end of the 19-in-20 band", OWN),
                    "high": _list("Upper end of the 19-in-20 band", OWN),
                },
            ),
            "causes": rows(
                "Causes tried, the one that explains most first",
                {
                    "code": text("Which cause, in one word"),
                    "says": text("The same in words"),
                    "share": figure("Share of what is off that it explains", "parts of 1"),
                    "likely": yes_no("Whether it is named; several are where they cannot be told apart"),
                },
            ),
            "fit": thing(
                "The guesses corrected",
                {
                    "settled": yes_no("Whether the search came to its end"),
                    "evenings": count("Evenings it took"),
                    "logs": count("Evenings of the fan that were fitted together"),
                    "walk_steps": figure("Steps of each walk", "steps", "where nothing was walked", 0.0),
                    "usual_before": figure("Usual difference before", "spreads of a point", None, 0.0),
                    "usual_after": figure("Usual difference now", "spreads of a point", None, 0.0),
                    "unknowns": rows(
                        "Everything that was moved, the most narrowed first",
                        {
                            "name": text("What it is called"),
                            "places": texts("Every place of the build where it stands; empty for a sensor"),
                            "before": figure("What was guessed before", "SI units"),
                            "half_before": figure("How far that may be off, 19 in 20", "SI units", None, 0.0),
                            "after": figure("What the fire says", "SI units"),
                            "half_after": figure("How far that may be off, 19 in 20", "SI units", None, 0.0),
                            "left": figure("Share of the spread that is left", "parts of 1", None, 0.0),
                            "goes_with": text("What it goes together with most", 0),
                            "closely": figure("How closely", "parts of 1", None, 0.0),
                            "told": yes_no("Whether the trial tells it"),
                            "why_not": text("Why not; empty where it does", 0),
                            "ends": {
                                "description": "Between what 19 in 20 steps of the walks lay, in SI units; null where nothing was walked.",
                                "type": ["array", "null"],
                                "items": bare(figure("", "SI units")),
                                "minItems": 2,
                                "maxItems": 2,
                            },
                        },
                    ),
                },
                "unless --fit is given",
            ),
            "foretold": thing(
                "What the fit foretold without having seen it",
                {
                    "log": text("Evening that was foretold"),
                    "points": count("Points compared"),
                    "inside": count("Points in the 19-in-20 band"),
                },
                "unless --hold-back or --foretell is given",
            ),
        },
    )
