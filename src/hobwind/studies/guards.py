"""Guards side by side: each kind sized by search for one build, then judged on the whole model, and one recommended.

The search is coarse. A wax element rests as long as the fan is down, so that one settled state a place tells how far every
element with every lost motion is from lifting in normal burning; those that let a usual fire alone go through the over-fired
evening, the best again with other stops, pins and levers. What is found is then solved as finely as a verdict, and only
those figures are shown.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..build import Build, geometry
from ..build.checks import impossible
from ..stack.curves import built_in
from ..stack.fields import Seen
from ..stack.keeping import End
from ..stack.prepare import prepare
from ..stack.steady import Rest, settled_map
from .dice import Stages
from .file_keys import changed_keys
from .guards_batch import TRAVEL, Floats, calm, fire_of, part_margins, run_stacks
from .guards_sizes import PASSIVE, WAX, Sized, at_place, bare, finer, places, wax_guards
from .headline import Headline, headline
from .margins import Margin, margins, travel_left

AIR_AT = (473.15,)  # K; plate at which the air of all guards is compared
ENOUGH = 10.0  # K; margin beyond which more air counts for more than more margin
LEAST_RESERVE, MOST_RESERVE = 8.0, 60.0  # K of plate above the usual one within which a guard should lift
KEPT, FINER_OF, TRIED = 40, 4, 4  # sizes looked at when none leaves a usual fire alone, made finer, solved
PLATES, BEYOND = 19, 30.0  # over-fired evenings of the picture, and how far past the worst plate they go, K
NONE, AS_IT_STANDS = "none", "as it stands"
SIMPLE = (
    AS_IT_STANDS,
    NONE,
    "shim",
    "taller riser",
    "central lift",
    "edge tilt",
    "lever tilt",
    "sink or blade",
    "more modules",
)


@dataclass(frozen=True)
class Guarded:
    """One kind of guard at its best sizes, solved; `keys` are the lines of a build file that carry it out."""

    kind: str
    says: str
    parts: tuple[str, ...]
    keys: tuple[str, ...]
    solved: Headline
    margins: list[Margin]
    plates: Floats
    peaks: Floats

    @property
    def build(self) -> Build:
        """The build with this guard."""
        return self.solved.build

    @property
    def least(self) -> Margin:
        """The part nearest its limit, over the settled map and the over-fired evening."""
        return self.margins[0]

    @property
    def air(self) -> float | None:
        """Settled air at 200 °C, m3/s; None where it hunts there."""
        point = self.solved.at.from_rest[0]
        return float(point.seen[Seen.air_flow]) if point.outcome is Rest.SETTLED else None

    @property
    def usual_peak(self) -> float:
        """Hottest face of the usual evening, K."""
        return float(self.solved.usual.end[End.peak_hot])

    @property
    def fired_peak(self) -> float:
        """Hottest face of the over-fired evening, K."""
        return float(self.solved.worst.end[End.peak_hot])

    @property
    def minutes_above(self) -> float:
        """How long a face is past its limit in the over-fired evening, min."""
        return float(self.solved.worst.end[End.above]) / 60.0

    @property
    def hunts(self) -> bool:
        """Whether it lifts and drops on a plate that does not cool, in an evening or held at any plate of the map."""
        return self.solved.hunts or bool(self.solved.restless_plates)

    @property
    def sits_back(self) -> float | None:
        """Plate at which the seat last closes in the over-fired evening, K; None when it never lifted or stays up."""
        stays = float(self.solved.worst.seen[-1, Seen.lift]) > 0.0
        return None if stays or self.lifts_fired == 0 else self.solved.worst.figure(End.sit_at)

    @property
    def lifts_at(self) -> float | None:
        """Plate at which it first lifts in the over-fired evening, K; None when it never does."""
        return None if self.lifts_fired == 0 else self.solved.worst.figure(End.lift_at)

    @property
    def lifts_fired(self) -> int:
        """Lifts in the over-fired evening."""
        return self.solved.worst.lifts

    @property
    def lifts_usual(self) -> int:
        """Lifts in the usual evening."""
        return self.solved.usual.lifts

    @property
    def force_in_hand(self) -> float | None:
        """What the weakest element of this sort has beyond weight, spring and friction, N; None without an element."""
        element = self.build.guard.element
        return None if element is None else element.force.low - geometry.lifting_force(self.build)[0]

    @property
    def tip_margin(self) -> float:
        """Further slope it bears before it falls, down or lifted, rad."""
        return geometry.tip_margin(self.build)

    def shortcomings(self) -> list[str]:
        """Why it cannot be recommended, in words; empty when it can."""
        build, found = self.build, []
        if self.solved.starts_at is None:
            found.append("it never starts")
        if self.least.margin <= 0.0:
            found.append(f"{self.least.part} passes its limit by {-self.least.margin:.0f} K")
        left = travel_left(build, self.solved)
        if left is not None and left <= 0.0:
            found.append("its element is pushed against its end")
        if self.hunts:
            found.append("it hunts")
        if not (self.solved.usual.finished and self.solved.worst.finished):
            found.append("an evening gave no figures to its end")
        if self.lifts_usual or self.solved.lifted_at_usual:
            found.append("it lifts in normal burning already")
        if self.lifts_fired and self.sits_back is None:
            found.append("it does not sit back")
        if self.force_in_hand is not None and self.force_in_hand < 0.0:
            found.append("a weak element cannot lift it")
        if self.tip_margin < geometry.SLOPE_MARGIN:
            found.append(f"it tips over: {math.degrees(self.tip_margin):.0f}° in hand")
        return found


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
        rows.append(_solved(AS_IT_STANDS, Sized(build, f"{build.guard.kind} as the build file has it", ()), build))
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
    best, reason = recommend(rows, build)
    return Guards(build, tuple(rows), best, reason, tried)


def _solved(kind: str, sized: Sized, build: Build) -> Guarded:
    """Solve one sized guard as finely as a verdict, and its over-fired evenings up to other worst plates."""
    made = sized.build
    solved = headline(made, AIR_AT)
    stove, stack = made.stove, prepare(made)
    plates = np.linspace(stove.usual_plate.value + 5.0, stove.worst_plate.value + BEYOND, PLATES)
    curves = [built_in("over-fired", stove.room.value, stove.usual_plate.value, float(worst)) for worst in plates]
    peaks = run_stacks([stack] * len(curves), curves)[:, End.peak_hot]
    return Guarded(kind, sized.says, sized.parts, changed_keys(build, made), solved, margins(solved), plates, peaks)


def _run(sizes: Sequence[Sized], shape: str) -> Floats:
    return run_stacks([prepare(one.build) for one in sizes], [fire_of(one.build, shape) for one in sizes])


def _makeable(sizes: Sequence[Sized]) -> list[Sized]:
    return [one for one in sizes if not impossible(one.build, [])]


def _merit(build: Build, fired: Floats, hand: float) -> tuple[float, ...]:
    """What makes one wax guard better than another, the weightiest first; the last is kelvin in hand on either side."""
    left = part_margins(build, fired)
    lives = min(left.values()) > 0.0
    margin = min(value for part, value in left.items() if part != TRAVEL)
    wanted, has = geometry.lifting_force(build)
    back = bool(np.isfinite(fired[End.sit_at])) or fired[End.lifts] == 0.0
    stands = geometry.tip_margin(build) >= geometry.SLOPE_MARGIN
    return lives, calm(fired), stands, has >= wanted, back, min(margin, hand)


def _waiting(build: Build, kind: str) -> list[tuple[float, Sized]]:
    """Elements, places and lost motions that let a usual fire alone.

    Each comes with what it has in hand on a slowly warming plate: kelvin of plate from the usual one to lifting, or kelvin
    of the face below its limit where it lifts, whichever is less.
    """
    found, stove = [], build.stove
    room, usual = stove.room.value, stove.usual_plate.value
    plates = np.linspace(room, usual + MOST_RESERVE, 12)
    rested = settled_map(prepare(bare(build)), plates).from_rest
    margin = [float(p.seen[Seen.margin]) if p.outcome is Rest.SETTLED else np.nan for p in rested]
    for place in places(build, kind == "lever tilt"):
        made = at_place(build, kind, place)
        if impossible(made, []):
            continue
        point = settled_map(prepare(made), np.linspace(room, usual, 6), "held down").from_rest[-1]
        if point.outcome is Rest.SETTLED:
            settled = float(point.seen[Seen.element])
            per_plate = max(settled - room, 1.0) / (usual - room)
            found += [(k / per_plate, one) for k, one in wax_guards(build, kind, place, settled)]
    late = [pair for pair in found if LEAST_RESERVE <= pair[0] <= MOST_RESERVE]
    kept = late or sorted(found, key=lambda pair: pair[0], reverse=True)[:KEPT]
    return [(min(k, float(np.interp(usual + k, plates, margin))), one) for k, one in kept]


def _best_wax(build: Build, kind: str) -> tuple[Sized | None, int]:
    """The best sizes of one kind of wax guard, and how many were tried."""
    first = [pair for pair in _waiting(build, kind) if not impossible(pair[1].build, [])]
    if not first:
        return None, 0
    ranked = _ranked(first)
    again = [(k, new) for _, k, one in ranked[:FINER_OF] for new in finer(one) if not impossible(new.build, [])]
    ranked = sorted(ranked + _ranked(again), key=lambda row: row[0], reverse=True)
    best = ranked[0][2]
    for _, _, one in ranked[:TRIED]:
        solved = headline(one.build, (), 24, 60.0, 2)
        if not solved.hunts and not solved.restless_plates and margins(solved)[0].margin > 0.0:
            best = one
            break
    return best, len(first) + len(again)


def _ranked(sizes: list[tuple[float, Sized]]) -> list[tuple[tuple[float, ...], float, Sized]]:
    fired = _run([one for _, one in sizes], "over-fired")
    rows = [(_merit(one.build, fired[i], k), k, one) for i, (k, one) in enumerate(sizes)]
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


def recommend(rows: Sequence[Guarded], build: Build) -> tuple[Guarded | None, str]:
    """Choose among guards: those with nothing against them, first with margin enough, then with most air.

    Args:
        rows: guards that were solved.
        build: the build they are for.

    Returns:
        The recommended one, None when none serves, and the reason in words.
    """
    sound = [one for one in rows if not one.shortcomings()]
    if not sound:
        nearest = max(rows, key=lambda one: one.least.margin)
        against = "; ".join(nearest.shortcomings())
        return None, f"no guard here serves. The nearest is {nearest.kind} ({nearest.says}): {against}"
    roomy = [one for one in sound if one.least.margin >= ENOUGH]
    plain_ = next((one for one in roomy if one.kind == NONE), None)
    if plain_ is not None:
        least = plain_.least
        return plain_, f"it bears the over-fired evening as it is: {least.part} stays {least.margin:.0f} K below its limit"
    best = max(roomy or sound, key=_worth)
    others = [one for one in sound if one.kind not in (best.kind, AS_IT_STANDS, NONE)]
    reason = (
        f"every part lives ({best.least.part} nearest its limit, {best.least.margin:.0f} K in hand, {best.least.where}), it starts at "
        f"{(best.solved.starts_at or 0.0) - 273.15:.0f} °C and moves {best.solved.usual_air * 3600.0:.0f} m³/h at the usual plate"
    )
    if others:
        second = max(others, key=_worth)
        reason += f"; next comes {second.kind} with {second.solved.usual_air * 3600.0:.0f} m³/h and {second.least.margin:.0f} K"
    return best, reason


def _worth(one: Guarded) -> tuple[float, ...]:
    """Starting as wished, then air in steps of a twentieth, then margin in steps of 5 K, then the simpler kind."""
    solved = one.solved
    wished = solved.starts_at is not None and solved.starts_at <= solved.build.wish.starts_by.value + 0.5
    air = round(math.log(max(solved.usual_air, 1e-6)) / math.log(1.05))
    return wished, air, round(one.least.margin / 5.0), -SIMPLE.index(one.kind)
