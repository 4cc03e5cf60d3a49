"""Reading a bin file. Each entry is read by the build file's own reader, as the one section of a stand-in build."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from ..errors import BuildError, Problem
from ..files import read_text
from ..parts.catalogue import BESIDE, Shelf
from ..parts.part_fields import FIELDS
from .assemble import build_from_table
from .bin_sections import FIRST, HOT_PLATE, KINDS, SPREADER, TOOLS, Bar, Bin, GuardWay, Item, Plate, ScrewSet, Wishes
from .checks import impossible
from .heading import BIN, FORMAT, headed_table
from .reader import Notes, Section
from .sections import BEFORE_LIMITS, Build

SHARED = ("stove", "seat", "joint", "clamp", "surround", "wiring")
MOST_ITEMS, MOST_LENGTHS, MOST_VANES = 200, 60, 30
SHORTEST, LONGEST, STEP = 0.04, 0.15, 0.01  # m; lengths tried of a bar that may be sawn and says no more
STAND_IN: dict[str, Any] = {
    "riser": [{"shape": "block", "width": "60 mm", "depth": "60 mm", "length": "100 mm", "material": "aluminium 6082"}],
    "modules": [{"part": "cooler 40 mm"}],
    "sink": {"part": "amplifier sink 100 x 100"},
    "motor": {"part": "coreless motor"},
    "blade": {"part": "blade 150 mm 4", "height": "300 mm"},
}
# Where each kind stands in a build file: its section, and its place in the stand-in build.
SECTION = {"module": "modules", "motor": "motor", "blade": "blade", "sink": "sink", "bar": "riser", "plate": "hot_plate"}


def load_bin(path: Path) -> Bin:
    """Read and check a bin file.

    Args:
        path: of the TOML file.

    Returns:
        The bin.

    Raises:
        FileError: the file cannot be read.
        BuildError: with every problem found in it.
    """
    return bin_from_text(read_text(path), path.name, path.parent)


def bin_from_text(text: str, file: str = "bin", beside: Path | None = None) -> Bin:
    """Read and check the text of a bin file.

    Args:
        text: TOML.
        file: what to call it in messages.
        beside: folder whose `parts` are looked up first.

    Returns:
        The bin.

    Raises:
        BuildError: with every problem found.
    """
    found, problems = bin_so_far(text, file, beside)
    if problems:
        raise BuildError(file, problems)
    return found


def bin_so_far(text: str, file: str = "bin", beside: Path | None = None) -> tuple[Bin, tuple[Problem, ...]]:
    """As `bin_from_text`, for a bin that is still being filled: what can be read of it, and what is wrong or wanting.

    Raises:
        BuildError: it is no bin at all.
    """
    table = headed_table(text, file, BIN)
    reader = _Reader(table, file, Shelf(beside))
    return reader.read(), tuple(reader.notes.problems)


class _Reader:
    """Reads one bin and collects every problem."""

    def __init__(self, table: Mapping[str, Any], file: str, shelf: Shelf) -> None:
        self.table, self.file, self.shelf, self.notes = table, file, shelf, Notes(shelf)

    def read(self) -> Bin:
        top = Section(self.notes, "file", self.table)
        top.known += [*KINDS, *SHARED, "format", "wish", "fan", "guard", "buy"]
        name, says = top.words("name", "a bin", 80), top.words("says", "")
        top.close()
        if any(one in self.table for one in ("modules", "riser", "hot_plate", "spreader")):
            says_so = (
                "is a section of a build file; in a bin every part has a heading of its own, such as [[module]] or [[bar]]"
            )
            self.notes.complain("file", says_so)
        shared = {key: self.table[key] for key in SHARED if key in self.table}
        wishes, wish_table = self.wishes()
        base = self.part_of_build({**shared, "wish": wish_table}, (*SHARED, "wish"), None)
        fan = Section(self.notes, "fan", self.table.get("fan"))
        hub = fan.quantity("hub_above", "length", "60 mm", -0.3, 0.5, "practice").value
        before = fan.maybe("hub_before", "length", *BEFORE_LIMITS)
        fan.close()
        items = [item for kind in KINDS for item in self.entries(kind)]
        items += self.bought()
        guards = self.guards()
        self.whole(items, guards)
        return Bin(name, says, self.file, tuple(items), guards, wishes, hub, before, base, shared)

    def rows(self, key: str) -> list[Any]:
        """The sections headed [[key]]."""
        rows = self.table.get(key, [])
        rows = [rows] if isinstance(rows, Mapping) else rows
        if not isinstance(rows, list) or len(rows) > MOST_ITEMS:
            got = f"{len(rows)} of them" if isinstance(rows, list) else repr(rows)[:60]
            self.notes.complain(key, f"got {got}; up to {MOST_ITEMS} sections headed [[{key}]] are wanted")
            return []
        return rows

    def part_of_build(self, sections: Mapping[str, Any], mine: tuple[str, ...], place: str | None) -> Build:
        """Read sections inside the stand-in build; only problems of `mine` count, told at `place` of the bin."""
        notes = Notes(self.shelf)
        build = build_from_table({**STAND_IN, **sections, "format": FORMAT}, self.file, notes)
        found = list(notes.problems)
        if not any(self._is_of(one, mine) for one in found):
            # The stand-in may be spoilt by another section's fault, which is told there.
            with contextlib.suppress(AttributeError, ValueError, ZeroDivisionError):
                found += [one for one in impossible(build, []) if self._stands_alone(one)]
        for one in found:
            if self._is_of(one, mine):
                rest = one.place.partition(".")[2]
                self.notes.complain(one.place if place is None else f"{place}.{rest}".rstrip(".") if rest else place, one.says)
        return build

    @staticmethod
    def _is_of(problem: Problem, mine: tuple[str, ...]) -> bool:
        return problem.place.split(".")[0].split("[")[0] in mine

    @staticmethod
    def _stands_alone(problem: Problem) -> bool:
        """Whether a problem is the entry's own and not one of how it goes with the stand-in."""
        return problem.place in (
            "stove", "sink.fin_pitch", "sink.pin_pitch", "sink.fin_count", "sink.outer_diameter", "sink.bore", "sink.pin_count",
            "guard.element",
        )  # fmt: skip

    def wishes(self) -> tuple[Wishes, dict[str, Any]]:
        s = Section(self.notes, "wish", self.table.get("wish"))
        starts = s.quantity("starts_by", "temperature", "130 °C", 303.15, 673.15, "practice").value
        air = s.quantity("air", "air_flow", "40 m³/h", 1e-4, 10.0, "practice").value
        face = s.maybe("hottest_face", "temperature", 303.15, 673.15)
        first = s.choice("first", FIRST, "air")
        most = s.count("most_modules", 4, 1, 8)
        s.known += ["guard", "money", "tools"]
        guard, money, tools = s.table.get("guard", False), s.table.get("money", 0), s.table.get("tools", list(TOOLS))
        if not isinstance(guard, bool):
            self.notes.complain("wish.guard", f"got {guard!r:.40}; true (it must have one) or false is wanted")
        if isinstance(money, bool) or not isinstance(money, (int, float)) or not 0 <= money <= 1e6:
            self.notes.complain("wish.money", f"got {money!r:.40}; a plain number from 0 to 1000000 is wanted, such as 25")
            money = 0
        if not isinstance(tools, list) or any(one not in TOOLS for one in tools):
            self.notes.complain(
                "wish.tools", f'got {tools!r:.60}; a list of some of {", ".join(TOOLS)} is wanted, such as ["saw"]'
            )
            tools = []
        s.close()
        kept = {key: value for key, value in s.table.items() if key in ("starts_by", "air")}
        limit = None if face is None else face.value
        return Wishes(starts, air, limit, guard is True, float(money), tuple(tools), first, most), kept

    def entries(self, kind: str) -> list[Item]:
        """Every entry of one kind on hand."""
        found = [self.item(kind, row, f"{kind}[{i + 1}]", False) for i, row in enumerate(self.rows(kind))]
        return [item for item in found if item is not None]

    def bought(self) -> list[Item]:
        """What may be bought."""
        found = []
        for i, row in enumerate(self.rows("buy")):
            place = f"buy[{i + 1}]"
            kind = row.get("kind") if isinstance(row, Mapping) else None
            if kind not in KINDS:
                self.notes.complain(f"{place}.kind", f"got {kind!r:.40}; one of {', '.join(KINDS)} is wanted")
                continue
            item = self.item(str(kind), {key: value for key, value in row.items() if key != "kind"}, place, True)
            if item is not None:
                found.append(item)
        return found

    def item(self, kind: str, row: Any, place: str, bought: bool) -> Item | None:
        """One entry; None, with problems noted, when it cannot be read."""
        before = len(self.notes.problems)
        s = Section(self.notes, place, row)
        count = s.count("count", 4 if kind in ("screws", "bush") else 1, 1, 64)
        price = None
        if bought:
            price = s.table.get("price")
            if isinstance(price, bool) or not isinstance(price, (int, float)) or not 0 <= price <= 1e6:
                self.notes.complain(
                    f"{place}.price", f"got {price!r:.40}; what it costs, as a plain number such as 12.5, is wanted"
                )
                price = None
        own = {key: value for key, value in s.table.items() if key not in ("count", "price")}
        if kind == "blade" and "vanes" in own:  # a build's blade.count; a bin's count says how many there are
            own.pop("vanes")
            own["count"] = s.count("vanes", None, 1, MOST_VANES)
        fallback = str(own.get("part") or own.get("material") or f"own {kind}")
        name = s.words("name", fallback, 80)
        if "part" in own:
            own.pop("name", None)
        thing, table = self.thing(kind, own, place, count)
        if thing is None or len(self.notes.problems) > before:
            return None
        return Item(kind, name, thing, count, None if price is None else float(price), table)

    def thing(self, kind: str, own: dict[str, Any], place: str, count: int) -> tuple[Any, dict[str, Any]]:
        """What one entry is, and its table without what only a bin knows."""
        if kind in ("bush", "element"):
            part_kind = "wax" if kind == "element" else "bush"
            return Section(self.notes, place, own).whole_part(part_kind), self.spelled(part_kind, own)
        if kind == "bar":
            return self.bar(own, place)
        if kind == "plate":
            serves = own.pop("serves", [HOT_PLATE, SPREADER])
            serves = [serves] if isinstance(serves, str) else serves
            if not isinstance(serves, list) or not serves or any(one not in (HOT_PLATE, SPREADER) for one in serves):
                self.notes.complain(
                    f"{place}.serves", f'got {serves!r:.60}; "hot plate", "spreader" or a list of both is wanted'
                )
                serves = [HOT_PLATE]
            own.pop("name", None)
            build = self.part_of_build({"hot_plate": own}, ("hot_plate",), place)
            return Plate(build.hot_plate, tuple(serves)) if build.hot_plate else None, self.spelled("", own)
        if kind == "screws":
            length = own.pop("length", None)
            stand_in = {"circle": "80 mm", "free_length": "20 mm"}
            for key in (*stand_in, "across", "along", "bush", "hole"):
                if key in own:
                    self.notes.complain(f"{place}.{key}", "is found by the pick itself; leave it out of a bin")
                    own.pop(key)
            long = None
            if length is not None:
                long = Section(self.notes, place, {"length": length}).quantity("length", "length", None, 2e-3, 0.5).value
            build = self.part_of_build({"screws": {**own, **stand_in, "count": min(count, 12)}}, ("screws",), place)
            screws = build.screws
            return None if screws is None else ScrewSet(screws.part, min(count, 12), long), self.spelled("screw", own)
        section = SECTION[kind]
        inside: Any = [own] if kind == "module" else own
        if kind == "blade" and "height" in own:
            self.notes.complain(f"{place}.height", "is found by the pick from hub_above of [fan]; leave it out of a bin")
            own.pop("height")
        build = self.part_of_build({section: inside}, (section,), place)
        thing: Any = build.modules[0].part if kind == "module" else getattr(build, section)
        whole = thing if kind == "module" else thing.part
        return None if whole is None else whole if kind == "blade" else thing, self.spelled(kind, own)

    def bar(self, own: dict[str, Any], place: str) -> tuple[Any, dict[str, Any]]:
        """A bar: its section as a riser's, and the lengths at which it may be used."""
        given = {key: own.pop(key) for key in ("lengths", "shortest", "longest", "step", "sawn") if key in own}
        own.pop("name", None)
        build = self.part_of_build({"riser": [own]}, ("riser",), place)
        part = build.riser[0]
        s = Section(self.notes, place, given)
        whole = part.length.value
        sawn = given.get("sawn", bool(given))
        s.known += ["sawn", "lengths"]
        if not isinstance(sawn, bool):
            self.notes.complain(f"{place}.sawn", f"got {sawn!r:.40}; true (it may be sawn) or false is wanted")
        lengths: list[float] = []
        rows = given.get("lengths")
        if rows is not None:
            if not isinstance(rows, list) or not 1 <= len(rows) <= MOST_LENGTHS:
                self.notes.complain(f"{place}.lengths", f'got {rows!r:.60}; a list such as ["60 mm", "80 mm"] is wanted')
                rows = []
            for i, row in enumerate(rows):
                one = Section(self.notes, f"{place}.lengths", {str(i + 1): row})
                lengths.append(one.quantity(str(i + 1), "length", None, 2e-3, whole).value)
        low = s.quantity("shortest", "length", f"{min(SHORTEST, whole) * 1e3:.6g} mm", 2e-3, whole).value
        high = s.quantity("longest", "length", f"{min(LONGEST, whole) * 1e3:.6g} mm", 2e-3, whole).value
        step = s.quantity("step", "length", f"{STEP * 1e3:.6g} mm", 5e-4, 0.5).value
        s.close()
        if rows is None and sawn is True:
            count = int(np.floor((high - low) / step + 1e-9)) + 1
            if count < 1 or count > MOST_LENGTHS:
                self.notes.complain(
                    f"{place}.step",
                    f"gives {max(count, 0)} lengths; 1 to {MOST_LENGTHS} are allowed: mend shortest, longest or step",
                )
                count = 1
            lengths = [low + i * step for i in range(count)]
        lengths = [round(one, 4) for one in lengths] or [whole]
        if part.material is None:
            return None, own
        bar = Bar(
            part.shape, part.width.value, part.depth.value, whole, tuple(sorted(set(lengths))), part.material, part.finish
        )
        return bar, self.spelled("", own)

    def guards(self) -> tuple[GuardWay, ...]:
        """Ways of guarding, each without its element."""
        ways = []
        for i, row in enumerate(self.rows("guard")):
            place = f"guard[{i + 1}]"
            own = dict(row) if isinstance(row, Mapping) else row
            if not isinstance(own, dict):
                self.notes.complain(place, f"got {own!r:.40}; a section headed [[guard]] is wanted")
                continue
            heights = own.pop("heights", [0.5])
            if own.get("kind") == "none":
                self.notes.complain(f"{place}.kind", 'got "none"; going without a guard is always tried, so leave it out')
            for key in ("element", "element_height"):
                if key in own:
                    self.notes.complain(f"{place}.{key}", "is found by the pick; list wax elements under [[element]]")
                    own.pop(key)
            right = (
                isinstance(heights, list)
                and heights
                and all(isinstance(one, (int, float)) and not isinstance(one, bool) and 0.0 < one < 1.0 for one in heights)
            )
            if not right:
                self.notes.complain(
                    f"{place}.heights", f"got {heights!r:.60}; shares of the riser such as [0.3, 0.6] are wanted"
                )
                heights = [0.5]
            build = self.part_of_build({"guard": {**own, "element": "wax 88"}}, ("guard",), place)
            shares = tuple(float(one) for one in heights) if build.guard.held_in == "riser" else (0.5,)
            ways.append(GuardWay(replace(build.guard, element=None), shares, "pin_length" in own, self.spelled("", own)))
        return tuple(ways)

    def whole(self, items: list[Item], guards: tuple[GuardWay, ...]) -> None:
        """What only the bin as a whole can show: kinds that are missing, names given twice."""
        for kind in ("module", "motor", "blade", "sink", "bar"):
            if not any(item.kind == kind for item in items) and not self._told(kind):
                self.notes.complain(kind, f"nothing of it; a fan needs one: add a section headed [[{kind}]]")
        seen: set[tuple[str, str]] = set()
        for item in items:
            if (item.kind, item.name) in seen:
                says = f'"{item.name}" stands there twice; give each a name of its own, or one of them count = 2'
                self.notes.complain(item.kind, says)
            seen.add((item.kind, item.name))
        if any(item.kind == "element" for item in items) and not guards and not self._told("guard"):
            self.notes.complain(
                "guard", 'there are wax elements and no way to use them: add [[guard]] with kind = "central lift"'
            )

    def _told(self, kind: str) -> bool:
        return any(one.place.split("[")[0].split(".")[0] in (kind, "buy") for one in self.notes.problems)

    def spelled(self, kind: str, own: Mapping[str, Any]) -> dict[str, Any]:
        """A table that needs no parts folder beside it: parts found there are written out in place."""
        found: dict[str, Any] = {}
        for key, value in own.items():
            named = kind if key == "part" else key if key in FIELDS else ""
            named = "material" if key.endswith("_material") else "finish" if key.endswith("_finish") else named
            if named in FIELDS and isinstance(value, str) and value in self.shelf.names(named):
                table, origin = self.shelf.table(named, value)
                if origin == BESIDE:
                    whole = self.spelled(named, table)
                    found |= {"name": value, **whole} if key == "part" else {key: {"name": value, **whole}}
                    continue
            found[key] = value
        return found
