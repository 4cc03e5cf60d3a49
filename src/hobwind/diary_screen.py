"""The diary as text for an 80-column screen, and the live screen of a fire."""

from __future__ import annotations

import textwrap
import time
from typing import Any

from .diary.causes import CAUSES, VALUES
from .diary.exchange import Checked
from .diary.health import FALSE_EVERY, FEWEST, SURE, Health
from .diary.live import ABOVE, CALM, CLOSE, COMING, Ahead, Arrived
from .diary.summary import Winters

WIDE = 79
LATEST = 6
COLOURS = {CALM: "green", COMING: "yellow", CLOSE: "bold red", ABOVE: "bold white on red"}
SAYS = {
    CALM: "well below its limit",
    COMING: "on its way to its limit: close the air now",
    CLOSE: "NEAR ITS LIMIT: close the air now",
    ABOVE: "ABOVE ITS LIMIT: fan off onto stone, with gloves or tongs; never water",
}


def day(seconds: float) -> str:
    """A date as 2026-01-31, local."""
    return time.strftime("%Y-%m-%d", time.localtime(seconds))


def span(seconds: float) -> str:
    """A length of time as 3 h 05 min."""
    minutes = round(seconds / 60.0)
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} min"


def _many(count: int, word: str) -> str:
    return f"{count} {word}" + ("" if count == 1 else "s")


def list_text(fans: list[dict[str, Any]]) -> str:
    """All fans, a line each."""
    if not fans:
        return "The diary is empty. Enter a fan with: hobwind diary add BUILD\n"
    lines = [f"{'fan':<34}{'builds':>7}{'trials':>8}{'evenings':>10}{'min above':>11}{'photos':>8}"]
    for fan in fans:
        above = f"{fan['above'] or 0.0:.0f}"
        lines.append(
            f"{fan['name'][:33]:<34}{fan['builds']:>7}{fan['trials']:>8}{fan['evenings']:>10}{above:>11}{fan['photos']:>8}"
        )
    return "\n".join([*lines, "", 'See one with: hobwind diary show "NAME"']) + "\n"


def health_words(health: Health) -> str:
    """What the looks come to, in a sentence."""
    first, second = health.suspects[0], health.suspects[1]
    if health.told is not None:
        return f"It is this: {CAUSES[first.key].says} (more than {SURE} to 1 against the next)."
    if health.changed:
        return f"Cannot tell yet. First: {CAUSES[first.key].says}. Then: {CAUSES[second.key].says}."
    return f"No alarm. All tests together alarm falsely about once in {FALSE_EVERY:.0f} looks."


def _health_lines(health: Health, spares: tuple[str, ...]) -> list[str]:
    lines = ["", f"Health from {health.looks} looks ({'something has changed' if health.changed else 'nothing beyond chance'})"]
    for one in health.courses:
        value = VALUES[one.name]
        mark = "  <- changed" if one.alarm >= 1.0 else ""
        change = f"{one.a_year:+.3g} ± {2.0 * one.doubt:.2g} {value.unit if value.unit != '°C' else 'K'} a year"
        lines.append(f"  {value.says:<49}{one.last:>8.4g} {value.unit}")
        lines.append(f"    {change}{mark}")
    lines += textwrap.wrap(health_words(health), WIDE)
    lines += textwrap.wrap(f"Check next: {health.check}. Look again by {day(health.next_look)}.", WIDE)
    if spares:
        lines += textwrap.wrap(f"On hand and would fit: {', '.join(spares[:5])}. Judge it first with: hobwind check", WIDE)
    return lines


