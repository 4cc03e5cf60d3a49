"""The small parts of a guard, each with material and sizes: springs, capsule, collar, bridge, ring, bead, lever, base and guide.

Element, push pin and the thin foot are listed elsewhere. What is cut from sheet or bar has a template, see `guard_pieces`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..build import Build
from ..build.guide_posts import EYE_SIDE, SHEET, guide_for
from ..build.pin import BEAD_CONDUCTIVITY, BRIDGE, bead_length
from ..lifting.clip import EAR, EAR_METAL, clip_for
from ..lifting.foot import ROD, rods_apart, strip_for
from ..lifting.frame import KEPT, STRIP, base_for, bridge_height, cheek_length, eye_reach, rod_length
from ..lifting.heat import RING_METAL, ring_for
from ..lifting.lever import lever_for
from ..lifting.train import COLLAR, FREE, HEAD, LID, STUB, TUBE, Train, stub_width, train
from .holes import size
from .metals import tapped
from .threads import THREADS

STEEL, STAINLESS = "plain steel", "stainless 304"


@dataclass(frozen=True)
class Small:
    """One small part: name, count, material, sizes for the drawing; what to make or find, and how to test it."""

    name: str
    count: int
    material: str
    sizes: str
    what: str
    test: str


def _springs(build: Build, made: Train) -> list[Small]:
    guard, found = build.guard, []
    said = f"{guard.spring_force.value:.1f} N set, {guard.spring_rate.value * 1e-3:.2f} N/mm"
    for name, coil, says in (("over-travel spring", made.over, ""), ("return spring", made.back, f"{said}: ")):
        if coil is not None:
            sizes = f"Ø{size(coil.coil + coil.wire)} x {size(round(coil.free, 4))}, wire {size(coil.wire)}"
            found.append(Small(name, 1, coil.metal.metal.split(" (")[0], sizes, f"{says}{coil.says}", coil.test))
        elif name == "return spring":
            found.append(Small(name, 1, "spring wire", said, said, "hobwind bench spring"))
    return found


def _train(build: Build, made: Train) -> list[Small]:
    """Capsule, collar and bridge, or the sleeve of a pin in the riser."""
    guard, pin = build.guard, build.guard.pin_diameter.value
    gap, found = f"{made.gap * 1e3:.1f} mm", []
    if made.capsule is not None and made.over is not None:
        outer, inner, long = made.capsule[0], made.bore, made.capsule[1] + made.socket
        socket = f", a socket {size(made.socket)} deep in it for the element's own pin" if made.socket > 0.0 else ""
        found.append(Small(
            "over-travel capsule", 1, STAINLESS, f"Ø{size(outer)} / {size(inner)} x {size(long)}",
            f"tube {size(outer)} x {size(TUBE)} as sold, {size(long)} mm long in all, closed by a disc Ø{size(made.rim)} x "
            f"{size(LID + made.socket)}, the return spring's rim{socket}, hard-soldered; a lid {size(LID)} thick with the pin's hole "
            f"Ø{size(pin + FREE)} under four bent tabs; the pin's head Ø{size(inner - FREE)} x {size(HEAD)} in it on the spring, "
            f"squeezed from {size(round(made.over.free, 4))} to {size(made.over.fitted)} mm: {made.over.force:.0f} N before it gives way",
            f"on a kitchen scale: gives way at {made.over.force / 9.80665e-3:.0f} g, not before; pressed, it goes "
            f"{guard.over_travel.value * 1e3:g} mm and comes back",
        ))  # fmt: skip
    if made.sleeve is not None and made.back is not None:
        outer, long = made.sleeve
        found.append(Small(
            "stop sleeve", 1, STEEL, f"Ø{size(outer)} x {size(long)}",
            f"loose tube on the pin within the return spring, {size(outer)} mm outside, bore {size(pin + FREE)}, {size(long)} long: the "
            f"spring's {size(made.back.fitted)} mm less the {gap} that the pin may travel",
            f"feeler or drill shank of {gap} between pin's shoulder and sleeve, cold",
        ))  # fmt: skip
    if made.bridge is not None:
        found.append(Small(
            "stop collar", 1, STEEL, f"Ø{size(pin + 7e-3)} x {size(COLLAR)}",
            f"ring Ø{size(pin + 7e-3)} x {size(COLLAR)} mm with a grub screw M3, {size(round(made.collar, 4))} mm up the pin: cold, {gap} "
            f"below the bridge, which are lost motion and stop{'' if guard.lever_ratio.value == 1.0 else ' over the lever'}",
            f"feeler or drill shank of {gap} between collar and bridge, cold; pulled at 200 N it does not slip",
        ))  # fmt: skip
        high, rod = bridge_height(build), rod_length(build)
        assert high is not None and rod is not None  # they go with a bridge
        beside = guard.held_in == "plate"
        stands = "over the stove plate" if beside else "from the element's far end"
        eye = (
            f"strip with the pin's eye, its near face {size(round(high, 4))} mm {stands}; stops the collar, guides the pin, holds "
            "the return spring"
        )
        cut = size(round(rod, 4))
        studs = f"M{size(ROD)} studding, {cut} mm" + (
            ", tapped into the base, flush below; a nut on the foot's toe, one under the bridge, one on it"
            if beside
            else ", tapped into the clip; a nut on the keeper, one on either side of the bridge"
        )
        sides = f"{size(STRIP)} x {size(rods_apart(build) + STRIP)} x {size(BRIDGE)}"
        found += [
            Small("bridge", 1, STEEL, sides, eye, "pin drops through of its own weight"),
            Small("bridge studs", 2, STEEL, f"M{size(ROD)} x {cut}", studs, "upright by the square, nuts locked"),
            Small(
                "stud nuts",
                6,
                STEEL,
                f"M{size(ROD)}",
                f"nuts M{size(ROD)} of the bridge studs",
                "run on by hand",
            ),
        ]
    return found


def _clip(build: Build) -> list[Small]:
    """Ear, its screws and the keeper of an element at a plate's side."""
    one = clip_for(build)
    if one is None:
        return []
    sides = f"{size(round(one.outer - one.inner, 4))} x {size(one.wide)} x {size(EAR)}"
    keeper, screw = f"{size(STRIP)} x {size(one.wide)} x {size(KEPT)}", f"M4 x {size(one.screw)}"
    return [
        Small("element clip", 1, EAR_METAL, sides, f"ear under the {one.plate}'s edge, {sides} mm, the element through it, compound",
              "element slips in by hand, ear flat on the plate"),
        Small("clip screws", 2, STEEL, screw, f"screws {screw} that hold the clip, tapped into the {one.plate}", "bite by hand"),
        Small("keeper", 1, STEEL, keeper, "strip over the element's upper end, on the bridge's studs: takes what the pin pushes back with",
              "lies on the element, nuts locked"),
    ]  # fmt: skip


