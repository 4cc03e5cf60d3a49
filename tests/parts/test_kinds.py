"""Parts from tables: every catalogue part is made, and every fault of a table is told at once."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields
from typing import Any

import pytest
from catalogue_tables import PARTS, TABLES

from hobwind.errors import PartError, Problem
from hobwind.parts.catalogue import Shelf
from hobwind.parts.kinds import MAKERS, Material
from hobwind.parts.part_fields import FIELDS, NEEDS
from hobwind.parts.reading import part_from_table

SHELF = Shelf()


def read(kind: str, table: dict[str, Any]) -> tuple[Any, list[str]]:
    """A part and the problems met, as text."""
    problems: list[Problem] = []
    part = part_from_table(kind, "mine", table, "in the build", kind, SHELF.find, problems)
    return part, [str(problem) for problem in problems]


@pytest.mark.parametrize(("kind", "name"), PARTS, ids=lambda text: text)
def test_every_catalogue_part_is_made(kind: str, name: str) -> None:
    part = SHELF.find(kind, name)
    assert (part.name, part.origin, part.says) == (name, "catalogue", TABLES[kind][name]["says"])
    given = {field: entry[1] for field, entry in TABLES[kind][name].items() if isinstance(entry, list)}
    assert given.items() <= dict(part.sources).items()
    with pytest.raises(FrozenInstanceError):
        part.name = "other"


@pytest.mark.parametrize("kind", sorted(FIELDS))
def test_records_have_exactly_the_fields_that_are_read(kind: str) -> None:
    common = {"name", "origin", "says", "caution", "sources"}
    assert {one.name for one in fields(MAKERS[kind])} - common == set(FIELDS[kind])


def test_names_become_parts_and_counts_whole_numbers() -> None:
    screw = SHELF.find("screw", "M4 stainless")
    assert isinstance(screw.material, Material) and screw.material.finish.emissivity.value > 0.0
    assert type(SHELF.find("module", "cooler 40 mm").couples) is int
    assert SHELF.find("material", "aluminium 6082").limit is None


def test_all_problems_at_once() -> None:
    table = TABLES["module"]["cooler 40 mm"] | {
        "seebek": "0.05 V/K",
        "width": "40 kg",
        "depth": ["40 mm"],
        "couples": "12.5",
        "conductance": "-0.5 W/K",
        "grade": 7.5j,
    }
    del table["thickness"]
    part, problems = read("module", table)
    told = "\n".join(problems)
    assert part is None and len(problems) == 7
    assert "did you mean 'seebeck'" in told
    assert "module.width: got" in told and "module.thickness: missing" in told
    assert "whole number from 1 to 2000" in told and "allowed is" in told


@pytest.mark.parametrize("emissivity", ["1.2", "-0.1", "nan", "0", "0.9 K", "", True, None, [], {}, ["0.9", 3]])
def test_no_emissivity_outside_its_range_and_no_crash(emissivity: object) -> None:
    part, problems = read("finish", {"emissivity": emissivity})
    assert part is None and len(problems) == 1 and problems[0].startswith("finish.emissivity: ")


def test_bare_numbers_and_sources() -> None:
    part, problems = read("finish", {"emissivity": 0.9})
    assert not problems and part.emissivity.value == 0.9 and part.origin == "in the build"
    part, _ = read("finish", {"emissivity": ["0.9 ± 0.1", "bench"]})
    assert part.sources["emissivity"] == "bench" and part.emissivity.half == 0.1


@pytest.mark.parametrize("shape", sorted(NEEDS))
def test_each_sink_shape_needs_its_own_sizes(shape: str) -> None:
    _, problems = read("sink", {"shape": shape, "material": "copper", "finish": "stove paint"})
    assert [problem.split(":")[0] for problem in problems] == [
        f"sink.{field}" for field in FIELDS["sink"] if field in NEEDS[shape]
    ]


def test_an_unknown_material_is_one_more_problem() -> None:
    _, problems = read("washer", TABLES["washer"]["M3 stainless"] | {"material": "unobtainium"})
    assert len(problems) == 1 and 'no material named "unobtainium"' in problems[0]
    with pytest.raises(PartError):
        SHELF.find("material", "unobtainium")
