"""Why measured and predicted differ: each likely cause tried at several strengths, the one that explains most first.

A strength between two that were tried is first taken as a mixture of both, and for the few best causes then worked out as it is: a
lift at half past is no mixture of a lift at three and one at four.
What is left after the best strength of a cause is judged against noise, the sensors' spreads and a quarter of each guess's
own spread; so small differences need no cause, and large ones are not put down to everything being a little off.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..stack.curves import PlateCurve
from .channels import CHANNELS, TEMPERATURE
from .measured import Floats
from .predict import Rig, nothing_off, predict, slopes

TRUST = 0.25  # of each guess's spread that is granted without a cause
NEEDED = 16.0  # by how much a cause must better the sum of squares before it is named: four spreads
APART = 6.0  # two causes nearer than that cannot be told apart
BETWEEN = np.linspace(0.0, 1.0, 9)
ENOUGH = 0.5  # of what is off, that the best cause must explain to be named
QUIET = 0.25  # of each point's noise that is left when nothing is off: gathered points are quieter than their floor
CLOSELY, LOOKS = 3, 4  # causes whose strength is worked out as it is, and how often each
GOLDEN = 0.382
CLIP = 8.0  # spreads beyond which a point counts no more: a start or a lift at another minute


@dataclass(frozen=True)
class Cause:
    """One cause: a code, what it is like in words, strengths tried (the first is none), and readings at each, (strengths, points).

    `read` gives what would be read at any strength; None where that is a mixture of the readings at its neighbours.
    """

    code: str
    says: str
    strengths: tuple[float, ...]
    readings: Floats
    read: Callable[[float], Floats] | None = None


@dataclass(frozen=True)
class Blame:
    """One cause held against a trial: how much it betters the sum of squares, what share of all that is, at what strength."""

    code: str
    says: str
    betters: float
    share: float
    strength: float


_COOLING = r"^sink (on base|in stream|bypass)$"
# Code, words, the inputs it multiplies, and the factors tried.
_OF_BUILD: tuple[tuple[str, str, str, tuple[float, ...]], ...] = (
    ("weak-cooling", "the sink is cooled more weakly: dust, or less of the stream in its fins", _COOLING, (0.8, 0.62, 0.45, 0.3)),
    ("strong-cooling", "the sink is cooled more strongly: a draught, or more stream in its fins", _COOLING, (1.12, 1.25, 1.4)),
    ("poor-seat", "heat comes through the seat badly: a crumb, rust or a foot that rocks", r"^seat flatness$", (1.6, 2.5, 4.0, 7.0)),
    ("poor-joint", "a joint at the modules bears heat badly: dry compound or loose screws", r"joint", (0.6, 0.35, 0.2, 0.1)),
    ("worn-module", "the modules have more resistance: cracked or aged", r"^module( \d)? resistance$", (1.25, 1.6, 2.2, 3.2)),
    ("heat-slips-past", "heat slips past the modules: bare screws, or a bridge", r"^module( \d)? conductance$", (1.2, 1.45, 1.8)),
    ("stiff-motor", "the motor turns stiffly: a dry bearing, or something rubs", r"^motor (friction|breakaway)$", (1.4, 2.0, 3.0, 4.5)),
    ("guard-late", "the wax element opens later than written", r"^wax element (opens|full)$", (1.008, 1.016, 1.028)),
    ("guard-early", "the wax element opens sooner than written", r"^wax element (opens|full)$", (0.992, 0.984, 0.972)),
)  # fmt: skip
_LOSES = (0.0, 0.04, 0.1, 0.2, 0.35)
_COUNTS = (0.5, 1.0, 2.0)


def _moved(one: Rig, pattern: str, factor: float) -> Floats | None:
    """Unknowns with some inputs multiplied; None where the build has none of them."""
    x, found = nothing_off(one), False
    for k, item in enumerate(one.inputs):
        fits = (
            any(re.search(pattern, place) and place.endswith("fill.conductivity") for place in item.places)
            if pattern == "joint"
            else re.search(pattern, item.die.name)
        )
        if fits:
            value = min(max(item.die.spread.value * factor, item.die.low), item.die.high)
            x[k] = (value - item.die.spread.value) / item.die.spread.sd
            found = True
    return x if found else None


def candidates(one: Rig, base: Floats) -> Iterator[Cause]:
    """Every cause that this build and these channels allow.

    Args:
        one: build and trial.
        base: what the sensors would read with nothing off. [SI]

    Yields:
        Causes with their readings.
    """
    room = one.build.stove.room.value
    lifted = any(p.key == "gap" for p in one.points) or one.build.guard.element is not None
    for code, says, pattern, factors in _OF_BUILD:
        if code.startswith("guard") and not lifted:
            continue
        if _moved(one, pattern, factors[0]) is None:
            continue

        def weakened(factor: float, pattern: str = pattern) -> Floats:
            x = _moved(one, pattern, factor)
            return base if x is None else predict(one, x)

        yield Cause(code, says, (1.0, *factors), np.array([base, *map(weakened, factors)]), weakened)
    plate = one.curve.plate
    for code, says, sign in (
        ("plate-reads-low", "the plate's thermometer reads low: loose, or not on the bare metal", 1.0),
        ("plate-reads-high", "the plate's thermometer reads high: nearer the fire than the fan is", -1.0),
    ):

        def along(share: float, sign: float = sign) -> Floats:
            hotter = PlateCurve(one.curve.name, one.curve.time, plate + sign * share * (plate - room))
            return predict(replace(one, curve=hotter), nothing_off(one))

        yield Cause(code, says, _LOSES[:4], np.array([base, *map(along, _LOSES[1:4])]), along)
    for points in one.points:
        channel, own = CHANNELS[points.key], base[one.part(points.key)]
        if channel.dimension == TEMPERATURE:
            under = np.interp(points.time, one.curve.time, plate)
            loose = f"the {channel.says}'s thermometer reads low: loose, or half in the air"
            plume = f"the {channel.says}'s thermometer reads high: in the plume, or in sight of the plate"
            yield Cause(
                f"{points.key}-loose", loose, _LOSES, _read(one, base, points.key, [own - s * (own - room) for s in _LOSES])
            )
            yield Cause(
                f"{points.key}-in-plume", plume, _LOSES, _read(one, base, points.key, [own + s * (under - own) for s in _LOSES])
            )
        elif points.key == "speed":
            says = "the speed is counted wrongly: more or fewer marks a turn than thought"
            yield Cause("speed-miscounted", says, _COUNTS, _read(one, base, points.key, [own * s for s in _COUNTS]))


def _read(one: Rig, base: Floats, key: str, rows: Sequence[Floats]) -> Floats:
    """Readings with one channel's replaced, a row each."""
    found = np.repeat(base[None, :], len(rows), axis=0)
    found[:, one.part(key)] = np.array(rows)
    return found


