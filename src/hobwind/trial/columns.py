"""Which column of a log is what: guessed from its header and its figures, shown, corrected by hand, and kept beside the log."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ..errors import InputError
from ..files import toml_table
from ..tables import Columns
from .channels import CHANNELS, NOTE, ROOM
from .clock import CLOCK, ELAPSED, looks_like_clock
from .infrared import Surface

TIME, LEFT = "time", "-"
# Header words of several languages, as stems; longer ones first, so that "cold face" is not a face that is hot.
_STEMS = {
    "cold_face": "cold.?(face|side);kalt(e )?seite;face froide;c[oô]t[eé] froid;lado fr[ií]o;lato freddo;koude (kant|zijde);"
    "kald ?side;kylmä",
    "hot_face": "hot.?(face|side);hei(ß|ss)(e )?seite;face chaude;c[oô]t[eé] chaud;lado caliente;lato caldo;warme (kant|zijde);"
    "varm ?side;kuuma",
    ROOM: "room;ambient;zimmer;raum;umgebung;ambiante?;pi[eè]ce;ambiente;stanza;kamer;rom(temp)?$;^rum;huone",
    NOTE: "note;remark;comment;bemerkung;notiz;remarque;nota;opmerking;merknad;anm",
    "speed": "speed;rpm;drehzahl;umdreh;vitesse;tours;velocidad;giri;toeren;varv;turtall;[ru]/min;tr/min",
    "volts": "volt;spannung;tension;spanning;sp[eä]nning;voltaje;jännite",
    "current": "curr;amp;strom;courant;corrient;corrente;stroom;str[oö]m;virta",
    "element": "element;wax;wachs;thermostat;cire;cera;vaha;voks",
    "base": "foot;\\bbase\\b;fu(ß|ss);sockel;pied;socle;\\bpie\\b;piede;voet;jalka",
    "sink": "sink;k[uü]hl;dissip;radiat;koel;kj[oø]le;kyl",
    "riser": "riser;steig;block;klotz;colonne;montant;zuil",
    "motor": "motor;moteur",
    "gap": "gap;spalt;lift;fente;hueco;spleet",
    "plate": "plate;stove;platte;ofen;herd;po[eê]le;plaque;placa;estufa;piastra;stufa;plaat;kachel;ovn;ugn;levy;kiuas",
}
_WORDS = tuple((stems.replace(";", "|"), channel) for channel, stems in _STEMS.items())
_TIMES = (
    "t;time;date;zeit;datum;uhr;temps;heure;tiempo;hora;fecha;tempo;ora;data;tijd;tid;klokken;klocka;aika;elapsed;timestamp;"
    "seconds?;sekunden?;minutes?;minuten"
)
_TIME_WORDS = rf"^(.*[^a-z])?({_TIMES.replace(';', '|')})([^a-z].*)?$"
UNITS = {
    "°C": (1.0, 273.15), "K": (1.0, 0.0), "°F": (5.0 / 9.0, 459.67 * 5.0 / 9.0), "mV type K": (1.0, 0.0),
    "rpm": (np.pi / 30.0, 0.0), "Hz": (2.0 * np.pi, 0.0), "rad/s": (1.0, 0.0), "A": (1.0, 0.0), "mA": (1e-3, 0.0),
    "V": (1.0, 0.0), "mV": (1e-3, 0.0), "mm": (1e-3, 0.0), "um": (1e-6, 0.0), "in": (0.0254, 0.0), "m": (1.0, 0.0),
}  # fmt: skip
_UNITS_OF = {
    "temperature": ("°C", "K", "°F", "mV type K"), "turning": ("rpm", "Hz", "rad/s"), "current": ("A", "mA"),
    "voltage": ("V", "mV"), "length": ("mm", "um", "in", "m"),
}  # fmt: skip
_SPELLED = {
    "c": "°C", "degc": "°C", "°c": "°C", "grad c": "°C", "celsius": "°C", "k": "K", "kelvin": "K", "f": "°F", "°f": "°F", "degf": "°F",
    "rpm": "rpm", "1/min": "rpm", "u/min": "rpm", "tr/min": "rpm", "r/min": "rpm", "min-1": "rpm", "hz": "Hz", "rad/s": "rad/s",
    "a": "A", "amp": "A", "amps": "A", "ma": "mA", "v": "V", "volt": "V", "volts": "V", "mv": "mV", "mm": "mm", "µm": "um", "um": "um",
    "in": "in", "m": "m", "mv type k": "mV type K", "mv typ k": "mV type K", "s": "s", "sec": "s", "sek": "s", "seconds": "s",
    "min": "min", "minutes": "min", "h": "h", "hours": "h", "std": "h", "ms": "ms",
}  # fmt: skip


@dataclass(frozen=True)
class Column:
    """One column: its header, the channel it holds ("time", "note", "room", "-" for none), its unit, and why so.

    `surface` is how an infrared meter read it; None where a thermometer touched.
    """

    header: str
    channel: str
    unit: str
    why: str
    surface: Surface | None = None


def dimension_of(channel: str) -> str:
    """What a channel measures."""
    return "temperature" if channel == ROOM else CHANNELS[channel].dimension


def units_for(channel: str) -> tuple[str, ...]:
    """Units that a channel's column may have; the first is taken where none is known."""
    if channel == TIME:
        return (*ELAPSED, CLOCK)
    return () if channel in (NOTE, LEFT) else _UNITS_OF[dimension_of(channel)]


