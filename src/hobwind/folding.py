"""Messages folded at the screen's width: on words, hanging as findings do, what must stay whole left whole."""

from __future__ import annotations

import os
import textwrap
from collections.abc import Iterable

WIDE = 79  # columns; no line is longer, whatever the screen
HANG = "    "
NARROWEST = 20  # columns; a screen that says less is not believed
GLUE = "\0"


def columns(stream: object) -> int:
    """How wide a stream's lines may be: its terminal's width, at most 79; 79 where it is none."""
    try:
        wide = os.get_terminal_size(stream.fileno()).columns  # type: ignore[attr-defined]
    except (AttributeError, OSError, ValueError):
        return WIDE
    return min(wide, WIDE) if wide >= NARROWEST else WIDE


def folded(text: str, wide: int = WIDE, whole: Iterable[str] = ()) -> str:
    """A message of one or more lines, each folded on words.

    Args:
        text: of the message.
        wide: columns.
        whole: what is never broken though it has spaces, such as paths; a word longer than a line stays whole as well.

    Returns:
        The lines, joined.
    """
    for one in sorted({one for one in whole if " " in one}, key=len, reverse=True):
        text = text.replace(one, one.replace(" ", GLUE))
    lines = []
    for line in text.split("\n"):
        indent = line[: len(line) - len(line.lstrip(" "))]
        lines += textwrap.wrap(
            line, wide, initial_indent="", subsequent_indent=indent + HANG, break_long_words=False, break_on_hyphens=False
        ) or [""]
    return "\n".join(lines).replace(GLUE, " ")
