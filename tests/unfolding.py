"""Messages as they were before the screen folded them on words."""

from __future__ import annotations

import re


def unfolded(text: str) -> str:
    """The same lines with their folds taken out; none was longer than a screen, but for a word that must stay whole."""
    long = [line for line in text.splitlines() if len(line) > 79 and " " in line.strip()]
    assert not long, long
    return re.sub(r"\n {4}", " ", text)
