"""All bench tests, and readings from a file: TOML, or a CSV with units in its header; all their faults told at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from ..build.reader import Notes
from ..errors import BuildError, InputError, Problem
from ..files import read_text, toml_table
from ..parts.catalogue import Shelf
from .asked_blade import BLADE
from .asked_faces import FLAT, METAL
from .asked_labels import COOLER, GENERATOR
from .asked_module import HEALTH, MODULE
from .asked_motor import MOTOR
from .asked_sink import SINK_TEST
from .asked_spring import SPRING, WASHERS
from .asked_wax import WAX
from .csv_form import table_from_csv
from .forms import fill
from .procedure import BenchTest
from .result import Result

TESTS = {
    one.name: one
    for one in (MODULE, COOLER, GENERATOR, HEALTH, MOTOR, BLADE, SINK_TEST, WAX, SPRING, WASHERS, METAL, FLAT)
}  # fmt: skip


def find_test(name: str) -> BenchTest:
    """One bench test by name.

    Raises:
        InputError: there is none of that name.
    """
    if name not in TESTS:
        raise InputError(f'no bench test called "{name[:40]}"; there are: {", ".join(TESTS)}')
    return TESTS[name]


def measure(test: BenchTest, path: Path) -> Result:
    """Read a file of readings and identify the part.

    Args:
        test: which bench test.
        path: of the TOML or CSV file; recordings are looked for beside it.

    Returns:
        The result.

    Raises:
        FileError: the file cannot be read.
        BuildError: with every problem of the file.
        InputError: readings that cannot be.
    """
    text = read_text(path)
    if path.suffix.lower() in (".csv", ".tsv"):
        return measure_table(test, table_from_csv(test.form, text, path.name), path.name, path.parent)
    return measure_text(test, text, path.name, path.parent)


def measure_text(test: BenchTest, text: str, file: str, folder: Path = Path()) -> Result:
    """As `measure`, from the text of a TOML file."""
    try:
        table = toml_table(text)
    except ValueError as error:
        raise BuildError(file, (Problem("file", str(error)),)) from error
    return measure_table(test, table, file, folder)


def measure_table(test: BenchTest, table: Mapping[str, Any], file: str, folder: Path = Path()) -> Result:
    """As `measure`, from a table such as typed answers make."""
    notes = Notes(Shelf(Path()))
    filled = fill(notes, test.form, table)
    if notes.problems:
        raise BuildError(file, tuple(notes.problems))
    try:
        found = test.act(filled, folder)
    except InputError as error:
        raise InputError(f"{file}: {error}") from error
    return replace(found, tools=filled.tools)
