"""A blade on its motor: current and speed at two or more voltages give its twist, an anemometer its air.

The motor is the scale: k I = T_f + c w + k_q rho w^2. Twist less drag against the square of the speed is a straight
line whose foot is the motor's friction, so friction counts as one more reading, at a standstill. The motor's constant is
shared by all readings and carried once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..errors import InputError
from ..parts.catalogue import Shelf
from ..parts.kinds import Blade
from ..physics import air, drive
from .measured import Instrument, Line, Measured, combine, even, fit_line, odd_one
from .result import Curve, Figure, Result

RPM = math.pi / 30.0  # rad/s per turn a minute
OCTAVE = 0.2  # how near a simple ratio a speed must be to be named as miscounted
SLIPS = {2.0: "twice", 0.5: "half", 3.0: "three times", 1.0 / 3.0: "a third of", 4.0: "four times", 0.25: "a quarter of"}
SPECIMENS = 0.19  # between specimens of one model, uiuc-propellers
APART = 1.15  # least ratio of highest to lowest speed


@dataclass(frozen=True)
class BladeReading:
    """Turning and settled: volts at the motor [V], current [A], speed [rad/s]; air speed through the disc [m/s] or None."""

    volts: float
    amperes: float
    speed: float
    air_speed: float | None = None


@dataclass(frozen=True)
class BladeMotor:
    """The motor that turns it: constant [N m/A], winding [ohm] or None, frictions [N m, N m s], brush drop [V]."""

    constant: Measured
    resistance: Measured | None = None
    friction: Measured = Measured(0.0, 0.0)
    drag: Measured = Measured(0.0, 0.0)
    brush_drop: Measured = Measured(0.0, 0.02)


@dataclass(frozen=True)
class BladeReadings:
    """One blade: its size [m], pitch [m] or None, count of vanes; readings; the motor; the room [K, m above the sea]."""

    diameter: Measured
    count: int
    readings: Sequence[BladeReading]
    motor: BladeMotor
    pitch: Measured | None = None
    room: float = 293.15
    altitude: float = 0.0
    ammeter: Instrument = Instrument(0.015, 0.3e-3)
    voltmeter: Instrument = Instrument(0.005, 0.005)
    tachometer: Instrument = Instrument(0.005, 1.0)
    anemometer: Instrument = Instrument(0.1, 0.1)


def _check(readings: BladeReadings) -> None:
    if len(readings.readings) < 2:
        raise InputError(
            f"turning: got {len(readings.readings)} readings; two or more at different volts are wanted, since one alone "
            "cannot tell the blade's twist from the motor's friction"
        )
    speeds = [row.speed for row in readings.readings]
    for i, row in enumerate(readings.readings, 1):
        if row.volts <= 0.0 or row.amperes <= 0.0 or row.speed <= 0.0:
            raise InputError(
                f"turning {i}: got {row.volts:g} V, {row.amperes:g} A, {row.speed / RPM:.0f} rpm; all must be above nothing. "
                "Turn both meters round if the blade runs backwards"
            )
    if max(speeds) < APART * min(speeds):
        raise InputError(
            f"turning: speeds from {min(speeds) / RPM:.0f} to {max(speeds) / RPM:.0f} rpm are too near each other to tell twist "
            f"from friction; the highest must be {APART:g} times the lowest. Take other volts"
        )


def miscounted(speeds: Sequence[float], expected: Sequence[float], place: str) -> list[str]:
    """Name each speed that is a simple multiple of what is expected: blades, marks or flashes miscounted.

    Args:
        speeds: as read. [rad/s]
        expected: for each of them. [rad/s]
        place: of the readings, for the message.

    Returns:
        One sentence for each.
    """
    found = []
    for i, (speed, wanted) in enumerate(zip(speeds, expected, strict=True), 1):
        for ratio, word in SLIPS.items():
            if wanted > 0.0 and abs(speed / wanted / ratio - 1.0) < OCTAVE * min(1.0, abs(math.log(ratio))):
                found.append(
                    f"{place} {i}: its speed of {speed / RPM:.0f} rpm is {word} what volts and current call for "
                    f"({wanted / RPM:.0f} rpm); were blades, marks or flashes miscounted?"
                )
                break
    return found


def identify_blade(readings: BladeReadings) -> Result:
    """Power coefficient of a blade, and its thrust coefficient where an anemometer was held to it.

    Args:
        readings: of one blade on a known motor. [SI]

    Returns:
        The result; figures are fields of a part of kind "blade".

    Raises:
        InputError: too few readings, or readings that cannot be.

    Limits: open blade in still air; the coefficient is taken as the same at all speeds read.
    Source: uiuc-propellers, mit-motor-notes; gum for the doubts.
    """
    _check(readings)
    doubts: list[str] = []
    _odd_speeds(readings, doubts)
    rho = air.density(readings.room, air.pressure_at_altitude(readings.altitude))
    line, x, y = _twist(readings, readings.motor.constant.value, doubts)
    up, _, _ = _twist(readings, readings.motor.constant.value + readings.motor.constant.u, [])
    slope = Measured(line.slope.value, math.hypot(line.slope.u, up.slope.value - line.slope.value))
    if slope.value <= 0.0:
        raise InputError(
            "turning: the current does not rise with speed, so the blade takes no twist; check the current's unit, and whether "
            "the blade slips on its shaft"
        )
    coefficient, _ = combine(
        lambda q, d, r, amperes, turns: q * amperes / turns**2 / (r * float(drive.power_to_torque(1.0, d))),
        {
            "q": slope,
            "d": readings.diameter,
            "r": Measured(rho, 0.01 * rho),
            "amperes": Measured(1.0, even(readings.ammeter.share)),  # the same slip in every reading: not averaged away
            "turns": Measured(1.0, even(readings.tachometer.share)),
        },
    )
    figures = [Figure("power_coefficient", "twist, as the power coefficient", coefficient, "number")]
    figures += _thrust(readings, rho)
    figures += [
        Figure("diameter", "diameter", readings.diameter, "length"),
        Figure("count", "vanes", Measured(float(readings.count), 0.0), "number"),
    ]
    if readings.pitch is not None:
        figures.append(Figure("pitch", "pitch", readings.pitch, "length"))
    near = nearest_blade(readings)
    top = max(x)
    curve = Curve(
        "speed squared, (1000 rpm)²",
        "twist at the shaft, mN·m",
        [(a / (1000.0 * RPM) ** 2, b * 1e3) for a, b in zip(x, y, strict=True)],
        [(a / (1000.0 * RPM) ** 2, line.at(a).value * 1e3) for a in (0.0, top)],
    )
    fit, verdict = _verdict(coefficient, near, doubts, figures)
    return Result("blade", "blade, tested on its motor", tuple(figures), fit, verdict, tuple(doubts), (curve,), near.name)


def _odd_speeds(readings: BladeReadings, doubts: list[str]) -> None:
    motor = readings.motor
    if motor.resistance is None:
        return
    expected = [
        max(row.volts - row.amperes * motor.resistance.value - motor.brush_drop.value, 0.0) / motor.constant.value
        for row in readings.readings
    ]
    doubts += miscounted([row.speed for row in readings.readings], expected, "turning")


def _twist(readings: BladeReadings, constant: float, doubts: list[str]) -> tuple[Line, list[float], list[float]]:
    """The line of shaft twist over speed squared, through the motor's friction at a standstill."""
    motor = readings.motor
    x = [row.speed**2 for row in readings.readings]
    y = [constant * row.amperes - motor.drag.value * row.speed for row in readings.readings]
    ux = [2.0 * row.speed * even(readings.tachometer.digits) * RPM for row in readings.readings]
    own = constant * even(readings.ammeter.digits)
    uy = [math.hypot(own, motor.drag.u * row.speed) for row in readings.readings]
    friction = motor.friction if motor.friction.u > 0.0 else Measured(motor.friction.value, max(motor.friction.value, 1e-4))
    odd = odd_one([*x, 0.0], [*y, friction.value], [*ux, 0.0], [*uy, friction.u])
    if odd is not None and odd[0] < len(x):
        doubts.append(
            f"turning {odd[0] + 1} does not go with the others: {y[odd[0]] * 1e6:.0f} µN·m where they say {odd[1] * 1e6:.0f}; "
            "read it again, or leave it out"
        )
    return fit_line([*x, 0.0], [*y, friction.value], [*ux, 0.0], [*uy, friction.u]), x, y


