"""The guard's steps: in a bore of the riser, clipped to a plate's side, or beside the fan; and a found fan that stays whole."""

from __future__ import annotations

from ..build import Build
from ..build.guide import lever_arms, push_arm, standing_height
from ..build.guide_posts import guide_for
from ..build.pin import bead_length
from ..lifting.heat import RING_FROM
from .guard_small import small_parts
from .holes import size
from .order import Plan, Step, in_order
from .order_train import BRIDGE_CHECKS, bridge_step, capsule_checks, capsule_step
from .stackup import Stackup


def guard_parts(build: Build) -> tuple[str, ...]:
    """The guard's own parts, by the names they have on the sheets."""
    if build.guard.kind == "none":
        return ()
    carrier = ("carrier tube",) if build.guard.carrier_length is not None else ()
    small = tuple(one.name for one in small_parts(build))
    return ("wax element", "push pin", *small, *carrier)


def _fits(build: Build, *names: str) -> tuple[str, ...]:
    """Those of some parts that this guard has."""
    return tuple(part for part in guard_parts(build) if part in names)


LEVER = ("lever", "pivot pin", "lever cheeks", "cheek screws")
GUIDE = ("guide posts", "lower eye", "upper eye", "eye screws")
STUDS = ("bridge studs", "stud nuts")
TRAIN = (
    "push pin",
    "bead",
)


def guard_checks(build: Build, stack: Stackup | None) -> tuple[str, ...]:
    """What to look at before a guard is closed in or proved."""
    guard = build.guard
    recess = "the lost motion" if stack is None else f"{stack.wanted * 1e3:.1f} mm"
    if guard.held_in == "plate":
        meets = "the lever" if guard.kind == "lever tilt" else "what it pushes up"
        held = ", the lever held up against the fan" if guard.kind == "lever tilt" else ""
        tip = f"feeler of {recess} between the pin's tip and {meets}{held}, cold (see the stack-up)?"
    elif guard.held_in == "riser":
        tip = f"pin's tip {recess} short of the face, cold (see the stack-up)?"
    else:
        tip = f"feeler of {recess} between the pin's tip and the stove plate, cold (see the stack-up)?"
    slides = (
        "pin in, and does it slide of its own weight?" if guard.held_in == "riser" else "pin upright, free to slide by hand?"
    )
    edge = "nothing beside the foot's far edge, about which the fan tilts"
    edge += ", but the base, its gap clear of scale" if guard.held_in == "plate" else ""
    tilts = () if guard.kind == "central lift" else (f"{edge}?",)
    return (
        slides,
        "spring the right way round, pushing the element's own pin back?",
        tip,
        "element free to travel on when the stop is reached?",
        *tilts,
    )


def guard_steps(build: Build, after: str) -> list[Step]:
    """Pin and element, fitted once `after` is done."""
    carrier = ("carrier tube",) if build.guard.carrier_length is not None else ()
    tube = ", carrier tube under its shoulder" if carrier else ""
    if build.guard.held_in == "plate":
        return _beside(build, after, carrier, tube)
    if build.guard.held_in != "riser":
        return _clipped(build, after, carrier, tube)
    lever = " The lever goes between both, its stand on the riser." if build.guard.kind == "lever tilt" else ""
    spring = _fits(build, "over-travel spring")
    behind = " The over-travel spring behind it, squeezed by the pocket's plug as the parts list says." if spring else ""
    return [
        Step(
            "pin",
            "Push pin into its bore, plain end towards what it pushes; stop sleeve and return spring over it, the spring against the pin's "
            "shoulder.",
            _fits(build, "push pin", "return spring", "stop sleeve", "bead"),
            (after,),
            ("straightedge", "feelers"),
            minutes=15,
        ),
        Step(
            "element",
            f"Wax element onto the pin{tube}. Do not force it: it slides in by hand.{behind}{lever}",
            _fits(build, "wax element", "carrier tube", "over-travel spring", *LEVER),
            ("pin",),
            ("calipers",),
            minutes=15,
        ),
        *_guide(build, "clamp"),
    ]


