"""The why of every bench figure: worked out anew from the readings, it comes to the figure."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from builds import ROOT
from hobwind.bench.readings import TESTS, measure_table
from hobwind.files import toml_table
from hobwind.page.benches import EXAMPLES
from hobwind.page.whys_bench import WORKED, bench_whys
from hobwind.sources import sources

Table = dict[str, Any]


def readings(name: str) -> Table:
    return toml_table((ROOT / "examples" / "bench" / f"{EXAMPLES[name]}.toml").read_text("utf-8"))


def without(*keys: str) -> Callable[[Table], Table]:
    return lambda table: {key: value for key, value in table.items() if key not in keys}


def with_(**values: Any) -> Callable[[Table], Table]:
    return lambda table: table | values


def first(key: str, count: int, drop: tuple[str, ...] = ()) -> Callable[[Table], Table]:
    return lambda table: without(*drop)(table) | {key: table[key][:count]}


BY_SIZE = "washers, by size"  # no scale to average: the same formula
BY_LAW = "sink, by its law"  # rises of 12 and 60 K on the watts of R ~ rise^-1/4, 2 K/W at 36 K: weighed or not, the same
LAW = {"settled": [{"watts": f"{rise / (2.0 * (rise / 36.0) ** -0.25):.6f} W", "sink": f"{20 + rise} °C", "room": "20 °C"}
                   for rise in (12, 60)]}  # fmt: skip
LABEL = {"hot": "300 °C", "cold": "30 °C", "matched_volts": "4.2 V", "watts": "14.6 W", "ohms": "1.25 Ω", "heat": "365 W"}
WEIGHED = {"mass": "640 g", "cooling_room": "19 °C", "cooling": [
    {"time": f"{i * 2} min", "sink": f"{19 + 40 / (1 + 0.05 * i) ** 4:.1f} °C"} for i in range(8)]}  # fmt: skip
VARIANTS: dict[str, tuple[str, Callable[[Table], Table]]] = {
    **{f"{name}, its example": (name, with_()) for name in TESTS},
    "module, kettle and ice": ("module", without("load", "heater")),
    "module, kettle, of a known kind": ("module", lambda t: without("load", "heater")(t) | {"kind": "cooler 40 mm 6 A"}),
    "module, beyond the joints": ("module", with_(faces_read="beyond the joints", joints="0.4 K/W")),
    "module, no heat measured": ("module", without("heater", "kind")),
    "module, loads read late": ("module", lambda t: t | {"load": [row | {"after": "60 s"} for row in t["load"]]}),
    "module, leads swapped": ("module", lambda t: t | {
        key: [row | {"volts": f"-{row['volts']}"} for row in t[key]] for key in ("open", "load")}),
    "health, by the meter": ("health", lambda t: without("light", "heavy")(t) | {"meter": "3.9 Ω"}),
    "health, couples turned": ("health", lambda t: without("light", "heavy", "pressed", "wandering", "to_ceramic")(t) | {
        "meter": "2.0 Ω", "instruments": {"thermometers_apart": "0.2 K"}, "open": {"hot": "60 °C", "cold": "10 °C", "volts": "1.6 V"}}),
    "cooler, no heat printed": ("cooler-label", without("heat", "resistance")),
    "cooler, ohms printed": ("cooler-label", with_(resistance="2.1 Ω")),
    "generator, all printed": ("generator-label", lambda t: LABEL),
    "motor, one reading": ("motor", first("running", 1, ("generator", "stops_at"))),
    "motor, free and in a chuck": ("motor", with_(generator=[{"volts": "0.79 V", "speed": "1000 rpm"}])),
    "motor, stops only": ("motor", lambda t: without("running")(t) | {"generator": [{"volts": "0.79 V", "speed": "1000 rpm"}]}),
    "blade, motor typed": ("blade", lambda t: without("motor")(t) | {"torque_constant": "7.5 mN·m/A", "friction": "150 ± 30 µN·m"}),
    "sink, still only": ("sink", lambda t: t | {"settled": [row for row in t["settled"] if "air_speed" not in row]}),
    BY_LAW: ("sink", lambda t: LAW),
    "sink, weighed and cooled": ("sink", lambda t: WEIGHED),
    "sink, weighed and cooled in a stream": ("sink", lambda t: WEIGHED | {"cooling_air_speed": "1.5 m/s", "cooling": [
        {"time": f"{i} min", "sink": f"{19 + 40 * 0.85**i:.1f} °C"} for i in range(8)]}),
    "wax, not beyond full": ("wax", lambda t: t | {"up": t["up"][:-6]}),
    "wax, in its holder": ("wax", lambda t: t | {"dunk_held": {"start": "20 °C", "bath": "96 °C", "half_after": "55 s"}}),
    "spring, two readings": ("spring", first("squeezed", 2)),
    "spring, that pulls": ("spring", lambda t: t | {"fitted": "30 mm", "squeezed": [
        {"length": f"{20 + 5 * i} mm", "scale": f"{300 * i + 20} g"} for i in range(4)]}),
    BY_SIZE: ("washers", without("pressed", "squeeze")),
    "metal, a magnet holds": ("metal", with_(mass="785 g", displaced="100 g", magnet="holds")),
    "face, of a joint": ("flat", without("on")),
    "face, bowed, by light": ("flat", with_(where="one way only", gap=[{"light": "thin white"}, {"light": "broad white"}])),
}  # fmt: skip
# A straight line is drawn plainly in the why, weighed by each reading's doubt in the test, and what two ways give is
# averaged plainly: these come to the figure within its own doubt. All others are the same formula: to rounding.
LINES = {
    "module": {"seebeck", "resistance", "conductance", "apart"},
    "motor": {"torque_constant", "brush_drop", "friction", "drag"},
    "blade": {"power_coefficient"},
    "sink": {"still", "blown_seen", "heat_capacity"},
    "wax": {"opens", "full", "travel", "hysteresis", "creep"},
    "washers": {"force", "rate"},
}
# A quotient of differences over unlike steps, on a curve; watts typed to six decimals.
NEAR = {BY_SIZE: {"rate": 2e-3}, BY_LAW: {"still": 1e-6}}


@pytest.mark.parametrize("variant", VARIANTS)
def test_every_bench_figure_is_worked_out_again_from_its_readings(variant: str) -> None:
    name, change = VARIANTS[variant]
    test, table = TESTS[name], change(readings(name))
    result = measure_table(test, table, "readings")
    whys = bench_whys(test, table, result, Path())
    assert len(whys) == len(result.figures) > 0
    for one, why in zip(result.figures, whys, strict=True):
        assert why.value is not None
        if one.name in LINES.get(name, ()) and variant not in NEAR:
            assert abs(why.value - one.measured.value) <= max(one.measured.u, 1e-9 * abs(why.value)), (one.name, why)
        else:
            near = NEAR.get(variant, {}).get(one.name, 1e-9)
            assert why.value == pytest.approx(one.measured.value, rel=near, abs=1e-15), (one.name, why)
        assert why.equation and why.sources and re.search(r"\d", why.numbers), one.name


def test_every_bench_figure_is_tried_and_every_source_known() -> None:
    seen = set()
    for name, change in VARIANTS.values():
        result = measure_table(TESTS[name], change(readings(name)), "readings")
        seen |= {(name, one.name) for one in result.figures}
    assert seen == {(name, figure) for name, rows in WORKED.items() for figure in rows}
    for rows in WORKED.values():
        for one in rows.values():
            assert set(one.sources) <= set(sources())
