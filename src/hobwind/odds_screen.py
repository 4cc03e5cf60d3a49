"""Odds as text for an 80-column screen."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Sequence

from . import __version__
from .build import digest
from .parts.catalogue import sized_names
from .studies.dice import Chance
from .studies.odds import ASKED, HEAD, JUDGES, LEFT, Event, Measure, Odds
from .studies.odds_fans import TOLD, Figure
from .studies.odds_inputs import how
from .units import in_inches, show

WIDE, MOST_LINES = 79, 40
SHORT_MEASURES, SHORT_EVENTS = 3, 7
FELT = 0.96  # a band that keeps more of its width than that is not told as narrowed
NARROWED = {Figure.starts_at: "start", Figure.air: "air", Figure.peak_face: "hottest face"}
# Figures of the short screen; the rest with --all. Those of the guard only where there is one.
SHORT = (
    Figure.starts_at, Figure.air, Figure.air_down, Figure.peak_face, Figure.margin, Figure.minutes_above, Figure.lifts_at,
    Figure.sits_back_at,
)  # fmt: skip
DIFFERENCE = ("temperature", "temperature_difference")


def one_in(share: float) -> str:
    """A share below a half as "1 in 40", two figures at most."""
    many = 1.0 / share
    step = 10.0 ** max(0.0, math.floor(math.log10(many)) - 1.0)
    return f"1 in {round(many / step) * step:,.0f}"


def rate(share: float) -> str:
    """A share in so many of so many: "1 in 40", "7 in 20", "39 in 40"."""
    if share <= 0.0:
        return "none"
    if share >= 1.0:
        return "all"
    if share < 0.1:
        return one_in(share)
    if share <= 0.9:
        return f"{round(20.0 * share)} in 20"
    many = int(one_in(1.0 - share).removeprefix("1 in ").replace(",", ""))
    return f"{many - 1:,} in {many:,}"


def chance_text(chance: Chance) -> str:
    """A chance in plain words, and between what it lies, 19 in 20."""
    # Never in n throws: with 1 in n/3, one such run in twenty would still show none.
    if chance.share <= 0.0:
        return f"none of {chance.count:,} fans (fewer than {one_in(3.0 / chance.count)})"
    if chance.share >= 1.0:
        return f"all {chance.count:,} fans"
    least, most = rate(max(chance.share - chance.loose, 3.0 / chance.count)), rate(min(chance.share + chance.loose, 1.0))
    told = rate(chance.share)
    return f"about {told}" if least == most or chance.share - chance.loose <= 0.0 else f"about {told} ({least} to {most})"


def figure_text(value: float, dimension: str, setting: str = "metric") -> str:
    """A figure of that dimension with its unit; "-" where there is none."""
    if not math.isfinite(value):
        return "-"
    if dimension == "time":
        return f"{value / 60.0:.0f} min"
    if dimension == "air_flow" and setting == "metric":
        return f"{value * 3600.0:.0f} m³/h"
    if dimension in DIFFERENCE[1:]:
        return in_inches(f"{value:.0f} K") if setting == "inch" else f"{value:.0f} K"
    return f"{value:.0f}" if dimension == "number" else show(value, dimension, setting)


def range_text(low: float, high: float, dimension: str, setting: str = "metric") -> str:
    """Two figures and their unit once."""
    first, last = figure_text(low, dimension, setting), figure_text(high, dimension, setting)
    number, _, unit = first.partition(" ")
    return f"{number} to {last}" if unit and last.endswith(unit) else f"{first} to {last}"


def give_text(value: float, dimension: str, setting: str = "metric") -> str:
    """A difference of that dimension."""
    if dimension == "time":
        return f"{value / 60.0:.1f} min"
    if dimension == "number":
        return f"{value:.1f}"
    if dimension in DIFFERENCE:
        text = f"{value:.1f} K" if value < 1.0 else f"{value:.0f} K"
        return in_inches(text, sized_names()) if setting == "inch" else text
    if dimension == "air_flow":
        per_hour = f"{value * 3600.0:.{0 if value * 3600.0 >= 1.0 else 1}f} m³/h"
        return in_inches(per_hour) if setting == "inch" else per_hour
    return show(value, dimension, setting)


def missing_text(figure: Figure, share: float) -> str:
    """In how many fans a figure never came about, in words; empty where it always did."""
    if share <= 0.0005:
        return ""
    # A blade that turns to the last minute has not "never stopped": the evening ended first.
    others = {Figure.stops_at: "still turn at the end", Figure.air_down: "are up"}
    return f"{rate(share)} {others.get(figure, 'never')}"


def _rows(odds: Odds, figures: Iterable[Figure], setting: str) -> list[str]:
    lines = [f"{'':<18}{'19 in 20 lie':<20}{'middle':<13}{'as written':<13}ends off by"]
    for figure in figures:
        band = odds.bands.get(figure)
        if band is None or not math.isfinite(band.middle):
            continue
        told = TOLD[figure]
        cells = (
            told.says[:1].upper() + told.says[1:],
            range_text(band.low, band.high, told.dimension, setting),
            figure_text(band.middle, told.dimension, setting),
            figure_text(float(odds.written[figure]), told.dimension, setting),
            "±" + give_text(max(band.low_loose, band.high_loose), told.dimension, setting),
        )
        # How many fans stand up is told among the chances.
        missing = "" if figure is Figure.air_down else missing_text(figure, band.missing)
        row = f"{cells[0]:<18}{cells[1]:<20}{cells[2]:<13}{cells[3]:<13}{cells[4]}".rstrip()
        with_missing = f"{row} ({missing})" if missing else row
        lines += [with_missing] if len(with_missing) <= WIDE else [row, f"{'':<18}({missing})"]
    return lines


def _event(event: Event, setting: str) -> list[str]:
    says = in_inches(event.says, sized_names()) if setting == "inch" else event.says
    return textwrap.wrap(f"{chance_text(event.chance)}: {says}", WIDE, initial_indent="  ", subsequent_indent="      ")


def narrowing_text(measure: Measure, setting: str = "metric") -> str:
    """What measuring one input would do to the bands, in words."""
    parts = []
    for figure, share, loose, now, then in zip(HEAD, measure.share, measure.loose, measure.now, measure.then, strict=True):
        told = TOLD[figure]
        before, after = give_text(now, told.dimension, setting), give_text(then, told.dimension, setting)
        if math.isfinite(share) and share > loose and then < FELT * now and before != after:
            parts.append(f"{NARROWED[figure]} from ±{before.split(' ')[0]} to ±{after}")
    return ", ".join(parts)


def _measures(odds: Odds, most: int, setting: str) -> list[str]:
    lines: list[str] = []
    for measure in odds.measures:
        narrows = narrowing_text(measure, setting)
        if narrows and len(lines) < most:
            lines.append(f"{measure.input.die.name}: would narrow {narrows} ({how(measure.input)})")
    if not lines:
        return ["Measure next: nothing stands out; the spread comes from many small things."]
    told = ["Measure next, each alone and carefully:"]
    for number, line in enumerate(lines, start=1):
        told += textwrap.wrap(line, WIDE, initial_indent=f"  {number} ", subsequent_indent="    ")
    return told


def _shares(odds: Odds) -> list[str]:
    shares = odds.shares
    if shares is None:
        return []
    names = [TOLD[figure].says for figure in HEAD]
    lines = ["", "Shares of the spread in 100: alone (with all it does together with others)"]
    lines.append(f"{'':<9}" + "".join(f"{name:<23}" for name in names).rstrip())
    order = sorted(range(len(shares.groups)), key=lambda g: -float(sum(x for x in shares.together[:, g] if math.isfinite(x))))
    for g in order:
        cells = []
        for f in range(len(HEAD)):
            alone, whole = 100.0 * shares.alone[f, g], 100.0 * shares.together[f, g]
            if not math.isfinite(whole):
                cells.append("-")
                continue
            a, b = 100.0 * shares.alone_loose[f, g], 100.0 * shares.together_loose[f, g]
            cells.append(f"{max(alone, 0.0):.0f}±{a:.0f} ({max(whole, 0.0):.0f}±{b:.0f})")
        lines.append(f"{shares.groups[g]:<9}" + "".join(f"{cell:<23}" for cell in cells).rstrip())
    lines.append(f"from {2 * shares.count:,} evenings; ± is 19 in 20")
    return lines


def odds_text(odds: Odds, setting: str = "metric", every: bool = False) -> str:
    """Bands, chances, what to measure next and, where they were asked for, shares.

    Args:
        odds: what the thrown fans came to.
        setting: "metric" or "inch".
        every: all figures, all chances and all inputs, however many lines that takes.

    Returns:
        Text, a newline at its end.
    """
    build = odds.build
    lines = textwrap.wrap(f"{build.name} ({build.file})", WIDE)
    lines += textwrap.wrap(
        f"{odds.count:,} fans thrown, each with {len(odds.inputs)} guesses within their spreads, each through a usual and an "
        f"over-fired evening ({2 * odds.count:,} evenings).",
        WIDE,
    )
    lines += ["", *_rows(odds, TOLD if every else SHORT, setting), "", *textwrap.wrap(JUDGES, WIDE), "", "Chances"]
    measures = _measures(odds, len(odds.measures) if every else SHORT_MEASURES, setting)
    left = f"Measured means: {LEFT:.0%} of the input's spread is left. " if odds.measures else ""
    scatter = textwrap.wrap(f"{left}The formulas' own scatter and the shape of the fires are not thrown.", WIDE)
    room = MOST_LINES - len(lines) - len(measures) - len(scatter) - 3  # an empty line before each, and the last line of all
    lines += [*_chances(odds, None if every else room, setting), "", *measures, *_shares(odds)]
    if every:
        lines += ["", "What was thrown"]
        for one in odds.inputs:
            die = one.die
            lines += textwrap.wrap(
                f"{die.group}: {die.name}" + (f", in {len(one.places)} places" if len(one.places) > 1 else ""),
                WIDE,
                initial_indent="- ",
                subsequent_indent="  ",
            )
    lines += ["", *scatter]
    lines.append(f"hobwind {__version__}, build {digest(build)}, seed {odds.seed}")
    return "\n".join(lines) + "\n"


def _chances(odds: Odds, room: int | None, setting: str) -> list[str]:
    """The chances in so many lines, the rarest left out where they do not fit; all of them where `room` is None."""
    told: list[str] = []
    for most in range(SHORT_EVENTS, 0, -1):
        shown = odds.events if room is None else telling_events(odds.events, most)
        told = [line for event in shown for line in _event(event, setting)]
        hidden = left_out(odds, shown)
        told += [f"  and {hidden}: see --all"] if hidden else []
        if room is None or len(told) <= room:
            break
    return told


def left_out(odds: Odds, shown: Sequence[Event]) -> str:
    """How many chances are not shown, and how rare those are; empty where all are shown."""
    hidden = [event for event in odds.events if event not in shown]
    if any(event.chance.share > 0.0 for event in hidden):
        return f"{len(hidden)} more, rarer than these"
    return f"{len(hidden)} more that happened to none (fewer than {one_in(3.0 / odds.count)})" if hidden else ""


def telling_events(events: tuple[Event, ...], most: int = SHORT_EVENTS) -> list[Event]:
    """What happened at all, the likeliest kept when there is too much; the face's limit and a temperature asked for always."""
    always = [event for event in events if event is events[0] or event.code == ASKED]
    happened = [event for event in events if event.chance.share > 0.0 and event not in always]
    kept = sorted(happened, key=lambda event: -event.chance.share)[: max(most - len(always), 0)]
    return [event for event in events if event in always or event in kept]
