"""What `hobwind guards --all` prints goes into a build file as it stands, and reads back as the guard that was tried."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import Any

import pytest

from builds import text_of
from hobwind.build import build_from_text
from hobwind.build.editing import put_lines
from hobwind.studies.file_keys import changed_keys, in_tables
from hobwind.units import plain

LINES = (
    'riser[1].length = "150 mm"',
    'joint.hot.fill = "zinc oxide grease"',
    'seat.shim_count = 2',
    'guard.stop = "3 mm"',
    'guard.pin_length = "80 mm"',
)  # fmt: skip


def pasted(text: str, lines: list[str]) -> str:
    """Each head looked up in the file, its keys put under it in place of the old ones; a head that is missing at the end."""
    rows, at = text.splitlines(), 0
    for line in lines:
        if line.startswith("["):
            head, _, words = line.partition("  # number ")
            places = [i for i, row in enumerate(rows) if row.strip() == head]
            number = int(words.split()[0]) if words else 1
            if not places:
                rows += ["", head]
            at = places[number - 1] if places else len(rows) - 1
        else:
            key = line.split(" = ")[0]
            end = next((i for i in range(at + 1, len(rows)) if rows[i].startswith("[")), len(rows))
            old = [i for i in range(at + 1, end) if rows[i].startswith(f"{key} =")]
            rows[old[0] if old else at + 1 : (old[0] if old else at) + 1] = [line]
    return "\n".join(rows) + "\n"


def test_lines_are_toml_and_read_back() -> None:
    told = in_tables(LINES)
    assert told[0] == "[[riser]]  # number 1 of the file" and told[1] == 'length = "150 mm"'
    read: dict[str, Any] = tomllib.loads("\n".join(told))
    assert read["riser"] == [{"length": "150 mm"}] and read["guard"] == {"stop": "3 mm", "pin_length": "80 mm"}
    mine, theirs = build_from_text(pasted(text_of(), told)), build_from_text(put_lines(text_of(), LINES))
    assert mine == theirs and mine != build_from_text(text_of())
    assert mine.riser[0].length.value == pytest.approx(0.15) and mine.guard.stop.value == pytest.approx(3e-3)


def test_a_second_table_is_told_from_the_first() -> None:
    assert in_tables(['modules[2].part = "cooler 40 mm 6 A"', 'riser[1].width = "50 mm"', 'riser[2].width = "40 mm"']) == [
        "[[modules]]  # number 2 of the file", 'part = "cooler 40 mm 6 A"', "[[riser]]  # number 1 of the file", 'width = "50 mm"',
        "[[riser]]  # number 2 of the file", 'width = "40 mm"',
    ]  # fmt: skip


def test_a_length_that_differs_in_its_last_bits_only_is_no_change() -> None:
    """0.042 + 0.030 is not 0.072 to the last bit, but "72.0 mm" in place of "72.0 mm" is no line for a file."""
    build = build_from_text(text_of())
    told = [replace(build, guard=replace(build.guard, pivot_distance=plain(one))) for one in (0.072, 0.042 + 0.030, 0.0721)]
    assert told[0].guard.pivot_distance != told[1].guard.pivot_distance and changed_keys(*told[:2]) == ()
    assert changed_keys(told[0], told[2]) == ('guard.pivot_distance = "72.1 mm"',)
