"""The lever between push pin and fan: its arms, its bar and its pivot pin, by hand statics.

Pin and fan lie on the same side of the pivot, for the pin pushes up and the fan must rise: the pivot stands furthest out, then
the short arm's end, then the long arm's. Forces about the pivot: pin · short arm = fan · long arm. Left out: the lever's own weight.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..build import Build
from ..build.forces import lifting_force
from ..build.geometry import pivot_back
from ..build.guide import LEVER_BAR, LEVER_END, lever_arms, lifted_at, push_arm
from ..build.guide_posts import SHEET
from ..build.pin import pin_gap
from .train import train

YIELDS = 170e6  # Pa; mild steel at 200 °C, lower end. Source: from memory
SHARES = 0.577  # of it in shear (von Mises). Source: shigley-springs
SAFE = 2.0  # Source: choice
THICK = (3e-3, 4e-3, 5e-3, 6e-3, 8e-3)  # m; flat mild steel that is sold `LEVER_BAR` high. Source: from memory
PINS = (3e-3, 4e-3, 5e-3, 6e-3, 8e-3)  # m; drill shanks, rod
PLAY = 0.2e-3  # m by which the bar's hole is wider than its pivot pin: turns though hot and rusty. Source: choice
SIDE_PLAY = 0.3e-3  # m between a lever and either cheek, for a washer. Source: choice
PIVOT_END = 4e-3  # m of pivot pin past either cheek, for a split pin. Source: choice


@dataclass(frozen=True)
class Lever:
    """One lever; metres, newtons, pascals. `pin_arm` and `fan_arm` from its pivot; `pin_force` the most the pin can push with,
    `pivot_force` what the pivot holds then; `stress` in the bar and `shear` in the pivot pin, which stands in two cheeks."""

    pin_arm: float
    fan_arm: float
    thick: float
    high: float
    pivot: float
    pin_force: float
    fan_force: float
    pivot_force: float
    stress: float
    shear: float

    @property
    def length(self) -> float:
        """Of the bar, half its height past the pivot, and past the farther contact as far as the riser leaves room, m."""
        return 0.5 * self.high + max(self.pin_arm, self.fan_arm) + LEVER_END

    @property
    def hole(self) -> float:
        """Of the bar, for its pivot pin, m; the cheeks' are as wide as the pin."""
        return self.pivot + PLAY

    @property
    def pivot_length(self) -> float:
        """Of the pivot pin: through the bar, its play, both cheeks, and a split pin's room past either, m."""
        return self.thick + 2.0 * (SIDE_PLAY + SHEET + PIVOT_END)

    @property
    def play_lost(self) -> float:
        """Of the push pin's way, taken up by the play in the pivot's hole as the load comes on, m: the bar turns about its far end."""
        return PLAY * abs(self.fan_arm - self.pin_arm) / self.fan_arm

    @property
    def strong_enough(self) -> bool:
        """Whether bar and pivot bear twice what they can get."""
        return self.stress <= YIELDS / SAFE and self.shear <= SHARES * YIELDS / SAFE


def bending(pin_force: float, pin_arm: float, fan_arm: float) -> float:
    """Bending moment at the middle one of the three places where a lever is held or pushed.

    Args:
        pin_force: of the push pin. [N]
        pin_arm: from pivot to push pin. [m]
        fan_arm: from pivot to what is lifted. [m]

    Returns:
        Moment. [N m]

    Source: exact (balance of forces and moments).
    """
    fan_force = pin_force * pin_arm / fan_arm
    return fan_force * (fan_arm - pin_arm) if fan_arm >= pin_arm else abs(pin_force - fan_force) * fan_arm


def lever_for(build: Build) -> Lever | None:
    """The lever of a guard that has one: the thinnest flat bar and the thinnest pivot that bear a fan that is stuck.

    Args:
        build: a checked build.

    Returns:
        The lever; None for another kind of guard.
    """
    guard, arms, made = build.guard, lever_arms(build), train(build)
    if guard.element is None or arms is None:
        return None
    arm, far = arms
    # A stuck fan holds the pin; the over-travel spring then says how hard the element can push, or nothing does.
    push = (
        made.over.most
        if made is not None and made.over is not None
        else max(guard.element.force.value, lifting_force(build)[0])
    )
    lifts = push * arm / far
    moment, holds = bending(push, arm, far), abs(push - lifts)
    high = LEVER_BAR  # the pin is as long as that leaves it
    thick = next((one for one in THICK if 6.0 * moment / (one * high**2) <= YIELDS / SAFE), THICK[-1])
    pivot = next((one for one in PINS if _shear(holds, one) <= SHARES * YIELDS / SAFE and one <= 0.4 * high), PINS[-1])
    return Lever(
        arm, far, thick, high, pivot, push, lifts, holds, 6.0 * moment / (thick * high**2), _shear(holds, pivot)
    )  # fmt: skip


def _shear(force: float, pin: float) -> float:
    """In a pin between two cheeks: two sections share the force, Pa."""
    return force / (2.0 * 0.25 * math.pi * pin**2)


def lever_reckoned(lever: Lever, build: Build) -> tuple[str, ...]:
    """How the lever was reckoned, where it stands, and what is a choice."""
    turns = math.degrees(math.asin(pin_gap(build.guard) / lever.pin_arm))
    back, lifted, pushed = pivot_back(build), lifted_at(build), push_arm(build)
    offset = build.guard.pin_offset.value
    told = (
        f"Arms {1e3 * lever.pin_arm:.0f} and {1e3 * lever.fan_arm:.0f} mm = {build.guard.lever_ratio.value:g} : 1; the short one is a "
        f"choice: the pin's {1e3 * pin_gap(build.guard):.1f} mm turn the lever {turns:.0f}°, 10 at most.",
        f"Fan stuck, the pin pushes {lever.pin_force:.0f} N, the long end {lever.fan_force:.0f} N, the pivot holds "
        f"{lever.pivot_force:.0f} N: {lever.stress * 1e-6:.0f} MPa bend the bar, {lever.shear * 1e-6:.0f} MPa shear the pivot pin; mild "
        f"steel at 200 °C yields at {YIELDS * 1e-6:.0f} MPa ({SHARES * YIELDS * 1e-6:.0f} in shear).",
        f"From the edge that the fan tilts about: {1e3 * (back + lifted):.0f} mm to where the lever lifts it, {1e3 * (back + pushed):.0f} "
        f"to the push pin, {1e3 * (back + pushed + lever.pin_arm):.0f} to the lever's pivot"
        + (f"; all {1e3 * offset:g} mm before the fan's middle, towards the blade." if offset > 0.0 else "."),
        f"Pivot pin Ø{1e3 * lever.pivot:g} in a hole of Ø{1e3 * lever.hole:g} in the bar, tight in the cheeks (drilled a tenth "
        f"smaller, reamed or driven); that play takes {1e3 * lever.play_lost:.2g} mm of the pin's way: set the lost motion with the "
        "bar held up against the pivot pin and the fan.",
        "Round the pin's tip and file a rounded nose on the bar's other end, so that they bear at their marks: flat on flat the "
        "contact wanders to an edge as the bar turns, and the ratio with it.",
    )  # fmt: skip
    return told if lever.strong_enough else (*told, "The bar or its pivot is too weak: a lower lever ratio.")
