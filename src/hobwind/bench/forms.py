"""What a bench test asks for. One table of blanks serves the readings file, a CSV, typed prompts and the printed sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..build.reader import Notes, Section
from ..units import read_quantity, show
from .measured import Measured

CHOICE, LIST, WORDS, PART, COUNT = "choice", "list", "words", "part", "count"
INSTRUMENTS = "instruments"
MOST_ROWS = 2000


@dataclass(frozen=True)
class Blank:
    """One figure to fill in.

    Args:
        key: its name in files.
        says: what to read.
        kind: a dimension, or one of the words above.
        example: what an answer looks like.
        low: smallest allowed. [SI]
        high: largest allowed. [SI]
        default: used when left out; "" leaves it unknown; None means it must be given.
        of: dimension of a list, kind of a part.
        choices: the words of a choice.
        doubt: the answer may carry a ±; a plain reading may not, since that stands with the instruments.
    """

    key: str
    says: str
    kind: str
    example: str
    low: float = 0.0
    high: float = 0.0
    default: str | None = None
    of: str = ""
    choices: tuple[str, ...] = ()
    doubt: bool = False

    @property
    def needed(self) -> bool:
        """Whether it must be given."""
        return self.default is None


@dataclass(frozen=True)
class Group:
    """Readings of one sort: a heading, one line on it, its blanks; `least` rows are wanted, `single` allows one only."""

    key: str
    says: str
    blanks: tuple[Blank, ...]
    least: int = 0
    single: bool = False


@dataclass(frozen=True)
class Form:
    """All blanks of one test."""

    blanks: tuple[Blank, ...] = ()
    groups: tuple[Group, ...] = ()

    def group(self, key: str) -> Group | None:
        """The group of that heading."""
        return next((one for one in self.groups if one.key == key), None)


@dataclass(frozen=True)
class Filled:
    """A form filled in: SI figures (None where left out), words, parts; rows by group; the instruments as text."""

    top: Mapping[str, Any]
    rows: Mapping[str, list[dict[str, Any]]]
    tools: tuple[str, ...]

    def one(self, key: str) -> dict[str, Any] | None:
        """The only row of a single group; None when it was left out."""
        return self.rows[key][0] if self.rows[key] else None


def fill(notes: Notes, form: Form, table: Mapping[str, Any]) -> Filled:
    """Read a table into a form; every fault is noted.

    Args:
        notes: collects the problems.
        form: what is asked for.
        table: as it stands in the file.

    Returns:
        The form, filled in; worth something only when no problem was noted.
    """
    top = Section(notes, "file", table)
    top.known += [group.key for group in form.groups]
    plain = {blank.key: _answer(top, blank) for blank in form.blanks}
    top.close()
    rows = {group.key: _group(notes, group, table) for group in form.groups}
    tools = form.group(INSTRUMENTS)
    told = () if tools is None or notes.problems else tuple(_tool(blank, rows[INSTRUMENTS][0]) for blank in tools.blanks)
    return Filled(plain, rows, told)


def _tool(blank: Blank, row: Mapping[str, Any]) -> str:
    """One instrument's limit: the usual one as it is written, another as it was given."""
    value = row[blank.key]
    if blank.default and abs(read_quantity(blank.default, blank.kind).value - value) <= 1e-12 * abs(value):
        return f"{blank.key} ± {blank.default}"
    return f"{blank.key} ± {f'{100.0 * value:.3g} %' if blank.kind == 'number' else show(value, blank.kind)}"


def _group(notes: Notes, group: Group, table: Mapping[str, Any]) -> list[dict[str, Any]]:
    given = table.get(group.key)
    if group.single:
        if given is None and group.key != INSTRUMENTS:
            if group.least:
                notes.complain(group.key, f"missing; a section [{group.key}] is wanted: {group.says}")
            return []
        sections = [Section(notes, group.key, given)]
    else:
        listed = [] if given is None else given
        if not isinstance(listed, list) or len(listed) < group.least or len(listed) > MOST_ROWS:
            got = f"got {len(listed)}" if isinstance(listed, list) else "missing"
            least = (
                f"at least {group.least}" if isinstance(listed, list) and len(listed) < MOST_ROWS else f"at most {MOST_ROWS}"
            )
            notes.complain(group.key, f"{got}; {least} readings headed [[{group.key}]] are wanted: {group.says}")
            return []
        sections = [Section(notes, f"{group.key}[{i + 1}]", row) for i, row in enumerate(listed)]
    rows = []
    for section in sections:
        rows.append({blank.key: _answer(section, blank) for blank in group.blanks})
        section.close()
    return rows


