"""Unknown bars by mass and displaced water; densities of handbooks (ASM Metals Handbook, EN data sheets)."""

from __future__ import annotations

import numpy as np
import pytest

from hobwind.bench.measured import Instrument, Measured, combine
from hobwind.bench.metal import MetalReadings, candidates, identify_metal
from hobwind.errors import InputError


@pytest.mark.parametrize(
    ("density", "magnet", "wanted"),
    [
        (8940.0, False, "copper"),  # handbook 8.94 g/cm3
        (8440.0, False, "brass CuZn39Pb3"),  # EN 12164 sheets, 8.44
        (7860.0, True, "plain steel"),  # 7.86
        (7150.0, True, "grey cast iron"),  # 7.15
        (1780.0, False, "magnesium bar"),  # 1.78
    ],
)
def test_handbook_densities_are_recognised(density: float, magnet: bool, wanted: str) -> None:
    found = candidates(Measured(density, 20.0), magnet)
    assert found[0].name == wanted
    assert sum(one.odds for one in found) == pytest.approx(1.0, abs=0.05)


def test_aluminiums_stay_apart_only_in_odds() -> None:
    found = {one.name: one.odds for one in candidates(Measured(2700.0, 15.0), False)}
    assert max(found.values()) < 0.6 and len(found) >= 3


def test_density_and_its_doubt_by_hand() -> None:
    """270 g and 100 g of water at 22 °C: 2694 kg/m3; 1 g steps on 100 g make about 0.6 %."""
    found = identify_metal(MetalReadings(0.270, 0.100, False, Instrument(0.0, 1e-3)))
    one = found.figure("density")
    assert one.value == pytest.approx(2.7 * 997.8)
    by_hand = one.value * ((1e-3 / 3**0.5 / 0.270) ** 2 + (1e-3 / 3**0.5 / 0.100) ** 2) ** 0.5
    assert one.u == pytest.approx(by_hand, rel=1e-3)
    assert found.fit and 120.0 < found.figure("conductivity").value < 230.0


def test_odd_readings() -> None:
    with pytest.raises(InputError, match="were the two exchanged"):
        identify_metal(MetalReadings(0.1, 0.27))
    with pytest.raises(InputError, match="1 g to 100 kg"):
        identify_metal(MetalReadings(-0.1, 0.05))
    far = identify_metal(MetalReadings(0.5, 0.1))
    assert not far.fit and "fits none" in far.verdict
    assert any("water displaced" in doubt for doubt in identify_metal(MetalReadings(0.011, 0.004)).doubts)
    assert any("burn" in doubt for doubt in identify_metal(MetalReadings(0.178, 0.0998, False)).doubts)


def test_gum_sum_of_two_normals() -> None:
    """JCGM 101 clause 9.2: four independent unit inputs add to a standard uncertainty of 2."""
    total, shares = combine(lambda a, b, c, d: a + b + c + d, {name: Measured(0.0, 1.0) for name in "abcd"})
    assert total.u == pytest.approx(2.0) and shares["a"] == pytest.approx(0.25)


def test_density_doubt_holds_the_truth() -> None:
    """A bar of 2700 kg/m3 on a scale of 1 g steps and ± 0.2 %: two u hold it in about 19 of 20, one in about two of three."""
    draw, off = np.random.default_rng(12), []
    for _ in range(500):
        share = 1.0 + 0.002 * draw.uniform(-1, 1)
        mass = draw.uniform(0.2, 0.9)
        water = mass / 2700.0 * 997.8
        found = identify_metal(MetalReadings(*(one * share + 1e-3 * draw.uniform(-1, 1) for one in (mass, water)))).figure(
            "density"
        )
        off.append(abs(found.value - 2700.0) / found.u)
    # The scale's share drops out of the quotient but is counted for both weighings: a little wide.
    assert 0.6 < np.mean(np.array(off) < 1.0) < 0.9 and np.mean(np.array(off) < 2.0) > 0.93
