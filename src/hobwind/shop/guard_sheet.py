"""How a guard's small part becomes a sheet: flat, cut, never sawn from bar; and its holes by thread or by drill."""

from __future__ import annotations

from collections.abc import Mapping

from .holes import Holes
from .made_part import MadePart, Mark
from .threads import THREADS

SCREW = 4.5e-3  # m; clearance of M4. Source: iso-273


def holes_of(part: str, letter: str, use: str, places: tuple[tuple[float, float], ...], drill: float, tap: str = "") -> Holes:
    """Holes through a small part: tapped where `tap` names a thread, else drilled; metres."""
    thread = THREADS[tap] if tap else None
    return Holes(part, letter, use, places, drill if thread is None else thread.tap_drill, thread=thread)


def sheet(
    number: Mapping[str, int], name: str, material: str, sides: tuple[float, float, float], holes: tuple[Holes, ...],
    marks: tuple[Mark, ...], notes: tuple[str, ...], window: tuple[float, float, float, float] | None = None, seen: str = "above",
    outline: tuple[tuple[float, float], ...] = (),
) -> MadePart:  # fmt: skip
    """A small part laid flat: its number by its name, its sides across, along and thick, m."""
    return MadePart(
        number[name],
        name,
        material,
        "block",
        *sides,
        False,
        holes,
        marks,
        notes=notes,
        window=window,
        seen=seen,
        outline=outline,
    )
