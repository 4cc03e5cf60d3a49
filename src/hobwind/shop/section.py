"""One topic of the shop's paper: what it is called, its lines, its figures, what it has found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Section:
    """One topic: key, title, lines for people, data with units in the keys, findings."""

    key: str
    title: str
    lines: tuple[str, ...]
    data: dict[str, Any]
    findings: tuple[str, ...]
