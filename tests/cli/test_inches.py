"""°F and inches on every command that shows figures in sentences."""

from __future__ import annotations

import re

import pytest
from typer.testing import CliRunner

from builds import EXAMPLES
from hobwind.cli import app

SHED, BARE = str(EXAMPLES / "boat-shed.toml"), str(EXAMPLES / "boat-shed-no-guard.toml")


@pytest.mark.parametrize(
    "words",
    [
        ("check", SHED), ("compare", SHED, BARE), ("follow", SHED, str(EXAMPLES / "boat-shed-bin.toml")),
        ("bench", "wax", str(EXAMPLES / "bench" / "tractor-element.toml")),
    ],
    ids=lambda words: words[0],
)  # fmt: skip
def test_no_figure_stays_metric(words: tuple[str, ...]) -> None:
    """The same figures, reworded: no °C, m³/h or bare millimetre is left, but for the names of parts."""
    before, after = (CliRunner().invoke(app, [*words, *more]).stdout for more in ((), ("--inch",)))
    assert re.search(r"\d\s+(°C|m³/h|mm)(?![\w²³/])", before)
    names = r"(blade \d+ mm|cooler \d+ mm|pin fins|kettle)[^\n]*"
    assert not re.search(r"\d\s+(°C|m³/h|mm)(?![\w²³/])", re.sub(names, "", after)), after
    assert "°F" in after
