"""What can go wrong with a fan over the years, and how each shows in what a trial finds: computed from the fan's own build."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..build import Build
from ..stack.curves import built_in
from ..stack.evening import evening
from ..stack.fields import JOINTS_AT, KINDS_AT, MOST_KINDS, PER_JOINT, PER_KIND, J, M, P, Seen
from ..stack.keeping import End
from ..stack.prepare import Stack, prepare
from ..stack.steady import settled_map

Floats = NDArray[np.float64]
ZERO, RPM = 273.15, 60.0 / (2.0 * np.pi)


@dataclass(frozen=True)
class Value:
    """Something a trial finds: what it is called, and its usual standard uncertainty (of 1 where `relative`, else its unit)."""

    says: str
    unit: str
    usual: float
    relative: bool


VALUES = {
    "module_resistance_ohm": Value("resistance of one module of each kind, at 300 K", "Ω", 0.015, True),
    "outer_volts_mV_per_K": Value("open volts for each kelvin from riser top to sink", "mV/K", 0.015, True),
    "starts_at_plate_degC": Value("plate where the blade starts", "°C", 1.5, False),
    "lifts_at_plate_degC": Value("plate where the guard lifts", "°C", 3.0, False),
    "speed_at_usual_plate_rpm": Value("speed on the usual plate", "rpm", 0.02, True),
    "sink_at_usual_plate_degC": Value("sink on the usual plate", "°C", 1.0, False),
}  # fmt: skip


@dataclass(frozen=True)
class Cause:
    """One thing that goes wrong: what changes per unit of size, whether it goes both ways, what to check, which part mends it."""

    says: str
    change: Callable[[Floats, float], None]
    thermometer: float
    both_ways: bool
    check: str
    soon: bool
    spare: str


def _each_kind(p: Floats, number: int, factor: float) -> None:
    for kind in range(MOST_KINDS):
        p[KINDS_AT + kind * PER_KIND + number] *= factor


def _age(p: Floats, size: float) -> None:
    _each_kind(p, M.resistance, 1.0 + 0.25 * size)
    _each_kind(p, M.seebeck, 1.0 - 0.03 * size)


def _dry(p: Floats, size: float) -> None:
    for joint in range(5):
        p[JOINTS_AT + joint * PER_JOINT + J.conductivity] /= 2.0**size


def _foul(p: Floats, size: float) -> None:
    p[P.blade_power] *= 1.0 + 0.25 * size
    p[P.blade_thrust] /= 1.0 + 0.15 * size


def _drift(p: Floats, size: float) -> None:
    p[P.wax_opens] += 4.0 * size
    p[P.wax_full] += 4.0 * size


def _nothing(p: Floats, size: float) -> None:
    """The fan is as it was; only what is read of it changes."""


# Sizes: one unit is what is plainly there: a quarter more resistance, compound half as good, a blade with a winter's dust on it, wax 4 K
# late, a thermometer that reads the excess over the room 4 % high. Common practice.
CAUSES = {
    "ageing": Cause(
        "the modules are ageing", _age, 0.0, False,
        "measure the cold modules' resistance with two readings of opposite polarity (hobwind bench health)", False, "module",
    ),
    "thermometer": Cause(
        "the thermometer has drifted", _nothing, 0.04, True,
        "put the thermometer into boiling water and into melting ice", True, "",
    ),
    "compound": Cause(
        "the compound is drying out", _dry, 0.0, False,
        "take the stack apart cold and look at the print of the compound; renew it where it is chalky", False, "compound",
    ),
    "blade": Cause(
        "the blade is fouled", _foul, 0.0, False,
        "wipe the blade and its edge clean, turn it by hand, and take the speed again", False, "blade",
    ),
    "guard": Cause(
        "the guard drifts", _drift, 0.0, True,
        "put the element into a pan of water with a thermometer and watch it open (hobwind bench wax); "
        "until then keep an eye on the fire", True, "wax",
    ),
}  # fmt: skip


def _held_down(stack: Stack, plate: float) -> Floats:
    """The fan at rest on a plate, standing on it whatever its guard would do."""
    return settled_map(stack, np.linspace(stack.p[P.room] + 5.0, plate, 15), "held down").from_rest[-1].seen


def _of_modules(p: Floats, seen: Floats, gain: float) -> dict[str, float]:
    drop = (seen[Seen.riser_top] - seen[Seen.sink]) * (1.0 + gain)
    kinds = [p[KINDS_AT + k * PER_KIND + M.resistance] for k in range(MOST_KINDS)]
    return {
        "module_resistance_ohm": float(sum(kinds)),
        "outer_volts_mV_per_K": float(1e3 * seen[Seen.open_voltage] / drop) if drop > 1.0 else float("nan"),
    }


def of_modules(stack: Stack, usual: float) -> dict[str, float]:
    """What tells the modules' own health, of a fan as it is.

    Args:
        stack: the fan.
        usual: plate in normal burning. [K]

    Returns:
        Resistance of one module of each kind [ohm], and open volts for each kelvin from riser top to sink [mV/K], by the
        names of `VALUES`.
    """
    return _of_modules(stack.p, _held_down(stack, usual), 0.0)


def found_by(stack: Stack, plates: tuple[float, float, float], gain: float = 0.0) -> dict[str, float]:
    """What a trial would find of a fan, read with a thermometer that shows the excess over the room `gain` too high.

    Args:
        stack: the fan as it is.
        plates: room, usual and worst plate. [K]
        gain: of the thermometer. [-]

    Returns:
        Figures by the names of `VALUES`; what does not come about is not a number.
    """
    room, usual, worst = plates
    p = stack.p

    def shown(kelvin: float) -> float:
        return room + (kelvin - room) * (1.0 + gain) - ZERO

    first = evening(stack, built_in("usual", room, usual, worst), 600.0)
    second = evening(stack, built_in("over-fired", room, usual, worst), 600.0)
    seen = _held_down(stack, room + (usual - room) / (1.0 + gain))
    return _of_modules(p, seen, gain) | {
        "starts_at_plate_degC": shown(float(first.end[End.starts_at])),
        "lifts_at_plate_degC": shown(float(second.end[End.lift_at])),
        "speed_at_usual_plate_rpm": float(seen[Seen.speed]) * RPM,
        "sink_at_usual_plate_degC": shown(float(seen[Seen.sink])),
    }


def with_cause(stack: Stack, plates: tuple[float, float, float], key: str, size: float) -> dict[str, float]:
    """What a trial would find with one cause of a given size at work."""
    cause = CAUSES[key]
    p = stack.p.copy()
    cause.change(p, size)
    return found_by(Stack(p, stack.q, stack.size, ()), plates, cause.thermometer * size)


def plates_of(build: Build) -> tuple[float, float, float]:
    """Room, usual and worst plate. [K]"""
    return build.stove.room.value, build.stove.usual_plate.value, build.stove.worst_plate.value


def signatures(build: Build, sizes: tuple[float, ...] = (0.5, 1.0, 2.0)) -> dict[str, tuple[Mapping[str, float], ...]]:
    """How each cause moves each value, at several sizes and, where it goes both ways, in both.

    Args:
        build: the fan as it was built.
        sizes: in units of the causes. [-]

    Returns:
        For each cause the changes of the values by name, one for each size; a value that does not come about is left out.
    """
    stack, plates = prepare(build), plates_of(build)
    new = found_by(stack, plates)
    out: dict[str, tuple[Mapping[str, float], ...]] = {}
    for key, cause in CAUSES.items():
        rows = []
        for size in [*sizes, *[-size for size in sizes if cause.both_ways]]:
            now = with_cause(stack, plates, key, size)
            moved = {name: now[name] - new[name] for name in VALUES}
            rows.append({name: change for name, change in moved.items() if np.isfinite(change)})
        out[key] = tuple(rows)
    return out
