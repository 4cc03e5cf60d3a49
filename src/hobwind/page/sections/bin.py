"""Bin: Parts on hand, bench tests, and what they can become."""

from __future__ import annotations

from .table import Section

SECTION = Section(
    key="bin", title="Bin", says="Parts on hand, bench tests, and what they can become.", template="not_here.html"
)
