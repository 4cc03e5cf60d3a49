"""The sections of the page, in the order in which they are listed. How to add one: the docstring of `hobwind.page`."""

from __future__ import annotations

from . import bin, build, diary, evening, guard, learn, odds, shop, trial
from .table import Section, Visit

SECTIONS: tuple[Section, ...] = (
    build.SECTION, bin.SECTION, evening.SECTION, guard.SECTION, odds.SECTION, shop.SECTION, trial.SECTION, diary.SECTION,
    learn.SECTION,
)  # fmt: skip

__all__ = ["SECTIONS", "Section", "Visit"]
