"""Diary: The fan's winters: minutes above the limit, firings, what to check."""

from __future__ import annotations

from .table import Section

SECTION = Section(
    key="diary",
    title="Diary",
    says="The fan's winters: minutes above the limit, firings, what to check.",
    template="not_here.html",
)
