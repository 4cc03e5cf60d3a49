"""Readings of a small motor, and whether the numbers can be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..errors import InputError
from .measured import Instrument

RPM = math.pi / 30.0  # rad/s per turn a minute


@dataclass(frozen=True)
class Running:
    """Without load: volts at the terminals [V], current [A], speed [rad/s]."""

    volts: float
    amperes: float
    speed: float


@dataclass(frozen=True)
class MotorReadings:
    """Readings of one motor: winding ohms over shaft positions, running, (speed, volts) as a generator, volts at which it breaks
    away going up and at which it stops coming down."""

    ohms: Sequence[float]
    running: Sequence[Running] = ()
    generator: Sequence[tuple[float, float]] = ()
    breaks_at: Sequence[float] = ()
    stops_at: Sequence[float] = ()
    ohmmeter: Instrument = Instrument(0.01, 0.1)
    voltmeter: Instrument = Instrument(0.005, 0.005)
    ammeter: Instrument = Instrument(0.015, 0.3e-3)
    tachometer: Instrument = Instrument(0.005, 1.0)


def check(readings: MotorReadings) -> None:
    """Complain about readings that cannot be.

    Raises:
        InputError: too few, or numbers out of all reason.
    """
    if not readings.ohms:
        raise InputError("ohms: none given; read the winding at five shaft positions or more, turning it a little each time")
    if not readings.running and not readings.generator:
        raise InputError("running: neither that nor generator readings given; without one the volts per speed stay unknown")
    for i, ohms in enumerate(readings.ohms):
        if not 0.05 <= ohms <= 2000.0:
            raise InputError(f"ohms {i + 1}: got {ohms:g} Ω; 0.05 to 2000 Ω is allowed. Is a governor still between the leads?")
    for i, row in enumerate(readings.running):
        if row.volts <= 0.0 or row.amperes <= 0.0 or row.speed <= 0.0:
            raise InputError(
                f"running {i + 1}: got {row.volts:g} V, {row.amperes:g} A, {row.speed / RPM:.0f} rpm; all must be above nothing. "
                "Turn both meters round if the motor runs backwards"
            )
    for i, (speed, volts) in enumerate(readings.generator):
        if speed <= 0.0 or volts <= 0.0:
            raise InputError(
                f"generator {i + 1}: got {volts:g} V at {speed / RPM:.0f} rpm; both must be above nothing. Turn the meter's leads round"
            )
