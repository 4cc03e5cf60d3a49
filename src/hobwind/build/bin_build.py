"""From a bin and one choice out of it to a build: what is sawn how long, where screws and blade sit, what goes into the file.

Sizes that the maker would mark out are whole: the hub's height in millimetres, screw places in half millimetres, free
lengths in tenths. They are found here once, and both the build and its file are made from them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from ..units import read_quantity, show_spread
from . import geometry
from .bin_sections import Bar, Bin, Item, Plate, ScrewSet
from .heading import FORMAT
from .pin import pin_depth, usual_pin, with_pin
from .sections import BladeUse, Build, Guard, ModuleUse, RiserPart, Screws, Wiring
from .toml_lines import section_lines, toml_value

EDGE = 1.5e-3  # m; metal left between a screw's hole and the edge of either plate
WASHERS = 2e-3  # m; under the heads, as part of the screws' free length
MEASURED_BASE = 5e-3  # m; base of a sink of which only K/W is known


@dataclass(frozen=True)
class Mix:
    """Modules of a fan: places in the bin's list with their counts, and the strings in which they are wired."""

    uses: tuple[tuple[int, int], ...]
    strings: tuple[tuple[int, ...], ...]

    @property
    def count(self) -> int:
        """How many modules in all."""
        return sum(number for _, number in self.uses)

    @property
    def arrangement(self) -> str:
        """The word of the build file for it."""
        if len(self.strings) == 1:
            return "series"
        return "parallel" if all(sum(string) == 1 for string in self.strings) else "groups"


class Choice(NamedTuple):
    """One fan out of a bin; places in the bin's lists, -1 for none. `riser` is (bar, length in m), `guard` (way, element, share)."""

    mix: Mix
    motor: int
    blade: int
    sink: int
    riser: tuple[int, float]
    hot_plate: int
    spreader: int
    screws: tuple[int, int]
    guard: tuple[int, int, float]


def millimetres(length: float, digits: int) -> str:
    """A length as it is written into a build file."""
    return f"{length * 1e3:.{digits}f} mm"


def hub_height(low: float, modules: float, high: float, above: float) -> float:
    """Height of the blade's hub over the plate, whole millimetres, m."""
    return math.floor((low + modules + high + above) * 1e3 + 0.5) * 1e-3


def _typed(text: str) -> Any:
    return read_quantity(text, "length")


def base_thickness(build: Build) -> float:
    """How much of a screw stands in the sink's base, m."""
    sink = build.sink.part
    if sink.shape == "measured":
        return MEASURED_BASE
    return 0.25 * sink.core_diameter.value if sink.shape == "annular fins" else float(sink.base_thickness.value)


def free_length(build: Build) -> float:
    """Length of a clamp screw between its head and the thread below the modules, m."""
    spread = build.spreader.thickness.value if build.spreader is not None else 0.0
    bush = build.screws.bush.flange_thickness.value if build.screws is not None and build.screws.bush is not None else 0.0
    return geometry.module_thickness(build) + spread + base_thickness(build) + bush + WASHERS


def screw_places(build: Build, hole: float) -> dict[str, float]:
    """Where the clamp screws go: as far out as the smaller plate lets them, on a circle where a plate is round, m."""
    low, high = geometry.low_plate(build), geometry.high_plate(build)
    room = 0.5 * hole + EDGE
    half_x, half_y = 0.5 * min(low[0], high[0]) - room, 0.5 * min(low[1], high[1]) - room
    round_ = (build.hot_plate is None and build.riser[-1].shape == "cylinder") or (
        build.spreader is None and build.sink.part.shape == "annular fins"
    )
    if round_:
        return {"circle": max(math.floor(4e3 * min(half_x, half_y) + 1e-6) * 0.5e-3, 5e-3)}
    return {
        "across": max(math.floor(4e3 * half_x + 1e-6) * 0.5e-3, 5e-3),
        "along": max(math.floor(4e3 * half_y + 1e-6) * 0.5e-3, 5e-3),
    }


