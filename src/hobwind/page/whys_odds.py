"""The equations behind the figures of the Odds section: bands, chances, what a measurement narrows, what an hour brings."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from ..odds_screen import figure_text, give_text, range_text
from ..studies.margins import margins
from ..studies.odds import HEAD, LEFT
from ..studies.odds_fans import TOLD, Figure
from ..studies.odds_report import KEYS
from .whys_row import Filled, Look, Why

NOT_THROWN = Filled("nothing has been thrown yet", None)
EVENTS = {
    "face_over_limit": "A face passes its limit", "face_over_asked": "A face passes what was asked",
    "guard_too_weak": "Guard too weak", "guard_never_lifts": "Guard does not lift", "guard_hunts": "Guard hunts",
    "guard_up_on_usual_plate": "Guard up on the usual plate", "wax_bursts": "Wax element bursts",
    "joint_over_limit": "Grease or wire passes its limit", "falls_over": "Falls over",
    "motor_over_limit": "Motor passes its limit", "never_turns": "Never turns", "starts_late": "Starts late",
    "little_air": "Little air", "not_computed": "Not computed",
}  # fmt: skip


def _band(figure: Figure) -> Callable[[Look], Filled]:
    def fill(look: Look) -> Filled:
        if look.thrown is None or figure not in look.thrown.bands:
            return NOT_THROWN
        band, told, (_, factor, shift) = look.thrown.bands[figure], TOLD[figure], KEYS[figure]
        row = look.thrown.figures[..., figure].ravel()
        row = row[np.isfinite(row)]
        below, above = int((row < band.low).sum()), int((row > band.high).sum())
        loose = give_text(max(band.low_loose, band.high_loose), told.dimension)
        numbers = (
            f"of {row.size:,} thrown fans that came to it {below} lie below and {above} above "
            f"{range_text(band.low, band.high, told.dimension)}; half of them above {figure_text(band.middle, told.dimension)}; as written "
            f"{figure_text(float(look.thrown.written[figure]), told.dimension)}; thrown anew the ends may move by {loose}"
        )
        return Filled(numbers, band.middle * factor + shift)

    return fill


def _chance(code: str) -> Callable[[Look], Filled]:
    def fill(look: Look) -> Filled:
        one = None if look.thrown is None else look.thrown.chance_of(code)
        if one is None:
            return NOT_THROWN
        return Filled(f"{round(one.share * one.count):,} of {one.count:,} thrown fans = {one.share:.4f}", one.share)

    return fill


def _measure(look: Look) -> Filled:
    if look.thrown is None or not 0 <= look.which < len(look.thrown.measures):
        return NOT_THROWN
    one, told = look.thrown.measures[look.which], []
    for figure, share, now, then in zip(HEAD, one.share, one.now, one.then, strict=True):
        if math.isfinite(share) and then < now:
            factor = KEYS[figure][1]
            told.append(
                f"{TOLD[figure].says}: {now * factor:.2f} · √(1 − {max(share, 0.0):.3f} · (1 − {LEFT:g}²)) = {then * factor:.2f}"
            )
    return Filled("; ".join(told) or "it narrows nothing", None)


def _gain(look: Look) -> Filled:
    if look.changed is None:
        return Filled("the build as it stands, against itself", None)
    was, now = look.solved, look.changed
    starts = [("never" if one.starts_at is None else figure_text(one.starts_at, "temperature")) for one in (was, now)]
    airs = [f"{one.usual_air * 3600.0:.1f} m³/h" for one in (was, now)]
    left = [f"{margins(one)[0].margin:.1f} K ({margins(one)[0].part})" for one in (was, now)]
    numbers = (
        f"as written, before and after: start {starts[0]}, {starts[1]}; air {airs[0]}, {airs[1]}; least margin {left[0]}, {left[1]}. "
        "The figure is the middle of the thrown fans' own changes, each fan against itself with the same guesses"
    )
    return Filled(numbers, None)


ODDS_WHYS: dict[str, Why] = {
    **{
        f"odds_{figure.name}": Why(f"Band: {told.says}", "1 in 40 below, 1 in 40 above: 19 in 20 between", _band(figure), ("jcgm-101",))
        for figure, told in TOLD.items()
    },
    **{f"odds_chance_{code}": Why(title, "fans in which it happens / fans thrown", _chance(code), ("exact",))
       for code, title in EVENTS.items()},
    "odds_measure": Why("What measuring it narrows", "half' = half · √(1 − share · (1 − left²))", _measure, ("jcgm-100",)),
    "worth_gain": Why("What a change brings", "Δ = mean of (after − before), ± twice the spread of the differences", _gain,
                      ("exact", "practice")),
}  # fmt: skip
