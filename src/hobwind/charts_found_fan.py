"""Picture of a found fan's log: the stretches taken are shaded, and below them how far the fan lags behind rest."""

from __future__ import annotations

from typing import Any

import altair as alt
import numpy as np

from .charts import LOW, TALL, WIDTH, ZERO, Chart, data, finish
from .trial.settled import MOST_LATE, PLACES, Logged

LINES = {
    "plate": ("stove plate", "#7a7a7a", (1, 0)), "base": ("riser's foot", "#b5371f", (1, 0)),
    "riser": ("riser's top", "#8a5fa8", (8, 3, 2, 3)), "sink": ("sink", "#0b8a72", (3, 3)),
}  # fmt: skip
MOST_DOTS = 300
BEYOND = 60.0  # K; a lag further out is not drawn


def log_chart(log: Logged) -> Chart:
    """A log of a found fan with what was taken of it.

    Args:
        log: the log.

    Returns:
        The chart: readings as lines, what they would be at rest as dots with their spread, the lag beneath.
    """
    start, stop = log.measured.span
    scale = alt.Scale(domain=[start / 3600.0, stop / 3600.0], nice=False)
    x = alt.X("hour:Q", title="time, h", scale=scale)
    taken = data([{"hour": one.start / 3600.0, "until": one.stop / 3600.0} for one in log.stretches])
    bands = alt.Chart(taken).mark_rect(color="#e8c37a", opacity=0.45).encode(x=x, x2="until:Q")
    keys = [key for key in LINES if key in log.measured.series]
    names = [LINES[key][0] for key in keys]
    colour = alt.Color("line:N", title=None, sort=None, scale=alt.Scale(domain=names, range=[LINES[key][1] for key in keys]))
    dashes = alt.Scale(domain=names, range=[list(LINES[key][2]) for key in keys])
    rows = []
    for key in keys:
        series = log.measured.series[key]
        skip = max(1, series.time.size // MOST_DOTS)
        rows += [
            {"hour": round(float(t) / 3600.0, 4), "value": round(float(v) - ZERO, 1), "line": LINES[key][0]}
            for t, v in zip(series.time[::skip], series.value[::skip], strict=True)
        ]
    title = "temperature, °C"
    lines = alt.Chart(data(rows)).mark_line(strokeWidth=1.6)
    lines = lines.encode(
        x=x,
        y=alt.Y("value:Q", title=title),
        color=colour,
        strokeDash=alt.StrokeDash("line:N", title=None, sort=None, scale=dashes),
    )
    word = {place: LINES[key][0] for key, place in PLACES.items()}
    rest = [
        {
            "hour": 0.5 * (one.start + one.stop) / 3600.0, "line": word[told.place], "value": round(told.settled - ZERO, 2),
            "low": round(told.settled - told.half - ZERO, 2), "high": round(told.settled + told.half - ZERO, 2),
        }
        for one in log.stretches for told in one.told if told.place in word
    ]  # fmt: skip
    base = alt.Chart(data(rest))
    spreads = base.mark_rule(strokeWidth=2.0).encode(x=x, y=alt.Y("low:Q", title=title), y2="high:Q", color=colour)
    dots = base.mark_point(filled=True, size=55, opacity=1.0).encode(x=x, y=alt.Y("value:Q", title=title), color=colour)
    top = alt.layer(bands, lines, spreads, dots).properties(width=WIDTH, height=TALL)
    return finish([top, _lag(log, x, bands)], "stretches taken (shaded), at rest (dots)")


def _lag(log: Logged, x: alt.X, bands: Any) -> Any:
    """How far the fan lags behind rest, and the most that is taken."""
    rows = [
        {
            "hour": round(float(t) / 3600.0, 4),
            "value": None if not np.isfinite(late) or late > BEYOND else round(float(late), 2),
        }
        for t, late in zip(log.time[::3], log.late[::3], strict=True)
    ]
    y = alt.Y("value:Q", title="lag behind rest, K")
    line = alt.Chart(data(rows)).mark_line(color="#3d3d3d", strokeWidth=1.6).encode(x=x, y=y)
    most = alt.Chart(data([{"value": MOST_LATE}])).mark_rule(color="#111111", strokeDash=[1, 3], strokeWidth=1.4).encode(y=y)
    return alt.layer(bands, line, most).properties(width=WIDTH, height=LOW)
