"""The guard from above: where base, element, pin, bridge and its studs, a lever with its cheeks, or posts and eyes stand about the riser.

What lies above something else is drawn as an outline only, so that both are seen; the plates over it all are dashed.
"""

from __future__ import annotations

from ..build import Build
from ..build import geometry as g
from ..build.guide import CHEEK, LEVER_END, Face, faces, lever_arms, lifted_at, push_arm
from ..build.guide_posts import EYE_SIDE, FLANGE, POST, SHEET, foot_size, guide_for
from ..lifting.clip import clip_for
from ..lifting.foot import ROD, legs_reach, rods_apart, strip_for
from ..lifting.frame import STRIP, base_for
from ..lifting.heat import ring_for
from ..lifting.lever import SIDE_PLAY, lever_for
from ..lifting.train import train
from ..scene.forms import (
    GUARD,
    HIDDEN,
    HOT_PLATE,
    RISER,
    SOLID,
    THIN,
    Circle,
    Dimension,
    Label,
    Line,
    Rect,
    Scene,
    Shape,
    mm,
)
from .arrangement import view_sheet
from .ink import CENTRE, MARK, box_of
from .paper import Heading, Page

EDGE = 2e-3  # m; how wide a pivot edge is drawn
WEIGHT = 3.0  # mm; the ring that marks where the weight stands
PLATE = 8.0  # mm a centre line goes past what it is the middle of


def _about(part: str, layer: str, x: float, y: float, wide: float, deep: float, style: str = SOLID) -> Rect:
    """A rectangle by its middle, metres to millimetres."""
    return Rect(part, layer, mm(x - 0.5 * wide), mm(y - 0.5 * deep), mm(wide), mm(deep), style)


def _riser(build: Build) -> list[Shape]:
    """The base with its window, the foot in it."""
    base, (wide, deep) = base_for(build), foot_size(build)
    round_, found = build.riser[0].shape == "cylinder", list[Shape]()
    if base is not None:
        across, along = base.window
        found.append(_about("guard base", GUARD, 0.5 * (base.left + base.right), 0.0, base.right - base.left, base.deep))
        if round_:
            found.append(Circle("window", GUARD, 0.0, 0.0, mm(across)))
        else:
            found.append(_about("window", GUARD, 0.0, 0.0, across, along))
    found.append(Circle("riser 1", RISER, 0.0, 0.0, mm(wide)) if round_ else _about("riser 1", RISER, 0.0, 0.0, wide, deep))
    return found


def _element(build: Build) -> list[Shape]:
    """From the lowest up: thin foot or clip, ring, element, return spring's place taken by the pin, bridge and studs."""
    guard, x, found = build.guard, push_arm(build), list[Shape]()
    if guard.element is None or guard.held_in == "riser":
        return found
    strip, ring, ear, made, apart = strip_for(build), ring_for(build), clip_for(build), train(build), rods_apart(build)
    if strip is not None:
        reach = 0.5 * strip.top + legs_reach(strip.thickness) + strip.toe
        found.append(_about("thin foot", GUARD, x, 0.0, strip.width, 2.0 * reach))
    if ear is not None:
        found.append(_about("element clip", GUARD, 0.5 * (ear.inner + ear.outer), 0.0, ear.outer - ear.inner, ear.wide))
    if ring is not None:
        found.append(_about("cooling ring", GUARD, x - ring.near + 0.5 * ring.side, 0.0, ring.side, ring.deep, THIN))
    found.append(Circle("wax element", GUARD, mm(x), 0.0, mm(guard.element.diameter.value)))
    if made is not None and made.bridge is not None:
        found.append(_about("bridge", GUARD, x, 0.0, STRIP, apart + STRIP, THIN))
        found += [Circle("bridge studs", GUARD, mm(x), mm(y), mm(ROD)) for y in (-0.5 * apart, 0.5 * apart)]
    return [*found, Circle("push pin", GUARD, mm(x), 0.0, mm(guard.pin_diameter.value))]


