"""What stands between wax element and what its pin pushes: over-travel spring, collar, bridge or sleeve that stops it, return spring.

Beside the fan or at its side, from the element outward: a capsule whose spring gives way once the pin is stopped; a gap for that;
a collar on the pin; a gap as wide as the pin may travel; the bridge, a strip with an eye, which guides the pin and stops its
collar. The return spring stands round the capsule, between its rim and the bridge. In the riser the return spring stands over the
pin, under the element, with the stop within it: a loose sleeve; the over-travel spring stands behind the element.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ..build import Build
from ..build.forces import lifting_force, spring_at_stop
from ..build.guide import FRICTION, fitted_beside, free_beyond
from ..build.pin import MORE, bead_length, bridge_at, pin_gap
from ..build.sections import Guard
from ..units import plain
from .apart import AIR, CLEAR, riser_gap
from .springs import Coil, coil_for

HOLDS = 1.25  # times the force of the lift at which the over-travel spring begins to give way: not before. Source: choice
RISES = (2.0, 2.5, 3.0)  # times that force when it has given way all through; the softest that finds room. Source: choice
SPARED = 0.8  # of the element's force, which no spring may ask more than. Source: choice
# m outside, of 1 mm wall: tube that is sold in metric sizes. Sources: en-10305-1, common practice
TUBES = (10e-3, 12e-3, 14e-3, 15e-3, 16e-3, 18e-3, 20e-3, 22e-3, 25e-3, 28e-3, 30e-3, 32e-3)
TUBE = 1.0e-3  # m; wall of capsule and sleeve
LID, HEAD = 1.5e-3, 1.5e-3  # m; closed end, which is its rim too, and lid of the capsule; the pin's head in it
TAB_WIDE = 4e-3  # m; wider, a tab as curved as its tube does not fold flat. Common practice
TABS, TAB = TUBE, 4e-3  # m; four tabs of the tube knocked flat on the lid, and how long they are cut at most. Source: choice
RIM = LID
# m; depth of the closed end's socket for the element's own pin, by how much it is wider and shallower than that, and its least depth
SOCKET, SOCKET_ROOM, LEAST_SOCKET = 1.0e-3, 0.3e-3, 0.5e-3
STUB, STUB_SHARE = 3e-3, 0.4  # m of a bead's stub in the pin and in the bead; its width over the pin's. Source: choice
COLLAR = 4e-3  # m; stop collar with its screw
FREE = 0.5e-3  # m of room where one thing slides in or over another
PIN_EYE = 0.5e-3  # m by which the bridge's eye is wider than its pin: neither rust nor heat closes it. Source: choice
WIDE_BACK = 36e-3  # m; coil of a return spring at most


@dataclass(frozen=True)
class Train:
    """Sizes of the pin's train; metres. `gap` is what the collar or the shoulder travels until it is stopped.

    `capsule` is outer diameter and length from its socket's floor; `socket` how deep that is, `rim` the closed end's diameter;
    `sleeve` outer diameter and length; `bridge` from the element's pin to the bridge's near face; `needs` the shortest pin that
    holds everything. None: this guard has none.
    """

    over: Coil | None
    back: Coil | None
    gap: float
    bead: float
    capsule: tuple[float, float] | None = None
    sleeve: tuple[float, float] | None = None
    bridge: float | None = None
    collar: float = 0.0
    needs: float = 0.0
    under: float = 0.0
    rim: float = 0.0
    socket: float = 0.0

    @property
    def bore(self) -> float:
        """Of the capsule's tube, m; nought without one."""
        return 0.0 if self.capsule is None else self.capsule[0] - 2.0 * TUBE


def _over(build: Build, outside: float, rises: float, held: float) -> Coil | None:
    """The over-travel spring: holds firm while the fan is lifted, gives way the whole over-travel before the element is strained.

    `held` is what `held_through` says, asked for once by who tries many.
    """
    guard = build.guard
    assert guard.element is not None
    travel, first = guard.over_travel.value, HOLDS * held
    last = min(rises * first, SPARED * guard.element.force.value)
    return None if travel <= 0.0 or last <= first else coil_for(first, (last - first) / travel, travel, 4e-3, outside)