def _clipped(build: Build, after: str, carrier: tuple[str, ...], tube: str) -> list[Step]:
    """Element clipped to a plate's or the sink's side, its pin reaching down past the riser: nothing is bored in the fan."""
    guard = build.guard
    capsule = capsule_step(build, "element")
    waits = capsule[-1].key if capsule else "element"
    lever = "the lever, which pushes on the stove plate" if guard.kind == "lever tilt" else "the stove plate"
    return [
        Step(
            "element",
            f"Wax element clipped to the side of the {guard.held_in}, {size(round(push_arm(build), 4))} mm from the fan's middle, its own "
            f"pin down{tube}: its clip under the edge by two screws, the element through it, compound in both: it must be as hot as the "
            f"{guard.held_in}; studs into the clip, the keeper over the element's upper end, nuts on.",
            _fits(build, "wax element", "carrier tube", "cooling ring", "element clip", "clip screws", "keeper", *STUDS),
            (after,),
            ("calipers", "hex key", "step drill or round file for the clip's hole"),
            minutes=25,
        ),
        *capsule,
        Step(
            "pin",
            f"Push pin under the element's pin, its over-travel spring in its capsule between. Its tip above {lever}. It touches neither "
            "riser nor hot plate on its way.",
            _fits(build, *TRAIN, *LEVER),
            (waits,),
            ("straightedge", "feelers"),
            capsule_checks(build),
            minutes=20,
        ),
        bridge_step(build),
        *_guide(build, "bridge"),
    ]


def _beside(build: Build, after: str, carrier: tuple[str, ...], tube: str) -> list[Step]:
    """Element on a thin foot beside the fan, pin upright on it: nothing is bored in the fan, which only the last step needs."""
    capsule = capsule_step(build, "element")
    waits = capsule[-1].key if capsule else "element"
    lever, height = build.guard.kind == "lever tilt", standing_height(build)
    high = "" if height is None or height <= 0.0 else f", its lower end {size(round(height, 4))} mm over the plate"
    ring = ", the cooling ring on: without it the element opens too early" if build.guard.element_loss.value > RING_FROM else ""
    bead = ", its ceramic bead on, which counts in its length" if bead_length(build.guard) > 0.0 else ""
    side = (
        ""
        if build.guard.kind == "central lift"
        else " It stands on the side that rises, across from the edge the fan tilts about."
    )
    footed = bool(_fits(build, "thin foot"))
    toes = "; the foot's toes flat on the guard's base, each under a stud's nut" if footed else ""
    ears = "; the foot's four ears pressed in round it until paper just slides" if footed else ""
    meets = "where the lever will bear on it" if lever else "below the part of the fan that it pushes up"
    return [
        Step(
            "element",
            f"Wax element on its thin foot beside the riser, {size(round(push_arm(build), 4))} mm from the fan's middle, its pin up{tube}"
            f"{high}{toes}{ring}. Its end flat on its rim, by straightedge{ears}. It touches nothing of the fan.{side}",
            _fits(build, "wax element", "carrier tube", "thin foot", "cooling ring", "guard base", *STUDS),
            (),
            ("calipers", "feelers", "straightedge", *(("step drill or round file for the ring's hole",) if ring else ())),
            minutes=25,
        ),
        *capsule,
        Step(
            "pin",
            f"Push pin upright on the element's pin, over-travel spring in its capsule between. Its tip{bead}, {meets}.",
            _fits(build, *TRAIN),
            (waits,),
            ("straightedge", "feelers"),
            capsule_checks(build),
            minutes=20,
        ),
        bridge_step(build),
        *_lever(build, "bridge"),
        *_set_down(build, after, "lever" if lever else "bridge"),
        *_guide(build, after, "bridge"),
    ]


def _lever(build: Build, after: str) -> list[Step]:
    """A lever beside the fan, once spring and bridge are over the pin that it bears on."""
    arms = lever_arms(build)
    if arms is None:
        return []
    above = "right over the pin, where the fan will rest on it" if abs(arms[1] - arms[0]) < 1e-4 else "under the fan's rim"
    return [
        Step(
            "lever",
            f"Cheeks screwed to the base from below, outermost; the lever between them on its pivot pin, {size(arms[0])} mm from the push "
            "pin, a washer and a split pin at either end, its two contacts rounded. It bears on the push pin's tip; its other end comes "
            f"{above}. It turns freely and drops by itself.",
            _fits(build, *LEVER),
            (after,),
            ("screwdriver or hex key", "pliers", "drill for the split pins", "reamer or round file"),
            BRIDGE_CHECKS,
            minutes=30,
        )
    ]


