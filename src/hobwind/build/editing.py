"""Lines of a build file changed in place: comments, order and everything else stay as the maker wrote them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

from ..errors import InputError
from ..parts.part_fields import EXTRA, FIELDS

PLACE = re.compile(r"[a-z_]+(\[[1-9]\d?\])?(\.[a-z_]+(\[[1-9]\d?\])?){0,4}")
LINE = re.compile(r'\s*(?P<place>[a-z_.\[\]0-9]{1,80}) = (?P<value>"(?:[^"\\\n]|\\.)*"|-?\d{1,9})\s*')
MOST_VALUE = 300
# What kind of part stands in a section itself, its values among those of its use.
KINDS = {"modules": "module", "sink": "sink", "screws": "screw", "motor": "motor", "blade": "blade"}
WHOLE = frozenset({"count", "couples", "fin_count", "pin_count"})  # keys whose values are whole numbers
Value = str | int | float | list[list[int]] | list[str]


def _steps(place: str) -> list[str | int]:
    if not PLACE.fullmatch(place):
        raise InputError(f'"{place[:60]}" is no place in a build file; one such as riser[1].length is wanted')
    steps: list[str | int] = []
    for word in place.split("."):
        name, _, number = word.partition("[")
        steps.append(name)
        if number:
            steps.append(int(number.rstrip("]")) - 1)
    return steps


def _row(container: Any, name: str, number: int, place: str) -> Any:
    rows = container.get(name)
    if isinstance(rows, dict):  # one [riser] instead of [[riser]]
        rows = [rows]
    if rows is None and number == 0:
        container[name] = tomlkit.aot()
        container[name].append(tomlkit.table())
        return container[name][0]
    if not isinstance(rows, (AoT, list)) or not 0 <= number < len(rows):
        raise InputError(f"{place}: the build has no such section; add it to the file first")
    return rows[number]


def _inner(container: Any, name: str, deep: bool) -> Any:
    """The table below `name`; a part that was only named becomes a table that names it."""
    there = container.get(name)
    if isinstance(there, dict):
        return there
    table: Any = tomlkit.inline_table() if deep or isinstance(there, str) else tomlkit.table()
    if isinstance(there, str):
        table["part"] = str(there)
    container[name] = table
    return container[name]


def _forget(table: Any, section: str) -> None:
    """Take out what was said of the part that stood here: another one brings its own values."""
    for field in (*FIELDS.get(KINDS.get(section, ""), {}), "name", *EXTRA):
        table.pop(field, None)


def put_value(text: str, place: str, value: Value | None) -> str:
    """Set one value, or take it out.

    Args:
        text: of a build file.
        place: such as "riser[1].length".
        value: as the file would hold it; None takes the line out, so that the usual value stands.

    Returns:
        The new text.

    Raises:
        InputError: the text is no TOML, or there is no such place.
    """
    steps = _steps(place)
    if isinstance(value, str):
        if len(value) > MOST_VALUE or not value.isprintable():
            raise InputError(f"{place}: at most {MOST_VALUE} letters that a screen can show are taken")
        if steps[-1] in WHOLE and re.fullmatch(r"\s*\d{1,6}\s*", value):
            value = int(value)
    try:
        document: Any = tomlkit.parse(text)
        at = document
        for i, step in enumerate(steps[:-1]):
            if isinstance(step, int):
                continue
            after = steps[i + 1]
            deep = at is not document
            at = _row(at, step, after, place) if isinstance(after, int) else _inner(at, step, deep)
        key = steps[-1]
        if isinstance(key, int):
            raise InputError(f"{place} is a whole section; name a value in it")
        if key == "part" and at.get(key) != value:
            _forget(at, str(steps[0]))
        if value is None:
            at.pop(key, None)
        elif isinstance(at.get(key), dict) and isinstance(value, str):
            at[key] = value  # a part by name instead of a part with values of its own
        else:
            at[key] = value
        return str(tomlkit.dumps(document))
    except (TOMLKitError, RecursionError, ValueError, TypeError, AttributeError) as error:
        if isinstance(error, InputError):
            raise
        raise InputError(f"{place}: the file cannot be changed there; mend it as text first") from error


def put_lines(text: str, lines: Iterable[str]) -> str:
    """Carry out a mend.

    Args:
        text: of a build file.
        lines: such as `guard.stop = "2.00 mm"`, as a finding gives them.

    Returns:
        The new text.

    Raises:
        InputError: a line is none.
    """
    for line in lines:
        found = LINE.fullmatch(line)
        if found is None:
            raise InputError(f'"{line[:60]}" is no line of a build file; one such as guard.stop = "2 mm" is wanted')
        try:
            value = json.loads(found["value"])
        except ValueError as error:
            raise InputError(f'"{line[:60]}" holds a value that cannot be read') from error
        text = put_value(text, found["place"], value)
    return text
