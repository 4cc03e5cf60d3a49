"""Which modules of the catalogue fit in place of the dead ones, and what each changes in start, air and margin."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..build import Build
from ..build.checks import impossible
from ..parts.catalogue import Shelf
from ..parts.kinds import Module
from ..stack.keeping import End
from .headline import Headline
from .margins import margins
from .mends import Tried, Workbench

# What stands against a module, by the place of the build file's complaint; a longer complaint is told as it is.
AGAINST = {"modules": "wider than its plates", "screws": "meets the screws"}


@dataclass(frozen=True)
class Fit:
    """One module in place of the old: how many, why it cannot be (or ""), and what it leads to.

    `thicker` is new less old thickness [m]: so much higher the sink sits, so much longer a pin held in it must be.
    `screw_left` is the thread in hand after that [m], None where it was not measured. `tried` is None when it cannot be.
    """

    part: Module
    count: int
    against: str
    thicker: float
    screw_left: float | None
    tried: Tried | None
    now: Headline

    @property
    def starts(self) -> float | None:
        """Plate at which it starts, K."""
        return None if self.tried is None else self.tried.solved.starts_at

    @property
    def start_change(self) -> float | None:
        """Later start than the old modules gave when whole, K; None where either never starts."""
        old = self.now.starts_at
        return None if self.starts is None or old is None else self.starts - old

    @property
    def air_change(self) -> float | None:
        """More air on the usual plate, m3/s."""
        return None if self.tried is None else self.tried.solved.usual_air - self.now.usual_air

    @property
    def peak(self) -> float | None:
        """Hottest face of the over-fired evening, K."""
        return None if self.tried is None else float(self.tried.solved.worst.end[End.peak_hot])

    @property
    def limit(self) -> float:
        """What its hot side bears, K: rating or solder, whichever is less."""
        return min(self.part.hot_limit.value, self.part.solder.value)

    @property
    def margin(self) -> float | None:
        """Limit of the part nearest its own less that part's peak, K."""
        return None if self.tried is None else margins(self.tried.solved)[0].margin

    @property
    def nearest(self) -> str:
        """The part with that margin."""
        return "" if self.tried is None else margins(self.tried.solved)[0].part

    @property
    def wire_margin(self) -> float | None:
        """Kelvin that the leads' sleeve has in hand at the hot face."""
        if self.tried is None:
            return None
        return next(one.margin for one in margins(self.tried.solved) if one.part == "wire at the modules")


def fits(build: Build, spare: float | None) -> tuple[Fit, ...]:
    """Try every catalogue module in place of the old ones.

    Args:
        build: the reduced build, its modules taken as whole.
        spare: thread a screw can give and still hold its own diameter, m; None where it was not measured. [m]

    Returns:
        Those that fit and live first, then by start, then those that do not fit.
    """
    shelf, bench = Shelf(None), Workbench(build)
    old = bench.try_out("as they were", build)
    assert old is not None  # a reduced build was read by the build file's own reader, which refuses what cannot be
    was, count = build.modules[0].part, build.modules[0].count
    found = []
    for name in shelf.names("module"):
        part = shelf.find("module", name)
        thicker = part.thickness.value - was.thickness.value
        left = None if spare is None else spare - thicker
        says, tried, many = "", None, count
        for many in range(count, 0, -1):
            made = _with(build, part, many)
            problems = impossible(made, [])
            says = "" if not problems else AGAINST.get(problems[0].place, problems[0].says)
            if not problems:
                tried = bench.try_out(f"{many} x {name}", made)
                break
        if left is not None and left < 0.0 and not says:
            says = f"the screws lack {-left * 1e3:.1f} mm of thread"
        found.append(Fit(part, many, says, thicker, left, tried, old.solved))
    return tuple(sorted(found, key=_rank))


def _with(build: Build, part: Module, count: int) -> Build:
    wiring = replace(build.wiring, arrangement="series", strings=((count,),))
    return replace(build, modules=(replace(build.modules[0], part=part, count=count),), wiring=wiring)


def _rank(one: Fit) -> tuple[object, ...]:
    lives = one.peak is not None and one.peak < one.limit
    return one.against != "", one.tried is None, not lives, one.starts is None, one.starts or 0.0, one.part.name
