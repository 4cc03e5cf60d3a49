"""Guards side by side and the fault drill as text for an 80-column screen."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence

from . import __version__
from .build import Build, digest
from .lifting.foot import strip_for
from .studies.at_modules import neighbours
from .studies.drill import Drill, Drilled, Single
from .studies.drill_faults import FAULTS
from .studies.file_keys import in_tables
from .studies.guarded import Guarded
from .studies.guards import Guards
from .studies.guards_batch import TRAVEL
from .units import head_of, in_column, in_inches

WIDE, MOST_LINES, LABEL = 79, 40, 15
ZERO = 273.15
NAME, COLUMNS = 15, (6, 7, 6, 6, 6, 6, 5, 6, 5, 6, 5)  # widths: the kind, then one for each figure
UNITS = ("", "°C", "m³/h", "°C", "°C", "", "", "°C", "", "", "K", "")  # of the columns that inches change
HEAD = (
    ("", "starts", "air at", "face,", "face,", "min", "lifts", "sits", "force", "tip", "least", "harm"),
    ("", "", "200 °C", "usual", "fired", "above", "fired", "back", "left", "left", "left", f"/{len(FAULTS)}"),
    ("", "°C", "m³/h", "°C", "°C", "limit", "usual", "°C", "N", "°", "K", ""),
)


def _line(cells: Sequence[str], setting: str) -> str:
    cells = [in_column(cell, unit, setting) if unit else cell for cell, unit in zip(cells, UNITS, strict=True)]
    return _row(cells)


def _degrees(kelvin: float | None) -> str:
    return "-" if kelvin is None else f"{kelvin - ZERO:.0f}"


def _head(setting: str) -> list[str]:
    """The head of the table, its last line with the units."""
    units = [head_of(unit, setting) if unit else cell for cell, unit in zip(HEAD[-1], UNITS, strict=True)]
    return [_row(cells) for cells in (*HEAD[:-1], units)]


def _row(cells: Sequence[str]) -> str:
    return (cells[0].ljust(NAME) + "".join(cell.rjust(width) for cell, width in zip(cells[1:], COLUMNS, strict=True))).rstrip()


def _cells(one: Guarded, best: bool, setting: str) -> str:
    lifts = f"{one.lifts_fired}/{one.lifts_usual}" + ("h" if one.hunts else "")
    air = "hunts" if one.air is None else f"{one.air * 3600.0:.0f}"
    back = _degrees(one.sits_back) if one.lifts_fired == 0 or one.sits_back is not None else "never"
    force = "-" if one.force_in_hand is None else f"{one.force_in_hand:.0f}"
    return _line(
        (
            f"{'>' if best else ' '} {one.kind}",
            _degrees(one.solved.starts_at),
            air,
            _degrees(one.usual_peak),
            _degrees(one.fired_peak),
            f"{one.minutes_above:.0f}",
            lifts,
            back,
            force,
            f"{math.degrees(one.tip_margin):.0f}",
            f"{one.least.margin:.0f}",
            "-" if one.harmed is None else f"{len(one.harmed)}",
        ),
        setting,
    )


def _wrapped(label: str, text: str) -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=label.ljust(LABEL), subsequent_indent=" " * LABEL)


def _foot(build: Build) -> str:
    return f"hobwind {__version__}, build {digest(build)}"


def guards_text(found: Guards, every: bool = False, setting: str = "metric") -> str:
    """The comparison of guards within 40 lines of 79 columns, unless `every` asks for all.

    Args:
        found: the comparison.
        every: also parts, reasons against each, and the lines of the build file.
        setting: "metric", or "inch" for the table in °F and cfm; its sentences are changed where all text is printed.

    Returns:
        Text, a newline at its end.
    """
    build, best = found.build, found.best
    lines = textwrap.wrap(f"{build.name} ({build.file}): guards side by side", WIDE)
    lines += ["", *_head(setting), *(_cells(one, one is best, setting) for one in found.rows), ""]
    tail = [*_recommended(found), "", *_notes(found)]
    lines += _told(found, None if every else MOST_LINES - len(lines) - 1 - len(tail))
    lines += ["", *tail]
    if every:
        for one in found.rows:
            lines += ["", *_wrapped(one.kind, "; ".join(one.shortcomings()) or "nothing against it while all its parts work")]
            lines += [f"    {line}" for line in in_tables(one.keys)]
    return "\n".join(lines) + "\n"


def _told(found: Guards, room: int | None) -> list[str]:
    """What each kind was sized to: with its parts, or where `room` is too small the recommended one first, and whole ones only."""
    sized = [one for one in found.rows if one.parts]
    full = [line for one in sized for line in _sizes(one, True)]
    if room is None or len(full) <= room:
        return full
    blocks = [_sizes(one, one is found.best) for one in sorted(sized, key=lambda one: one is not found.best)]
    if sum(map(len, blocks)) <= room:
        return [line for block in blocks for line in block]
    told: list[str] = []
    for block in blocks:
        if len(told) + len(block) < room:
            told += block
    return [*told, "... the rest with --all"]


def _sizes(one: Guarded, parts: bool) -> list[str]:
    needs = f"; needs {', '.join(one.parts)}" if parts and one.parts != (one.says,) else ""
    return _wrapped(one.kind, one.says + needs)


def _recommended(found: Guards) -> list[str]:
    if found.best is None:
        return _wrapped("Recommended", f"none: {found.reason}.")
    strip = strip_for(found.best.build)
    foot = "" if strip is None else f" Its foot: {strip.says}."
    return _wrapped("Recommended", f"{found.best.kind}: {found.reason}.{foot}")


def _notes(found: Guards) -> list[str]:
    text = (
        "face: the hottest module's; fired: over-fired evening; h: hunts; force left: weakest element less weight, spring, "
        "friction; tip left: further slope before it falls; least left: limit less peak of the part nearest it, "
        "settled (held at a plate for hours) or evening; harm: single faults that harm it (hobwind faults tells which). "
        "--all: lines for the build file. "
        f"{found.tried} sizes tried; {_foot(found.build)}"
    )
    return textwrap.wrap(text, WIDE)


def amount_text(one: Drilled) -> str:
    """How far a part is from its limit, without sign."""
    unit = "mm" if one.part == TRAVEL else "K"
    size = abs(one.margin)
    return f"{size:.0f} {unit}" if size >= 1.0 else f"{size:.1f} {unit}"


# Words short enough for a column.
SHORT = {
    "blade slower than usual": "blade slower", "module, hot face": "hot face", "module, cold face": "cold face",
    "motor body": "motor",
    "wax element": "wax", TRAVEL: "wax travel",
}  # fmt: skip


def short_part(build: Build, part: str) -> str:
    """A part's name short enough for a column."""
    words = {one.part: one.word for one in neighbours(build)}
    return words.get(part) or SHORT.get(part, part)


