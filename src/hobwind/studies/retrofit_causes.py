"""What most likely killed the modules: what they show, weighed with what the unguarded fan does to them when over-fired.

How often each cause shows each sign is common practice of repair, not measured; every figure here is a table entry. The
causes by heat count for as much as the thrown fans reach that heat.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..build import Build
from .odds import Odds
from .odds_fans import Figure

SOURCE = "repair-practice"
LEAST = 0.02  # a cause by heat still counts so much where no thrown fan gets that hot: the stove may have been hotter still


@dataclass(frozen=True)
class Cause:
    """One cause: what happened, what to do about it, how common it is before anything is known, how often it shows each sign."""

    code: str
    says: str
    mend: str
    common: float
    shows: dict[str, float]


# Signs not listed: `RARELY`. `common` of the first two is multiplied by the share of thrown fans that get that hot.
RARELY = 0.03
CAUSES: tuple[Cause, ...] = (
    Cause("melted", "over-fired past its solder: the joints ran", "a guard, and modules with a hotter solder", 0.60,
          {"open": 0.6, "high ohms": 0.3, "moves when pressed": 0.2, "soft joints": 0.8, "low volts": 0.3}),
    Cause("cooked", "run above its rated hot face for long: joints and legs aged", "a guard, and modules rated hotter", 0.50,
          {"open": 0.2, "high ohms": 0.7, "moves when pressed": 0.2, "soft joints": 0.1, "low volts": 0.4}),
    Cause("cycled", "many winters of warming and cooling: a leg cracked from its joint",
          "softer clamping by disc washers, a graphite sheet", 0.25,
          {"open": 0.4, "high ohms": 0.6, "moves when pressed": 0.8, "cracked": 0.1}),
    Cause("crushed", "clamped unevenly, or the fan fell: the ceramic broke", "flat faces, screws drawn evenly by torque", 0.15,
          {"open": 0.5, "high ohms": 0.3, "moves when pressed": 0.5, "cracked": 0.9}),
    Cause("wet", "water or soot between the legs: they corroded", "modules with a sealed edge, a dry place in summer", 0.10,
          {"open": 0.2, "high ohms": 0.5, "low volts": 0.3, "leaks to ceramic": 0.9}),
    Cause("leads", "a lead or its joint, not the module", "measure at the pads; wire with glass or silicone sleeve", 0.15,
          {"open": 0.5, "high ohms": 0.1, "sound": 0.6}),
    Cause("not dead", "the modules live: motor, wiring or a bad seat", "hobwind bench motor; look at wires and faces", 0.15,
          {"sound": 0.9, "low volts": 0.1}),
)  # fmt: skip


@dataclass(frozen=True)
class Likely:
    """One cause with its chance among those listed."""

    cause: Cause
    share: float


@dataclass(frozen=True)
class Death:
    """What the modules show and why: causes, the likeliest first; shares of thrown fans past limit and past solder."""

    signs: tuple[str, ...]
    causes: tuple[Likely, ...]
    peak: float
    limit: float
    solder: float
    past_limit: float
    past_solder: float


def weigh(signs: tuple[str, ...], past_limit: float, past_solder: float) -> tuple[Likely, ...]:
    """Weigh every cause by what is seen and by how often the fan gets hot enough for it.

        chance ~ common * heat * product over signs of how often the cause shows it

    Args:
        signs: what the modules show.
        past_limit: share of thrown fans whose face passes the rated hot face. [-]
        past_solder: the same for the solder's melting point. [-]

    Returns:
        Causes with chances that add up to 1, the likeliest first; none without signs.
    """
    if not signs:
        return ()
    heat = {"melted": max(past_solder, LEAST), "cooked": max(past_limit - past_solder, LEAST)}
    weights = [
        cause.common * heat.get(cause.code, 1.0) * float(np.prod([cause.shows.get(sign, RARELY) for sign in signs]))
        for cause in CAUSES
    ]
    whole = sum(weights)
    found = [Likely(cause, weight / whole) for cause, weight in zip(CAUSES, weights, strict=True)]
    return tuple(sorted(found, key=lambda one: -one.share))


def death(build: Build, thrown: Odds, signs: tuple[str, ...]) -> Death:
    """What most likely killed the modules of an unguarded fan.

    Args:
        build: the reduced build.
        thrown: its odds, the guard left out.
        signs: what the modules show.

    Returns:
        The causes with the heat that they rest on.
    """
    peaks = thrown.figures[..., Figure.peak_face]
    limit, solder = (
        min(use.part.hot_limit.value for use in build.modules), min(use.part.solder.value for use in build.modules)
    )  # fmt: skip
    past = [float((peaks > one).mean()) for one in (limit, solder)]
    peak = float(thrown.written[Figure.peak_face])
    return Death(signs, weigh(signs, past[0], past[1]), peak, limit, solder, past[0], past[1])