def _weight(build: Build) -> Circle:
    """Where the fan's weight stands: drawn before the middle by motor and blade, which the sheet is too small to show."""
    return Circle("weight", MARK, 0.0, mm(g.centre_of_mass(build)[1]), WEIGHT, THIN)


def _lever(build: Build) -> list[Shape]:
    """Bar, cheeks with their flanges outward, and pivot pin, of an element beside the fan."""
    lever, x = lever_for(build), push_arm(build)
    if lever is None or build.guard.held_in != "plate":
        return []
    pivot, side = x + lever.pin_arm, 0.5 * lever.thick + SIDE_PLAY
    near = pivot - max(lever.pin_arm, lever.fan_arm) - LEVER_END
    found: list[Shape] = []
    for turn in (-1.0, 1.0):
        found.append(_about("lever cheeks", GUARD, pivot, turn * (side + 0.5 * FLANGE), CHEEK, FLANGE))
        found.append(_about("cheek", GUARD, pivot, turn * (side + 0.5 * SHEET), CHEEK, SHEET))
    far = pivot + 0.5 * lever.high
    found.append(_about("lever", GUARD, 0.5 * (near + far), 0.0, far - near, lever.thick, THIN))
    return [*found, _about("pivot pin", GUARD, pivot, 0.0, lever.pivot, lever.pivot_length, THIN)]


def _guide(build: Build) -> list[Shape]:
    """Posts and the upper eye, which lies over the lower one."""
    guide = guide_for(build)
    if guide is None:
        return []
    back, reach, deep = guide.x - EYE_SIDE, guide.x + guide.reach_high, 2.0 * (guide.y + EYE_SIDE)
    return [
        _about("upper eye", GUARD, 0.5 * (back + reach), 0.0, reach - back, deep),
        *(Circle("guide posts", GUARD, mm(guide.x), mm(y), mm(POST)) for y in (-guide.y, guide.y)),
    ]


def _over(build: Build) -> Face:
    """What hangs over the place where the fan is pushed up, or holds the element at its side; else the widest."""
    all_, held = faces(build), {"sink": "sink's base"}.get(build.guard.held_in, build.guard.held_in)
    if build.guard.held_in == "plate":
        over = [one for one in all_ if 0.5 * one.width > lifted_at(build)]
    else:
        over = [one for one in all_ if one.name == held]
    return over[0] if over else max(all_, key=lambda one: one.width)


def _plates(build: Build) -> list[Shape]:
    """What hangs over it, dashed, and the edge that a fan tilts about, as a narrow bar."""
    over = _over(build)
    found: list[Shape] = [_about(over.name, HOT_PLATE, 0.0, 0.0, over.width, over.depth, HIDDEN)]
    if g.tilts(build):
        found.append(_about("pivot edge", RISER, -g.pivot_back(build), 0.0, EDGE, build.guard.pivot_edge.value))
    return found


def _sizes(build: Build) -> list[tuple[Dimension, int]]:
    """From the fan's middle to pin, lever and posts, from the pivot edge to where it is pushed up; studs and posts apart."""
    guard, arms, guide, base = build.guard, lever_arms(build), guide_for(build), base_for(build)
    found: list[tuple[Dimension, int]] = []

    def flat(part: str, x1: float, x2: float, row: int) -> None:
        found.append((Dimension(part, MARK, mm(x1), 0.0, mm(x2), 0.0, 0.0, False), row))

    def upright(part: str, x: float, half: float, row: int) -> None:
        found.append((Dimension(part, MARK, mm(x), -mm(half), mm(x), mm(half), 0.0, True), row))

    beside, row = guard.held_in == "plate", 1
    if guard.held_in != "riser":
        flat("push pin", 0.0, push_arm(build), row)
    if guide is not None:
        flat("guide posts", guide.x, 0.0, row)
        upright("guide posts", guide.x, guide.y, 1)
    if arms is not None and beside:
        flat("lever, pin to pivot", push_arm(build), push_arm(build) + arms[0], row)
        if arms[1] != arms[0]:
            row += 1
            flat("lever, fan to pivot", lifted_at(build), push_arm(build) + arms[0], row)
    if g.tilts(build):
        row += 1
        flat("edge to where it is pushed up", -g.pivot_back(build), lifted_at(build), row)
    if base is not None:
        flat("guard base", base.left, base.right, row + 1)
        upright("guard base", base.left, 0.5 * base.deep, 3)
    if guard.held_in != "riser":
        upright("bridge studs", push_arm(build), 0.5 * rods_apart(build), 2)
    return found


