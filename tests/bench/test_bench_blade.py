"""Blades on known motors: published coefficients found again, honest doubts, and every slip named."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from hobwind.bench.blade import RPM, BladeMotor, BladeReading, BladeReadings, identify_blade
from hobwind.bench.measured import Instrument, Measured
from hobwind.errors import InputError

EXACT = Instrument(0.0, 1e-9)
FINE = Instrument(0.0, 0.1e-3)  # so that the well-known friction is the firmer foot
K, R, FRICTION, DRAG = 7.5e-3, 7.7, 150e-6, 25e-9
KNOWN = BladeMotor(Measured(K, 0.0), Measured(R, 0.1), Measured(FRICTION, 1e-7), Measured(DRAG, 1e-12), Measured(0.03, 0.005))


def turning(rpm: float, watts: float) -> BladeReading:
    """What the meters show when the blade takes so many watts: written out here, not taken from the program."""
    speed = rpm * 2.0 * math.pi / 60.0
    amperes = (FRICTION + DRAG * speed + watts / speed) / K
    return BladeReading(0.03 + amperes * R + K * speed, amperes, speed)


def blade(rows: list[BladeReading], diameter: float, motor: BladeMotor = KNOWN, **more: object) -> BladeReadings:
    # 1.225 kg/m3, as the published tests: 15 °C at sea level.
    return BladeReadings(
        Measured(diameter, 0.0), 2, rows, motor, room=288.15, ammeter=FINE, tachometer=EXACT, **more  # type: ignore[arg-type]
    )  # fmt: skip


def watts(coefficient: float, rpm: float, diameter: float) -> float:
    return coefficient * 1.225 * (rpm / 60.0) ** 3 * diameter**5


@pytest.mark.parametrize(
    ("diameter", "rows"),
    [  # UIUC propeller database, static tests (read): rpm and power coefficient
        (0.127, [(1507, 0.0420), (3033, 0.0362), (5943, 0.0399)]),
        (0.229, [(1490, 0.0372), (3030, 0.0333), (5940, 0.0330)]),
        (0.1067, [(1490, 0.1354), (2947, 0.1159)]),
    ],
)
def test_published_blades(diameter: float, rows: list[tuple[float, float]]) -> None:
    found = identify_blade(blade([turning(rpm, watts(c, rpm, diameter)) for rpm, c in rows], diameter))
    # The fastest reading weighs most; the coefficients of one specimen move with speed by more than this.
    assert found.figure("power_coefficient").value == pytest.approx(rows[-1][1], rel=0.02)


def test_one_published_point_exactly() -> None:
    """106.7 mm, 1490 rpm, 1.225 kg/m3: 35.1 mW, 12.24 mN, induced 0.748 m/s, 24.1 m3/h (read, and exact)."""
    point = turning(1490.0, 35.1e-3)
    rows = [replace(point, air_speed=0.748), turning(2980.0, 8.0 * 35.1e-3)]
    found = identify_blade(blade(rows, 0.1067, anemometer=EXACT))
    assert found.figure("power_coefficient").value == pytest.approx(0.1354, rel=2e-3)  # 35.1 is printed to 3 digits
    assert found.figure("thrust_coefficient").value == pytest.approx(0.1251, rel=3e-3)
    assert found.figure("flow").value * 3600.0 == pytest.approx(24.1, abs=0.05)


def test_fan_laws() -> None:
    """A published example: 1250 rpm 1.9 hp, 1458 rpm 3.02 hp; one blade, so one coefficient."""
    small = 1e-4  # shrunk to a size the bench takes: power goes with the fifth power of diameter
    pairs = [turning(1250.0, 1.9 * 745.7 * small), turning(1458.0, 3.02 * 745.7 * small)]
    alone = 1.9 * 745.7 * small / (1.225 * (1250 / 60) ** 3 * 0.127**5)
    found = identify_blade(blade([pairs[0], replace(pairs[1])], 0.127))
    assert found.figure("power_coefficient").value == pytest.approx(alone, rel=5e-3)  # 3.02 is printed to 3 digits


def test_two_voltages_tell_twist_from_an_unknown_friction() -> None:
    """With no friction given the foot of the line is free: the difference of two readings decides."""
    rows = [turning(rpm, watts(0.12, rpm, 0.15)) for rpm in (600, 1000, 1400)]
    blind = replace(KNOWN, friction=Measured(0.0, 0.0), drag=Measured(0.0, 0.0))
    found = identify_blade(blade(rows, 0.15, blind))
    assert abs(found.figure("power_coefficient").value - 0.12) < 2.0 * found.figure("power_coefficient").u + 0.006


def test_doubts_hold_the_truth() -> None:
    draw, off = np.random.default_rng(5), []
    for _ in range(400):
        k = Measured(K * (1.0 + 0.015 * draw.normal()), 0.015 * K)
        friction = Measured(FRICTION * (1.0 + 0.1 * draw.normal()), 0.1 * FRICTION)
        ampere, speed = 1.0 + 0.015 * draw.uniform(-1, 1), 1.0 + 0.005 * draw.uniform(-1, 1)
        rows = []
        for rpm in (600.0, 1000.0, 1500.0):
            true = turning(rpm, watts(0.12, rpm, 0.15))
            rows.append(
                BladeReading(
                    true.volts,
                    true.amperes * ampere + 0.3e-3 * draw.uniform(-1, 1),
                    true.speed * speed + RPM * draw.uniform(-1, 1),
                )
            )
        motor = BladeMotor(k, None, friction, Measured(DRAG, 2e-9))
        size = Measured(0.15 + 0.5e-3 * draw.normal(), 0.5e-3)
        found = identify_blade(BladeReadings(size, 2, rows, motor, room=288.15)).figure("power_coefficient")
        off.append(abs(found.value - 0.12) / found.u)
    # The air's own one per cent is in the doubt and not in the draw: a little on the wide side.
    assert 0.62 < np.mean(np.array(off) < 1.0) < 0.80
    assert 0.93 < np.mean(np.array(off) < 2.0) < 0.995


def test_slips_are_named() -> None:
    rows = [turning(rpm, watts(0.12, rpm, 0.15)) for rpm in (600, 900, 1200, 1500)]
    said = " ".join(identify_blade(blade([*rows[:3], replace(rows[3], speed=2.0 * rows[3].speed)], 0.15)).doubts)
    assert "turning 4: its speed of 3000 rpm is twice what volts and current call for (1500 rpm)" in said
    assert "blades, marks or flashes miscounted" in said
    outlier = [*rows[:2], replace(rows[2], amperes=1.2 * rows[2].amperes), rows[3]]
    assert any("turning 3 does not go with the others" in doubt for doubt in identify_blade(blade(outlier, 0.15)).doubts)
    # More air than the twist can pay for: figure of merit above one.
    windy = [replace(row, air_speed=2.5 * row.speed / 157.0) for row in rows]
    found = identify_blade(blade(windy, 0.15))
    assert not found.fit and "more air than its twist can pay for" in " ".join(found.doubts)


def test_what_cannot_be_is_refused() -> None:
    rows = [turning(rpm, watts(0.12, rpm, 0.15)) for rpm in (600, 1200)]
    for bad, says in [
        (rows[:1], "got 1 readings"),
        ([rows[0], turning(650, watts(0.12, 650, 0.15))], "from 600 to 650 rpm are too near each other"),
        ([rows[0], replace(rows[1], amperes=-0.1)], "Turn both meters round"),
        ([rows[0], replace(rows[1], amperes=1e-4)], "does not rise with speed"),
    ]:
        with pytest.raises(InputError, match=says):
            identify_blade(blade(bad, 0.15))


def test_beside_the_catalogue() -> None:
    rows = [turning(rpm, watts(0.039, rpm, 0.127)) for rpm in (1500, 3000)]
    found = identify_blade(blade(rows, 0.127, pitch=Measured(0.06, 0.005)))
    assert found.base == "blade 127 mm 2" and "agrees with" in found.verdict
    heavy = [turning(rpm, watts(0.12, rpm, 0.127)) for rpm in (1500, 3000)]
    assert "heavier to turn" in identify_blade(blade(heavy, 0.127, pitch=Measured(0.06, 0.005))).verdict
