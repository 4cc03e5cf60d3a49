"""The odds of the few best answers: which of them is a gamble, and the order that follows from that.

An answer that meets every wish as written may do so by a hair. Each of the answers that are shown is thrown a few hundred
times within its spreads; one that is too likely to come to harm drops behind those that are not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...build import Build
from ..dice import Chance
from ..odds import FEW, odds

GAMBLE = 0.05  # chance of harm above which an answer drops behind


@dataclass(frozen=True)
class Chances:
    """Of one fan: the chance that a module face passes its limit when over-fired, and that it starts late by the wish."""

    harm: Chance
    late: Chance

    @property
    def is_gamble(self) -> bool:
        """Whether harm is likelier than 1 in 20."""
        return self.harm.share > GAMBLE


def chances(build: Build, seed: int, count: int = FEW) -> Chances:
    """Throw one fan.

    Args:
        build: a checked build.
        seed: of the throws. [-]
        count: of throws. [-]

    Returns:
        Its chances.
    """
    found = odds(build, count, seed)
    harm, late = found.chance_of("face_over_limit"), found.chance_of("starts_late")
    assert harm is not None and late is not None  # asked of every build
    return Chances(harm, late)


def is_gamble(thrown: Chances | None) -> bool:
    """Whether a fan is known to be a gamble; one that was not thrown is not."""
    return thrown is not None and thrown.is_gamble


def steadier_first(thrown: Sequence[Chances | None]) -> list[int]:
    """The order of answers once gambles have dropped behind; otherwise it stays as it was.

    Args:
        thrown: chances of the answers, best as written first; None where somebody stopped before they were thrown.

    Returns:
        Places of the answers in their new order.
    """
    return sorted(range(len(thrown)), key=lambda i: is_gamble(thrown[i]))
