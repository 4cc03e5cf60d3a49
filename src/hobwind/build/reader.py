"""Reading one section of a build file: each value checked, each fault noted, each default recorded."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from typing import Any

from ..errors import PartError, Problem
from ..parts.catalogue import Shelf
from ..parts.part_fields import EXTRA, FIELDS
from ..parts.reading import part_from_table
from ..units import DIMENSIONS, QuantityError, Spread, plain, read_quantity, show
from .sections import Record

ABSOLUTE = 1e-30


class Notes:
    """What is shared by all sections while one build is read: the shelf, the problems, the records."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self.problems: list[Problem] = []
        self.records: list[Record] = []

    def complain(self, place: str, says: str) -> None:
        """Note one problem."""
        self.problems.append(Problem(place, says))

    def record(self, place: str, text: str, origin: str) -> None:
        """Note where one value came from."""
        self.records.append(Record(place, text, origin))

    def find(self, kind: str, name: str, place: str) -> Any:
        """Look a part up by name; None, with a problem noted, when there is none."""
        try:
            part = self.shelf.find(kind, name)
        except PartError as error:
            self.complain(place, str(error))
            return None
        self.record(place, name, part.origin)
        return part


class Section:
    """One table of the file. Ask for every key it may have, then `close` it: what was not asked for is a problem."""

    def __init__(self, notes: Notes, place: str, table: object) -> None:
        self.notes, self.place = notes, place
        self.known: list[str] = []
        if table is None:
            table = {}
        if not isinstance(table, Mapping):
            notes.complain(place, f"got {_short(table)}; a section such as [{place}] with its keys below it is wanted")
            table = {}
        self.table: dict[str, Any] = dict(table)

    def has(self, key: str) -> bool:
        """Whether the file gives this key."""
        return key in self.table

    def quantity(
        self, key: str, dimension: str, default: str | None, low: float, high: float, source: str = "memory"
    ) -> Spread:
        """Read a quantity; `low` and `high` bound its value in SI, inclusive. `default` None means it must be given."""
        self.known.append(key)
        place = f"{self.place}.{key}"
        if key not in self.table:
            if default is None:
                example = DIMENSIONS[dimension].example
                self.notes.complain(place, f'missing; give it, for example {key} = "{example}"')
                return plain(max(low, min(high, 1.0)))
            self.notes.record(place, default, f"usual value, {source}")
            return read_quantity(default, dimension)
        given = self.table[key]
        text = str(given) if isinstance(given, (int, float)) and not isinstance(given, bool) else given
        if not isinstance(text, str):
            self.notes.complain(place, f'got {_short(given)}; text such as "{DIMENSIONS[dimension].example}" is wanted')
            return plain(max(low, min(high, 1.0)))
        try:
            spread = read_quantity(text, dimension)
        except QuantityError as error:
            self.notes.complain(place, str(error))
            return plain(max(low, min(high, 1.0)))
        if not low <= spread.value <= high:
            allowed = f"{show(low, dimension)} to {show(high, dimension)}"
            self.notes.complain(place, f'got "{text}"; allowed is {allowed}')
            return plain(max(low, min(high, 1.0)))
        if low >= 0.0 and spread.low < 0.0:
            self.notes.complain(place, f'got "{text}", which reaches below zero; give a smaller spread')
            return plain(max(low, min(high, 1.0)))
        self.notes.record(place, text, "given")
        return spread

    def maybe(self, key: str, dimension: str, low: float, high: float) -> Spread | None:
        """Read a quantity that may be left out."""
        if key not in self.table:
            self.known.append(key)
            return None
        return self.quantity(key, dimension, None, low, high)

    def choice(self, key: str, allowed: Iterable[str], default: str | None) -> str:
        """Read one of a few words."""
        self.known.append(key)
        choices = list(allowed)
        place = f"{self.place}.{key}"
        given = self.table.get(key, default)
        if given is None:
            self.notes.complain(place, f"missing; one of {_listed(choices)} is wanted")
            return choices[0]
        if not isinstance(given, str) or given not in choices:
            near = difflib.get_close_matches(str(given), choices, 1)
            hint = f'; did you mean "{near[0]}"?' if near else ""
            self.notes.complain(place, f"got {_short(given)}; one of {_listed(choices)} is wanted{hint}")
            return choices[0]
        self.notes.record(place, given, "given" if key in self.table else "usual value")
        return given

    def words(self, key: str, default: str, most: int = 500) -> str:
        """Read free text of at most so many letters; a short one is a single line."""
        self.known.append(key)
        given = self.table.get(key, default)
        if not isinstance(given, str):
            self.notes.complain(f"{self.place}.{key}", f"got {_short(given)}; text in quotes is wanted")
            return default
        if len(given) > most:
            self.notes.complain(f"{self.place}.{key}", f"got {len(given)} letters; at most {most} are allowed")
            return default
        if not (given if most < 500 else re.sub(r"[\n\t]", " ", given)).isprintable():
            self.notes.complain(f"{self.place}.{key}", f"got {_short(given)}; letters that a screen can show are wanted")
            return default
        return given

    def count(self, key: str, default: int | None, low: int, high: int) -> int:
        """Read a whole number."""
        self.known.append(key)
        given = self.table.get(key, default)
        place = f"{self.place}.{key}"
        if given is None:
            self.notes.complain(place, f"missing; a whole number from {low} to {high} is wanted")
            return low
        if isinstance(given, bool) or not isinstance(given, int) or not low <= given <= high:
            self.notes.complain(place, f"got {_short(given)}; a whole number from {low} to {high} is wanted")
            return low
        self.notes.record(place, str(given), "given" if key in self.table else "usual value")
        return given

    def named(self, key: str, kind: str, default: str | None) -> Any:
        """Look up a part named by `key`; a table with `part = "..."` and changed fields is taken too."""
        self.known.append(key)
        place = f"{self.place}.{key}"
        given = self.table.get(key, default)
        if given is None:
            self.notes.complain(place, f"missing; name a {kind}, see: hobwind parts {kind}")
            return None
        if isinstance(given, str):
            return self.notes.find(kind, given, place)
        if not isinstance(given, Mapping):
            self.notes.complain(place, f"got {_short(given)}; the name of a {kind} is wanted, see: hobwind parts {kind}")
            return None
        inner = Section(self.notes, place, given)
        part = inner.whole_part(kind)
        inner.close()
        return part

    def whole_part(self, kind: str) -> Any:
        """Make a part from this table: from the shelf where `part` names one, with the fields given here on top."""
        fields = FIELDS[kind]
        own = {key: value for key, value in self.table.items() if key in fields or key in EXTRA}
        self.known += ["part", "name", *fields, *EXTRA]
        base: dict[str, Any] = {}
        name, origin = self.table.get("part"), "in the build"
        if name is not None:
            if not isinstance(name, str):
                self.notes.complain(f"{self.place}.part", f"got {_short(name)}; the name of a {kind} is wanted")
                return None
            try:
                table, origin = self.notes.shelf.table(kind, name)
            except PartError as error:
                self.notes.complain(f"{self.place}.part", str(error))
                return None
            base = dict(table)
        label = name if isinstance(name, str) else self.words("name", f"own {kind}", 80)
        for key in own:
            self.notes.record(f"{self.place}.{key}", str(own[key]), "given")
        if name is not None:
            self.notes.record(f"{self.place}.part", str(name), origin)
        return part_from_table(kind, label, base | own, origin, self.place, self.notes.shelf.find, self.notes.problems)

    def close(self) -> None:
        """Complain about every key that nothing asked for."""
        for key in self.table:
            if key not in self.known:
                near = difflib.get_close_matches(str(key), self.known, 1)
                hint = f'; did you mean "{near[0]}"?' if near else f"; known here: {_listed(sorted(set(self.known)))}"
                self.notes.complain(f"{self.place}.{key}"[:120], f"unknown key{hint}")


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _listed(words: list[str]) -> str:
    return ", ".join(f'"{word}"' for word in words)
