"""Lines from any microcontroller's serial port to figures: pure, no ports and no clocks.

Understood: bare numbers (`181.2, 140.7`), a header of bare words before them, names with numbers (`plate=181.2 face: 140.7`),
and one JSON object a line. All else is counted as unread and never becomes a figure.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field

LONGEST = 2000  # bytes of one line
LARGEST = 1e7  # beyond it a figure is a broken line
MOST_FIGURES = 40
SETTLES = 5  # lines alike after which another count of bare numbers is believed

_FIGURE = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,2})?"
_UNIT = r"(?:\s?(?:°|deg)?\s?(?:C|F|K|V|mV|A|mA|W|rpm|ohm|Ω|%))?"
_WORD = r"[A-Za-z_][\w.\-/]{0,39}"
_PART = re.compile(r"[,;\t]\s*|\s+")
_BARE = re.compile(rf"(?:({_FIGURE})|nan|NaN|NAN|inf|-inf|-){_UNIT}")
_NAMED = re.compile(rf"({_WORD})\s*(?:[=:]\s*|\s+)({_FIGURE}|nan|NaN|NAN|-?inf){_UNIT}(?![\w.])")
_BETWEEN = re.compile(r"[\s,;|]*")
_LONE = re.compile(rf"{_WORD}")

# What a channel may be called when it is one that hobwind itself knows.
_ROLES = {
    "plate_degC": ("plate", "stove", "stove_plate", "plate_temp", "plate_temperature", "t_plate"),
    "face_degC": ("face", "hot", "hot_face", "face_temp", "t_face", "t_hot"),
    "sink_degC": ("sink", "cold", "t_sink"),
    "room_degC": ("room", "ambient", "t_room"),
    "speed_rpm": ("rpm", "speed"),
    "voltage_V": ("volts", "voltage"),
}  # fmt: skip
_BY_NAME = {name: role for role, names in _ROLES.items() for name in names}


def channel(name: str) -> tuple[str, float, float]:
    """What a channel is called in the diary, and how its figures get there.

    Args:
        name: as the line or the maker calls it.

    Returns:
        Name, factor and shift: °F becomes °C, the rest stays. [-, -, °C]
    """
    plain = re.sub(r"[^\w.\-/]", "_", name.strip())[:40] or "unnamed"
    stem, shift, factor = plain, 0.0, 1.0
    for ending, (f, s) in {"_degC": (1.0, 0.0), "_C": (1.0, 0.0), "_degF": (5 / 9, -160 / 9), "_F": (5 / 9, -160 / 9)}.items():
        if plain.lower().endswith(ending.lower()):
            stem, factor, shift = plain[: -len(ending)], f, s
            break
    known = _BY_NAME.get(stem.lower())
    if known is not None:
        return known, factor, shift
    return (f"{stem}_degC" if stem != plain else plain), factor, shift


@dataclass
class Splitter:
    """Bytes in, whole lines out, for one port.

    What comes before the first line's end after connecting is dropped: it may be the tail of a cut line, and half a number
    looks like a number.
    """

    begun: bool = False
    rest: bytearray = field(default_factory=bytearray)
    dropped: int = 0

    def restart(self) -> None:
        """After unplugging: forget the half line."""
        self.dropped += 1 if self.rest else 0
        self.begun = False
        self.rest.clear()

    def feed(self, data: bytes) -> list[bytes]:
        """Take what has come; give the lines that are now whole, without their ends."""
        self.rest += data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        *lines, rest = bytes(self.rest).split(b"\n")
        self.rest = bytearray(rest)
        if lines and not self.begun:
            self.begun = True
            self.dropped += 1 if lines[0] else 0
            lines = lines[1:]
        if len(self.rest) > LONGEST:
            self.rest.clear()
            self.begun = False  # the tail of an endless line is no line
            self.dropped += 1
        whole = [line for line in lines if line.strip() and len(line) <= LONGEST]
        self.dropped += sum(1 for line in lines if len(line) > LONGEST)
        return whole


@dataclass
class Reader:
    """Lines in, figures by channel out, for one port; remembers a header and how many bare numbers are usual.

    `names` are the maker's: given for bare numbers in order, or `their=ours` for named ones.
    """

    names: tuple[str, ...] = ()
    renamed: Mapping[str, str] = field(default_factory=dict)
    unread: int = 0
    usual: int = 0
    _other: tuple[int, int] = (0, 0)

    def read(self, line: bytes) -> dict[str, float] | None:
        """Figures of one line; None, and counted, when it is none. A line of names is {}."""
        try:
            text = line.decode("utf-8").strip()
        except UnicodeDecodeError:
            text = ""
        found = None
        if text and text.isprintable() or "\t" in text and text.replace("\t", " ").isprintable():
            found = self._object(text) if text.startswith("{") else self._words(text)
        if found is None:
            self.unread += 1
            return None
        out = {}
        for name, value in found.items():
            called, factor, shift = channel(self.renamed.get(name, name))
            out[called] = value * factor + shift
        return out

    def _object(self, text: str) -> dict[str, float] | None:
        try:
            table = json.loads(text)
        except (ValueError, RecursionError):
            return None
        if not isinstance(table, dict):
            return None
        figures = {
            str(key): float(value)
            for key, value in table.items()
            if isinstance(value, int | float) and not isinstance(value, bool) and _sane(value)
        }
        return figures if figures and len(figures) <= MOST_FIGURES else None

    def _words(self, text: str) -> dict[str, float] | None:
        cells = [cell for cell in _PART.split(text) if cell]
        if cells and all(_BARE.fullmatch(cell) for cell in cells):
            return self._bare(cells)
        if len(cells) > 1 and ("," in text or "\t" in text or ";" in text) and all(_LONE.fullmatch(cell) for cell in cells):
            self.names, self.usual = tuple(cells), len(cells)
            return {}
        joined = _bare_with_units(text)
        if joined is not None:
            return self._bare(joined)
        return _named(text)

    def _bare(self, cells: list[str]) -> dict[str, float] | None:
        count = len(cells)
        if count > MOST_FIGURES:
            return None
        usual = self.usual or len(self.names) or count
        if count != usual:  # a line with a piece lost, unless it stays so
            before, times = self._other
            self._other = (count, times + 1 if before == count else 1)
            if self._other[1] < SETTLES or self.names:
                return None
        self.usual, self._other = count, (0, 0)
        found = {}
        for i, cell in enumerate(cells):
            match = re.match(_FIGURE, cell)
            if match and _sane(float(match[0])):
                found[self.names[i] if i < len(self.names) else f"figure_{i + 1}"] = float(match[0])
        return found or None


def _bare_with_units(text: str) -> list[str] | None:
    """Cells of a line such as `181.2 °C, 140.7 °C`, whose units stand apart."""
    cells = [cell.strip() for cell in re.split(r"[,;\t]", text)]
    return cells if all(cell and _BARE.fullmatch(cell) for cell in cells) else None


def _named(text: str) -> dict[str, float] | None:
    found: dict[str, float] = {}
    at = 0
    while at < len(text):
        match = _NAMED.match(text, at)
        if match is None:
            return None
        value = float(match[2])
        if _sane(value):
            found[match[1]] = value
        between = _BETWEEN.match(text, match.end())
        at = between.end() if between else match.end()
    return found if found and len(found) <= MOST_FIGURES else None


def _sane(value: float) -> bool:
    return math.isfinite(value) and abs(value) <= LARGEST
