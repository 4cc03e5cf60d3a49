"""Printed figures to module values: rows that can be worked by hand, and sheets that contradict themselves."""

from __future__ import annotations

import pytest

from hobwind.bench.ratings import CoolerPrints, GeneratorPrints, from_cooler_prints, from_generator_prints, heat_method
from hobwind.errors import InputError
from hobwind.physics.thermoelectric import cold_heat, from_cooler_ratings


def test_cooler_row() -> None:
    found = from_cooler_prints(CoolerPrints(300.0, 15.9, 7.6, 70.0))
    assert found.figure("seebeck").value == pytest.approx(0.0530, abs=5e-5)
    assert found.figure("resistance").value == pytest.approx(1.604, abs=5e-4)
    assert found.figure("conductance").value == pytest.approx(0.6617, abs=5e-5)
    assert found.figure("heat_predicted").value == pytest.approx(74.5, abs=0.05)
    assert found.fit and not found.doubts


def test_a_sheet_that_contradicts_itself() -> None:
    found = from_cooler_prints(CoolerPrints(323.0, 8.8, 7.0, 70.0, heat=34.6, resistance=1.06))
    assert found.figure("heat_predicted").value == pytest.approx(37.5, abs=0.05)
    assert found.figure("apart").value == pytest.approx(0.083, abs=5e-4)
    assert not found.fit and len(found.doubts) == 2
    assert "+8 %" in found.doubts[0] and "1.06 Ω" in found.doubts[1] and "0.985 Ω" in found.doubts[1]
    alone = from_cooler_prints(CoolerPrints(323.0, 8.8, 7.0, 70.0))
    assert found.figure("seebeck_printed").u > alone.figure("seebeck_printed").u  # the two ways' distance is in it
    low = found.figure("seebeck_printed").value
    assert low == pytest.approx(0.5 * (8.8 / 323.0 + 2 * 34.6 / (7.0 * 393.0)))


def test_heat_method_answers_its_own_sheet() -> None:
    hot, heat, amperes, difference = 300.0, 50.0, 6.0, 68.0
    a, r, k = heat_method(hot, heat, amperes, difference)
    assert -cold_heat(a, r, k, hot, hot, -amperes) == pytest.approx(heat)
    assert cold_heat(a, r, k, hot, hot - difference, -amperes) == pytest.approx(0.0, abs=1e-9)
    more = [-cold_heat(a, r, k, hot, hot - difference, -amperes * f) for f in (0.99, 1.01)]
    assert max(more) < 0.0  # most cooling there
    assert (a, r, k) == pytest.approx(from_cooler_ratings(hot, a * hot, amperes, difference))


def test_generator_row() -> None:
    a, r, k, hot, cold = 0.05544, 3.0994, 0.6632, 403.15, 303.15
    current = 0.5 * a * 100.0 / r
    heat = a * hot * current - 0.5 * current**2 * r + k * 100.0
    found = from_generator_prints(GeneratorPrints(hot, cold, open_volts=5.544, watts=2.479, heat=heat))
    assert found.figure("seebeck_printed").value == pytest.approx(a)
    assert found.figure("resistance_printed").value == pytest.approx(r, rel=1e-3)
    assert found.figure("seebeck").value == pytest.approx(a * 212259.0 / (22224.0 + 353.15 * (930.6 - 0.9905 * 353.15)))
    ratio = (62605.0 + 353.15 * (-277.7 + 0.4131 * 353.15)) / 16474.0
    assert found.figure("conductance").value == pytest.approx(k / ratio, rel=2e-3)
    assert found.fit and not found.doubts
    half = from_generator_prints(GeneratorPrints(hot, cold, matched_volts=2.772, ohms=r))
    assert half.figure("seebeck").value == pytest.approx(found.figure("seebeck").value)
    assert "prints no heat" in half.doubts[0] and half.figure("conductance").relative > 0.1


def test_generator_sheet_that_contradicts_itself_or_is_too_hot() -> None:
    found = from_generator_prints(GeneratorPrints(403.15, 303.15, 5.544, 2.5, 2.479))
    assert not found.fit and "volts (" in found.doubts[0] and "11 % apart" in found.doubts[0]
    found = from_generator_prints(GeneratorPrints(640.0, 303.15, 5.544, 0.0, 2.479))
    assert any("mean of 472 K" in doubt for doubt in found.doubts)


@pytest.mark.parametrize(
    ("prints", "says"),
    [
        (CoolerPrints(27.0, 15.9, 7.6, 70.0), "hot face of the ratings: got 27 K; 250 to 400 K is allowed"),
        (CoolerPrints(300.0, float("nan"), 7.6, 70.0), "largest volts: got nan V"),
        (CoolerPrints(300.0, 15.9, 7.6, 170.0), "largest difference: got 170 K"),
    ],
)
def test_cooler_slips(prints: CoolerPrints, says: str) -> None:
    with pytest.raises(InputError, match=says):
        from_cooler_prints(prints)


def test_generator_slips() -> None:
    with pytest.raises(InputError, match="got too few"):
        from_generator_prints(GeneratorPrints(400.0, 300.0, open_volts=5.0))
    with pytest.raises(InputError, match="hot face: got 300 K"):
        from_generator_prints(GeneratorPrints(300.0, 400.0, open_volts=5.0, watts=2.0))
    with pytest.raises(InputError, match="is needed to make"):
        from_generator_prints(GeneratorPrints(403.15, 303.15, 5.544, 0.0, 2.479, heat=3.0))
