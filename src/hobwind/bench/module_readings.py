"""Readings of a module tested as a generator: what was read, with what, and whether the numbers can be."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..errors import InputError
from .health import Kind
from .measured import Instrument, even
from .ratings import SHAPE_DOUBT, within


@dataclass(frozen=True)
class OpenReading:
    """Nothing connected. Args: hot, cold face [K]; volts [V]."""

    hot: float
    cold: float
    volts: float


@dataclass(frozen=True)
class LoadReading:
    """A known resistor connected. Args: ohms [ohm], volts [V]; hot, cold face [K]; seconds after connecting [s]."""

    ohms: float
    volts: float
    hot: float
    cold: float
    seconds: float = 0.5


@dataclass(frozen=True)
class HeaterReading:
    """Settled on a heater, nothing connected. Args: watts [W]; hot, cold face [K]."""

    watts: float
    hot: float
    cold: float


@dataclass(frozen=True)
class Instruments:
    """What the readings may be off by, all as ± limits.

    Args:
        apart: the two thermometers against each other, the same all through the test. [K]
        step: last figure and unrest of one thermometer reading. [K]
        thermometer_share: of the difference between them. [-]
        volts: share and last figures of the voltmeter; the share is the same all through. [-, V]
        load_share: ohms of the resistors, by one ohm meter. [-]
        heater_share: heater watts, stray heat included. [-]
        shape_share: of the change of a, R, K between the test's mean and 300 K. [-]
    """

    apart: float = 3.0
    step: float = 0.2
    thermometer_share: float = 0.01
    volts: Instrument = Instrument(0.005, 0.002)
    load_share: float = 0.01
    heater_share: float = 0.05
    shape_share: float = SHAPE_DOUBT

    @property
    def one_difference(self) -> float:
        """Standard uncertainty of one difference between two thermometer readings, without what they share. [K]"""
        return math.sqrt(2.0) * even(self.step)


@dataclass(frozen=True)
class ModuleReadings:
    """All readings of one module.

    Args:
        opens: nothing connected; at least one, four or more at different faces are wanted.
        loads: resistor connected; at least one, three or more different resistors are wanted.
        heaters: heater watts; may be empty.
        instruments: their ± limits.
        kind: the catalogue's new one; None when unknown.
        far_side: thermometers sit beyond the joints, not on the module's faces.
        joints: the most both joints together may take, used with far_side. [K/W]
        reread: both faces were read again with the load on, at the moment of the volts.
    """

    opens: Sequence[OpenReading]
    loads: Sequence[LoadReading]
    heaters: Sequence[HeaterReading] = ()
    instruments: Instruments = Instruments()
    kind: Kind | None = None
    far_side: bool = False
    joints: float = 0.5
    reread: bool = False


def check(readings: ModuleReadings, needed: tuple[str, ...] = ("open", "load")) -> None:
    """Complain about readings that cannot be.

    Raises:
        InputError: none, no difference between the faces, numbers out of all reason.
    """
    rows = [("open", one.hot, one.cold, one.volts) for one in readings.opens]
    rows += [("load", one.hot, one.cold, one.volts) for one in readings.loads]
    rows += [("heater", one.hot, one.cold, one.watts) for one in readings.heaters]
    counts = {"open": 0, "load": 0, "heater": 0}
    for name, hot, cold, value in rows:
        counts[name] += 1
        place = f"{name} reading {counts[name]}"
        within(f"{place}, hot face", hot, 200.0, 700.0, "K", "give kelvin: °C and 273.15")
        within(f"{place}, cold face", cold, 200.0, 700.0, "K", "give kelvin: °C and 273.15")
        within(f"{place}, {'watts' if name == 'heater' else 'volts'}", value, -1e6, 1e6, "", "type the number again")
    for number, load in enumerate(readings.loads, 1):
        within(f"load reading {number}, resistor", load.ohms, 1e-4, 1e6, "Ω", "measure the resistor")
        within(f"load reading {number}, seconds", load.seconds, 0.0, 1e6, "s", "give the time after connecting")
    within("joints", readings.joints, 0.0, 100.0, "K/W", "0.1 to 0.5 K/W is usual for both joints of a 40 mm module")
    for name in needed:
        if not counts[name]:
            raise InputError(f"{name} readings: got none; one is needed and four are wanted; take them at different heats")
    if max(abs(hot - cold) for _, hot, cold, _ in rows[: counts["open"]]) < 1.0:
        raise InputError("open readings: got less than 1 K between the faces; 10 K or more is wanted; heat one face more")
