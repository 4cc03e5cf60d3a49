"""At most two uncertain inputs moved within their spreads until a reduced build matches what was seen on a plate."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..build import Build
from ..build.retrofit_file import Sighting
from ..stack.fields import Seen
from ..stack.prepare import prepare
from ..stack.steady import settled_map
from ..units import EXACT, NORMAL, Spread, plain, show_spread

Floats = NDArray[np.float64]
MOST, WORTH = 2, 0.1  # inputs moved; a second one must take off so much of what the first leaves
REACH = 2.0  # of its own spread (one standard deviation) to which an input may be moved
CUT = 1e6  # ohm; leads of a fan that stands dead
HOTTER = 80.0  # K above the plate seen, from where a blade that turns has come
STEPS = 8  # plates on the way up to the one seen
NUDGE = 0.5  # of its own spread; the step that tells what a knob does
MATCHED = 1.0  # a misfit below which nothing need be moved: the readings agree within what they may be off
LEFT = 0.5  # of its spread is left to an input that was moved
COLUMN = {"base": Seen.foot, "top": Seen.riser_top, "sink": Seen.sink}
WORDS = {"base": "foot of the riser", "top": "top of the riser", "sink": "sink", "speed": "speed"}


@dataclass(frozen=True)
class Knob:
    """One input that may be moved: its place in the build file, its words, its dimension, how to read and set it.

    `alive`: only a fan that turns tells of it; what a dead module lets through says nothing of the new one.
    """

    place: str
    says: str
    dimension: str
    read: Callable[[Build], Spread]
    put: Callable[[Build, Spread], Build]
    alive: bool = False


def _module(build: Build, spread: Spread) -> Build:
    first = build.modules[0]
    return replace(build, modules=(replace(first, part=replace(first.part, conductance=spread)), *build.modules[1:]))


KNOBS: tuple[Knob, ...] = (
    Knob("seat.flatness", "out-of-flatness of the seat", "length", lambda b: b.seat.flatness,
         lambda b, s: replace(b, seat=replace(b.seat, flatness=s))),
    Knob("stove.flame_coefficient", "how well the flame heats the plate", "heat_transfer_coefficient",
         lambda b: b.stove.flame_coefficient, lambda b, s: replace(b, stove=replace(b.stove, flame_coefficient=s))),
    Knob("modules.conductance", "heat through a module", "thermal_conductance",
         lambda b: b.modules[0].part.conductance, _module, True),
    Knob("sink.on_base", "how well the sink cools in still air", "number", lambda b: b.sink.on_base,
         lambda b, s: replace(b, sink=replace(b.sink, on_base=s))),
    Knob("sink.in_stream", "share of the sink in the blade's stream", "number", lambda b: b.sink.in_stream,
         lambda b, s: replace(b, sink=replace(b.sink, in_stream=s)), True),
    Knob("blade.power_coefficient", "twist the blade takes", "number", lambda b: b.blade.part.power_coefficient,
         lambda b, s: replace(b, blade=replace(b.blade, part=replace(b.blade.part, power_coefficient=s))), True),
)  # fmt: skip


@dataclass(frozen=True)
class Tuned:
    """One input that was moved: what it was and what it is, [SI], and that as a build file has it."""

    place: str
    says: str
    dimension: str
    was: Spread
    now: Spread

    @property
    def text(self) -> str:
        """The new value as a build file has it."""
        return show_spread(self.now, self.dimension)


@dataclass(frozen=True)
class Matched:
    """One reading beside what the build says before and after, [K or rad/s]; `half` is how far the reading may be off."""

    plate: float
    what: str
    seen: float
    half: float
    before: float
    after: float


def as_seen(build: Build, turns: bool, room: float | None) -> Build:
    """The build as it was looked at: its leads cut where it stood dead, in the room of that hour.

    Args:
        build: a checked build.
        turns: whether the blade turned.
        room: of that hour; None: the build's own. [K]

    Returns:
        The build.
    """
    made = build if turns else replace(build, wiring=replace(build.wiring, leads=plain(CUT)))
    return made if room is None else replace(made, stove=replace(made.stove, room=plain(room)))


def at_rest(build: Build, plates: Floats, turns: bool) -> Floats:
    """The settled states of a build on some plates: one that turns there has come from a hotter plate, one that stands from rest.

    Args:
        build: as it was looked at.
        plates: in rising order, the first at the room's temperature. [K]
        turns: whether the blade turned.

    Returns:
        (plates, Seen). [SI]
    """
    if not turns:
        return np.array([point.seen for point in settled_map(prepare(build), plates).from_rest])
    found = settled_map(prepare(build), np.append(plates, plates[-1] + HOTTER)).running_down
    return np.array([point.seen for point in found[:-1]])


def _at(build: Build, one: Sighting) -> Floats:
    """What the build says of every reading of one look, in their order."""
    made = as_seen(build, one.turns, one.room)
    seen = at_rest(made, np.linspace(made.stove.room.value, one.plate, STEPS), one.turns)[-1]
    found = [float(seen[COLUMN[place]]) for place, _ in one.temperatures]
    return np.array([*found, *([float(seen[Seen.speed])] if one.speed is not None else [])])


def said(build: Build, seen: Sequence[Sighting]) -> Floats:
    """What a build says of every reading.

    Args:
        build: a checked build.
        seen: looks, each with its readings.

    Returns:
        (readings), in the order of the looks. [K, rad/s]
    """
    return np.concatenate([_at(build, one) for one in seen]) if seen else np.zeros(0)


def readings(seen: Sequence[Sighting]) -> list[tuple[float, str, Spread]]:
    """Plate, what was read, and the reading, in the order of `said`."""
    found = []
    for one in seen:
        found += [(one.plate, place, read) for place, read in one.temperatures]
        found += [(one.plate, "speed", one.speed)] if one.speed is not None else []
    return found


def _moved(build: Build, knobs: Sequence[Knob], by: Floats) -> Build:
    for knob, z in zip(knobs, by, strict=True):
        spread = knob.read(build)
        value = min(max(spread.value + float(z) * spread.sd, spread.low, 0.05 * spread.value), spread.high)
        build = knob.put(build, replace(spread, value=value))
    return build


def tune(build: Build, seen: Sequence[Sighting]) -> tuple[tuple[Tuned, ...], tuple[Matched, ...]]:
    """Move at most two inputs so that the build matches what was seen; each is held by its own spread.

    The misfit is the sum of squares of every difference over what the reading may be off, and of every move over the
    input's own spread, so that nothing is moved for the sake of a kelvin.

    Args:
        build: the reduced build.
        seen: looks at the fan, settled.

    Returns:
        What was moved (nothing without looks), and every reading before and after.
    """
    from scipy.optimize import least_squares

    rows = readings(seen)
    if not rows:
        return (), ()
    target, off = np.array([read.value for _, _, read in rows]), np.array([read.sd for _, _, read in rows])
    before, turning = said(build, seen), any(one.turns for one in seen)
    free = [knob for knob in KNOBS if knob.read(build).sd > 0.0 and (turning or not knob.alive)]
    # How each knob alone, moved by half of its spread, would alter what is said; by that the knobs are chosen.
    slopes = np.array([(said(_moved(build, (knob,), np.array([NUDGE])), seen) - before) / off / NUDGE for knob in free]).T
    places = _choose(slopes, (target - before) / off)
    if not places:
        return (), _matched(rows, before, before)
    chosen = tuple(free[k] for k in places)

    def misfit(by: Floats) -> Floats:
        return np.concatenate([(said(_moved(build, chosen, by), seen) - target) / off, by])

    by = least_squares(misfit, np.zeros(len(chosen)), bounds=(-REACH, REACH), diff_step=[0.05] * len(chosen), max_nfev=8).x
    tuned = []
    for knob in chosen:
        was = knob.read(build)
        value = knob.read(_moved(build, chosen, by)).value
        tuned.append(Tuned(knob.place, knob.says, knob.dimension, was, _kept(value, was)))
    return tuple(tuned), _matched(rows, before, said(_moved(build, chosen, by), seen))


def _matched(rows: Sequence[tuple[float, str, Spread]], before: Floats, after: Floats) -> tuple[Matched, ...]:
    return tuple(
        Matched(plate, what, read.value, read.half, float(old), float(new))
        for (plate, what, read), old, new in zip(rows, before, after, strict=True)
    )


def _choose(slopes: Floats, wanted: Floats) -> list[int]:
    """The one or two knobs that, as straight lines, take most off the misfit: (readings, knobs), (readings)."""
    from scipy.optimize import lsq_linear

    def left(places: list[int]) -> float:
        many = len(places)
        found = lsq_linear(
            np.vstack([slopes[:, places], np.eye(many)]), np.concatenate([wanted, np.zeros(many)]), (-REACH, REACH)
        )
        return float(2.0 * found.cost)

    chosen: list[int] = []
    misfit = float((wanted**2).sum())
    while len(chosen) < min(MOST, slopes.shape[1]):
        tried = {k: left([*chosen, k]) for k in range(slopes.shape[1]) if k not in chosen}
        best = min(tried, key=lambda k: tried[k])
        if misfit < MATCHED or tried[best] > (1.0 - WORTH) * misfit:
            break
        misfit = tried[best]
        chosen.append(best)
    return chosen


def _kept(value: float, was: Spread) -> Spread:
    """The moved value with what is left of its spread, never reaching below nought."""
    half = min(LEFT * 2.0 * was.sd, 0.9 * value)
    return Spread(value, half, NORMAL if half > 0.0 else EXACT)
