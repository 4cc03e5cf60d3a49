"""What a trial may measure: each channel's words, where the model has it, and how its readings may be off."""

from __future__ import annotations

from dataclasses import dataclass

from ..stack.fields import Seen

TEMPERATURE = "temperature"


@dataclass(frozen=True)
class Channel:
    """One thing that can be measured.

    `seen` is its column of the computed evening; `level` the spread (one s) of what its meter is off all evening, in SI for
    temperatures and gaps, as a share of the reading otherwise; `lag` and `lag_spread` how late a sensor answers [s];
    `rough` what is neither noise nor model [SI]; `typed` the same for readings typed by hand; `low`, `high` what is believed.
    """

    key: str
    says: str
    dimension: str
    seen: Seen
    level: float
    lag: float
    lag_spread: float
    rough: float
    typed: float
    low: float
    high: float

    @property
    def shares(self) -> bool:
        """Whether the meter is off by a share of its reading rather than by a fixed step."""
        return self.dimension not in (TEMPERATURE, "length")


_COLD, _HOT = 233.15, 1073.15
# Thermometers: class 2 type K, 2.5 K (IEC 60584-1) as two spreads, the plate's twice that for how it is held on. The rest,
# lags of taped or clipped-on beads among it, is common practice.
CHANNELS = {
    one.key: one
    for one in (
        Channel("plate", "stove plate", TEMPERATURE, Seen.plate, 2.5, 15.0, 7.5, 0.3, 1.5, _COLD, _HOT),
        Channel("hot_face", "hot face", TEMPERATURE, Seen.hot_face, 1.25, 10.0, 5.0, 0.3, 1.0, _COLD, _HOT),
        Channel("cold_face", "cold face", TEMPERATURE, Seen.cold_face, 1.25, 10.0, 5.0, 0.3, 1.0, _COLD, _HOT),
        Channel("sink", "sink", TEMPERATURE, Seen.sink, 1.25, 15.0, 7.5, 0.3, 1.0, _COLD, _HOT),
        Channel("base", "riser's foot", TEMPERATURE, Seen.foot, 1.25, 10.0, 5.0, 0.3, 1.0, _COLD, _HOT),
        Channel("riser", "riser's top", TEMPERATURE, Seen.riser_top, 1.25, 10.0, 5.0, 0.3, 1.0, _COLD, _HOT),
        Channel("element", "wax element", TEMPERATURE, Seen.element, 1.25, 15.0, 7.5, 0.3, 1.0, _COLD, _HOT),
        Channel("motor", "motor body", TEMPERATURE, Seen.motor, 1.25, 15.0, 7.5, 0.3, 1.0, _COLD, _HOT),
        Channel("speed", "speed", "turning", Seen.speed, 0.01, 2.0, 1.0, 1.0, 3.0, 0.0, 2500.0),
        Channel("current", "current", "current", Seen.current, 0.01, 1.0, 0.5, 0.5e-3, 2e-3, -1.0, 20.0),
        Channel("volts", "volts at the motor", "voltage", Seen.motor_voltage, 0.01, 1.0, 0.5, 5e-3, 1e-2, -5.0, 60.0),
        Channel("gap", "gap under the foot", "length", Seen.gap, 5e-5, 1.0, 0.5, 5e-5, 2e-4, -1e-3, 0.05),
    )
}
ROOM, NOTE = "room", "note"  # also read, but not compared with the model
