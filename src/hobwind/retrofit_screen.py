"""A found fan as text for an 80-column screen, and what to measure on one."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from . import __version__
from .build import digest
from .build.retrofit_file import SIGNS
from .odds_screen import rate
from .studies.dice import Chance
from .studies.file_keys import in_tables
from .studies.odds import Odds
from .studies.odds_fans import Figure
from .studies.retrofit import Retrofit, asks
from .studies.retrofit_modules import Fit
from .studies.retrofit_tuning import WORDS, Matched
from .units import head_of, in_column, show, show_spread

WIDE, MOST_LINES, LABEL = 79, 40, 11
ZERO = 273.15
FEW_CAUSES, FEW_READ = 2, 3
HEAD = ("thick", "screw", "bears", "face", "start", "air", "left")
UNITS = ("mm", "mm", "°C", "°C", "K", "m³/h", "K")
COLUMNS = (6, 6, 6, 5, 6, 6, 6)

TO_MEASURE = f"""\
A fan whose inside is unknown: measure it from outside, cold, and type it into
a file such as fan.toml. Then: hobwind retrofit fan.toml

format = 1
name = "my found fan"

[stove]                        # as in a build file
usual_plate = "230 °C"
worst_plate = "330 °C"

[fan]
weight = "1850 ± 20 g"         # kitchen scale
base_width = "60 mm"           # the foot; or base_diameter
base_depth = "60 mm"
plate_width = "90 mm"          # a wider plate under the modules, if there is
plate_depth = "60 mm"          #   one; else leave all three out
plate_thickness = "8 mm"
sink_from = "112 mm"           # stove plate to the sink; leave out if hidden
height = "158 mm"              # stove plate to the tips of the fins
sink_width = "150 mm"          # across the fins
sink_depth = "100 mm"          # along the fins
fins = 14
hub = "215 mm"                 # stove plate to the blade's hub
blade_diameter = "150 mm"
vanes = 4

[module]
size = "40 mm"
thickness = "3.9 ± 0.1 mm"     # feelers in the slit; leave out if hidden
shows = ["open"]               # {", ".join(SIGNS[:3])},
                               #   {", ".join(SIGNS[3:6])},
                               #   {", ".join(SIGNS[6:])}
[[seen]]                       # settled for half an hour; as many as you like
plate = "180 °C"               # or a log: hobwind retrofit fan.toml fire.csv
base = "120 °C"                # riser just above the plate; top: under the
sink = "79 °C"                 #   modules; speed = "900 rpm" where it turns

