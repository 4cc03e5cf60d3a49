"""What the shop has to say, as text for an 80-column screen."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from .build import Build
from .shop.section import Section

WIDE, MOST_LINES = 79, 40


def _folded(text: str, indent: str = "  ") -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=indent, subsequent_indent=indent + "    ")


def shop_text(build: Build, sections: Sequence[Section], everything: bool = False) -> str:
    """Findings first, then section by section.

    Args:
        build: a checked build.
        sections: as the shop made them.
        everything: all of it, however long; otherwise forty lines.

    Returns:
        Text.
    """
    findings = [one for section in sections for one in section.findings]
    good = "nothing stands against making it; whether it lives: hobwind check"
    many = f"{len(findings)} finding{'' if len(findings) == 1 else 's'} in the shop"
    lines = [*_folded(f"{build.name}: {many if findings else good}", "")]
    lines += [line for one in findings for line in _folded(one, "")]
    blocks = [
        ["", section.title, *(line for text in section.lines for line in _folded(text))]
        for section in sections
        if section.lines
    ]
    whole = lines + [line for block in blocks for line in block]
    if everything or len(whole) <= MOST_LINES:
        return "\n".join(whole) + "\n"
    cut = whole[: MOST_LINES - 2]
    return "\n".join([*cut, "", f"{len(whole) - len(cut)} more lines: --all"]) + "\n"
