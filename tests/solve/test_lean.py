"""Lean kernels count no references: none may make an array or be given one back, or that would never be freed."""

from __future__ import annotations

import ast
from collections.abc import Iterator

import numpy as np
from numba.core.runtime import _nrt_python, rtsys

from builds import ROOT, example
from hobwind.stack.batch_settled import STRIDES, settle_many
from hobwind.stack.evening import run_many
from hobwind.stack.fields import Seen
from hobwind.stack.keeping import End
from hobwind.stack.prepare import prepare
from hobwind.studies.guards_batch import fire_of

ARRAYS = {"Floats", "Ints", "NDArray", "Net", "Draft", "Wired", "Any"}


def _functions() -> dict[str, ast.FunctionDef]:
    found = {}
    for folder in ("physics", "stack"):
        for path in sorted((ROOT / "src" / "hobwind" / folder).glob("*.py")):
            for node in ast.parse(path.read_text("utf-8")).body:
                if isinstance(node, ast.FunctionDef):
                    found[node.name] = node
    return found


def _gives_an_array(function: ast.FunctionDef) -> bool:
    assert function.returns is not None, function.name
    return any(isinstance(node, ast.Name) and node.id in ARRAYS for node in ast.walk(function.returns))


def _is_lean(function: ast.FunctionDef) -> bool:
    return any(isinstance(one, ast.Name) and one.id.startswith("lean_") for one in function.decorator_list)


def _called(function: ast.FunctionDef) -> Iterator[str]:
    for node in ast.walk(function):
        if isinstance(node, ast.Call):
            yield (
                node.func.id
                if isinstance(node.func, ast.Name)
                else node.func.attr
                if isinstance(node.func, ast.Attribute)
                else ""
            )


def test_a_lean_function_is_handed_no_array():
    """Neither does it hand one back, nor does anything that it calls."""
    every = _functions()
    lean = [one for one in every.values() if _is_lean(one)]
    assert len(lean) > 40
    for one in lean:
        assert not _gives_an_array(one), one.name
        for name in _called(one):
            assert name not in every or not _gives_an_array(every[name]), f"{one.name} calls {name}"


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
