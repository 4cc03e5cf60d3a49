"""The worth list as text for an 80-column screen."""

from __future__ import annotations

import math
import textwrap

from . import __version__
from .build import digest
from .parts.catalogue import sized_names
from .studies.file_keys import in_tables
from .studies.odds_fans import Figure
from .studies.worth import MOSTLY, Change, Gain, Worth
from .units import in_inches

WIDE = 79
MOST_LINES = 40
NAMES = {Figure.starts_at: "start", Figure.air: "air", Figure.peak_face: "face", Figure.margin: "margin"}
UNITS = {Figure.starts_at: (1.0, "K"), Figure.air: (3600.0, "m³/h"), Figure.peak_face: (1.0, "K"), Figure.margin: (1.0, "K")}


def cost_text(cost: float) -> str:
    """A cost in prices of one module, in words."""
    if cost <= 0.0:
        return "nothing to buy"
    return "about the price of a module" if cost == 1.0 else f"about {cost:g} of a module's price"


def owners(gain: Gain) -> str:
    """Whose margin it is that an improvement changes, before and after where that is not one."""
    return ", then ".join(dict.fromkeys((gain.nearest, gain.nearest_then)))


def name_of(figure: Figure, gain: Gain) -> str:
    """What a figure of an improvement is called; of the margin also whose it is."""
    return f"{owners(gain)}'s {NAMES[figure]}" if figure is Figure.margin else NAMES[figure]


def change_text(figure: Figure, change: Change) -> str:
    """How one figure changes, such as "-3 K ± 1 K"."""
    factor, unit = UNITS[figure]
    if not math.isfinite(change.mean):
        return "-"
    mean, half = change.mean * factor, change.half * factor
    places = 0 if abs(mean) >= 1.5 or half >= 1.5 else 1
    mean = 0.0 if abs(mean) < 0.5 * 10.0**-places else mean
    return f"{mean:+.{places}f} {unit} ± {half:.{places}f} {unit}"


def told_change(figure: Figure, gain: Gain) -> str:
    """How one figure of an improvement changes; of fans that often never start, in how many they do instead of a mean of the rest."""
    if figure is Figure.starts_at and min(gain.starting) < MOSTLY:
        before, then = (round(20.0 * share) for share in gain.starting)
        return f"in {then} fans in 20, {before} before"
    return change_text(figure, gain.changes[figure])


def _changes(gain: Gain, setting: str) -> str:
    # Peak and margin mirror each other; the margin is what matters, the face stands in the JSON and with --all.
    shown = [figure for figure in NAMES if figure is not Figure.peak_face]
    told = ", ".join(f"{name_of(figure, gain)} {told_change(figure, gain)}" for figure in shown)
    return in_inches(told, sized_names()) if setting == "inch" else told


def _says(gain: Gain) -> str:
    says = gain.option.says
    return says[:1].upper() + says[1:]


def _gain(number: str, gain: Gain, setting: str, keys: bool) -> list[str]:
    work = gain.option.work
    says = in_inches(_says(gain), sized_names()) if setting == "inch" else _says(gain)
    lines = textwrap.wrap(
        f"{says}: {minutes_text(work.minutes)}, {cost_text(work.cost)}", WIDE, initial_indent=number, subsequent_indent="   "
    )
    lines += textwrap.wrap(_changes(gain, setting), WIDE, initial_indent="      ", subsequent_indent="      ")
    lines += textwrap.wrap(f"Caution: {work.caution}", WIDE, initial_indent="      ", subsequent_indent="      ")
    if keys and gain.keys:
        lines += ["      in the file:", *(f"      {line}" for line in in_tables(gain.keys))]
    return lines


def minutes_text(minutes: int) -> str:
    """Minutes of work, in hours where there are many."""
    return f"{minutes} min" if minutes < 90 else f"{minutes / 60.0:.1f} h"


def worth_text(found: Worth, setting: str = "metric", every: bool = False) -> str:
    """The worth list: what helps, the best pair, what is not worth doing and why.

    Args:
        found: the improvements.
        setting: "metric" or "inch".
        every: everything, with the lines of the build file that carry each out.

    Returns:
        Text, a newline at its end; within 40 lines unless `every`.
    """
    build = found.build
    lines = textwrap.wrap(f"{build.name} ({build.file})", WIDE)
    lines += textwrap.wrap(
        f"What each change brings, best first: the plate at which it starts, air on the usual plate, the least margin of "
        "the modules' faces, joints and wire on the over-fired evening, and whose it is; "
        f"± 19 in 20, from {found.count} thrown fans before and after.",
        WIDE,
    )
    head = [*lines, ""]
    tail = _idle(found, setting)
    pair = [] if found.pair is None else ["", "The best pair", *_gain("   ", found.pair, setting, every)]
    foot = ["", *textwrap.wrap("Minutes and costs are rough, common practice.", WIDE)]
    foot.append(f"hobwind {__version__}, build {digest(build)}, seed {found.seed}")
    blocks = [_gain(f"{k:<3}", gain, setting, every) for k, gain in enumerate(found.gains, start=1)]
    if not blocks:
        blocks = [["Nothing stands out: no single change is clearly felt."]]
    room = MOST_LINES - len(head) - len(pair) - len(foot)
    body: list[str] = []
    left = len(blocks)
    for block in blocks:
        if not every and len(body) + len(block) > room - min(len(tail), 12):
            break
        body += block
        left -= 1
    if left:
        body.append(f"... and {left} more: see --all")
    room -= len(body)
    if not every and len(tail) > room:
        tail = [*tail[: max(room - 1, 2)], "  ... see --all"]
    return "\n".join([*head, *body, *pair, *tail, *foot]) + "\n"


def _idle(found: Worth, setting: str) -> list[str]:
    if not found.idle:
        return []
    lines = ["", "Not worth doing"]
    for gain in found.idle:
        text = f"{_says(gain)}: {gain.why_not} ({_changes(gain, 'metric')})"
        text = in_inches(text, sized_names()) if setting == "inch" else text
        lines += textwrap.wrap(text, WIDE, initial_indent="   ", subsequent_indent="      ")
    return lines
