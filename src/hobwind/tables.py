"""The one reader of CSV files: header and lines, whatever parts the cells, decimal commas allowed.

`read_cells` gives small files as text. `read_columns` gives a logger's file, millions of lines if need be, as numbers: whole
blocks at once where every line is regular, line by line where one is not, so that no line is lost without being named.
"""

from __future__ import annotations

import csv
import io
import math
from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

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


@dataclass(frozen=True)
class Columns:
    """A logger's file: header, numbers of each column (NaN where there is none), text of those that hold any, line numbers.

    `torn` has the lines that have more or fewer cells than the header, with their text.
    """

    header: list[str]
    numbers: list[NDArray[np.float64]]
    texts: list[NDArray[np.object_] | None]
    line: NDArray[np.int64]
    torn: list[tuple[int, str]]


BLOCK = 1 << 23  # bytes read at once
SAMPLE = 60  # lines looked at to find what parts the cells


def decoded(data: bytes) -> str:
    """Text of a logger's file: UTF-8, UTF-16 with its mark, or else Windows' western letters."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _is_number(cell: str) -> bool:
    try:
        cell_number(cell.strip())
    except ValueError:
        return False
    return True


def _parting(lines: list[str]) -> tuple[str, int]:
    """What parts the cells, and how many cells a line has: the mark that most lines have equally often."""
    best, found = (0.0, 0), (",", 1)
    for mark in (";", "\t", ",", "|"):
        counts = Counter(line.count(mark) for line in lines)
        often, times = max(counts.items(), key=lambda item: (item[1] * (item[0] > 0), item[0]))
        if often and (times / len(lines), often) > (best[0] + 0.1, 0):
            best, found = (times / len(lines), often), (mark, often + 1)
    return found


def read_columns(data: bytes, name: str) -> Columns:
    """Read a logger's file: lines before the header, a line of units below it and lines that begin with # are passed over.

    Args:
        data: of the file.
        name: of the file, for messages.

    Returns:
        Its columns; without a header they are called "column 1" and so on.

    Raises:
        InputError: it is no table, or empty.
    """
    text = decoded(data).replace("\r\n", "\n").replace("\r", "\n")
    head = text[:20000].split("\n")[:SAMPLE]
    sample = [line for line in head if line.strip() and not line.startswith("#")]
    if len(sample) < 2:
        raise InputError(f"{name}: holds {len(sample)} lines; a header and readings below it are wanted")
    mark, count = _parting(sample)
    if count < 2:
        raise InputError(f'{name}: no mark parts the cells of "{sample[-1][:50]}"; part them by ; or a tab or ,')
    at = next(i for i, line in enumerate(head) if line.count(mark) == count - 1 and not line.startswith("#"))
    header, below = next(csv.reader([head[at]], delimiter=mark)), at + 1
    header = [cell.strip() for cell in header]
    if sum(map(_is_number, header)) > len(header) // 3:
        header, below = [f"column {i + 1}" for i in range(count)], at
    elif at + 1 < len(head):
        units = [cell.strip() for cell in head[at + 1].split(mark)]
        if len(units) == count and not any(map(_is_number, units)) and all(len(u) < 9 for u in units) and any(units):
            header = [f"{a} [{u}]" if u and u not in a else a for a, u in zip(header, units, strict=True)]
            below = at + 2
    seen: Counter[str] = Counter()
    for i, cell in enumerate(header):
        seen[cell] += 1
        header[i] = (cell or f"column {i + 1}") + (f" ({seen[cell]})" if cell and seen[cell] > 1 else "")
    body = text.split("\n", below)[-1] if below else text
    cells = [cell for line in sample[1:] for cell in line.split(mark)]
    comma = mark != "," and sum("," in c and _is_number(c) for c in cells) > sum("." in c and _is_number(c) for c in cells)
    return _all_blocks(body, below + 1, header, mark, "," if comma else ".")


def _all_blocks(body: str, line: int, header: list[str], mark: str, decimal: str) -> Columns:
    count, at = len(header), 0
    numbers: list[list[NDArray[np.float64]]] = [[] for _ in header]
    texts: list[list[NDArray[np.object_] | None]] = [[] for _ in header]
    lines: list[NDArray[np.int64]] = []
    torn: list[tuple[int, str]] = []
    while at < len(body):
        stop = body.find("\n", at + BLOCK)
        stop = len(body) if stop < 0 else stop + 1
        block = body[at:stop]
        at = stop
        size = block.count("\n") + (not block.endswith("\n"))
        here = np.arange(line, line + size)
        line += size
        regular = block.count(mark) == size * (count - 1) and '"' not in block and "#" not in block
        got = _fast(block, count, mark, decimal) if regular else None
        if got is None or got[0][0].size != size:
            got, kept = _slow(block, count, mark, decimal, int(here[0]), torn)
            here = here[kept]
        lines.append(here)
        for k in range(count):
            numbers[k].append(got[0][k])
            texts[k].append(got[1][k])
    return Columns(
        header,
        [np.concatenate(one) if one else np.empty(0) for one in numbers],
        [_joined(one, numbers[k]) for k, one in enumerate(texts)],
        np.concatenate(lines) if lines else np.empty(0, np.int64),
        torn,
    )


def _joined(texts: list[NDArray[np.object_] | None], numbers: list[NDArray[np.float64]]) -> NDArray[np.object_] | None:
    if all(one is None for one in texts):
        return None
    return np.concatenate([np.full(n.size, "", object) if one is None else one for one, n in zip(texts, numbers, strict=True)])


Block = tuple[list[NDArray[np.float64]], list[NDArray[np.object_] | None]]


def _fast(block: str, count: int, mark: str, decimal: str) -> Block | None:
    """A block whose lines are all regular."""
    import pandas as pd

    try:
        frame = pd.read_csv(
            io.StringIO(block), header=None, names=list(range(count)), sep=mark, decimal=decimal, index_col=False,
            skip_blank_lines=False, low_memory=False, skipinitialspace=True,
        )  # fmt: skip
    except (pd.errors.ParserError, pd.errors.EmptyDataError, ValueError):
        return None
    numbers: list[NDArray[np.float64]] = []
    texts: list[NDArray[np.object_] | None] = []
    for k in range(count):
        column = frame[k]
        if pd.api.types.is_numeric_dtype(column):
            numbers.append(column.to_numpy(dtype=float))
            texts.append(None)
            continue
        words = column.astype(object).where(column.notna(), "").map(str).to_numpy(dtype=object)
        numbers.append(_numbers(words))
        texts.append(words)
    return numbers, texts


def _numbers(words: NDArray[np.object_]) -> NDArray[np.float64]:
    import pandas as pd

    plain = pd.Series(words, dtype=object).str.strip().str.replace(",", ".", regex=False)
    found = pd.to_numeric(plain, errors="coerce").to_numpy(dtype=float)
    return np.asarray(np.where(np.isfinite(found), found, np.nan))


def _slow(block: str, count: int, mark: str, decimal: str, line: int, torn: list[tuple[int, str]]) -> tuple[Block, list[int]]:
    """A block line by line; torn lines are named, empty ones and remarks passed over."""
    rows, kept = [], []
    for i, raw in enumerate(block.split("\n")):
        if not raw.strip() or raw.startswith("#"):
            continue
        try:
            row = next(csv.reader([raw], delimiter=mark))
        except (csv.Error, StopIteration):
            row = []
        if len(row) != count:
            torn.append((line + i, raw[:60]))
            continue
        rows.append([cell.strip() for cell in row])
        kept.append(i)
    numbers, texts = [], list[NDArray[np.object_] | None]()
    for k in range(count):
        words = np.array([row[k] for row in rows], dtype=object) if rows else np.empty(0, object)
        found = _numbers(words) if rows else np.empty(0)
        numbers.append(found)
        texts.append(words if any(word and np.isnan(x) for word, x in zip(words, found, strict=True)) else None)
    return (numbers, texts), kept
