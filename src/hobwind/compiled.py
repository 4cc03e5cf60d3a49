"""The one typed door to the compiler.

Everything that is compiled goes through these names, so that the type checker sees plain functions and no other file
has to silence it. `jitable` leaves a function plain Python when Python calls it and lets a kernel inline it; `kernel`
compiles and keeps the machine code on disk; `parallel_kernel` does the same and shares loops over `spread(n)` out
among the cores.

`lean_kernel` and `lean_jitable` are for what an evening calls millions of times. The compiler counts who holds an array,
up and down at every call that hands one on, each time an atomic instruction on memory that the cores share: that was two
fifths of an evening. A lean function leaves the counting to its caller, which holds every array that it hands down until
the call is over. So neither it nor anything that it calls may make an array, which the compiler refuses, or hand one back,
for which the tests read the sources; and they count what is left over after an evening.

The compiler looks only at the file of the outermost function when it decides whether kept machine code is still good.
So the code is kept in a folder named after the contents of every source file that goes into it: in `HOBWIND_HOME`, or
else in the user's cache, never beside the sources, which may be read-only.
"""

from __future__ import annotations

import functools
import hashlib
import os
import shutil
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
import numba.extending

F = TypeVar("F", bound=Callable[..., Any])
HERE = Path(__file__).parent
UNUSED = 30 * 86400.0  # s; machine code of other versions is cleared away when it has not been touched for so long

LEAN: dict[str, Any] = {"_nrt": False}  # no counting of references; in the compiler's options, missing in its type hints

spread = numba.prange
_CORES = threading.Lock()


def _sources_digest() -> str:
    digest = hashlib.sha256(numba.__version__.encode())
    for path in sorted([Path(__file__), *(HERE / "physics").glob("*.py"), *(HERE / "stack").glob("*.py")]):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def _cache_folder() -> Path:
    home = os.environ.get("HOBWIND_HOME")
    if home:
        return Path(home).expanduser() / "compiled"
    import platformdirs

    return Path(platformdirs.user_cache_dir("hobwind")) / "compiled"


def _keep_here() -> Path | None:
    """Point the compiler at this version's folder, and clear away long unused ones; None where none can be made."""
    folder = _cache_folder()
    mine = folder / _sources_digest()
    try:
        mine.mkdir(parents=True, exist_ok=True)
        for other in folder.iterdir():
            if other != mine and time.time() - other.stat().st_mtime > UNUSED:
                shutil.rmtree(other, ignore_errors=True)
    except OSError:
        return None
    vars(numba.config)["CACHE_DIR"] = str(mine)
    return mine


CACHE = _keep_here()


def is_cold() -> bool:
    """Whether nothing has been compiled yet, so that the first solve will take a while."""
    return CACHE is None or not any(CACHE.iterdir())


def jitable(function: F) -> F:
    """Return `function` unchanged for Python and known to the compiler for kernels."""
    registered: F = numba.extending.register_jitable(function)
    return registered


def lean_jitable(function: F) -> F:
    """Like `jitable` for what makes no array; laid into its callers whole, since handing arrays down costs as much again."""
    registered: F = numba.extending.register_jitable(forceinline=True, **LEAN)(function)
    return registered


def kernel(function: F) -> F:
    """Compile `function` on first use and keep the machine code; no fastmath, division as in C.

    Other threads go on while it runs, so it changes only what it is handed to be changed.
    """
    return cast(F, numba.njit(cache=CACHE is not None, error_model="numpy", nogil=True)(function))


def lean_kernel(function: F) -> F:
    """Like `kernel` for what makes no array and hands none back."""
    return cast(F, numba.njit(cache=CACHE is not None, error_model="numpy", nogil=True, **LEAN)(function))


def parallel_kernel(function: F) -> F:
    """Like `kernel`, with loops over `spread(n)` shared out among the cores; called from Python only.

    One at a time: it takes every core anyhow, and not every pool of threads that the compiler may find bears two callers.
    """
    compiled = numba.njit(cache=CACHE is not None, error_model="numpy", parallel=True, nogil=True)(function)

    @functools.wraps(function)
    def alone(*given: Any) -> Any:
        with _CORES:
            return compiled(*given)

    return cast(F, alone)
