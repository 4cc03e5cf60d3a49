"""The JSON Schema (draft 2020-12) of everything that `--json` prints; `make docs` writes them to docs/schemas.

Every key is always there. A figure that never came about is null, and its description says when.
"""

from __future__ import annotations

from .build.assemble import GUARD_KINDS
from .parts.catalogue import BESIDE, CATALOGUE, KINDS, USERS
from .shape_words import Schema, bare, column, count, figure, made_by, name, one_of, rows, text, texts, thing, whole, yes_no
from .shapes_bench import bench
from .shapes_bin import SHAPES as BIN_SHAPES
from .shapes_diary import diary
from .shapes_guarding import faults, guards
from .shapes_odds import odds, worth
from .shapes_retrofit import retrofit
from .shapes_shop import shop
from .shapes_trial import trial
from .stack.evening import EVENT_NAMES, Outcome
from .stack.network import SAYS
from .stack.steady import BRANCHES, Rest
from .studies.telling import SEVERITIES

NO_NUMBER = "where the fan does not come to rest"
SOURCE = "Where it is from: a key of docs/sources.md, exact for plain sums, or given for a figure of your own"


def _hunting(null: str) -> Schema:
    return thing(
        "How the guard lifts and drops again and again on a plate that does not cool",
        {
            "lifts": count("How many lifts follow one another so"),
            "hot_face_low_degC": figure("Coolest the hottest module face gets in between", "°C"),
            "hot_face_high_degC": figure("Hottest the hottest module face gets in between", "°C"),
            "period_s": figure("Mean time from one lift to the next", "s", least=0.0),
        },
        null,
    )


def _point() -> dict[str, Schema]:
    """The keys of one settled state."""
    return {
        "plate_degC": figure("Temperature of the stove plate away from the fan", "°C"),
        "branch": one_of("from_rest: reached on a slowly warming plate; running_down: on a slowly cooling one", BRANCHES),
        "outcome": one_of(
            "How the search for rest ended; unless it is settled, the figures beside it are null, because a balance that "
            "does not last is not what the fan will show",
            tuple(one.value for one in Rest),
        ),
        "hot_face_degC": figure("Hottest hot face of any module", "°C", NO_NUMBER),
        "cold_face_degC": figure("Hottest cold face of any module", "°C", NO_NUMBER),
        "sink_degC": figure("Temperature of the sink's base", "°C", NO_NUMBER),
        "seat_heat_W": figure("Heat through the seat, from plate to foot", "W", NO_NUMBER),
        "module_heat_W": figure("Heat into the hot faces of all modules", "W", NO_NUMBER),
        "electric_W": figure("Electric power of all modules", "W", NO_NUMBER),
        "motor_V": figure("Volts at the motor's terminals", "V", NO_NUMBER),
        "current_A": figure("Current through the motor", "A", NO_NUMBER),
        "speed_rpm": figure("Speed of the blade", "turns a minute", NO_NUMBER, 0.0),
        "air_m3_per_h": figure("Air through the blade's circle", "m³/h", NO_NUMBER, 0.0),
        "breeze_1m_m_per_s": figure("Speed of the air one metre in front of the blade", "m/s", NO_NUMBER, 0.0),
        "gap_mm": figure("Mean gap under the foot, zero when it sits", "mm", NO_NUMBER, 0.0),
        "guard": one_of("Whether the guard holds the fan up", ("up", "down")),
        "margin_K": figure("Smallest limit less hot face of any module, negative above the limit", "K", NO_NUMBER),
        "balance_W": figure("Heat in less heat out and stored: how well the sums close, zero when they do", "W", NO_NUMBER),
    }


def _guard() -> Schema:
    never = "when it never does"
    return thing(
        "When the guard lifts the fan and lets it sit back",
        {
            "kind": one_of("Kind of guard", GUARD_KINDS),
            "lifts_at_plate_degC": figure("Plate at which it first lifts in the over-fired evening", "°C", never),
            "lifts_at_held_plate_degC": figure("Lowest plate that, held for hours, leaves it lifted", "°C", never),
            "sits_back_at_plate_degC": figure("Plate at which it last sits back in the over-fired evening", "°C", never),
            "lifts_usual": count("Number of lifts in the usual evening"),
            "lifts_over_fired": count("Number of lifts in the over-fired evening"),
            "hunts": yes_no("Whether it lifts and drops on a plate that does not cool, in either evening"),
            "hunting": _hunting("when it hunts in neither evening"),
        },
    )


