"""The shapes of what `hobwind pick`, `follow` and `compare` print with `--json`."""

from __future__ import annotations

from typing import Any

from .build import FORMAT
from .build.bin_sections import KINDS
from .shape_words import Schema, bare, count, figure, one_of, rows, text, texts, thing, whole, yes_no
from .studies.report import SHAPE

NEVER = "where it never comes about"


def _made_by(more: dict[str, Schema]) -> Schema:
    return thing(
        "What made these figures",
        {
            "hobwind": text("Version of hobwind"),
            "format": {"description": "Version of the file format.", "const": FORMAT},
            **more,
        },
    )


def _seed() -> dict[str, Schema]:
    return {"seed": count("Seed of the order, and of the draw where there were too many")}


def _mark() -> Schema:
    return text("Mark of the build: it changes when any value of the build does", pattern="^[0-9a-f]{16}$")


def _fan() -> dict[str, Schema]:
    return {
        "build": _mark(),
        "parts": texts("What it is made of, modules first"),
        "buys": {
            "description": "Name of the part that has to be bought; null where everything is on hand.",
            "type": ["string", "null"],
        },
        "riser_length_mm": figure("Length the bar is used at", "mm", least=0.0),
        "starts_at_plate_degC": figure("Plate at which it turns on a usual evening", "°C", NEVER),
        "stops_at_plate_degC": figure("Plate at which it stops as the usual fire dies", "°C", NEVER),
        "air_usual_m3_per_h": figure("Air through the blade, settled on the usual plate", "m³/h", least=0.0),
        "hottest_face_degC": figure("Hottest module face, settled or over-fired", "°C"),
        "least_margin_K": figure("Smallest limit less temperature of any part", "K", "where no part has a limit"),
        "least_margin_part": text("The part of that margin"),
        "lifts_usual": count("Lifts of the guard in the usual evening"),
        "lifts_over_fired": count("Lifts of the guard in the over-fired evening"),
        "points": figure("Points beyond the wishes, by which fans that meet as many stand in order", "points"),
        "wishes": rows("Each wish", {"says": text("What is met, or what is wanting"), "met": yes_no("Whether it is met")}),
    }


def _chance(says: str) -> Schema:
    return thing(
        says,
        {
            "share": figure("Share of the thrown fans it happened to", "parts of 1", None, 0.0),
            "settled_to": figure("How far that may be off, 19 in 20", "parts of 1", None, 0.0),
            "throws": count("How many fans were thrown"),
        },
    )


def _odds(null: str) -> Schema:
    return thing(
        "The fan thrown within its spreads",
        {
            "face_over_limit": _chance("A module face passes its limit on the over-fired evening"),
            "starts_late": _chance("It does not start by the plate wished for"),
            "gamble": yes_no("Whether the first of these is likelier than 1 in 20"),
        },
        null,
    )


def pick() -> Schema:
    """What `hobwind pick BIN --json` prints."""
    return whole(
        "hobwind pick",
        "What a bin can become",
        {
            "made_by": _made_by(_seed()),
            "name": text("What the bin is called", 0),
            "possible": count("Combinations there are"),
            "tried": count("Combinations that were looked at: all, or as many as were drawn"),
            "fell": rows(
                "Combinations that cannot be made",
                {"reason": text("The first reason, in a fixed order"), "combinations": count("How many fell for it")},
            ),
            "fitting": count("Combinations that fit together"),
            "solved": count("Of these, how many were solved before it ended or was stopped"),
            "unsettled": count("Of these, how many found no rest"),
            "through_evenings": count("How many of the best went through evenings"),
            "in_full": count("How many of the best got a whole map"),
            "stopped": yes_no("Whether somebody stopped it"),
            "module_sets_left_out": count("Sets of more modules than wished that were not tried"),
            "answers": rows(
                "A few different answers, best first",
                {
                    **_fan(),
                    "beats_the_next_by": {
                        "description": "By what it stands before the next one; null for the last.",
                        "type": ["string", "null"],
                    },
                    "limited_by": text("The part that limits it, and what another one would bring"),
                    "odds": _odds("where it was stopped before"),
                    "dropped_behind": yes_no("Whether it ranks higher as written and fell back since it is a gamble"),
                },
            ),
            "purchases": rows(
                "Parts that may be bought, the best first",
                {
                    "name": text("Name of the part"),
                    "kind": one_of("Kind of part", KINDS),
                    "price": figure("Its price", "the money of the bin", least=0.0),
                    "worth_it": yes_no("Whether the best fan with it beats the best without, and is no more of a gamble"),
                    "best_with_it": thing("The best fan with it", _fan()),
                    "odds": _odds("where the best without it ranks higher"),
                },
            ),
            "too_dear": texts("Parts that cost more than the money"),
        },
    )


def _compared() -> dict[str, Schema]:
    sides = {"first": text("Of the first", 0), "second": text("Of the second", 0)}
    marks: Schema = {
        "description": "Marks of both builds.",
        "type": "array",
        "items": bare(_mark()),
        "minItems": 2,
        "maxItems": 2,
    }
    null = "where there is none"
    return {
        "made_by": _made_by({"builds": marks}),
        "names": texts("What both are called"),
        "parts": rows("Parts of both", {"part": text("Which part"), **sides, "differs": yes_no("Whether they differ")}),
        "figures": rows("What both lead to, as shown", {"figure": text("Which figure"), **sides}),
        "values": rows(
            "The same as numbers",
            {
                "key": text("Name of the figure; its ending is the unit"),
                "first": figure("Of the first", "the key's unit", null),
                "second": figure("Of the second", "the key's unit", null),
            },
        ),
    }


def compare() -> Schema:
    """What `hobwind compare A B --json` prints."""
    return whole("hobwind compare", "Two builds side by side", _compared())


def follow() -> Schema:
    """What `hobwind follow BUILD BIN --json` prints."""
    shape: dict[str, Any] = {
        "shape": {"description": "Version of this shape; it rises when a key changes its meaning or goes.", "const": SHAPE}
    }
    return whole(
        "hobwind follow",
        "Somebody's build with the parts on hand",
        {
            "made_by": _made_by(_seed()),
            "name": text("What their build is called", 0),
            "bin": text("What the bin is called", 0),
            "matches": rows(
                "Part by part",
                {
                    "part": text("Which part"),
                    "theirs": text("Theirs"),
                    "on_hand": text("What is on hand for it"),
                    "differences": texts("Differences in figures"),
                    "apart": figure(
                        "How far apart they are", "sums of logarithms; only good for ranking parts of one kind", least=0.0
                    ),
                },
            ),
            "let_go": texts("What could not be the nearest, since the nearest parts do not go together"),
            "do": texts("What to saw, wire, drill and set"),
            "sentence": text("The verdict of the rebuilt fan"),
            "dangers": yes_no("Whether a danger stands in it"),
            "compared": thing("Theirs on your stove beside yours", {**shape, **_compared()}),
        },
    )


SHAPES: dict[str, Schema] = {"pick": pick(), "follow": follow(), "compare": compare()}
