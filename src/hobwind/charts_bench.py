"""Bench readings on the curve fitted to them; curves with the same axes share a picture."""

from __future__ import annotations

from typing import Any

import altair as alt

from .bench.result import Curve, Result
from .charts import TALL, WIDTH, Chart, finish

COLOURS, SHAPES, DASHES = ("#b5371f", "#2a6fad", "#0b8a72"), ("circle", "square", "triangle-up"), ((1, 0), (8, 3), (3, 3))


def bench_chart(result: Result) -> Chart:
    """Readings and fitted curves of one bench test.

    Args:
        result: with at least one curve.

    Returns:
        The chart, one panel for each pair of axes.
    """
    panels: dict[tuple[str, str], list[Curve]] = {}
    for curve in result.curves:
        panels.setdefault((curve.x_title, curve.y_title), []).append(curve)
    return finish([_panel(axes, curves) for axes, curves in panels.items()], result.title)


def _panel(axes: tuple[str, str], curves: list[Curve]) -> Any:
    x, y = (alt.X("x:Q", title=axes[0], scale=alt.Scale(zero=False)), alt.Y("y:Q", title=axes[1], scale=alt.Scale(zero=False)))
    names = [curve.name for curve in curves]
    legend = alt.Legend(title=None) if len(curves) > 1 else None
    colour = alt.Color("name:N", scale=alt.Scale(domain=names, range=list(COLOURS[: len(names)])), legend=legend)
    shape = alt.Shape("name:N", scale=alt.Scale(domain=names, range=list(SHAPES[: len(names)])), legend=legend)
    dash = alt.StrokeDash("name:N", scale=alt.Scale(domain=names, range=[list(d) for d in DASHES[: len(names)]]), legend=legend)
    lines = [{"x": a, "y": b, "name": curve.name, "at": i} for curve in curves for i, (a, b) in enumerate(curve.line)]
    points = [{"x": a, "y": b, "name": curve.name} for curve in curves for a, b in curve.points]
    drawn = alt.Chart(alt.InlineData(values=lines)).mark_line().encode(x=x, y=y, color=colour, strokeDash=dash, order="at:Q")
    marks = alt.Chart(alt.InlineData(values=points)).mark_point(size=55, filled=True, opacity=1.0)
    return alt.layer(drawn, marks.encode(x=x, y=y, color=colour, shape=shape)).properties(width=WIDTH, height=TALL)
