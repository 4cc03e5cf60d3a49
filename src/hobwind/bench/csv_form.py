"""Readings as a CSV: one column for each blank, its unit in the header; a column `reading` names the sort of each line."""

from __future__ import annotations

import re
from typing import Any

from ..errors import BuildError, Problem
from ..tables import cell_number, read_cells
from ..units import DIMENSIONS
from .forms import CHOICE, COUNT, INSTRUMENTS, LIST, PART, WORDS, Blank, Form, Group

SORT = "reading"
# Endings of columns for units that a key cannot spell, beside the plain unit in brackets.
ENDINGS = {
    "degC": "°C", "degF": "°F", "K": "K", "V": "V", "mV": "mV", "A": "A", "mA": "mA", "ohm": "ohm", "W": "W", "mm": "mm", "um": "um",
    "m": "m", "cm": "cm", "in": "in", "g": "g", "kg": "kg", "s": "s", "min": "min", "h": "h", "rpm": "rpm", "Hz": "Hz",
    "m_per_s": "m/s", "N": "N", "mm2": "mm**2", "mNm_per_A": "mN*m/A", "uNm": "uN*m", "K_per_W": "K/W",
}  # fmt: skip
PLAIN = (CHOICE, WORDS, PART, COUNT, "number")


def header_of(form: Form) -> str:
    """What the header of a CSV for this form may look like."""
    groups = [one for one in form.groups if one.key != INSTRUMENTS]
    rows = [one for one in groups if not one.single]
    group = next((one for one in rows if one.least), rows[0] if rows else None)
    asked = form.blanks if group is None else group.blanks
    blanks = [blank for blank in asked if blank.needed] or list(asked)
    return ",".join([*([SORT] if len(groups) > 1 and group is not None else []), *map(_column, blanks)])


def _column(blank: Blank) -> str:
    if blank.kind in PLAIN or blank.kind == LIST:
        return blank.key
    unit = blank.example.split(" ", 1)[-1].split(" ")[-1] if " " in blank.example else ""
    ending = next((end for end, spelled in ENDINGS.items() if spelled == unit or unit == {"ohm": "Ω"}.get(end)), None)
    return f"{blank.key}_{ending}" if ending else f"{blank.key} [{unit}]"


def table_from_csv(form: Form, text: str, name: str) -> dict[str, Any]:
    """Turn a CSV into the table that a TOML file of the same readings would give.

    Columns are `hot_degC`, `hot [°C]` or `hot °C`. A line's sort stands under `reading` (open, load, up ...); without that column
    all lines are of the one sort that has these columns. What is asked for once (a scale, a dunk) may stand on any line.

    Args:
        form: of the test.
        text: of the file.
        name: of the file, for messages.

    Returns:
        The table.

    Raises:
        InputError: it is no table.
        BuildError: with every column and line that is wrong.
    """
    cells, problems = read_cells(text, name, f"a header such as {header_of(form)}"), list[Problem]()
    columns = [_read_column(column, form, problems, cells.first) for column in cells.header]
    found: dict[str, Any] = {}
    sort = next((i for i, one in enumerate(columns) if one is not None and one[0] == SORT), None)
    keys = [one[0] for one in columns if one is not None and one[0] != SORT]
    for number, row in cells.lines:
        if any(cell.strip() for cell in row[len(cells.header) :]):
            problems.append(
                Problem(f"line {number}", "has more cells than the header; part cells by ; where decimals have commas")
            )
            continue
        group = _group(form, row[sort].strip() if sort is not None and sort < len(row) else "", keys, sort is not None)
        if isinstance(group, str):
            problems.append(Problem(f"line {number}", group))
            continue
        _put(form, group, columns, row, found, problems, number)
    if problems:
        raise BuildError(name, tuple(problems))
    return found


def _keys(form: Form) -> dict[str, list[tuple[Group | None, Blank]]]:
    found: dict[str, list[tuple[Group | None, Blank]]] = {}
    for blank in form.blanks:
        found.setdefault(blank.key, []).append((None, blank))
    for group in form.groups:
        for blank in group.blanks:
            found.setdefault(blank.key, []).append((group, blank))
    return found


