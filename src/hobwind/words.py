"""What things are called: the trade's words and our own, each with its meaning."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

HEADS = {"trade": "Trade words, used as they are", "ours": "Our own words"}


@dataclass(frozen=True)
class Word:
    """One entry: the word, or several of the same meaning; what it means; whose it is, a key of `HEADS`."""

    names: tuple[str, ...]
    says: str
    whose: str

    @property
    def title(self) -> str:
        """The word, or all of them."""
        return ", ".join(self.names)

    @property
    def plain(self) -> str:
        """What it means, for a screen."""
        return self.says.replace("`", "")


@cache
def words() -> tuple[Word, ...]:
    """Every word, in the order of the table."""
    told = tomllib.loads((resources.files("hobwind") / "words.toml").read_text("utf-8"))
    return tuple(Word(tuple(name.split(", ")), says, whose) for whose in HEADS for name, says in told[whose].items())


def words_page(page: str) -> str:
    """The text of docs/words.md with its tables of words anew.

    Args:
        page: the page as it stands; what stands before and after these tables is kept.

    Returns:
        The page.
    """
    head, rest = page.split(f"## {HEADS['trade']}")
    tail = "\n## ".join(rest.split(f"## {HEADS['ours']}")[1].split("\n## ")[1:])
    tables = []
    for whose, title in HEADS.items():
        rows = "\n".join(f"| {one.title} | {one.says} |" for one in words() if one.whose == whose)
        tables.append(f"## {title}\n\n| word | meaning |\n|---|---|\n{rows}\n")
    return head + "\n".join([*tables, f"## {tail}"])
