"""A module as generator: published bench data, honest doubts by simulated tests, and every planted fault named."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from hobwind.bench.health import Kind
from hobwind.bench.measured import Instrument, Measured, fit_line
from hobwind.bench.module import identify_generator
from hobwind.bench.module_kettle import identify_kettle
from hobwind.bench.module_readings import (
    HeaterReading,
    Instruments,
    LoadReading,
    ModuleReadings,
    OpenReading,
)
from hobwind.errors import InputError
from hobwind.physics.thermoelectric import conductance_shape, resistance_shape, seebeck_shape

TOOLS = Instruments(heater_share=0.01)
TRUTH = {"seebeck": 0.05, "resistance": 2.0, "conductance": 0.5}
NEW = Kind("new one", Measured(0.05, 0.003), Measured(2.0, 0.15), Measured(0.5, 0.08))

# A. Salazar Lobos: watts, top and bottom °C, open volts; amperes and volts lost inside.
OPEN = [(3.406, 24.7, 8.4, 0.254), (2.115, 19.3, 8.4, 0.169), (1.179, 13.7, 8.1, 0.102), (0.583, 10.1, 7.5, 0.060)]
OPEN += [(0.166, 7.9, 7.5, 0.032), (0.0, 7.0, 7.5, 0.023)]
LOST = [(0.153, 0.1037), (0.198, 0.1354), (0.265, 0.1834), (0.305, 0.2090), (0.348, 0.2381)]


def published() -> ModuleReadings:
    """As read; the loads' faces are not published, so a difference of 24 K about the same mean carries the volts lost."""
    opens = [OpenReading(top + 273.15, bottom + 273.15, volts) for _, top, bottom, volts in OPEN]
    heaters = [HeaterReading(watts, top + 273.15, bottom + 273.15) for watts, top, bottom, _ in OPEN]
    mean = sum(0.5 * (one.hot + one.cold) for one in opens) / len(opens)
    emf = 0.01368 * 24.0 + 0.0262
    loads = [LoadReading((emf - lost) / amps, emf - lost, mean + 12.0, mean - 12.0, 60.0) for amps, lost in LOST]
    return ModuleReadings(opens, loads, heaters, reread=True)


def bench(rng: np.random.Generator, tools: Instruments = TOOLS, kelvin: float = 1.0) -> ModuleReadings:
    """A known module read with exactly these instruments: shared slips drawn once, the others for every reading."""
    apart, span, meter, ohms, watts, *bend = rng.uniform(-1.0, 1.0, 8)

    def shape(function: Callable[[float], float], mean: float, number: int) -> float:
        return 1.0 + (function(mean) - 1.0) * (1.0 + tools.shape_share * bend[number])

    def faces(difference: float) -> tuple[float, float]:
        hot, cold = tools.step * rng.uniform(-1.0, 1.0, 2)
        spread = difference * (1.0 + tools.thermometer_share * span) + tools.apart * apart
        return 290.0 + spread + hot, 290.0 + cold

    def volts(true: float) -> float:
        return true * (1.0 + tools.volts.share * meter) + tools.volts.digits * rng.uniform(-1.0, 1.0)

    opens, loads, heaters = [], [], []
    for difference in kelvin * np.array([15.0, 25.0, 35.0, 45.0, 55.0, 65.0]):
        mean = 290.0 + 0.5 * difference
        opens.append(OpenReading(*faces(difference), volts(TRUTH["seebeck"] * shape(seebeck_shape, mean, 0) * difference)))
        heat = TRUTH["conductance"] * shape(conductance_shape, mean, 2) * difference * (1.0 + tools.heater_share * watts)
        heaters.append(HeaterReading(heat, *faces(difference)))
    for load in (1.0, 2.0, 3.3, 4.7, 8.2):
        difference = 50.0 * kelvin
        mean = 290.0 + 0.5 * difference
        emf = TRUTH["seebeck"] * shape(seebeck_shape, mean, 0) * difference
        own = TRUTH["resistance"] * shape(resistance_shape, mean, 1)
        loads.append(LoadReading(load * (1.0 + tools.load_share * ohms), volts(emf * load / (load + own)), *faces(difference)))
    return ModuleReadings(opens, loads, heaters, tools)


