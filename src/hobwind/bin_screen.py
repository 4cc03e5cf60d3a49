"""A pick as text for an 80-column screen, and its progress."""

from __future__ import annotations

import sys
import textwrap
import time

from . import __version__
from .odds_screen import rate
from .studies.dice import Chance
from .studies.pick.chances import GAMBLE, Chances
from .studies.pick.judging import Judged
from .studies.pick.picking import Picked
from .studies.pick.words import beats, guard, limited, missed, modules, plates, riser, screws
from .studies.telling import celsius

WIDE, MOST_LINES = 79, 40
INDENT = "   "
EVERY, EVERY_PLAIN = 0.3, 10.0  # s between progress lines: on a screen, and into a file


def _fill(text: str, first: str = "", rest: str = INDENT) -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=first, subsequent_indent=rest)


def _figures(one: Judged) -> str:
    start = "never starts" if one.starts is None else f"starts at {celsius(one.starts)}"
    part = f" ({one.margins[0].part})" if one.margins else ""
    air = f"{one.air * 3600.0:.0f} m³/h at {celsius(one.build.stove.usual_plate.value)}"
    told = f"{start}, {air}, hottest face {celsius(one.face)}, margin {one.margin:+.0f} K{part}"
    wanting = missed(one)
    return told + (f"; NOT as wished: {', '.join(wanting)}" if wanting else "")


def _often(chance: Chance) -> str:
    """A chance in few words; nothing of so few throws is called never or always."""
    if 0.0 < chance.share < 1.0:
        return f"in about {rate(chance.share)}"
    return f"in none of {chance.count} throws" if chance.share <= 0.0 else f"in all of {chance.count} throws"


def odds_says(found: Picked, thrown: Chances | None, dropped: bool) -> str:
    """The chances of one fan in plain words, and whether they moved it back."""
    if thrown is None:
        return "odds: not thrown, it was stopped before"
    starts, wish = 1.0 - thrown.late.share, celsius(found.bin.wishes.starts_by)
    told = f"odds: over-fired, a face passes its limit {_often(thrown.harm)}; by {wish} it starts "
    told += _often(Chance(starts, thrown.late.loose, thrown.late.count))
    if dropped:
        told += f"; ranks higher as written, but dropped behind: harm is likelier than 1 in {1.0 / GAMBLE:.0f}"
    elif thrown.is_gamble:
        told += "; a gamble"
    return told


def _made_of(found: Picked, one: Judged, every: bool = False) -> str:
    """What a fan is made of; its screws only where they are a choice, or when everything is asked for."""
    bin, choice = found.bin, one.choice
    motor, blade, sink = (bin.of(kind)[getattr(choice, kind)].name for kind in ("motor", "blade", "sink"))
    held = screws(bin, choice) if every or len(bin.of("screws")) > 1 or choice.screws[1] < 0 else ""
    rest = [riser(bin, choice), plates(bin, choice), held, guard(bin, choice)]
    return "; ".join([modules(bin, choice), motor, blade, sink, *(part for part in rest if part)])


def _head(found: Picked) -> list[str]:
    s = found.sieved
    lines = _fill(f"{found.bin.name} ({found.bin.file}): {s.tried:,} combinations, {s.fitting:,} fit together")
    if s.tried < s.possible:
        lines += _fill(
            f"Of {s.possible:,} possible ones {s.tried:,} were drawn (seed {found.seed}); the others were NOT tried (--most).",
            "",
            INDENT,
        )
    if s.stopped:
        lines += _fill(
            f"Stopped by hand: {s.solved:,} of the {s.fitting:,} were solved; this is the best of those.", "", INDENT
        )
    if s.fell:
        rows = sorted(s.fell.items(), key=lambda row: -row[1])
        lines += _fill("Fell: " + "; ".join(f"{count:,} {reason}" for reason, count in rows) + ".")
    tail = f"Solved: {s.solved:,}; {s.unsettled:,} found no rest; {found.evenings} through evenings, {found.full} in full."
    if found.sets_left_out:
        more = (
            f" Sets of more than {found.bin.wishes.most_modules} modules left out: {found.sets_left_out} (wish.most_modules)."
        )
        tail += more
    return lines + _fill(tail)


