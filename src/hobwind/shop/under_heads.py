"""What stands under each clamp screw's head, and how long the screw must be for it: spacer, bush, washers, disc springs.

Heights add up or they are not offered: parts, what is under the head, and the thread in its metal make the screw's length.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..build import Build
from .disc_springs import Stack
from .holes import ScrewFit, has_flat_base, screw_fit, size, stock_length
from .made_part import MadePart, Mark
from .rules import FEW

THICK = 2e-3  # m; of a washer between disc springs that are wider than the screw and what they bear on. Source: choice
WIDER = 1.15  # times the screw's diameter: disc springs with a larger hole are centred on a sleeve
FLAT = {"M3": 0.5e-3, "M4": 0.8e-3, "M5": 1.0e-3, "M6": 1.6e-3, "M8": 1.6e-3}  # m; plain washers. Source: iso-7089
MOST_RING = 5e-3  # m; a longer ring is not looked for. Source: choice
SLEEVE_ROOM = 0.2e-3  # m; a sleeve slides on its screw, a disc on the sleeve. Source: choice
BUSH_SHORT = 0.5e-3  # m; by which a bush ends short of the plates it passes: plastic grows more than metal


@dataclass(frozen=True)
class Ring:
    """A spacer under each head: bore, outside and length [m], metal."""

    bore: float
    outer: float
    long: float
    metal: str

    @property
    def sizes(self) -> str:
        """For the drawings, mm."""
        return f"Ø{size(self.outer)} / {size(self.bore)} x {size(self.long)}"


def hides_sink(build: Build) -> bool:
    """Whether the free length that no listed part fills is the sink itself, whose base is not known to be flat."""
    return build.spreader is None and not has_flat_base(build)


def spacer_for(build: Build) -> Ring | None:
    """The ring that fills what parts leave of the free length; None where they fill it, or a found fan has its own."""
    fit, screws = screw_fit(build), build.screws
    if fit is None or screws is None or hides_sink(build) or fit.free - fit.grip <= FEW + 1e-9:
        return None
    long = round(fit.free - fit.grip, 5)
    return Ring(fit.thread.clearance, screws.part.head_diameter.value, long, screws.part.material.name)


def spacer_says(build: Build) -> str:
    """What to cut, bore by outside by length; empty where there is none."""
    ring, screws = spacer_for(build), build.screws
    if ring is None or screws is None:
        return ""
    flat = FLAT.get(screws.part.thread)
    many = 0 if flat is None else round(ring.long / flat)
    plain = ""
    if flat is not None and 1 <= many <= 3 and abs(many * flat - ring.long) <= FEW:
        washers = f"{many} plain washers" if many > 1 else "a plain washer"
        plain = f", or {washers} {screws.part.thread} ({size(many * flat)} mm), if they find room"
    return f"{ring.metal}, bore {size(ring.bore)}, outside {size(ring.outer)}, {size(ring.long)} mm long, ends square{plain}"


def screw_says(build: Build) -> str:
    """A clamp screw by thread and length."""
    screws, fit = build.screws, screw_fit(build)
    if screws is None:
        return ""
    if fit is None:
        return screws.part.name
    ends = fit.free + fit.engaged + (fit.thread.pitch if fit.nut else 0.0)
    long = size(fit.screw) if fit.screw is not None else f"a longer one cut to {size(ends)}"
    return f"{fit.thread.name} x {long} mm, {screws.part.material.name}{', each with a nut' if fit.nut else ''}"


def bush_body(build: Build) -> float:
    """Length of a bush below its collar, m: the plates it passes less what it may grow; 0 where those are not known."""
    through = build.spreader.thickness.value if build.spreader is not None else 0.0
    through += build.sink.part.base_thickness.value if has_flat_base(build) else 0.0
    return max(through - BUSH_SHORT, 0.0)


def bush_says(build: Build) -> str:
    """A bush by bore, outside and lengths."""
    bush = build.screws.bush if build.screws is not None else None
    if bush is None:
        return ""
    body = bush_body(build)
    deep = f"{size(body)} mm long below it" if body > 0.0 else "as long below it as the plate is thick"
    return (
        f"{bush.name}: bore {size(bush.inner.value)}, outside {size(bush.outer.value)}, collar Ø{size(bush.flange_diameter.value)} x "
        f"{size(bush.flange_thickness.value)}, {deep}"
    )


def washer_says(build: Build) -> str:
    """Washers by size and how they are laid."""
    screws = build.screws
    if screws is None or screws.washer is None:
        return ""
    one = screws.washer
    sizes = f"{size(one.outer.value)} x {size(one.inner.value)} x {size(one.thickness.value)} mm"
    if one.dish is None:
        return f"{one.name}, {sizes}"
    groups, alike = screws.washers, screws.nested
    laid = "1 on each screw" if groups * alike == 1 else f"{groups * alike} on each screw"
    if groups > 1:
        laid += ", each facing the next" if alike == 1 else f", {groups} groups of {alike} alike, group facing group"
    elif alike > 1:
        laid += ", all the same way up"
    return f"{one.name}, {sizes}, dished {size(one.dish.value)}; {laid}"


def turned_parts(build: Build, number: Mapping[str, int]) -> list[MadePart]:
    """Sheets of what is turned: bushes of plastic, spacers; seen from the end."""
    screws, found = build.screws, []
    if screws is None or build.found:
        return []
    bush, body, ring = screws.bush, bush_body(build), spacer_for(build)
    if bush is not None and bush.material.name != "mica":  # mica is rolled and punched, not turned
        wide = bush.flange_diameter.value
        notes = (f"{screws.count} of them. Turn {bush_says(build).split(': ', 1)[1]}; the body is dashed.",)
        mark = Mark("body", 0.0, 0.0, bush.outer.value, 0.0)
        tall = bush.flange_thickness.value + body
        window = (0.0, 0.0, bush.inner.value, 0.0)
        found.append(
            MadePart(
                number["bushes"], "bushes", bush.material.name, "round", wide, wide, tall, False, (), (mark,), notes=notes,
                window=window, seen="the collar's end",
            )
        )  # fmt: skip
    if ring is not None:
        notes = (f"{screws.count} of them: {spacer_says(build)}. One goes under each clamp screw's head.",)
        found.append(
            MadePart(
                number["spacers"], "spacers", ring.metal, "round", ring.outer, ring.outer, ring.long, False, (), notes=notes,
                window=(0.0, 0.0, ring.bore, 0.0), seen="the end",
            )
        )  # fmt: skip
    return found


def stack_height(stack: Stack, force: float) -> float:
    """How high disc springs stand under a force: each group its discs and one dish, less what the force takes, m."""
    return stack.series * (stack.nested * stack.disc.thickness + stack.disc.dish) - stack.travel(force)


def thick_washers(build: Build, stack: Stack) -> int:
    """How many thick washers a stack wants: two where it is wider than the screw's own."""
    assert build.screws is not None
    return 2 if stack.disc.inner > WIDER * build.screws.part.diameter.value else 0


