"""Learn: the heat ledger, and the equation behind every figure."""

from __future__ import annotations

from .table import Section

SECTION = Section(key="learn", title="Learn", says="Where every watt goes, and why.", template="not_here.html")