def _pointed(shapes: list[Shape]) -> list[Label]:
    """Each part at a place where nothing lies over it: rings and strips near a corner, the bridge near its end."""
    spots = {
        "guard base": (0.97, 0.1), "thin foot": (0.5, 0.97), "cooling ring": (0.95, 0.9), "bridge": (0.8, 0.03), "lever": (0.25, 0.5),
        "lever cheeks": (0.8, 0.1), "upper eye": (0.1, 0.5), "element clip": (0.9, 0.75), "pivot pin": (0.5, 0.95),
    }  # fmt: skip
    found = []
    for one in shapes:
        if isinstance(one, Rect) and one.part in spots:
            across, up = spots[one.part]
            found.append(Label(one.part, one.part, one.x + across * one.width, one.y + up * one.height))
        elif isinstance(one, Circle):
            inside = 0.35 * one.diameter if one.part == "wax element" else 0.0
            found.append(Label(one.part, one.part, one.x + inside, one.y - inside * 0.8))
    return found


def _says(build: Build) -> tuple[str, ...]:
    guard, arms = build.guard, lever_arms(build)
    tips = (
        " The narrow bar left: the edge the fan tilts about; the size from it goes to where the fan is pushed up, by "
        + ("the lever's end." if arms is not None and guard.held_in == "plate" else "the pin.")
        if g.tilts(build)
        else ""
    )
    drawn = 1e3 * g.centre_before(build)
    apart = [*(["posts"] if guide_for(build) is not None else []), *(["studs"] if guard.held_in != "riser" else [])]
    return (
        f"Seen from above, cold, the fins up the sheet, the blade below it. Dashed: the {_over(build).name}, over it. What lies over "
        f"something else is an outline only. Small ring: where the fan's weight stands, {abs(drawn):.1f} mm "
        f"{'before' if drawn >= 0.0 else 'behind'} the middle, for motor and blade hang out.{tips} "
        f"Sizes from the fan's middle where nothing else is said; left: {' and '.join(apart)}, middle to middle"
        + (", and the base." if base_for(build) is not None else "."),
    )


def guard_plan(build: Build, heading: Heading, paper: str, only: frozenset[int]) -> Page:
    """The guard from above on one sheet.

    Args:
        build: a checked build with a guard outside the riser, or with posts.
        heading: of every sheet.
        paper: A4 or Letter.
        only: numbers of the parts to point at.

    Returns:
        One page.
    """
    own = [*_riser(build), *_guide(build), *_element(build), *_lever(build)]
    shapes = [*own, *_plates(build)]
    left, bottom, right, top = box_of(shapes)
    lines: list[Shape] = [
        Line("centre", MARK, left - PLATE, 0.0, right + PLATE, 0.0, CENTRE),
        Line("centre", MARK, 0.0, bottom - PLATE, 0.0, top + PLATE, CENTRE),
        _weight(build),
    ]
    scene = Scene(f"{build.name}: guard from above", tuple(shapes), tuple(_pointed(own)))
    title = "General arrangement, guard from above"
    return view_sheet(build, "arrangement-guard-plan", title, scene, lines, _sizes(build), _says(build), heading, paper, only)