def clean(kelvin: float = 1.0) -> ModuleReadings:
    """Readings without any error, said to be by the usual instruments."""
    exact = Instruments(0.0, 0.0, 0.0, Instrument(0.0, 0.0), 0.0, 0.0, 0.0)
    return replace(bench(np.random.default_rng(1), exact, kelvin), instruments=TOOLS)


def test_published_bench_data() -> None:
    found = identify_generator(published())
    raw = fit_line([top - low for _, top, low, _ in OPEN], [volts for *_, volts in OPEN], [0.1] * 6, [0.001] * 6)
    assert raw.slope.value == pytest.approx(0.01368, rel=5e-4)
    # Theirs takes volts per kelvin as the same at every mean; with its rise over temperature the line is a little flatter.
    assert found.figure("seebeck_here").value == pytest.approx(0.01368, rel=0.015)
    assert abs(found.figure("seebeck_here").value - 0.01368) < found.figure("seebeck_here").u
    assert found.figure("resistance_here").value == pytest.approx(0.690, rel=0.015)
    assert found.figure("conductance_here").value == pytest.approx(0.199, rel=0.02)
    assert found.figure("apart").value == pytest.approx(2.0, abs=0.3)
    assert any("disagree by 2.0 K" in doubt for doubt in found.doubts)
    # Kelvin's relation: the heat per ampere they measured at 303.3 K, 4.16 ± 0.16 V, beside volts per kelvin times kelvin.
    assert raw.slope.value * 303.3 == pytest.approx(4.149, abs=0.002)
    assert found.figure("seebeck").value * seebeck_shape(303.3) * 303.3 == pytest.approx(4.16, abs=0.16)


def test_clean_readings_give_the_module_back() -> None:
    found = identify_generator(replace(clean(), kind=NEW))
    for name, value in TRUTH.items():
        assert found.figure(name).value == pytest.approx(value, rel=1e-6)
    assert found.fit and found.verdict == "Fit: 100% of a new one's merit." and found.doubts == ()
    assert found.base == "new one" and "seebeck = " in found.part_text("mine")
    assert [len(curve.points) for curve in found.curves] == [6, 5]
    (x, y), line = found.curves[0].points[-1], found.curves[0].line
    assert (x, y) == pytest.approx(line[1])


def test_the_doubts_are_honest() -> None:
    rng, off = np.random.default_rng(20), []
    for _ in range(300):
        found = identify_generator(bench(rng))
        off.append([(found.figure(name).value - value) / found.figure(name).u for name, value in TRUTH.items()])
    one, two = (np.mean(np.abs(off) < limit, axis=0) for limit in (1.0, 2.0))
    assert np.all((one >= 0.60) & (one <= 0.76)), one
    assert np.all((two >= 0.91) & (two <= 0.98)), two


def opened(readings: ModuleReadings, at: int, factor: float) -> ModuleReadings:
    opens = list(readings.opens)
    opens[at] = replace(opens[at], volts=factor * opens[at].volts)
    return replace(readings, opens=opens)


def loaded(readings: ModuleReadings, at: int, factor: float) -> ModuleReadings:
    loads = list(readings.loads)
    loads[at] = replace(loads[at], volts=factor * loads[at].volts)
    return replace(readings, loads=loads)


def every(readings: ModuleReadings, factor: float) -> ModuleReadings:
    opens = [replace(one, volts=factor * one.volts) for one in readings.opens]
    return replace(readings, opens=opens, loads=[replace(one, volts=factor * one.volts) for one in readings.loads])


def late(readings: ModuleReadings) -> ModuleReadings:
    return replace(readings, loads=[replace(one, seconds=30.0) for one in readings.loads])


def late_one(readings: ModuleReadings) -> ModuleReadings:
    return replace(readings, loads=[replace(readings.loads[0], seconds=30.0), *readings.loads[1:]])


