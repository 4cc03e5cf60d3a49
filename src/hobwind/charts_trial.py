"""Pictures of a trial: readings on the predicted band, before and after the fit; and everything the command writes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import altair as alt

from .charts import LOW, RPM, WIDTH, ZERO, Chart, data, finish, picture
from .files import write_whole
from .trial.channels import CHANNELS
from .trial.compare import Compared, band_of
from .trial.report import trial_report
from .trial.together import Trial

NOTE_ROWS = 3  # notes stand below one another, so that neighbours do not overlap
UNITS = {
    "temperature": ("°C", 1.0, -ZERO), "turning": ("rpm", RPM, 0.0), "current": ("A", 1.0, 0.0), "voltage": ("V", 1.0, 0.0),
    "length": ("mm", 1e3, 0.0),
}  # fmt: skip
GUESSED, FITTED, DOTS = ("as guessed", "#2a6fad", (6, 3)), ("what the fire says", "#0b8a72", (1, 0)), "#111111"


def trial_chart(found: Trial) -> Chart:
    """One panel a channel: readings as dots, the predicted band shaded, the prediction before and after the fit.

    Args:
        found: the trial.

    Returns:
        The chart.
    """
    panels: list[Any] = [_plate(found)]
    if found.compared is not None:
        shown = [(GUESSED, found.compared)] + ([] if found.fitted is None else [(FITTED, found.fitted)])
        panels += [_panel(points.key, shown) for points in found.compared.rig.points]
    return finish(panels, f"{found.build.name}: measured (dots) on predicted, bands hold 19 in 20")


def _x() -> alt.X:
    return alt.X("hour:Q", title="time, h", scale=alt.Scale(zero=False, nice=False))


def _plate(found: Trial) -> Any:
    curve = found.measured.series["plate"]
    skip = max(1, curve.time.size // 400)
    rows = [
        {"hour": round(float(t) / 3600.0, 4), "value": round(float(v) - ZERO, 2)}
        for t, v in zip(curve.time[::skip], curve.value[::skip], strict=True)
    ]
    notes = [
        {"hour": note.time / 3600.0, "text": note.text[:40], "row": k % NOTE_ROWS}
        for k, note in enumerate(found.measured.notes)
    ]
    base = alt.Chart(data(rows)).mark_line(color="#7a7a7a").encode(x=_x(), y=alt.Y("value:Q", title="stove plate, °C"))
    layers: list[Any] = [base]
    if notes:
        marks = alt.Chart(data(notes))
        layers.append(marks.mark_rule(color="#8a5fa8", strokeDash=[3, 3]).encode(x=_x()))
        for row in range(NOTE_ROWS):
            words = alt.Chart(data([note for note in notes if note["row"] == row]))
            layers.append(words.mark_text(align="left", dx=3, y=8 + 12 * row, color="#8a5fa8").encode(x=_x(), text="text:N"))
    return alt.layer(*layers).properties(width=WIDTH, height=LOW)


def _panel(key: str, shown: list[tuple[Any, Compared]]) -> Any:
    unit, factor, shift = UNITS[CHANNELS[key].dimension]
    names, colours = [one[0][0] for one in shown], [one[0][1] for one in shown]
    dashes = [list(one[0][2]) for one in shown]
    lines, dots = [], []
    for (which, _, _), compared in shown:
        for t, measured, predicted, low, high in zip(*band_of(compared, key), strict=True):
            hour, middle = round(float(t) / 3600.0, 4), float(predicted) * factor + shift
            lines.append({
                "hour": hour, "which": which, "value": round(middle, 3),
                "low": round(float(low) * factor + shift, 3), "high": round(float(high) * factor + shift, 3),
            })  # fmt: skip
            if compared is shown[0][1]:
                dots.append({"hour": hour, "value": round(float(measured) * factor + shift, 3)})
    colour = alt.Color("which:N", title=None, sort=None, scale=alt.Scale(domain=names, range=colours))
    title = f"{CHANNELS[key].says}, {unit}"
    y = alt.Y("value:Q", title=title, scale=alt.Scale(zero=False))
    base = alt.Chart(data(lines))
    band = base.mark_area(opacity=0.16).encode(x=_x(), y=alt.Y("low:Q", title=title), y2="high:Q", color=colour)
    dash = alt.StrokeDash("which:N", title=None, sort=None, scale=alt.Scale(domain=names, range=dashes))
    line = base.mark_line(strokeWidth=1.5).encode(x=_x(), y=y, color=colour, strokeDash=dash)
    points = alt.Chart(data(dots)).mark_point(size=7, filled=True, color=DOTS, opacity=0.8).encode(x=_x(), y=y)
    return alt.layer(band, line, points).properties(width=WIDTH, height=int(1.3 * LOW))


def write_trial(found: Trial, text: str, out: Path) -> list[Path]:
    """Write the picture, figures and text of a trial.

    Args:
        found: the trial.
        text: the trial as text.
        out: folder, made when missing.

    Returns:
        Paths written.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    chart = trial_chart(found)
    files: dict[str, str | bytes] = {
        "trial.svg": picture(chart, "svg"),
        "trial.png": picture(chart, "png"),
        "trial.json": json.dumps(trial_report(found), indent=1, allow_nan=False) + "\n",
        "trial.txt": text,
    }
    for name, content in files.items():
        write_whole(out / name, content)
    return [out / name for name in files]
