"""Sinks: known ones found again from watts and cooling curves that SciPy integrates, honest doubts, slips named."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from hobwind.bench.measured import Instrument
from hobwind.bench.sink import Cooling, Settled, SinkReadings, identify_sink
from hobwind.errors import InputError

STILL, RISE, BLOWN, SPEED, STORE, ROOM = 1.8, 40.0, 0.6, 1.5, 620.0, 291.15


def settled(watts: float, blown: bool = False) -> Settled:
    """At rest: rise^1.25 goes with watts in still air, rise with watts in a stream."""
    rise = watts * BLOWN if blown else (watts * STILL * RISE**0.25) ** 0.8
    return Settled(watts, ROOM + rise, ROOM, SPEED if blown else 0.0)


def cooling(first: float, minutes: list[float], blown: bool = False) -> list[Cooling]:
    """C dT/dt = -heat, integrated by SciPy."""

    def heat(_: float, rise: np.ndarray) -> np.ndarray:
        lost = rise / BLOWN if blown else rise * (rise / RISE) ** 0.25 / STILL
        return -lost / STORE

    times = [60.0 * one for one in minutes]
    run = solve_ivp(heat, (0.0, times[-1]), [first], t_eval=times, rtol=1e-9, atol=1e-9)
    return [Cooling(t, ROOM + rise) for t, rise in zip(times, run.y[0], strict=True)]


MINUTES = [0.0, 2.0, 4.0, 6.0, 9.0, 12.0, 16.0, 20.0]
WHOLE = SinkReadings(
    [settled(12.0), settled(26.0), settled(40.0, True)], cooling(45.0, MINUTES), ROOM, mass=0.69, size=(0.15, 0.1, 0.045)
)


def test_a_known_sink_is_found_again() -> None:
    found = identify_sink(WHOLE)
    at = found.figure("still_rise").value
    assert found.figure("still").value * (at / RISE) ** 0.25 == pytest.approx(STILL, rel=1e-6)
    assert found.figure("blown_seen").value == pytest.approx(BLOWN, rel=1e-6)
    # By hand: the stream alone, 1/0.6^3 less 1/R^3 of still air there.
    assert found.figure("blown").value == pytest.approx((0.6**-3 - found.figure("still").value ** -3) ** (-1 / 3))
    assert found.figure("heat_capacity").value == pytest.approx(STORE, rel=1e-6)
    assert found.fit and [doubt[:29] for doubt in found.doubts] == ["Only one settled reading blow"]


def test_mass_stands_in_for_watts() -> None:
    """A cooling curve and 620/897 kg of aluminium give K/W; blown the logarithm falls straight."""
    still = identify_sink(SinkReadings(cooling=cooling(45.0, MINUTES), cooling_room=ROOM, mass=STORE / 897.0))
    assert still.figure("still").value * (still.figure("still_rise").value / RISE) ** 0.25 == pytest.approx(STILL, rel=5e-3)
    quick = [one / 3.0 for one in MINUTES]
    blown = identify_sink(
        SinkReadings(cooling=cooling(45.0, quick, True), cooling_room=ROOM, cooling_air_speed=SPEED, mass=STORE / 897.0)
    )
    assert blown.figure("blown_seen").value == pytest.approx(BLOWN, rel=5e-3)
    assert "Still air was not measured" in " ".join(blown.doubts)


def test_the_build_shows_what_was_seen() -> None:
    """Still and stream put together by third powers, as the solver does, give the K/W that was read."""
    found = identify_sink(WHOLE)
    still, alone = 1.0 / found.figure("still").value, 1.0 / found.figure("blown").value
    assert (still**3 + alone**3) ** (-1.0 / 3.0) == pytest.approx(found.figure("blown_seen").value)


def test_doubts_hold_the_truth() -> None:
    draw, off = np.random.default_rng(8), []
    clean = cooling(45.0, MINUTES)
    for _ in range(300):
        apart, share = draw.uniform(-1.0, 1.0), 1.0 + 0.05 * draw.uniform(-1.0, 1.0)

        def read(kelvin: float, offset: float = 0.0) -> float:
            return kelvin + offset + draw.uniform(-0.3, 0.3)

        rows = [
            Settled(one.watts * share, read(one.sink, apart), read(one.room), one.air_speed)
            for one in (settled(12.0), settled(26.0), settled(30.0, True), settled(45.0, True))
        ]
        curve = [Cooling(one.seconds, read(one.sink, apart)) for one in clean]
        found = identify_sink(SinkReadings(rows, curve, ROOM))
        still = STILL * (RISE / found.figure("still_rise").value) ** 0.25
        truths = {"still": still, "blown_seen": BLOWN, "heat_capacity": STORE}
        off.append([abs(found.figure(name).value - true) / found.figure(name).u for name, true in truths.items()])
    one, two = (np.mean(np.array(off) < limit, axis=0) for limit in (1.0, 2.0))
    # One even error rules: one u then holds 58 % (GUM 4.3.7), two hold all of it.
    assert np.all((one > 0.55) & (one < 0.80)), one
    assert np.all(two > 0.93), two


def test_slips_are_named() -> None:
    bad = list(WHOLE.cooling)
    bad[4] = replace(bad[4], sink=bad[4].sink + 6.0)
    assert any("cooling 5 (540 s" in doubt for doubt in identify_sink(replace(WHOLE, cooling=bad)).doubts)
    heavy = identify_sink(replace(WHOLE, mass=2.0))
    assert any("copper or steel" in doubt for doubt in heavy.doubts)
    rows = [settled(12.0), settled(20.0), replace(settled(26.0), watts=52.0)]
    assert any("on 52 W says" in doubt for doubt in identify_sink(replace(WHOLE, settled=rows)).doubts)
    uneven = [settled(12.0), settled(30.0, True), replace(settled(40.0, True), air_speed=4.0)]
    assert any("unlike air speeds" in doubt for doubt in identify_sink(replace(WHOLE, settled=uneven)).doubts)
    assert not identify_sink(SinkReadings([Settled(5.0, ROOM + 30.0, ROOM)])).fit


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        (SinkReadings(), "neither settled nor cooling"),
        (SinkReadings([Settled(20.0, ROOM, ROOM + 30.0)]), "were the two exchanged"),
        (SinkReadings([Settled(20.0, ROOM + 3.0, ROOM)]), "a rise of 3.0 K; 8 K or more"),
        (SinkReadings([Settled(-20.0, ROOM + 30.0, ROOM)]), "more than nothing"),
        (SinkReadings([Settled(0.02, ROOM + 30.0, ROOM)]), "milliwatts"),
        (SinkReadings([settled(20.0), replace(settled(20.0), air_speed=1.0)]), "no better than"),
        (SinkReadings(cooling=WHOLE.cooling, cooling_room=ROOM), "add the sink's mass"),
        (SinkReadings(cooling=WHOLE.cooling[:3], cooling_room=ROOM, mass=0.5), "four or more"),
        (SinkReadings(cooling=WHOLE.cooling[::-1], cooling_room=ROOM, mass=0.5), "times must rise"),
        (SinkReadings(cooling=WHOLE.cooling[:4], cooling_room=ROOM, mass=0.5), "too near each other"),
        (SinkReadings(cooling=WHOLE.cooling, cooling_room=ROOM + 20.0, mass=0.5), "stop 4 K above the room"),
    ],
)
def test_what_cannot_be_is_refused(readings: SinkReadings, says: str) -> None:
    with pytest.raises(InputError, match=says):
        identify_sink(readings)


def test_speed_carries_its_instrument() -> None:
    found = identify_sink(replace(WHOLE, anemometer=Instrument(0.2, 0.0)))
    assert found.figure("blown_at").u == pytest.approx(0.2 * SPEED / math.sqrt(3.0))
