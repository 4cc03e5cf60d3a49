"""The one typed door to the compiler.

Everything that is compiled goes through these names, so that the type checker sees plain functions and no other file
has to silence it. `jitable` leaves a function plain Python when Python calls it and lets a kernel inline it; `kernel`
compiles and keeps the machine code on disk; `parallel_kernel` does the same and shares loops over `spread(n)` out
among the cores.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import numba
import numba.extending

F = TypeVar("F", bound=Callable[..., Any])

spread = numba.prange

if os.environ.get("HOBWIND_HOME") and "NUMBA_CACHE_DIR" not in os.environ:
    numba.config.CACHE_DIR = str(Path(os.environ["HOBWIND_HOME"]).expanduser() / "compiled")


def jitable(function: F) -> F:
    """Return `function` unchanged for Python and known to the compiler for kernels."""
    registered: F = numba.extending.register_jitable(function)
    return registered


def kernel(function: F) -> F:
    """Compile `function` on first use and keep the machine code; no fastmath, division as in C."""
    compiled: F = numba.njit(cache=True, error_model="numpy")(function)
    return compiled


def parallel_kernel(function: F) -> F:
    """Like `kernel`, with loops over `spread(n)` shared out among the cores."""
    compiled: F = numba.njit(cache=True, error_model="numpy", parallel=True)(function)
    return compiled