def winters_text(found: Winters, every: bool = False) -> str:
    """One fan's winters.

    Args:
        found: what the diary holds of it.
        every: all evenings, services, trials and photos, however many lines that takes.

    Returns:
        Text, a newline at its end.
    """
    lit = found.evenings
    above = sum(one["minutes_above_limit"] or 0.0 for one in lit)
    hours = sum(one["ended_s"] - one["began_s"] for one in lit)
    lines = textwrap.wrap(found.fan["name"], WIDE)
    counted = (("build", found.builds), ("trial", found.trials), ("log", found.logs), ("photo", found.photos))
    lines.append(", ".join(_many(len(table), word) for word, table in counted))
    if lit:
        lines.append(f"{_many(len(lit), 'evening')} lit, {span(hours)} in all; hot face {above:.0f} min above its limit")
        lines += ["", f"{'evening':<13}{'lit for':<13}{'plate peak':<13}{'face peak':<22}above limit"]
        for one in lit if every else lit[-LATEST:]:
            peak = "-" if one["peak_face_degC"] is None else f"{one['peak_face_degC']:.0f} °C ({one['face_from']})"
            over = "-" if one["minutes_above_limit"] is None else f"{one['minutes_above_limit']:.0f} min"
            plate = f"{one['peak_plate_degC']:.0f} °C"
            lines.append(f"{day(one['began_s']):<13}{span(one['ended_s'] - one['began_s']):<13}{plate:<13}{peak:<22}{over}")
        if not every and len(lit) > LATEST:
            lines.append(f"and {len(lit) - LATEST} before them: see --all")
    if found.cycles:
        deep = ", ".join(f"{c['depth_from_K']:.0f}-{c['depth_to_K']:.0f} K: {c['count']:g}" for c in found.cycles)
        lines += textwrap.wrap(f"Cycles of the hot face by depth: {deep}", WIDE)
    if found.health is not None:
        lines += _health_lines(found.health, found.spares)
    else:
        lines += [
            "",
            *textwrap.wrap(
                f"Health: {found.looks} look{'' if found.looks == 1 else 's'} since it was last changed; {FEWEST} and a build are needed.",
                WIDE,
            ),
        ]
    done = [f"{day(r['done_s'])} {r['work']}" + (f": {r['says']}" if r["says"] else "") for r in found.services]
    tried = [f"{day(r['taken_s'])} {r['says']}" for r in found.trials]
    taken = [f"{day(r['taken_s'])} {r['says'] or 'no words'} ({r['bytes'] // 1024} KB)" for r in found.photos]
    for title, table in (("Done to it", done), ("Trials", tried), ("Photos", taken)):
        shown = table if every else table[-2:]
        if shown:
            lines.append(title)
            for row in shown:
                told = textwrap.wrap(row, WIDE - 2, initial_indent="  ", subsequent_indent="    ")
                lines += told if every else told[:1]
    return "\n".join(lines if every else lines[:40]) + "\n"


def checked_text(path: str, found: Checked) -> str:
    """What a check found, and what to do."""
    counts = ", ".join(f"{count} {table.replace('_', ' ')}" for table, count in found.readable.items() if count)
    lines = textwrap.wrap(f"{path}: {counts or 'nothing in it yet'}", WIDE)
    if not found.wrong:
        lines.append("Sound: every page, every link between tables and every packed figure was read.")
    else:
        lines.append("Wrong:")
        for one in found.wrong[:12]:
            lines += textwrap.wrap(one, WIDE, initial_indent="  ", subsequent_indent="    ")
        lines += textwrap.wrap(
            "What to do: leave the file as it is. Save what can be read with: hobwind diary check --save-to saved.sqlite; then move "
            "the damaged file and the two beside it (-wal, -shm) away, and take the saved one and the newest copy in with: "
            "hobwind diary import FILE. What is in both is not doubled.",
            WIDE,
        )
    lines += [f"Copy: {copy}" for copy in found.copies]
    return "\n".join(lines) + "\n"


def newest_words(seen: Arrived) -> list[tuple[str, str]]:
    """Newest figures of a live log: what each is, and the figure with its unit."""
    told = []
    for name, value in sorted(seen.newest.items())[:12]:
        stem, _, unit = name.rpartition("_")
        known = stem and not name.startswith("figure")
        told.append((stem.replace("_", " "), f"{value:.1f} {unit.replace('deg', '°')}") if known else (name, f"{value:g}"))
    return told


def alarm_words(ahead: Ahead) -> str:
    """How near the face is to its limit, and when it gets there."""
    there = ahead.reaches is not None and ahead.alarm in (COMING, CLOSE)
    return SAYS[ahead.alarm] + (f"; there in {(ahead.reaches or 0.0) / 60.0:.0f} min" if there else "")


def live_lines(seen: Arrived, ahead: Ahead | None) -> list[tuple[str, str]]:
    """The live screen: lines with the colour of each."""
    lines = [(f"{port}: {seen.state.get(port, 'opening')}", "") for port in seen.ports]
    unread = f", {seen.unread} not understood" if seen.unread else ""
    lines.append((f"{seen.lines} lines kept{unread}", ""))
    lines += [(f"{name} {text}", "") for name, text in newest_words(seen)]
    if ahead is None:
        lines.append(("Nothing to look ahead by yet: plate or face readings are needed (see --names)", ""))
        return lines
    if ahead.seconds:
        lines.append((f"The plate goes {60.0 * ahead.slope:+.1f} K/min; if it goes on like that:", ""))
        for moment, plate, face in zip(ahead.seconds, ahead.plate, ahead.face, strict=True):
            colour = COLOURS[ABOVE] if face >= ahead.limit else ""
            lines.append((f"  in {moment / 60.0:.0f} min: plate {plate:.0f} °C, hot face {face:.0f} °C", colour))
    if ahead.face_now is not None:
        how = "measured" if ahead.measured else "computed"
        told = f"Hot face {ahead.face_now:.0f} °C ({how}), limit {ahead.limit:.0f} °C: {alarm_words(ahead)}"
        lines.append((told, COLOURS[ahead.alarm]))
    return lines
