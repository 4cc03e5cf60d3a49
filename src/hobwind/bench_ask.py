"""Readings typed at prompts: one question a blank, each answer checked at once, all of it kept as a readings file."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from .bench.forms import CHOICE, COUNT, INSTRUMENTS, LIST, PART, WORDS, Blank, Form, complaint_about, unit_of
from .build.reader import Notes
from .parts.catalogue import Shelf

Hear = Callable[[str], str]
Tell = Callable[[str], None]
BARE = re.compile(r"[-+]?\d+(?:[.,]\d+)?(?:[eE][-+]?\d+)?")


def ask_form(form: Form, hear: Hear, tell: Tell) -> dict[str, Any]:
    """Ask for every blank of a form.

    Args:
        form: of the test.
        hear: shows a question and gives back the answer.
        tell: shows a line.

    Returns:
        The table that a readings file of these answers would give.
    """
    notes = Notes(Shelf(Path()))
    table: dict[str, Any] = {}
    for blank in form.blanks:
        answer = _asked(blank, notes, hear, tell)
        if answer is not None:
            table[blank.key] = answer
    for group in form.groups:
        if group.key == INSTRUMENTS:
            tell("How far readings may be off; Enter keeps the usual.")
        elif group.single:
            tell(f"{group.key}: {group.says}. Enter at once leaves it out.")
        else:
            tell(f"{group.key}: {group.says}. Enter at once when there are no more.")
        rows: list[dict[str, Any]] = []
        while True:
            number = "" if group.single else f"{group.key} {len(rows) + 1}, "
            row: dict[str, Any] = {}
            first = True
            for blank in group.blanks:
                may_end = first and blank.needed and (group.single or len(rows) >= group.least)
                answer = _asked(blank, notes, hear, tell, number, may_end)
                if first and may_end and answer is None:
                    break
                first = False
                if answer is not None:
                    row[blank.key] = answer
            if not row:
                break
            rows.append(row)
            if group.single:
                break
        if rows and (rows[0] or not group.single):
            table[group.key] = rows[0] if group.single else rows
    return table


def _asked(blank: Blank, notes: Notes, hear: Hear, tell: Tell, number: str = "", may_end: bool = False) -> Any:
    """One answer as it would stand in a file; None when it was left out."""
    while True:
        typed = hear(_question(blank, number, may_end)).strip()
        if not typed:
            if may_end or not blank.needed:
                return None
            tell(f'An answer is needed, such as "{blank.example}".')
            continue
        answer = as_in_file(blank, typed)
        wrong = complaint_about(blank, answer, notes)
        if not wrong:
            return answer
        tell(f"{wrong[0].upper()}{wrong[1:]}.")


def _question(blank: Blank, number: str, may_end: bool) -> str:
    unit = unit_of(blank)
    parts = [f"{number}{blank.key}: {blank.says}"]
    if blank.kind == CHOICE:
        parts.append(f" ({' / '.join(word for word in blank.choices if word)})")
    elif unit:
        parts.append(f", {unit}")
    if may_end:
        parts.append(" [Enter ends]")
    elif blank.default:
        parts.append(f" [{blank.default}]")
    elif not blank.needed:
        parts.append(" [Enter leaves it out]")
    return "".join(parts)


def as_in_file(blank: Blank, typed: str) -> Any:
    """One answer as it would stand in a readings file.

    Args:
        blank: what was asked.
        typed: the answer; a bare figure takes the unit that was asked for.

    Returns:
        The value.
    """
    unit = unit_of(blank)
    if blank.kind == COUNT:
        return int(typed) if typed.isdigit() and len(typed) < 10 else typed
    if blank.kind in (CHOICE, WORDS, PART):
        return typed
    if blank.kind == LIST:
        return [_with_unit(one, unit) for one in re.split(r"[;\s]+(?=[\d+-])", typed) if one]
    return _with_unit(typed, unit)


def _with_unit(typed: str, unit: str) -> str:
    return f"{typed.replace(',', '.')} {unit}".strip() if BARE.fullmatch(typed) else typed


def readings_text(name: str, table: dict[str, Any]) -> str:
    """The answers as a readings file."""
    import tomlkit

    return f"# Readings for: hobwind bench {name}\n{tomlkit.dumps(table)}"
