"""Charts of one wax guard: its stroke opening and closing, and gap and force along the stroke."""

from __future__ import annotations

import altair as alt
import numpy as np

from .build import Build
from .charts import LOW, WIDTH, ZERO, Chart, data, finish
from .studies.stroke import Floats, Loop

TALL = 240
WAYS = (("warming", "#b5371f", (1, 0)), ("cooling", "#2a6fad", (6, 3)))
GAPS = (("foot's side that rises", "#0b8a72", (1, 0)), ("its other side", "#8a5fa8", (6, 3)))
FORCES = (("asked of the element", "#111111", (1, 0)), ("the weakest of its sort gives", "#b5371f", (6, 3)))
Kinds = tuple[tuple[str, str, tuple[int, int]], ...]


def _scales(kinds: Kinds) -> dict[str, alt.Color | alt.StrokeDash]:
    names = [kind[0] for kind in kinds]
    colours = alt.Scale(domain=names, range=[kind[1] for kind in kinds])
    dashes = alt.Scale(domain=names, range=[list(kind[2]) for kind in kinds])
    return {
        "color": alt.Color("what:N", title=None, sort=None, scale=colours),
        "strokeDash": alt.StrokeDash("what:N", title=None, sort=None, scale=dashes),
    }


def loop_chart(build: Build, loop: Loop) -> Chart:
    """Stroke against the element's temperature, warming and cooling, with where the pin lifts and where the stop is.

    Args:
        build: with the guard.
        loop: its stroke loop.

    Returns:
        The chart.
    """
    rows = [
        {"degrees": round(float(heat) - ZERO, 2), "stroke": round(float(one) * 1e3, 3), "what": kind[0], "order": i}
        for kind, strokes in zip(WAYS, (loop.opening, loop.closing), strict=True)
        for i, (heat, one) in enumerate(zip(loop.element, strokes, strict=True))
    ]
    x = alt.X("degrees:Q", title="wax element, °C", scale=alt.Scale(zero=False, nice=False))
    y = alt.Y("stroke:Q", title="stroke of the pin, mm")
    lines = alt.Chart(data(rows)).mark_line(strokeWidth=2.5).encode(x=x, y=y, order="order:Q", **_scales(WAYS))
    left = round(float(loop.element[0]) - ZERO, 2)
    marks = [
        {"stroke": round(loop.lost_motion * 1e3, 3), "says": "here it touches the plate and lifts", "degrees": left},
        {"stroke": round(loop.stop_at * 1e3, 3), "says": "here the fan is at its stop", "degrees": left},
    ]
    base = alt.Chart(data(marks))
    rules = base.mark_rule(strokeDash=[1, 3], color="#111111").encode(y="stroke:Q")
    words = base.mark_text(align="left", dx=4, dy=-6, fontSize=11).encode(y="stroke:Q", x="degrees:Q", text="says:N")
    panel = alt.layer(rules, lines, words).properties(width=WIDTH, height=TALL)
    return finish([panel], "stroke, opening and closing")


def _along(loop: Loop, kinds: Kinds, columns: tuple[Floats, ...], key: str, scale: float) -> list[dict[str, float | str]]:
    """One row for each point of each line."""
    return [
        {"stroke": round(float(at) * 1e3, 4), key: round(float(value) * scale, 4), "what": kind[0]}
        for kind, column in zip(kinds, columns, strict=True)
        for at, value in zip(loop.stroke, column, strict=True)
    ]


def along_chart(loop: Loop) -> Chart:
    """Gap under the foot and force at the pin along the stroke.

    Args:
        loop: a stroke loop.

    Returns:
        The chart.
    """
    domain = alt.Scale(domain=[0.0, round(float(loop.stroke[-1]) * 1e3, 3)], nice=False)
    flat = bool((loop.gap_near == loop.gap_far).all())
    kinds: Kinds = (("gap, even all round", "#0b8a72", (1, 0)),) if flat else GAPS
    given = np.full(loop.stroke.size, loop.has_weakest)
    gaps = _along(loop, kinds, (loop.gap_far,) if flat else (loop.gap_far, loop.gap_near), "gap", 1e3)
    forces = _along(loop, FORCES, (loop.force, given), "force", 1.0)
    panels = []
    for rows, column, title, scales in ((gaps, "gap", "gap under the foot, mm", kinds), (forces, "force", "force, N", FORCES)):
        x = alt.X("stroke:Q", title="stroke of the pin, mm", scale=domain)
        line = alt.Chart(data(rows)).mark_line(strokeWidth=2.5)
        panels.append(
            line.encode(x=x, y=alt.Y(f"{column}:Q", title=title), **_scales(scales)).properties(width=WIDTH, height=LOW)
        )
    finished: Chart = finish(panels, "along the stroke").resolve_scale(color="independent", strokeDash="independent")
    return finished
