"""The front of a pick as a picture: early start against air, margin as colour and size, the answers numbered."""

from __future__ import annotations

import itertools
import math
from typing import Any

import altair as alt
import numpy as np

from .charts import data
from .studies.pick import ranking
from .studies.pick.picking import Picked

WIDTH, TALL = 560, 380  # pixels
ZERO = 273.15
MOST_DOTS = 1500
ROUND = ((16, -12), (16, 13), (-16, -12), (-16, 13), (0, -18), (0, 19))  # pixels
KINDS = ("what else lives", "beaten by none", "answer")


def front_chart(found: Picked) -> alt.LayerChart:
    """Every fan that went through evenings and lives, the front, and the answers with their numbers.

    Args:
        found: a pick.

    Returns:
        The chart.
    """
    sample = found.survivors
    lives = np.flatnonzero(sample.met[:, 0] & sample.met[:, 1] & sample.met[:, 6] & (sample.space == 0))
    on = ranking.front(sample.starts[lives], sample.air[lives], sample.margin[lives])
    dots = [
        _dot(sample.starts[i], sample.air[i], sample.margin[i], KINDS[int(fronting)])
        for i, fronting in zip(lives[:MOST_DOTS], on[:MOST_DOTS], strict=True)
    ]
    answers = [
        _dot(one.starts or math.nan, one.air, one.margin, KINDS[2]) | {"number": str(i + 1)}
        for i, one in enumerate(found.listed)
        if one.starts is not None
    ]
    x = alt.X("start:Q", title="starts at a plate of, °C (usual evening; left is earlier)", scale=alt.Scale(zero=False))
    y = alt.Y("air:Q", title="air on the usual plate, m³/h", scale=alt.Scale(zero=False))
    shape = alt.Shape(
        "kind:N", title="", sort=list(KINDS), scale=alt.Scale(domain=list(KINDS), range=["circle", "diamond", "square"])
    )
    colour = alt.Color(
        "margin:Q",
        title="least margin, K",
        scale=alt.Scale(domain=[0, 15, 30], range=["#b5371f", "#d9a441", "#0b6a8a"], clamp=True),
    )
    marks = (
        ([row for row in dots if row["kind"] == KINDS[0]], {"size": 26, "opacity": 0.45}),
        ([row for row in dots if row["kind"] == KINDS[1]], {"size": 60, "opacity": 0.9}),
        (answers, {"size": 230, "opacity": 1.0, "stroke": "#111111", "strokeWidth": 1.2}),
    )
    # A layer without dots has no extent, about which browsers complain.
    layers: list[Any] = [alt.Chart(data(rows)).mark_point(filled=True, **look) for rows, look in marks if rows]
    drawn = [layer.encode(x=x, y=y, shape=shape, color=colour) for layer in layers]
    # Each number in a direction of its own, so that answers that lie close can be told apart.
    words = [
        alt.Chart(data([row])).mark_text(fontSize=13, fontWeight="bold", dx=dx, dy=dy).encode(x=x, y=y, text="number:N")
        for row, (dx, dy) in zip(answers, itertools.cycle(ROUND), strict=False)
    ]
    chart = alt.layer(*drawn, *words).properties(width=WIDTH, height=TALL, title=f"{found.bin.name}: what trades against what")
    finished: alt.LayerChart = (
        chart.configure_view(stroke="#bbbbbb")
        .configure_axis(labelFontSize=11, titleFontSize=12, titleFontWeight="normal", gridColor="#e4e4e4")
        .configure_legend(labelFontSize=11, titleFontSize=12, titleFontWeight="normal")
    )
    return finished


def _dot(starts: float, air: float, margin: float, kind: str) -> dict[str, Any]:
    return {
        "start": round(float(starts) - ZERO, 2), "air": round(float(air) * 3600.0, 2), "margin": round(float(min(margin, 99.0)), 1),
        "kind": kind,
    }  # fmt: skip
