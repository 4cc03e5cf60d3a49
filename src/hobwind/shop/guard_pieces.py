"""What of a guard is cut from sheet, bar or tube, with its holes and how it was reckoned: the guard's templates."""

from __future__ import annotations

from collections.abc import Mapping

from ..build import Build
from ..build.guide import push_arm
from ..build.guide_posts import EDGE, FLANGE, POST, SHEET, guide_for
from ..lifting.apart import PLAY, riser_gap
from ..lifting.clip import ASIDE, EAR, EAR_METAL, clip_for
from ..lifting.foot import ROD, rods_apart
from ..lifting.frame import (
    BENT,
    CHEEK_TOP,
    KEPT,
    STRIP,
    Base,
    base_for,
    cheek_axis,
    cheek_length,
    rail_stress,
)
from ..lifting.heat import RING_METAL, ring_for, ring_reckoned
from ..lifting.lever import SIDE_PLAY, lever_for, lever_reckoned
from .guard_eyes import eyes
from .guard_foot import thin_foot
from .guard_sheet import SCREW, holes_of, sheet
from .guard_small import STEEL
from .guard_train import train_pieces
from .holes import size
from .made_part import MadePart, Mark


def guard_pieces(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """Every part of a guard that is cut, in the order of their numbers.

    Args:
        build: a checked build.
        number: of each part by name.

    Returns:
        The parts, laid flat; none without a guard.
    """
    if build.guard.element is None:
        return []
    found = [
        *thin_foot(build, number),
        *train_pieces(build, number),
        *_clip(build, number),
        *_ring(build, number),
        *_lever(build, number),
    ]
    found += [*_base(build, number), *eyes(build, number)]
    return found


def _clip(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """Ear and keeper of an element at a plate's side, the fan's middle to the left."""
    one = clip_for(build)
    if one is None:
        return []
    middle, apart = 0.5 * (one.inner + one.outer), rods_apart(build)
    studs = ((one.element - middle, -0.5 * apart), (one.element - middle, 0.5 * apart))
    holes = (
        holes_of("element clip", "A", "wax element", ((one.element - middle, 0.0),), one.hole),
        holes_of("element clip", "B", "bridge stud", studs, ROD, "M4"),
        holes_of(
            "element clip", "C", "screw into the plate", ((one.screws - middle, -ASIDE), (one.screws - middle, ASIDE)), SCREW
        ),
    )
    notes = (
        f"It lies under the edge of the {one.plate}, {1e3 * one.lap:.1f} mm of it, its left edge {1e3 * one.inner:.1f} mm from the fan's "
        "middle; compound between and in the element's hole.",
    )
    sides = (one.outer - one.inner, one.wide, EAR)
    pair = (holes_of("keeper", "A", "bridge stud", ((0.0, -0.5 * apart), (0.0, 0.5 * apart)), SCREW),)
    lies = ("Over the element's upper end, a nut on each stud: the pin pushes the element against it.",)
    return [
        sheet(number, "element clip", EAR_METAL, sides, holes, (), notes),
        sheet(number, "keeper", STEEL, (STRIP, one.wide, KEPT), pair, (), lies),
    ]


def _ring(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    ring = ring_for(build)
    if ring is None:
        return []
    gap = riser_gap(build, ring.near)
    nearer = "The hole is nearer the riser; that" if ring.near < 0.5 * ring.side else "The near"
    notes = (
        f"{nearer} edge stands {1e3 * gap:.1f} mm from the riser, which is free by {1e3 * PLAY:g} mm. Bend nothing; compound in the hole. "
        "Its hole wants a step drill, or a smaller one filed out: a twist drill tears sheet.",
        ring_reckoned(ring),
    )
    holes = (holes_of("cooling ring", "A", "wax element", ((ring.near - 0.5 * ring.side, 0.0),), ring.hole),)
    return [sheet(number, "cooling ring", RING_METAL, (ring.side, ring.deep, ring.thickness), holes, (), notes)]


def _lever(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """The bar with its pivot hole to the right, pin and fan marked where they touch it."""
    lever = lever_for(build)
    if lever is None:
        return []
    pivot = 0.5 * lever.length - 0.5 * lever.high
    dot = 2e-3
    marks = (
        Mark("push pin touches", pivot - lever.pin_arm, -0.5 * lever.high + 0.5 * dot, dot, dot),
        Mark("fan rests", pivot - lever.fan_arm, 0.5 * lever.high - 0.5 * dot, dot, dot),
    )
    holes = (holes_of("lever", "A", "pivot pin, turns in it", ((pivot, 0.0),), lever.hole),)
    notes = (*lever_reckoned(lever, build), "Round its touching edges; harden or face them with a scrap of hacksaw blade.")
    found = [sheet(number, "lever", STEEL, (lever.length, lever.high, lever.thick), holes, marks, notes, seen="the side")]
    if "lever cheeks" in number:
        axis, long = cheek_axis(build), cheek_length(build)
        left, flat = -0.5 * long, FLANGE - 0.5 * BENT * SHEET
        pair = (
            holes_of("lever cheeks", "A", "screw into the base", ((left + EDGE, 0.0),), SCREW),
            holes_of("lever cheeks", "B", "pivot pin, tight in it", ((0.5 * long - CHEEK_TOP, 0.0),), lever.pivot),
        )
        fold = (Mark("flange", left + 0.5 * flat, 0.0, flat, STRIP),)
        notes = (
            f"Two of them. Bend each square, {1e3 * flat:.1f} mm from the lower end, inner radius {1e3 * SHEET:g} mm, flanges outward: "
            f"flange {1e3 * FLANGE:g} mm long and cheek {1e3 * (axis + CHEEK_TOP):.1f} mm tall, both outside, the pivot {1e3 * axis:.1f} "
            "mm over the base.",
        )
        found.append(sheet(number, "lever cheeks", STEEL, (long, STRIP, SHEET), pair, fold, notes))
    return found


def _base(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    base = base_for(build)
    if base is None:
        return []
    middle, guard = 0.5 * (base.left + base.right), build.guard
    letters, holes = iter("ABCDE"), []

    def put(use: str, places: tuple[tuple[float, float], ...], drill: float, tap: str = "") -> None:
        shifted = tuple((x - middle, y) for x, y in places)
        holes.append(holes_of("guard base", next(letters), use, shifted, drill, tap))

    guide = guide_for(build)
    if guide is not None:
        put("guide post", ((guide.x, -guide.y), (guide.x, guide.y)), POST, "M6")
    if guard.held_in == "plate" and guard.element is not None:
        arm, half = push_arm(build), 0.5 * rods_apart(build)
        put("bridge stud", ((arm, -half), (arm, half)), ROD, "M4")
        lever = lever_for(build)
        if lever is not None:
            x, aside = arm + lever.pin_arm, 0.5 * lever.thick + SIDE_PLAY + FLANGE - EDGE
            put("screw of a lever cheek", ((x, -aside), (x, aside)), ROD, "M4")
    across, along = base.window
    window = (-middle, 0.0, across, 0.0 if base.round_window else along)
    cut = f"Ø{size(across)}" if base.round_window else f"{size(across)} x {size(along)}"
    side = f"{size(round(abs(middle), 5))} mm {'right' if middle <= 0.0 else 'left'} of" if abs(middle) > 1e-6 else "on"
    notes = [
        f"The window is {cut} mm, its middle {side} the sheet's middle and half way up: there is the "
        f"fan's. Its foot stands in it on the stove plate, {1e3 * PLAY:g} mm free all round."
    ]
    if guard.held_in == "plate":
        notes.append(_bent(build, base))
    return [
        sheet(number, "guard base", STEEL, (base.right - base.left, base.deep, SHEET), tuple(holes), (), tuple(notes), window)
    ]


def _bent(build: Build, base: Base) -> str:
    """What bends the base: posts that keep a lifted fan level, or a lever's pivot; a plain tilt presses it flat on the plate."""
    lever = lever_for(build)
    if lever is not None and lever.fan_arm > lever.pin_arm:  # with a longer arm to the pin the pivot is pressed down, too
        bends = 6.0 * lever.pivot_force * lever.pin_arm / (base.deep * SHEET**2)
        return (
            f"Fan stuck, the pivot pulls the base up with {lever.pivot_force:.0f} N, {1e3 * lever.pin_arm:.0f} mm outside the element, "
            f"which presses it down with {lever.pin_force:.0f}: {bends * 1e-6:.0f} MPa bend it there; mild steel "
            "bears 170 at 200 °C. What is left presses it on the plate under the place where the fan is lifted: it does not tip."
        )
    if guide_for(build) is None:
        return "The element presses the base straight down on the stove plate; nothing turns or bends it."
    return (
        f"With the pin pushing {size(round(push_arm(build), 4))} mm off the middle the two rails beside the window bend with "
        f"{rail_stress(build, base) * 1e-6:.0f} MPa; mild steel bears 170 at 200 °C. Element and posts on one base: apart, the posts' "
        "base tips."
    )
