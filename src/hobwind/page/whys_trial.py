"""The equations behind figures of Trial and Diary. Their numbers are those of a log or of the diary, which come with the figure."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import BaseModel


class Told(BaseModel):
    """The why of a figure that comes with it: what the browser opens without asking."""

    title: str
    equation: str
    numbers: str
    at: str
    sources: list[str]


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


TRIAL, DIARY, LIVE = "the log, on Trial", "the diary's own rows", "the fire as it burns"
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
    "diary_evenings": Row("Evenings lit", "count of stretches with T_plate > 60 °C for 10 min and more", ("exact",), DIARY),
    "diary_lit": Row("Lit in all", "Σ (end − beginning)", ("exact",), DIARY),
    "diary_above": Row("Above the limit", "Σ of the time with T_hot > limit, straight between readings", ("exact",), DIARY),
    "diary_cycles": Row("Cycles", "rises and falls of T_hot counted as in rainflow counting", ("astm-e1049",), DIARY),
    "diary_value": Row("Value over the looks", "last look, ± 2 u; change a year by the best straight line", ("page-1954",), DIARY),
    "live_face": Row("Hot face now", "measured, or computed from the plate so far", ("exact",), LIVE),
}  # fmt: skip


def told(key: str, numbers: str, at: str) -> Told:
    """A figure's why with its numbers."""
    row = ROWS[key]
    return Told(title=row.title, equation=row.equation, numbers=numbers, at=at, sources=list(row.sources))


def told_figure(key: str, label: str, text: str, numbers: str, at: str) -> ToldFigure:
    """A figure with its why."""
    return ToldFigure(key=key, label=label, text=text, why=told(key, numbers, at))
