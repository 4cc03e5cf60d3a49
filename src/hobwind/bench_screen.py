"""Bench tests and their results as text, data, a picture and a part file."""

from __future__ import annotations

import json
import textwrap
from pathlib import Path
from typing import Any

from . import __version__
from .bench.readings import TESTS, BenchTest
from .bench.result import Result
from .errors import FileError, InputError
from .files import read_text, write_whole
from .parts.catalogue import Shelf
from .parts.part_fields import FIELDS

WIDE = 79
LIKE = {
    "module": "cooler 40 mm",
    "wax": "wax 82",
    "material": "aluminium 6082",
    "motor": "CD spindle motor",
}  # what fills in for fields not measured


def tests_text() -> str:
    """The list of bench tests."""
    lines = ["Bench tests: what a piece of scrap can do, from household readings.", ""]
    lines += [f"{test.name:<17}{test.says}" for test in TESTS.values()]
    lines += [
        "",
        "How to do one:      hobwind bench wax",
        "What it comes to:   hobwind bench wax readings.toml --part my-element",
    ]
    return "\n".join(lines)


def find_test(name: str) -> BenchTest:
    """One bench test by name.

    Raises:
        InputError: there is none of that name.
    """
    if name not in TESTS:
        raise InputError(f'no bench test called "{name[:40]}"; there are: {", ".join(TESTS)}')
    return TESTS[name]


def procedure_text(test: BenchTest) -> str:
    """How to do one test, with the readings file to fill in."""
    lines = [f"{test.name}: {test.says}", ""]
    for line in test.procedure.splitlines():
        lines += [line] if line.startswith(" ") else textwrap.wrap(line, WIDE, subsequent_indent="   ")
    return "\n".join([*lines, "", f"Then: hobwind bench {test.name} readings.toml"])


def result_text(result: Result) -> str:
    """What a test came to."""
    lines = [result.title, *textwrap.wrap(result.verdict, WIDE), ""]
    label = max(len(one.says) for one in result.figures) + 2
    lines += [f"{one.says:<{label}}{one.text()}" for one in result.figures]
    for text in result.doubts:
        lines += textwrap.wrap(f"Mind: {text}", WIDE, subsequent_indent="      ")
    lines += ["", "± is 19 in 20."]
    return "\n".join(lines)


def result_json(test: BenchTest, result: Result) -> dict[str, Any]:
    """The same as data, SI."""
    return {
        "shape": 1,
        "made_by": {"hobwind": __version__},
        "test": test.name,
        "kind": result.kind,
        "fit": result.fit,
        "verdict": result.verdict,
        "figures": [
            {
                "name": one.name,
                "says": one.says,
                "value_SI": one.measured.value,
                "standard_uncertainty_SI": one.measured.u,
                "text": one.text(),
            }
            for one in result.figures
        ],
        "doubts": list(result.doubts),
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
        PartError: there is no part called `like`.
    """
    path = Path("parts") / f"{result.kind}.toml"
    before = read_text(path) if path.exists() else ""
    text = result.part_text(name)
    if text.splitlines()[0] in before.splitlines():
        raise FileError(f"{path} has a part {name!r} already; choose another name, or take the old one out")
    like = like or result.base or LIKE[result.kind]
    table, _ = Shelf(Path()).table(result.kind, like)
    has = {one.name for one in result.figures}
    filled = [field for field in FIELDS[result.kind] if field in table and field not in has]
    text += f"# not measured: from {like}\n" + "".join(
        f"{field} = {json.dumps(table[field], ensure_ascii=False)}\n" for field in filled
    )
    write_whole(path, f"{before.rstrip()}\n\n{text}" if before.strip() else text)
    return path, like, filled
