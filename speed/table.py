"""How fast, as ratios measured in one run on one machine: `make speed`.

Times are the best of several, so that what else the machine does hardly counts. Accuracy stands beside each time: a
figure without its error says nothing. Nothing here is asserted by a test.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

import guarding
import keeping
import proving
import trusting
from builds import example, stack
from hobwind.compiled import kernel
from hobwind.stack.curves import PlateCurve, built_in
from hobwind.stack.evening import evening, run_many
from hobwind.stack.fields import HELD_DOWN, Q, Seen
from hobwind.stack.keeping import End
from hobwind.stack.march import MOST_EVENTS, march
from hobwind.stack.steady import settled_map
from paging import rows as page_rows
from reference_march import build_net, cvode, march_by

ROOT = Path(__file__).resolve().parents[1]
TOLERANCE = 0.1  # K a step: the whole evening then within about 0.1 K


def best(act: Callable[[], object], times: int = 7) -> float:
    """Shortest of several runs, s."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        act()
        found.append(time.perf_counter() - start)
    return min(found)


@kernel
def march_only(net, p, q, times, plates, tolerance, grid, record, events, end):
    """One evening without looking at it afterwards."""
    y = np.full(net.at.size, p[0])
    y[: net.at.foot] = 0.0
    march(net, p, q, times, plates, y, tolerance, grid, record, events, end)


def fire(name: str, shape: str, cooler: float = 0.0) -> PlateCurve:
    """The three hours of fire of a built-in evening, without the embers, so that the figures stand for three hours."""
    stove = example(name).stove
    whole = built_in(shape, stove.room.value, stove.usual_plate.value - cooler, stove.worst_plate.value - cooler)
    burning = whole.time <= 3.0 * 3600.0
    return PlateCurve(whole.name, whole.time[burning], whole.plate[burning])


def one_evening(name: str, shape: str, held_down: bool = False, cooler: float = 0.0) -> tuple[float, float, int, int, int]:
    """Time of one march [s], its error against a much finer one [K], steps, lifts, states."""
    prepared, curve = stack(name), fire(name, shape, cooler)
    q = prepared.q.copy()
    if held_down:
        q[Q.guard] = HELD_DOWN
    net = build_net(prepared.p, q)
    grid, record = np.empty(0), np.empty((0, net.at.size + 3))
    events, end = np.zeros((MOST_EVENTS, 4)), np.zeros(len(End))

    def act() -> None:
        march_only(net, prepared.p, q, curve.time, curve.plate, TOLERANCE, grid, record, events, end)

    act()
    seconds = best(act)
    guard = "held down" if held_down else "free"
    rough, fine = evening(prepared, curve, 20.0, guard, TOLERANCE), evening(prepared, curve, 20.0, guard, 1e-5)
    quiet = np.array([all(abs(t - e.time) > 5.0 for e in (*rough.events, *fine.events)) for t in rough.time])
    error = float(np.abs(rough.seen[quiet][:, Seen.hot_face] - fine.seen[quiet][:, Seen.hot_face]).max())
    return seconds, error, int(end[End.steps]), int(end[End.lifts]), net.at.size