def pick_text(found: Picked, against: Judged | None = None) -> str:
    """The pick within 40 lines of 79 columns.

    Args:
        found: the pick.
        against: a build of somebody's, held against the first answer.

    Returns:
        Text, a newline at its end.
    """
    lines = [*_head(found), ""]
    if not found.answers:
        lines += ["Nothing on hand makes a fan."]
    blocks = [_block(found, i) for i in range(len(found.answers))]
    tail = _buying(found)
    if against is not None and found.answers:
        tail += _fill(f"Against {against.build.name}: the first {beats(found.answers[0], against)}.")
    tail.append(f"Write one as a build file: --take 1. hobwind {__version__}, seed {found.seed}")
    for i, block in enumerate(blocks):
        if len(lines) + len(block) + len(tail) > MOST_LINES:
            lines.append(f"... and {len(blocks) - i} more: --all")
            break
        lines += block
    return "\n".join([*lines, *tail]) + "\n"


def all_text(found: Picked, against: Judged | None = None) -> str:
    """The pick without a bound on its lines: every answer, every purchase."""
    lines = [*_head(found), ""]
    for i in range(len(found.answers)):
        lines += _block(found, i, True)
    lines += _buying(found)
    for purchase in found.purchases:
        lines += _fill(f"{purchase.name} ({purchase.kind}, {purchase.price:g}): {_figures(purchase.fan)}")
    if against is not None and found.answers:
        lines += _fill(f"Against {against.build.name}: the first {beats(found.answers[0], against)}.")
    return "\n".join([*lines, f"hobwind {__version__}, seed {found.seed}"]) + "\n"


def _block(found: Picked, i: int, every: bool = False) -> list[str]:
    one = found.answers[i]
    lines = _fill(_made_of(found, one, every), f"{i + 1}. ")
    lines += _fill(_figures(one), INDENT)
    lines += _fill(odds_says(found, found.thrown[i], found.dropped[i]), INDENT, INDENT + "  ")
    if i + 1 < len(found.answers):
        lines += _fill(f"beats {i + 2}: {beats(one, found.answers[i + 1])}", INDENT, INDENT + "  ")
    return lines + _fill(f"limited by {limited(found.limits[i])}", INDENT, INDENT + "  ")


def _buying(found: Picked) -> list[str]:
    if not found.purchases:
        dear = f": {', '.join(found.too_dear)} cost more than {found.bin.wishes.money:g}" if found.too_dear else ""
        return _fill(f"Worth buying: nothing{dear or ', the price list is empty'}.")
    best = next((purchase for purchase in found.purchases if purchase.worth), None)
    if best is None:
        says = f"Worth buying: nothing on the price list betters the first answer ({len(found.purchases)} parts tried)."
        gambles = [one.name for one in found.purchases if one.thrown is not None and one.thrown.is_gamble]
        more = f" As written {', '.join(gambles)} would, but by its odds that is a gamble." if gambles else ""
        return _fill(says + more)
    first = f"Worth buying: {best.name} ({best.price:g}), answer {len(found.listed)}: "
    gain = beats(best.fan, found.answers[0]) if found.answers else _figures(best.fan)
    bin, choice = found.bin, best.fan.choice
    motor, blade, sink = (bin.of(kind)[getattr(choice, kind)].name for kind in ("motor", "blade", "sink"))
    against = "against 1 it " if found.answers else ""
    told = odds_says(found, best.thrown, False)
    return _fill(f"{first}{modules(bin, choice)}; {motor}; {blade}; {sink}; {against}{gain}; {told}.")


class Watch:
    """Progress with time left, on the error stream: one line that is written over on a screen, a line now and then in a file."""

    def __init__(self) -> None:
        self.screen = sys.stderr.isatty()
        self.last = time.monotonic() if not self.screen else 0.0

    def __call__(self, done: int, of: int, left: float) -> None:
        """Show how far it is."""
        now = time.monotonic()
        if now - self.last < (EVERY if self.screen else EVERY_PLAIN) and done < of:
            return
        self.last = now
        text = f"{done:,} of {of:,} solved, about {left:.0f} s left (Ctrl-C keeps what was found)"
        if self.screen:
            sys.stderr.write(f"\r{text:<78}" + ("\n" if done >= of else ""))
        else:
            sys.stderr.write(text + "\n")
        sys.stderr.flush()

    def end(self, stopped: bool) -> None:
        """Leave the line that was written over, when somebody stopped it half way."""
        if stopped and self.screen:
            sys.stderr.write("\n")
