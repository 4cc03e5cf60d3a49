"""The open network: closed at every node, and solved again by a circuit simulator that knows nothing of hobwind."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from builds import EXAMPLES, NAMES, stack
from hobwind.build import load_build
from hobwind.stack.network import PLATE, network
from hobwind.stack.prepare import Stack, prepare

ZERO = 273.15
MEASURED = (("sink", "part", '"processor cooler with heat pipes"'),)
BARREL = (("sink", "part", '"finned barrel 80"'), ("screws", "across", '"50 mm"'))


def simulate(netlist: str, folder: Path) -> dict[str, float]:
    """Node voltages of a netlist, by ngspice in batch mode."""
    program = shutil.which("ngspice")
    assert program is not None, "ngspice is missing: apt-get install ngspice (make test does it)"
    file = folder / "net.cir"
    file.write_text(netlist)
    ran = subprocess.run([program, "-b", str(file)], capture_output=True, text=True, timeout=60, check=False)
    values = {name: float(value) for name, value in re.findall(r"^v\((\w+)\) = (\S+)$", ran.stdout, re.M)}
    assert values, ran.stdout[-2000:] + ran.stderr[-2000:]
    return values


def apart(prepared: Stack, plate: float, folder: Path, guard: str = "free") -> float:
    """Largest difference between hobwind's and the simulator's temperatures, K."""
    net = network(prepared, plate, guard)
    solved = simulate(net.netlist, folder)
    room = prepared.p[0]
    worst = 0.0
    for node, kelvin in net.nodes.items():
        if node in solved:
            base = plate if node == "patch" or node.startswith("ring") else room
            worst = max(worst, abs(kelvin - base - solved[node]))
    assert len(solved) >= 10
    return worst


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("plate", [60.0, 150.0, 220.0])
def test_simulator_finds_the_same_temperatures(name: str, plate: float, tmp_path: Path) -> None:
    # 0.02 K: the project's own mark for this check; both solve the same laws, so only rounding should stand between.
    assert apart(stack(name), plate + ZERO, tmp_path) < 0.02


def test_simulator_agrees_on_a_lifted_fan(tmp_path: Path) -> None:
    assert apart(stack("boat-shed"), 300.0 + ZERO, tmp_path, "held up") < 0.02


@pytest.mark.parametrize(
    "path",
    sorted(path for path in EXAMPLES.glob("*.toml") if not path.stem.endswith(("-bin", ".columns"))),
    ids=lambda p: p.stem,
)
def test_every_node_closes(path: Path) -> None:
    """Heat left over at any node, as a share of what enters, stays below the solver's own 1e-9."""
    prepared = prepare(load_build(path))
    for plate in (100.0, 180.0, 330.0):
        net = network(prepared, plate + ZERO, "held down")
        entering = next(float(one.watts) for one in net.links if one.says == "seat")
        assert entering > 1.0
        assert max(abs(left) for left in net.left_over.values()) < 1e-9 * entering


def test_netlist_starts_far_from_the_answer(tmp_path: Path) -> None:
    """The starting values are rounded to ten kelvin: without the laws the simulator would stay there."""
    net = network(stack(), 200.0 + ZERO)
    guesses = dict(re.findall(r"V\((\w+)\)=(-?\d+)", net.netlist.split(".nodeset")[1].splitlines()[0]))
    solved = simulate(net.netlist, tmp_path)
    assert max(abs(float(guesses[node]) - solved[node]) for node in guesses) > 2.0


def test_netlist_answers_to_its_laws(tmp_path: Path) -> None:
    """Twice the plate conductivity in one law must move the simulator's answer: no frozen numbers."""
    net = network(stack(), 200.0 + ZERO)
    lines = net.netlist.splitlines()
    at = next(i for i, line in enumerate(lines) if " patch riser1 " in line)
    name, first, second, law = lines[at].split(" ", 3)
    lines[at] = f"{name} {first} {second} I=0.5 * ({law.removeprefix('I=')})"
    before, after = simulate(net.netlist, tmp_path), simulate("\n".join(lines), tmp_path)
    assert before["hot1"] - after["hot1"] > 3.0
    assert after["patch"] > before["patch"]


def test_links_name_their_formula_and_source() -> None:
    for link in network(stack(), 180.0 + ZERO).links:
        assert link.formula and link.source and link.says
        assert link.first != link.second
    assert PLATE in {link.first for link in network(stack(), 180.0 + ZERO).links}
