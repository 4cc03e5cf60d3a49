"""Guards side by side: each kind sized by search for one build, then judged on the whole model, and one recommended.

The search is coarse. A wax element rests as long as the fan is down, so that one settled state a place tells how far every
element with every lost motion is from lifting in normal burning; those that let a usual fire alone go through the over-fired
evening, the best again with other stops, pins and levers. What is found is then solved as finely as a verdict, and only
those figures are shown.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..build import Build
from ..build.checks import impossible
from ..build.geometry import riser_height
from ..stack.curves import built_in
from ..stack.keeping import End
from ..stack.prepare import prepare
from .beside import heightened, reserves, waiting
from .dice import Stages
from .file_keys import changed_keys
from .guarded import AS_IT_STANDS, ENOUGH, NONE, Guarded, recommend
from .guards_batch import Floats, fire_of, merit, part_margins, run_stacks
from .guards_sizes import PAIRED, PASSIVE, WAX, Sized, bare, finer, guard_parts
from .headline import headline
from .margins import margins
from .odds import FEW as THROWS
from .odds import odds
from .pairs import cooled
from .withstands import harming

AIR_AT = (473.15,)  # K; plate at which the air of all guards is compared
FEW = 5  # lines of a file by which a guard is still much the same as the one that stands
FINER_OF, TRIED = 4, 4  # sizes made finer, solved
SELDOM = 0.02  # of the thrown fans; below that, a guard needs no setting on the fire. Source: choice
PLATES, BEYOND = 19, 30.0  # over-fired evenings of the picture, and how far past the worst plate they go, K


@dataclass(frozen=True)
class Guards:
    """Every kind side by side, the one that is recommended (None when none serves) and why."""

    build: Build
    rows: tuple[Guarded, ...]
    best: Guarded | None
    reason: str
    tried: int


def guards(build: Build, progress: Stages | None = None) -> Guards:
    """Size every kind of guard for a build and judge them side by side.

    Args:
        build: a checked build; its own guard is the first row, where it has one.
        progress: told how many kinds are done, of how many, and which comes next.

    Returns:
        The comparison.
    """
    rows, tried = [], 0
    start = Sized(bare(build), "no guard", ())
    kinds = [NONE, *WAX, *(kind for kind, _ in PASSIVE)]
    if build.guard.kind != "none":
        kinds.insert(0, AS_IT_STANDS)

    def begun(kind: str) -> None:
        if progress is not None:
            progress(kinds.index(kind), len(kinds), kind)

    if build.guard.kind != "none":
        begun(AS_IT_STANDS)
        rows.append(
            _solved(AS_IT_STANDS, Sized(build, f"{build.guard.kind} as the build file has it", guard_parts(build)), build)
        )
    begun(NONE)
    rows.append(_solved(NONE, start, build))
    for kind in WAX:
        begun(kind)
        sized, count = _best_wax(build, kind)
        tried += count
        rows += [] if sized is None else [_solved(kind, sized, build)]
    for kind, sizes in PASSIVE:
        begun(kind)
        sized, count = _best_passive(build, sizes(build))
        tried += count
        rows += [] if sized is None else [_solved(kind, sized, build)]
    if not any(one.roomy for one in rows):
        for kind, sizes in PAIRED:
            kinds.append(kind)
            begun(kind)
            both, count = _best_pair(build, kind, sizes(build))
            tried += count
            rows += [] if both is None else [both]
    best, reason = recommend(rows, build)
    return Guards(build, tuple(rows), best, reason if best is None else reason + _thrown(best), tried)


def _thrown(best: Guarded) -> str:
    """How often the recommended one does not what it should when its fan is thrown within its spreads, in words.

    Sizes are chosen by figures as written, with a reserve far below what a scrap fan's values may be off.
    """
    found = odds(best.build, THROWS)
    asked = (
        ("face_over_limit", "a module face passes its limit"),
        ("guard_up_on_usual_plate", "the guard keeps the fan up on the usual plate"),
    )
    told = [
        (one.share, f"in {round(one.share * one.count) or 'none'} {says}")
        for code, says in asked
        if (one := found.chance_of(code)) is not None
    ]
    says = f". Of {found.count} fans thrown within its spreads, {' and '.join(words for _, words in told)}"
    if best.build.guard.element is None or max(share for share, _ in told) <= SELDOM:
        return says
    return (
        says
        + "; a first fire with the plate read (hobwind trial) tells which way yours goes: more lost motion lifts it later, less sooner"
    )


def _solved(kind: str, sized: Sized, build: Build) -> Guarded:
    """Solve one sized guard as finely as a verdict, and its over-fired evenings up to other worst plates."""
    made = sized.build
    solved = headline(made, AIR_AT)
    stove, stack = made.stove, prepare(made)
    plates = np.linspace(stove.usual_plate.value + 5.0, stove.worst_plate.value + BEYOND, PLATES)
    curves = [built_in("over-fired", stove.room.value, stove.usual_plate.value, float(worst)) for worst in plates]
    peaks = run_stacks([stack] * len(curves), curves)[:, End.peak_hot]
    keys = changed_keys(build, made)
    says, left = f"{sized.says}{_against_own(build, kind, keys)}", margins(solved)
    harmed = tuple(fault.name for fault in harming(made, stack)) if left[0].margin > 0.0 else None
    return Guarded(kind, says, sized.parts, keys, solved, left, plates, peaks, harmed)


def _against_own(build: Build, kind: str, keys: Sequence[str]) -> str:
    """How little a guard of the build's own kind, sized anew, differs from the one that stands; empty where it differs much."""
    if kind != build.guard.kind or len(keys) > FEW or not all(key.startswith("guard.") for key in keys):
        return ""
    names = [key.split(" = ")[0].removeprefix("guard.").replace("_", " ") for key in keys]
    return "; what stands already" if not names else f"; what stands, but for {', '.join(names)}"