def _set_down(build: Build, fan: str, after: str) -> list[Step]:
    """A fan that is tilted from beside it, set down into the base's window; one that is lifted comes down over its guide's posts."""
    if build.guard.kind == "central lift":
        return []
    reach = size(round(build.guard.pivot_distance.value, 4))
    return [
        Step(
            "down",
            f"The fan set down into the base's window, free in it all round, the foot's far edge {reach} mm from where it is pushed up, by "
            "the sheet of the tilt. Measure the gap at the pin, lift the fan off, set collar or pin right, set it down again. Push it up "
            "by hand at the pin: it tilts about its far edge without rubbing, and comes down by itself.",
            (),
            (fan, after),
            ("feelers", "calipers", "file"),
            BRIDGE_CHECKS if after == "bridge" else ("lever free between its cheeks, its contacts rounded?",),
            minutes=15,
        )
    ]


def _from_below(build: Build) -> list[Step]:
    """Element and pin into a riser that is bored from the foot: the element first."""
    carrier = ("carrier tube",) if build.guard.carrier_length is not None else ()
    tube = ", carrier tube under its shoulder" if carrier else ""
    behind = ", the over-travel spring between" if _fits(build, "over-travel spring") else ""
    return [
        Step(
            "element",
            f"Wax element up its pocket from the foot, its own pin down, until it bears on the pocket's end{tube}{behind}. "
            "Do not force it.",
            _fits(build, "wax element", "carrier tube", "over-travel spring", *LEVER),
            ("bore",),
            ("calipers",),
            minutes=15,
        ),
        Step(
            "pin",
            "A plug with the pin's bore into the foot, flush or below; push pin through it onto the element's pin, stop sleeve and return "
            "spring over it.",
            _fits(build, "push pin", "return spring", "stop sleeve", "bead"),
            ("element",),
            ("straightedge", "feelers"),
            minutes=30,
        ),
        *_guide(build, "pin"),
    ]


def _guide(build: Build, *after: str) -> tuple[Step, ...]:
    """The guide that keeps a lifted fan level."""
    guide = guide_for(build)
    if guide is None:
        return ()
    base = "" if build.guard.held_in == "plate" else "base under it, "
    apart = f"{size(round(guide.high - guide.low, 4))} mm"
    says = (
        f"Guide for the lifted fan: {base}lower and upper eye screwed to the riser's side {apart} apart, by its sheet (chips out); "
        "posts upright in the base, locknuts on; the fan set down over them, both eyes sliding without binding. Push the fan up by hand "
        "under the pin: it must come down by itself."
    )
    fits = _fits(build, *GUIDE, *(() if build.guard.held_in == "plate" else ("guard base",)))
    checks = BRIDGE_CHECKS if "bridge" in after else ()
    return (Step("guide", says, fits, after, ("square", "file", "taps of the hole sheet"), checks, minutes=60),)


def proof(build: Build, found: bool = False) -> str:
    """How a finished fan is tried off the stove."""
    lives = ", if its modules live" if found else ""
    warmed = "riser round the element" if build.guard.held_in == "riser" else "element itself"
    lifts = (
        f" Then hot air on the {warmed}, a thermometer beside it, slowly to its opening temperature (a pan does not bring it there): "
        "it lifts, and sits back when cool."
    )
    return f"Warm the foot on a pan of hot water: it turns{lives}.{lifts if guard_parts(build) else ''}"


def proof_tools(build: Build) -> tuple[str, ...]:
    """What that takes."""
    return ("pan of water", "thermometer", *(("hot air gun",) if guard_parts(build) else ()))


def found_plan(build: Build, stack: Stackup | None) -> Plan:
    """A fan that was found whole: it stays closed, and only the guard is put to it."""
    parts = guard_parts(build)
    steps = [
        Step(
            "look",
            "The fan on the bench, cold, as it was found: do not take it apart for the guard. Wash the foot, try the clamp screws by hand.",
            tools=("spirit", "hex key", "straightedge"),
            checks=("blade turns freely and is whole?", "leads whole, nothing loose?", "foot flat, nothing stuck to it?"),
            minutes=20,
        )
    ]
    if parts and build.guard.held_in == "riser":
        steps.append(
            Step(
                "bore",
                "Pocket for the element into the riser, the clamp closed: bored from the foot, as deep as the riser's sheet says. "
                "Chips out, deburr, wash.",
                (),
                ("look",),
                ("drill press, vice, glasses", "drills of the hole sheet", "depth stop"),
                minutes=60,
            )
        )
        steps += _from_below(build)
    elif parts:
        steps += guard_steps(build, "look")
    needs = ("look", *(step.key for step in steps if step.fits or step.key in ("guide", "down")))
    checks = guard_checks(build, stack) if parts else ()
    steps.append(Step("prove", proof(build, True), (), needs, proof_tools(build), checks, (), 30))
    return Plan(parts, in_order(steps))
