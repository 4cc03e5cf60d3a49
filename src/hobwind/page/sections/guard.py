"""Guard: Kinds of guard side by side, and where the element sits."""

from __future__ import annotations

from .table import Section

SECTION = Section(
    key="guard", title="Guard", says="Kinds of guard side by side, and where the element sits.", template="not_here.html"
)
