"""One kind of guard solved: the figures it is compared by, what speaks against it, and which of several to take."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..build import Build, forces, standing
from ..lifting.room import lacks
from ..stack.fields import Seen
from ..stack.keeping import End
from ..stack.steady import Rest
from .guards_batch import Floats
from .hanging import hangs_over
from .headline import Headline
from .margins import Margin, travel_left
from .telling import HAIR

ENOUGH = 10.0  # K; margin beyond which more air counts for more than more margin
ALIKE = 5.0  # K; a margin wider by less is no reason for another guard
FEWER = 2  # faults; one more or less hangs on a kelvin or two
NONE, AS_IT_STANDS = "none", "as it stands"
TWO_AT_ONCE = ("shim, lift", "riser, lift", "sink, lift", "modules, lift")
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
    *TWO_AT_ONCE,
)


@dataclass(frozen=True)
class Guarded:
    """One kind of guard at its best sizes, solved; `keys` are the lines of a build file that carry it out.

    `harmed`: single faults of the drill that take a part past its limit; None where one passes it with nothing wrong.
    """

    kind: str
    says: str
    parts: tuple[str, ...]
    keys: tuple[str, ...]
    solved: Headline
    margins: list[Margin]
    plates: Floats
    peaks: Floats
    harmed: tuple[str, ...] | None = None

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
    def lifts_held(self) -> float | None:
        """Lowest plate of the settled map on which the fan stands lifted, K; None when it is down on all of them."""
        return self.solved.lifts_held

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
        return None if element is None else element.force.low - forces.lifting_force(self.build)[0]

    @property
    def tip_margin(self) -> float:
        """Further slope it bears before it falls, down or lifted, rad."""
        return standing.tip_margin(self.build)

    @property
    def roomy(self) -> bool:
        """Whether nothing speaks against it and every part has margin enough."""
        return self.least.margin >= ENOUGH and not self.shortcomings()

    def shortcomings(self) -> list[str]:
        """Why it cannot be recommended, in words; empty when it can."""
        build, found = self.build, []
        if self.solved.starts_at is None:
            found.append("it never starts")
        if self.least.margin <= 0.0:
            found.append(f"{self.least.part} passes its limit by {-self.least.margin:.0f} K")
        elif self.least.margin <= HAIR:
            found.append(
                f"{self.least.part} comes within {self.least.margin:.0f} K of its limit: guesses alone are further off"
            )
        left = travel_left(build, self.solved)
        if left is not None and left <= 0.0:
            found.append("its element is pushed against its end")
        if self.hunts:
            found.append("it hunts")
        if not (self.solved.usual.finished and self.solved.worst.finished):
            found.append("an evening gave no figures to its end")
        reserve = self.solved.reserve
        if self.lifts_usual or self.solved.lifted_at_usual:
            found.append("it lifts in normal burning already")
        elif reserve is not None and reserve <= HAIR:
            found.append(f"it lifts when the usual plate gets {reserve:.0f} K hotter: guesses alone are further off")
        if self.lifts_fired and self.sits_back is None:
            found.append("it does not sit back")
        if self.force_in_hand is not None and self.force_in_hand < 0.0:
            found.append("a weak element cannot lift it")
        found += lacks(build)
        if self.tip_margin < standing.SLOPE_MARGIN:
            hung = hangs_over(build, standing.tip_margin, standing.SLOPE_MARGIN)
            left = math.degrees(self.tip_margin)
            wanted = math.degrees(standing.SLOPE_MARGIN)
            stands = f"it barely stands, {left:.1f}° in hand where {wanted:.0f}° are wanted"
            how = f"it falls over, {-left:.1f}° too far" if left < 0.0 else stands
            found.append(f"{how}{': motor and blade hang out' if hung else ''}")
        return found


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
    plain_ = next((one for one in sound if one.kind == NONE and one.roomy), None)
    if plain_ is not None:
        least = plain_.least
        return plain_, f"it bears the over-fired evening as it is: {least.part} stays {least.margin:.0f} K below its limit"
    best = _chosen(sound)
    others = [one for one in sound if one.kind not in (best.kind, AS_IT_STANDS, NONE)]
    reason = (
        f"every part lives ({best.least.part} nearest its limit, {best.least.margin:.0f} K in hand, {best.least.where}), it starts at "
        f"{(best.solved.starts_at or 0.0) - 273.15:.0f} °C and moves {best.solved.usual_air * 3600.0:.0f} m³/h at the usual plate"
    )
    if others:
        second = _foremost(others)
        reason += f"; next comes {second.kind} with {second.solved.usual_air * 3600.0:.0f} m³/h and {second.least.margin:.0f} K"
    return best, reason + _withstands(best, others)


def _withstands(best: Guarded, others: Sequence[Guarded]) -> str:
    """How many single faults would harm it, and which sound kind would be harmed by fewer."""
    if best.harmed is None:
        return ""
    says = f"; {len(best.harmed)} single faults would harm it"
    fewest = min((len(one.harmed or ()) for one in others), default=0)
    hardiest = [one for one in others if len(one.harmed or ()) == fewest]
    hardy = _foremost(hardiest) if hardiest else None
    if hardy is None or hardy.harmed is None or len(hardy.harmed) > len(best.harmed) - FEWER:
        return says
    rest = f"{hardy.solved.usual_air * 3600.0:.0f} m³/h and a start at {(hardy.solved.starts_at or 0.0) - 273.15:.0f} °C"
    return f"{says}. Where nobody watches the stove, {hardy.kind} bears more: {len(hardy.harmed)} would, with {rest}"


def _worth(one: Guarded) -> tuple[float, ...]:
    """Starting as wished, air in steps of a twentieth, fewer faults that harm in steps of two."""
    solved = one.solved
    wished = solved.starts_at is not None and solved.starts_at <= solved.build.wish.starts_by.value + 0.5
    air = round(math.log(max(solved.usual_air, 1e-6)) / math.log(1.05))
    return wished, air, -(len(one.harmed or ()) // FEWER)


def _chosen(sound: Sequence[Guarded]) -> Guarded:
    """The foremost with margin enough, else of all; two changes at once only where one alone has little in hand or starts too late.

    And then only where both together widen the margin so that it counts, or start the fan as wished.
    """
    alone, both = ([one for one in sound if (one.kind in TWO_AT_ONCE) is two] for two in (False, True))
    first, second = (_foremost([one for one in some if one.roomy] or some) if some else None for some in (alone, both))
    if first is None or second is None:
        found = first or second
        assert found is not None
        return found
    wider, sooner = second.least.margin >= first.least.margin + ALIKE, _worth(second)[0] > _worth(first)[0]
    return second if not first.roomy and (wider or sooner) else first


def _foremost(rows: Sequence[Guarded]) -> Guarded:
    """The worthiest; of those alike the simplest whose margin is near the widest, so that a kelvin asks for no other guard."""
    first = max(_worth(one) for one in rows)
    alike = [one for one in rows if _worth(one) == first]
    widest = max(one.least.margin for one in alike)
    return min((one for one in alike if one.least.margin > widest - ALIKE), key=lambda one: SIMPLE.index(one.kind))