def _heat(build: Build) -> list[Small]:
    ring, bead, found = ring_for(build), bead_length(build.guard), []
    if ring is not None:
        sides = f"{size(ring.side)} x {size(ring.deep)} x {size(ring.thickness)}"
        at = "at the middle of its length" if build.guard.held_in == "plate" else "below its clip"
        many = "sheet" if ring.count == 1 else "sheets 10 mm apart, each"
        found.append(Small(
            "cooling ring", ring.count, RING_METAL, f"{sides}, hole {size(ring.hole)}",
            f"{many} {sides} mm, hole Ø{size(ring.hole)} for the element, {at}, compound between: "
            f"{1e3 * build.guard.element_loss.value:.0f} mW/K in all",
            "pushes on by hand and stays; element as warm as reckoned, by thermometer",
        ))  # fmt: skip
    if bead > 0.0:
        pin, stub = build.guard.pin_diameter.value, stub_width(build.guard)
        found.append(Small(
            "bead", 1, "steatite", f"Ø{size(pin)} x {size(bead)}",
            f"steatite bead or tube on the pin's tip, Ø{size(pin)} x {size(bead)} mm with a bore of {size(stub)}, counted in the pin's "
            f"length: {1e3 * build.guard.pin_tip.value:.0f} mW/K at {BEAD_CONDUCTIVITY:g} W/(m K); held by a "
            f"stub of stainless rod Ø{size(stub)} x {size(2.0 * STUB)}, half in the pin, hard-soldered, half in the bead, with "
            "exhaust cement; no core beyond that",
            "whole, no crack; bears a hammer's weight; cannot be pulled off by hand once the cement is dry",
        ))  # fmt: skip
    return found


