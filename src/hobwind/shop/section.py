"""One section of what the shop hands out: printed, as JSON and, where it has one, as a sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Section:
    """Title, text lines, figures for JSON, and what is wrong, each finding one sentence."""

    key: str
    title: str
    lines: tuple[str, ...]
    data: dict[str, Any]
    findings: tuple[str, ...]
