"""The clip of an element at a plate's side: a flat ear under the plate's edge with the element through it, and a keeper over its end.

The ear hands the plate's heat to the element all round; the keeper, on the bridge's studs, takes what the pin pushes back with.
Sizes are choices unless they follow from the build.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..build import Build
from ..build import geometry as g
from ..build.guide import push_arm
from .foot import rods_apart
from .frame import STRIP

EAR_METAL, EAR = "aluminium 6082", 5e-3  # m thick
LAP, LEAST_LAP = 16e-3, 12e-3  # m of plate that the ear lies under, and the least that takes a screw M4 with its edges
ASIDE = 10e-3  # m of its two screws from the middle
PAST = 5e-3  # m of ear beyond the element
CLEAR = 1e-3  # m between ear and what stands below the plate
SLIP = 0.1e-3  # m by which the ear's hole is wider than the element: compound fills it. Source: choice


@dataclass(frozen=True)
class Clip:
    """The ear, in metres from the fan's middle: its inner and outer edge, how wide it is fore and aft, where its screws and the
    element's middle stand; the plate it is screwed under and how thick that is."""

    inner: float
    outer: float
    wide: float
    screws: float
    element: float
    hole: float
    plate: str
    thick: float

    @property
    def lap(self) -> float:
        """How far it lies under the plate, m."""
        return self.element - 0.5 * (self.hole - SLIP) - self.inner

    @property
    def screw(self) -> float:
        """Length of its screws: through the ear and as far as the plate is thick, even millimetres, m."""
        return int(1e3 * (EAR + min(self.thick, 8e-3)) / 2.0 + 1e-6) * 2e-3


def _plate(build: Build) -> tuple[float, float, float]:
    """Half width of the plate that holds the element, half of what stands below it, and its thickness, m."""
    held = build.guard.held_in
    if held == "hot plate" and build.hot_plate is not None:
        return 0.5 * g.low_plate(build)[0], 0.5 * build.riser[-1].width.value, build.hot_plate.thickness.value
    below = 0.5 * g.low_plate(build)[0]
    if held == "spreader" and build.spreader is not None:
        return 0.5 * build.spreader.width.value, below, build.spreader.thickness.value
    if build.spreader is not None:
        below = max(below, 0.5 * build.spreader.width.value)
    return 0.5 * g.sink_base(build)[0], below, build.sink.part.base_thickness.value


def clip_for(build: Build) -> Clip | None:
    """The clip of an element at a plate's side.

    Args:
        build: a checked build.

    Returns:
        The clip; None where the element is held elsewhere, or the plate does not reach far enough past what stands below it.
    """
    guard = build.guard
    if guard.element is None or guard.held_in in ("riser", "plate"):
        return None
    half, below, thick = _plate(build)
    lap = min(LAP, half - below - CLEAR)
    if lap < LEAST_LAP:
        return None
    across, arm = guard.element.diameter.value, push_arm(build)
    return Clip(
        half - lap,
        arm + 0.5 * across + PAST,
        rods_apart(build) + STRIP,
        half - 0.5 * lap,
        arm,
        across + SLIP,
        guard.held_in,
        thick,
    )


def no_clip(build: Build) -> str:
    """Why an element finds no clip at its plate; empty where it finds one or wants none."""
    guard = build.guard
    if guard.element is None or guard.held_in in ("riser", "plate") or clip_for(build) is not None:
        return ""
    half, below, _ = _plate(build)
    return (
        f"the {guard.held_in} reaches {1e3 * max(half - below, 0.0):.0f} mm past what stands below it; {1e3 * (LEAST_LAP + CLEAR):.0f} are "
        "wanted for the screws of the element's clip: a wider plate, or another place for the element"
    )
