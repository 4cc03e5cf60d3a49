"""Pictures of odds and of the worth list, and everything the two commands write into a folder."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import altair as alt
import numpy as np

from .charts import LIMIT, LOW, WIDTH, Chart, data, finish, picture
from .files import write_whole
from .studies.odds import HEAD, Odds
from .studies.odds_fans import TOLD, Figure
from .studies.odds_report import KEYS, odds_report
from .studies.worth import Worth
from .studies.worth_report import worth_report

BARS = 40
UNITS = {Figure.starts_at: "°C", Figure.air: "m³/h", Figure.peak_face: "°C"}
INK, PALE = "#2a6fad", "#9fbfdc"
MARKS = (("19 in 20 lie between", INK, (6, 3)), ("as written", "#8a5fa8", (1, 0)), LIMIT)
ROW = 22  # pixels for each bar


def odds_chart(odds: Odds) -> Chart:
    """How the thrown fans lie: one panel a figure, its band shaded, the build as written marked; then what to measure.

    Args:
        odds: what the thrown fans came to.

    Returns:
        The chart.
    """
    limit = odds.build.face_limit - 273.15
    panels: list[Any] = [_lying(odds, figure, limit) for figure in HEAD if _there(odds, figure)]
    measures = _measures(odds)
    if measures is not None:
        panels = [alt.vconcat(*panels, spacing=14), measures]
    finished = finish(panels, f"{odds.build.name}: {odds.count:,} thrown fans")
    parted: Chart = finished.resolve_scale(color="independent", strokeDash="independent")
    return parted


def lying_chart(odds: Odds) -> Chart | None:
    """How the thrown fans lie, without what to measure; None when no figure has a band.

    Args:
        odds: what the thrown fans came to.

    Returns:
        The chart.
    """
    limit = odds.build.face_limit - 273.15
    panels = [_lying(odds, figure, limit) for figure in HEAD if _there(odds, figure)]
    if not panels:
        return None
    parted: Chart = finish(panels, f"{odds.count:,} thrown fans").resolve_scale(color="shared", strokeDash="shared")
    return parted


def _there(odds: Odds, figure: Figure) -> bool:
    return figure in odds.bands and math.isfinite(odds.bands[figure].middle)


def _lying(odds: Odds, figure: Figure, limit: float) -> Any:
    """How the thrown fans lie in one figure."""
    band, (_, factor, shift) = odds.bands[figure], KEYS[figure]
    found = odds.figures[..., figure].ravel()
    counts, edges = np.histogram(found[np.isfinite(found)] * factor + shift, BARS)
    rows = [
        {"from": round(float(low), 3), "to": round(float(high), 3), "none": 0, "fans": int(number)}
        for number, low, high in zip(counts, edges[:-1], edges[1:], strict=True)
    ]
    x = alt.X("from:Q", title=f"{TOLD[figure].says}, {UNITS[figure]}", scale=alt.Scale(zero=False))
    bars = alt.Chart(data(rows)).mark_rect(color=PALE)
    marks = [(end * factor + shift, MARKS[0][0]) for end in (band.low, band.high)]
    marks.append((float(odds.written[figure]) * factor + shift, MARKS[1][0]))
    if figure is Figure.peak_face:
        marks.append((limit, MARKS[2][0]))
    names, colours, dashes = [m[0] for m in MARKS], [m[1] for m in MARKS], [list(m[2]) for m in MARKS]
    ends = [{"from": round(at, 3), "what": what} for at, what in marks if math.isfinite(at)]
    rules = (
        alt.Chart(data(ends))
        .mark_rule(strokeWidth=2)
        .encode(
            x="from:Q",
            strokeDash=alt.StrokeDash("what:N", title=None, sort=None, scale=alt.Scale(domain=names, range=dashes)),
            color=alt.Color("what:N", title=None, sort=None, scale=alt.Scale(domain=names, range=colours)),
        )
    )
    return alt.layer(bars.encode(x=x, x2="to:Q", y=alt.Y("fans:Q", title="fans"), y2="none:Q"), rules).properties(
        width=WIDTH, height=LOW
    )


def _measures(odds: Odds) -> alt.Chart | None:
    rows = [
        {"input": measure.input.die.name, "figure": TOLD[figure].says, "share": round(100.0 * share, 2), "rank": rank}
        for rank, measure in enumerate(odds.measures[:8])
        for figure, share, loose in zip(HEAD, measure.share, measure.loose, strict=True)
        if math.isfinite(share) and share > loose
    ]
    if not rows:
        return None
    names = [TOLD[figure].says for figure in HEAD]
    chart: alt.Chart = (
        alt.Chart(data(rows), title="what the spread hangs on, each input alone")
        .mark_bar()
        .encode(
            y=alt.Y(
                "input:N", title=None, sort=alt.EncodingSortField("rank", order="ascending"), axis=alt.Axis(labelLimit=260)
            ),
            x=alt.X("share:Q", title="share of the spread, in 100"),
            color=alt.Color(
                "figure:N", title=None, scale=alt.Scale(domain=names, range=["#0b8a72", INK, "#b5371f"]), sort=None
            ),
            yOffset=alt.YOffset("figure:N", sort=names),
        )
        .properties(width=WIDTH - 150, height=ROW * 1.6 * len({row["input"] for row in rows}))
    )
    return chart


def worth_chart(found: Worth) -> Chart:
    """Each improvement's change in start, air and margin with its band, best first.

    Args:
        found: the improvements.

    Returns:
        The chart.
    """
    gains = [*found.gains, *found.idle]
    order = [gain.option.says for gain in gains]
    panels = []
    for figure, title, factor in (
        (Figure.starts_at, "start, K (left is sooner)", 1.0),
        (Figure.air, "air, m³/h", 3600.0),
        (Figure.margin, "margin of face, joints and wire, K", 1.0),
    ):
        rows = []
        for gain in gains:
            one = gain.changes[figure]
            if math.isfinite(one.mean):
                mean, half = one.mean * factor, one.half * factor
                rows.append({
                    "says": gain.option.says, "low": round(mean - half, 3), "high": round(mean + half, 3),
                    "mean": round(mean, 3), "worth": "leave it" if gain.why_not else "worth doing",
                })  # fmt: skip
        y = alt.Y("says:N", title=None, sort=order, axis=alt.Axis(labelLimit=460))
        colour = alt.Color(
            "worth:N", title=None, scale=alt.Scale(domain=["worth doing", "leave it"], range=["#0b8a72", "#7a7a7a"]), sort=None
        )
        base = alt.Chart(data(rows))
        bar = base.mark_rule(strokeWidth=3).encode(y=y, x=alt.X("low:Q", title=title), x2="high:Q", color=colour)
        dot = base.mark_point(filled=True, size=60, opacity=1.0).encode(y=y, x="mean:Q", color=colour, shape=_shape())
        nought = alt.Chart(data([{"mean": 0.0}])).mark_rule(color="#111111").encode(x="mean:Q")
        panels.append(alt.layer(nought, bar, dot).properties(width=WIDTH - 150, height=ROW * max(len(order), 1)))
    return finish(panels, f"{found.build.name}: what each change brings, 19 in 20")


def _shape() -> alt.Shape:
    return alt.Shape(
        "worth:N", title=None, scale=alt.Scale(domain=["worth doing", "leave it"], range=["circle", "square"]), sort=None
    )


def _write(out: Path, stem: str, chart: Chart, data: dict[str, Any], text: str) -> list[Path]:
    files: dict[str, str | bytes] = {
        f"{stem}.svg": picture(chart, "svg"),
        f"{stem}.png": picture(chart, "png"),
        f"{stem}.json": json.dumps(data, indent=1, allow_nan=False) + "\n",
        f"{stem}.txt": text,
    }
    for name, content in files.items():
        write_whole(out / name, content)
    return [out / name for name in files]


def write_odds(odds: Odds, text: str, out: Path) -> list[Path]:
    """Write the picture, figures and text of odds.

    Args:
        odds: what the thrown fans came to.
        text: the odds as text.
        out: folder, made when missing.

    Returns:
        Paths written.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    return _write(out, "odds", odds_chart(odds), odds_report(odds), text)


def write_worth(found: Worth, text: str, out: Path) -> list[Path]:
    """Write the picture, figures and text of a worth list.

    Args:
        found: the improvements.
        text: the list as text.
        out: folder, made when missing.

    Returns:
        Paths written.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    return _write(out, "worth", worth_chart(found), worth_report(found), text)
