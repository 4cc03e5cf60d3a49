"""Trial: A measured fire laid over what was predicted."""

from __future__ import annotations

from .table import Section

SECTION = Section(key="trial", title="Trial", says="A measured fire laid over what was predicted.", template="not_here.html")
