"""Charts of a solved build and of one evening, each defined once.

Lines differ in colour and in dashes, so that they can be told apart without either. Nothing is fetched: data stand in
the chart, and pictures are made by the converter that comes with the package.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

import altair as alt
import vl_convert as vlc

from .stack.evening import Evening
from .stack.fields import Seen
from .stack.steady import MapPoint, Rest
from .studies.headline import Headline

Chart = alt.VConcatChart
Row = dict[str, Any]
ZERO = 273.15
RPM = 60.0 / (2.0 * math.pi)  # for each rad/s
WIDTH, TALL, LOW = 560, 250, 120  # pixels
VERSION = ".".join(alt.SCHEMA_VERSION.lstrip("v").split(".")[:2])  # of the chart language, as altair writes it


@dataclass(frozen=True)
class Trace:
    """One line: its words in the legend, where its figures stand, its colour and dashes."""

    name: str
    column: Seen
    colour: str
    dash: tuple[int, ...]


PLATE = Trace("stove plate", Seen.plate, "#7a7a7a", (1, 0))
HOT = Trace("hot face", Seen.hot_face, "#b5371f", (1, 0))
COLD = Trace("cold face", Seen.cold_face, "#2a6fad", (9, 3))
SINK = Trace("sink", Seen.sink, "#0b8a72", (3, 3))
ELEMENT = Trace("wax element", Seen.element, "#8a5fa8", (8, 3, 2, 3))
LIMIT = ("limit of the hot face", "#111111", (1, 3))
BRANCHES = (("from rest", "from_rest", 2.0), ("running down", "running_down", 0.9))
EVENTS = {"starts": "triangle-up", "stops": "square", "lifts": "diamond", "sits back": "circle"}


def map_chart(solved: Headline) -> Chart:
    """Temperatures, speed, air and gap at rest over plate temperature, on both branches.

    Args:
        solved: a solved build.

    Returns:
        The chart; where a point has not settled its lines are broken.
    """
    traces = (HOT, COLD, SINK)
    heats, speeds, airs, gaps = [], [], [], []
    for branch, attribute, _ in BRANCHES:
        for point in getattr(solved.map, attribute):
            at = {"plate": point.plate - ZERO, "branch": branch}
            heats += [{**at, "line": t.name, "value": _settled(point, t.column, 1.0, -ZERO)} for t in traces]
            speeds.append({**at, "value": _settled(point, Seen.speed, RPM)})
            airs.append({**at, "value": _settled(point, Seen.air_flow, 3600.0)})
            gaps.append({**at, "value": _settled(point, Seen.gap, 1e3)})
    points = [p for _, attribute, _ in BRANCHES for p in getattr(solved.map, attribute) if p.outcome is Rest.SETTLED]
    limits = [float(p.seen[Seen.hot_face] + p.seen[Seen.margin]) - ZERO for p in points]
    x = alt.X("plate:Q", title="stove plate, °C", scale=alt.Scale(zero=False, nice=False))
    width = alt.StrokeWidth(
        "branch:N", title="branch",
        scale=alt.Scale(domain=[b[0] for b in BRANCHES], range=[b[2] for b in BRANCHES]), legend=_legend(),
    )  # fmt: skip
    layers: list[alt.Chart] = [
        _lines(heats, x, "temperature, °C", traces, bool(limits)).encode(strokeWidth=width, detail="branch:N")
    ]
    if limits:
        layers.append(_limit(min(limits), traces))
    panels = [alt.layer(*layers).properties(width=WIDTH, height=TALL)]
    for rows, title, colour in (
        (speeds, "speed, rpm", "#3d3d3d"), (airs, "air, m³/h", "#3d3d3d"), (gaps, "gap, mm", "#3d3d3d"),
    ):  # fmt: skip
        line = (
            alt.Chart(data(rows))
            .mark_line(color=colour, clip=True)
            .encode(x=x, y=alt.Y("value:Q", title=title), strokeWidth=width)
        )
        panels.append(line.properties(width=WIDTH, height=LOW))
    return finish(panels, f"{solved.build.name}: settled map")


def evening_chart(ran: Evening, limit: float) -> Chart:
    """Temperatures, gap and speed over one evening, with what happened marked on the plate's line.

    Args:
        ran: the evening.
        limit: of the hot face. [K]

    Returns:
        The chart.
    """
    traces = (PLATE, HOT, SINK, ELEMENT)
    hours = [float(second) / 3600.0 for second in ran.time]
    heats = [
        {"hour": hour, "line": t.name, "value": _figure(float(row[t.column]) - ZERO)}
        for hour, row in zip(hours, ran.seen, strict=True)
        for t in traces
    ]
    x = alt.X("hour:Q", title="time, h", scale=alt.Scale(domain=[hours[0], hours[-1]], nice=False))
    happened = [{"hour": e.time / 3600.0, "value": e.plate - ZERO, "what": e.what} for e in ran.events]
    layers = [_lines(heats, x, "temperature, °C", traces, True), _limit(limit - ZERO, traces)]
    if happened:
        kinds = [kind for kind in EVENTS if any(row["what"] == kind for row in happened)]
        shapes = alt.Scale(domain=kinds, range=[EVENTS[kind] for kind in kinds])
        marks = alt.Chart(data(happened)).mark_point(size=70, filled=True, color="#111111", opacity=1.0)
        layers.append(marks.encode(x=x, y="value:Q", shape=alt.Shape("what:N", title="what happened", scale=shapes)))
    panels = [alt.layer(*layers).resolve_scale(shape="independent").properties(width=WIDTH, height=TALL)]
    for column, factor, title in ((Seen.gap, 1e3, "gap, mm"), (Seen.speed, RPM, "speed, rpm")):
        figures = [_figure(float(row[column]) * factor) for row in ran.seen]
        rows = [{"hour": hour, "value": figure} for hour, figure in zip(hours, figures, strict=True)]
        line = alt.Chart(data(rows)).mark_line(color="#3d3d3d", strokeWidth=1.3)
        panels.append(line.encode(x=x, y=alt.Y("value:Q", title=title)).properties(width=WIDTH, height=LOW))
    return finish(panels, f"{ran.curve.name} evening")


def picture(chart: Any, kind: Literal["svg", "png"]) -> bytes:
    """A chart as a picture.

    Args:
        chart: an altair chart.
        kind: "svg" or "png".

    Returns:
        The bytes of the picture's file.
    """
    spec = chart.to_dict()
    if kind == "svg":
        return _renumbered(str(vlc.vegalite_to_svg(spec, vl_version=VERSION))).encode()
    return bytes(vlc.vegalite_to_png(spec, vl_version=VERSION, scale=2.0))


def _renumbered(svg: str) -> str:
    """The same SVG with its clips counted from nought: the converter counts on from picture to picture."""
    numbers: dict[str, int] = {}
    return re.sub(r"\b(clip|gradient_?)(\d+)\b", lambda m: f"{m[1]}{numbers.setdefault(m[0], len(numbers))}", svg)


def _figure(value: float) -> float | None:
    """A figure short enough to keep the file small; None, which breaks a line, when there is none."""
    return round(value, 4) if abs(value) < 1e12 else None


def _settled(point: MapPoint, column: Seen, factor: float, shift: float = 0.0) -> float | None:
    return _figure(float(point.seen[column]) * factor + shift) if point.outcome is Rest.SETTLED else None


def data(rows: Iterable[Row]) -> alt.InlineData:
    return alt.InlineData(values=list(rows))


def _legend() -> alt.Legend:
    return alt.Legend(symbolType="stroke", symbolSize=500, labelLimit=260, titleLimit=260)


def _scales(traces: tuple[Trace, ...], limited: bool) -> tuple[alt.Scale, alt.Scale]:
    """Colours and dashes by name; one pair for lines and limit together, so that they share a legend."""
    names, colours, dashes = [t.name for t in traces], [t.colour for t in traces], [list(t.dash) for t in traces]
    if limited:
        names, colours, dashes = [*names, LIMIT[0]], [*colours, LIMIT[1]], [*dashes, list(LIMIT[2])]
    return alt.Scale(domain=names, range=colours), alt.Scale(domain=names, range=dashes)


def _lines(rows: list[Row], x: alt.X, title: str, traces: tuple[Trace, ...], limited: bool) -> alt.Chart:
    colours, dashes = _scales(traces, limited)
    chart: alt.Chart = (
        alt.Chart(data(rows))
        .mark_line(strokeJoin="round")
        .encode(
            x=x,
            y=alt.Y("value:Q", title=title),
            color=alt.Color("line:N", title="temperature of", scale=colours, sort=None, legend=_legend()),
            strokeDash=alt.StrokeDash("line:N", title="temperature of", scale=dashes, sort=None, legend=_legend()),
        )
    )
    return chart


def _limit(value: float, traces: tuple[Trace, ...]) -> alt.Chart:
    colours, dashes = _scales(traces, True)
    rows = [{"value": round(value, 3), "line": LIMIT[0]}]
    chart: alt.Chart = (
        alt.Chart(data(rows))
        .mark_rule(strokeWidth=1.4)
        .encode(
            y="value:Q",
            color=alt.Color("line:N", title="temperature of", scale=colours, sort=None, legend=_legend()),
            strokeDash=alt.StrokeDash("line:N", title="temperature of", scale=dashes, sort=None, legend=_legend()),
        )
    )
    return chart


def finish(panels: list[Any], title: str) -> Chart:
    """Panels below each other, in the house style."""
    chart = alt.vconcat(*panels, spacing=14).properties(title=title)
    finished: Chart = (
        chart.configure_view(stroke="#bbbbbb")
        .configure_axis(labelFontSize=11, titleFontSize=12, titleFontWeight="normal", gridColor="#e4e4e4")
        .configure_legend(labelFontSize=11, titleFontSize=12, titleFontWeight="normal")
    )
    return finished
