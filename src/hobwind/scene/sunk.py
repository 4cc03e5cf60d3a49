"""Countersunk screws that hold a plate from its upper face down, in section and from above."""

from __future__ import annotations

from dataclasses import dataclass

from .forms import HIDDEN, SCREWS, Circle, Label, Polyline, Shape

NAME = "plate screws"


@dataclass(frozen=True)
class Sunk:
    """Screws alike; mm. `sunk` is how far the heads lie below the face."""

    places: tuple[tuple[float, float], ...]
    diameter: float
    head: float
    height: float
    length: float
    sunk: float


def in_section(screws: Sunk, face: float) -> tuple[list[Shape], Label]:
    """Each screw seen along the fins, hidden in the metal; its label points at the last.

    Args:
        screws: all alike.
        face: height of the plate's upper face. [mm]

    Returns:
        Outlines and the label.
    """
    top, found = face - screws.sunk, list[Shape]()
    half, wide, cone = 0.5 * screws.diameter, 0.5 * screws.head, top - screws.height
    across = sorted({x for x, _ in screws.places})
    for x in across:
        points = (
            (x - wide, top), (x + wide, top), (x + half, cone), (x + half, top - screws.length), (x - half, top - screws.length),
            (x - half, cone),
        )  # fmt: skip
        found.append(Polyline(NAME, SCREWS, points, True, HIDDEN))
    return found, Label(NAME, NAME, across[-1], cone - 0.5)


def from_above(screws: Sunk) -> tuple[list[Shape], Label]:
    """The heads on the plate's face.

    Args:
        screws: all alike.

    Returns:
        Circles and the label.
    """
    found: list[Shape] = []
    for x, y in screws.places:
        found += [Circle(NAME, SCREWS, x, y, screws.head), Circle(NAME, SCREWS, x, y, screws.diameter)]
    return found, Label(NAME, NAME, *screws.places[0])
