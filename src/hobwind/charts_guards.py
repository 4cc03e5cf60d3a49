"""Charts of guards side by side and of the fault drill."""

from __future__ import annotations

from typing import Any

import altair as alt

from .charts import WIDTH, ZERO
from .studies.drill import Drill
from .studies.guards import Guards

TALL = 340
# Colour, dash and width of each kind, so that they can be told apart without colour; where lines lie on one another the
# broad ones show beneath the narrow ones.
LINES: dict[str, tuple[str, list[int], float]] = {
    "as it stands": ("#111111", [1, 0], 2.0),
    "none": ("#b5371f", [1, 0], 3.5),
    "central lift": ("#9cc3ea", [1, 0], 6.0),
    "edge tilt": ("#2a6fad", [1, 0], 3.0),
    "lever tilt": ("#0b2f5c", [2, 4], 2.0),
    "taller riser": ("#0b8a72", [1, 0], 2.0),
    "more modules": ("#8a5fa8", [7, 3], 2.0),
    "sink or blade": ("#e8b04a", [4, 4], 2.0),
    "shim": ("#0b8a72", [7, 3], 2.0),
    "riser, lift": ("#0b8a72", [10, 3], 4.0),
    "modules, lift": ("#8a5fa8", [10, 3], 4.0),
    "sink, lift": ("#e8b04a", [10, 3], 4.0),
    "shim, lift": ("#54606b", [10, 3], 4.0),
    "limit": ("#111111", [1, 3], 1.6),
}


def guards_chart(found: Guards) -> alt.LayerChart:
    """Hottest face of an over-fired evening against how hot the plate gets in it, a line for each guard.

    Args:
        found: the comparison.

    Returns:
        The chart.
    """
    kinds = [one.kind for one in found.rows]
    names = [kind for kind in LINES if kind in kinds or kind == "limit"]
    limit = found.build.face_limit - ZERO
    colours, dashes = (alt.Scale(domain=names, range=[LINES[name][i] for name in names]) for i in range(2))
    legend = alt.Legend(symbolType="stroke", symbolSize=500)
    colour = alt.Color("guard:N", title="guard", sort=None, scale=colours, legend=legend)
    dash = alt.StrokeDash("guard:N", title="guard", sort=None, scale=dashes, legend=legend)
    x = alt.X("plate:Q", title="hottest plate of the evening, °C", scale=alt.Scale(zero=False, nice=False))
    y = alt.Y("face:Q", title="hottest module face, °C", scale=alt.Scale(zero=False))
    layers: list[alt.Chart] = []
    for one in found.rows:
        rows = [
            {"plate": round(float(plate) - ZERO, 2), "face": round(float(peak) - ZERO, 2), "guard": one.kind}
            for plate, peak in zip(one.plates, one.peaks, strict=True)
        ]
        line = alt.Chart(alt.InlineData(values=rows)).mark_line(strokeWidth=LINES[one.kind][2])
        layers.append(line.encode(x=x, y=y, color=colour, strokeDash=dash))
    rule = alt.Chart(alt.InlineData(values=[{"face": round(limit, 2), "guard": "limit"}])).mark_rule(strokeWidth=1.6)
    layers.append(rule.encode(y=y, color=colour, strokeDash=dash))
    return _dressed(alt.layer(*layers), f"{found.build.name}: guards in an evening that gets out of hand", TALL)


def drill_chart(found: Drill) -> alt.LayerChart:
    """Kelvin between the part nearest its limit and that limit, a bar for each fault; left of nought it dies.

    Args:
        found: the drill.

    Returns:
        The chart.
    """
    cases = [("nothing wrong", found.healthy), *((one.drilled.name, one.drilled) for one in found.singles)]
    rows: list[dict[str, Any]] = [
        {"fault": name, "margin": round(one.margin, 2), "part": one.part, "lives": "lives" if one.lives else "dies"}
        for name, one in cases
    ]
    y = alt.Y("fault:N", sort=None, title=None, axis=alt.Axis(labelLimit=220))
    colour = alt.Color("lives:N", title=None, scale=alt.Scale(domain=["lives", "dies"], range=["#0b8a72", "#b5371f"]))
    base = alt.Chart(alt.InlineData(values=rows))
    title = "kelvin below its limit of the part nearest to it"
    low, high = min(row["margin"] for row in rows), max(row["margin"] for row in rows)
    room = 0.3 * max(high - low, 10.0)  # for the words beside the bars
    x = alt.X("margin:Q", title=title, scale=alt.Scale(domain=[min(low, 0.0) - room, max(high, 0.0) + room], nice=False))
    bars = base.mark_bar(height=11).encode(x=x, y=y, color=colour)
    right = base.transform_filter("datum.margin >= 0").mark_text(align="left", dx=5, fontSize=10)
    left = base.transform_filter("datum.margin < 0").mark_text(align="right", dx=-5, fontSize=10)
    words = [text.encode(x=x, y=y, text="part:N") for text in (right, left)]
    whole = alt.layer(bars, *words)
    return _dressed(whole, f"{found.build.name}: one thing going wrong in the over-fired evening", 19 * len(rows))


def _dressed(chart: Any, title: str, height: int) -> alt.LayerChart:
    finished: alt.LayerChart = (
        chart.properties(width=WIDTH, height=height, title=title)
        .configure_view(stroke="#bbbbbb")
        .configure_axis(labelFontSize=11, titleFontSize=12, titleFontWeight="normal", gridColor="#e4e4e4")
        .configure_legend(labelFontSize=11, titleFontSize=12, titleFontWeight="normal")
    )
    return finished
