"""The JSON Schema of what `hobwind odds` and `hobwind worth` print."""

from __future__ import annotations

from .shape_words import Schema, count, figure, made_by, name, one_of, rows, text, texts, thing, whole
from .studies.odds_inputs import GROUPS
from .studies.odds_report import KEYS
from .studies.worth_changes import WORKS

LOOSE = "19 in 20, if the dice were thrown again"
NO_BAND = "where the figure never came about"
UNIT_OF = {
    "_degC": "°C", "_m3_per_h": "m³/h", "_m_per_s": "m/s", "_K": "K", "limit": "minutes", "lifts": "lifts",
}  # fmt: skip


def _unit(key: str) -> str:
    return next(unit for ending, unit in UNIT_OF.items() if key.endswith(ending))


def _band(key: str) -> Schema:
    unit = _unit(key)
    off = "K" if unit == "°C" else unit
    return thing(
        f"Band of {key.rsplit('_', 1)[0].replace('_', ' ')}, in {unit}",
        {
            "low": figure("Below it lies 1 in 40 of the thrown fans", unit, NO_BAND),
            "middle": figure("Half of them lie below", unit, NO_BAND),
            "high": figure("Above it lies 1 in 40", unit, NO_BAND),
            "as_written": figure("Of the build with every value as written", unit, NO_BAND),
            "low_settled_to": figure(f"How far the lower end may be off, {LOOSE}", off, NO_BAND, 0.0),
            "high_settled_to": figure(f"How far the upper end may be off, {LOOSE}", off, NO_BAND, 0.0),
            "never": figure("Share of the thrown fans in which it never came about", "parts of 1", None, 0.0),
        },
    )


def _figure_key() -> Schema:
    return one_of("Which figure", tuple(key for key, _, _ in KEYS.values()))


def odds() -> Schema:
    """What `hobwind odds --json` prints."""
    share = "Share of the figure's spread"
    none = "where the figure has no spread or is often missing"
    return whole(
        "hobwind odds",
        "How sure the figures of a build are",
        {
            "made_by": made_by(True),
            "name": name(),
            "fans": count("Fans thrown"),
            "evenings": count("Evenings they went through, a usual and an over-fired one each"),
            "judges": text("What these odds judge, and what the verdict judges besides"),
            "bands": thing("Between what 19 in 20 lie", {key: _band(key) for key, _, _ in KEYS.values()}),
            "chances": rows(
                "What may happen, the worst first",
                {
                    "code": text("What it is, in one word"),
                    "says": text("What happens"),
                    "share": figure("Share of the thrown fans it happened to", "parts of 1", None, 0.0),
                    "settled_to": figure(f"How far that may be off, {LOOSE}", "parts of 1", None, 0.0),
                },
            ),
            "measure_next": rows(
                "Inputs worth measuring, the most telling first",
                {
                    "rank": count("Place in the list, from 1"),
                    "input": text("What to measure"),
                    "part": one_of("Where it belongs", GROUPS),
                    "how": text("How to measure it"),
                    "narrows": rows(
                        "What it does to the bands",
                        {
                            "figure": _figure_key(),
                            "share": figure(f"{share} that this input brings alone", "parts of 1", none),
                            "share_settled_to": figure(f"How far that may be off, {LOOSE}", "parts of 1", none, 0.0),
                            "half_now": figure("Half of the band now", "the figure's unit, or K for °C", none, 0.0),
                            "half_then": figure("Half of the band once measured", "the figure's unit, or K for °C", none, 0.0),
                        },
                    ),
                },
            ),
            "shares": thing(
                "How the spread is shared out among the parts",
                {
                    "evenings": count("Evenings it took"),
                    "rows": rows(
                        "One for each part and figure",
                        {
                            "part": one_of("Part", GROUPS),
                            "figure": _figure_key(),
                            "alone": figure(
                                f"{share} that the part brings alone; a little below 0 is chance", "parts of 1", none
                            ),
                            "alone_settled_to": figure(f"How far that may be off, {LOOSE}", "parts of 1", none, 0.0),
                            "together": figure(f"{share} that would go were the part known", "parts of 1", none),
                            "together_settled_to": figure(f"How far that may be off, {LOOSE}", "parts of 1", none, 0.0),
                        },
                    ),
                },
                "unless --shares is given",
            ),
            "inputs": rows(
                "What was thrown",
                {
                    "name": text("What it is called"),
                    "part": one_of("Where it belongs", GROUPS),
                    "places": texts("Every place of the build where it stands"),
                },
            ),
        },
    )


def _gain() -> dict[str, Schema]:
    none = "where the figure seldom came about"
    changes: dict[str, Schema] = {}
    for key, says, unit in (
        ("start_K", "Change of the plate at which it starts, negative when earlier", "K"),
        ("air_m3_per_h", "Change of the air on the usual plate", "m³/h"),
        ("hottest_face_K", "Change of the hottest face on the over-fired evening", "K"),
        ("margin_K", "Change of the least margin of face, joints and wire at the modules on the over-fired evening", "K"),
    ):
        changes[key] = figure(says, unit, none)
        changes[f"half_{key}"] = figure("Half of what 19 in 20 lie between", unit, none, 0.0)
    return {
        "kind": text(f"Kind of work: {', '.join(work.kind for work in WORKS)}, or two of them"),
        "says": text("What is done"),
        "minutes": figure("Rough time it takes, common practice", "minutes", None, 0.0),
        "cost_in_modules": figure("Rough cost, common practice", "prices of one module", None, 0.0),
        "steps": figure("How much better on the whole", "clearly felt steps"),
        "helps": figure("Share of the thrown fans that are better off", "parts of 1", None, 0.0),
        **changes,
        "nearest_before": text("Whose limit the margin is of in most fans now: the face, or what lives at it"),
        "nearest_after": text("Whose limit it is of afterwards"),
        "why_not": text("Why it is not worth doing; empty where it is", 0),
        "caution": text("What to beware of at this work"),
        "keys": texts("Lines of the build file that carry it out"),
    }


def worth() -> Schema:
    """What `hobwind worth --json` prints."""
    return whole(
        "hobwind worth",
        "What an hour's work on each improvement brings",
        {
            "made_by": made_by(True),
            "name": name(),
            "fans": count("Fans thrown before and after each change"),
            "worth_doing": rows("What is worth doing, best first", _gain()),
            "best_pair": thing("The best two together", _gain(), "where no two together beat the best one"),
            "not_worth_doing": rows("What is not, and why", _gain()),
        },
    )