def _run(sizes: Sequence[Sized], shape: str) -> Floats:
    return run_stacks([prepare(one.build) for one in sizes], [fire_of(one.build, shape) for one in sizes])


def _makeable(sizes: Sequence[Sized]) -> list[Sized]:
    return [one for one in sizes if not impossible(one.build, [])]


def _best_wax(build: Build, kind: str) -> tuple[Sized | None, int]:
    """The best sizes of one kind of wax guard, and how many were tried."""
    first = [pair for pair in waiting(build, reserves(build, kind, kind == "lever tilt")) if not impossible(pair[1].build, [])]
    if not first:
        return None, 0
    ranked = _ranked(first)
    again = [(k, new) for _, k, one in ranked[:FINER_OF] for new in finer(one) if not impossible(new.build, [])]
    ranked = sorted(ranked + _ranked(again), key=lambda row: row[0], reverse=True)
    best, most = ranked[0][2], 0.0
    for _, _, one in ranked[:TRIED]:  # an evening alone does not tell how it fares when held at a plate for hours
        solved = headline(one.build, (), 24, 60.0, 2)
        left = margins(solved)[0].margin
        if not solved.hunts and not solved.restless_plates and left > most:
            best, most = one, left
        if most >= ENOUGH:
            break
    taller, longer = heightened(best.build)
    if longer:
        best = Sized(taller, f"{best.says}; {longer}", (*best.parts, f"riser {riser_height(taller) * 1e3:.0f} mm"))
    return best, len(first) + len(again)


def _ranked(sizes: list[tuple[float, Sized]]) -> list[tuple[tuple[float, ...], float, Sized]]:
    fired = _run([one for _, one in sizes], "over-fired")
    rows = [(merit(one.build, fired[i], k), k, one) for i, (k, one) in enumerate(sizes)]
    return sorted(rows, key=lambda row: row[0], reverse=True)


def _best_passive(build: Build, sizes: list[Sized]) -> tuple[Sized | None, int]:
    """The mildest size that keeps every part well below its limit, else the one with the largest margin."""
    sizes = _makeable(sizes)
    if not sizes:
        return None, 0
    fired = _run(sizes, "over-fired")
    least = [min(part_margins(one.build, end).values()) for one, end in zip(sizes, fired, strict=True)]
    starts = np.isfinite(fired[:, End.starts_at])
    for i in np.flatnonzero((np.array(least) >= ENOUGH) & starts):
        if margins(headline(sizes[i].build, (), 24, 60.0, 1))[0].margin > 0.0:
            return sizes[i], len(sizes)
    return sizes[int(np.argmax(np.where(starts, least, -np.inf)))], len(sizes)


def _best_pair(build: Build, kind: str, sizes: list[Sized]) -> tuple[Guarded | None, int]:
    """What cools an ordinary evening enough, no more than it must, with a central lift sized on top of it for the over-fired one."""
    count, found = 0, None
    for one in cooled(sizes):
        lift, tried = _best_wax(one.build, "central lift")
        count += tried
        if lift is not None:
            solved = _solved(kind, Sized(lift.build, f"{one.says}; {lift.says}", (*one.parts, *lift.parts)), build)
            found = solved if found is None or solved.least.margin > found.least.margin else found
            if solved.roomy:
                break
    return found, count
