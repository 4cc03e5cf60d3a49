"""The one reader of parts: a table of text in, a checked part out, every fault noted."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from ..errors import BuildError, PartError, Problem
from ..units import DIMENSIONS, QuantityError, Spread, read_quantity, show
from .kinds import MAKERS
from .part_fields import EXTRA, FIELDS, NEEDS, Field

Lookup = Callable[[str, str], Any]


class _Reader:
    """Reads one part's table; collects problems."""

    def __init__(self, place: str, lookup: Lookup, problems: list[Problem]) -> None:
        self.place, self.lookup, self.problems = place, lookup, problems
        self.sources: dict[str, str] = {}

    def complain(self, field: str, says: str) -> None:
        self.problems.append(Problem(f"{self.place}.{field}", says))

    def field(self, name: str, how: Field, given: Any) -> Any:
        """The value of one field; None with a problem noted when it cannot be read."""
        text, source = given, "given"
        if isinstance(given, list) and len(given) == 2 and all(isinstance(one, str) for one in given):
            text, source = given
        if how.kind == "part":
            return self.part(name, text)
        if isinstance(text, (int, float)) and not isinstance(text, bool):
            text = str(text)
        if not isinstance(text, str):
            self.complain(name, f"got {repr(given)[:60]}; text in quotes is wanted")
            return None
        self.sources[name] = source
        if how.kind == "text":
            if how.choices and text not in how.choices:
                self.complain(name, f'got "{text[:60]}"; one of {", ".join(how.choices)} is wanted')
                return None
            return text
        try:
            spread = read_quantity(text, "number" if how.kind == "count" else how.kind)
        except QuantityError as error:
            self.complain(name, str(error))
            return None
        if how.kind == "count":
            if spread.value != round(spread.value) or not how.low <= spread.value <= how.high:
                self.complain(name, f'got "{text}"; a whole number from {how.low:.0f} to {how.high:.0f} is wanted')
                return None
            return int(spread.value)
        if not how.low <= spread.value <= how.high:
            self.complain(name, f'got "{text}"; allowed is {show(how.low, how.kind)} to {show(how.high, how.kind)}')
            return None
        return spread

    def part(self, name: str, given: Any) -> Any:
        if isinstance(given, Mapping):  # written out in place, as a made-whole build does
            own = {key: value for key, value in given.items() if key != "name"}
            label = str(given.get("name", f"own {name}"))
            return part_from_table(name, label, own, "in the build", f"{self.place}.{name}", self.lookup, self.problems)
        if not isinstance(given, str):
            self.complain(name, f"got {repr(given)[:60]}; the name of a {name} is wanted")
            return None
        try:
            return self.lookup(name, given)
        except PartError as error:
            self.complain(name, str(error))
        except BuildError as error:  # the part it leans on is itself wrong, in a file of the user's
            self.problems.extend(Problem(f"{error.file}: {one.place}", one.says) for one in error.problems)
        return None


def part_from_table(
    kind: str, name: str, table: Mapping[str, Any], origin: str, place: str, lookup: Lookup, problems: list[Problem]
) -> Any:
    """Make a part from its table; every fault is added to `problems`.

    Args:
        kind: one of `FIELDS`.
        name: of the part.
        table: field to "quantity" or ["quantity", "source"].
        origin: where the table came from.
        place: where it stands, for messages.
        lookup: finds a part of another kind by kind and name.
        problems: added to.

    Returns:
        The part, or None when a problem was found.
    """
    fields, reader, before = FIELDS[kind], _Reader(place, lookup, problems), len(problems)
    for key in table:
        if key not in fields and key not in EXTRA:
            near = difflib.get_close_matches(key, [*fields, *EXTRA], 1)
            reader.complain(key[:60], f"unknown key of a {kind}{f'; did you mean {near[0]!r}?' if near else ''}")
    values: dict[str, Any] = {}
    shape = table.get("shape")
    shape = shape[0] if isinstance(shape, list) and shape else shape  # with its source
    needed = set(NEEDS.get(str(shape), ())) if kind == "sink" else set()
    for field, how in fields.items():
        if field in table:
            values[field] = reader.field(field, how, table[field])
        elif how.needed or field in needed:
            example = DIMENSIONS[how.kind].example if how.kind in DIMENSIONS else f"the {field}"
            reader.complain(field, f'missing; a {kind} needs it, such as "{example}", or name a part that has it')
        elif kind == "sink" and how.kind != "text":
            values[field] = 0 if how.kind == "count" else Spread(0.0)
        elif kind == "sink":
            values[field] = how.choices[0]
        else:
            values[field] = None
    for extra in EXTRA:
        if not isinstance(table.get(extra, ""), str):
            reader.complain(extra, f"got {repr(table[extra])[:60]}; text in quotes is wanted")
    if len(problems) > before:
        return None
    said, caution = str(table.get("says", "")), str(table.get("caution", ""))
    return MAKERS[kind](
        name=name, origin=origin, says=said, caution=caution, sources=MappingProxyType(reader.sources), **values
    )
