"""What one bench test is: its name, how it is done, what it asks for, and what it makes of the answers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from .forms import Filled, Form
from .result import Result

ZERO = 273.15
COLD, HOT = ZERO - 30.0, ZERO + 400.0


@dataclass(frozen=True)
class BenchTest:
    """One bench test.

    Args:
        name: what it is called on the command line.
        kind: of part it makes; empty when it makes none.
        says: one line on it.
        needs: what it takes from a household or workshop.
        steps: how it is done.
        cautions: what can hurt.
        form: what is asked for.
        act: makes the result of a filled-in form; the folder is where recordings lie.
    """

    name: str
    kind: str
    says: str
    needs: str
    steps: tuple[str, ...]
    cautions: str
    form: Form
    act: Callable[[Filled, Path], Result]
