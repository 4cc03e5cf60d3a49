"""Two tabs throwing fans at once: on the compiler's plainest pool of threads too, which ends the whole program for two callers."""

from __future__ import annotations

import os
import subprocess
import sys

from builds import ROOT

THROW = """
import sys, threading
import numpy as np
from builds import example
from hobwind.stack.evening import run_many
from hobwind.stack.keeping import FINISHED, End
from hobwind.stack.prepare import prepare
from hobwind.studies.guards_batch import fire_of

build = example("boat-shed")
stack, fire = prepare(build), fire_of(build, "over-fired")
ends = [np.zeros((60, len(End))) for _ in range(3)]

def go(one):
    run_many(np.tile(stack.p, (60, 1)), stack.q, fire.time, np.tile(fire.plate, (60, 1)), 0.2, one)

threads = [threading.Thread(target=go, args=(one,)) for one in ends]
for thread in threads:
    thread.start()
for thread in threads:
    thread.join()
assert all(np.array_equal(one, ends[0], equal_nan=True) and (one[:, End.outcome] == FINISHED).all() for one in ends)
print("all came home")
"""


def test_many_at_once_on_a_pool_that_bears_one_caller() -> None:
    paths = [str(ROOT / "src"), str(ROOT / "tests"), *filter(None, [os.environ.get("PYTHONPATH")])]
    own = os.environ | {"NUMBA_THREADING_LAYER": "workqueue", "PYTHONPATH": os.pathsep.join(paths)}
    done = subprocess.run([sys.executable, "-c", THROW], env=own, capture_output=True, text=True, timeout=300, check=False)
    assert "all came home" in done.stdout, done.stderr[-2000:]