def blames(one: Rig, ready: tuple[Floats, Floats] | None = None) -> list[Blame]:
    """Causes in the order of how well they explain a trial.

    Args:
        one: build and trial.
        ready: readings and slopes with nothing off, where they are known already.

    Returns:
        Causes, the best first.
    """
    base, slope = slopes(one, nothing_off(one)) if ready is None else ready
    granted = np.full(len(one.unknowns), TRUST)
    granted[len(one.inputs) :] = 1.0
    scaled = slope * granted / one.noise[:, None]
    inner = np.linalg.inv(scaled.T @ scaled + np.eye(scaled.shape[1]))

    def squares(miss: Floats) -> Floats:
        """Sum of squares of each row, sensors and guesses granted their spreads."""
        bent = miss @ scaled
        rest = miss - bent @ inner @ scaled.T  # what no granted spread explains
        soft = CLIP * np.tanh(rest / CLIP)
        return np.asarray((soft**2).sum(axis=1) + ((bent @ inner) ** 2).sum(axis=1))

    measured = one.measured
    nothing = float(squares(((measured - base) / one.noise)[None, :])[0])

    def of(cause: Cause, best: float, at: float) -> Blame:
        share = (nothing - best) / max(nothing - measured.size * QUIET, 1e-9)
        return Blame(cause.code, cause.says, nothing - best, share, at)

    found: list[tuple[Cause, Blame]] = []
    for cause in candidates(one, base):
        best, at = nothing, cause.strengths[0]
        miss = (measured - cause.readings) / one.noise
        for i in range(len(cause.strengths) - 1):
            rows = miss[i] * (1.0 - BETWEEN[:, None]) + miss[i + 1] * BETWEEN[:, None]
            sums = squares(rows)
            k = int(sums.argmin())
            if sums[k] < best:
                best = float(sums[k])
                at = cause.strengths[i] + (cause.strengths[i + 1] - cause.strengths[i]) * float(BETWEEN[k])
        found.append((cause, of(cause, best, at)))
    found.sort(key=lambda one: -one[1].betters)
    for k, (cause, blame) in enumerate(found[:CLOSELY]):
        if cause.read is not None and blame.betters > 0.0:
            best, at = _closely(cause, blame.strength, lambda readings: squares(((measured - readings) / one.noise)[None, :]))
            found[k] = cause, of(cause, best, at)
    return sorted((blame for _, blame in found), key=lambda blame: -blame.betters)


def _closely(cause: Cause, at: float, squares: Callable[[Floats], Floats]) -> tuple[float, float]:
    """The least sum of squares near a strength and where it is, each strength worked out as it is.

    Source: golden section, between the strengths tried on both sides.
    """
    read, row = cause.read, sorted(cause.strengths)
    assert read is not None
    low = max((s for s in row if s < at), default=row[0])
    high = min((s for s in row if s > at), default=row[-1])
    tried = {at: float(squares(read(at))[0])}
    for _ in range(LOOKS):
        best = min(tried, key=lambda s: tried[s])
        left = max((s for s in (low, *tried) if s < best), default=low)
        right = min((s for s in (high, *tried) if s > best), default=high)
        wide = right if right - best >= best - left else left
        new = best + GOLDEN * (wide - best)
        tried[new] = float(squares(read(new))[0])
    best = min(tried, key=lambda s: tried[s])
    return tried[best], best


def likely(found: list[Blame]) -> tuple[Blame, ...]:
    """The causes to name: none when nothing needs one, several when they cannot be told apart."""
    if not found or found[0].betters < NEEDED:
        return ()
    return tuple(one for one in found[:4] if one.betters > found[0].betters - APART)
