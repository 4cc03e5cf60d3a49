"""°F and inches on every command that shows figures in sentences."""

from __future__ import annotations

import re

import pytest
from typer.testing import CliRunner

from builds import EXAMPLES
from hobwind.cli import app

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
