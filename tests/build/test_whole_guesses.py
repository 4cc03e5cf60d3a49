"""A made-whole build keeps a guess about the maker's own solder a guess."""

from __future__ import annotations

import pytest

from builds import build_with, example
from hobwind.build import Build, build_from_text, whole_text


def solder_lines(build: Build) -> list[str]:
    wiring = whole_text(build).split("[wiring]")[1].split("\n[")[0]
    return [line for line in wiring.splitlines() if line.startswith("solder")]


def test_solder_of_the_leads_is_written_only_where_it_was_given() -> None:
    """183 °C is the eutectic of tin and lead: given, it stands; left open, the file leaves it open and reads back as the same."""
    assert solder_lines(example()) == []
    (told,) = solder_lines(build_with(("wiring", "solder", '"227 °C"')))
    assert told.startswith('solder = "227 °C"')
    again = build_from_text(whole_text(example()), "whole.toml")
    assert again.wiring.solder.value == pytest.approx(example().wiring.solder.value)
    assert solder_lines(again) == []
