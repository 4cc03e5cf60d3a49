"""The equations behind figures whose numbers the server cannot work out again: of a log, of the diary, of a found fan.

Such a figure comes with its why.
"""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import BaseModel

from ..sources import told as in_words


class Told(BaseModel):
    """The why of a figure that comes with it: what the browser opens without asking; `value` in the figure's unit, where it is one."""

    title: str
    equation: str
    numbers: str
    at: str
    sources: list[str]
    value: float | None = None


class ToldFigure(BaseModel):
    """A figure with its why."""

    key: str
    label: str
    text: str
    why: Told


@dataclass(frozen=True)
class Row:
    """One equation: title, symbols, sources, and where its numbers come from."""

    title: str
    equation: str
    sources: tuple[str, ...]
    where: str


TRIAL, DIARY, LIVE, FOUND = "the log, on Trial", "the diary's own rows", "the fire as it burns", "a found fan, on Guard"
METER = ("nist-175", "exact")
ROWS = {
    "trial_started": Row("Started at", "T = T_plate(t), n(t) first above 50 rpm; ± √(meter² + noise² + step²)", METER, TRIAL),
    "trial_lifted": Row("Lifted at", "T = T_plate(t), gap(t) first above 0.2 mm; ± √(meter² + noise² + step²)", METER, TRIAL),
    "trial_sat_back": Row("Sat back at", "T = T_plate(t), gap(t) last falls below 0.2 mm; ± as above", METER, TRIAL),
    "trial_peak_face": Row("Hottest face", "max T_hot(t); ± √(meter² + noise²)", METER, TRIAL),
    "trial_margin": Row("Left to its limit", "margin = limit − max T_hot(t)", METER, TRIAL),
    "trial_peak_plate": Row("Hottest plate", "max T_plate(t); ± √(meter² + noise²)", METER, TRIAL),
    "trial_inside": Row("Points in the band", "count of low ≤ measured ≤ high; 19 in 20 belong there", ("exact",), TRIAL),
    "trial_usual": Row("Usual difference", "√(mean of ((measured − predicted)/noise)²)", ("exact",), TRIAL),
    "trial_difference": Row("Measured less predicted", "middle one of (measured − predicted) while it lasts", ("exact",), TRIAL),
    "trial_foretold": Row("Foretold", "T_plate(t) when the model's own rule first holds along the measured plate", ("exact",), TRIAL),
    "trial_told": Row("What the fire says of a guess", "least Σ((measured − predicted)/noise)² + Σ((guess − before)/spread)²",
                      ("jcgm-100", "trial-practice"), TRIAL),
    "diary_evening": Row("An evening", "lit = end − beginning; max T_plate(t), max T_hot(t)", ("exact",), DIARY),
    "diary_trial": Row("What a trial showed", "as on Trial, kept with the log", ("exact",), DIARY),
    "diary_evenings": Row("Evenings lit", "count of stretches with T_plate > 60 °C for 10 min and more", ("exact",), DIARY),
    "diary_lit": Row("Lit in all", "Σ (end − beginning)", ("exact",), DIARY),
    "diary_above": Row("Above the limit", "Σ of the time with T_hot > limit, straight between readings", ("exact",), DIARY),
    "diary_cycles": Row("Cycles", "rises and falls of T_hot counted as in rainflow counting", ("astm-e1049",), DIARY),
    "diary_value": Row("Value over the looks", "last look, ± 2 u; change a year by the best straight line", ("page-1954",), DIARY),
    "found_heat": Row("Hottest face, unguarded", "max over time of T_hot; T_hot = T_plate − Σ Q R", ("exact-series",), FOUND),
    "found_rated": Row("What the old modules bear", "the hot face's rating, and where the solder melts, of the module it is taken for",
                       ("given",), FOUND),
    "found_band": Row("Band: of a found fan", "1 in 40 below, 1 in 40 above: 19 in 20 between", ("jcgm-101",), FOUND),
    "found_cause": Row("How likely a cause is", "chance = w/Σw, w = common · heat · Π of how often it shows each sign",
                       ("repair-practice",), FOUND),
    "found_peak": Row("Hottest face, over-fired", "max over time of T_hot; T_hot = T_plate − Σ Q R", ("exact-series",), FOUND),
    "found_bears": Row("What the hot side bears", "least of (rated hot face, solder melts)", ("given",), FOUND),
    "found_starts": Row("Starts at", "T_plate(t) where k I_standstill first reaches T_break-away", ("mit-motor-notes",), FOUND),
    "found_left": Row("Nearest its limit", "least of (limit − peak) over every part with a limit", ("exact",), FOUND),
    "found_thicker": Row("Thicker by", "Δ = t_new − t_old", ("exact",), FOUND),
    "found_screw": Row("Thread in hand", "left = spare − Δ", ("exact",), FOUND),
    "live_reading": Row("As it came", "the newest line's figure, as the port sent it", ("given",), LIVE),
    "live_ahead": Row("Hot face ahead", "T_hot(t), marched on with T_plate(t) = T_now + slope · t", ("exact-series",), LIVE),
    "live_face": Row("Hot face now", "measured, or computed from the plate so far", ("exact",), LIVE),
}  # fmt: skip


def told(key: str, numbers: str, at: str, value: float | None = None) -> Told:
    """A figure's why with its numbers, and what they come to."""
    row = ROWS[key]
    return Told(
        title=row.title,
        equation=row.equation,
        numbers=numbers,
        at=at,
        sources=[in_words(one) for one in row.sources],
        value=value,
    )


def told_figure(key: str, label: str, text: str, numbers: str, at: str, value: float | None = None) -> ToldFigure:
    """A figure with its why."""
    return ToldFigure(key=key, label=label, text=text, why=told(key, numbers, at, value))
