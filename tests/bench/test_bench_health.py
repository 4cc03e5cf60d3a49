"""A used module beside a new one: each fault planted by what it does inside, and named."""

from __future__ import annotations

import numpy as np
import pytest

from hobwind.bench.health import HealthReadings, Kind, against_new, by_two_loads, judge_health
from hobwind.bench.measured import Measured
from hobwind.bench.readings import TESTS, measure_table
from hobwind.errors import InputError
from hobwind.physics.thermoelectric import resistance_shape

TWIN = Kind("twin", Measured(0.05, 0.0002), Measured(2.0, 0.01), Measured(0.5, 0.02))


def ohms(value: float) -> Measured:
    return Measured(value, 0.005 * value)


def test_sound() -> None:
    found = judge_health(HealthReadings(TWIN, ohms(2.03), Measured(0.0499, 0.0003), couples=127, pressed=(2.02, 2.03)))
    assert found.fit and found.verdict == "Sound: 1.01 times the resistance of a new twin." and not found.doubts


def test_reversed_couples() -> None:
    turned = 3
    found = judge_health(HealthReadings(TWIN, ohms(2.0), Measured(0.05 * (1 - 2 * turned / 127), 0.0001), couples=127))
    assert found.figure("couples_turned").value == pytest.approx(3.0)
    assert found.fit and "about 3 of 127 couples are the wrong way round" in found.verdict and found.steps


def test_shorted_couples() -> None:
    share = 1 - 12 / 127
    found = judge_health(HealthReadings(TWIN, ohms(2.0 * share), Measured(0.05 * share, 0.0001), couples=127))
    assert "about 12 of 127 couples are shorted" in found.verdict


def test_cracked_leg() -> None:
    assert "no way through" in judge_health(HealthReadings(TWIN, None)).verdict
    jumping = judge_health(HealthReadings(TWIN, ohms(2.6), pressed=(2.6, 2.1, 2.5)))
    assert not jumping.fit and "cracked: the resistance moves by 21%" in jumping.verdict
    high = judge_health(HealthReadings(TWIN, ohms(3.6)))
    assert not high.fit and "1.8 times" in high.verdict and "Press" in high.steps[0]


def test_water() -> None:
    for found in (
        judge_health(HealthReadings(TWIN, ohms(1.8), to_ceramic=2e4)),
        judge_health(HealthReadings(TWIN, ohms(1.8), wandering=(1.7, 1.9, 1.8))),
    ):
        assert not found.fit and "water or soot" in found.verdict and "Dry it" in found.steps[0]
    assert judge_health(HealthReadings(TWIN, ohms(2.0), to_ceramic=5e7)).fit
    assert "lower than new" in judge_health(HealthReadings(TWIN, ohms(1.8))).doubts[0]


def test_weak_and_roughly_known() -> None:
    weak = judge_health(HealthReadings(TWIN, ohms(2.0), Measured(0.03, 0.0003)))
    assert not weak.fit and "60% of the volts" in weak.verdict
    rough = Kind("rough", Measured(0.05, 0.004), Measured(2.0, 0.4), Measured(0.5, 0.1))
    assert "twin" in judge_health(HealthReadings(rough, ohms(2.0))).doubts[0]


def test_two_loads() -> None:
    emf, own = 5.0, 2.0
    assert by_two_loads((8.0, emf * 8 / (8 + own)), (1.0, emf / (1 + own))) == pytest.approx(own)
    with pytest.raises(InputError, match="fewer volts"):
        by_two_loads((8.0, 2.5), (2.0, 4.0))
    with pytest.raises(InputError, match="smaller resistor: got 8"):
        by_two_loads((2.0, 2.5), (8.0, 4.0))
    with pytest.raises(InputError, match="pressed reading 2: got nan"):
        judge_health(HealthReadings(TWIN, ohms(2.0), pressed=(2.0, float("nan"))))


def test_beside_a_new_one() -> None:
    good, z = Measured(0.05, 0.0005), Measured(0.0025, 0.0001)
    assert against_new(good, ohms(2.0), z, TWIN) == (True, "Fit: 100% of a new one's merit.")
    assert against_new(good, ohms(3.4), z, TWIN)[1].startswith("Unfit: 1.7 times")
    assert against_new(good, Measured(3.1, 0.2), z, TWIN)[1].startswith("Perhaps unfit: 1.6 times")
    assert "only 40%" in against_new(good, ohms(2.0), Measured(0.001, 0.0001), TWIN)[1]
    assert "only 60% of the volts" in against_new(Measured(0.03, 0.0003), ohms(2.0), None, TWIN)[1]
    assert against_new(good, ohms(2.0), None, TWIN)[0] and against_new(good, ohms(2.0), None, None)[0]


def test_the_doubt_of_two_loads_is_honest() -> None:
    """A module of 2.4 ohm behind 1.6 V, read 400 times with meters that are off as much as is said of them.

    What both volts are off by together cancels in the ohms; what each is off by alone (three tenths of it, as stated in the
    model) and the share of the ohms are left, the latter even and by far the larger: 58 % within one u, all within two by hand.
    """
    rng, off = np.random.default_rng(7), []
    true = 2.4 / resistance_shape(290.15)  # at 300 K
    for _ in range(400):
        scale, gain = 1.0 + 0.02 * rng.uniform(-1.0, 1.0), 1.0 + 0.005 * rng.uniform(-1.0, 1.0)
        rows = {}
        for name, load in (("light", 8.2), ("heavy", 2.2)):
            volts = 1.6 * load / (load + 2.4) * gain * (1.0 + 0.3 * 0.005 * rng.uniform(-1.0, 1.0))
            rows[name] = {"ohms": f"{load * scale:.9g} Ω", "volts": f"{volts:.9g} V"}
        found = measure_table(TESTS["health"], {"kind": "cooler 40 mm 6 A", "at": "17 °C", **rows}, "made.toml")
        ohms_found = found.figure("resistance_seen")
        off.append((ohms_found.value - true) / ohms_found.u)
    assert abs(np.mean(off)) < 0.15  # 1 over the root of 400 is 0.05
    assert 0.52 <= np.mean(np.abs(off) < 1.0) <= 0.70 and np.mean(np.abs(off) < 2.0) >= 0.95