def _read_column(column: str, form: Form, problems: list[Problem], line: int) -> tuple[str, str] | None:
    """Key and unit of one column."""
    if column == SORT:
        return SORT, ""
    known = _keys(form)
    bracket = re.fullmatch(r"(\w+)\s*(?:[\[(]\s*([^\])]*)\s*[\])]|\s([^\s].*))", column)
    if bracket and bracket[1] in known:
        return bracket[1], (bracket[2] or bracket[3] or "").strip()
    for key in sorted(known, key=len, reverse=True):
        if column == key:
            kind = known[key][0][1].kind
            if kind in PLAIN or kind == LIST:
                return key, ""
            problems.append(Problem(f"line {line}", f'column "{column}" has no unit; write it as {_column(known[key][0][1])}'))
            return None
        if column.startswith(f"{key}_") and column[len(key) + 1 :] in ENDINGS:
            return key, ENDINGS[column[len(key) + 1 :]]
    problems.append(
        Problem(
            f"line {line}", f'column "{column[:40]}" is not known; {header_of(form)} is wanted; known: {", ".join(known)}'[:400]
        )
    )
    return None


def _group(form: Form, word: str, keys: list[str], sorted_by_column: bool) -> Group | None | str:
    """The sort of a line; None when only single figures are asked for; a sentence when it cannot be told."""
    many = [group for group in form.groups if group.key != INSTRUMENTS]
    if not many:
        return None
    if sorted_by_column:
        named = next((group for group in many if group.key == word), None)
        return named or f'reading is "{word[:30]}"; one of {", ".join(group.key for group in many)} is wanted'
    fits = [group for group in many if all(blank.key in keys for blank in group.blanks if blank.needed)]
    if len(fits) == 1:
        return fits[0]
    if not fits and not any(group.least for group in many):
        return None
    return f"which sort of reading it is cannot be told; add a column {SORT} with {', '.join(group.key for group in many)}"


def _put(
    form: Form, group: Group | None, columns: list[tuple[str, str] | None], row: list[str], found: dict[str, Any],
    problems: list[Problem], number: int,
) -> None:  # fmt: skip
    """Put one line's cells where they belong."""
    mine: dict[str, Any] = {}
    known = _keys(form)
    for column, cell in zip(columns, row, strict=False):
        if column is None or column[0] == SORT or not cell.strip():
            continue
        key, unit = column
        places = known[key]
        own = next((one for one in places if one[0] is group and group is not None), None)
        place, blank = own or next((one for one in places if one[0] is None or one[0].single), (None, places[0][1]))
        if own is None and place is None and all(one[0] is not None for one in places):
            problems.append(Problem(f"line {number}", f'a reading of sort "{group.key if group else ""}" has no {key}'))
            continue
        answer = _answer(blank, cell.strip(), unit)
        into = mine if own is not None else found if place is None else found.setdefault(place.key, {})
        if into.get(key, answer) != answer:
            problems.append(Problem(f"line {number}", f"{key} is {answer}, but an earlier line says {into[key]}; give it once"))
        into[key] = answer
    if group is None or not mine:
        return
    if group.single:
        found.setdefault(group.key, {}).update(mine)
    else:
        found.setdefault(group.key, []).append(mine)


def _answer(blank: Blank, cell: str, unit: str) -> Any:
    if blank.kind == COUNT:
        return int(cell) if cell.isdigit() else cell
    if blank.kind == LIST:
        return [f"{one.strip()} {unit or DIMENSIONS[blank.of].shown}" for one in re.split(r"[;/ ]+", cell) if one.strip()]
    if blank.kind in PLAIN:
        return cell
    try:
        cell_number(cell)
    except ValueError:
        return cell  # as typed, with its own unit or a slip that the form will name
    return f"{cell.replace(',', '.')} {unit}"
