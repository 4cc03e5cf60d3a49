"""Times of a log: seconds, minutes or hours since the start, or a clock with or without a date."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from .measured import Floats

ELAPSED = {"s": 1.0, "min": 60.0, "h": 3600.0, "ms": 1e-3}
CLOCK = "clock"
# Orders of a date that are tried; the first that reads every line and never goes back wins.
_DATES = ("%Y-%m-%d", "%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y", "%Y/%m/%d", "%d-%m-%Y", "%d.%m.%y", "%m/%d/%y")
_TIMES = ("%H:%M:%S", "%H:%M:%S.%f", "%H:%M", "%I:%M:%S %p", "%I:%M %p")
_ALONE = re.compile(r"^\s*(\d{1,3}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?\s*([AaPp][Mm])?\s*$")
HALF_A_DAY = 43200.0


def looks_like_clock(words: NDArray[np.object_]) -> bool:
    """Whether most cells read like a time of day or a date with one."""
    some = [str(one) for one in words[:40] if str(one).strip()]
    return bool(some) and sum(bool(re.search(r"\d{1,3}:\d{2}", one)) for one in some) > 0.7 * len(some)


def seconds(words: NDArray[np.object_]) -> tuple[Floats, str]:
    """Turn clock cells into seconds, and say on which day they begin.

    Args:
        words: cells, such as "19:05", "0:05:30", "14.01.2026 19:05:00".

    Returns:
        Seconds, NaN where a cell cannot be read, and the day as 2026-01-14, or "" when none is given. [s]
    """
    first = next((str(one).strip() for one in words if str(one).strip()), "")
    if _ALONE.match(first):
        return _without_date(words), ""
    import pandas as pd

    text = pd.Series(words, dtype=object).astype(str).str.strip().str.replace("T", " ", regex=False)
    text = text.str.replace(r"(Z|[+-]\d{2}:?\d{2})$", "", regex=True)
    best: tuple[int, Floats, str] = (-1, np.full(len(words), np.nan), "")
    for day in _DATES:
        for hour in _TIMES:
            head = pd.to_datetime(text[:30], format=f"{day} {hour}", errors="coerce")
            if head.notna().sum() < 0.6 * len(head):
                continue
            found = pd.to_datetime(text, format=f"{day} {hour}", errors="coerce")
            stamp = found.to_numpy(dtype="datetime64[ns]")
            value = np.where(found.notna(), stamp.astype(np.int64) / 1e9, np.nan)
            known = value[np.isfinite(value)]
            score = known.size - int((np.diff(known) < 0.0).sum())
            if score > best[0]:
                best = (score, value, str(np.datetime_as_string(stamp[found.notna()][0], "D")))
    return best[1], best[2]


def _without_date(words: NDArray[np.object_]) -> Floats:
    """A clock without a date; past midnight a day is added."""
    found, day, before = np.full(len(words), np.nan), 0.0, -np.inf
    for i, word in enumerate(words):
        match = _ALONE.match(str(word))
        if match is None or int(match[2]) > 59:
            continue
        hours = int(match[1])
        if match[4]:
            hours = hours % 12 + (12 if match[4].lower() == "pm" else 0)
        value = hours * 3600.0 + int(match[2]) * 60.0 + float((match[3] or "0").replace(",", "."))
        if value + day < before - HALF_A_DAY:
            day += 86400.0
        found[i] = value + day
        before = max(before, found[i])
    return found