def _thrust(readings: BladeReadings, rho: float) -> list[Figure]:
    """Thrust coefficient from the air through the disc, T = 2 rho A v^2, and the air at the highest speed read."""
    rows = [row for row in readings.readings if row.air_speed is not None and row.air_speed > 0.0]
    if not rows:
        return []
    per_turn = [2.0 * math.pi * float(row.air_speed or 0.0) / row.speed for row in rows]  # m a turn
    own = [readings.anemometer.u(float(row.air_speed or 0.0)) / float(row.air_speed or 1.0) * one
           for row, one in zip(rows, per_turn, strict=True)]  # fmt: skip
    mean = sum(per_turn) / len(per_turn)  # an anemometer's error is the same all through: not averaged away
    advance = Measured(mean, max(own))
    coefficient, _ = combine(lambda j, d: 0.5 * math.pi * (j / d) ** 2, {"j": advance, "d": readings.diameter})
    top = max(row.speed for row in rows)
    area = 0.25 * math.pi * readings.diameter.value**2
    flow = Measured(mean * top / (2.0 * math.pi) * area, advance.u * top / (2.0 * math.pi) * area)
    return [
        Figure("thrust_coefficient", "push, as the thrust coefficient", coefficient, "number"),
        Figure("flow", f"air at {top / RPM:.0f} rpm", flow, "air_flow"),
    ]


