"""°F and inches on every command that shows figures in sentences."""

from __future__ import annotations

import re

import pytest
from typer.testing import CliRunner

from builds import EXAMPLES
from hobwind.cli import app
from hobwind.parts.catalogue import KINDS, Shelf
from hobwind.units import in_inches

FOUND, FIRE = (str(EXAMPLES / "retrofit" / f"boat-shed-found-{what}") for what in ("fan.toml", "fire.csv"))
SHED, BARE = str(EXAMPLES / "boat-shed.toml"), str(EXAMPLES / "boat-shed-no-guard.toml")


@pytest.mark.parametrize(
    "words",
    [
        ("check", SHED), ("compare", SHED, BARE), ("follow", SHED, str(EXAMPLES / "boat-shed-bin.toml")),
        ("guards", BARE, "--all"), ("faults", BARE, "--all"), ("retrofit", FOUND, FIRE),
        ("bench", "wax", str(EXAMPLES / "bench" / "tractor-element.toml")),
    ],
    ids=lambda words: words[0],
)  # fmt: skip
def test_no_figure_stays_metric(words: tuple[str, ...]) -> None:
    """The same figures, reworded: no °C, m³/h or bare millimetre is left, but for the names of parts."""
    before, after = (CliRunner().invoke(app, [*words, *more]).stdout for more in ((), ("--inch",)))
    assert re.search(r"\d\s+(°C|m³/h|mm)(?![\w²³/])", before)
    names = r"(blade \d+ mm|cooler \d+ mm|generator \d+ mm|pin fins|kettle)[^\n]*"
    assert not re.search(r"\d\s+(°C|m³/h|mm)(?![\w²³/])", re.sub(names, "", after)), after
    assert "°F" in after
    head = r"^(?=.*(?:°C|m³/h|mm|K)\b)[ ]*(?:(?:°C|°F|m³/h|mm|K|N|°|cfm|in|min|over|its|limit|first|sign|usual)[ ]*)+$"
    assert not re.search(head, after, re.M)  # a table's units stand in its head
    assert words[0] not in ("guards", "faults", "retrofit") or re.search(head, before, re.M)


NAMED = "blade 200 mm 3"


def test_names_of_parts_are_what_the_file_holds(tmp_path, monkeypatch) -> None:
    """`hobwind worth --inch` advises parts by the names that the catalogue has, whatever they measure."""
    monkeypatch.chdir(tmp_path)
    assert CliRunner().invoke(app, ["begin", "fan"]).exit_code == 0
    said = CliRunner().invoke(app, ["worth", "fan.toml", "--count", "8", "--inch", "--all"]).stdout
    named = re.findall(r'such as "(.+?)"', re.sub(r"\s+", " ", said))
    assert named and set(named) <= {name for kind in KINDS for name in Shelf().names(kind)} and NAMED in named
    assert " in" in said and "cfm" in said


def test_a_name_folded_onto_two_lines_stays() -> None:
    """Finished texts are reworded as they stand on the screen; 200 mm are 7.87 in, but not in a name."""
    assert in_inches("a blade of 200 mm", (NAMED,)) == "a blade of 7.87 in"
    for text in (f'such as "{NAMED}"', 'such as "blade\n   200 mm 3"', 'such as "blade 200\n   mm 3"'):
        assert in_inches(text, (NAMED,)) == text
        assert in_inches(text, ("blade 200 mm", NAMED)) == text == in_inches(text, (NAMED, "blade 200 mm"))
