"""What counts as a figure when figures and whys are counted: a number with a unit that stands by itself, not in a sentence."""

from __future__ import annotations

import re

UNITS = (
    "°C|°F|K|kW|mW|W|mV/K|mV|µV/K|V/K|V|mA|A|mΩ|Ω|ohm|mm²|cm²|mm|cm|µm|m/s|m³/h|cfm|km|m|rpm|mN·m/A|mN·m|µN·m|N·m|N/mm|N|MPa|kg/m³|kg|g|"
    "minutes|min|times|hours|h|s|J/K|K/W|mW/K|W/K|W/\\(m K\\)|W/mK|%|°|K/min|K a year"
)
NUMBER = r"[-+−±≈]?\s?\d[\d.,]*(?:e[-+]?\d+)?"
ALONE = re.compile(rf"{NUMBER}(?:\s?(?:±|to|–|\.\.)\s?{NUMBER})?\s?(?:{UNITS})(?![\w/·])[^.:;!?]{{0,60}}")


def is_bare(text: str) -> bool:
    """Whether a text is a figure by itself: it begins with a number and its unit, and no sentence follows."""
    return bool(ALONE.fullmatch(" ".join(text.split())))
