"""Vectors copied and cleared, one number after the other. Compiled.

A slice assigned whole (`a[:] = b`) costs the compiler half a second wherever it stands, and more where the shapes might
differ: it brings in all that is needed to say so.
"""

from __future__ import annotations

from ..compiled import lean_jitable
from .net import Floats


@lean_jitable
def put(source: Floats, target: Floats) -> None:
    """Copy one vector over another, as many numbers as both hold.

    Args:
        source: (n). [any]
        target: result, (m). [any]
    """
    for i in range(min(source.size, target.size)):
        target[i] = source[i]


@lean_jitable
def fill(target: Floats, value: float) -> None:
    """Make every number of a vector the same.

    Args:
        target: result, (n). [any]
        value: the number. [any]
    """
    for i in range(target.size):
        target[i] = value