def _margins() -> Schema:
    return rows(
        "Every part that has a limit, the smallest margin first",
        {
            "part": text("Which part"),
            "limit_degC": figure("The hottest it can bear", "°C"),
            "peak_degC": figure("The hottest it gets", "°C"),
            "margin_K": figure("Limit less peak, negative above the limit", "K"),
            "where": text("Where it gets that hot: the over-fired evening, or settled on a plate whose temperature is named"),
            "source": text(f"{SOURCE}; of the limit"),
        },
    )


def _ledger() -> Schema:
    return thing(
        "Where the stove's heat goes at the usual plate",
        {
            "plate_degC": figure("The usual plate", "°C"),
            "entries": rows(
                "The first is the heat that comes in; the others add up to it",
                {
                    "says": text("Which heat"),
                    "heat_W": figure("That heat", "W", NO_NUMBER),
                    "past_the_modules": yes_no("Whether this heat misses the modules and so makes no power"),
                },
            ),
            "onward": rows(
                "What becomes of the heat and power of the modules",
                {"says": text("Which heat or power"), "heat_W": figure("That heat or power", "W", NO_NUMBER)},
            ),
        },
    )


def _findings() -> Schema:
    return rows(
        "What there is to say about the build",
        {
            "severity": one_of(
                "danger: a part passes its limit or a person can be hurt; fault: it does not do its job; advice: better "
                "is possible",
                SEVERITIES,
            ),
            "code": text("Short name of the finding, the same in every version of this shape", pattern="^[a-z-]+$"),
            "says": text("The finding, with its figures"),
            "mend": text("What to do about it", 0),
            "mend_keys": texts('Lines of the build file that carry the mend out as it was tried, such as guard.stop = "2 mm"'),
            "source": text(SOURCE),
        },
    )


def check() -> Schema:
    """What `hobwind check BUILD --json` prints."""
    never_starts, never_stops = "when it never starts", "when it never stops"
    return whole(
        "hobwind check",
        "Everything known about one build: when it turns, how hot it gets, what to mend",
        {
            "made_by": made_by(),
            "name": name(),
            "sentence": text("The verdict in one sentence"),
            "starts_at_plate_degC": figure("Plate at which the blade first turns in the usual evening", "°C", never_starts),
            "starts_at_slow_plate_degC": figure(
                "Lowest plate at which the blade turns when the plate warms slowly", "°C", never_starts
            ),
            "stops_at_plate_degC": figure("Plate at which the blade last stops in the usual evening", "°C", never_stops),
            "stops_at_slow_plate_degC": figure(
                "Lowest plate at which the blade still turns when the plate cools slowly", "°C", "when it never turned"
            ),
            "at_plate": rows(
                "Settled states at the plates asked for, both branches of each",
                _point() | {"hunting": _hunting("when the fan comes to rest on this plate")},
            ),
            "usual_plate": thing("Settled state at the usual plate", _point()),
            "hottest_face_degC": figure(
                "Hottest module face, up to the worst plate and in the over-fired evening", "°C", NO_NUMBER
            ),
            "hottest_face_where": text("Where that is: the over-fired evening, or settled on a named plate"),
            "limit_reached_at_plate_degC": figure(
                "Lowest settled plate at which a module face is at its limit", "°C", "when none gets there"
            ),
            "minutes_above_limit": figure(
                "How long a module face is above its limit in the over-fired evening", "minutes", least=0.0
            ),
            "guard": _guard(),
            "margins": _margins(),
            "heat_ledger": _ledger(),
            "findings": _findings(),
            "notes": texts("Where a formula was used outside the range it was measured in"),
            "cautions": texts("What to mind when building and firing"),
        },
    )


