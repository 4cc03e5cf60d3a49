"""What `hobwind guards`, `faults` and `retrofit` write into a folder. Loaded only when asked for."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from .charts import picture
from .charts_found_fan import log_chart
from .charts_guards import drill_chart, guards_chart
from .charts_retrofit import modules_chart
from .files import write_whole
from .studies.drill import Drill
from .studies.guards import Guards
from .studies.guards_report import drill_report, guards_report
from .studies.retrofit import Retrofit
from .studies.retrofit_report import retrofit_report
from .trial.found_fan import FromLogs
from .trial.found_fan_report import logs_report


def _write(out: Path, name: str, chart: Any, data: dict[str, Any], text: str) -> list[Path]:
    files: dict[str, str | bytes] = {
        f"{name}.svg": picture(chart, "svg"),
        f"{name}.png": picture(chart, "png"),
        f"{name}.json": json.dumps(data, indent=1, allow_nan=False) + "\n",
        f"{name}.txt": text,
    }
    for file, content in files.items():
        write_whole(out / file, content)
    return [out / file for file in files]


def write_guards(found: Guards, text: str, out: Path) -> list[Path]:
    """Write picture, figures and text of a comparison of guards.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    return _write(out, "guards", guards_chart(found), guards_report(found), text)


def write_drill(found: Drill, text: str, out: Path) -> list[Path]:
    """Write picture, figures and text of a fault drill.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    return _write(out, "faults", drill_chart(found), drill_report(found), text)


def write_retrofit(found: Retrofit, text: str, out: Path, logged: FromLogs | None = None) -> list[Path]:
    """Write picture, figures, text and reduced build of a found fan, the picture of its guards, and one of each log.

    Args:
        found: the fan.
        text: everything found as text.
        out: folder, made when missing.
        logged: what logs of real fires told; None without logs.

    Returns:
        Paths written.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    told = None if logged is None else logs_report(logged)
    written = _write(out, "retrofit", modules_chart(found), retrofit_report(found, told), text)
    guards = guards_chart(found.guards)
    more: dict[str, str | bytes] = {
        "retrofit-guards.svg": picture(guards, "svg"),
        "retrofit-guards.png": picture(guards, "png"),
        "retrofit-build.toml": found.made.text,
    }
    for k, log in enumerate(() if logged is None else logged.logs, 1):
        chart = log_chart(log)
        more |= {f"retrofit-log-{k}.svg": picture(chart, "svg"), f"retrofit-log-{k}.png": picture(chart, "png")}
    for file, content in more.items():
        write_whole(out / file, content)
    return [*written, *(out / file for file in more)]
