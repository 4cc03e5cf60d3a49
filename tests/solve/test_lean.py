"""Lean kernels count no references: none may make an array or be given one back, or that would never be freed."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pytest
from numba.core.runtime import _nrt_python, rtsys

from builds import ROOT, example
from hobwind.stack.batch_settled import STRIDES, settle_many
from hobwind.stack.evening import run_many
from hobwind.stack.fields import Seen
from hobwind.stack.keeping import End
from hobwind.stack.prepare import prepare
from hobwind.studies.guards_batch import fire_of

ARRAYS = {"Floats", "Ints", "NDArray", "Net", "Draft", "Wired", "Any"}


Place = tuple[str, str]  # module, such as "stack.rates", and function


@dataclass
class _Module:
    """What one module's source defines and what its imports call by another name: functions, and whole modules."""

    functions: dict[str, ast.FunctionDef]
    imported: dict[str, Place]
    modules: dict[str, str]


def _read(name: str, source: str) -> _Module:
    tree, package = ast.parse(source), name.split(".")[:-1]
    made = _Module({node.name: node for node in tree.body if isinstance(node, ast.FunctionDef)}, {}, {})
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.level:
            above = package[: len(package) + 1 - node.level]
            place = ".".join([*above, *([node.module] if node.module else [])])
            for one in node.names:
                made.imported[one.asname or one.name] = (place, one.name)
                made.modules[one.asname or one.name] = f"{place}.{one.name}"
    return made


def _ours() -> dict[str, _Module]:
    folders = [ROOT / "src" / "hobwind" / folder for folder in ("physics", "stack")]
    paths = [path for folder in folders for path in sorted(folder.glob("*.py"))]
    return {name: _read(name, path.read_text("utf-8")) for path in paths for name in [f"{path.parent.name}.{path.stem}"]}


def _gives_an_array(function: ast.FunctionDef) -> bool:
    assert function.returns is not None, function.name
    return any(isinstance(node, ast.Name) and node.id in ARRAYS for node in ast.walk(function.returns))


def _is_lean(function: ast.FunctionDef) -> bool:
    return any(isinstance(one, ast.Name) and one.id.startswith("lean_") for one in function.decorator_list)


def _called(every: dict[str, _Module], place: Place) -> Iterator[Place]:
    """Functions of ours that a function calls, each by its module and name."""
    here = every[place[0]]
    for node in ast.walk(here.functions[place[1]]):
        if not isinstance(node, ast.Call):
            continue
        if isinstance(node.func, ast.Name):
            found = (place[0], node.func.id) if node.func.id in here.functions else here.imported.get(node.func.id)
        elif isinstance(node.func, ast.Attribute) and isinstance(node.func.value, ast.Name):
            found = (here.modules.get(node.func.value.id, ""), node.func.attr)
        else:
            found = None
        if found is not None and found[0] in every and found[1] in every[found[0]].functions:
            yield found


def _lean(every: dict[str, _Module]) -> list[Place]:
    return [(name, one) for name, module in every.items() for one, made in module.functions.items() if _is_lean(made)]


def _handed(every: dict[str, _Module], start: Place) -> list[Place]:
    """The way from a lean function to the first one, however deep, that hands an array back; empty where none does."""
    ways, seen = [[start]], {start}
    while ways:
        way = ways.pop(0)
        if _gives_an_array(every[way[-1][0]].functions[way[-1][1]]):
            return way
        for one in _called(every, way[-1]):
            if one not in seen:
                seen.add(one)
                ways.append([*way, one])
    return []


def test_a_lean_function_is_handed_no_array():
    """Neither does it hand one back, nor does anything that it calls, nor what that calls, to the end."""
    every = _ours()
    lean = _lean(every)
    assert len(lean) > 40
    assert {one: way for one in lean if (way := _handed(every, one))} == {}
    # Imports are followed: from the march by way of rates and elements down to the physics.
    reached, rest = {("stack.rates", "rates")}, [("stack.rates", "rates")]
    while rest:
        found = {one for one in _called(every, rest.pop()) if one not in reached}
        reached |= found
        rest += found
    assert {module for module, _ in reached} >= {"stack.elements", "stack.sinks", "physics.convection", "physics.air"}


@pytest.mark.parametrize("far", ["from ..physics import deep as d\n", "from ..physics.deep import made as rows\n"])
def test_an_array_handed_back_two_calls_down_is_seen(far: str):
    """By whatever name it is imported; a function of the same name elsewhere is another one."""
    call = "d.made" if "as d" in far else "rows"
    near = f"{far}def middle(x: float) -> float:\n    return {call}(x)[0]\ndef made(x: float) -> float:\n    return x\n"
    top = "from .near import middle, made\n@lean_kernel\ndef top(x: float) -> float:\n    return {}(x)\n"
    deep = "def made(x: float) -> Floats:\n    return np.zeros(3)\n"

    def of(name: str) -> dict[str, _Module]:
        sources = {"stack.top": top.format(name), "stack.near": near, "physics.deep": deep}
        return {place: _read(place, source) for place, source in sources.items()}

    assert _lean(of("middle")) == [("stack.top", "top")]
    assert _handed(of("middle"), ("stack.top", "top")) == [
        ("stack.top", "top"),
        ("stack.near", "middle"),
        ("physics.deep", "made"),
    ]
    assert _handed(of("made"), ("stack.top", "top")) == []


def test_nothing_is_left_over_after_an_evening():
    """As many arrays freed as made, by the compiler's own count, over evenings and rests of fans that lift and hunt."""
    build = example("boat-shed-hunting")
    prepared, fire = prepare(build), fire_of(build, "over-fired")
    inputs, plates = np.tile(prepared.p, (6, 1)), np.tile(fire.plate, (6, 1))
    ends, seen = np.zeros((6, len(End))), np.zeros((6, len(Seen)))

    def live() -> None:
        run_many(inputs, prepared.q, fire.time, plates, 0.2, ends)
        settle_many(inputs, prepared.q, plates[:, 0] + 200.0, STRIDES, seen)

    live()
    _nrt_python.memsys_enable_stats()
    try:
        before = rtsys.get_allocation_stats()
        live()
        after = rtsys.get_allocation_stats()
    finally:
        _nrt_python.memsys_disable_stats()
    assert (ends[:, End.lifts] >= 3).all()
    made, freed = after.mi_alloc - before.mi_alloc, after.mi_free - before.mi_free
    assert made > 100
    assert freed == made