def _unit_in(header: str) -> str:
    """A unit that a header spells, in brackets, after a comma or as its last word."""
    for found in (*re.findall(r"[\[(]([^\])]*)[\])]", header), *re.findall(r"[,_/ ]([^\s,_\[(]+)$", header)):
        known = _SPELLED.get(found.strip().lower())
        if known:
            return known
    return ""


def _channel_in(header: str) -> str:
    bare = re.sub(r"[\[(].*?[\])]", " ", header).lower().replace("_", " ").strip()
    return next((channel for pattern, channel in _WORDS if re.search(pattern, bare)), "")


def guess(table: Columns) -> tuple[Column, ...]:
    """Guess what every column is.

    Args:
        table: the log.

    Returns:
        One for each column, in their order; a channel is given once, to the first column that fits.
    """
    when = _time_column(table)
    found: list[Column] = []
    taken: set[str] = set()
    for k, header in enumerate(table.header):
        numbers, text = table.numbers[k], table.texts[k]
        if k == when:
            clock = text is not None and looks_like_clock(text)
            unit = CLOCK if clock else _unit_in(header) or ("s" if np.isfinite(numbers).any() else CLOCK)
            unit = unit if unit in ELAPSED or unit == CLOCK else "s"
            told = "a clock" if clock else "unit in the header" if _unit_in(header) in ELAPSED else "no unit: taken as seconds"
            found.append(Column(header, TIME, unit, told))
            continue
        channel, unit = _channel_in(header), _unit_in(header)
        if text is not None and np.isfinite(numbers).mean() < 0.3:
            wordy = channel == NOTE or (NOTE not in taken and not re.search(r"\d", header))
            found.append(Column(header, NOTE if wordy else LEFT, "", "words" if wordy else "not known"))
            taken |= {NOTE} if wordy else set()
            continue
        if not channel or channel in taken or channel == NOTE:
            found.append(Column(header, LEFT, "", "name it with --column" if not channel else f"{channel} is taken"))
            continue
        allowed = _UNITS_OF[dimension_of(channel)]
        if unit == "mV" and "temperature" in dimension_of(channel):
            unit = "mV type K"
        why = "name and unit" if unit in allowed else f"name; no unit: taken as {allowed[0]}"
        taken.add(channel)
        found.append(Column(header, channel, unit if unit in allowed else allowed[0], why))
    return _hottest_as_plate(table, found)


def _time_column(table: Columns) -> int | None:
    clocks = [k for k, text in enumerate(table.texts) if text is not None and looks_like_clock(text)]
    named = [k for k, header in enumerate(table.header) if re.match(_TIME_WORDS, header.lower())]
    rising = [
        k for k, one in enumerate(table.numbers)
        if one.size > 1 and np.isfinite(one).mean() > 0.8 and (np.diff(one[np.isfinite(one)]) >= 0.0).mean() > 0.98
    ]  # fmt: skip
    for wanted in (clocks, [k for k in named if k in rising], named, rising[:1]):
        if wanted:
            return wanted[0]
    return None


def _hottest_as_plate(table: Columns, found: list[Column]) -> tuple[Column, ...]:
    """Where no header says which is the plate, the column that gets hottest is."""
    free = [k for k, one in enumerate(found) if one.channel == LEFT and np.isfinite(table.numbers[k]).any()]
    if any(one.channel == "plate" for one in found) or not free:
        return tuple(found)
    hottest = max(free, key=lambda k: float(np.nanmax(table.numbers[k])))
    if 50.0 < float(np.nanmax(table.numbers[hottest])) < 700.0:
        unit = _unit_in(found[hottest].header)
        found[hottest] = Column(found[hottest].header, "plate", unit if unit in ("K", "°F") else "°C", "the hottest column")
    return tuple(found)


