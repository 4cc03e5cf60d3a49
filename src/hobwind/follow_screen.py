"""Following and comparing as text for an 80-column screen."""

from __future__ import annotations

import textwrap

from . import __version__
from .build import digest
from .studies.compare import Comparison
from .studies.follow import Followed

WIDE = 79
LABEL, COLUMN = 24, 26


def _cells(label: str, first: str, second: str) -> list[str]:
    """One row of two columns, each wrapped within its own width."""
    left, right = textwrap.wrap(first, COLUMN) or [""], textwrap.wrap(second, COLUMN) or [""]
    rows = max(len(left), len(right))
    left, right = left + [""] * (rows - len(left)), right + [""] * (rows - len(right))
    return [
        f"{label if i == 0 else '':<{LABEL}}{a:<{COLUMN + 1}}{b}".rstrip()
        for i, (a, b) in enumerate(zip(left, right, strict=True))
    ]


def compare_text(found: Comparison, every: bool = False) -> str:
    """Two builds side by side within 40 lines.

    Args:
        found: the comparison.
        every: show the parts in which they do not differ, too.

    Returns:
        Text, a newline at its end.
    """
    first, second = found.first.build, found.second.build
    lines = _cells("", first.name, second.name)
    if first.name == second.name:
        lines = _cells("", first.file, second.file)
    alike = [row.what for row in found.parts if not row.differs]
    for row in found.parts:
        if row.differs or every:
            lines += _cells(row.what, row.first, row.second)
    if alike and not every:
        lines += textwrap.wrap(f"alike: {', '.join(alike)}", WIDE, subsequent_indent="  ")
    if first.stove != second.stove:
        lines.append("Each is judged on its own stove: the two stoves differ.")
    lines.append("")
    for row in found.figures:
        lines += _cells(row.what, row.first, row.second)
    lines.append(f"hobwind {__version__}, builds {digest(first)} and {digest(second)}")
    return "\n".join(lines) + "\n"


def follow_text(found: Followed) -> str:
    """What to build instead, what to do differently, and what becomes of it, within 40 lines.

    Args:
        found: the following.

    Returns:
        Text, a newline at its end.
    """
    lines = textwrap.wrap(f"{found.theirs.name} ({found.theirs.file}) with what is in {found.bin.name}", WIDE)
    lines.append("")
    for row in found.matches:
        differs = "; ".join(row.differences) or ("as theirs" if row.on_hand != "none" and row.theirs != "none" else "")
        told = f"{row.theirs} -> {row.on_hand}" + (f": {differs}" if differs else "")
        lines += textwrap.wrap(told, WIDE, initial_indent=f"{row.what:<13}", subsequent_indent=" " * 15)
    if found.let_go:
        lines += textwrap.wrap(
            f"The nearest parts do not go together; freely chosen instead: {', '.join(found.let_go)}.",
            WIDE,
            subsequent_indent="  ",
        )
    lines.append("")
    for one in found.todo:
        lines += textwrap.wrap(f"- {one}", WIDE, subsequent_indent="  ")
    lines += ["", *textwrap.wrap(found.judged.sentence, WIDE)]
    for finding in [one for one in found.judged.findings if one.severity != "advice"][:2]:
        lines += textwrap.wrap(f"{finding.severity}: {finding.says}.", WIDE, subsequent_indent="        ")
    lines += [f"{'on your stove':<{LABEL}}{'theirs':<{COLUMN + 1}}yours"]
    wanted = (
        "starts at a plate of",
        "air at 200 °C",
        "air at the usual plate",
        "hottest face",
        "least margin",
        "guard lifts at",
        "guard hunts",
    )
    for figure in found.comparison.figures:
        if figure.what in wanted:
            lines += _cells(figure.what, figure.first, figure.second)
    lines.append("Its whole verdict: --take FILE, then hobwind check FILE.")
    return "\n".join(lines[:40]) + "\n"
