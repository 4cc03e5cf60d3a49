"""Charts become pictures with their axes named, and break where nothing settled."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hobwind.build import Build
from hobwind.charts import evening_chart, map_chart, picture
from hobwind.stack.fields import Seen
from hobwind.stack.steady import Rest
from hobwind.studies.headline import Headline, headline


@pytest.fixture(scope="module")
def solved(build: Build) -> Headline:
    return headline(build, points=24)


def test_map_names_its_axes(solved: Headline) -> None:
    chart = map_chart(solved)
    svg = picture(chart, "svg")
    assert svg == picture(chart, "svg")
    text = svg.decode()
    for words in ("stove plate, °C", "temperature, °C", "speed, rpm", "air, m³/h", "gap, mm", "running down"):
        assert words in text


def test_evening_names_its_axes(solved: Headline) -> None:
    point = solved.usual_point.seen
    chart = evening_chart(solved.worst, float(point[Seen.hot_face] + point[Seen.margin]))
    text = picture(chart, "svg").decode()
    for words in ("time, h", "temperature, °C", "gap, mm", "speed, rpm", "limit of the hot face", "wax element"):
        assert words in text
    for event in solved.worst.events:
        assert event.what in text


def test_png_is_one(solved: Headline) -> None:
    assert picture(map_chart(solved), "png").startswith(b"\x89PNG")


def test_points_without_rest_break_the_line(solved: Headline) -> None:
    points = list(solved.map.from_rest)
    points[5] = replace(points[5], outcome=Rest.HUNTS)
    broken = replace(solved, map=replace(solved.map, from_rest=tuple(points)))
    spec = map_chart(broken).to_dict()
    speeds = spec["datasets"][spec["vconcat"][1]["data"]["name"]]
    assert [row["value"] for row in speeds if row["branch"] == "from rest"][5] is None
    assert sum(row["value"] is None for row in speeds) == 1
