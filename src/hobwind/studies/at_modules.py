"""What lives at the two sides of the modules beside their own faces: wires, fillings, solder, lagging, and what each bears.

The one place that says so: the verdict, the drill, guards, odds and worth all ask here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..build import Build
from ..parts.kinds import Compound
from ..stack.fields import Seen
from ..stack.keeping import End
from ..units import Spread, plain

SOFT_SOLDER = 456.15  # K; tin and lead melt from 183 °C, lead-free 30 K later. Source: memory


@dataclass(frozen=True)
class Neighbour:
    """One thing at the modules: its name, a word for a narrow column, its limit [K] and where that is from, and its place.

    `seen` and `end` are how hot it gets: in a kept state, and at its hottest of an evening.
    """

    part: str
    word: str
    limit: float
    source: str
    seen: Seen
    end: End

    @property
    def warm(self) -> bool:
        """Whether it lives at the hot side."""
        return self.end is not End.peak_cold


def from_where(sources: Mapping[str, str], field: str) -> str:
    """Where a part's number is from; what no source is told of was given."""
    return sources.get(field, "given")


def neighbours(build: Build) -> list[Neighbour]:
    """Everything with a limit at the modules' two sides.

    Args:
        build: the build.

    Returns:
        The wire first, then from joint to joint. [K]
    """
    low, hot, cold = (Seen.hot_plate, End.peak_low), (Seen.hot_face, End.peak_hot), (Seen.cold_face, End.peak_cold)
    found = [Neighbour("wire at the modules", "wire", build.wiring.limit.value, "practice", *hot)]

    def add(part: str, word: str, limit: Spread | None, source: str, at: tuple[Seen, End]) -> None:
        if limit is not None:
            found.append(Neighbour(part, word, limit.value, source, *at))

    for where, face, at in (("under", build.joint.hot, low), ("over", build.joint.cold, cold)):
        fill = face.fill
        if fill is not None:
            word = "grease" if isinstance(fill, Compound) else "sheet"
            add(f"{fill.name}, joint {where} the modules", word, fill.limit, from_where(fill.sources, "limit"), at)
    if build.hot_plate is not None and build.hot_plate.held == "soft solder":
        add("soft solder, riser to hot plate", "solder", plain(SOFT_SOLDER), "memory", low)
    if build.surround is not None:
        add(build.surround.name, "lagging", build.surround.limit, from_where(build.surround.sources, "limit"), low)
    return found


def words(build: Build) -> list[str]:
    """What has a limit at the modules' two sides, each word once, what fills joints before the wire."""
    return sorted({one.word for one in neighbours(build)}, key=lambda word: (word == "wire", word))