def held_through(build: Build) -> float:
    """What the over-travel spring must pass on while the fan is lifted, N.

    In the riser it stands behind the element, which pushes the return spring too; a return spring round the capsule bears on the
    capsule, so that only the fan's load goes through.
    """
    guard, whole = build.guard, lifting_force(build)[0]
    if guard.held_in == "riser":
        return whole
    return whole - spring_at_stop(guard) * (1.0 + FRICTION)


def room_across(build: Build) -> float:
    """How wide the train may be beside the riser, m."""
    return min(2.0 * riser_gap(build, CLEAR), 2.0 * (free_beyond(build) - AIR), WIDE_BACK)


def stub_width(guard: Guard) -> float:
    """Width of the stub that holds a bead on its pin, to half a millimetre: what is drilled and what rod is sold in, m.

    The bead's bore beyond the stub stays open, so that there is no metal core; what its air conducts less the stub conducts more.
    """
    return max(round(STUB_SHARE * guard.pin_diameter.value * 2e3), 3) * 0.5e-3


def steel_length(guard: Guard, made: Train) -> float:
    """How much of the push pin is steel, its head in the capsule included: the capsule before it and the bead count in its length, m."""
    before = LID + made.over.fitted if made.capsule is not None and made.over is not None else 0.0
    return guard.pin_length.value - made.bead - before


def tab_length(made: Train, pin: float) -> float:
    """How long the tabs of a capsule's tube are before they are bent in over its lid, short of the pin, m."""
    return min(TAB, 0.5 * (made.bore - pin) + 0.5 * TUBE)


def train(build: Build) -> Train | None:
    """The pin's train of a guard.

    Args:
        build: a checked build.

    Returns:
        Sizes; None without a guard.
    """
    guard = build.guard
    if guard.element is None:
        return None
    gap, pin, bead = pin_gap(guard), guard.pin_diameter.value, bead_length(guard)
    force, rate, long = guard.spring_force.value, guard.spring_rate.value, guard.pin_length.value
    if guard.held_in == "riser":
        wide, sleeve = guard.element.diameter.value, pin + 2.0 * TUBE + FREE
        back = coil_for(force, rate, gap, sleeve + FREE, wide - FREE)
        under = 0.0 if back is None else back.fitted + HEAD
        stops = None if back is None else (sleeve, back.pressed)
        return Train(_over(build, wide, RISES[0], held_through(build)), back, gap, bead, sleeve=stops, under=under)
    far = bridge_at(guard, long)
    if guard.over_travel.value <= 0.0:
        back = coil_for(force, rate, gap, pin + FREE, room_across(build), far - RIM)
        needs = long - far + gap + COLLAR + RIM
        return Train(None, back, gap, bead, bridge=far, collar=far - gap - COLLAR, needs=needs)
    least: Train | None = None
    held, across = held_through(build), room_across(build)
    for rises in RISES:
        for tube in reversed([one for one in TUBES if one <= across + 1e-9]):
            one = _with_capsule(build, far, _over(build, tube - 2.0 * TUBE - FREE, rises, held), tube)
            if one.needs <= long + 1e-9 and one.over is not None and one.back is not None:
                return one
            least = one if least is None or _short_of(one) < _short_of(least) else least
    return least if least is not None else _with_capsule(build, far, None, TUBES[0])


def _short_of(one: Train) -> tuple[bool, bool, float]:
    """How far a train is from what is wanted, to be compared."""
    return one.over is None, one.back is None, one.needs


def _with_capsule(build: Build, far: float, over: Coil | None, widest: float) -> Train:
    """The train with an over-travel spring in the slimmest tube that takes it, its bridge so far from the element's pin."""
    guard, gap = build.guard, pin_gap(build.guard)
    moves = guard.over_travel.value
    least = 0.0 if over is None else over.coil + over.wire + FREE + 2.0 * TUBE
    outer = widest if over is None else next(one for one in TUBES if one >= least - 1e-9)
    tall = LID + (0.0 if over is None else over.fitted) + HEAD + LID + TABS
    needs = guard.pin_length.value - far + gap + COLLAR + moves + FREE + tall
    back = coil_for(
        guard.spring_force.value, guard.spring_rate.value, gap + moves, outer + FREE, room_across(build), max(far - RIM, 1e-3)
    )  # fmt: skip
    rim = outer + 2.0 * FREE if back is None else math.floor(2e3 * (back.coil + back.wire) + 1e-6) * 0.5e-3
    socket = min(SOCKET, guard.piston_out.value - SOCKET_ROOM)
    return Train(
        over, back, gap, bead_length(guard), (outer, tall), None, far, far - gap - COLLAR, needs,
        rim=rim, socket=socket if socket >= LEAST_SOCKET else 0.0,
    )  # fmt: skip


