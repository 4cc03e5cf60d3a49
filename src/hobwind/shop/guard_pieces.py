"""What of a guard is cut from sheet, bar or tube, with its holes and how it was reckoned: the guard's templates."""

from __future__ import annotations

from collections.abc import Mapping

from ..build import Build
from ..build.guide import overhang, push_arm
from ..build.guide_posts import POST, SHEET, foot_size, guide_for
from ..build.pin import BRIDGE
from .guard_foot import TOE, blank, reckoned, strip_for
from .guard_frame import AROUND, EYE_ROOM, FLANGE, ROD, Base, base_for, rail_stress, rods_apart
from .guard_heat import RING_METAL, ring_for, ring_reckoned
from .guard_lever import lever_for, lever_reckoned
from .guard_small import STAINLESS, STEEL
from .guard_train import COLLAR, HEAD, LID, TUBE, train
from .holes import Holes
from .made_part import MadePart, Mark
from .threads import THREADS

STRIP = 16e-3  # m wide: bridge, eyes and cheeks, from one length of flat bar. Source: choice
RIVET = 3.2e-3  # m; the foot's toe on the base
SCREW = 4.5e-3  # m; clearance of M4. Source: iso-273
HIGHEST = 0.2  # m of a cheek where nothing is known to hang over the pin


def _holes(part: str, letter: str, use: str, places: tuple[tuple[float, float], ...], drill: float, tap: str = "") -> Holes:
    thread = THREADS[tap] if tap else None
    return Holes(part, letter, use, places, drill if thread is None else thread.tap_drill, thread=thread)


def _sheet(
    number: Mapping[str, int], name: str, material: str, sides: tuple[float, float, float], holes: tuple[Holes, ...],
    marks: tuple[Mark, ...], notes: tuple[str, ...], window: tuple[float, float, float, float] | None = None, seen: str = "above",
) -> MadePart:  # fmt: skip
    return MadePart(number[name], name, material, "block", *sides, False, holes, marks, notes=notes, window=window, seen=seen)


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
    found = [*_thin_foot(build, number), *_train(build, number), *_ring(build, number), *_lever(build, number)]
    found += [*_base(build, number), *_eyes(build, number)]
    return found


