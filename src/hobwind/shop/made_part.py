"""What a made part is on paper: its outline, holes, marks and notes, before it is drawn."""

from __future__ import annotations

from dataclasses import dataclass

from .holes import Holes, size

FACING = 0.5e-3  # m left on each sawn end to be faced or filed away; common practice


@dataclass(frozen=True)
class Mark:
    """A light outline on a template of what lies there: rectangle, or circle when `depth` is zero; metres.

    `cut` is what is filed away on the far side: a full line.
    """

    says: str
    x: float
    y: float
    width: float
    depth: float
    cut: bool = False


@dataclass(frozen=True)
class MadePart:
    """One part that is sawn, drilled or both; metres. A round one has width = depth = its diameter; `below` is marked from below.

    `window` is cut out of it: its middle across and along, its width and depth; depth 0 for a round one of that diameter. `seen`
    says from where it is drawn. `outline` are its corners where it is no rectangle, within width and depth.
    """

    number: int
    name: str
    material: str
    shape: str
    width: float
    depth: float
    tall: float
    sawn: bool
    holes: tuple[Holes, ...]
    marks: tuple[Mark, ...] = ()
    lead_slot: bool = False
    below: bool = False
    notes: tuple[str, ...] = ()
    window: tuple[float, float, float, float] | None = None
    seen: str = "above"
    outline: tuple[tuple[float, float], ...] = ()

    @property
    def saw_length(self) -> float:
        """Where to saw: finished length and what is faced away at both ends, m."""
        return self.tall + 2.0 * FACING

    @property
    def sizes(self) -> str:
        """Finished sizes, mm."""
        across = f"Ø{size(self.width)}" if self.shape == "round" else f"{size(self.width)} x {size(self.depth)}"
        return f"{across} x {size(self.tall)}"
