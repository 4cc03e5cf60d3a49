"""A guide's two eyes, and the riser's side that they are screwed to."""

from __future__ import annotations

from collections.abc import Mapping

from ..build import Build
from ..build.guide_posts import ASIDE, CORNER, EDGE, EYE_SIDE, FLANGE, POST, SHEET, flat_depth, guide_for
from ..lifting.frame import BENT, EYE_ROOM, eye_reach
from .guard_sheet import SCREW, holes_of, sheet
from .guard_small import STEEL, eye_screw
from .holes import Holes, side_of, size
from .made_part import MadePart, Mark


def eyes(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """Lower and upper eye, flat: the flange to the right is bent and screwed to the fan."""
    guide = guide_for(build)
    if guide is None:
        return []
    found, wide = [], 2.0 * (guide.y + EYE_SIDE)
    for name, reach, high, turned in (
        ("lower eye", guide.reach_low, guide.low, "up"), ("upper eye", guide.reach_high, guide.high, "down")
    ):  # fmt: skip
        # From the posts' outer side to the face it is screwed to, then round the bend the flange.
        long = eye_reach(reach)
        post, flat = -0.5 * long + EYE_SIDE, FLANGE - 0.5 * BENT * SHEET
        screw = 0.5 * long - EDGE
        holes = (
            holes_of(name, "A", "guide post", ((post, -guide.y), (post, guide.y)), POST + EYE_ROOM),
            holes_of(name, "B", "screw M4 into the riser", ((screw, -guide.aside), (screw, guide.aside)), SCREW),
        )
        fold = (Mark("flange", 0.5 * long - 0.5 * flat, 0.0, flat, wide),)
        notes = (
            f"Bend the flange {turned} round the mark, the bend's middle {size(flat)} mm from the flange's end, inner radius "
            f"{1e3 * SHEET:g} mm: {1e3 * FLANGE:g} mm tall outside, its face {1e3 * reach:.1f} mm from the posts' "
            f"middle. The eye's middle lies {1e3 * high:.1f} mm over the stove plate.",
            f"Two screws M4 x {size(eye_screw(build))} into the riser's side, which has a sheet of its own.",
        )
        found.append(sheet(number, name, STEEL, (long, wide, SHEET), holes, fold, notes))
    return found


def riser_sides(build: Build, number: Mapping[str, int], holes: tuple[Holes, ...]) -> list[MadePart]:
    """The side of each riser part that an eye is screwed to, as seen from the posts.

    Args:
        build: a checked build.
        number: of each part by name.
        holes: all that are drilled in the fan.

    Returns:
        One sheet for each riser part with such holes.
    """
    found = list[MadePart]()
    for i, part in enumerate(build.riser):
        name, tall = f"riser {i + 1}", part.length.value
        own = tuple(one for one in holes if one.part == side_of(name))
        if not own:
            continue
        notes = [
            "The side away from the wax element, its upper end up. Drill square to it; chips out. Blue the flange: it must lie flat."
        ]
        marks: tuple[Mark, ...] = ()
        flat = flat_depth(part)
        if flat > 0.0:
            half = ASIDE + CORNER
            marks = tuple(Mark("flat", 0.0, one.places[0][1], 2.0 * half, FLANGE) for one in own)
            notes.append(f"File a flat {size(2.0 * half)} mm wide and {size(flat)} mm deep for each flange first.")
        wide, thick = (part.width.value,) * 2 if part.shape == "cylinder" else (part.depth.value, part.width.value)
        found.append(
            MadePart(
                number[name], side_of(name), part.material.name, "block", wide, tall, thick, False, own, marks, notes=tuple(notes),
                seen="the posts' side",
            )
        )  # fmt: skip
    return found