def corrected(columns: Sequence[Column], typed: Sequence[str]) -> tuple[Column, ...]:
    """Columns with what was typed put right: HEADER=CHANNEL, a unit after the channel where needed.

    Args:
        columns: as guessed or kept.
        typed: such as "T1=sink", "T2=plate °F", "A0=hot_face mV type K", "T5=-".

    Returns:
        The columns.

    Raises:
        InputError: no such column, channel or unit.
    """
    found = list(columns)
    known = (*CHANNELS, ROOM, NOTE, TIME, LEFT)
    for one in typed:
        header, equals, rest = one.rpartition("=")
        at = next((k for k, c in enumerate(found) if c.header == header or c.header.split(" [")[0] == header), None)
        if not equals or at is None:
            heads = ", ".join(f'"{c.header}"' for c in found)
            raise InputError(f'--column: got "{one[:60]}"; HEADER=CHANNEL is wanted, with a header of {heads[:300]}')
        channel, _, unit = rest.strip().partition(" ")
        if channel not in known:
            raise InputError(
                f'--column: got channel "{channel[:30]}"; one of {", ".join(known)} is wanted (- leaves a column out)'
            )
        allowed = units_for(channel)
        unit = unit.strip()
        spelled = unit if unit in allowed else _SPELLED.get(unit.lower(), unit)
        if unit and spelled not in allowed:
            raise InputError(f'--column: got unit "{unit[:20]}" for {channel}; one of {", ".join(allowed) or "none"} is wanted')
        inside = _unit_in(header) if _unit_in(header) in allowed else ""
        for k, other in enumerate(found):
            if other.channel == channel and channel != LEFT:
                found[k] = replace(other, channel=LEFT, unit="", why="its place was given to another", surface=None)
        found[at] = Column(
            found[at].header, channel, spelled or inside or (allowed[0] if allowed else ""), "as you said", found[at].surface
        )
    return tuple(found)


_SURFACE = re.compile(r"^(\w+)=(0?[.,]\d+|1)(?:\s*(?:±|\+-)\s*(0?[.,]\d+))?(?:\s+(?:read at|at)\s+(0?[.,]\d+|1))?$")


def with_surfaces(columns: Sequence[Column], typed: Sequence[str]) -> tuple[Column, ...]:
    """Columns that an infrared meter read: CHANNEL=HOW WELL IT RADIATES, the meter's setting after "at".

    Args:
        columns: as guessed or kept.
        typed: such as "sink=0.86±0.04 at 0.95".

    Returns:
        The columns.

    Raises:
        InputError: it cannot be read, or there is no such channel in the log.
    """
    found = list(columns)
    for one in typed:
        match = _SURFACE.match(one.strip())
        at = next((k for k, c in enumerate(found) if match and c.channel == match[1]), None)
        if match is None or at is None:
            raise InputError(
                f'--infrared: got "{one[:40]}"; a channel of the log and how well its surface radiates, such as "sink=0.86±0.04 at 0.95"'
            )
        value, half, setting = (None if g is None else float(g.replace(",", ".")) for g in match.groups()[1:])
        surface = Surface(float(value or 1.0), 0.5 * (0.1 if half is None else half), setting or 0.95)
        if not 0.02 <= surface.radiates <= 1.0 or not 0.1 <= surface.setting <= 1.0:
            raise InputError(f'--infrared: got "{one[:40]}"; 0.02 to 1 for a surface and 0.1 to 1 for the setting are allowed')
        found[at] = replace(found[at], surface=surface)
    return tuple(found)


def kept_text(log: str, columns: Sequence[Column], offset: float | None) -> str:
    """The columns as a TOML file to keep beside the log."""
    import json

    lines = [
        f"# What the columns of {log} are. Guessed by hobwind trial; put right here what is wrong, or with --column.",
        "format = 1",
    ]
    if offset is not None:
        lines.append(f"offset_s = {offset:.1f}  # added to this log's times, so that they are the first log's")
    for one in columns:
        lines += ["", "[[column]]", f"header = {json.dumps(one.header, ensure_ascii=False)}", f'channel = "{one.channel}"']
        if one.unit:
            lines.append(f'unit = "{one.unit}"')
        if one.surface is not None:
            s = one.surface
            lines.append(f"surface = {s.radiates:g}\nsurface_off = {2.0 * s.spread:g}\nsetting = {s.setting:g}")
    return "\n".join(lines) + "\n"


def read_kept(text: str, name: str, header: Sequence[str]) -> tuple[tuple[Column, ...], float | None]:
    """Read a kept file of columns; those that the log does not have any more are passed over.

    Raises:
        InputError: it cannot be read.
    """
    wrong = f"{name}: cannot be used ({{}}); mend it, or delete it to have the columns guessed anew"
    try:
        table = toml_table(text)
    except ValueError as error:
        raise InputError(wrong.format(error)) from error
    rows: Any = table.get("column", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) and "header" in row and "channel" in row for row in rows):
        raise InputError(wrong.format("every [[column]] needs header and channel"))
    given = {str(row["header"]): row for row in rows}
    found = [Column(head, LEFT, "", "not in the kept columns") for head in header]
    typed = [f"{h}={row['channel']} {row.get('unit', '')}".strip() for h, row in given.items() if h in header]
    found = list(corrected(found, typed))
    for k, one in enumerate(found):
        row = given.get(one.header, {})
        if one.channel != LEFT:
            found[k] = replace(one, why="as kept")
        if "surface" in row:
            found[k] = with_surfaces(
                [found[k]],
                [f"{one.channel}={row['surface']:g}±{row.get('surface_off', 0.1):g} at {row.get('setting', 0.95):g}"],
            )[0]
    offset = table.get("offset_s")
    return tuple(found), float(offset) if isinstance(offset, int | float) else None
