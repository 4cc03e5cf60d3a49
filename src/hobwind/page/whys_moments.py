"""The equations behind a part's temperature, a part's margin, and what happened on an evening."""

from __future__ import annotations

import numpy as np

from ..stack.fields import Seen
from ..studies.margins import margins
from .settled import heats_of
from .whys_row import Filled, Look, Why

ZERO = 273.15


def _heats(look: Look) -> Filled:
    told = heats_of(look.seen)
    numbers = ", ".join(f"{name} {heat:.1f} °C" for name, heat in sorted(told.items(), key=lambda row: -row[1]))
    into, out = float(look.seen[Seen.seat_heat]), float(look.seen[Seen.riser_loss])
    shaded = float(look.seen[Seen.local]) > float(look.seen[Seen.plate])
    says = (
        "; under the fan the plate is hotter than beside it: the lifted foot takes little, and keeps the room's air off"
        if shaded
        else ""
    )
    return Filled(f"{numbers}; {into:.1f} W come in through the seat, {out:.1f} W leave the riser's sides{says}", None)


def _margin(look: Look) -> Filled:
    rows = margins(look.solved)
    if not 0 <= look.which < len(rows):
        return Filled("there is no such part", None)
    one = rows[look.which]
    numbers = f"{one.part}: {one.limit - ZERO:.1f} °C − {one.peak - ZERO:.1f} °C ({one.where}); the limit: {one.source}"
    return Filled(numbers, one.limit - one.peak)


RULES = {
    "starts": "k·I at standstill reaches the twist to break away",
    "stops": "k·I falls to the running friction",
    "lifts": "the element's stroke has used up the lost motion",
    "sits back": "the element has cooled by its hysteresis, and the stroke is back below the lost motion",
}


def _event(look: Look) -> Filled:
    ran = look.fire()
    if not 0 <= look.which < len(ran.events):
        return Filled("nothing of that kind happened", None)
    one = ran.events[look.which]
    plate = float(np.interp(one.time, ran.curve.time, ran.curve.plate))
    why = RULES.get(one.what, one.what)
    return Filled(
        f"{why}, {one.time / 60.0:.1f} min after lighting; the fire's curve stands there at {plate - ZERO:.1f} °C", plate - ZERO
    )


MOMENT_WHYS: dict[str, Why] = {
    "part_heat": Why("How warm each part is", "C dT/dt = Σ G (T_neighbour − T) − losses; settled, Σ = 0", _heats, ("exact-series",)),
    "part_margin": Why("A part's margin", "margin = limit − peak over settled map and over-fired evening", _margin, ("exact",)),
    "evening_event": Why("What happened", "T_plate at the instant when the rule first holds, found to a thousandth of a second", _event,
                         ("play-operator", "mit-motor-notes")),
}  # fmt: skip
