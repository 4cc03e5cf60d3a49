"""Whether a guard's small parts find height and room: asked by whoever chooses among guards, before anything is drawn."""

from __future__ import annotations

from ..build import Build
from ..build.guide_posts import too_short
from ..build.over_pin import misses
from .apart import CLEAR, PLAY, riser_gap
from .clip import no_clip
from .foot import no_strip
from .heat import ring_for
from .train import train


def lacks(build: Build) -> list[str]:
    """What of a guard's gear finds no room, in few words, for a row of a comparison; empty where everything does.

    Args:
        build: a checked build.

    Returns:
        One line for each.
    """
    one, guard, found = train(build), build.guard, list[str]()
    if one is None:
        return []
    missed = misses(build)
    if missed is not None:
        found.append(missed.short)
    if one.back is None or (one.over is None and guard.over_travel.value > 0.0):
        found.append("no spring for it finds room")
    elif one.needs > guard.pin_length.value + 1e-9:
        found.append(
            f"there is no height for its small parts: they take {one.needs * 1e3:.0f} mm, the pin is {guard.pin_length.value * 1e3:.0f} mm"
        )
    if no_strip(build):
        found.append("no strip makes its thin foot")
    if no_clip(build):
        found.append("its element finds no clip")
    if too_short(build):
        found.append("its guide is too short and may bind")
    if too_near(build):
        found.append("its small parts stand too near the riser")
    return found


def too_near(build: Build) -> str:
    """What of a guard in the open the riser could touch where it stands in its window; empty where nothing is so near."""
    one, ring, guard = train(build), ring_for(build), build.guard
    if one is None or guard.held_in == "riser":
        return ""
    reach = {} if ring is None else {"cooling ring": ring.near}
    if one.back is not None:
        reach["return spring"] = 0.5 * (one.back.coil + one.back.wire)
    near = {name: gap for name, far in reach.items() if (gap := riser_gap(build, far)) < CLEAR - 1e-9}
    if not near:
        return ""
    told = ", ".join(f"{name} {1e3 * gap:.1f} mm" for name, gap in near.items())
    return (
        f"too near the riser: {told}; {1e3 * CLEAR:g} are wanted, for the riser is free by {1e3 * PLAY:g} mm in the base's window: a riser "
        "no wider above than at its foot, or a wider plate to hold the element"
    )
