"""Compiling and loading in the background while the first page is looked at."""

from __future__ import annotations

from .workshop import Workshop

COMPILING = "First run: the solver is being compiled for this machine, once; figures follow in some twenty to forty seconds."


def warm(workshop: Workshop) -> None:
    """Make the solver ready, compiling it when it never ran here; then say so."""
    from ..build import starter_text
    from ..compiled import is_cold
    from ..warm import compile_all

    try:
        if is_cold():
            compile_all()
        workshop.solve(starter_text("warm", "warm.toml"))
    finally:
        workshop.ready.set()