def bare_length(build: Build, fit: ScrewFit) -> float:
    """Free length of the clamp with nothing to fill it: its parts, or all of it where a sink hides some, m."""
    return fit.free if hides_sink(build) else fit.grip


@dataclass(frozen=True)
class Longer:
    """Screws for disc springs that are not in the build: heights and lengths, m; `ring` is made up until a stock length fits."""

    discs: float
    washers: int
    ring: float
    free: float
    screw: float | None
    engaged: float
    fits: bool


def sized_for(build: Build, stack: Stack, force: float) -> Longer | None:
    """What a proposed stack of disc springs takes of the clamp's length.

    Args:
        build: a checked build.
        stack: not in the build.
        force: on one screw, cold. [N]

    Returns:
        Heights that add up: parts, discs under load, thick washers, a ring where one is wanted, make the free length.
    """
    fit = screw_fit(build)
    if fit is None:
        return None
    many, discs, parts = thick_washers(build, stack), stack_height(stack, force), bare_length(build, fit)
    high = discs + many * THICK
    rest = fit.free - parts - high
    if rest >= -FEW:  # as the build has it
        return Longer(discs, many, rest if rest > FEW else 0.0, fit.free, fit.screw, fit.engaged, True)
    for tenths in range(int(MOST_RING / 1e-4) + 1):
        ring = 1e-4 * tenths
        screw, engaged = stock_length(fit, parts + high + ring)
        if screw is not None:
            return Longer(discs, many, ring, parts + high + ring, screw, engaged, False)
    screw, engaged = stock_length(fit, parts + high)
    return Longer(discs, many, 0.0, parts + high, screw, engaged, False)


