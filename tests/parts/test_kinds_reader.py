"""The reader of parts: what it takes, what it refuses, and in which words."""

from __future__ import annotations

import math
from typing import Any

import pytest
from catalogue_tables import TABLES
from hypothesis import given, settings
from hypothesis import strategies as st

from hobwind.errors import BuildError, Problem
from hobwind.parts.catalogue import KINDS, Shelf
from hobwind.parts.part_fields import FIELDS
from hobwind.parts.reading import part_from_table
from hobwind.units import Spread

SHELF = Shelf()


def read(kind: str, table: dict[str, Any]) -> tuple[Any, list[str]]:
    """A part and the problems met, as text."""
    problems: list[Problem] = []
    part = part_from_table(kind, "mine", table, "in the build", kind, SHELF.find, problems)
    assert (part is None) == bool(problems)
    return part, [str(problem) for problem in problems]


def first(kind: str) -> dict[str, Any]:
    """The first table of a kind in the catalogue."""
    return dict(next(iter(TABLES[kind].values())))


@pytest.mark.parametrize(
    ("kind", "field", "value", "says"),
    [
        (
            "module",
            "seebeck",
            "51",
            'module.seebeck: got "51" without a unit; a seebeck such as "51 ± 8 mV/K" is wanted',
        ),
        ("module", "seebeck", "51 mV", "which measures something else"),
        ("module", "seebeck", "2 V/K", 'got "2 V/K"; allowed is 0.1 mV/K to 1000 mV/K'),
        ("module", "couples", "0", 'got "0"; a whole number from 1 to 2000 is wanted'),
        ("module", "couples", "127.5", "a whole number from 1 to 2000 is wanted"),
        ("module", "hot_limit", "150", "without a unit (°C, K or °F)"),
        ("module", "hot_limit", "20 °C", "module.hot_limit: got"),
        ("module", "width", ["40 mm"], "module.width: got ['40 mm']; text in quotes is wanted"),
        ("module", "width", ["40 mm", "me", "too"], "text in quotes is wanted"),
        ("module", "width", None, "module.width: got None"),
        ("module", "width", "1,250 mm", "which may mean 1.25 mm or 1250 mm"),
        ("module", "says", 3, "module.says: got 3; text in quotes is wanted"),
        ("module", "color", "white", "module.color: unknown key of a module"),
        ("module", "tickness", "4 mm", "unknown key of a module; did you mean 'thickness'?"),
        ("material", "finish", 0.3, "material.finish: got 0.3; the name of a finish is wanted"),
        ("material", "finish", "bright aluminum", 'Nearest: "bright aluminium"'),
        (
            "sink",
            "shape",
            "round",
            'sink.shape: got "round"; one of plate fins, annular fins, pin fins, measured is wanted',
        ),
        ("sink", "stands", "upside down", "one of on a base, open below is wanted"),
        ("wax", "opens", "-300 °C", "colder than absolute zero"),
        ("wax", "hysteresis", "0 K", "wax.hysteresis"),
        ("finish", "emissivity", "1.01", 'finish.emissivity: got "1.01"; allowed is 0.01 to 1'),
    ],
)
def test_one_wrong_field_is_one_problem(kind: str, field: str, value: object, says: str) -> None:
    part, problems = read(kind, first(kind) | {field: value})
    assert part is None and len(problems) == 1 and says in problems[0]


@pytest.mark.parametrize("kind", KINDS)
def test_an_empty_part_lists_every_field_it_needs(kind: str) -> None:
    _, problems = read(kind, {})
    wanted = [name for name, how in FIELDS[kind].items() if how.needed]
    assert [problem.split(":")[0] for problem in problems] == [f"{kind}.{name}" for name in wanted]
    assert all("missing; a " + kind + " needs it" in problem for problem in problems)


@pytest.mark.parametrize("kind", KINDS)
def test_limits_themselves_are_allowed(kind: str) -> None:
    units = {"length": "m", "number": "", "count": "", "temperature": "K", "mass": "kg", "power": "W", "voltage": "V"}
    for name, how in FIELDS[kind].items():
        if how.kind not in units or name not in first(kind):
            continue
        for figure, good in ((how.low, True), (how.high, True), (how.high * 1.01 + 1.0, False), (how.low - 1.0, False)):
            _, problems = read(kind, first(kind) | {name: f"{figure!r} {units[how.kind]}"})
            assert bool(problems) is not good, (name, figure)


def test_values_are_si() -> None:
    module, _ = read("module", first("module") | {"seebeck": "47 ± 2 mV/K (1s)", "thickness": "1/8 in", "hot_limit": "302 °F"})
    assert module.seebeck == Spread(pytest.approx(0.047), pytest.approx(0.004), "normal")
    assert module.thickness.value == pytest.approx(0.003175) and module.hot_limit.value == pytest.approx(423.15)
    assert module.width == SHELF.find("module", next(iter(TABLES["module"]))).width


def test_a_shape_with_a_source_needs_the_same_sizes() -> None:
    table = {"material": "copper", "finish": "stove paint"}
    _, bare = read("sink", table | {"shape": "pin fins"})
    _, sourced = read("sink", table | {"shape": ["pin fins", "bench"]})
    assert bare == sourced and len(bare) == 7


def test_a_wrong_part_that_is_leaned_on_is_told_here() -> None:
    def broken(kind: str, name: str) -> Any:
        raise BuildError("finish.toml", (Problem(f"{kind} {name}.emissivity", "missing"),))

    problems: list[Problem] = []
    assert part_from_table("material", "mine", first("material"), "in the build", "here", broken, problems) is None
    assert [str(problem) for problem in problems] == [f"finish.toml: finish {first('material')['finish']}.emissivity: missing"]


ODD = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=12), st.lists(st.text(max_size=5), max_size=3),
    st.sampled_from(["5 mm", "0.9", "nan", "1e400", "20 °C", "0 K", "1 V/K", "copper", "plate fins", "-1"]),
)  # fmt: skip


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(KINDS), st.data())
def test_any_table_is_a_part_or_a_list_of_problems(kind: str, data: st.DataObject) -> None:
    names = st.one_of(st.sampled_from(sorted(FIELDS[kind])), st.text(max_size=6))
    table = first(kind) | data.draw(st.dictionaries(names, ODD, max_size=4))
    part, problems = read(kind, table)
    assert all(len(problem) < 400 for problem in problems)
    if part is not None:
        assert all(math.isfinite(value.value) for value in vars(part).values() if isinstance(value, Spread))