Also: fin_thickness, motor_diameter, metal; [motor], [blade], [screws] as in a
build file; screws.spare, the thread a screw can give. An open fan with power
off, cold, guards your fingers: white ceramic may be beryllia, never file it.
"""


def _fill(text: str, label: str = "") -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=label.ljust(LABEL), subsequent_indent=" " * LABEL)


def _degrees(kelvin: float | None) -> str:
    return "-" if kelvin is None else f"{kelvin - ZERO:.0f}"


def _signed(value: float | None, size: float = 1.0) -> str:
    if value is None:
        return "-"
    told = f"{value * size:+.0f}"
    return "0" if told in ("+0", "-0") else told


def _read(one: Matched) -> str:
    dimension = "turning" if one.what == "speed" else "temperature"
    seen, before, after = (show(value, dimension) for value in (one.seen, one.before, one.after))
    return f"{WORDS[one.what]} {seen} seen, {before} by rule, {after} tuned"


def _looks(matched: Sequence[Matched], every: bool) -> str:
    shown = matched if every else matched[:FEW_READ]
    more = len(matched) - len(shown)
    return "; ".join(map(_read, shown)) + (f"; and {more} more readings: --all" if more else "")


def bands_text(thrown: Odds) -> str:
    """Between what start, air and hottest face lie of a fan known from outside."""
    told = []
    for figure, says, dimension in (
        (Figure.starts_at, "starts at", "temperature"),
        (Figure.air, "air", "air_flow"),
        (Figure.peak_face, "over-fired face", "temperature"),
    ):
        band = thrown.bands.get(figure)
        if band is not None:
            told.append(f"{says} {show(band.low, dimension)} to {show(band.high, dimension)}")
    return "; ".join(told) + " (19 in 20, whole modules, no guard)."


def _columns(head: str, cells: Sequence[str]) -> str:
    return head.ljust(32) + "".join(cell.rjust(width) for cell, width in zip(cells, COLUMNS, strict=True))


def _fit(one: Fit, setting: str) -> str:
    head = f"{one.count} x {one.part.name}"
    if one.tried is None:
        return f"{head:<32}  does not fit: {one.against}"[:WIDE]
    mark = "" if one.margin is not None and one.margin > 0.0 else " other"
    if one.peak is not None and one.peak >= one.limit:
        mark = " dies"
    cells = (
        f"{one.thicker * 1e3:+.1f}", "-" if one.screw_left is None else f"{one.screw_left * 1e3:.1f}", _degrees(one.limit),
        _degrees(one.peak), _signed(one.start_change), _signed(one.air_change, 3600.0), _signed(one.margin),
    )  # fmt: skip
    return (
        _columns(head, [in_column(cell, unit, setting) for cell, unit in zip(cells, UNITS, strict=True)])
        + ("" if not one.against else " short")
        + mark
    )


def _cause_lines(found: Retrofit, every: bool) -> list[str]:
    death = found.death
    heat = (
        f"Unguarded and over-fired a face reaches about {show(death.peak, 'temperature')}; its rating is "
        f"{show(death.limit, 'temperature')}, its solder melts at {show(death.solder, 'temperature')}. "
    )
    if not death.causes:
        return _fill(heat + "Say what the module shows (module.shows) to hear what killed it.", "Death")
    told = [f"{rate(one.share)} {one.cause.says}" for one in death.causes if every or one.share >= 0.05]
    kept = told if every else told[:FEW_CAUSES]
    likely = f"Most likely: {'; '.join(kept)} (common practice). Against the first: {death.causes[0].cause.mend}."
    return _fill(f"shows {', '.join(death.signs)}. {heat}{likely}", "Death")


def _guard_lines(found: Retrofit) -> list[str]:
    best = found.best
    if best is None:
        return _fill(f"none that leaves the fan closed serves: {found.reason.removeprefix('no guard here serves. ')}.", "Guard")
    starts, air = _degrees(best.solved.starts_at), best.solved.usual_air * 3600.0
    told = f"{best.kind} ({asks(best)}): {best.says}."
    told += f" Needs {', '.join(best.parts)}." if best.parts and best.parts != (best.says,) else ""
    told += f" With it: starts at {starts} °C, {air:.0f} m³/h, {best.least.part} {best.least.margin:.0f} K below its limit"
    harm = None if found.guarded is None else found.guarded.chance_of("face_over_limit")
    told += "" if harm is None else f"; over-fired, a face passes its limit in {_share(harm)}"
    return _fill(told + ".", "Guard")


def _share(chance: Chance) -> str:
    return f"none of {chance.count} throws" if chance.share <= 0.0 else f"about {rate(chance.share)}"


def retrofit_text(found: Retrofit, every: bool = False, setting: str = "metric") -> str:
    """A found fan within 40 lines of 79 columns, unless `every` asks for all.

    Args:
        found: the fan.
        every: also every rule, module and guard with what it asks of the fan, and the reduced build itself.
        setting: "metric", or "inch" for the table in °F, inches and cfm; its sentences are changed where all text is printed.

    Returns:
        Text, a newline at its end.
    """
    lines = textwrap.wrap(f"{found.outside.name} ({found.outside.file}): a fan known from outside", WIDE)
    rules = found.made.rules
    lines += ["", *(_fill("; ".join(rules) + ".", "Inside"))]
    if found.tuned:
        moved = ", ".join(
            f"{one.says} {show_spread(one.was, one.dimension)} -> {show_spread(one.now, one.dimension)}" for one in found.tuned
        )
        lines += _fill(f"{moved}; {_looks(found.matched, every)}.", "Tuned")
    elif found.matched:
        lines += _fill(f"nothing; {_looks(found.matched, every)}.", "Tuned")
    lines += _fill(bands_text(found.thrown), "Bands")
    lines += _cause_lines(found, every)
    head = [_columns("Modules", HEAD), _columns("", [head_of(unit, setting) for unit in UNITS])]
    rows = [_fit(one, setting) for one in found.fits]
    tail = _guard_lines(found)
    tail += textwrap.wrap(
        "thick: thicker by, so much longer a pin held above; screw: thread in hand; bears: hot side; face: over-fired, no "
        "guard; left: of the part nearest its limit; dies: the module; other: compound, motor or wire; start, air: against "
        "the old ones when whole. --all: every row and guard; --take FILE: the reduced build, --module NAME --with-guard: "
        "mended. "
        f"hobwind {__version__}, build {digest(found.build)}, seed {found.thrown.seed}",
        WIDE,
    )
    room = MOST_LINES - len(lines) - len(head) - len(tail)
    if not every and len(rows) > room:
        rows = [*rows[: max(room - 1, 1)], f"... and {len(found.fits) - max(room - 1, 1)} more: --all"]
    lines += [*head, *rows, *tail]
    if every:
        lines.append("")
        for one in found.guards.rows:
            lines += textwrap.wrap(f"{one.kind}: {asks(one)}; {one.says}", WIDE, subsequent_indent="    ")
            against = "; ".join(one.shortcomings()) or "nothing while all its parts work"
            lines += textwrap.wrap(f"against it: {against}", WIDE, initial_indent="    ")
            lines += [f"    {line}" for line in in_tables(one.keys)]
        for fit in found.fits:
            if fit.tried is not None:
                says = f"{fit.part.name}: {fit.nearest} nearest its limit; leads' sleeve {_signed(fit.wire_margin)} K in hand"
                says += "; hot side down" if fit.part.grade == "generator" else "; either way up"
                lines += textwrap.wrap(says, WIDE, subsequent_indent="    ")
        lines += ["", *found.made.text.splitlines()]
    return "\n".join(lines) + "\n"
