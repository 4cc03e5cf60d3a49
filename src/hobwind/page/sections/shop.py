"""Shop: Sheets at full size, threads, wiring and the order of work."""

from __future__ import annotations

from .table import Section

SECTION = Section(
    key="shop", title="Shop", says="Sheets at full size, threads, wiring and the order of work.", template="not_here.html"
)
