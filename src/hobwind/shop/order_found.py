"""The order of work on a fan that was found whole: closed but for its guard, or opened at its clamp for new modules."""

from __future__ import annotations

from dataclasses import replace

from ..build import Build
from ..build.guide_posts import guide_for
from .clamp import Clamp
from .clamp_sheet import STEPS, order_of
from .order import Plan, Step, in_order
from .order_guard import found_plan
from .stackup import Stackup

NEW = ("modules",)  # what is put into a found fan that is opened
OPENED = (
    "The fan on the bench, cold, as it was found: its clamp is opened for the new modules and nothing else of it. Wash the foot, mark "
    "with a scratch down one corner how the parts lie on each other, note how the leads run."
)
# The eyes are screwed to it; a found fan's motor is open to chips, its modules' slit too.
TAPPED = (
    " Four holes for the guide's eyes are to be tapped into it: tape over motor, slit of the modules and fins first, grease on drill "
    "and tap, foot up so that chips fall away; brush them out, never blow."
)


def found_order(build: Build, clamp: Clamp | None, stack: Stackup | None) -> Plan:
    """Steps for a found fan: its guard, and its modules where they are new.

    Args:
        build: a found fan.
        clamp: its clamp worked through, for the torque; None where its screws are not known.
        stack: its stack-up.

    Returns:
        The plan.
    """
    plain = found_plan(build, stack)
    tapped = TAPPED if guide_for(build) is not None else ""
    steps = [
        replace(one, says=(OPENED if build.new_modules else one.says) + tapped) if one.key == "look" else one
        for one in plain.steps
    ]
    if not build.new_modules:
        return Plan(plain.parts, tuple(steps))
    look, *rest = steps
    rest = [replace(one, needs=tuple("clamp" if need == "look" else need for need in one.needs)) for one in rest]
    return Plan((*NEW, *plain.parts), in_order([look, *_modules(build, clamp), *rest]))


def _fill(build: Build, joint: str) -> str:
    fill = getattr(build.joint, joint).fill
    return "dry, as reckoned" if fill is None else fill.name


def _torque(build: Build, clamp: Clamp | None) -> str:
    if clamp is None:
        return (
            "a little each round, crosswise, until all are hand-tight; how tight is not known: measure thread, number and places of the "
            "screws, write them under [screws], and Shop tells the torque"
        )
    rounds = ", ".join(f"{share * clamp.torque:.2f}" for share in STEPS)
    return f"in rounds of {rounds} N·m, order {'-'.join(map(str, order_of(build)))}, the last one twice"


def _modules(build: Build, clamp: Clamp | None) -> list[Step]:
    """Clamp open, old modules out, faces clean, new ones in, clamp closed."""
    names = " and ".join(f"{use.count} {use.part.name}" for use in build.modules)
    thick = " and ".join(f"{1e3 * use.part.thickness.value:.1f} mm" for use in build.modules)
    fill = _fill(build, "hot")
    upper = _fill(build, "cold")
    return [
        Step(
            "open",
            "Slacken the clamp screws crosswise, a quarter turn at a time, then take them out and keep screws, bushes and washers in their "
            "order. Lift the sink off straight: twist it by a hair to break the paste, never lever with a blade. Unsolder the old leads.",
            needs=("look",),
            tools=("hex key", "soldering iron", "gloves"),
            checks=("cold, and off the stove?", "scratch across all parts, leads and polarity noted?"),
            minutes=30,
        ),
        Step(
            "clean",
            "Old modules off, none broken dry: their dust stays out of the lungs. Both faces clean of paste with wood or card and spirit, "
            "no scraper of steel; straightedge across both, lap them where light shows. Old modules' thickness by calipers beside the new "
            f"ones, {thick}: thicker ones leave the screws that much less thread, and the pin's stack-up is measured anew.",
            needs=("open",),
            tools=("spirit and rags", "calipers", "straightedge", "wet-and-dry on glass"),
            minutes=40,
        ),
        Step(
            "leads",
            f"New modules, {names}: test each (ohms; polarity with a warm hand), mark + and DOWN, lengthen its leads.",
            needs=("open",),
            tools=("meter", "soldering iron", "sleeving"),
            minutes=30,
        ),
        Step(
            "modules",
            f"New modules where the old ones lay, evenly about the screws' middle, hot side down, {fill} below; press and turn 2 mm "
            "each way until they drag.",
            NEW,
            ("clean", "leads"),
            ("gloves", "spirit", "card to spread the paste"),
            (
                "arrows DOWN?",
                f"{fill} on the lower faces, thin and whole?",
                "all of one thickness, to 0.05 mm by calipers?",
                "ohms as before, nothing to the metal?",
            ),
            minutes=20,
            spent="compound on both module faces",
        ),
        Step(
            "clamp",
            f"Sink on by its scratch, {upper} between. Old bushes and washers, if whole, and the screws, oiled; tightened "
            f"{_torque(build, clamp)}. Leads joined by polarity as the wiring says, sleeved.",
            needs=("modules",),
            tools=("hex key and scale or torque wrench", "feelers", "soldering iron"),
            checks=(
                "leads out through the slot, free to move?",
                f"{upper} on the upper module faces?",
                "thread in hand: each screw holds its own diameter at least?",
                "slit between the plates even all round, by feeler?",
                "ohms of the string as before, more than 1 MΩ to the metal?",
            ),
            closes=NEW,
            minutes=40,
            spent="compound on both module faces",
        ),
    ]
