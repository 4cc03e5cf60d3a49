"""The table of words: nothing told twice, nothing that no screen may say, and docs/words.md written from it."""

from __future__ import annotations

import re

from hobwind.words import HEADS, words, words_page
from test_layers import kept_off


def test_each_word_once_and_none_that_is_kept_off_screens() -> None:
    titles = [one.title for one in words()]
    assert len(titles) == len(set(titles)) > 100 and {one.whose for one in words()} == set(HEADS)
    said = " ".join(f"{one.title}: {one.plain}" for one in words())
    assert "`" not in said and not [word for word in kept_off() if re.search(rf"\b{re.escape(word)}\b", said, re.I)]


def test_what_stands_round_the_tables_is_kept() -> None:
    page = f"# Before\n\nText.\n\n## {HEADS['trade']}\n\nquagga\n\n## {HEADS['ours']}\n\nquagga\n\n## After\n\nAn end.\n\n## Last\n"
    found = words_page(page)
    assert found.startswith("# Before\n\nText.\n\n## Trade") and found.endswith("\n\n## After\n\nAn end.\n\n## Last\n")
    assert "quagga" not in found and "| riser | " in found and words_page(found) == found
