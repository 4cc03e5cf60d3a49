"""What `hobwind guards`, `faults` and `retrofit` write into a folder. Loaded only when asked for."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from .charts import picture
from .charts_guards import drill_chart, guards_chart
from .charts_retrofit import modules_chart
from .files import write_whole
from .studies.drill import Drill
from .studies.guards import Guards
from .studies.guards_report import drill_report, guards_report
from .studies.retrofit import Retrofit
from .studies.retrofit_report import retrofit_report


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


def write_retrofit(found: Retrofit, text: str, out: Path) -> list[Path]:
    """Write picture, figures, text and reduced build of a found fan, and the picture of its guards.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    written = _write(out, "retrofit", modules_chart(found), retrofit_report(found), text)
    guards = guards_chart(found.guards)
    more: dict[str, str | bytes] = {
        "retrofit-guards.svg": picture(guards, "svg"),
        "retrofit-guards.png": picture(guards, "png"),
        "retrofit-build.toml": found.made.text,
    }
    for file, content in more.items():
        write_whole(out / file, content)
    return [*written, *(out / file for file in more)]
