"""The figures on the page: key, label, unit, where the number comes from. Every key has a row in `whys.py`."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import BaseModel

from ..stack.evening import Evening
from ..stack.keeping import End
from ..studies.headline import Headline
from ..studies.ledger import ledger, onward
from ..studies.margins import margins
from .settled import Row

ZERO = 273.15


@dataclass(frozen=True)
class Shown:
    """A figure at one plate: its key, label, unit, the map's column, decimals."""

    key: str
    label: str
    unit: str
    column: str
    places: int


AT_PLATE = (
    Shown("speed", "speed", "rpm", "speed_rpm", 0), Shown("air", "air", "m³/h", "air_m3_per_h", 0),
    Shown("breeze", "breeze a metre away", "m/s", "breeze_m_per_s", 2),
    Shown("hot_face", "hottest module face", "°C", "hot_face_degC", 0), Shown("margin", "below the module's limit", "K", "margin_K", 0),
    Shown("electric", "power", "W", "electric_W", 3), Shown("seat_heat", "heat through the seat", "W", "enters_W", 0),
    Shown("gap", "gap under the foot", "mm", "gap_mm", 2),
)  # fmt: skip


class Figure(BaseModel):
    """One figure as it stands on the page; `text` already says when there is none, `of` where or on what part it was found."""

    key: str
    label: str
    text: str
    of: str = ""


def _degrees(kelvin: float | None, otherwise: str) -> str:
    return otherwise if kelvin is None else f"{kelvin - ZERO:.0f} °C"


def overall(solved: Headline) -> list[Figure]:
    """Figures of the whole build.

    Args:
        solved: a solved build.

    Returns:
        Figures in the order in which they stand.
    """
    guarded = solved.build.guard.element is not None
    least, worst = margins(solved)[0], solved.worst
    rows = [
        ("starts_at", "starts at a plate of", _degrees(solved.starts_at, "never"), ""),
        ("stops_at", "stops at", _degrees(solved.stops_at, "still turns as the evening ends"), ""),
        ("peak_face", "hottest face of all", _degrees(solved.peak_face[0], ""), solved.peak_face[1]),
        ("smallest_margin", "smallest margin", f"{least.margin:.0f} K", least.part),
    ]
    if guarded:
        rows.append(("lifts_at", "guard lifts at a plate of, warming", _degrees(worst.figure(End.lift_at), "never"), ""))
        rows.append(("lifts_held", "guard lifts at a plate of, held for hours", _degrees(solved.lifts_held, "never"), ""))
        rows.append(("sits_at", "and sits back at", _degrees(worst.figure(End.sit_at), "not at all"), ""))
    return [Figure(key=key, label=label, text=text, of=of) for key, label, text, of in rows]


def at_plate(values: dict[str, float | None]) -> list[Figure]:
    """Figures at one plate, from a row of the map's columns."""
    rows = []
    for one in AT_PLATE:
        value = values.get(one.column)
        rows.append(Figure(key=one.key, label=one.label, text="–" if value is None else f"{value:.{one.places}f} {one.unit}"))
    return rows


def ledger_figures(seen: Row) -> list[Figure]:
    """The heat ledger, line by line."""
    rows = [(f"ledger_{i}", e.says, e.watts) for i, e in enumerate(ledger(seen))]
    rows += [(f"onward_{i}", e.says, e.watts) for i, e in enumerate(onward(seen))]
    return [Figure(key=key, label=says, text=watts_text(watts)) for key, says, watts in rows]


def watts_text(watts: float) -> str:
    """Watts for people: small ones in mW."""
    if abs(watts) < 0.0005:
        return "0 W"
    return f"{watts * 1e3:.0f} mW" if abs(watts) < 0.5 else f"{watts:.1f} W"


def evening_figures(ran: Evening) -> list[Figure]:
    """Closing figures of an evening."""
    peak = ran.figure(End.peak_hot)
    rows = [
        ("evening_starts", "starts at a plate of", _degrees(ran.figure(End.starts_at), "never")),
        ("evening_stops", "stops at", _degrees(ran.figure(End.stops_at), "still turns at the end")),
        ("evening_peak", "hottest face", _degrees(peak, "–")),
        ("evening_above", "above its limit", f"{float(ran.end[End.above]) / 60.0:.1f} minutes"),
        ("evening_turning", "turning", f"{float(ran.end[End.turning]) / 60.0:.0f} minutes"),
        ("evening_lifts", "guard lifts", f"{ran.lifts} times" if ran.lifts != 1 else "once"),
    ]
    return [Figure(key=key, label=label, text=text) for key, label, text in rows]