def evening() -> Schema:
    """What `hobwind evening BUILD --json` prints."""
    return whole(
        "hobwind evening",
        "One evening over time, from a cold stove",
        {
            "made_by": made_by(),
            "name": name(),
            "evening": text("Name of the fire", 0),
            "outcome": one_of("How the evening ended; only finished has every figure", tuple(o.value for o in Outcome)),
            "time_s": {
                "description": "Times that were kept, in s, evenly apart.",
                "type": "array",
                "items": {"type": "number"},
                "minItems": 1,
            },
            "plate_degC": column("Stove plate away from the fan", "°C"),
            "hot_face_degC": column("Hottest hot face of any module", "°C"),
            "cold_face_degC": column("Hottest cold face of any module", "°C"),
            "sink_degC": column("Sink's base", "°C"),
            "element_degC": column("Wax element of the guard, all null without one", "°C"),
            "gap_mm": column("Mean gap under the foot, zero when it sits", "mm", 0.0),
            "speed_rpm": column("Speed of the blade", "turns a minute", 0.0),
            "air_m3_per_h": column("Air through the blade's circle", "m³/h", 0.0),
            "electric_W": column("Electric power of all modules", "W"),
            "starts_at_plate_degC": figure("Plate at which the blade first turns", "°C", "when it never starts"),
            "stops_at_plate_degC": figure("Plate at which the blade last stops", "°C", "when it never stops"),
            "peak_hot_face_degC": figure("Hottest module face of the evening", "°C", NO_NUMBER),
            "peak_time_s": figure("When the hottest module face is met", "s", NO_NUMBER),
            "minutes_above_limit": figure("How long a module face is above its limit", "minutes", least=0.0),
            "minutes_turning": figure("How long the blade turns", "minutes", least=0.0),
            "lifts": count("Number of lifts by the guard"),
            "events": rows(
                "What happened, in order",
                {
                    "time_s": figure("When", "s"),
                    "what": one_of("starts and stops: the blade; lifts and sits back: the guard", tuple(EVENT_NAMES.values())),
                    "plate_degC": figure("Plate at that moment", "°C"),
                    "element_degC": figure("Wax element at that moment", "°C", "without a guard"),
                },
            ),
            "hunting": _hunting("when the guard does not hunt"),
        },
    )


def network() -> Schema:
    """What `hobwind network BUILD --json` prints."""
    return whole(
        "hobwind network",
        "One settled state as nodes with temperatures and links with watts",
        {
            "made_by": made_by(),
            "name": name(),
            "plate_degC": figure("Stove plate away from the fan", "°C"),
            "outcome": one_of("How the search for rest ended", (Rest.SETTLED.value, Rest.HUNTS.value)),
            "nodes": rows(
                "Every place that has a temperature",
                {
                    "node": text("Name of the node, used by the links"),
                    "temperature_degC": figure("Its temperature", "°C"),
                    "left_over_W": figure(
                        "Heat in less heat out, zero at rest", "W", "for plate, air and room, whose temperatures are given"
                    ),
                },
            ),
            "links": rows(
                "Every path of heat or power",
                {
                    "from": text("Node it leaves, or one of words"),
                    "to": text("Node it reaches, or one of words"),
                    "says": text("What the path is"),
                    "heat_W": figure("Heat or power along it, negative when it flows the other way", "W"),
                    "conductance_W_per_K": figure(
                        "Watts over temperature difference, negative where the path also feels a third temperature",
                        "W/K",
                        "where an end has no temperature or both are equal",
                    ),
                    "formula": text("The law, in symbols"),
                    "source": text("Where the law is from: keys of docs/sources.md with commas between, or given"),
                },
            ),
            "words": thing(
                "What the names mean that are no part of the fan", {k: text(f"Means: {v}") for k, v in SAYS.items()}
            ),
        },
    )


def parts() -> Schema:
    """What `hobwind parts --json` prints."""
    one = {
        "value": text("The figure with its unit and its spread, 19 in 20; or a word"),
        "source": text(f"{SOURCE}; empty where none is named", 0),
    }
    numbers = {
        "description": "Figures by the names they have in a part file; which there are depends on the kind.",
        "type": "object",
        "propertyNames": {"pattern": "^[a-z][a-z0-9_]*$"},
        "additionalProperties": bare(thing("", one)),
    }
    return whole(
        "hobwind parts",
        "Parts within reach, with every figure and its source",
        {
            "made_by": thing("What made this list", {"hobwind": text("Version of hobwind")}),
            "parts": rows(
                "The parts, kind by kind",
                {
                    "kind": one_of("Kind of part", KINDS),
                    "name": text("What a build calls it"),
                    "origin": one_of("Where it was found", (BESIDE, USERS, CATALOGUE)),
                    "numbers": numbers,
                    "says": text("What it is", 0),
                    "caution": text("What to mind; empty where there is nothing", 0),
                },
            ),
        },
    )


SHAPES: dict[str, Schema] = {
    "check": check(),
    "evening": evening(),
    "network": network(),
    "parts": parts(),
    "bench": bench(),
    "guards": guards(),
    "faults": faults(),
    "retrofit": retrofit(),
    "odds": odds(),
    "worth": worth(),
    **BIN_SHAPES,
    "shop": shop(),
    "diary": diary(),
    "trial": trial(),
}