def _answer(section: Section, blank: Blank) -> Any:
    if blank.kind == CHOICE:
        return section.choice(blank.key, blank.choices, blank.default)
    if blank.kind == WORDS:
        said = section.words(blank.key, blank.default or "", 200)
        if blank.needed and not said:
            section.notes.complain(f"{section.place}.{blank.key}", f'missing; text such as "{blank.example}" is wanted')
        return said
    if blank.kind == PART:
        if blank.default == "" and not section.has(blank.key):
            section.known.append(blank.key)
            return None
        return section.named(blank.key, blank.of, blank.default)
    if blank.kind == COUNT:
        if blank.default == "" and not section.has(blank.key):
            section.known.append(blank.key)
            return None
        usual = int(blank.default) if blank.default else None
        return section.count(blank.key, usual, round(blank.low), round(blank.high))
    if blank.kind == LIST:
        return _list(section, blank)
    return _quantity(section, blank, blank.kind)


def _quantity(section: Section, blank: Blank, dimension: str) -> Any:
    given, place = section.table.get(blank.key), f"{section.place}.{blank.key}"
    if dimension == "turning" and isinstance(given, str) and given.rstrip().lower().endswith("hz"):
        section.known.append(blank.key)
        section.notes.complain(
            place, f'got "{given[:40]}"; a speed such as "{blank.example}" is wanted. Hertz go under frequency'
        )
        return blank.low
    if blank.default == "":
        found = section.maybe(blank.key, dimension, blank.low, blank.high)
    else:
        found = section.quantity(blank.key, dimension, blank.default, blank.low, blank.high, "practice")
    if found is None:
        return None
    if blank.doubt:
        return Measured(found.value, found.sd)
    if found.half > 0.0:
        section.notes.complain(
            place,
            f'got "{str(given)[:40]}"; a reading without ± is wanted. How far readings may be off stands under [{INSTRUMENTS}]',
        )
    return found.value


def _list(section: Section, blank: Blank) -> list[float]:
    section.known.append(blank.key)
    given, place = section.table.get(blank.key, []), f"{section.place}.{blank.key}"
    if section.place == "file":
        place = blank.key
    if not isinstance(given, list) or len(given) > MOST_ROWS or (blank.needed and not given):
        section.notes.complain(place, f"got {given!r:.60}; a list such as {blank.key} = {blank.example} is wanted")
        return []
    inner = Section(section.notes, place, {str(i + 1): one for i, one in enumerate(given)})
    one = [Blank(str(i + 1), blank.says, blank.of, blank.example, blank.low, blank.high) for i in range(len(given))]
    return [_quantity(inner, each, blank.of) for each in one]


def quoted(blank: Blank, text: str) -> str:
    """An answer as TOML: counts and lists bare, everything else in quotes."""
    return text if blank.kind in (COUNT, LIST) else f'"{text}"'


def template(form: Form) -> list[str]:
    """The readings file to fill in, with examples, line by line; what may be left out says so."""
    lines = []
    for blank in form.blanks:
        text = f"{blank.key} = {quoted(blank, blank.example)}"
        lines.append(f"{text:<31} # {blank.says}{'' if blank.needed else ' (optional)'}")
    for group in form.groups:
        if group.key == INSTRUMENTS:
            continue
        heading = f"[{group.key}]" if group.single else f"[[{group.key}]]"
        lines.append(f"{heading:<31} # {group.says}{'' if group.least else ' (optional)'}")
        asked = [blank for blank in group.blanks if blank.needed] or list(group.blanks)
        lines += [f"{blank.key} = {quoted(blank, blank.example)}" for blank in asked]
        more = [f"{blank.key} = {quoted(blank, blank.example)}" for blank in group.blanks if blank not in asked]
        if more:
            lines.append(f"# also: {', '.join(more)}")
    return lines


def tools_line(form: Form) -> str:
    """The usual instruments as one line of TOML words."""
    tools = form.group(INSTRUMENTS)
    if tools is None:
        return ""
    return ", ".join(f'{blank.key} = "{blank.default}"' for blank in tools.blanks)


def unit_of(blank: Blank) -> str:
    """The unit an answer is asked in, as its example has it; empty where there is none."""
    if blank.kind in (CHOICE, WORDS, PART, COUNT) or " " not in blank.example:
        return "%" if blank.example.endswith("%") else ""
    return blank.example.rstrip('"]').rsplit(" ", 1)[-1]


def complaint_about(blank: Blank, answer: Any, notes: Notes) -> str:
    """What is wrong with one answer, in a sentence; empty when nothing is.

    Args:
        blank: what was asked.
        answer: as it would stand in a file.
        notes: for looking parts up; what is complained about is taken out again.

    Returns:
        The sentence.
    """
    before = len(notes.problems)
    _answer(Section(notes, "answer", {blank.key: answer}), blank)
    said = [problem.says for problem in notes.problems[before:]]
    del notes.problems[before:]
    return said[0] if said else ""
