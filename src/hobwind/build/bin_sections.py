"""A bin, read: what lies on the shelf, what may be sawn or bought, and what is wished. SI and kelvin.

An `Item` keeps the section as it was typed beside what was read from it, so that a build made of it can be written out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..parts.kinds import Blade, Bush, Finish, Material, Module, Screw, Wax
from ..units import Spread
from .sections import Build, Guard, MotorUse, SinkUse, Slab

KINDS = ("module", "motor", "blade", "sink", "bar", "plate", "screws", "bush", "element")
TOOLS = ("saw", "drill press", "taps", "lathe")
FIRST = ("air", "early start", "margin")
HOT_PLATE, SPREADER = "hot plate", "spreader"


@dataclass(frozen=True)
class Bar:
    """Riser stock: its section, its length, and the lengths it may be used at."""

    shape: str
    width: float
    depth: float
    length: float
    lengths: tuple[float, ...]
    material: Material
    finish: Finish


@dataclass(frozen=True)
class Plate:
    """Flat stock, and what it may serve as."""

    slab: Slab
    serves: tuple[str, ...]


@dataclass(frozen=True)
class ScrewSet:
    """Clamp screws of one kind: how many, and how long (None where that does not matter)."""

    part: Screw
    count: int
    length: float | None


Thing = Module | MotorUse | Blade | SinkUse | Bar | Plate | ScrewSet | Bush | Wax


@dataclass(frozen=True)
class Item:
    """One entry of a bin: its name, how many there are, its price (None when it is on hand), and the section as typed."""

    kind: str
    name: str
    thing: Any
    count: int
    price: float | None
    table: Mapping[str, Any]


@dataclass(frozen=True)
class GuardWay:
    """One way of guarding: a build's guard but for its element, and the shares of the riser at which that may sit."""

    guard: Guard
    heights: tuple[float, ...]
    pin_given: bool
    table: Mapping[str, Any]


@dataclass(frozen=True)
class Wishes:
    """What is wished of the fan; temperatures in K, air in m3/s, money in whatever the prices are in."""

    starts_by: float
    air: float
    hottest_face: float | None
    must_guard: bool
    money: float
    tools: tuple[str, ...]
    first: str
    most_modules: int


@dataclass(frozen=True)
class Bin:
    """Parts on hand, what may be bought, the stove, and what is wished.

    `base` is a stand-in build that carries the sections shared by all builds of this bin: stove, wish, seat, joints,
    clamp, lagging, leads. `shared` are those sections as typed.
    """

    name: str
    says: str
    file: str
    items: tuple[Item, ...]
    guards: tuple[GuardWay, ...]
    wishes: Wishes
    hub_above: float
    hub_before: Spread | None
    base: Build
    shared: Mapping[str, Any]

    def of(self, kind: str) -> tuple[Item, ...]:
        """Every entry of one kind, those on hand first."""
        return tuple(item for item in self.items if item.kind == kind)
