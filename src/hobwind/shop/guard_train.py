"""Sheets of what stands between wax element and what its pin pushes: push pin and capsule from the side, bridge from above."""

from __future__ import annotations

from collections.abc import Mapping

from ..build import Build
from ..build.pin import BRIDGE
from ..lifting.foot import rods_apart
from ..lifting.frame import STRIP, bridge_height
from ..lifting.train import (
    COLLAR,
    FREE,
    HEAD,
    LID,
    PIN_EYE,
    SOCKET,
    SOCKET_ROOM,
    STUB,
    TAB_WIDE,
    TABS,
    TUBE,
    Train,
    steel_length,
    stub_width,
    tab_length,
    train,
)
from .guard_sheet import SCREW, holes_of, sheet
from .guard_small import STAINLESS, STEEL
from .holes import size
from .made_part import MadePart, Mark

LID_ROOM = 0.2e-3  # m by which the lid is narrower than the bore. Source: choice


def train_pieces(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """Push pin, capsule and bridge, those that a guard has.

    Args:
        build: a checked build.
        number: of each part by name.

    Returns:
        The parts, laid flat or seen from the side, the wax element to the left; none without a guard.
    """
    made = train(build)
    if made is None:
        return []
    found = [_pin(build, made, number)]
    if made.capsule is not None and made.over is not None:
        found.append(_capsule(build, made, number))
    return found if made.bridge is None else [*found, _bridge(build, number)]


def _pin(build: Build, made: Train, number: Mapping[str, int]) -> MadePart:
    guard, marks = build.guard, list[Mark]()
    pin, long = guard.pin_diameter.value, guard.pin_length.value
    start = -0.5 * long
    notes = [f"Round, Ø{1e3 * pin:g}; seen from the side, the wax element to the left. Cut 0.5 mm long, file to the stack-up."]
    if made.capsule is not None and made.over is not None:
        lower = LID + made.over.fitted
        marks.append(Mark("head, in the capsule", start + lower + 0.5 * HEAD, 0.0, HEAD, made.bore - FREE))
        notes.append(
            f"The capsule fills the first {1e3 * lower:.1f} mm: the steel is {1e3 * steel_length(guard, made):.1f} mm, its head of "
            f"{1e3 * HEAD:g} included (a disc Ø{size(made.bore - FREE)} hard-soldered on, square)"
            + (f", then {1e3 * made.bead:.1f} mm of bead. File at the bead's end." if made.bead > 0.0 else ".")
        )
    if made.bridge is not None:
        marks.append(Mark("stop collar", start + made.collar + 0.5 * COLLAR, 0.0, COLLAR, pin + 7e-3))
        marks.append(Mark("bridge", start + made.bridge + 0.5 * BRIDGE, 0.0, BRIDGE, pin + 7e-3))
        notes.append(f"From the element's end: collar at {1e3 * made.collar:.1f}, bridge at {1e3 * made.bridge:.1f} mm"
                     + (f", bead from {1e3 * (long - made.bead):.1f} mm." if made.bead > 0.0 else "."))  # fmt: skip
        notes.append(f"Collar to bridge, cold: {1e3 * made.gap:.1f} mm = lost motion {1e3 * guard.lost_motion.value:.1f} + stop "
                     f"{1e3 * guard.stop.value:.1f} / lever {guard.lever_ratio.value:g}.")  # fmt: skip
    if made.sleeve is not None:
        marks.append(Mark("shoulder", start + 0.5 * HEAD, 0.0, HEAD, made.sleeve[0] + 2e-3))
        marks.append(Mark("stop sleeve", start + HEAD + made.gap + 0.5 * made.sleeve[1], 0.0, made.sleeve[1], made.sleeve[0]))
        notes.append(
            f"Shoulder to sleeve, cold: {1e3 * made.gap:.1f} mm; the sleeve lies loose on the pocket's floor within the return spring."
        )
    if made.bead > 0.0:
        stub, joint = stub_width(guard), -start - made.bead
        marks.append(Mark("bead", -start - 0.5 * made.bead, 0.0, made.bead, pin))
        marks.append(Mark("stub", joint, 0.0, 2.0 * STUB, stub))
        notes.append(
            f"Bead: drill the steel's end on its axis, Ø{size(stub + 0.1e-3)} x {size(STUB)}; a stub of stainless rod Ø{size(stub)} x "
            f"{size(2.0 * STUB)} half in it, hard-soldered, so that the collar's screw finds solid steel, half in the bead's bore with "
            f"exhaust cement; nothing stands out past Ø{size(pin)}."
        )
    return sheet(number, "push pin", guard.pin_material.name, (long, pin, pin), (), tuple(marks), tuple(notes), seen="the side")


def _capsule(build: Build, made: Train, number: Mapping[str, int]) -> MadePart:
    """Tube on a disc that is closed end and rim, spring and head in it, lid under four tabs."""
    assert made.capsule is not None and made.over is not None
    guard, (outer, tall), bore = build.guard, made.capsule, made.bore
    pin, disc = guard.pin_diameter.value, LID + made.socket
    long = tall + made.socket
    left, tabs = -0.5 * long, tab_length(made, pin)
    floor, lid = left + disc, 0.5 * long - TABS
    rim, tube = 0.5 * made.rim, 0.5 * outer
    outline = (
        (left, -rim),
        (floor, -rim),
        (floor, -tube),
        (0.5 * long, -tube),
        (0.5 * long, tube),
        (floor, tube),
        (floor, rim),
        (left, rim),
    )
    inside = (
        Mark("spring, squeezed", floor + 0.5 * made.over.fitted, 0.0, made.over.fitted, bore),
        Mark("head", floor + made.over.fitted + 0.5 * HEAD, 0.0, HEAD, bore - FREE),
        Mark("lid", lid - 0.5 * LID, 0.0, LID, bore - LID_ROOM),
        Mark("tabs", lid + 0.5 * TABS, 0.0, TABS, outer),
    )
    end = f"Closed end and rim are one disc Ø{size(made.rim)} x {size(disc)}, hard-soldered on the tube: it carries the return spring."
    if made.socket > 0.0:
        end += (
            f" In its middle, from outside, a socket {size(made.socket)} deep and {size(SOCKET_ROOM)} mm wider than the element's own pin, "
            "which it sits on."
        )
    else:
        end += (
            f" It wants a socket for the element's own pin, {size(SOCKET)} deep, but that pin stands out {size(guard.piston_out.value)} mm "
            f"cold in the build: see the stack-up."
        )
    notes = (
        f"Cut through along its axis, the wax element to the left. Tube Ø{size(outer)} x {size(TUBE)} as sold, bore {size(bore)}, cut "
        f"{size(lid - floor + tabs)} mm long; at its right end four tabs {size(TAB_WIDE)} wide and {size(tabs)} long are left, the "
        "metal between them cut away: a wider one, curved as the tube is, does not fold. Bent in over the lid: lid's upper side "
        f"{size(lid - floor)} mm from the disc.",
        end,
        f"Lid Ø{size(bore - LID_ROOM)} x {size(LID)}, its hole Ø{size(pin + FREE)}; head Ø{size(bore - FREE)} x {size(HEAD)}; play of the "
        f"spring in the bore {size(bore - made.over.coil - made.over.wire)} mm. Squeezed it presses the lid with {made.over.force:.0f} N.",
    )  # fmt: skip
    return sheet(
        number,
        "over-travel capsule",
        STAINLESS,
        (long, made.rim, made.rim),
        (),
        inside,
        notes,
        seen="the side",
        outline=outline,
    )


def _bridge(build: Build, number: Mapping[str, int]) -> MadePart:
    apart, near, pin = rods_apart(build), bridge_height(build), build.guard.pin_diameter.value
    high = "" if near is None else size(round(near, 4))
    held, over = "hang from the clip", "from the element's far end"
    if build.guard.held_in == "plate":
        held, over = "stand in the base", "over the stove plate"
    holes = (
        holes_of("bridge", "A", "eye of the push pin", ((0.0, 0.0),), pin + PIN_EYE),
        holes_of("bridge", "B", "bridge stud", ((0.0, -0.5 * apart), (0.0, 0.5 * apart)), SCREW),
    )
    notes = (
        f"The eye is {1e3 * PIN_EYE:g} mm wider than the pin, its edges countersunk on both sides: no reaming, and the bead passes.",
        f"Its studs {held}; on each a nut on either side of it, by which it is set level: its near face {high} mm {over}.",
    )
    return sheet(number, "bridge", STEEL, (STRIP, apart + STRIP, BRIDGE), holes, (), notes)
