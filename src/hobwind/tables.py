"""The one reader of CSV files: header and lines, whatever parts the cells, decimal commas allowed."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass

from .errors import InputError


@dataclass(frozen=True)
class Cells:
    """A table of text: number of the header's line, header, and the lines below it with their numbers in the file."""

    first: int
    header: list[str]
    lines: list[tuple[int, list[str]]]


def read_cells(text: str, name: str, wanted: str) -> Cells:
    """Read the text of a CSV file; empty lines and lines that begin with # are passed over.

    Args:
        text: of the file.
        name: of the file, for messages.
        wanted: what the header should be like, for messages.

    Returns:
        Header and lines.

    Raises:
        InputError: it is no table, or empty.
    """
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text))
        lines = [(reader.line_num, row) for row in reader]
    except csv.Error as error:
        raise InputError(f"{name}: is not readable as a table ({error}); {wanted} is wanted") from error
    lines = [(i, row) for i, row in lines if any(cell.strip() for cell in row) and not row[0].lstrip().startswith("#")]
    if not lines:
        raise InputError(f"{name}: is empty; {wanted} and at least two lines are wanted")
    return Cells(lines[0][0], [cell.strip() for cell in lines[0][1]], lines[1:])


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip() and not line.startswith("#")), "")
    return max((",", ";", "\t"), key=first.count)


def cell_number(cell: str) -> float:
    """The number in a cell.

    Raises:
        ValueError: there is none.
    """
    value = float(cell.strip().replace(",", "."))
    if not math.isfinite(value):
        raise ValueError(cell)
    return value
