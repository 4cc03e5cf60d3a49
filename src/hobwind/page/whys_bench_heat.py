"""The whys of a sink's and a wax element's bench figures."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from ..bench.sink import ALUMINIUM, POWER
from ..bench.wax import GRAVITY, MIDDLE
from ..units import show
from .whys_bench_row import GUM, Bench, Worked, Working, as_read, line, listed, mean, pairs

SINK_SOURCES = ("churchill-chu-1975", GUM)


def _settled(bench: Bench, blown: bool) -> list[dict[str, Any]]:
    return [row for row in bench.rows("settled") if (row["air_speed"] > 0.0) == blown]


def _at_rise(bench: Bench) -> Working:
    rows = _settled(bench, False)
    rises = [row["sink"] - row["room"] for row in rows]
    if not rises:
        rises = [row["sink"] - bench.top("cooling_room") for row in bench.rows("cooling")]
    return Working(f"mean of {listed(rises, 'temperature_difference')}, in whole kelvin", float(round(mean(rises))))


def _chilled(bench: Bench) -> bool:
    return bool(bench.top("cooling_air_speed") > 0.0)


def _product(bench: Bench) -> Working:
    """R C from the cooling curve, s."""
    rows, room, reference = bench.rows("cooling"), bench.top("cooling_room"), _at_rise(bench).value
    rises, times = [row["sink"] - room for row in rows], [row["time"] for row in rows]
    if _chilled(bench):
        falls = line(times, [math.log(one) for one in rises])[0]
        ways = "ln(rise)"
    else:
        falls = line(times, [-((one / reference) ** -POWER) / POWER for one in rises])[0]
        ways = f"−4 (rise/{reference:.0f} K)^−¼"
    numbers = (
        f"{ways} from {rises[0]:.1f} K to {rises[-1]:.1f} K in {times[-1] - times[0]:.0f} s falls by {-falls:.3e} a second"
    )
    return Working(f"{numbers}: R C = {-1.0 / falls:.0f} s", -1.0 / falls)


def _stores(bench: Bench) -> Working:
    mass = bench.top("mass")
    if bench.rows("cooling") and _settled(bench, _chilled(bench)):
        product, known = _product(bench), bench.value("blown_seen" if _chilled(bench) else "still")
        return Working(f"{product.numbers}; / {show(known, 'thermal_resistance')}", product.value / known)
    return Working(f"{show(mass, 'mass')} · {ALUMINIUM.value:.0f} J/(kg K), aluminium", mass * ALUMINIUM.value)


def _from_cooling(bench: Bench) -> Working:
    product, stores = _product(bench), bench.top("mass") * ALUMINIUM.value
    return Working(f"{product.numbers}; / {stores:.0f} J/K by its mass", product.value / stores)


def _still(bench: Bench) -> Working:
    rows, reference = _settled(bench, False), _at_rise(bench).value
    if not rows:
        return _from_cooling(bench)
    found = [(row["sink"] - row["room"]) / row["watts"] * ((row["sink"] - row["room"]) / reference) ** POWER for row in rows]
    told = ", ".join(f"{row['sink'] - row['room']:.1f} K/{row['watts']:.1f} W" for row in rows[:4])
    return Working(f"mean of {told}, each · (rise/{reference:.0f} K)^¼: {listed(found, 'thermal_resistance')}", mean(found))


def _blown_seen(bench: Bench) -> Working:
    rows = _settled(bench, True)
    if not rows:
        return _from_cooling(bench)
    found = [(row["sink"] - row["room"]) / row["watts"] for row in rows]
    told = ", ".join(f"{row['sink'] - row['room']:.1f} K/{row['watts']:.1f} W" for row in rows[:4])
    return Working(f"mean of {told}", mean(found))


def _stream(bench: Bench) -> Working:
    seen = bench.value("blown_seen")
    if not bench.has("still"):
        return Working(f"{show(seen, 'thermal_resistance')}, all laid to the stream: still air was not measured", seen)
    still = bench.value("still")
    return Working(f"({seen:.3f}⁻³ − {still:.3f}⁻³)^−⅓ K/W", (seen**-3 - still**-3) ** (-1.0 / 3.0))


def _stream_speed(bench: Bench) -> Working:
    speeds = [row["air_speed"] for row in _settled(bench, True)] or [bench.top("cooling_air_speed")]
    return Working(f"mean of {listed(speeds, 'speed')}", mean(speeds))


SINK = {
    "still": Worked("R = (T_sink − T_room)/Q · (rise/reference)^¼; or R C/C", SINK_SOURCES, _still),
    "still_rise": Worked("mean of (T_sink − T_room)", ("exact",), _at_rise),
    "blown_seen": Worked("R = (T_sink − T_room)/Q; or R C/C", (GUM,), _blown_seen),
    "blown": Worked("1/R_stream³ = 1/R_blown³ − 1/R_still³", ("churchill-blend-1977", GUM), _stream),
    "blown_at": Worked("mean of the air speeds", (GUM,), _stream_speed),
    "heat_capacity": Worked("C = R C/R from the cooling curve; without watts C = m c", (*SINK_SOURCES, "6082-datasheet"), _stores),
    "mass": Worked("m as weighed", ("bench",), as_read("mass", "mass")),
    **{name: Worked(f"{name} as measured", ("bench",), as_read(name, "length")) for name in ("width", "depth", "height")},
}  # fmt: skip


def _moving(rows: Sequence[dict[str, Any]], top: float) -> tuple[list[float], list[float]]:
    """Strokes and temperatures of the straight middle."""
    kept = [row for row in rows if MIDDLE[0] * top <= row["stroke"] <= MIDDLE[1] * top]
    return [row["stroke"] for row in kept], [row["water"] for row in kept]


def _rising(bench: Bench) -> tuple[float, float, int]:
    """Kelvin a metre of stroke and the temperature at none, on the way up; how many readings."""
    strokes, waters = _moving(bench.rows("up"), max(row["stroke"] for row in bench.rows("up")))
    return *line(strokes, waters), len(strokes)


def _opens(bench: Bench) -> Working:
    slope, foot, count = _rising(bench)
    numbers = (
        f"line through the {count} readings of the way up between a tenth and most of the stroke, {slope * 1e-3:.2f} K a mm"
    )
    return Working(f"{numbers}; at no stroke {foot - 273.15:.1f} °C", foot)


def _full(bench: Bench) -> Working:
    slope, foot, _ = _rising(bench)
    travel = bench.value("travel")
    return Working(f"{foot - 273.15:.1f} °C + {slope * 1e-3:.2f} K/mm · {travel * 1e3:.2f} mm", foot + slope * travel)


def _beyond(bench: Bench) -> tuple[list[float], list[float]]:
    """Temperatures and strokes beyond full-open, where the molten wax only creeps."""
    top = max(row["stroke"] for row in bench.rows("up"))
    last = _moving(bench.rows("up"), top)[1][-1]
    rows = [row for row in bench.rows("up") if row["water"] > last + 3.0]
    return [row["water"] for row in rows], [row["stroke"] for row in rows]


def _travel(bench: Bench) -> Working:
    if not bench.has("creep"):
        top = max(row["stroke"] for row in bench.rows("up"))
        return Working(f"{top * 1e3:.1f} mm, the largest read", top)
    slope, foot, _ = _rising(bench)
    rate, there = line(*_beyond(bench))
    numbers = f"where {foot - 273.15:.1f} °C + {slope * 1e-3:.2f} K/mm · s meets the creep of {rate * 1e6:.0f} µm a kelvin"
    return Working(numbers, (there + rate * foot) / (1.0 - rate * slope))


def _hysteresis(bench: Bench) -> Working:
    slope, foot, _ = _rising(bench)
    travel = bench.value("travel")
    half = 0.5 * travel
    back, low = line(*_moving(bench.rows("down"), travel))
    up, down = foot + slope * half, low + back * half
    numbers = f"at {half * 1e3:.1f} mm: {up - 273.15:.1f} °C going up − {down - 273.15:.1f} °C coming down"
    return Working(numbers, max(up - down, 0.2))


def _creep(bench: Bench) -> Working:
    x, y = _beyond(bench)
    return Working(f"slope through {pairs(x, y, ('temperature', 'length'))}", max(line(x, y)[0], 0.0))


def _lag(group: str) -> Callable[[Bench], Working]:
    def work(bench: Bench) -> Working:
        row = bench.rows(group)[0]
        half = 0.5 * (bench.value("opens") + bench.value("full"))
        start, bath, after = row["start"], row["bath"], row["half_after"]
        numbers = f"{after:.0f} s / ln(({bath - 273.15:.0f} − {start - 273.15:.0f}) K / ({bath - 273.15:.0f} − {half - 273.15:.1f}) K)"
        return Working(numbers, after / math.log((bath - start) / (bath - half)))

    return work


def _force(bench: Bench) -> Working:
    return Working(f"{show(bench.top('scale'), 'mass')} · {GRAVITY:.3f} m/s²", bench.top("scale") * GRAVITY)


PAN = ("vehicle-limits", GUM)
WAX = {
    "opens": Worked("T_opens = T at s = 0 on the line of T over s, going up", PAN, _opens),
    "full": Worked("T_full = T_opens + slope · travel", PAN, _full),
    "travel": Worked("where the line going up meets the creep beyond; else the largest stroke", PAN, _travel),
    "hysteresis": Worked("T_up − T_down at half stroke", PAN, _hysteresis),
    "creep": Worked("ds/dT beyond full-open", PAN, _creep),
    "lag": Worked("τ = t/ln((T_bath − T_start)/(T_bath − T_half))", ("exact", GUM), _lag("dunk")),
    "lag_held": Worked("τ = t/ln((T_bath − T_start)/(T_bath − T_half))", ("exact", GUM), _lag("dunk_held")),
    "force": Worked("F = m g", ("exact", GUM), _force),
}
