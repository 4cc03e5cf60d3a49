"""The first run ever: both halves of the solver compiled side by side, in two processes that keep what they made.

The compiler holds a lock within one process, so a second core is of use only to a second process. Whatever goes wrong
here is harmless: what is missing is compiled when it is first called.
"""

from __future__ import annotations

import subprocess
import sys

import numpy as np

from .build import build_from_text, starter_text
from .compiled import CACHE
from .stack.assemble import assemble, cold_state, make_net
from .stack.fields import Seen
from .stack.keeping import End
from .stack.march import MOST_EVENTS, march
from .stack.observe import observe_many
from .stack.prepare import Stack, prepare
from .stack.settle import sweep

LONGEST_WAIT = 300.0  # s


def _starter() -> Stack:
    return prepare(build_from_text(starter_text("warm", "warm.toml")))


def compile_evening() -> None:
    """Compile the evening and what looks at states; the arrays come from plain Python, which needs no compiling."""
    stack = _starter()
    p, q, n = stack.p, stack.q, stack.size
    net = assemble(p, q)
    grid, record = np.zeros(1), np.zeros((1, n + 3))
    times, plates = np.array([0.0, 60.0]), np.array([p[0], p[0] + 5.0])
    march(net, p, q, times, plates, cold_state(net, p), 0.05, grid, record, np.zeros((MOST_EVENTS, 4)), np.zeros(len(End)))
    none, seen = np.zeros(1), np.zeros((1, len(Seen)))
    observe_many(net, p, q, np.tile(cold_state(net, p), (1, 1)), plates[1:], none, plates[1:], none, seen)


def compile_map() -> None:
    """Compile the assembly and the settled map."""
    stack = _starter()
    p, q, n = stack.p, stack.q, stack.size
    net = make_net(p, q)
    plates = np.array([p[0] + 5.0])
    sweep(net, p, q, plates, cold_state(net, p), 0, float(p[0]), np.zeros((1, n + 5)), np.zeros((1, n, n)))


def many_are_cold() -> bool:
    """Whether the solver for many fans at once has yet to be compiled here."""
    return CACHE is None or next(CACHE.rglob("batch_settled.settle_many*.nbi"), None) is None


def compile_all() -> None:
    """Compile everything that a verdict needs, one half here and one in a second process."""
    try:
        beside = subprocess.Popen([sys.executable, "-m", "hobwind.warm"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    except OSError:
        return
    compile_map()
    try:
        beside.wait(LONGEST_WAIT)
    except subprocess.TimeoutExpired:
        beside.kill()


if __name__ == "__main__":
    compile_evening()
