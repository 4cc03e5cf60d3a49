"""A trial as text for an 80-column screen."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Mapping

from . import __version__
from .build import digest
from .parts.catalogue import sized_names
from .trial.channels import CHANNELS
from .trial.columns import LEFT, TIME
from .trial.compare import Compared, Difference
from .trial.fit import Fit, Found
from .trial.infrared import ASKS
from .trial.logs import Log
from .trial.predict import INPUT
from .trial.shown import Shown
from .trial.together import Trial
from .units import DIMENSIONS, Spread, in_inches, show

WIDE = 79
FEW_FOUND, FEW_UNTOLD, FEW_MISSING = 5, 3, 2
MOST_LINES = 40
WITHIN = 0.9  # of the points in the band: nothing speaks against the guesses


def _wrap(text: str, first: str = "", rest: str = "    ") -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=first, subsequent_indent=rest)


def step(value: float, key: str) -> str:
    """A difference of a channel, signed: "+9 K", "-120 rpm"."""
    dimension = CHANNELS[key].dimension
    if dimension == "temperature":
        return f"{value:+.1f} K" if abs(value) < 10.0 else f"{value:+.0f} K"
    text = show(abs(value), dimension)
    return f"{'-' if value < 0.0 else '+'}{text}"


def shown_words(one: Shown) -> str:
    """One thing that a fire showed, with how well it is known."""
    if one.value is None:
        return one.says
    kind = "temperature" if one.dimension == "temperature" else one.dimension
    figure = f"{one.value:.0f} K" if kind == "temperature_difference" else show(one.value, kind)
    if one.half is None:
        return f"{one.says} {figure}"
    number, _, unit = figure.rpartition(" ")
    return f"{one.says} {number} ± {max(one.half, 0.5):.0f} {unit}"


def _log_lines(found: Trial, every: bool, few: int) -> Iterator[str]:
    for k, log in enumerate(found.logs):
        yield from log_lines(log, found.measured.doubt, every, few)
        if k > 0:
            off = found.offsets[k - 1]
            sure = f", the curves go together to {off.agrees:.3f} of 1" if off.how not in ("as given", "their clocks") else ""
            doubt = ": doubtful, set it with --offset" if off.doubtful else "; set it with --offset"
            yield from _wrap(f"joined by {off.seconds:+.0f} s, found by {off.how}{sure}{doubt}", "  ")


def log_lines(log: Log, doubt: Mapping[str, float], every: bool, few: int) -> Iterator[str]:
    """One log as it was read: columns, lines left out, empty cells, gaps.

    Args:
        log: as read.
        doubt: what infrared adds to how far a channel may be off (one s). [SI]
        every: whether every line left out is named.
        few: how many are named else.

    Yields:
        Lines of text.
    """
    span = max((float(s.time[-1]) for s in log.series.values()), default=0.0)
    day = f", {log.date}" if log.date else ""
    yield f"{log.name}: {log.rows:,} lines over {span / 60:.0f} min{day}"
    used = [
        f"{c.header} = {c.channel}" + (f" in {c.unit}" if c.unit and c.channel != TIME and c.unit not in c.header else "")
        + (" (guessed)" if c.why.startswith("no unit") or "hottest" in c.why or "taken as" in c.why else "")
        for c in log.columns if c.channel != LEFT
    ]  # fmt: skip
    yield from _wrap("Columns: " + "; ".join(used), "  ")
    left = [c.header for c in log.columns if c.channel == LEFT]
    if left:
        yield from _wrap(f'not used: {", ".join(left)}; name one with --column "{left[0]}=sink"', "  ")
    for line, says in log.bad if every else log.bad[: min(few, 2)]:
        yield from _wrap(f"line {line}: {says}; left out", "  ")
    if not every and len(log.bad) > min(few, 2):
        yield f"  and {len(log.bad) - min(few, 2)} more lines left out; --all lists them"
    told = [f"{CHANNELS[key].says} {n}" for key, n in log.empty.items() if key in CHANNELS]
    if told and every:
        yield from _wrap("empty cells: " + ", ".join(told), "  ")
    elif told:
        yield f"  {sum(log.empty.values())} empty cells"
    if log.gaps:
        longest = max(log.gaps, key=lambda gap: gap[1] - gap[0])
        many = f"{len(log.gaps)} gap{'s' if len(log.gaps) > 1 else ''}"
        yield f"  {many}, the longest {(longest[1] - longest[0]) / 60:.0f} min from {longest[0] / 60:.0f} min on"
    for one in log.columns:
        if one.surface is not None:
            yield from _wrap(
                f"{one.channel} by infrared: put right for a surface that radiates {one.surface.radiates:g} of black, "
                f"± {2.0 * doubt.get(one.channel, 0.0):.0f} K; {ASKS}", "  ",
            )  # fmt: skip


def difference_words(one: Difference) -> str:
    """How one channel differs from what was predicted."""
    channel = CHANNELS[one.key]
    if one.since is None or abs(one.mean) < 0.5 * channel.typed:
        return f"{channel.says}: as predicted, within {step(one.usual, one.key).lstrip('+')} as a rule"
    if channel.dimension == "temperature":
        way = "hot" if one.mean > 0.0 else "cold"
        return f"{channel.says}: {step(abs(one.mean), one.key).lstrip('+')} too {way} from {one.since / 60:.0f} min on"
    way = "more" if one.mean > 0.0 else "less"
    return f"{channel.says}: {step(abs(one.mean), one.key).lstrip('+')} {way} than predicted from {one.since / 60:.0f} min on"


def _compared(compared: Compared, found: Trial) -> Iterator[str]:
    inside, count = (sum(getattr(one, what) for one in compared.differences) for what in ("inside", "count"))
    yield f"Measured on predicted: {inside} of {count} points lie in the 19-in-20 band"
    for one in compared.differences:
        yield from _wrap(difference_words(one), "  ")
    yield from _wrap(cause_words(compared, found), "  ")


def cause_words(compared: Compared, found: Trial, fitting: str = "try --fit") -> str:
    """Why measured and predicted differ, in a sentence; `fitting` says how the guesses are corrected."""
    inside, count = (sum(getattr(one, what) for one in compared.differences) for what in ("inside", "count"))
    if found.unexplained:
        return f"No one cause explains that; several guesses may be off: {fitting}."
    if not found.causes:
        return "No cause is needed: it lies within what was guessed and what meters may be off."
    says = " or ".join(f"{cause.says}" for cause in found.causes[:3])
    lead = "It looks like: " if len(found.causes) == 1 else "It cannot be told apart whether: "
    if inside >= WITHIN * count:
        lead = "All within what was guessed. Were the guesses right to a quarter of that, it would look like: "
    return lead + says + "."


def figure(spread: Spread, dimension: str) -> str:
    """Value and spread of an input, short."""
    if dimension == "temperature":
        return f"{spread.value - 273.15:.1f} ± {spread.half:.1f} °C"
    places = 0 if spread.half <= 0.0 else max(0, 1 - math.floor(math.log10(spread.half)))
    kind = DIMENSIONS[dimension]
    factor = 1.0 if dimension == "number" else _factor(dimension)
    if factor != 1.0:
        value, half = spread.value / factor, spread.half / factor
        places = max(0, 1 - math.floor(math.log10(half))) if half > 0.0 else 0
        return f"{value:.{min(places, 6)}f} ± {half:.{min(places, 6)}f} {kind.shown}"
    unit = "" if dimension == "number" else f" {kind.shown}"
    return f"{spread.value:.{min(places, 6)}f} ± {spread.half:.{min(places, 6)}f}{unit}"


def _factor(dimension: str) -> float:
    from .quantities import factor_of

    kind = DIMENSIONS[dimension]
    return factor_of(kind.shown, kind, kind.example)


def dimension_of(place: str) -> str:
    """What an input measures, by its name: the last word of its place in a build."""
    from .parts.part_fields import FIELDS
    from .studies.file_keys import MEASURES

    field = place.rsplit(".", 1)[-1]
    for fields in FIELDS.values():
        if field in fields and fields[field].kind in DIMENSIONS:
            return fields[field].kind
    return MEASURES.get(field) or OTHERS.get(field, "")


OTHERS = {
    "room": "temperature", "plate_thickness": "length", "plate_front": "length", "plate_side": "length", "coating": "length",
    "flame_coefficient": "heat_transfer_coefficient", "coating_conductivity": "conductivity", "plume_still": "number",
    "plume_blown": "number", "bow": "number", "settle": "length", "clamp_pressure": "pressure", "leads": "ohms",
    "on_base": "number", "in_stream": "number", "bypass": "number", "head_contact": "heat_transfer_coefficient",
    "mount_conductance": "thermal_conductance", "spring_force": "force", "spring_rate": "spring_rate", "width": "length",
    "depth": "length", "thickness": "length", "free_length": "length", "mass": "mass", "blown_power": "number",
}  # fmt: skip


def before_and_now(one: Found, done: Fit) -> tuple[str, str]:
    """What was guessed of an input, and what the fire says of it."""
    place = next(i.places[0] for i in done.rig.inputs if i.key == one.unknown.of)
    dimension = dimension_of(place)
    before, now = (figure(s, dimension) if dimension else f"{s.value:.4g} ± {s.half:.2g}" for s in (one.before, one.after))
    return before, now


def _found_line(one: Found, done: Fit) -> str:
    before, after = before_and_now(one, done)
    return f"  {one.unknown.name[:29]:<30}{before:<25}{after}"


def meters_off(done: Fit) -> list[str]:
    """Meters that seem off by more than a spread, a sentence each."""
    said = []
    for one in done.found:
        if one.unknown.kind == "level" and abs(one.x) > 1.0:
            off, key = one.after.value, one.unknown.of
            told_off = f"{100.0 * off:+.1f} %" if CHANNELS[key].shares else step(off, key)
            which = one.unknown.name.rpartition("meter off")[2]
            said.append(f"The meter of the {CHANNELS[key].says}{which} seems off by {told_off}.")
    return said


def _fit_lines(found: Trial, every: bool, few: int) -> Iterator[str]:
    done = found.fit
    if done is None:
        return
    yield f"{'What the fire says':<32}{'what we guessed before':<25}now"
    told = done.told
    for one in told if every else told[:few]:
        yield _found_line(one, done)
    if not every and len(told) > few:
        yield f"  and {len(told) - few} more; --all lists them"
    if not told:
        yield "  nothing: no guess is narrowed to less than 0.8 of what it was"
    untold = [one for one in done.found if not one.told and one.unknown.kind == INPUT]
    if untold:
        close = [one for one in untold if one.closely > 0.95]
        some = [f"{one.unknown.name} ({one.why_not})" for one in close[:FEW_UNTOLD]]
        others = [one.unknown.name for one in untold if one not in close]
        if some:
            yield from _wrap("Not told apart: " + "; ".join(some) + ".", "  ")
        if others:
            shown = others if every else others[:FEW_UNTOLD]
            more = "" if every or len(others) <= FEW_UNTOLD else f" and {len(others) - FEW_UNTOLD} more"
            yield from _wrap(f"Not told by this fire: {', '.join(shown)}{more}.", "  ")
    if done.only:
        yield "  Only what you named was moved; what else is off has gone into it."
    yield from (f"  {says}" for says in meters_off(done)[:2])
    if len(done.rigs) > 1:
        yield f"  Of {len(done.rigs)} evenings together; each keeps meters and a room of its own."
    if done.walked is not None:
        yield f"  Walked {done.walked.steps} steps through all that fits" + (
            "." if done.settled else "; too few to be settled: the bands may be out by a fifth."
        )
    settled = "" if done.settled else "; not fully settled"
    yield f"  Usual difference in spreads of a point: {done.before:.1f}, now {done.after:.1f}{settled}."
    if found.foretold is not None:
        told_ = found.foretold
        yield from _wrap(
            f"Foretold without having seen it ({told_.name}): {told_.inside} of {told_.count} points in the 19-in-20 band "
            f"({100.0 * told_.inside / told_.count:.0f} in 100).", "  ",
        )  # fmt: skip


def trial_text(found: Trial, every: bool = False, setting: str = "metric") -> str:
    """A trial as text.

    Args:
        found: the trial.
        every: whether every line, input and cause is listed.
        setting: "metric" or "inch".

    Returns:
        The text; at most 40 lines of 80 columns unless `every`.
    """
    few = FEW_FOUND
    lines = _all_lines(found, every, few)
    while not every and len(lines) > MOST_LINES and few > 0:
        few -= 1
        lines = [line for line in _all_lines(found, every, few) if line]
    text = "\n".join(lines) + "\n"
    return in_inches(text, sized_names()) if setting == "inch" else text


def _all_lines(found: Trial, every: bool, few: int) -> list[str]:
    """Every line, with so many of the fit's results and at most two lines of the log named."""
    lines = [f"{found.build.name}: trial", ""]
    lines += list(_log_lines(found, every, few))
    lines += ["", *_wrap("Shown: " + "; ".join(shown_words(one) for one in found.verdict.shown) + ".")]
    for one in found.verdict.missing if every else found.verdict.missing[:FEW_MISSING]:
        lines += _wrap(f"Not shown: {one}.", "")
    if found.compared is not None:
        lines += ["", *_compared(found.fitted if every and found.fitted else found.compared, found)]
    if every:
        lines += [f"    {cause.code}: betters the fit by {cause.betters:.0f}" for cause in found.every_cause[:6]]
    if found.fit is not None:
        lines += ["", *_fit_lines(found, every, few)]
    lines += ["", *_wrap(f"Next fire, attended: {found.verdict.next_fire}")]
    for caution in found.verdict.cautions:
        lines += _wrap(caution, "  ")
    lines.append(f"hobwind {__version__}, build {digest(found.build)}, log {found.logs[0].digest}")
    return lines
