"""Sections of a build file as lines of TOML."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any


def section_lines(head: str, table: Mapping[str, Any], note: str | None = None) -> list[str]:
    """One section: a blank line, a note where there is one, the heading, and a line for each key."""
    rows = ["", *([note] if note else []), head]
    return rows + [f"{key} = {toml_value(value)}" for key, value in table.items()]


def toml_value(value: Any) -> str:
    """One value as TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key} = {toml_value(one)}" for key, one in value.items())
        return f"{{ {inside} }}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(toml_value(one) for one in value) + "]"
    return json.dumps(value, ensure_ascii=False)
