"""The figures of a found fan with their whys: how hot it got, what killed its modules, what the modules that fit lead to.

Each why works its value out anew: from the curves of the evening, the table of causes and the parts' own figures.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from ..build import Build
from ..odds_screen import rate
from ..stack.evening import Evening
from ..stack.fields import P, Seen
from ..studies.margins import margins
from ..studies.odds_fans import Figure
from ..studies.retrofit import Retrofit
from ..studies.retrofit_causes import LEAST, RARELY, Death, Likely
from ..studies.retrofit_modules import Fit
from .whys_odds import ODDS_WHYS
from .whys_row import Look
from .whys_trial import ToldFigure, told_figure

ZERO = 273.15
FIT_HEADS = ("over-fired, no guard", "hot side bears", "starts", "nearest its limit", "thicker by", "thread in hand")
BANDS = (Figure.starts_at, Figure.air, Figure.peak_face)


def _c(kelvin: float) -> str:
    return f"{kelvin - ZERO:.0f} °C"


def heat_figures(found: Retrofit) -> list[ToldFigure]:
    """How hot a face of the found fan gets with no guard, and what its modules bear."""
    death, at = found.death, f"{found.outside.name}, modules taken as whole, no guard"
    now, part = found.fits[0].now, found.build.modules[0].part
    hottest = _hottest(now.worst)
    numbers = f"{hottest[Seen.plate] - ZERO:.1f} °C {_drops(hottest)}"
    rated, melts = part.hot_limit.value, part.solder.value
    return [
        told_figure(
            "found_heat", "hottest face, over-fired", _c(death.peak), numbers, at, float(hottest[Seen.hot_face]) - ZERO
        ),
        told_figure("found_rated", "its rating", _c(death.limit), f"{part.name}: rated {_c(rated)}", at, rated - ZERO),
        told_figure(
            "found_rated", "its solder melts at", _c(death.solder), f"{part.name}: solder {_c(melts)}", at, melts - ZERO
        ),
    ]


def band_figures(found: Retrofit) -> list[ToldFigure]:
    """Between what start, air and hottest face lie of the fan with whole modules and no guard."""
    now, figures = found.fits[0].now, []
    look = Look(now, now.usual_point.seen, thrown=found.thrown)
    labels = ("starts at", "air at the usual plate", "over-fired face")
    for figure, label in zip(BANDS, labels, strict=True):
        if figure not in found.thrown.bands:
            continue
        filled = ODDS_WHYS[f"odds_{figure.name}"].fill(look)
        text = filled.numbers.split(" above ")[1].split(";")[0]
        figures.append(told_figure("found_band", label, text, filled.numbers, "whole modules, no guard", filled.value))
    return figures


def cause_figure(one: Likely, death: Death) -> ToldFigure:
    """How likely one cause is: its weight against the weights of all."""
    cause, weights = one.cause, {}
    for other in death.causes:
        heat = _heat(other.cause.code, death)
        weights[other.cause.code] = (
            other.cause.common * heat * math.prod(other.cause.shows.get(sign, RARELY) for sign in death.signs)
        )
    heat, whole = _heat(cause.code, death), sum(weights.values())
    terms = [f"{cause.common:g}"] + ([f"{heat:.2f} (throws so hot)"] if cause.code in ("melted", "cooked") else [])
    terms += [f"{cause.shows.get(sign, RARELY):g} ({sign})" for sign in death.signs]
    share = weights[cause.code] / whole
    numbers = f"{' · '.join(terms)} = {weights[cause.code]:.4f}, of {whole:.4f} for all causes: {share:.3f}"
    return told_figure("found_cause", cause.says, rate(one.share), numbers, f"shown: {', '.join(death.signs)}", share)


def _heat(code: str, death: Death) -> float:
    if code == "melted":
        return max(death.past_solder, LEAST)
    return max(death.past_limit - death.past_solder, LEAST) if code == "cooked" else 1.0


def _at_start(ran: Evening, wanted: float) -> float | None:
    """The plate when the twist at standstill first reaches what is wanted, between two kept states by straight line, K."""
    twist, plate = ran.seen[:, Seen.stall_torque], ran.seen[:, Seen.plate]
    reached = np.flatnonzero(twist >= wanted)
    if reached.size == 0:
        return None
    i = int(reached[0])
    if i == 0:
        return float(plate[0])
    share = (wanted - twist[i - 1]) / (twist[i] - twist[i - 1])
    return float(plate[i - 1] + share * (plate[i] - plate[i - 1]))


def _hottest(ran: Evening) -> NDArray[np.float64]:
    row: NDArray[np.float64] = ran.seen[int(np.nanargmax(ran.seen[:, Seen.hot_face]))]
    return row


def _drops(row: NDArray[np.float64]) -> str:
    ways = (("plate chilled by the foot", Seen.plate, Seen.local), ("seat", Seen.local, Seen.foot),
            ("riser", Seen.foot, Seen.hot_plate), ("joint", Seen.hot_plate, Seen.hot_face))  # fmt: skip
    return " ".join(f"− {row[above] - row[below]:.1f} K ({says})" for says, above, below in ways)


def fit_figures(one: Fit, old: Build) -> list[ToldFigure]:
    """Every figure of one module that goes in, in the order of the table.

    Args:
        one: the module; of one that cannot be fitted there are none.
        old: the found fan, for what the old modules were taken for.

    Returns:
        Hottest face, what it bears, start, nearest limit, thicker by, thread in hand.
    """
    if one.tried is None or one.peak is None or one.margin is None:
        return []
    solved, part, at = one.tried.solved, one.part, f"{one.count} × {one.part.name} in place of the old modules"
    hottest = _hottest(solved.worst)
    least, bears = margins(solved)[0], one.limit
    twist = float(solved.stack.p[P.motor_breakaway])
    start = _at_start(solved.usual, twist)
    new, was = part.thickness.value, old.modules[0].part.thickness.value
    rows = [
        ("found_peak", f"{_c(one.peak)}, {'which it bears' if one.peak < bears else 'which kills it'}",
         f"{hottest[Seen.plate] - ZERO:.1f} °C {_drops(hottest)}", float(hottest[Seen.hot_face]) - ZERO),
        ("found_bears", _c(bears),
         f"the lesser of {_c(part.hot_limit.value)} rated and {_c(part.solder.value)}, where its solder melts",
         min(part.hot_limit.value, part.solder.value) - ZERO),
        ("found_starts", "never" if one.starts is None else _c(one.starts),
         f"on the usual evening k·I at standstill reaches {twist * 1e6:.0f} µN·m " + ("never" if start is None else f"at {_c(start)}"),
         None if start is None else start - ZERO),
        ("found_left", f"{one.nearest}: {one.margin:.0f} K, {'in hand' if one.margin > 0.0 else 'past its limit'}",
         f"{least.part}: {least.limit - ZERO:.1f} °C − {least.peak - ZERO:.1f} °C ({least.where})", least.limit - least.peak),
        ("found_thicker", f"{one.thicker * 1e3:+.1f} mm", f"{new * 1e3:.2f} mm − {was * 1e3:.2f} mm", (new - was) * 1e3),
    ]  # fmt: skip
    if one.screw_left is not None:
        spare = one.screw_left + one.thicker
        short = f", {one.against}" if one.against else ""
        numbers = f"{spare * 1e3:.2f} mm to spare as measured − {(new - was) * 1e3:.2f} mm"
        text = f"{one.screw_left * 1e3:.1f} mm{short}"
        rows.append(("found_screw", text, numbers, (spare - (new - was)) * 1e3))
    return [
        told_figure(key, f"{part.name}, {head}", text, numbers, at, value)
        for head, (key, text, numbers, value) in zip(FIT_HEADS, rows, strict=False)
    ]
