"""Findings that a part passes its limit or a person can be hurt, each with one cure for all of them where there is one."""

from __future__ import annotations

from collections.abc import Iterator

from ..stack.keeping import End
from . import mends
from .margins import pushed_on, travel_left
from .telling import ADVICE, DANGER, FAULT, HAIR, THIN, Finding, Look, celsius, keys, sound, told

NO_CURE = "nothing tried here keeps every part below its limit; use parts that bear more, a shield, or a cooler stove"


def modules(look: Look) -> Iterator[Finding]:
    """Module faces beyond their limit, or close to it."""
    for one in look.margins:
        if not one.part.startswith("module") or one.margin > THIN:
            continue
        hot = f"{one.part} reaches {celsius(one.peak)} ({one.where}); its limit is {celsius(one.limit)}"
        if one.margin <= 0.0:
            minutes = float(look.solved.worst.end[End.above]) / 60.0
            if one.part.endswith("hot face") and minutes > 0.5:
                hot += f", passed for {minutes:.0f} minutes"
            yield Finding(DANGER, "module-too-hot", hot, told(look.cure, NO_CURE), one.source, keys(look.cure))
        else:
            tried = look.bench.first(mends.longer_risers(look.build), lambda s: sound(s) and s.worst_margin > THIN)
            mend = told(tried, "measure its true limit before trusting so thin a margin")
            severity = FAULT if one.margin <= HAIR else ADVICE
            yield Finding(severity, "thin-margin", f"{hot}, only {one.margin:.0f} K away", mend, one.source, keys(tried))
        return


def other_parts(look: Look) -> Iterator[Finding]:
    """Every other part beyond its limit."""
    for one in look.margins:
        if not one.part.startswith("module") and one.margin <= 0.0:
            says = f"{one.part} reaches {celsius(one.peak)} ({one.where}); its limit is {celsius(one.limit)}"
            yield Finding(DANGER, "part-too-hot", says, told(look.cure, NO_CURE), one.source, keys(look.cure))


def element(look: Look) -> Iterator[Finding]:
    """A wax element that is pushed against its end."""
    left, part = travel_left(look.build, look.solved), look.build.guard.element
    if left is not None and left <= 0.0 and part is not None:
        says = f"the wax element would push {-left * 1e3:.1f} mm further than it can; a blocked element bursts"
        mend = told(look.cure, "hold it where it stays cooler, or leave room beyond its full travel")
        yield Finding(DANGER, "element-blocked", says, mend, part.sources.get("most_travel", "given"), keys(look.cure))


def pushing_on(look: Look) -> Iterator[Finding]:
    """An element that goes on pushing when the fan is already at its stop."""
    over, guard = pushed_on(look.build, look.solved), look.build.guard
    if over is None or over <= 0.0:
        return
    told_of = any(one.place == "guard.over_travel" and one.origin == "given" for one in look.build.records)
    wants = guard.over_travel.value + over
    says = (
        f"with the fan at its stop of {guard.stop.value * 1e3:.1f} mm the element pushes {over * 1e3:.1f} mm further than "
        "anything gives way; a blocked element bursts"
    )
    mend = f"a spring between element and pin with {wants * 1e3:.0f} mm of over-travel (guard.over_travel), or a later stop"
    yield Finding(DANGER if told_of else ADVICE, "element-blocked-by-stop", says, mend, "vehicle-limits")
