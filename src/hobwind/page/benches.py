"""Bench tests as the page gets them: what is asked, example readings, and what typed readings come to."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Annotated, Any

from pydantic import BaseModel, Field

from ..bench.forms import PART, Blank, Form, Group, unit_of
from ..bench.procedure import BenchTest
from ..bench.readings import TESTS, find_test, measure_table
from ..bench.result import Result
from ..bench_ask import BARE, as_in_file
from ..errors import BuildError, FileError, InputError
from ..examples import example
from ..files import read_text, toml_table
from ..parts.catalogue import Shelf
from ..parts.part_fields import FIELDS
from .asking import Asked, ProblemOut
from .bench_parts import as_lines, heading_of, like
from .keeping import Folder
from .whys_bench import bench_key, bench_whys
from .whys_trial import Told, ToldFigure

MOST_READINGS, MOST_ANSWER = 400, 400
RECORDING = re.compile(r"[^\W_][\w .()+-]{0,79}")
ROW = re.compile(r"(?:readings: )?(?P<group>[a-z_]+) (?P<number>\d{1,3})\b")
# Examples that show a test, invented; a test without one has none.
EXAMPLES = {
    "module": "coolbox-module", "cooler-label": "coolbox-print", "generator-label": "generator-print", "health": "coolbox-health",
    "motor": "cassette-motor", "blade": "hand-cut-blade", "sink": "amplifier-sink", "wax": "tractor-element",
    "spring": "deck-spring", "washers": "disc-washers", "metal": "bar-end", "flat": "riser-foot",
}  # fmt: skip
# Where a measured part goes: heading in a bin ("" where bins have none), place in a build.

Answer = Annotated[str, Field(max_length=MOST_ANSWER)]
Row = Annotated[dict[Annotated[str, Field(max_length=40)], Answer], Field(max_length=30)]


class BlankOut(BaseModel):
    """One figure to fill in; `usual` is what is taken when it is left blank, "" when it then stays unknown."""

    key: str
    says: str
    unit: str
    example: str
    usual: str
    needed: bool
    choices: list[str]


class GroupOut(BaseModel):
    """Readings of one sort, in a table; `single` has one row only."""

    key: str
    says: str
    single: bool
    least: int
    blanks: list[BlankOut]


class Answers(Asked):
    """Readings as typed: what is asked once, and rows by group. A bare figure takes the unit that was asked for."""

    top: Row = {}
    rows: Annotated[
        dict[Annotated[str, Field(max_length=40)], Annotated[list[Row], Field(max_length=MOST_READINGS)]], Field(max_length=20)
    ] = {}


class TestOut(BaseModel):
    """One bench test: what it asks for, and invented readings to look at."""

    name: str
    says: str
    blanks: list[BlankOut]
    groups: list[GroupOut]
    example: Answers
    example_says: str


class Found(BaseModel):
    """What readings came to; `part` is the part file's text, `bin_heading` its heading in a bin ("" for none), and
    `build_lines` put it into a build."""

    title: str
    fit: bool
    verdict: str
    figures: list[ToldFigure]
    doubts: list[str]
    steps: list[str]
    lines: list[str]
    chart: dict[str, Any] | None
    like: str
    part: str
    bin_heading: str
    build_lines: list[str]


class BenchOut(BaseModel):
    """Either what the readings came to, or what is wrong with them or wanting, each at its place."""

    problems: list[ProblemOut]
    found: Found | None


def _blank(blank: Blank) -> BlankOut:
    choices = [word for word in blank.choices if word]
    if blank.kind == PART:
        choices = Shelf(None).names(blank.of)
    return BlankOut(
        key=blank.key, says=blank.says, unit=unit_of(blank), example=blank.example.strip("[]").replace('"', ""),
        usual=blank.default or "", needed=blank.needed, choices=choices,
    )  # fmt: skip


def _typed(blank: Blank, value: Any) -> str:
    """A value of a readings file as one would type it beside its unit."""
    if isinstance(value, list):
        return "; ".join(_typed(blank, one) for one in value)
    bare = str(value).removesuffix(f" {unit_of(blank)}")
    return bare if BARE.fullmatch(bare) else str(value)


def _row(blanks: tuple[Blank, ...], table: Mapping[str, Any]) -> dict[str, str]:
    return {blank.key: _typed(blank, table[blank.key]) for blank in blanks if blank.key in table}


def _example(test: BenchTest) -> tuple[Answers, str]:
    text = read_text(example(f"bench/{EXAMPLES[test.name]}"))
    table = toml_table(text)
    rows = {
        group.key: [_row(group.blanks, one) for one in ([table[group.key]] if group.single else table[group.key])]
        for group in test.form.groups
        if group.key in table
    }
    return Answers(top=_row(test.form.blanks, table), rows=rows), text.splitlines()[0].lstrip("# ")


@cache
def tests() -> tuple[TestOut, ...]:
    """Every bench test, in the order of the command line."""
    found = []
    for test in TESTS.values():
        given, says = _example(test)
        groups = [
            GroupOut(key=one.key, says=one.says, single=one.single, least=one.least, blanks=[_blank(b) for b in one.blanks])
            for one in test.form.groups
        ]
        found.append(
            TestOut(name=test.name, says=test.says, blanks=[_blank(b) for b in test.form.blanks], groups=groups, example=given,
                    example_says=says)
        )  # fmt: skip
    return tuple(found)


def _given(blanks: tuple[Blank, ...], row: Mapping[str, str]) -> dict[str, Any]:
    known = {blank.key: blank for blank in blanks}
    return {
        key: as_in_file(known[key], text.strip()) if key in known else text for key, text in row.items() if text.strip()
    }  # fmt: skip


def _table(form: Form, answers: Answers, folder: Folder) -> dict[str, Any]:
    """A readings file's table; empty rows at the end of a group are not yet there."""
    table = _given(form.blanks, answers.top)
    for key, rows in answers.rows.items():
        group = form.group(key) or Group(key, "", ())
        made = [_given(group.blanks, row) for row in rows]
        while made and not made[-1]:
            made.pop()
        for row in made:
            _check_recording(row.get("recording"), folder)
        if made:
            table[key] = made[0] if group.single else made
    return table


