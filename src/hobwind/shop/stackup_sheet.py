"""The guard's stack-up in words for the bench: the chain, what to file, what to measure, what must never be blocked."""

from __future__ import annotations

from collections.abc import Iterator

from ..build import Build
from ..build.guide import RUB, guide_length, push_arm, standing_height
from ..build.guide_posts import guide_for, rub_share, too_short
from ..build.over_pin import misses, pushed_elsewhere
from ..lifting.clip import no_clip
from ..lifting.foot import no_strip, reckoned, strip_for
from ..lifting.frame import eyes_lose
from ..lifting.room import too_near
from ..lifting.train import no_socket, train_findings
from .holes import size
from .section import Section
from .stackup import Stackup, figures

FILE_STEP = 0.02e-3  # m; less than this nobody files
EASY = 0.2e-3  # m; by which the pin may miss the wanted recess before it is worth a word


def _mm(length: float) -> str:
    return f"{length * 1e3:.2f} mm"


def _chain(one: Stackup) -> Iterator[str]:
    yield "From the element's seat to the pin's tip, cold (+ lets the tip lie deeper, − brings it out):"
    for link in one.links:
        mark = "measured" if link.measured else "drawn"
        yield f"  {'+' if link.sign > 0 else '−'} {link.name}: {_mm(link.length)} ± {_mm(link.half)}, {mark}"
    yield f"  = the tip stands {_mm(one.recess)} short; wanted {_mm(one.wanted)} (the lost motion)"
    yield (
        f"All lengths at their worst: ± {_mm(one.worst)}; by squares ± {_mm(one.squares)}; thrown like dice, 19 in 20 "
        f"lie between {_mm(one.sampled[0])} and {_mm(one.sampled[1])}."
    )


def _file(one: Stackup, held_in: str) -> Iterator[str]:
    hand = [link for link in one.links if link.measured]
    if not hand:
        yield "Cut the pin 0.5 mm long. Measure the parts in hand, type them into [measured], and this page says what to file."
    elif one.file_off > FILE_STEP:
        yield f"File {_mm(one.file_off)} off the push pin's plain end, a little at a time, and measure again."
    elif one.file_off < -FILE_STEP:
        short = _mm(-one.file_off)
        other = {
            "riser": f"file {short} off the carrier tube or the face the pin must reach, whichever there is",
            "plate": f"set the element {short} higher on its foot",
        }.get(held_in, f"clip the element {short} lower")
        yield f"The pin is {short} too short: make a new one, or {other}."
    else:
        yield "The pin is right: nothing to file."
    if held_in == "riser":
        yield "Then: element and pin in, cold, straightedge across the foot: the tip must not be felt. A 0.3 mm feeler finds it."
    else:
        yield f"Then: fan down, cold, pin upright at its element: feelers of {_mm(one.wanted)} go between its tip and what it pushes."


def _heat(one: Stackup, bored: bool) -> Iterator[str]:
    low, high = _mm(one.opens_to[0]), _mm(one.opens_to[1])
    gap = low if low == high else f"between {low} and {high}"
    yield (
        f"Hottest, the element pushes {_mm(one.stroke_peak)}; the gap opens to {gap} "
        f"(stop at {_mm(one.stop)}). It has {_mm(one.travel_left)} of travel left before it is blocked."
    )
    if one.blocked_by > 0.0:
        yield (
            f"The stop is reached {_mm(one.blocked_by)} before the element has finished pushing: let a spring of at least that "
            "travel, stiffer than the lift needs, give way between element and pin. A blocked element bursts."
        )
    if not bored:
        yield (
            f"Pin in the bridge's eye: {one.clearance * 1e6:.0f} µm of clearance, which neither rust nor heat closes. Dry or graphite, no "
            "grease: it cokes."
        )
    else:
        yield (
            f"Pin in its bore: {one.fit.name}, {one.fit.least * 1e6:.0f} to {one.fit.most * 1e6:.0f} µm; "
            f"{one.clearance * 1e6:.0f} µm cold become {one.clearance_hot * 1e6:.0f} µm hot. Dry or graphite, no grease: it cokes."
        )
    yield (
        f"Ends square: the end that carries the pin, as far out of square as it may be, puts the far end {_mm(one.wander)} aside. Turn the "
        "pin on it against a square; it must drop through of its own weight in every position."
    )


def _pocket(one: Stackup, build: Build) -> Iterator[str]:
    """Whether an element in the riser sits where the chain has it: its pocket is bored so that its middle is at the height given."""
    guard = build.guard
    if (
        guard.element is None
        or guard.held_in != "riser"
        or any(link.field == "pin_bore" and link.measured for link in one.links)
    ):
        return
    floor = max(guard.element_height.value - 0.5 * guard.element.length.value, 0.0)
    bore = next(link.length for link in one.links if link.field == "pin_bore")
    if abs(bore - floor) > EASY:
        fits = guard.pin_length.value + floor - bore
        yield (
            f"fault: the pocket's floor is {_mm(floor)} over the plate, but pin and chain are for {_mm(bore)}: "
            + (f"a pin of {_mm(fits)} fits" if fits > 0.0 else "no pin fits below it, set the element higher")
        )


