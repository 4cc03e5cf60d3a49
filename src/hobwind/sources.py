"""Where numbers and formulas come from: the table behind every source key."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources

FLAGS = {
    "read": "seen in a published text",
    "memory": "recalled, not looked up",
    "exact": "follows from a formula or a definition",
    "practice": "common practice of the trade, no printed source",
}


@dataclass(frozen=True)
class Source:
    """One source: its key, what it is, and its flag, one of `FLAGS`."""

    key: str
    says: str
    flag: str

    @property
    def told(self) -> str:
        """The source in words, with how it was had where that is not plain from them."""
        return self.says if self.flag in ("exact", "practice") or self.key == "memory" else f"{self.says} ({self.flag})"


@cache
def sources() -> Mapping[str, Source]:
    """Every source by its key, in the order of the table."""
    text = (resources.files("hobwind") / "sources.toml").read_text("utf-8")
    return {key: Source(key, row["says"], row["flag"]) for key, row in tomllib.loads(text).items()}


def told(key: str) -> str:
    """A source in words; what is no key (such as "trial" with a date) is given back as it is."""
    known = sources().get(key)
    return key if known is None else known.told


def sources_page() -> str:
    """The text of docs/sources.md."""
    flags = "; ".join(f"**{flag}** = {says}" for flag, says in FLAGS.items())
    head = (
        "# Sources\n\nEvery number in the catalogue and every formula in the code names a key from this table, which is written from\n"
        "`src/hobwind/sources.toml` by `make docs`. Makers' sheets are cited by what they are, not by whose they are.\n"
        f"Flags: {flags}.\n\n| key | citation | flag |\n|---|---|---|\n"
    )
    rows = [f"| {one.key} | {k}. {one.says} | {one.flag} |" for k, one in enumerate(sources().values(), start=1)]
    return head + "\n".join(rows) + "\n"
