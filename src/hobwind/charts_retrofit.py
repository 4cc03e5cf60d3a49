"""Chart of the modules that fit a found fan: how hot each gets against what it bears."""

from __future__ import annotations

from typing import Any

import altair as alt

from .charts import WIDTH, ZERO
from .studies.retrofit import Retrofit

ROW = 22


def modules_chart(found: Retrofit) -> alt.LayerChart:
    """Hottest face of the unguarded over-fired evening for each module that fits, its rating and its solder beside it.

    Args:
        found: the fan.

    Returns:
        The chart.
    """
    rows: list[dict[str, Any]] = []
    for one in found.fits:
        if one.tried is not None and one.peak is not None:
            label = f"{one.count} x {one.part.name}"
            marks = (("hottest face", one.peak), ("rated", one.part.hot_limit.value), ("solder melts", one.part.solder.value))
            rows += [{"module": label, "mark": mark, "at": round(value - ZERO, 1)} for mark, value in marks]
    names = ["hottest face", "rated", "solder melts"]
    colour = alt.Color("mark:N", title=None, sort=None, scale=alt.Scale(domain=names, range=["#b5371f", "#2a6fad", "#111111"]))
    form = alt.Shape("mark:N", title=None, sort=None, scale=alt.Scale(domain=names, range=["circle", "square", "diamond"]))
    base = alt.Chart(alt.InlineData(values=rows))
    y = alt.Y("module:N", sort=None, title=None, axis=alt.Axis(labelLimit=240, grid=True))
    x = alt.X("at:Q", title="over-fired, without a guard, °C", scale=alt.Scale(zero=False))
    span = base.mark_rule(color="#bbbbbb").encode(y=y, x=alt.X("min(at):Q"), x2="max(at):Q")
    dots = base.mark_point(filled=True, size=90, opacity=1.0, strokeWidth=2.5).encode(x=x, y=y, color=colour, shape=form)
    chart: alt.LayerChart = (
        alt.layer(span, dots)
        .properties(width=WIDTH, height=ROW * max(len(rows) // 3, 3), title=f"{found.outside.name}: modules that fit")
        .configure_view(stroke="#bbbbbb")
        .configure_axis(labelFontSize=11, titleFontSize=12, titleFontWeight="normal", gridColor="#e4e4e4")
        .configure_legend(labelFontSize=11, titleFontSize=12)
    )
    return chart