def _thin_foot(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """The strip under an element beside the fan, laid flat; what stands between its bends is marked."""
    strip, element = strip_for(build), build.guard.element
    if strip is None or element is None:
        return []
    long, at, marks = blank(build, strip), 0.0, []
    for says, piece in (("toe", TOE), ("free", strip.length), ("element", element.diameter.value)):
        marks.append(Mark(says, at + 0.5 * piece - 0.5 * long, 0.0, piece, strip.width))
        at += piece
    notes = (
        "Cut from sheet; bend at the marks: the toe flat on the plate, the other end under the element. "
        "No clamp may touch the free length.",
        "Its toe is riveted on the guard's base, compound between, and points away from the fan: what the element pushes with then holds "
        "the base down.",
        reckoned(build, strip),
    )  # fmt: skip
    holes = (_holes("thin foot", "A", "rivet into the base", ((0.5 * (TOE - long), 0.0),), RIVET),)
    return [_sheet(number, "thin foot", strip.metal, (long, strip.width, strip.thickness), holes, tuple(marks), notes)]


def _train(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """Push pin and capsule from the side, bridge from above."""
    made, guard = train(build), build.guard
    if made is None:
        return []
    pin, long, marks = guard.pin_diameter.value, guard.pin_length.value, []
    # Both lie with the element to the left.
    start, notes = (
        -0.5 * long,
        [f"Round, Ø{1e3 * pin:g}; seen from the side, the wax element to the left. Cut 0.5 mm long, file to the stack-up."],
    )
    lower = 0.0
    if made.capsule is not None and made.over is not None:
        outer, tall = made.capsule
        lower = LID + made.over.fitted
        marks.append(Mark("head, in the capsule", start + lower + 0.5 * HEAD, 0.0, HEAD, outer - 2.0 * TUBE - 0.5e-3))
        notes.append(
            f"The capsule fills the first {1e3 * lower:.1f} mm: the rod itself is {1e3 * (long - lower):.1f} mm and its head."
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
        marks.append(Mark("bead", -start - 0.5 * made.bead, 0.0, made.bead, pin))
    found = [
        _sheet(number, "push pin", guard.pin_material.name, (long, pin, pin), (), tuple(marks), tuple(notes), seen="the side")
    ]
    if made.capsule is not None and made.over is not None:
        outer, tall = made.capsule
        inner, left = outer - 2.0 * TUBE, -0.5 * tall
        inside = (
            Mark("spring, squeezed", left + LID + 0.5 * made.over.fitted, 0.0, made.over.fitted, inner),
            Mark("head", left + LID + made.over.fitted + 0.5 * HEAD, 0.0, HEAD, inner - 0.5e-3),
            Mark("lid", 0.5 * tall - 0.5 * LID, 0.0, LID, inner),
        )
        notes = [
            "Cut through along its axis, the wax element to the left. Lids pressed and pinned, or tube ends rolled in: they hold "
            f"{made.over.most:.0f} N.",
            "A rim at the closed end carries the return spring: a washer brazed or riveted on.",
        ]
        found.append(
            _sheet(number, "over-travel capsule", STAINLESS, (tall, outer, outer), (), inside, tuple(notes), seen="the side")
        )
    if made.bridge is not None:
        apart = rods_apart(build)
        holes = (
            _holes("bridge", "A", f"eye of the push pin, reamed {guard.pin_fit}", ((0.0, 0.0),), pin),
            _holes("bridge", "B", "bridge stud", ((0.0, -0.5 * apart), (0.0, 0.5 * apart)), SCREW),
        )
        stands = ("Studs stand in the base.",) if guard.held_in == "plate" else ("Its studs hang from the clip.",)
        found.append(_sheet(number, "bridge", STEEL, (STRIP, apart + STRIP, BRIDGE), holes, (), stands))
    return found


def _ring(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    ring = ring_for(build)
    if ring is None:
        return []
    notes = ("The short side towards the riser, clear of it. Bend nothing; compound in the hole.", ring_reckoned(ring))
    holes = (_holes("cooling ring", "A", "wax element", ((ring.near - 0.5 * ring.side, 0.0),), ring.hole),)
    return [_sheet(number, "cooling ring", RING_METAL, (ring.side, ring.side, ring.thickness), holes, (), notes)]


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
    holes = (_holes("lever", "A", "pivot pin", ((pivot, 0.0),), lever.pivot),)
    notes = (*lever_reckoned(lever, build), "Round its touching edges; harden or face them with a scrap of hacksaw blade.")
    found = [_sheet(number, "lever", STEEL, (lever.length, lever.high, lever.thick), holes, marks, notes, seen="the side")]
    if "lever cheeks" in number:
        over = overhang(build)
        axis = (HIGHEST if over is None else over) - 0.5 * lever.high - SHEET
        long = axis + 0.5 * STRIP + FLANGE
        left = -0.5 * long
        pair = (
            _holes("lever cheeks", "A", "screw into the base", ((left + 0.5 * FLANGE, 0.0),), SCREW),
            _holes("lever cheeks", "B", "pivot pin", ((0.5 * long - 0.5 * STRIP, 0.0),), lever.pivot),
        )
        fold = (Mark("flange", left + 0.5 * FLANGE, 0.0, FLANGE, STRIP),)
        notes = (f"Two of them; bend at the flange, flanges outward. The pivot stands {1e3 * axis:.0f} mm over the base.",)
        found.append(_sheet(number, "lever cheeks", STEEL, (long, STRIP, SHEET), pair, fold, notes))
    return found


def _base(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    base = base_for(build)
    if base is None:
        return []
    middle, guard = 0.5 * (base.left + base.right), build.guard
    letters, holes = iter("ABCDE"), []

    def put(use: str, places: tuple[tuple[float, float], ...], drill: float, tap: str = "") -> None:
        shifted = tuple((x - middle, y) for x, y in places)
        holes.append(_holes("guard base", next(letters), use, shifted, drill, tap))

    guide = guide_for(build)
    if guide is not None:
        put("guide post", ((guide.x, -guide.y), (guide.x, guide.y)), POST, "M6")
    if guard.held_in == "plate" and guard.element is not None:
        arm, half = push_arm(build), 0.5 * rods_apart(build)
        put("bridge stud", ((arm, -half), (arm, half)), ROD, "M4")
        put("rivet of the thin foot", ((arm + 0.5 * guard.element.diameter.value + 0.5 * TOE, 0.0),), RIVET)
        lever = lever_for(build)
        if lever is not None:
            x, aside = arm + lever.pin_arm, 0.5 * lever.thick + SHEET + 0.5 * FLANGE
            put("screw of a lever cheek", ((x, -aside), (x, aside)), ROD, "M4")
    across, along = base.window
    window = (-middle, 0.0, across, 0.0 if base.round_window else along)
    notes = [
        f"The fan's foot stands in the window on the stove plate, {1e3 * AROUND:g} mm free all round; "
        "the window's middle is the fan's."
    ]
    if guard.held_in == "plate":
        notes.append(_rails(build, base))
    return [
        _sheet(number, "guard base", STEEL, (base.right - base.left, base.deep, SHEET), tuple(holes), (), tuple(notes), window)
    ]


def _rails(build: Build, base: Base) -> str:
    return (
        f"With the pin pushing {1e3 * push_arm(build):.0f} mm off the middle the two rails beside the window bend with "
        f"{rail_stress(build, base) * 1e-6:.0f} MPa; mild steel bears 170 at 200 °C. Element and posts on one base: apart, the posts' "
        "base tips."
    )


def _eyes(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """Lower and upper eye, flat: the flange to the right is bent and screwed to the fan."""
    guide = guide_for(build)
    if guide is None:
        return []
    found, wide = [], 2.0 * guide.y + STRIP
    for name, reach in (("lower eye", guide.reach_low), ("upper eye", guide.reach_high)):
        # From the posts' outer side to the face it is screwed to, then the flange.
        long = 0.5 * STRIP + reach + FLANGE
        post, flange = -0.5 * long + 0.5 * STRIP, 0.5 * long - 0.5 * FLANGE
        screw = min(guide.y, 0.5 * foot_size(build)[1] - 8e-3) if reach > 0.0 else guide.y
        holes = (
            _holes(name, "A", "guide post", ((post, -guide.y), (post, guide.y)), POST + EYE_ROOM),
            _holes(name, "B", "screw M4 into the fan", ((flange, -0.5 * screw), (flange, 0.5 * screw)), SCREW),
        )
        fold = (Mark("flange", flange, 0.0, FLANGE, wide),)
        high = guide.low if name == "lower eye" else guide.high
        notes = (
            f"Bend at the flange; its posts {1e3 * reach:.0f} mm from the face it is screwed to, {1e3 * high:.0f} mm over the stove plate. "
            "Tap M4 into the fan where its flange lies, clear of modules and clamp screws.",
        )
        found.append(_sheet(number, name, STEEL, (long, wide, SHEET), holes, fold, notes))
    return found
