"""Readings typed at the fire, kept as they come in: a CSV log each, in the diary's folder, written whole every time.

The hand that types may be away from this machine; it sends all it has, again and again, and what it sent last stands.
"""

from __future__ import annotations

import re
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..errors import FileError, InputError
from ..files import read_text, write_whole
from .store import folder

MARKS = ("lit", "turning", "lifted", "sat back", "reloaded", "stopped")
# What can be read at a fire, with the unit that is typed and between what figures it may lie.
READINGS = {
    "plate": ("°C", -30.0, 800.0), "hot_face": ("°C", -30.0, 800.0), "cold_face": ("°C", -30.0, 800.0), "sink": ("°C", -30.0, 800.0),
    "speed": ("rpm", 0.0, 20000.0), "gap": ("mm", 0.0, 50.0), "element": ("°C", -30.0, 800.0), "base": ("°C", -30.0, 800.0),
    "riser": ("°C", -30.0, 800.0), "motor": ("°C", -30.0, 800.0),
    "room": ("°C", -30.0, 60.0), "volts": ("V", -5.0, 60.0), "current": ("A", -1.0, 20.0),
}  # fmt: skip
NAME = re.compile(r"[a-z0-9][a-z0-9-]{5,47}")
MOST_ENTRIES, MOST_KEPT, MOST_BYTES = 3000, 300, 400_000
LONGEST = 48 * 3600.0  # s from the first entry to the last


@dataclass(frozen=True)
class Entry:
    """One thing typed: when [s since 1970], and a reading of a channel in its unit, or a mark (channel "note")."""

    when: float
    channel: str
    value: float | None
    mark: str = ""


def place(name: str) -> Path:
    """Where a typed log lies.

    Raises:
        InputError: no such name can be.
    """
    if not NAME.fullmatch(name):
        raise InputError(f'the name "{name[:60]}" cannot be used: 6 to 48 small letters, figures and - are wanted')
    return folder() / "typed" / f"{name}.csv"


def csv_of(entries: Sequence[Entry]) -> str:
    """Entries as a log like any other.

    Args:
        entries: in any order.

    Returns:
        CSV text: a clock, a column for each channel that was read, and the marks.

    Raises:
        InputError: a channel or mark that there is not, a figure that cannot be, or nothing at all.
    """
    rows = sorted(entries, key=lambda one: one.when)
    if not rows:
        raise InputError("nothing was typed yet")
    if rows[-1].when - rows[0].when > LONGEST:
        raise InputError(
            f"from first to last there are {(rows[-1].when - rows[0].when) / 3600.0:.0f} h; one fire is wanted, 48 h at most"
        )
    keys = [key for key in READINGS if any(one.channel == key for one in rows)]
    shift = time.localtime(rows[0].when).tm_gmtoff  # of the first entry, so that no hour comes twice
    header = ["time", *(f"{key} [{READINGS[key][0]}]" for key in keys), "note"]
    lines = [",".join(header)]
    for one in rows:
        cells = [_clock(one.when + shift), *[""] * len(keys), ""]
        if one.channel == "note":
            if one.mark not in MARKS:
                raise InputError(f'mark: got "{one.mark[:30]}"; one of {", ".join(MARKS)} is wanted')
            cells[-1] = one.mark
        else:
            figure = _figure(one)
            cells[1 + keys.index(one.channel)] = f"{figure:g}"
        lines.append(",".join(cells))
    return "\n".join(lines) + "\n"


def _clock(seconds: float) -> str:
    whole = time.gmtime(int(seconds))
    return f"{time.strftime('%Y-%m-%d %H:%M:%S', whole)}.{int(1000.0 * (seconds % 1.0)):03d}"


def _figure(one: Entry) -> float:
    if one.channel not in READINGS:
        raise InputError(f'channel: got "{one.channel[:30]}"; one of {", ".join(READINGS)} is wanted')
    unit, low, high = READINGS[one.channel]
    if one.value is None or not low <= one.value <= high:
        got = "nothing" if one.value is None else f"{one.value:g} {unit}"
        raise InputError(f"{one.channel}: got {got}; {low:g} to {high:g} {unit} is allowed")
    return one.value


def keep(name: str, entries: Sequence[Entry]) -> Path:
    """Keep what was typed, in place of what was sent before under the same name.

    Args:
        name: that the hand's own device made up.
        entries: all of them.

    Returns:
        Path of the log.

    Raises:
        InputError: it cannot be kept as it is, or too many are kept already.
        FileError: it cannot be written.
    """
    path, text = place(name), csv_of(entries)
    if not path.exists() and len(kept()) >= MOST_KEPT:
        raise InputError(f"{MOST_KEPT} typed logs are kept already in {path.parent}; move old ones away")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileError(f"{path.parent}: cannot be made ({error.strerror}). Check the folder, or set HOBWIND_HOME") from error
    write_whole(path, text)
    return path


def kept() -> list[Path]:
    """Typed logs, the newest first."""
    try:
        found = [path for path in (folder() / "typed").glob("*.csv") if NAME.fullmatch(path.stem) and path.is_file()]
        return sorted(found, key=lambda path: -path.stat().st_mtime)
    except OSError:
        return []


def text_of(name: str) -> str:
    """A typed log's text.

    Raises:
        InputError: no such name.
        FileError: it is not there.
    """
    return read_text(place(name), MOST_BYTES)