def put_under(build: Build, stack: Stack, force: float) -> Iterator[str]:
    """Whether a proposed stack fits under the heads, by adding up heights, and which screw it takes.

    Args:
        build: a checked build.
        stack: disc springs that are not in the build.
        force: on one screw, cold. [N]

    Yields:
        The sum, then the screw.
    """
    fit, one = screw_fit(build), sized_for(build, stack, force)
    if fit is None or one is None:
        return
    each = f"{stack.nested} x {size(stack.disc.thickness)} + {size(stack.disc.dish)}"
    groups = f"{stack.series} x ({each})" if stack.series > 1 else each
    high = one.discs + one.washers * THICK
    thick = f", and {one.washers} thick washers of {size(THICK)} mm: {size(high)} mm" if one.washers else ""
    parts = bare_length(build, fit)
    yield (
        f"  Height under each head: {groups} less {size(stack.travel(force))} pressed = {size(one.discs)} mm{thick}. The parts take "
        f"{size(parts)} of the {size(fit.free)} mm of free length, {size(fit.free - parts)} are left."
    )
    ring = f" and a ring of {size(one.ring)} mm" if one.ring > 0.0 else ""
    if one.fits:
        yield f"  That fits{ring.replace(' and', ', with', 1)}."
        return
    ends = one.free + one.engaged + (fit.thread.pitch if fit.nut else 0.0)
    named = f"{size(one.screw)} mm" if one.screw is not None else f"cut to {size(ends)} mm"
    now = "" if fit.screw is None or one.screw is None else f", not {size(fit.screw)}"
    spacers = "" if spacer_for(build) is None else "; the spacers are left out"
    yield (
        f"  So it takes longer screws, {fit.thread.name} x {named}{now}: parts, discs{', washers' if one.washers else ''}{ring} make "
        f"{size(one.free)} mm free, {size(one.engaged)} are in the {'nut' if fit.nut else 'thread'}{spacers}. "
        f"Write screws.free_length = {size(one.free)} mm."
    )


def besides(build: Build, stack: Stack, force: float) -> str:
    """What a proposed stack adds to the parts list, in one sentence; empty where the screws are not known."""
    one, screws, fit = sized_for(build, stack, force), build.screws, screw_fit(build)
    if one is None or screws is None or fit is None:
        return ""
    count, disc = screws.count, stack.disc
    found = [f"{count * stack.count} disc washers {size(disc.outer)} x {size(disc.inner)} x {size(disc.thickness)} mm"]
    if one.washers:
        thread, flat = screws.part.diameter.value, stack.series * stack.nested * disc.thickness
        found.append(
            f"{count * one.washers} thick washers, bore {size(fit.thread.clearance)}, outside {size(disc.outer)}, {size(THICK)} mm thick"
        )
        found.append(
            f"{count} sleeves, bore {size(thread + SLEEVE_ROOM)}, outside {size(disc.inner - SLEEVE_ROOM)}, {size(flat - 2e-4)} mm long"
        )
    if one.ring > 0.0:
        found.append(
            f"{count} rings, bore {size(fit.thread.clearance)}, outside {size(screws.part.head_diameter.value)}, {size(one.ring)} mm long"
        )
    if not one.fits and one.screw is not None:
        found.append(f"{count} screws {fit.thread.name} x {size(one.screw)} mm in place of those above")
    return f"Where the clamp's disc washers are put in: {'; '.join(found)}{'; no spacers' if spacer_for(build) is not None else ''}."
