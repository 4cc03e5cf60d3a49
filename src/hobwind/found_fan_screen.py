"""The logs of a found fan as text for an 80-column screen: what was read, the stretches taken and why, what each told."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from .build.retrofit_file import Sighting
from .build.toml_lines import section_lines
from .trial.found_fan import FromLogs
from .trial.logs import Log
from .trial.settled import APART, MOST, MOST_LATE, UNSURE, WINDOW, Logged, Stretch, Told
from .trial_screen import log_lines
from .units import show, show_spread

WIDE = 79
PLACES = {"base": "riser's foot", "top": "riser's top", "sink": "sink", "speed": "speed"}
RULE = (
    f"Taken are stretches of {WINDOW / 60:.0f} min in which the fan, computed along this fire, lags at most {MOST_LATE:.0f} K behind rest; "
    f"the nearest to rest first, {MOST} at most, {APART:.0f} K of plate between them. What was read is moved by how far its place is "
    f"from rest; {100.0 * UNSURE:.0f} in 100 of that, and what meters, plate and room may be off, stand behind the ±. Several stretches "
    "through one thermometer count as one."
)

CAUTION = "Log a found fan attended, gloves at hand, alarm on; never over-fire a stove to see what happens."


def _wrap(text: str, first: str = "", rest: str = "    ") -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=first, subsequent_indent=rest)


def told_words(one: Told) -> str:
    """One reading of a stretch: as read, and as it would be at rest."""
    if one.place == "speed":
        return f"{PLACES[one.place]} {show(one.read, 'turning')}, at rest {show(one.settled, 'turning')} ± {show(one.half, 'turning')}"
    rest = f"{one.settled - 273.15:.1f} ± {one.half:.1f} °C"
    return f"{PLACES[one.place]} {one.read - 273.15:.1f} °C, at rest {rest}"


def when_words(one: Stretch) -> str:
    """When a stretch was, its plate and how that moves, and how far the fan lags."""
    moves = f"{60.0 * one.slope:+.1f} K a minute" if abs(one.slope) >= 0.05 / 60.0 else "steady"
    lag = f"lag {one.late:.1f} K" if one.late < 9.95 else f"lag {one.late:.0f} K"
    stands = "blade turning" if one.turns else "blade standing"
    return f"{one.start / 60:.0f} to {one.stop / 60:.0f} min: plate {show(one.plate, 'temperature')}, {moves}, {lag}, {stands}"


def room_words(log: Logged) -> str:
    """How the room and the blade of a log are known."""
    room = "the room" if log.room is None else f"room {show(log.room, 'temperature')}"
    return f"{room} ({log.room_from}); blade: {log.turning_from}"


def seen_lines(one: Sighting) -> list[str]:
    """A look as a file of outside measurements has it."""
    table: dict[str, str | bool] = {"plate": f"{one.plate - 273.15:.1f} °C"}
    if one.room is not None:
        table["room"] = f"{one.room - 273.15:.1f} °C"
    table |= {place: f"{read.value - 273.15:.1f} ± {read.half:.1f} °C" for place, read in one.temperatures}
    if one.speed is not None:
        table["speed"] = show_spread(one.speed, "turning")
    return section_lines("[[seen]]", {**table, "turns": one.turns})


def logs_text(found: FromLogs, read: Sequence[Log], every: bool = False) -> str:
    """The logs of a found fan as text.

    Args:
        found: the fan with its logs.
        read: the same logs as they were read, in the same order.
        every: whether every bad line is listed, and the stretches as lines for the fan's file.

    Returns:
        The text, a newline at its end.
    """
    lines: list[str] = []
    for one, log in zip(found.logs, read, strict=True):
        lines += log_lines(log, one.measured.doubt, every, 2)
        words = room_words(one)
        lines += _wrap(words[:1].upper() + words[1:], "  ")
        for stretch in one.stretches:
            lines += _wrap(when_words(stretch), "  ")
            lines += _wrap("; ".join(map(told_words, stretch.told)), "    ")
    lines += [line for says in found.stove for line in _wrap(f"Stove, where the file does not say: {says}")]
    lines += _wrap(RULE, "", "") + _wrap(CAUTION)
    if every:
        lines += ["", "The same as lines of the fan's file:"]
        lines += [line for one in found.logs for stretch in one.stretches for line in seen_lines(stretch.sighting)]
    return "\n".join(lines) + "\n"