def sign_text(one: Single) -> str:
    """The earliest sign, and how long before the limit it shows."""
    if not one.seen:
        return "no sign"
    first = one.seen[0]
    says = SHORT.get(first.says, first.says)
    if one.limit_time is None:
        return f"{says} at {first.time / 60.0:.0f} min"
    before = (one.limit_time - first.time) / 60.0
    return f"{says} {before:.0f} min before" if before > 0.5 else f"{says}, too late"


def _fault_row(build: Build, one: Single, setting: str) -> str:
    drilled = one.drilled
    word = "lives" if drilled.lives else "KILLS"
    least = f"{short_part(build, drilled.part)} {'-' if drilled.margin < 0.0 else '+'}{amount_text(drilled)}"
    least = in_inches(least) if setting == "inch" else least
    name, peak = (
        in_inches(drilled.name) if setting == "inch" else drilled.name,
        in_column(_degrees(drilled.peak), "°C", setting),
    )
    return f"{name:<21}{word:<6}{peak:>4}{drilled.minutes_above:>4.0f}  {least:<16}{sign_text(one)}"


def drill_text(found: Drill, every: bool = False, setting: str = "metric") -> str:
    """The fault drill within 40 lines of 79 columns, unless `every` asks for all.

    Args:
        found: the drill.
        every: also what is assumed of each fault, its lines for the build file, and every pair.
        setting: "metric", or "inch" for the tables in °F; its sentences are changed where all text is printed.

    Returns:
        Text, a newline at its end.
    """
    build, healthy = found.build, found.healthy
    lines = textwrap.wrap(f"{build.name} ({build.file}): one thing going wrong in the over-fired evening", WIDE)
    state = f"{healthy.part} {amount_text(healthy)} {'below' if healthy.margin > 0.0 else 'past'} its limit"
    if healthy.lives:
        lines += textwrap.wrap(f"With nothing wrong every part lives as the over-fired evening goes: {state}.", WIDE)
    else:
        lines += textwrap.wrap(f"It does not live even with nothing wrong: {state}. First of all: hobwind guards", WIDE)
    lines += ["", f"{'':<27}face min  nearest", f"{'':<27}  {head_of('°C', setting)} over its limit       first sign"]
    lines += [_fault_row(build, one, setting) for one in found.singles] + [""]
    tail = [*textwrap.wrap(pairs_text(found), WIDE), _foot(build)]
    told = _killers(found, every) if healthy.lives else []
    room = MOST_LINES - len(lines) - len(tail)
    lines += told if every or len(told) <= room else [*told[: room - 1], "... the rest with --all"]
    lines += tail
    if every:
        lines += ["", "Assumed:"]
        for one in found.singles:
            lines += textwrap.wrap(f"{one.drilled.name}: {one.fault.says} ({one.fault.source})", WIDE, subsequent_indent="    ")
        lines += ["", "Pairs with a fault of the guard:"]
        for pair in found.pairs:
            word = "lives" if pair.lives else "KILLS"
            peak, part = in_column(_degrees(pair.peak), "°C", setting), short_part(build, pair.part)
            lines.append(f"{pair.name:<46}{word:<7}{peak:>5}{pair.minutes_above:>6.0f}  {part}"[:WIDE])
    return "\n".join(lines) + "\n"


def _killers(found: Drill, every: bool) -> list[str]:
    lines: list[str] = []
    for one in found.killers:
        if one.cure:
            lines += textwrap.wrap(f"{one.drilled.name}: harmless by {one.cure}", WIDE, subsequent_indent="    ")
            lines += [f"        {line}" for line in in_tables(one.keys)] if every else []
    left = [one.drilled.name for one in found.killers if not one.cure]
    if left:
        lines += textwrap.wrap(f"Nothing tried here makes harmless: {', '.join(left)}.", WIDE, subsequent_indent="    ")
    return lines


def pairs_text(found: Drill) -> str:
    """What two faults at once come to, in a sentence."""
    if not found.pairs:
        return "No guard, so no pairs with a fault of the guard."
    killing = sum(1 for pair in found.pairs if not pair.lives)
    fresh = found.fatal_pairs
    says = f"Of {len(found.pairs)} pairs with a fault of the guard {killing} kill"
    if not fresh:
        return says + ", each of them with a fault that kills alone." if killing else says + "."
    return says + f"; {len(fresh)} of them although neither does alone: {_names(fresh)}."


def _names(pairs: Sequence[Drilled]) -> str:
    shown = [pair.name for pair in pairs[:3]]
    return ", ".join(shown) + (f" and {len(pairs) - 3} more" if len(pairs) > 3 else "")
