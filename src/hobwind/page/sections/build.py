"""Build: the living drawing, key figures, findings and their mends."""

from __future__ import annotations

from .table import Section

SECTION = Section(key="build", title="Build", says="The drawing, the key figures and what to mend.", template="not_here.html")