class Maker:
    """Makes builds of one bin."""

    def __init__(self, bin: Bin) -> None:
        self.bin = bin
        self.items: dict[str, tuple[Item, ...]] = {item.kind: bin.of(item.kind) for item in bin.items}

    def item(self, kind: str, place: int) -> Item:
        """One entry of the bin."""
        return self.items[kind][place]

    def build(self, choice: Choice) -> Build:
        """The build of one choice; whether it can be made is not asked here."""
        bar: Bar = self.item("bar", choice.riser[0]).thing
        length = _typed(millimetres(choice.riser[1], 1))
        width, depth = (_typed(f"{one * 1e3!r} mm") for one in (bar.width, bar.depth))
        made = replace(
            self.bin.base,
            name=self.name(choice),
            says="",
            riser=(RiserPart(bar.shape, width, depth, length, bar.material, bar.finish),),
            hot_plate=None if choice.hot_plate < 0 else self.item("plate", choice.hot_plate).thing.slab,
            spreader=None if choice.spreader < 0 else self.item("plate", choice.spreader).thing.slab,
            modules=tuple(ModuleUse(self.item("module", place).thing, count) for place, count in choice.mix.uses),
            wiring=self.wiring(choice.mix),
            sink=self.item("sink", choice.sink).thing,
            motor=self.item("motor", choice.motor).thing,
            mass=None,
            records=(),
        )
        made = replace(made, blade=self.blade(made, choice), guard=self.guard(made, choice))
        return replace(made, screws=self.screws(made, choice))

    def wiring(self, mix: Mix) -> Wiring:
        """Strings and leads."""
        return replace(self.bin.base.wiring, arrangement=mix.arrangement, strings=mix.strings)

    def blade(self, made: Build, choice: Choice) -> BladeUse:
        """The blade at its height over the stack."""
        low = geometry.riser_height(made) + (made.hot_plate.thickness.value if made.hot_plate else 0.0)
        high = (made.spreader.thickness.value if made.spreader else 0.0) + geometry.sink_box(made)[2]
        height = hub_height(low, geometry.module_thickness(made), high, self.bin.hub_above)
        told = self.bin.hub_before
        before = self.bin.base.blade.before_sink if told is None else _typed(show_spread(told, "length"))
        return BladeUse(self.item("blade", choice.blade).thing, _typed(millimetres(height, 0)), before)

    def guard(self, made: Build, choice: Choice) -> Guard:
        """The guard with its element, and the pin as long as its place asks for."""
        way, place, _ = choice.guard
        if way < 0:  # sizes that nothing uses, as the build file's reader sets them
            half = _typed(f"{max(0.5 * geometry.riser_height(made), 1e-3) * 1e3:.3g} mm")
            unused = replace(self.bin.base.guard, element_height=half)
            return with_pin(unused, usual_pin(unused, geometry.riser_height(made)))
        known = self.bin.guards[way]
        sizes = self.guard_sizes(made, choice)
        height = _typed(sizes["element_height"])
        pin = known.guard.pin_length if known.pin_given else _typed(sizes["pin_length"])
        bore = known.guard.pin_bore if "pin_bore" in known.table else _typed(sizes["pin_bore"])
        foot = made.riser[0]  # not the stand-in's, by which the way of guarding was read
        edge = known.guard.pivot_edge
        if "pivot_edge" not in known.table:
            edge = _typed(f"{foot.depth.value * 1e3!r} mm" if foot.shape == "block" else "0 mm")
        return replace(
            known.guard,
            element=self.item("element", place).thing,
            element_height=height,
            pin_length=pin,
            pin_bore=bore,
            pivot_edge=edge,
        )

    def guard_sizes(self, made: Build, choice: Choice) -> dict[str, str]:
        """Element height, pin and bore, as written into the file."""
        way, place, share = choice.guard
        known = self.bin.guards[way]
        tall = geometry.riser_height(made)
        height = millimetres(max(share * tall, 1e-3), 1)
        element = self.item("element", place).thing
        held = replace(known.guard, element=element, element_height=_typed(height))
        pin = str(known.table["pin_length"]) if known.pin_given else millimetres(usual_pin(held, tall), 1)
        deep = millimetres(pin_depth(held, _typed(pin).value), 2)
        return {"element_height": height, "pin_length": pin, "pin_bore": str(known.table.get("pin_bore", deep))}

    def screws(self, made: Build, choice: Choice) -> Screws | None:
        """Clamp screws in their places; None where the bin has none."""
        place, bush_place = choice.screws
        if place < 0:
            return None
        stand_in = self._screw_set(place, bush_place)
        where = {key: _typed(millimetres(value, 1)) for key, value in screw_places(made, stand_in.hole.value).items()}
        long = _typed(millimetres(free_length(replace(made, screws=stand_in)), 1))
        return replace(stand_in, free_length=long, **where)

    def _screw_set(self, place: int, bush_place: int) -> Screws:
        kept: ScrewSet = self.item("screws", place).thing
        bush = None if bush_place < 0 else self.item("bush", bush_place).thing
        clear = 1.1 * kept.part.diameter.value if bush is None else bush.outer.value + 2e-4
        contact = self.item("screws", place).table.get("head_contact", "5000..20000 W/(m² K)")
        washer = None
        return Screws(
            part=kept.part, count=kept.count, free_length=_typed("20 mm"), hole=_typed(f"{clear * 1e3:.2f} mm"),
            circle=None, across=None, along=None, head_contact=read_quantity(str(contact), "heat_transfer_coefficient"),
            bush=bush, washer=washer, washers=1, nested=1, engaged=None, strength=None,
        )  # fmt: skip

    def name(self, choice: Choice) -> str:
        """What the fan is called: its modules and motor, and the bin they come from."""
        many = [(count, self.item("module", place).name) for place, count in choice.mix.uses]
        modules = " and ".join(name if count == 1 else f"{count} x {name}" for count, name in many)
        return f"{modules} with {self.item('motor', choice.motor).name}, from {self.bin.name}"[:80]

    def text(self, choice: Choice, says: str) -> str:
        """The choice as a build file.

        Args:
            choice: out of the bin.
            says: one line on what it is.

        Returns:
            TOML that reads back as `build(choice)`.
        """
        made = self.build(choice)
        lines = [
            f"# Taken from the bin {self.bin.file}: {says}",
            "# Every size below was found by the pick; measure what you have sawn and write that in.",
            "",
            f"format = {FORMAT}",
            f"name = {toml_value(made.name)}",
        ]
        wish = {"starts_by": self._wish("starts_by"), "air": self._wish("air")}
        sections = dict(self.bin.shared)
        wiring = dict(sections.pop("wiring", {}))
        for head in ("stove", "seat", "clamp", "surround"):
            if head in sections:
                lines += section_lines(f"[{head}]", sections[head])
        lines += section_lines("[wish]", {key: value for key, value in wish.items() if value is not None})
        for name, face in dict(sections.get("joint", {})).items():
            lines += section_lines(f"[joint.{name}]", face)
        bar = self.item("bar", choice.riser[0])
        sawn = f"# {bar.name}: " + ("as it is" if choice.riser[1] >= bar.thing.length - 1e-9 else "to be sawn to this length")
        lines += section_lines("[[riser]]", {**bar.table, "length": millimetres(choice.riser[1], 1)}, sawn)
        for head, place in (("hot_plate", choice.hot_plate), ("spreader", choice.spreader)):
            if place >= 0:
                lines += section_lines(f"[{head}]", self.item("plate", place).table, f"# {self.item('plate', place).name}")
        for place, count in choice.mix.uses:
            item = self.item("module", place)
            lines += section_lines("[[modules]]", {**_part(item), "count": count}, _bought(item))
        strings: dict[str, Any] = {"arrangement": choice.mix.arrangement}
        if choice.mix.arrangement == "groups":
            strings["strings"] = [list(string) for string in choice.mix.strings]
        lines += section_lines("[wiring]", strings | {key: value for key, value in wiring.items() if key in ("leads", "limit")})
        lines += section_lines("[sink]", _part(self.item("sink", choice.sink)), _bought(self.item("sink", choice.sink)))
        lines += self._screw_lines(made, choice)
        lines += section_lines("[motor]", _part(self.item("motor", choice.motor)), _bought(self.item("motor", choice.motor)))
        blade = self.item("blade", choice.blade)
        hub = {"height": millimetres(made.blade.height.value, 0)}
        if self.bin.hub_before is not None:
            hub["before_sink"] = show_spread(self.bin.hub_before, "length")
        lines += section_lines("[blade]", {**_part(blade), **hub}, _bought(blade))
        lines += self._guard_lines(made, choice)
        return "\n".join(lines) + "\n"

    def _wish(self, key: str) -> str | None:
        typed = [record.text for record in self.bin.base.records if record.place == f"wish.{key}"]
        return typed[-1] if typed else None

    def _screw_lines(self, made: Build, choice: Choice) -> list[str]:
        if made.screws is None:
            return []
        item, places = self.item("screws", choice.screws[0]), screw_places(made, made.screws.hole.value)
        table: dict[str, Any] = {**_part(item), "count": made.screws.count}
        table |= {key: millimetres(value, 1) for key, value in places.items()}
        table["free_length"] = millimetres(made.screws.free_length.value, 1)
        table["hole"] = millimetres(made.screws.hole.value, 2)
        if choice.screws[1] >= 0:
            own = _part(self.item("bush", choice.screws[1]))
            table["bush"] = own["part"] if set(own) == {"part"} else own
        return section_lines("[screws]", table, _bought(item))

    def _guard_lines(self, made: Build, choice: Choice) -> list[str]:
        way, place, _ = choice.guard
        if way < 0:
            return section_lines("[guard]", {"kind": "none"})
        own = _part(self.item("element", place))
        element = own["part"] if set(own) == {"part"} else own
        table = {**self.bin.guards[way].table, "element": element, **self.guard_sizes(made, choice)}
        return section_lines("[guard]", table, _bought(self.item("element", place)))


def plates_of(bin: Bin, use: str) -> Iterator[int]:
    """Places of the plates that may serve as hot plate or spreader."""
    for place, item in enumerate(bin.of("plate")):
        plate: Plate = item.thing
        if use in plate.serves:
            yield place


def _part(item: Item) -> dict[str, Any]:
    """An entry's table as a section of a build file, its name kept where no catalogue part names it."""
    table = dict(item.table)
    if item.kind in ("screws",):
        table.pop("count", None)
    return table


def _bought(item: Item) -> str | None:
    return f"# {item.name}" + ("" if item.price is None else f", to be bought for {item.price:g}")
