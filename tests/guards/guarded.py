"""Comparisons and drills that several tests look at, each made once."""

from __future__ import annotations

from functools import lru_cache

from builds import example
from hobwind.studies.drill import Drill, drill
from hobwind.studies.guarded import Guarded
from hobwind.studies.guards import Guards, guards


@lru_cache
def compared(name: str = "boat-shed") -> Guards:
    """Guards of one example, side by side."""
    return guards(example(name))


@lru_cache
def drilled(name: str = "boat-shed") -> Drill:
    """One example through the drill."""
    return drill(example(name))


def row(kind: str, name: str = "boat-shed") -> Guarded:
    """One kind of guard of one example."""
    return next(one for one in compared(name).rows if one.kind == kind)
