"""Everything that a command writes into a folder: pictures, drawings, figures. Loaded only when asked for."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from .build import Build
from .charts import evening_chart, map_chart, picture
from .files import write_whole
from .scene.play import section_temperatures, to_dxf, to_svg
from .scene.shapes import plan, section
from .shop.plate_drawn import drawn_screws
from .stack.evening import Evening
from .studies.report import check_report, evening_report
from .studies.verdict import Verdict


def _limit(build: Build) -> float:
    return build.face_limit


def write_files(out: Path, files: dict[str, str | bytes]) -> list[Path]:
    """Write each file whole into a folder; gives back their paths."""
    written = []
    for name, data in files.items():
        path = out / name
        write_whole(path, data)
        written.append(path)
    return written


def json_text(data: dict[str, Any]) -> str:
    """Data as the text of a JSON file."""
    return json.dumps(data, indent=1, allow_nan=False) + "\n"


def write_check(judged: Verdict, text: str, out: Path) -> list[Path]:
    """Write the pictures, drawings and figures of a verdict.

    Args:
        judged: the verdict.
        text: the verdict as text.
        out: folder, made when missing.

    Returns:
        Paths written, pictures first.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    solved, build = judged.solved, judged.build
    drawn = section(build, drawn_screws(build))
    chart = map_chart(solved)
    over_fired = evening_chart(solved.worst, _limit(build))
    return write_files(
        out,
        {
            "section.svg": to_svg(drawn, section_temperatures(solved.usual_point.seen)),
            "map.svg": picture(chart, "svg"),
            "map.png": picture(chart, "png"),
            "over-fired-evening.svg": picture(over_fired, "svg"),
            "over-fired-evening.png": picture(over_fired, "png"),
            "usual-evening.svg": picture(evening_chart(solved.usual, _limit(build)), "svg"),
            "section.dxf": to_dxf(drawn),
            "plan.svg": to_svg(plan(build, drawn_screws(build))),
            "plan.dxf": to_dxf(plan(build, drawn_screws(build))),
            "check.json": json_text(check_report(judged)),
            "verdict.txt": text,
        },
    )


def write_evening(build: Build, ran: Evening, out: Path) -> list[Path]:
    """Write the curves and figures of one evening.

    Args:
        build: the build.
        ran: its evening.
        out: folder, made when missing.

    Returns:
        Paths written.

    Raises:
        FileError: the folder or a file cannot be written.
    """
    chart = evening_chart(ran, _limit(build))
    return write_files(
        out,
        {
            "evening.svg": picture(chart, "svg"),
            "evening.png": picture(chart, "png"),
            "evening.json": json_text(evening_report(build, ran)),
        },
    )