def _findings(one: Stackup, build: Build) -> Iterator[str]:
    yield from _pocket(one, build)
    yield from (f"fault: {one.says}: {one.mend}" for one in (misses(build), pushed_elsewhere(build)) if one is not None)
    height = standing_height(build)
    if height is not None and height <= 0.0:
        yield (
            f"fault: pin and element are {-1e3 * height:.0f} mm too long to stand under what they push: a shorter pin, a taller riser, or "
            "another place for the element"
        )
    yield from train_findings(build, -one.blocked_by)
    yield from (f"advice: {said}" for said in (no_socket(build),) if said)
    yield from (f"fault: {said}" for said in (no_strip(build), no_clip(build), too_short(build), too_near(build)) if said)
    if build.guard.kind == "lever tilt" and build.guard.held_in != "plate":
        yield (
            'fault: cheeks that carry a lever are designed for an element on the stove plate only (held_in = "plate"); held in the '
            f"{build.guard.held_in}, its pivot wants a stand of your own, or an edge tilt, which has no lever"
        )
    if one.recess - one.worst < 0.0:
        yield (
            f"fault: at worst the pin stands {_mm(one.worst - one.recess)} proud when cold and carries the fan: shorten it "
            "or hold tighter tolerances"
        )
    if any(link.measured for link in one.links) and abs(one.file_off) > max(EASY, one.short):
        yield f"fault: as measured the tip stands {_mm(one.recess)} short; {_mm(one.wanted)} is wanted"
    if one.opens_to[0] < 0.8 * min(one.stop, one.lever * max(one.stroke_peak - one.wanted, 0.0)):
        yield f"advice: with these tolerances the gap may open only {_mm(one.opens_to[0])}"
    if one.opens_to[1] <= 0.0:
        yield "fault: the element never pushes far enough to lift"
    if one.travel_left < 0.5e-3:
        yield f"danger: {_mm(max(one.travel_left, 0.0))} of travel left in the element when hottest: it may burst"
    if one.blocked_by > 0.0:
        yield f"fault: the stop blocks the element; {_mm(one.blocked_by)} of over-travel must be taken up by a spring"
    if one.clearance_hot < 2e-6 and build.guard.held_in == "riser":
        yield "fault: the pin sticks in its bore when hot: ream the bore or polish the pin"
    if one.wander > max(one.clearance, 0.0) and build.guard.carrier_length is not None:
        yield (
            f"advice: a carrier tube as far out of square as allowed puts the pin {_mm(one.wander)} aside, more than its "
            f"clearance of {_mm(one.clearance)}: face the tube's end square"
        )


def _stands(build: Build) -> Iterator[str]:
    strip = strip_for(build)
    if strip is not None:
        yield reckoned(build, strip)
    height = standing_height(build)
    if height is not None and height > 0.0:
        yield (
            f"Standing height: the element's lower end {size(round(height, 4))} mm over the stove plate, on its foot; then "
            "the pin reaches what it pushes."
        )
    elif height is not None:
        yield "Standing height: none is left, see the fault."


def _guide(build: Build) -> Iterator[str]:
    length, guide = guide_length(build), guide_for(build)
    if length is not None and guide is not None:
        yield (
            f"Guide: the pin pushes {_mm(push_arm(build))} off the middle; eyes {size(round(guide.high - guide.low, 4))} mm apart rub away "
            f"2 x {RUB:g} x arm / distance = {rub_share(build):.2f} of the push, which the force wanted counts ({1e3 * length[0]:.0f} mm "
            f"would rub as little as is usual); at {1e3 * length[1]:.0f} mm it would bind. Try it cold: pushed up by hand under the pin, "
            "it must come down by itself."
        )
    if guide is not None:
        lost = eyes_lose(build)
        yield (
            f"The guide's eyes are fins on the riser: at most {1e3 * lost:.0f} mW/K in still air, {130.0 * lost:.1f} W from a riser of "
            "150 °C, which the model leaves out: it starts a little later and its faces stay a little cooler."
        )


def stackup_section(one: Stackup | None, build: Build) -> Section:
    """The stack-up's page.

    Args:
        one: the stack-up worked through; None without a guard.
        build: the build.

    Returns:
        The section.
    """
    if one is None:
        return Section("stack-up", "Guard stack-up", ("The build has no guard: nothing to stack up.",), {}, ())
    held_in = build.guard.held_in
    where = {"riser": "in the riser", "plate": "on its own foot beside the fan"}.get(
        held_in, f"clipped to the side of the {held_in}"
    )
    lines = [
        f"The wax element sits {where}.",
        *_stands(build),
        *_guide(build),
        *_chain(one),
        *_file(one, held_in),
        *_heat(one, held_in == "riser"),
    ]
    return Section("stack-up", "Guard stack-up", tuple(lines), figures(one), tuple(_findings(one, build)))