def _check_recording(name: Any, folder: Folder) -> None:
    """A recording is a plain file of the folder and nothing else."""
    if name is None:
        return
    if not RECORDING.fullmatch(str(name)) or (folder.path / str(name)).resolve().parent != folder.path.resolve():
        raise InputError(
            f'recording: "{str(name)[:60]}" is not taken; name a file in the folder of the builds, such as run-2.m4a'
        )


def measured(name: str, answers: Answers, folder: Folder) -> Result:
    """Identify a part from typed readings.

    Args:
        name: of the bench test.
        answers: as typed.
        folder: where recordings lie.

    Returns:
        The result.

    Raises:
        InputError: no such test, or readings that cannot be.
        BuildError: with every problem of the readings.
        FileError: a recording cannot be read.
    """
    return _measured(find_test(name), answers, folder)[0]


def _measured(test: BenchTest, answers: Answers, folder: Folder) -> tuple[Result, list[Told]]:
    table = _table(test.form, answers, folder)
    result = measure_table(test, table, "readings", folder.path)
    return result, bench_whys(test, table, result, folder.path)


def bench(name: str, answers: Answers, folder: Folder) -> BenchOut:
    """The same for somebody who is still typing: what is wrong comes as problems, each at its row."""
    test = find_test(name)
    try:
        return BenchOut(problems=[], found=_found(test, *_measured(test, answers, folder)))
    except BuildError as error:
        return BenchOut(problems=[ProblemOut(place=one.place, says=one.says) for one in error.problems], found=None)
    except (InputError, FileError) as error:
        says = str(error).removeprefix("readings: ")
        at = ROW.match(says)
        place = f"{at['group']}[{at['number']}]" if at else ""
        return BenchOut(problems=[ProblemOut(place=place, says=says)], found=None)


def _found(test: BenchTest, result: Result, whys: list[Told]) -> Found:
    from ..charts_bench import bench_chart

    is_part = bool(result.kind) and any(one.name in FIELDS[result.kind] for one in result.figures)
    return Found(
        title=result.title, fit=result.fit, verdict=result.verdict,
        figures=[
            ToldFigure(key=bench_key(test.name, one.name), label=one.says, text=one.text(), why=why)
            for one, why in zip(result.figures, whys, strict=True)
        ],
        doubts=list(result.doubts), steps=list(result.steps), lines=list(result.lines),
        chart=bench_chart(result).to_dict() if result.curves else None, like=like(result),
        part=result.part_text("my part") if is_part else "", bin_heading=heading_of(result), build_lines=as_lines(result),
    )  # fmt: skip