def _roomier(build: Build, needs: float, spare: float) -> str:
    """How capsule, collar and bridge find room: by as long a pin as stands there, a taller riser, or no more over-travel than is used."""
    guard, wanted, told = build.guard, needs, ""
    enough = math.ceil(2e3 * (guard.over_travel.value - spare + MORE) - 1e-6) * 0.5e-3
    if MORE < enough < guard.over_travel.value - 1e-9:
        less = train(replace(build, guard=replace(guard, over_travel=plain(enough))))
        if less is not None and less.over is not None and less.needs < needs:
            wanted, told = (
                less.needs,
                f'over_travel = "{enough * 1e3:g} mm" is enough, they then take {less.needs * 1e3:.1f} mm',
            )
    pin = f'write pin_length = "{math.ceil(wanted * 1e3 - 1e-6):.0f} mm"'
    if guard.held_in != "plate":
        return f"{told}; {pin}" if told else pin
    tallest = fitted_beside(build).pin_length.value
    if wanted <= max(tallest, guard.pin_length.value) + 1e-9:
        does = "then this pin does" if wanted <= guard.pin_length.value + 1e-9 else pin
        return f"{told}; {does}" if told else does

    def taller(long: float) -> str:
        return f"{math.ceil((long - tallest) * 1e3 - 1e-6):.0f} mm taller"

    says = f"a riser {taller(needs)}, or a shorter element: there is height for a pin of {tallest * 1e3:.0f} mm"
    return says + (f"; {told}, and a riser {taller(wanted)} does" if told else "")


def no_socket(build: Build) -> str:
    """What keeps the capsule from sitting on the element's own pin; empty where it does, or where there is none."""
    one, guard = train(build), build.guard
    if one is None or one.capsule is None or one.socket > 0.0:
        return ""
    wants = LEAST_SOCKET + SOCKET_ROOM
    return (
        f"the element's own pin stands out {guard.piston_out.value * 1e3:g} mm cold; {wants * 1e3:g} are wanted for a socket that keeps "
        "the over-travel capsule on it: measure it and write piston_out under [guard]"
    )


def train_findings(build: Build, spare: float = 0.0) -> list[str]:
    """What of the train cannot be made as the guard stands.

    Args:
        build: a checked build.
        spare: over-travel that the hottest element leaves unused; negative where it wants more. [m]

    Returns:
        Findings in words.
    """
    one, guard = train(build), build.guard
    if one is None:
        return []
    found = []
    if one.back is None:
        found.append(
            f"fault: no coil of stainless wire gives {guard.spring_force.value:.1f} N and {guard.spring_rate.value * 1e-3:.2f} N/mm in the "
            "room there is: another spring_force or spring_rate"
        )
    if one.over is None and guard.over_travel.value > 0.0:
        found.append(
            f"fault: no over-travel spring holds {HOLDS * held_through(build):.0f} N and then gives way "
            f"{guard.over_travel.value * 1e3:g} mm within {SPARED:g} of the element's {lifting_force(build)[1]:.0f} N"
        )
    if one.needs > guard.pin_length.value + 1e-9:
        found.append(
            f"fault: capsule, collar and bridge take {one.needs * 1e3:.1f} mm, but the push pin is {guard.pin_length.value * 1e3:g} mm: "
            + _roomier(build, one.needs, spare)
        )
    carrier = 0.0 if guard.carrier_length is None else guard.carrier_length.value
    if one.under > carrier + 1e-9:
        found.append(
            f"advice: return spring and the pin's shoulder want {one.under * 1e3:.0f} mm under the element: a carrier "
            f'tube of that length under its shoulder ([guard] carrier_length = "{math.ceil(one.under * 1e3 - 1e-6):.0f} mm")'
        )
    return found
