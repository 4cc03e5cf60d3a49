"""Odds: How sure the figures are, and which measurement would narrow them."""

from __future__ import annotations

from .table import Section

SECTION = Section(
    key="odds",
    title="Odds",
    says="How sure the figures are, and which measurement would narrow them.",
    template="not_here.html",
)
