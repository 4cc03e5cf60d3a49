"""Bench tests and their results as text, data and a part file."""

from __future__ import annotations

import json
import textwrap
from pathlib import Path
from typing import Any

from . import __version__
from .bench.csv_form import header_of
from .bench.forms import template, tools_line
from .bench.procedure import BenchTest
from .bench.readings import TESTS
from .bench.result import Result
from .bench.scrap import MINUTE_TESTS
from .errors import FileError, InputError
from .files import read_text, write_whole
from .parts.catalogue import Shelf
from .parts.part_fields import FIELDS
from .units import DIMENSIONS

WIDE = 79
LIKE = {
    "module": "cooler 40 mm",
    "wax": "wax 82",
    "material": "aluminium 6082",
    "motor": "CD spindle motor",
    "blade": "blade 150 mm 4",
    "sink": "processor cooler with heat pipes",
    "washer": "M4 disc washer",
    "surface": "filed",
}  # what fills in for fields not measured


def tests_text() -> str:
    """Keep or scrap, and the list of bench tests."""
    lines = ["Keep or scrap: a minute each, with bare hands or a meter.", ""]
    for one in MINUTE_TESTS:
        lines += [f"{one.part:<9}{one.do}", f"{'':<9}keep: {one.keep}", f"{'':<9}scrap: {one.scrap}"]
    named = ", ".join(TESTS)
    lines += ["", *textwrap.wrap(f"Bench tests of what is kept: {named}.", WIDE)]
    lines += [
        "How to do one:     hobwind bench wax     (--sheet wax.pdf: a page to print)",
        "What it comes to:  hobwind bench wax readings.toml --part my-element",
    ]
    return "\n".join(lines)


def procedure_text(test: BenchTest) -> str:
    """How to do one test, with the readings file to fill in."""
    lines = textwrap.wrap(f"{test.name}: {test.says}", WIDE)
    lines += textwrap.wrap(f"You need: {test.needs}", WIDE, subsequent_indent="   ")
    for number, step in enumerate(test.steps, 1):
        lines += textwrap.wrap(f"{number}. {step}", WIDE, subsequent_indent="   ")
    lines += textwrap.wrap(f"Cautions: {test.cautions}", WIDE, subsequent_indent="   ")
    lines += ["Type the readings, or let --ask ask for them:"]
    for line in template(test.form):
        lines += [f"  {line}"] if len(line) <= WIDE - 2 else _folded(line)
    tools = tools_line(test.form)
    if tools:
        lines += textwrap.wrap(
            f"# [instruments], unless you know better: {tools}", WIDE, initial_indent="  ", subsequent_indent="  #   "
        )
    table = f"  (or readings.csv: {header_of(test.form)})"
    return "\n".join([*lines, f"Then: hobwind bench {test.name} readings.toml", *([table] if len(table) <= WIDE else [])])


def _folded(line: str) -> list[str]:
    """A long line of the template with what follows # on lines of its own."""
    given, _, said = line.partition("#")
    told = textwrap.wrap(said.strip(), WIDE - 6)
    comments = [f"  # {one}" if i == 0 else f"  #   {one}" for i, one in enumerate(told)]
    return [*comments, f"  {given.rstrip()}"] if given.strip() else comments


def result_text(result: Result) -> str:
    """What a test came to."""
    lines = [result.title, *textwrap.wrap(result.verdict, WIDE), ""]
    label = max((len(one.says) for one in result.figures), default=0) + 2
    lines += [f"{one.says:<{label}}{one.text()}" for one in result.figures]
    for text in result.doubts:
        lines += textwrap.wrap(f"Mind: {text}", WIDE, subsequent_indent="      ")
    for text in result.steps:
        lines += textwrap.wrap(f"Next: {text}", WIDE, subsequent_indent="      ")
    if result.lines:
        lines += ["", "For a build file:", *(f"  {line}" for line in result.lines)]
    tools = f" Reckoned with {', '.join(result.tools)}; change them under [instruments]." if result.tools else ""
    return "\n".join([*lines, "", *textwrap.wrap(f"± is 19 in 20.{tools}", WIDE)])


def result_json(test: BenchTest, result: Result) -> dict[str, Any]:
    """The same as data, SI."""
    return {
        "shape": 1,
        "made_by": {"hobwind": __version__},
        "test": test.name,
        "kind": result.kind or None,
        "title": result.title,
        "fit": result.fit,
        "verdict": result.verdict,
        "figures": [
            {
                "name": one.name,
                "says": one.says,
                "value_SI": one.measured.value,
                "standard_uncertainty_SI": one.measured.u,
                "unit_SI": DIMENSIONS[one.dimension].si,
                "text": one.text(),
            }
            for one in result.figures
        ],
        "doubts": list(result.doubts),
        "steps": list(result.steps),
        "build_lines": list(result.lines),
        "instruments": list(result.tools),
        "curves": [
            {
                "name": one.name,
                "x": one.x_title,
                "y": one.y_title,
                "readings": [[float(x), float(y)] for x, y in one.points],
                "line": [[float(x), float(y)] for x, y in one.line],
            }
            for one in result.curves
        ],
    }


def keep_part(result: Result, name: str, like: str | None) -> tuple[Path, str, list[str]]:
    """Write the result into parts/<kind>.toml beside the builds of this folder, whole, so that a build can name it.

    Args:
        result: of the test.
        name: what to call the part.
        like: a part whose figures stand for those not measured; None for the usual one.

    Returns:
        The file, the part that filled in, and the fields that it filled in.

    Raises:
        FileError: the file cannot be read or written, or has a part of that name.
        InputError: the result is no part; its lines go straight into a build.
        PartError: there is no part called `like`.
    """
    if not result.kind:
        raise InputError("--part: a spring is no part of the catalogue; put the lines above into the build's own [guard]")
    if not any(one.name in FIELDS[result.kind] for one in result.figures):
        raise InputError(
            f"--part: this test finds no figure that a {result.kind} is described by; keep the part by another test"
        )
    path = Path("parts") / f"{result.kind}.toml"
    before = read_text(path) if path.exists() else ""
    text = result.part_text(name)
    if text.splitlines()[0] in before.splitlines():
        raise FileError(f"{path} has a part {name!r} already; choose another name, or take the old one out")
    like = like or result.base or LIKE[result.kind]
    table, _ = Shelf(Path()).table(result.kind, like)
    has = {one.name for one in result.figures} | set(result.words)
    filled = [field for field in FIELDS[result.kind] if field in table and field not in has]
    text += f"# not measured: from {like}\n" + "".join(
        f"{field} = {json.dumps(table[field], ensure_ascii=False)}\n" for field in filled
    )
    write_whole(path, f"{before.rstrip()}\n\n{text}" if before.strip() else text)
    return path, like, filled