def many(count: int) -> tuple[float, float]:
    """Time of many evenings with differing inputs, s, and the memory they added, MB."""
    import resource

    prepared, curve = stack(), fire("boat-shed", "over-fired")
    draw = np.random.default_rng(1)
    inputs = np.tile(prepared.p, (count, 1))
    for slot in prepared.slots:
        inputs[:, slot.index] *= np.clip(draw.normal(1.0, 0.02, count), 0.9, 1.1)
    plates = np.tile(curve.plate, (count, 1))
    ends = np.zeros((count, len(End)))
    run_many(inputs[:4], prepared.q, curve.time, plates[:4], TOLERANCE, ends[:4])
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    seconds = best(lambda: run_many(inputs, prepared.q, curve.time, plates, TOLERANCE, ends), 1)
    return seconds, (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024.0


def lsoda() -> tuple[float, float]:
    """SciPy's LSODA on the same equations as plain Python, with the compiler switched off: time [s], error [K]."""
    environment = dict(os.environ, NUMBA_DISABLE_JIT="1")
    command = [sys.executable, str(Path(__file__).with_name("plain_python.py"))]
    ran = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    seconds, *faces = (float(word) for word in ran.stdout.split())
    prepared, curve = stack(), fire("boat-shed", "gentle")
    fine = evening(prepared, curve, 300.0, "held down", 1e-6)
    return seconds, float(np.abs(np.array(faces) - fine.seen[:, Seen.hot_face]).max())


def whole_process(cold: bool) -> float:
    """`hobwind check` as a whole process, s; cold: nothing compiled yet."""
    with tempfile.TemporaryDirectory() as home:
        environment = dict(os.environ)
        if cold:
            environment["HOBWIND_HOME"] = home
        command = [sys.executable, "-m", "hobwind", "check", str(ROOT / "examples" / "boat-shed.toml")]

        def act() -> None:
            subprocess.run(command, env=environment, capture_output=True, check=True)

        return best(act, 1 if cold else 5)


def sifting() -> str:
    """Rows on combinations of a bin, from a process of their own."""
    command = [sys.executable, str(Path(__file__).with_name("picking.py"))]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.rstrip()


def main() -> None:
    """Print the table."""
    print("hobwind speed, one run on this machine; errors are of the hot face, off the events, against a far finer run")
    calm = one_evening("boat-shed", "gentle", held_down=True)
    base = calm[0]

    def row(what: str, seconds: float, note: str) -> None:
        print(f"{what:<58}{seconds * 1e3:>11.2f} ms{seconds / base:>10.1f} x   {note}")

    row(
        "one 3 h evening, no guard action",
        base,
        f"error {calm[1]:.3f} K, {calm[2]} steps, {calm[4]} states",
    )
    for name, shape, cooler in (
        ("boat-shed", "over-fired", 0.0),
        ("boat-shed-hunting", "over-fired", 0.0),
        ("boat-shed-hunting", "gentle", 25.0),
        ("boat-shed-hunting", "usual", 0.0),
    ):
        t, error, steps, lifts, _ = one_evening(name, shape, cooler=cooler)
        row(f"one evening, {name}, {shape}", t, f"error {error:.3f} K, {steps} steps, {lifts} lifts")
    plates = np.linspace(290.0, 600.0, 60)
    row(
        "map of 60 plates, both branches, guard held down",
        best(lambda: settled_map(stack(), plates, "held down")),
        "closed to 1e-9",
    )
    row("map of 60 plates, both branches, guard free", best(lambda: settled_map(stack(), plates)), "closed to 1e-9")
    seconds, added = many(10_000)
    row("10,000 evenings with differing inputs, all cores", seconds, f"{added:.0f} MB more at the peak")
    slow, error = lsoda()
    row("LSODA, same equations in plain Python", slow, f"error {error:.3f} K")
    prepared, curve = stack(), fire("boat-shed", "over-fired")
    start = time.perf_counter()
    theirs = march_by(cvode, prepared, curve, np.arange(0.0, curve.time[-1], 20.0))
    row("CVODE, compiled rates called through Python", time.perf_counter() - start, f"1e-8 relative, {theirs.calls} calls")
    for what, seconds, note in [*guarding.rows(), *trusting.rows(), *keeping.rows(), *proving.rows()]:
        row(what, seconds, note)
    row("hobwind check, whole process, warm", whole_process(False), "")
    row("hobwind check, whole process, first ever (compiling)", whole_process(True), "")
    print(sifting())
    for what, figure, note in page_rows():
        print(f"{what:<58}{figure:>14}              {note}")
    print(
        "x: times the first row. Wanted: 1, 3 (five lifts), 25 (hunting) ms; map 3 ms; 10,000 in 10 s; check 1.2 s, first 20 s."
    )


if __name__ == "__main__":
    main()