def nearest_blade(readings: BladeReadings) -> Blade:
    """The catalogue's blade nearest in diameter, vanes and pitch."""
    shelf = Shelf(None)
    blades: list[Blade] = [shelf.find("blade", name) for name in shelf.names("blade")]

    def off(blade: Blade) -> float:
        far = abs(math.log(blade.diameter.value / readings.diameter.value)) + 0.3 * abs(blade.count - readings.count)
        if readings.pitch is not None:
            far += abs(blade.pitch.value / blade.diameter.value - readings.pitch.value / readings.diameter.value)
        return far

    return min(blades, key=off)


def _verdict(found: Measured, near: Blade, doubts: list[str], figures: list[Figure]) -> tuple[bool, str]:
    usual = near.power_coefficient
    width = math.hypot(found.u, usual.sd)
    beside = f"published or catalogued for {near.name}: {usual.value:.2g} ± {2.0 * usual.sd:.1g}"
    if any("miscounted" in doubt for doubt in doubts):
        return False, "Not to be used: a speed is a simple multiple of what the motor can do. Count again."
    if found.u > 0.3 * found.value:
        return False, f"Too unsure to use: take the highest and lowest volts you dare, or measure the motor first ({beside})."
    word = "agrees with" if abs(found.value - usual.value) <= 2.0 * width else (
        "is heavier to turn than" if found.value > usual.value else "is lighter to turn than"
    )  # fmt: skip
    push = next((one.measured for one in figures if one.name == "thrust_coefficient"), None)
    if push is not None and push.value**1.5 * math.sqrt(2.0 / math.pi) > found.value:
        doubts.append(
            "It would move more air than its twist can pay for: the anemometer reads too high, or was held in the "
            "middle of the stream only. Take the mean over the whole disc."
        )
        return False, f"Twist {word} what is {beside}; but its air cannot be."
    return True, f"Fit: its twist {word} what is {beside}."
