"""The steps of a guard's small moving parts in the open: its capsule, its return spring and bridge."""

from __future__ import annotations

from ..build import Build
from ..lifting.frame import bridge_height
from ..lifting.train import HEAD, LID, train
from .guard_small import small_parts
from .holes import size
from .order import Step

CAPSULE = ("over-travel capsule", "over-travel spring")
STOP = ("return spring", "stop collar", "bridge")


def _here(build: Build, names: tuple[str, ...]) -> tuple[str, ...]:
    """Those of some parts that this guard has."""
    return tuple(one.name for one in small_parts(build) if one.name in names)


def capsule_step(build: Build, after: str) -> tuple[Step, ...]:
    """The over-travel capsule put together on the bench, the push pin in it; none where a guard has none.

    Args:
        build: a checked build.
        after: the step it waits for.

    Returns:
        No step or one.
    """
    made = train(build)
    if made is None or made.capsule is None or made.over is None:
        return ()
    over = made.over
    return (
        Step(
            "capsule",
            "Over-travel capsule, on the bench: the disc hard-soldered on the tube (silver solder, flux, no spring in it yet), cooled, "
            "flux and scale off; the head hard-soldered on the push pin, the lid slid on behind it. Spring in, head on it; a drilled block "
            f"over the pin presses the lid down until its upper side is {size(over.fitted + HEAD + LID)} mm from the disc, which squeezes "
            f"the spring from {size(round(over.free, 4))} to {size(round(over.fitted, 4))} mm with {over.force:.0f} N. Bend the four tabs "
            "in, opposite ones together, and knock them flat on the lid.",
            _here(build, CAPSULE),
            (after,),
            ("torch, silver solder and flux", "hacksaw", "pliers", "vice", "kitchen scale"),
            minutes=60,
        ),
    )


def capsule_checks(build: Build) -> tuple[str, ...]:
    """What to look at on a finished capsule before it goes on its element."""
    made = train(build)
    if made is None or made.capsule is None or made.over is None:
        return ()
    return (
        f"capsule pressed on a kitchen scale: gives way at {made.over.force / 9.80665e-3:.0f} g, not before, goes "
        f"{size(build.guard.over_travel.value)} mm and comes back?",
        "its pin slides in the lid and does not rattle out?",
    )


# Once the bridge is on, before anything goes over it.
BRIDGE_CHECKS = (
    "bridge level, alike at both studs?",
    "pin free in the bridge's eye?",
    "return spring whole, caught by no nut?",
)


def bridge_step(build: Build) -> Step:
    """Spring down, bridge on, nuts: how far the return spring is squeezed, and how it is held meanwhile.

    Args:
        build: a checked build whose guard has a bridge.

    Returns:
        The step.
    """
    made, near, beside = train(build), bridge_height(build), build.guard.held_in == "plate"
    assert made is not None and near is not None  # they go with a bridge
    back = made.back
    where = "over the stove plate" if beside else "from the element's far end"
    early = " Before the fan is set down: its overhang leaves no room for the upper nuts." if beside else ""
    squeezed = "" if back is None else (
        f" The spring, {size(round(back.free, 4))} mm free, is squeezed by {size(round(back.free - back.fitted, 4))} to "
        f"{size(round(back.fitted, 4))} mm and then pushes with {back.force:.1f} N ({back.force / 9.80665e-3:.0f} g): hold the bridge "
        "down with both thumbs while the nuts are run on, or tie the spring short with two loops of wire and cut them afterwards."
    )  # fmt: skip
    return Step(
        "bridge",
        f"Spring down, bridge on, nuts.{early} Lower nuts run down the studs until the bridge lies on them with its near face "
        f"{size(round(near, 4))} mm {where}, alike at both by calipers. Return spring over pin and train, stop collar loose on the pin, "
        f"bridge over pin and studs, upper nuts on.{squeezed} Each pair of nuts locked on the bridge; the collar's screw tightened "
        f"{size(round(made.gap, 4))} mm from the bridge.",
        _here(build, STOP),
        ("pin",),
        ("two spanners for M4", "calipers", "feelers", "hex key"),
        minutes=20,
    )
