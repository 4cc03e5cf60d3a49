"""The winters as curves: peaks of each evening with the limit, and cycles by depth."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import altair as alt

from .charts import WIDTH, Chart, data, finish, picture
from .diary.causes import VALUES
from .diary.health import Look
from .diary.summary import Winters, winters_report
from .files import write_whole


def winters_chart(found: Winters) -> Chart:
    """Hottest plate and hot face of every evening, the face's limit, and cycles by depth.

    Args:
        found: what the diary holds of a fan.

    Returns:
        The chart.
    """
    rows = []
    for one in found.evenings:
        at = one["began_s"] * 1000.0
        rows.append({"at": at, "line": "plate", "value": round(one["peak_plate_degC"], 2)})
        if one["peak_face_degC"] is not None:
            rows.append({"at": at, "line": "hot face", "value": round(one["peak_face_degC"], 2)})
    names = ["plate", "hot face"]
    colour = alt.Color("line:N", title="hottest", scale=alt.Scale(domain=names, range=["#7a7a7a", "#b5371f"]))
    shape = alt.Shape("line:N", title="hottest", scale=alt.Scale(domain=names, range=["circle", "triangle-up"]))
    x = alt.X("at:T", title="evening", axis=_dates())
    layers = [
        alt.Chart(data(rows))
        .mark_point(filled=True, size=45, opacity=0.9)
        .encode(x=x, y=alt.Y("value:Q", title="temperature, °C", scale=alt.Scale(zero=False)), color=colour, shape=shape)
    ]
    limits = {one["limit_degC"] for one in found.evenings if one["limit_degC"] is not None}
    if limits:
        layers.append(
            alt.Chart(data([{"value": min(limits)}])).mark_rule(strokeDash=[1, 3], color="#111111").encode(y="value:Q")
        )
    cycles = [{"depth": f"{c['depth_from_K']:.0f}-{c['depth_to_K']:.0f}", "count": c["count"]} for c in found.cycles]
    bars = (
        alt.Chart(data(cycles))
        .mark_bar(color="#2a6fad")
        .encode(x=alt.X("depth:N", title="depth of the hot face's cycles, K", sort=None), y=alt.Y("count:Q", title="cycles"))
    )
    panels = [alt.layer(*layers).properties(width=WIDTH, height=220), bars.properties(width=WIDTH, height=120)]
    return finish(panels, f"{found.fan['name']}: evenings lit")


def looks_chart(looks: Sequence[Look], services: Sequence[Mapping[str, Any]], title: str) -> Chart | None:
    """Every value that looks found, over time: dots with their 19-in-20 bars, and lines where something was done to the fan.

    Args:
        looks: in order of time.
        services: rows of what was done.
        title: of the chart.

    Returns:
        The chart, a panel a value; None without looks.
    """
    panels = []
    done = [{"at": one["done_s"] * 1000.0, "work": one["work"]} for one in services]
    for name, value in VALUES.items():
        rows = [
            {"at": look.time * 1000.0, "value": v, "low": v - 2.0 * u, "high": v + 2.0 * u}
            for look in looks if name in look.values for v, u in [look.values[name]]
        ]  # fmt: skip
        if not rows:
            continue
        y = alt.Y("value:Q", title=f"{value.unit}", scale=alt.Scale(zero=False))
        base = alt.Chart(data(rows)).encode(x=_day())
        layers: list[Any] = [
            base.mark_rule(color="#2a6fad", strokeWidth=1.5).encode(y=alt.Y("low:Q", title=value.unit), y2="high:Q"),
            base.mark_point(filled=True, size=45, color="#2a6fad", opacity=1.0).encode(y=y),
        ]
        if done:
            layers.append(alt.Chart(data(done)).mark_rule(color="#8a5fa8", strokeDash=[3, 3]).encode(x=_day()))
        panels.append(alt.layer(*layers).properties(width=WIDTH, height=110, title=alt.Title(value.says, anchor="start")))
    return finish(panels, title) if panels else None


def _day() -> alt.X:
    return alt.X("at:T", title=None, axis=_dates())


def _dates() -> alt.Axis:
    """Days that keep apart and inside the picture on a telephone too."""
    return alt.Axis(format="%Y-%m-%d", tickCount=5, labelOverlap="greedy", labelSeparation=10, labelFlush=30)


def write_winters(found: Winters, text: str, out: Path) -> list[Path]:
    """Write the picture, figures and text of a fan's winters.

    Args:
        found: what the diary holds of a fan.
        text: the same as text.
        out: folder, made when missing.

    Returns:
        Paths written.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    chart = winters_chart(found)
    files: dict[str, str | bytes] = {
        "winters.svg": picture(chart, "svg"),
        "winters.png": picture(chart, "png"),
        "winters.json": json.dumps(winters_report(found), indent=1, allow_nan=False) + "\n",
        "winters.txt": text,
    }
    for name, content in files.items():
        write_whole(out / name, content)
    return [out / name for name in files]
