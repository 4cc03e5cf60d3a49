"""One fan, described: every section of a build file as it stands after reading, in SI and kelvin.

Numbers are `Spread`s. A part that was looked up (`part`) keeps its own fields; what belongs to its use in this fan
(how many, how high, how held) stands beside it.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..parts.kinds import (
    Blade,
    Bush,
    Compound,
    Finish,
    Lagging,
    Material,
    Module,
    Motor,
    Screw,
    Sheet,
    Sink,
    Surface,
    Washer,
    Wax,
)
from ..units import Spread


@dataclass(frozen=True)
class Stove:
    """The stove plate, its fire and the room."""

    room: Spread
    altitude: Spread
    usual_plate: Spread
    worst_plate: Spread
    plate_material: Material
    plate_finish: Finish
    plate_thickness: Spread
    plate_front: Spread
    plate_side: Spread
    flame_coefficient: Spread
    coating: Spread
    coating_conductivity: Spread
    plume_still: Spread
    plume_blown: Spread


@dataclass(frozen=True)
class Wish:
    """What the maker wants of the fan."""

    air: Spread
    starts_by: Spread


@dataclass(frozen=True)
class RiserPart:
    """One length of the riser; a cylinder has a diameter, a block width and depth."""

    shape: str
    width: Spread
    depth: Spread
    length: Spread
    material: Material
    finish: Finish


@dataclass(frozen=True)
class Seat:
    """Foot and stove plate together: heights and out-of-flatness of both; `Stove.coating` counts the shims."""

    roughness: Spread
    slope: Spread
    flatness: Spread
    bow: Spread
    settle: Spread
    shim: Sheet | None
    shim_count: int


@dataclass(frozen=True)
class JointFace:
    """What lies in one joint (None when dry) and how both its faces were made."""

    fill: Compound | Sheet | None
    surface: Surface


@dataclass(frozen=True)
class Joints:
    """Every joint a stack can have, whether or not this build has it."""

    riser: JointFace
    hot_plate: JointFace
    hot: JointFace
    cold: JointFace
    sink: JointFace


JOINED = ("one piece", "brazed", "soft solder")  # ways in which hot plate and riser are one metal, without a joint to fill


@dataclass(frozen=True)
class Slab:
    """A hot plate or a spreader. `held`: how a hot plate is held to its riser; None is by screws that the shop chooses."""

    width: Spread
    depth: Spread
    thickness: Spread
    material: Material
    finish: Finish
    held: str | None = None

    @property
    def joined(self) -> bool:
        """Whether it is one metal with its riser."""
        return self.held in JOINED


@dataclass(frozen=True)
class ModuleUse:
    """Modules of one kind."""

    part: Module
    count: int


@dataclass(frozen=True)
class Wiring:
    """Strings of modules in series (counts of each kind), all strings in parallel; and the leads."""

    arrangement: str
    strings: tuple[tuple[int, ...], ...]
    leads: Spread
    limit: Spread
    wire_area: Spread
    lead_length: Spread
    solder: Spread
    slot: str


@dataclass(frozen=True)
class Tightening:
    """How the clamp screws are tightened; `torque` is None when the wanted pressure decides."""

    torque: Spread | None
    friction: Spread
    tool: str


@dataclass(frozen=True)
class Screws:
    """Clamp screws past the modules, on a circle or at the corners of a rectangle."""

    part: Screw
    count: int
    free_length: Spread
    hole: Spread
    circle: Spread | None
    across: Spread | None
    along: Spread | None
    head_contact: Spread
    bush: Bush | None
    washer: Washer | None
    washers: int
    nested: int
    engaged: Spread | None
    strength: Spread | None


@dataclass(frozen=True)
class SinkUse:
    """The sink and how it stands in the air."""

    part: Sink
    on_base: Spread
    in_stream: Spread
    bypass: Spread
    blown_power: Spread
    fins_cut: Spread


@dataclass(frozen=True)
class MotorUse:
    """The motor and how it is held."""

    part: Motor
    mount_conductance: Spread
    emissivity: Spread


# Of the blade's middle: it turns clear of everything by 5 mm, and half of a bent blade is some 7 mm deep; the spread holds one
# drawn in over the fins as well as one that stands well out. Source: common practice.
BEFORE_SINK, BEFORE_LIMITS = "12 ± 20 mm", (-0.3, 0.3)


@dataclass(frozen=True)
class BladeUse:
    """The blade; how high its hub is above the stove plate, how far before the sink's front edge (negative: behind it)."""

    part: Blade
    height: Spread
    before_sink: Spread


@dataclass(frozen=True)
class Guard:
    """The overheat protection; `element` is None when there is none."""

    kind: str
    element: Wax | None
    held_in: str
    element_height: Spread
    holder_conductance: Spread
    element_loss: Spread
    lost_motion: Spread
    lever_ratio: Spread
    stop: Spread
    stands: str
    foot_radius: Spread
    pivot_distance: Spread
    pivot_edge: Spread
    pin_offset: Spread
    pin_diameter: Spread
    pin_length: Spread
    pin_bore: Spread
    pin_material: Material
    pin_tip: Spread
    spring_force: Spread
    spring_rate: Spread
    plate_slope: Spread
    piston_out: Spread
    carrier_length: Spread | None
    carrier_diameter: Spread | None
    carrier_square: Spread
    pin_fit: str
    over_travel: Spread


@dataclass(frozen=True)
class Measured:
    """Lengths of the parts in hand, as measured; None where nobody has measured yet."""

    pin_length: Spread | None
    pin_bore: Spread | None
    carrier_length: Spread | None
    piston_out: Spread | None
    pin_diameter: Spread | None
    bore_diameter: Spread | None


@dataclass(frozen=True)
class HandOn:
    """What the maker hands on beside the figures: name, notes, photos (file names), terms of re-use."""

    maker: str
    notes: str
    terms: str
    photos: tuple[str, ...]


@dataclass(frozen=True)
class Record:
    """One value as it came into a build: place in the file, text, and where it is from."""

    place: str
    text: str
    origin: str


@dataclass(frozen=True)
class Build:
    """One fan."""

    name: str
    says: str
    file: str
    stove: Stove
    wish: Wish
    riser: tuple[RiserPart, ...]
    seat: Seat
    joint: Joints
    hot_plate: Slab | None
    modules: tuple[ModuleUse, ...]
    wiring: Wiring
    clamp_pressure: Spread
    tightening: Tightening
    surround: Lagging | None
    spreader: Slab | None
    sink: SinkUse
    screws: Screws | None
    motor: MotorUse
    blade: BladeUse
    guard: Guard
    measured: Measured
    hand_on: HandOn
    mass: Spread | None
    records: tuple[Record, ...]
    found: bool = False  # a fan that exists already, known from outside: nothing of it is to be made but its guard
    new_modules: bool = False  # a found fan whose clamp is opened for other modules

    @property
    def plate_joint(self) -> bool:
        """Whether there is a joint between riser and hot plate that something fills."""
        return self.hot_plate is not None and not self.hot_plate.joined

    @property
    def face_limit(self) -> float:
        """What the first of the hot faces bears: its maker's limit, or its solder where that melts sooner. [K]"""
        return min(min(use.part.hot_limit.value, use.part.solder.value) for use in self.modules)
