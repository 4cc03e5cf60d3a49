"""Builds whose sheets the shop tests read: a round riser, a spreader too large for one sheet, and some that cannot be made."""

from __future__ import annotations

import re
from functools import lru_cache

from builds import changed, text_of
from hobwind.build import Build, build_from_text

SPREADER = '[spreader]\nwidth = "320 mm"\ndepth = "240 mm"\nthickness = "6 mm"\nmaterial = "aluminium 6082"\n\n[sink]'


def _made(text: str) -> Build:
    return build_from_text(text, "shop.toml")


@lru_cache
def round_riser(circle: str = "66 mm", *changes: tuple[str, str, str]) -> Build:
    """One module on a round bar, four screws on a circle, the wax element within."""
    text = text_of("boat-shed-hunting")
    round_bar = '[[riser]]\nshape = "cylinder"\ndiameter = "75 mm"\nlength = "90 mm"\nmaterial = "aluminium 6082"\n\n'
    text = re.sub(r"^\[\[riser\]\].*?(?=^\[)", round_bar, text, flags=re.M | re.S)
    for section in (r"\[hot_plate\]", r"\[joint\.hot_plate\]"):
        text = re.sub(rf"^{section}.*?(?=^\[)", "", text, flags=re.M | re.S)
    text = re.sub(r"^along = .*$", f'circle = "{circle}"', re.sub(r"^across = .*\n", "", text, flags=re.M), flags=re.M)
    text = text.replace("count = 2\n", "count = 1\n")
    text = text.replace('free_length = "12 mm"', 'free_length = "20 mm"')
    for section, key, value in changes:
        text = changed(text, section, key, value)
    return _made(text)


@lru_cache
def wide_spreader(count: int = 4) -> Build:
    """A spreader of 320 x 240 mm: neither A4 nor Letter holds it. Two screws make the pattern one-handed."""
    text = text_of().replace("[sink]", SPREADER)
    return _made(changed(text, "screws", "count", str(count)))


@lru_cache
def with_changes(*changes: tuple[str, str, str], name: str = "boat-shed") -> Build:
    """An example with keys changed."""
    text = text_of(name)
    for section, key, value in changes:
        text = changed(text, section, key, value)
    return _made(text)
