"""Results as text for an 80-column screen."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable

from . import __version__
from .build import Build, digest
from .parts.catalogue import sized_names
from .stack.curves import SHAPES
from .stack.evening import Evening
from .stack.fields import Seen
from .stack.keeping import End
from .stack.network import Network
from .stack.steady import MapPoint, Rest
from .studies.file_keys import in_tables
from .studies.headline import Headline
from .studies.ledger import ledger
from .studies.report import conductance
from .studies.telling import ADVICE, celsius
from .studies.verdict import Verdict
from .units import in_inches, show

WIDE = 79
MOST_LINES = 40
LABEL = 15


def _wrapped(label: str, text: str) -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=label.ljust(LABEL), subsequent_indent=" " * LABEL)


def _row(label: str, cells: Iterable[str]) -> str:
    return (label.ljust(LABEL) + "".join(cell.rjust(14) for cell in cells)).rstrip()


def _settled(point: MapPoint, text: str) -> str:
    return text if point.outcome is Rest.SETTLED else "hunts" if point.outcome is Rest.HUNTS else "-"


def _figures(solved: Headline, setting: str) -> list[str]:
    points = solved.at.from_rest
    rows = [_row("On a plate of", (show(p.plate, "temperature", setting) for p in points))]
    for label, column, dimension in (
        ("air", Seen.air_flow, "air_flow"),
        ("breeze at 1 m", Seen.breeze, "speed"),
        ("power", Seen.electric, "power"),
        ("hot face", Seen.hot_face, "temperature"),
    ):
        rows.append(_row("  " + label, (_settled(p, show(float(p.seen[column]), dimension, setting)) for p in points)))
    return rows


def _guard_line(solved: Headline, setting: str) -> str:
    if solved.build.guard.kind == "none":
        return "none"
    lift, sit = solved.worst.figure(End.lift_at), solved.worst.figure(End.sit_at)
    if lift is None:
        return f"{solved.build.guard.kind}; it never lifts, not even in the over-fired evening"
    back = "it does not sit back" if sit is None else f"sits back at {show(sit, 'temperature', setting)}"
    times = solved.worst.lifts
    return (
        f"{solved.build.guard.kind}; lifts at a plate of {show(lift, 'temperature', setting)} on a warming fire"
        f"{_held(solved, setting)}, {back}; over-fired evening {times} lift{'' if times == 1 else 's'}, usual evening {solved.usual.lifts}"
    )


def _held(solved: Headline, setting: str) -> str:
    held = solved.lifts_held
    return "" if held is None else f" ({show(held, 'temperature', setting)} held for hours)"


def _stops(solved: Headline, setting: str) -> str:
    stop, slow = solved.stops_at, solved.map.stops_at()
    settled = "" if slow is None else f"when the plate cools very slowly at {show(slow, 'temperature', setting)}"
    if stop is None:
        return f"still turning at the end of the evening, stops {settled}" if settled else "still turning at the end"
    return f"stops at {show(stop, 'temperature', setting)}"


def _ledger_line(solved: Headline, setting: str) -> str:
    entries = ledger(solved.usual_point.seen)
    whole = entries[0].watts
    if whole <= 0.0:
        return "no heat enters"
    parts = [f"{e.watts:.1f} W {e.says.replace('past the modules through the', 'past them by')}" for e in entries[1:]]
    parts = [part.replace("past the modules through", "past them by") for part in parts]
    glow = solved.usual_point.seen[Seen.sink_glow]
    at = show(solved.usual_point.plate, "temperature", setting)
    return f"at {at} {whole:.1f} W enter: " + ", ".join(parts) + f"; besides, the plate glows {glow:.1f} W into the sink"


def verdict_text(judged: Verdict, setting: str = "metric") -> str:
    """The verdict within 40 lines of 79 columns.

    Args:
        judged: the verdict.
        setting: "metric" or "inch".

    Returns:
        Text, a newline at its end.
    """
    solved, build = judged.solved, judged.build
    start, slow = solved.starts_at, solved.map.starts_at()
    lines = [*textwrap.wrap(f"{build.name} ({build.file})", WIDE), *textwrap.wrap(_units(judged.sentence, setting), WIDE), ""]
    lines += _wrapped(
        "Starts at",
        f"a plate of {show(start, 'temperature', setting)} on a warming stove"
        f" ({show(slow, 'temperature', setting) if slow else 'never'} when it warms very slowly); {_stops(solved, setting)}"
        if start
        else "no plate temperature of the usual evening",
    )
    lines += _figures(solved, setting)
    peak, where = solved.peak_face
    reached = solved.limit_reached_at
    limit = f"; settled, its limit is reached at a plate of {celsius(reached)}" if reached else ""
    lines += _wrapped("Hottest face", _units(f"{celsius(peak)}, {where}{limit}", setting))
    lines += _wrapped("Guard", _guard_line(solved, setting))
    near = [f"{m.part} {m.margin:+.0f} K (limit {celsius(m.limit)})" for m in judged.margins[:3]]
    rest = [f"{m.part} {m.margin:+.0f} K" for m in judged.margins[3:]]
    lines += _wrapped("Margins", _units("; ".join(near + rest), setting))
    lines += _wrapped("Heat", _ledger_line(solved, setting))
    tail = _tail(judged)
    lines += _findings(judged, MOST_LINES - len(lines) - len(tail), setting)
    return "\n".join([*lines, *tail][:MOST_LINES]) + "\n"


def _findings(judged: Verdict, room: int, setting: str) -> list[str]:
    if not judged.findings:
        return ["Findings       none"]
    blocks = []
    for one in judged.findings:
        block = textwrap.wrap(_units(f"{one.severity}: {one.says}.", setting), WIDE, subsequent_indent="        ")
        block += textwrap.wrap(
            _units(f"mend: {one.mend}.", setting), WIDE, initial_indent="        ", subsequent_indent="        "
        )
        blocks.append(block)
    lines: list[str] = []
    left = len(blocks)
    for block in blocks:
        rest = 1 if left > 1 else 0
        if len(lines) + len(block) + rest > room:
            break
        lines += block
        left -= 1
    if left:
        first = judged.findings[len(blocks) - left]
        kind = "advice" if first.severity == ADVICE else "findings"
        lines.append(f"... and {left} more {kind}: see them all with --all")
    return lines


def _tail(judged: Verdict) -> list[str]:
    lines = textwrap.wrap(f"Caution: {judged.cautions[0]}", WIDE)
    shown = 1
    if not judged.dangers:
        lines += textwrap.wrap(judged.cautions[1], WIDE, initial_indent="         ", subsequent_indent="         ")
        shown = 2
    notes = len(judged.notes)
    more = f"{len(judged.cautions) - shown} more cautions and {notes} note{'' if notes == 1 else 's'} with --all."
    lines += textwrap.wrap(more.strip(), WIDE)
    lines.append(_made(judged.build))
    return lines


def _made(build: Build) -> str:
    looked = sum(1 for record in build.records if record.origin == "catalogue")
    usual = sum(1 for record in build.records if record.origin.startswith("usual value"))
    return f"hobwind {__version__}, build {digest(build)}; {looked} catalogue parts, {usual} usual values"


def everything_text(judged: Verdict, setting: str = "metric") -> str:
    """What `--all` adds: every finding with its source, every margin, every caution, every note."""
    lines = ["", "All findings"]
    for one in judged.findings:
        lines += textwrap.wrap(f"{one.severity} ({one.code}): {one.says}.", WIDE, subsequent_indent="    ")
        lines += textwrap.wrap(f"mend: {one.mend}. [{one.source}]", WIDE, initial_indent="    ", subsequent_indent="    ")
        if one.keys:
            lines += ["    in the file:", *(f"    {line}" for line in in_tables(one.keys))]
    lines += ["", "All margins"]
    for m in judged.margins:
        figures = f"{m.margin:+6.0f} K   {celsius(m.peak)} of {celsius(m.limit)}"
        lines += textwrap.wrap(f"{figures}  {m.part}, {m.where} [{m.source}]", WIDE, subsequent_indent=" " * 11)
    lines += ["", "Cautions"]
    for text in judged.cautions:
        lines += textwrap.wrap(text, WIDE, initial_indent="- ", subsequent_indent="  ")
    if judged.notes:
        lines += ["", "Outside the range a formula was tested for"]
        for text in judged.notes:
            lines += textwrap.wrap(text, WIDE, initial_indent="- ", subsequent_indent="  ")
    return "\n".join(lines) + "\n"


def network_text(build: Build, net: Network) -> str:
    """Nodes and links of one operating point."""
    lines = [f"{build.name}: settled on a plate of {celsius(net.plate)} ({net.outcome})", ""]
    lines.append(f"{'node':<12}{'°C':>10}{'left over W':>16}")
    for name, kelvin in net.nodes.items():
        left = net.left_over.get(name)
        lines.append(f"{name:<12}{kelvin - 273.15:>10.2f}{'' if left is None else f'{left:.1e}':>16}")
    lines += ["", f"{'from':<11}{'to':<11}{'W':>9}{'W/K':>9}  what"]
    for link in net.links:
        watts = float(link.watts)
        g = conductance(net, link.first, link.second, watts)
        shown = "" if g is None else f"{g:.4f}"
        lines += textwrap.wrap(
            f"{link.first:<11}{link.second:<11}{watts:>9.3f}{shown:>9}  {link.says}", WIDE, subsequent_indent=" " * 42
        )
        lines += textwrap.wrap(f"= {link.formula} [{link.source}]", WIDE, initial_indent="    ", subsequent_indent="      ")
    return "\n".join(lines) + "\n"


def hours(seconds: float) -> str:
    """A time of the evening: 1:07."""
    minutes = math.floor(seconds / 60.0 + 0.5)
    return f"{minutes // 60}:{minutes % 60:02d}"


def evening_text(build: Build, ran: Evening) -> str:
    """One evening in a few lines and a small table."""
    end = ran.figure
    lines = [f"{build.name}: {_fire(ran)}, {ran.outcome.value}", ""]
    start, stop, peak, when = end(End.starts_at), end(End.stops_at), end(End.peak_hot), end(End.peak_time)
    turning = f"{float(ran.end[End.turning]) / 60.0:.0f} minutes"
    lines += _wrapped(
        "Turns",
        "not at all"
        if start is None
        else f"from a plate of {celsius(start)}"
        + (f" to {celsius(stop)}" if stop is not None else ", to the end")
        + f", {turning} in all",
    )
    if peak is not None and when is not None:
        above = float(ran.end[End.above]) / 60.0
        lines += _wrapped("Hottest face", f"{celsius(peak)} at {hours(when)}; {above:.1f} minutes above its limit")
    lines += _wrapped("Guard", f"{ran.lifts} lift{'' if ran.lifts == 1 else 's'}")
    if ran.hunting is not None:
        h = ran.hunting
        lines += _wrapped(
            "Hunts",
            f"{h.lifts} lifts on a plate that does not cool, one every {h.period / 60.0:.1f} minutes, hot face "
            f"{celsius(h.low)} to {celsius(h.high)}",
        )
    lines += [
        "",
        f"{'time':>6}{'plate':>9}{'hot face':>10}{'sink':>9}{'element':>9}{'lift':>9}{'speed':>9}{'power':>9}",
    ]
    lines.append(f"{'h:min':>6}{'°C':>9}{'°C':>10}{'°C':>9}{'°C':>9}{'mm':>9}{'rpm':>9}{'W':>9}")
    step = max(1, len(ran.time) // 18)
    for t, row in zip(ran.time[::step], ran.seen[::step], strict=True):
        cells = [row[c] - 273.15 for c in (Seen.plate, Seen.hot_face, Seen.sink, Seen.element)]
        lines.append(
            f"{hours(t):>6}{cells[0]:>9.0f}{cells[1]:>10.0f}{cells[2]:>9.0f}{cells[3]:>9.0f}{row[Seen.lift] * 1e3:>9.2f}"
            f"{row[Seen.speed] * 30.0 / math.pi:>9.0f}{row[Seen.electric]:>9.3f}"
        )
    if ran.events:
        lines += ["", "What happened"]
        for e in ran.events[:14]:
            lines.append(f"{hours(e.time):>6}  {e.what:<11} plate {celsius(e.plate)}")
        if len(ran.events) > 14:
            lines.append(f"        and {len(ran.events) - 14} more")
    return "\n".join(lines) + "\n"


def _fire(ran: Evening) -> str:
    """What burned: a built-in evening by its name, a held plate, a measured file."""
    name = ran.curve.name
    return f"{name} evening" if name in SHAPES else f"plate {name}" if name.startswith("held at") else f"the fire of {name}"


def _units(text: str, setting: str) -> str:
    """A finished sentence in the wished units."""
    return in_inches(text, sized_names()) if setting == "inch" else text
