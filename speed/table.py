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

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from builds import example, stack  # noqa: E402  (the tests' folder has to be put on the path first)
from hobwind.compiled import kernel  # noqa: E402
from hobwind.stack.curves import PlateCurve, built_in  # noqa: E402
from hobwind.stack.evening import evening, run_many  # noqa: E402
from hobwind.stack.fields import HELD_DOWN, P, Q, Seen  # noqa: E402
from hobwind.stack.keeping import End  # noqa: E402
from hobwind.stack.march import MOST_EVENTS, march  # noqa: E402
from hobwind.stack.steady import settled_map  # noqa: E402
from reference_march import build_net, cvode, march_by  # noqa: E402
from scipy.integrate import solve_ivp  # noqa: E402

TOLERANCE = 0.05


def best(act: Callable[[], object], times: int = 7) -> float:
    """Shortest of several runs, s."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        act()
        found.append(time.perf_counter() - start)
    return min(found)


@kernel
def march_only(net, p, q, times, plates, tolerance, grid, record, events, end):  # type: ignore[no-untyped-def]
    """One evening without looking at it afterwards."""
    y = np.full(net.size, p[0])
    y[: net.foot] = 0.0
    march(net, p, q, times, plates, y, tolerance, grid, record, events, end)


def fire(name: str, shape: str) -> PlateCurve:
    """One of the built-in evenings of an example's stove."""
    stove = example(name).stove
    return built_in(shape, stove.room.value, stove.usual_plate.value, stove.worst_plate.value)


def one_evening(name: str, shape: str, held_down: bool = False) -> tuple[float, float, int, int, int]:
    """Time of one march [s], its error against a much finer one [K], steps, lifts, states."""
    prepared, curve = stack(name), fire(name, shape)
    q = prepared.q.copy()
    if held_down:
        q[Q.guard] = HELD_DOWN
    net = build_net(prepared.p, q)
    grid, record = np.empty(0), np.empty((0, net.size + 3))
    events, end = np.zeros((MOST_EVENTS, 4)), np.zeros(len(End))

    def act() -> None:
        march_only(net, prepared.p, q, curve.time, curve.plate, TOLERANCE, grid, record, events, end)

    act()
    seconds = best(act)
    guard = "held down" if held_down else "free"
    rough, fine = evening(prepared, curve, 20.0, guard, TOLERANCE), evening(prepared, curve, 20.0, guard, 1e-5)
    quiet = np.array([all(abs(t - e.time) > 5.0 for e in (*rough.events, *fine.events)) for t in rough.time])
    error = float(np.abs(rough.seen[quiet][:, Seen.hot_face] - fine.seen[quiet][:, Seen.hot_face]).max())
    return seconds, error, int(end[End.steps]), int(end[End.lifts]), net.size


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
    """SciPy's LSODA on the same equations called from Python, time [s] and error [K] of the hot face."""
    prepared, curve = stack(), fire("boat-shed", "gentle")
    q = prepared.q.copy()
    q[Q.guard] = HELD_DOWN
    net, p, n = build_net(prepared.p, q), prepared.p, prepared.size
    from hobwind.stack.rates import rates

    slow, rate = rates.py_func, np.empty(n)
    start = np.full(n, p[P.room])
    start[: net.foot] = 0.0
    grid = np.arange(0.0, curve.time[-1], 20.0)

    def rhs(t: float, y: np.ndarray) -> np.ndarray:
        slow(net, p, q, y, float(np.interp(t, curve.time, curve.plate)), 0, p[P.room], 0, rate)
        return rate

    def act(tolerance: float) -> np.ndarray:
        return solve_ivp(rhs, (0.0, curve.time[-1]), start, "LSODA", grid, rtol=0.0, atol=tolerance, max_step=600.0).y[net.hot[0]]

    begun = time.perf_counter()
    rough = act(2e-2)
    seconds = time.perf_counter() - begun
    rhs_fast = rates

    def fine_rhs(t: float, y: np.ndarray) -> np.ndarray:
        rhs_fast(net, p, q, np.ascontiguousarray(y), float(np.interp(t, curve.time, curve.plate)), 0, p[P.room], 0, rate)
        return rate.copy()

    fine = solve_ivp(fine_rhs, (0.0, curve.time[-1]), start, "Radau", grid, rtol=1e-9, atol=1e-8, max_step=120.0).y[net.hot[0]]
    return seconds, float(np.abs(rough - fine).max())


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


def main() -> None:
    """Print the table."""
    print("hobwind speed, one run on this machine; errors are of the hot face, off the events, against a far finer run")
    calm = one_evening("boat-shed", "gentle", held_down=True)
    base = calm[0]

    def row(what: str, seconds: float, note: str) -> None:
        print(f"{what:<58}{seconds * 1e3:>11.2f} ms{seconds / base:>10.1f} x   {note}")

    row("one 3 h evening, no guard action", base, f"error {calm[1]:.3f} K, {calm[2]} steps, {calm[4]} states")
    for name, shape in (("boat-shed", "over-fired"), ("boat-shed-hunting", "over-fired"), ("boat-shed-hunting", "usual")):
        t, error, steps, lifts, _ = one_evening(name, shape)
        row(f"one evening, {name}, {shape}", t, f"error {error:.3f} K, {steps} steps, {lifts} lifts")
    plates = np.linspace(290.0, 600.0, 60)
    row("map of 60 plates, both branches, guard held down", best(lambda: settled_map(stack(), plates, "held down")), "closed to 1e-9")
    row("map of 60 plates, both branches, guard free", best(lambda: settled_map(stack(), plates)), "closed to 1e-9")
    seconds, added = many(10_000)
    row("10,000 evenings with differing inputs, all cores", seconds, f"{added:.0f} MB more at the peak")
    slow, error = lsoda()
    row("LSODA, same equations in Python", slow, f"error {error:.3f} K")
    prepared, curve = stack(), fire("boat-shed", "over-fired")
    start = time.perf_counter()
    theirs = march_by(cvode, prepared, curve, np.arange(0.0, curve.time[-1], 20.0))
    row("CVODE, compiled rates called through Python", time.perf_counter() - start, f"1e-8 relative, {theirs.calls} calls")
    row("hobwind check, whole process, warm", whole_process(False), "")
    row("hobwind check, whole process, first ever (compiling)", whole_process(True), "")
    print("x: times the first row. Targets: 1, 3 (five lifts), 25 ms (hunting); map 3 ms; 10,000 in 10 s; check 1.2 s, first 20 s.")


if __name__ == "__main__":
    main()