def _lever(build: Build) -> list[Small]:
    lever = lever_for(build)
    if lever is None:
        return []
    ratio, pivot = f"{build.guard.lever_ratio.value:g} : 1", f"Ø{size(lever.pivot)} x {size(round(lever.pivot_length, 5))}"
    found = [Small(
        "lever", 1, STEEL, f"{size(lever.thick)} x {size(lever.high)} x {size(lever.length)}",
        f"{ratio} between pin and fan: flat bar {size(lever.thick)} x {size(lever.high)} mm, {size(lever.length)} long, arms "
        f"{size(lever.pin_arm)} and {size(lever.fan_arm)} mm", "swings by its own weight; shaken, no more play than its hole has",
    ), Small(
        "pivot pin", 1, STEEL, pivot, f"drill shank or rod {pivot} mm through lever and cheeks, a split pin past either",
        f"turns in the lever's hole of Ø{size(round(lever.hole, 5))}, tight in the cheeks",
    )]  # fmt: skip
    if build.guard.held_in == "plate":
        says = "strips on the base, one each side of the lever, which carry its pivot"
        sides = f"{size(STRIP)} x {size(round(cheek_length(build), 4))} x {size(SHEET)}"
        found.append(Small("lever cheeks", 2, STEEL, sides, says, "upright by the square, pivot holes in line"))
        screw = "screws M4 x 6 that hold the cheeks on the base, flush with its underside: no longer ones"
        found.append(Small("cheek screws", 2, STEEL, "M4 x 6", screw, "flush below"))
    return found


def _frame(build: Build) -> list[Small]:
    base, guide, found = base_for(build), guide_for(build), []
    if base is not None:
        sides = f"{size(base.right - base.left)} x {size(base.deep)} x {size(SHEET)}"
        stands = ", element's foot and bridge on it" if build.guard.held_in == "plate" else ""
        found.append(
            Small(
                "guard base",
                1,
                STEEL,
                sides,
                f"sheet {sides} mm round the foot{stands}",
                "flat on the plate, foot free in it all round",
            )
        )
    if guide is not None:
        high, over = size(round(guide.high, 4)), "mm over the stove plate"
        wanted = f"guide for the lifted fan, its middle {high} {over}, {size(round(guide.high - guide.low, 4))} mm above the lower eye"
        post = size(round(guide.post, 4))
        rod = f"rod Ø6 x {post} mm, M6 at the foot with a thin locknut, upright in the base"
        low = f"guide for the lifted fan, its middle {size(guide.low)} {over}"
        wide, screw = 2.0 * (guide.y + EYE_SIDE), size(eye_screw(build))
        blanks = [
            f"{size(wide)} x {size(round(eye_reach(one), 4))} x {size(SHEET)}" for one in (guide.reach_low, guide.reach_high)
        ]
        found += [
            Small("guide posts", 2, STAINLESS, f"Ø6 x {post}", rod, "straight: rolls on glass; upright by the square"),
            Small("lower eye", 1, STEEL, blanks[0], low, "slides on both posts without binding"),
            Small("upper eye", 1, STEEL, blanks[1], wanted, "pushed up by hand under the pin, the fan comes down by itself"),
            Small(
                "eye screws",
                4,
                STEEL,
                f"M4 x {screw}",
                f"screws M4 x {screw} that hold both eyes, tapped into the riser's side",
                "bite by hand, do not bottom",
            ),
        ]
    return found


def eye_screw(build: Build) -> float:
    """Length of the screws that hold an eye: its sheet, and what the riser's thread takes, a whole even millimetre below; m."""
    thread = THREADS["M4"]
    engaged = min(tapped(part.material.name).engagement for part in build.riser) * thread.diameter
    return math.floor(1e3 * (SHEET + engaged) / 2.0 + 1e-9) * 2e-3


def small_parts(build: Build) -> tuple[Small, ...]:
    """Every small part of a guard.

    Args:
        build: a checked build.

    Returns:
        From the element outward, then what holds them; none without a guard.
    """
    made = train(build)
    if made is None:
        return ()
    foot = []
    strip = strip_for(build)
    if strip is not None:
        sides = f"{1e3 * strip.thickness:g} x {1e3 * max(strip.width, 2.0 * strip.ear.tip):.1f} x {1e3 * strip.blank:.1f}"
        foot = [Small("thin foot", 1, strip.metal, sides,
                      f"{1e3 * build.guard.holder_conductance.value:.0f} mW/K: {strip.says}",
                      "element as warm as reckoned, by thermometer")]  # fmt: skip
    return (*foot, *_clip(build), *_springs(build, made), *_train(build, made), *_heat(build), *_lever(build), *_frame(build))
