"""Every public formula says what goes in, what comes out, in which unit, and who said so."""

from __future__ import annotations

import inspect
import pkgutil
import re
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import pytest

from hobwind import physics

SOURCES = Path(__file__).parents[1] / "docs" / "sources.md"
KEYS = set(re.findall(r"^\| ([a-z0-9-]+) \| \d+\. ", SOURCES.read_text("utf-8"), re.MULTILINE))
MODULES = [import_module(f"hobwind.physics.{found.name}") for found in pkgutil.iter_modules(physics.__path__)]
FUNCTIONS = [
    function
    for module in MODULES
    for name, function in inspect.getmembers(module, inspect.isfunction)
    if not name.startswith("_") and function.__module__ == module.__name__
]


def named(function: Callable[..., object]) -> str:
    return f"{function.__module__.rsplit('.', 1)[1]}.{function.__name__}"


def section(text: str, title: str) -> list[str]:
    """Lines under `title:` that stand further in than it."""
    found = re.search(rf"^{title}:\n((?:    .*\n?)+)", text, re.MULTILINE)
    return [] if found is None else found.group(1).rstrip("\n").split("\n")


def test_all_files_are_seen() -> None:
    names = {module.__name__.rsplit(".", 1)[1] for module in MODULES}
    expected = "air contact convection drive fins plate radiation spreading thermoelectric wax"
    assert names >= set(expected.split())
    assert len(FUNCTIONS) > 50  # about sixty stand there; a broken search would find few or none


@pytest.mark.parametrize("function", FUNCTIONS, ids=named)
def test_arguments_are_told_with_units(function: Callable[..., object]) -> None:
    text = inspect.getdoc(function) or ""
    entries = re.split(r"\n(?=    \w+:)", "\n".join(section(text, "Args")))
    told = [entry.strip().split(":")[0] for entry in entries if entry]
    assert told == list(inspect.signature(function).parameters), named(function)
    for entry in entries:
        assert re.search(r"\[[^\[\]]+\]$", entry), f"{named(function)}: {entry.strip()!r} ends without a [unit]"


@pytest.mark.parametrize("function", FUNCTIONS, ids=named)
def test_result_is_told_with_unit(function: Callable[..., object]) -> None:
    result = "\n".join(section(inspect.getdoc(function) or "", "Returns"))
    assert re.search(r"\[[^\[\]]+\]$", result), f"{named(function)}: Returns {result!r} ends without a [unit]"


@pytest.mark.parametrize("function", FUNCTIONS, ids=named)
def test_source_is_listed(function: Callable[..., object]) -> None:
    found = re.search(r"^Source: (.+)\.$", inspect.getdoc(function) or "", re.MULTILINE)
    assert found is not None, f"{named(function)} names no source"
    missing = set(found.group(1).split(", ")) - KEYS
    assert not missing, f"{named(function)}: {sorted(missing)} not in docs/sources.md"


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_files_say_what_they_model(module: object) -> None:
    assert len(inspect.getdoc(module) or "") > 80  # a title alone is shorter: what is modelled, what is left out
