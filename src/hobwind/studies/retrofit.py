"""Repair and retrofit: a fan known from outside only, what killed its modules, which fit instead, and a bolt-on guard for it."""

from __future__ import annotations

from dataclasses import dataclass

from ..build import Build
from ..build.guide_posts import guide_for
from ..build.retrofit_build import Reduced, reduced
from ..build.retrofit_file import Outside
from .dice import Stages
from .guarded import NONE, Guarded, recommend
from .guards import Guards, guards
from .odds import FEW, Odds, odds
from .retrofit_causes import Death, death
from .retrofit_modules import Fit, fits
from .retrofit_tuning import Matched, Tuned, tune

# What each kind of guard asks of an existing fan. An element "held in" the plate stands beside the fan on its own foot.
BOLT_ON = "bolts on; the fan stays closed"
TAPPED = "bolts on; the clamp stays closed, but four holes are tapped into the fan: mind the chips"
LAID_UNDER = "is laid under the foot; the fan stays closed"
NOTHING = "nothing is added"
CLOSED = (NOTHING, LAID_UNDER, BOLT_ON, TAPPED)
DRILLED = "a pocket is bored into the riser; the clamp stays closed"
OPENED = "the fan is opened"
STEPS = 18  # told of while it is worked out; thirteen of them at most are kinds of guard


@dataclass(frozen=True)
class Retrofit:
    """A found fan: its reduced build, how it was tuned, its bands, what killed it, what fits, and the guards for it.

    `best` is the recommended guard among those that leave the fan closed, None when none serves; `guarded` its odds.
    """

    outside: Outside
    made: Reduced
    tuned: tuple[Tuned, ...]
    matched: tuple[Matched, ...]
    thrown: Odds
    death: Death
    fits: tuple[Fit, ...]
    guards: Guards
    best: Guarded | None
    reason: str
    guarded: Odds | None

    @property
    def build(self) -> Build:
        """The reduced build, tuned."""
        return self.made.build


def asks(one: Guarded) -> str:
    """What a guard asks of an existing fan: nothing, laid under, bolted on, bored, or opened."""
    if one.kind == NONE:
        return NOTHING
    if one.kind == "shim":
        return LAID_UNDER
    if one.kind in ("riser, lift", "modules, lift"):
        return OPENED
    if one.kind != "sink, lift" and one.build.guard.element is not None:
        on = BOLT_ON if guide_for(one.build) is None else TAPPED  # the guide's two eyes, two screws each
        return {"plate": on, "riser": DRILLED}.get(one.build.guard.held_in, OPENED)
    changed_blade_only = one.kind in ("sink or blade", "sink, lift") and not any(line.startswith("sink.") for line in one.keys)
    return BOLT_ON if changed_blade_only else OPENED


def retrofit(outside: Outside, seed: int = 1, count: int = FEW, progress: Stages | None = None) -> Retrofit:
    """Work out a found fan: inside, death, modules, guard.

    Args:
        outside: what was measured from outside.
        seed: of the throws. [-]
        count: of throws. [-]
        progress: told how many steps are done, of how many, and what comes next.

    Returns:
        Everything found.

    Raises:
        BuildError: what was measured cannot be a fan.
    """

    def begun(done: int, what: str) -> None:
        if progress is not None:
            progress(done, STEPS, what)

    begun(0, "its inside by rule, tuned to what was seen")
    first = reduced(outside)
    tuned, matched = tune(first.build, outside.seen)
    made = reduced(outside, {one.place: one.text for one in tuned}) if tuned else first
    begun(2, "throwing what could not be seen")
    thrown = odds(made.build, count, seed)
    side_by_side = guards(made.build, lambda done, of, kind: begun(3 + done, f"guard: {kind}"))
    closed = [one for one in side_by_side.rows if asks(one) in CLOSED]
    best, reason = recommend(closed, made.build)
    begun(STEPS - 2, "modules that fit")
    fitting = fits(made.build, None if outside.screw_spare is None else outside.screw_spare.value)
    begun(STEPS - 1, "the guard within what could not be seen")
    return Retrofit(
        outside=outside,
        made=made,
        tuned=tuned,
        matched=matched,
        thrown=thrown,
        death=death(made.build, thrown, outside.signs),
        fits=fitting,
        guards=side_by_side,
        best=best,
        reason=reason,
        guarded=None if best is None else odds(best.build, count, seed),
    )
