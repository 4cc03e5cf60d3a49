"""Plate temperature over an evening from a file: a CSV of times and temperatures, units in its header."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np

from .errors import InputError
from .files import read_text
from .stack.curves import PlateCurve
from .tables import cell_number, read_cells

TIMES = {"time_s": 1.0, "time_min": 60.0, "time_h": 3600.0}
PLATES = {"plate_degC": (1.0, 273.15), "plate_K": (1.0, 0.0), "plate_degF": (5.0 / 9.0, 459.67 * 5.0 / 9.0)}
COLDEST, HOTTEST, LONGEST, MOST_ROWS = 233.15, 873.15, 48.0 * 3600.0, 20000
HEADER = "a header such as time_min,plate_degC"


def read_fire(path: Path) -> PlateCurve:
    """Read an evening from a CSV file.

    Args:
        path: of the file; columns time_s, time_min or time_h and plate_degC, plate_degF or plate_K, others left alone.

    Returns:
        The curve. [s, K]

    Raises:
        FileError: the file cannot be read.
        InputError: with every line that is wrong, the first few of them.
    """
    return fire_from_text(read_text(path), path.name)


def fire_from_text(text: str, name: str) -> PlateCurve:
    """Read an evening from the text of a CSV file; as `read_fire`."""
    table = read_cells(text, name, HEADER)
    first, header, lines = table.first, table.header, table.lines
    times = [i for i, cell in enumerate(header) if cell in TIMES]
    plates = [i for i, cell in enumerate(header) if cell in PLATES]
    if len(times) != 1 or len(plates) != 1:
        got = ", ".join(header)[:80]
        raise InputError(
            f'{name} line {first}: got "{got}"; {HEADER} is wanted: one of {_words(TIMES)}, one of {_words(PLATES)}'
        )
    if len(lines) > MOST_ROWS:
        raise InputError(f"{name}: has {len(lines)} lines; at most {MOST_ROWS} are read. Keep one line in ten")
    scale, off = PLATES[header[plates[0]]]
    time_scale = TIMES[header[times[0]]]
    time: list[float] = []
    plate: list[float] = []
    wrong: list[str] = []
    for i, row in lines:
        if any(cell.strip() for cell in row[len(header) :]):  # decimal commas between commas would be misread in silence
            got = ",".join(row)[:60]
            wrong.append(f'line {i}: got "{got}", more cells than the header has; part cells by ; where decimals have commas')
            continue
        try:
            t, k = cell_number(row[times[0]]) * time_scale, cell_number(row[plates[0]]) * scale + off
        except (ValueError, IndexError):
            wrong.append(f'line {i}: got "{",".join(row)[:60]}"; a time and a temperature are wanted')
            continue
        if not COLDEST - 1e-6 <= k <= HOTTEST + 1e-6:
            wrong.append(f"line {i}: plate is {k - 273.15:.4g} °C; -40 to 600 °C is allowed")
        elif time and t <= time[-1]:
            wrong.append(f"line {i}: time goes from {time[-1]:.0f} s to {t:.0f} s; times must rise")
        else:
            time.append(t)
            plate.append(k)
    if wrong:
        more = f"\n{name}: and {len(wrong) - 8} more" if len(wrong) > 8 else ""
        raise InputError("\n".join(f"{name} {line}" for line in wrong[:8]) + more)
    if len(time) < 2:
        raise InputError(f"{name}: has {len(time)} usable line{'' if len(time) == 1 else 's'}; at least two are wanted")
    if time[-1] - time[0] > LONGEST:
        raise InputError(f"{name}: lasts {(time[-1] - time[0]) / 3600:.0f} h; at most 48 h are run. Is the time's unit right?")
    return PlateCurve(name, np.array(time) - time[0], np.array(plate))


def _words(table: Iterable[str]) -> str:
    return ", ".join(table)