def apart(readings: ModuleReadings) -> ModuleReadings:
    opens = [replace(one, hot=one.hot - 2.5) for one in readings.opens]
    return replace(readings, opens=opens, loads=[replace(one, hot=one.hot - 2.5) for one in readings.loads])


FAULTS: dict[str, tuple[Callable[[ModuleReadings], ModuleReadings], str]] = {
    "apart": (apart, r"disagree by 2\.[45] K"),
    "reversed": (lambda r: every(r, -1.0), "run the other way"),
    "outlier": (lambda r: opened(r, 2, 0.7), "Open reading 3 does not go .* read it again"),
    "one turned": (lambda r: opened(r, 3, -1.0), "Open reading 4 .* sign is turned"),
    "one slip": (lambda r: opened(r, 1, 1000.0), "Open reading 2 .* millivolts typed as volts"),
    "other slip": (lambda r: opened(r, 5, 0.001), "Open reading 6 .* volts typed as millivolts"),
    "load outlier": (lambda r: loaded(r, 3, 0.8), "Load reading 4 does not go .* read it again"),
    "all slipped": (lambda r: every(r, 1000.0), "mV for every kelvin is not what a module makes: millivolts"),
    "few open": (lambda r: replace(r, opens=r.opens[:2]), "Too few open readings: 2"),
    "one open": (lambda r: replace(r, opens=r.opens[4:5]), "Too few open readings: 1"),
    "few loads": (lambda r: replace(r, loads=r.loads[:1]), "Too few load readings: 1"),
    "few heaters": (lambda r: replace(r, heaters=r.heaters[:1]), "Too few heater readings: 1"),
    "no heater": (lambda r: replace(r, heaters=()), "not measured: it is what such modules usually have"),
    "catalogue": (lambda r: replace(r, heaters=(), kind=NEW), "not measured: it is the catalogue's for new one"),
    "far side": (lambda r: replace(r, far_side=True), "beyond the joints"),
    "late": (late, "later than 1 s, when the current"),
    "late one": (late_one, "1 of the load readings came later"),
    "small": (lambda _: clean(0.12), r"difference is small, 7\.8 K"),
    "hot": (lambda _: clean(6.0), "only known from 250 to 450 K"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_planted_fault_is_named(name: str) -> None:
    plant, says = FAULTS[name]
    assert not any(re.search(says, doubt) for doubt in identify_generator(clean()).doubts)
    found = identify_generator(plant(clean()))
    assert any(re.search(says, doubt) for doubt in found.doubts), found.doubts
    said = " ".join((*found.doubts, found.verdict))
    assert not re.search("residual|covariance|variance|prior|posterior|confidence|deviation", said)
    if name not in ("all slipped", "outlier", "one turned", "one slip", "other slip", "load outlier", "small", "hot"):
        for key, value in TRUTH.items():  # what is only odd must not move the values out of their doubt
            assert abs(found.figure(key).value - value) < 2.0 * found.figure(key).u, key


def test_far_side_is_one_sided() -> None:
    near, far = identify_generator(clean()), identify_generator(replace(clean(), far_side=True, joints=0.5))
    ratio = far.figure("seebeck").value / near.figure("seebeck").value
    assert ratio == pytest.approx(1.0 / (1.0 - 0.25 * 0.5), rel=0.01)  # a K R each joint pair, half of the most
    assert far.figure("conductance").value == pytest.approx(0.5 / (1.0 - 0.25 * 0.5), rel=0.01)
    assert far.figure("seebeck").relative > 0.05


def test_late_readings_lower_the_ohms() -> None:
    found = identify_generator(late(clean()))
    assert found.figure("resistance").value < 1.7 and found.figure("resistance").relative > 0.1
    assert identify_generator(replace(late(clean()), reread=True)).figure("resistance").value == pytest.approx(2.0)


def test_unfit_ones() -> None:
    worn = replace(NEW, resistance=Measured(1.2, 0.05))
    found = identify_generator(replace(clean(), kind=worn))
    assert not found.fit and "1.7 times the resistance of a new new one" in found.verdict
    strong = replace(NEW, seebeck=Measured(0.08, 0.002))
    assert "only 62% of the volts" in identify_generator(replace(clean(), kind=strong)).verdict
    tight = replace(NEW, conductance=Measured(0.2, 0.01))
    assert "only 40% of a new one's merit" in identify_generator(replace(clean(), kind=tight)).verdict
    assert not identify_generator(every(clean(), 1000.0)).fit


def test_slips_that_stop() -> None:
    good = clean()
    first, load = good.opens[0], good.loads[0]
    for bad, says in [
        (replace(good, opens=()), "open readings: got none"),
        (replace(good, loads=()), "load readings: got none"),
        (replace(good, opens=[replace(first, hot=24.7)]), "open reading 1, hot face: got 24.7 K; 200 to 700 K"),
        (replace(good, opens=[first, replace(first, volts=float("inf"))]), "open reading 2, volts: got inf"),
        (replace(good, opens=[replace(first, hot=first.cold)]), "less than 1 K"),
        (replace(good, loads=[replace(load, ohms=0.0)]), "load reading 1, resistor: got 0"),
        (replace(good, loads=[replace(load, volts=0.0)]), "load readings: got no volts"),
        (replace(good, loads=[replace(load, volts=9.0)]), "Ω inside the module"),
        (every(good, 0.0), "got no volts at all"),
        (replace(good, far_side=True, joints=5.0), "joints: got 5 K/W"),
        (replace(good, heaters=[replace(one, watts=-one.watts) for one in good.heaters]), "heater readings: got -"),
    ]:
        with pytest.raises(InputError, match=re.escape(says)):
            identify_generator(bad)


@pytest.mark.parametrize(
    ("tools", "name"),
    [
        (replace(TOOLS, load_share=0.1), "resistance"),
        (replace(TOOLS, heater_share=0.1), "conductance"),
        (replace(TOOLS, thermometer_share=0.1), "conductance"),
        (replace(TOOLS, thermometer_share=0.1), "seebeck"),
        (replace(TOOLS, volts=Instrument(0.1, 0.002)), "seebeck"),
    ],
)
def test_what_all_readings_share_is_not_averaged_away(tools: Instruments, name: str) -> None:
    before = identify_generator(clean()).figure(name)
    after = identify_generator(replace(clean(), instruments=tools)).figure(name)
    assert after.relative == pytest.approx(np.hypot(before.relative, 0.1 / np.sqrt(3.0)), rel=0.03)


def test_kettle_and_ice_alone() -> None:
    """Volts per kelvin as with loads; ohms and heat only as the kind has them, and wide; told so."""
    good = clean()
    whole, kettle = identify_generator(good), identify_kettle(replace(good, loads=(), heaters=()))
    assert kettle.figure("seebeck").value == pytest.approx(whole.figure("seebeck").value, rel=1e-6)
    assert kettle.figure("seebeck").u == pytest.approx(whole.figure("seebeck").u, rel=0.05)
    with pytest.raises(KeyError):
        kettle.figure("resistance")
    # By hand: 0.05^2/2.9e-3 and 0.05^2/1.6e-3.
    assert "0.86 to 1.6 for ohms times W/K" in kettle.doubts[-1]
    named = identify_kettle(replace(good, loads=(), heaters=(), kind=NEW))
    assert named.fit and named.figure("resistance").relative > 0.07 and named.figure("conductance").relative > 0.07
    weak = identify_kettle(replace(good, loads=(), heaters=(), kind=replace(NEW, seebeck=Measured(0.08, 0.002))))
    assert not weak.fit and "of the volts" in weak.verdict
    far = identify_kettle(replace(good, loads=(), heaters=(), far_side=True))
    assert far.figure("seebeck").value == pytest.approx(TRUTH["seebeck"] * 1.125, rel=1e-3)  # 1 + 0.25 K/W times 0.5 W/K
    with pytest.raises(InputError, match="open readings: got none"):
        identify_kettle(replace(good, opens=(), loads=()))
