"""The whys of a motor's and a blade's bench figures."""

from __future__ import annotations

import math
from collections.abc import Callable

from ..bench.asked_motor import speed_of
from ..physics import air
from ..units import show
from .whys_bench_row import GUM, Bench, Worked, Working, as_read, line, listed, mean, pairs

SOURCES = ("mit-motor-notes", GUM)
RPM = math.pi / 30.0


def _speeds(bench: Bench, group: str) -> list[float]:
    return [speed_of(row, bench.top("blades"), bench.folder, group, []) for row in bench.rows(group)]


def _winding(bench: Bench) -> Working:
    ohms = bench.top("ohms")
    return Working(f"mean of {listed(ohms, 'ohms')}", mean(ohms))


def _back(bench: Bench) -> tuple[list[float], list[float]]:
    """Speeds and volts less the winding's, running free."""
    rows, ohms = bench.rows("running"), mean(bench.top("ohms"))
    return _speeds(bench, "running"), [row["volts"] - row["amperes"] * ohms for row in rows]


def _constant(bench: Bench) -> Working:
    told, found = [], []
    if bench.rows("running"):
        x, y = _back(bench)
        slope = line(x, y)[0] if len(x) > 2 else y[0] / x[0]
        told.append(f"slope through {pairs(x, y, ('turning', 'voltage'))} (V − I R) = {show(slope, 'torque_constant')}")
        found.append(slope)
    if bench.rows("generator"):
        speeds, rows = _speeds(bench, "generator"), bench.rows("generator")
        driven = mean([row["volts"] / speed for row, speed in zip(rows, speeds, strict=True)])
        volts = [row["volts"] for row in rows]
        told.append(f"in the chuck {pairs(speeds, volts, ('turning', 'voltage'))} = {show(driven, 'torque_constant')}")
        found.append(driven)
    return Working("; ".join(told) + ("; the surer weighs more" if len(found) == 2 else ""), mean(found))


def _brush(bench: Bench) -> Working:
    x, y = _back(bench)
    slope, foot = line(x, y)
    numbers = f"V − I R carried back to no speed: {show(mean(y), 'voltage')} − {show(slope, 'torque_constant')} · "
    return Working(numbers + show(mean(x), "turning"), max(foot, 0.0))


def _twists(bench: Bench) -> tuple[list[float], list[float]]:
    k = bench.value("torque_constant")
    return _speeds(bench, "running"), [k * row["amperes"] for row in bench.rows("running")]


def _standing(key: str) -> Callable[[Bench], Working]:
    def work(bench: Bench) -> Working:
        volts, k, r = bench.top(key), bench.value("torque_constant"), bench.value("resistance")
        drop = bench.value("brush_drop") if bench.has("brush_drop") else 0.0
        numbers = (
            f"{show(k, 'torque_constant')} · (mean of {listed(volts, 'voltage')} − {show(drop, 'voltage')} at the brushes) / "
            f"{show(r, 'ohms')}"
        )
        return Working(numbers, k * max(mean(volts) - drop, 0.0) / r)

    return work


def _friction(bench: Bench) -> Working:
    told, found = [], []
    if bench.rows("running"):
        x, y = _twists(bench)
        foot = max(line(x, y)[1], 0.0) if len(x) > 2 else y[0]
        told.append(f"k I = {pairs(x, y, ('turning', 'torque'))}, carried back to no speed: {show(foot, 'torque')}")
        found.append(foot)
    if bench.top("stops_at"):
        stops = _standing("stops_at")(bench)
        told.append(f"as it stops {stops.numbers} = {show(stops.value, 'torque')}")
        found.append(stops.value)
    return Working("; ".join(told) + ("; the surer weighs more" if len(found) == 2 else ""), mean(found))


def _drag(bench: Bench) -> Working:
    x, y = _twists(bench)
    return Working(f"slope through k I = {pairs(x, y, ('turning', 'torque'))}", line(x, y)[0])


MOTOR = {
    "resistance": Worked("R = mean of the ohms at each place of the shaft", SOURCES, _winding),
    "torque_constant": Worked("k = slope of (V − I R) over ω; in a drill chuck k = V/ω", SOURCES, _constant),
    "brush_drop": Worked("V_brush = (V − I R) at ω = 0", SOURCES, _brush),
    "friction": Worked("T_f = k I at ω = 0; as it stops k (V − V_brush)/R", SOURCES, _friction),
    "drag": Worked("c = slope of k I over ω", SOURCES, _drag),
    "breakaway": Worked("T_break-away = k (V − V_brush)/R", SOURCES, _standing("breaks_at")),
}


def _shaft(bench: Bench) -> tuple[list[float], list[float]]:
    """Squares of the speeds and twist left for the blade and the friction, with the friction at a standstill as the last one."""
    rows, speeds = bench.rows("turning"), _speeds(bench, "turning")
    k, stands, drag = (_of_motor(bench, name) for name in ("torque_constant", "friction", "drag"))
    twist = [k * row["amperes"] - drag * speed for row, speed in zip(rows, speeds, strict=True)]
    return [*(speed**2 for speed in speeds), 0.0], [*twist, stands]


def _of_motor(bench: Bench, name: str) -> float:
    """One figure of the motor that is the scale: typed beside the readings, else of the part named."""
    part, typed = bench.top("motor"), bench.filled.top.get(name)
    if typed is not None:
        return float(typed.value)
    return 0.0 if part is None else float(getattr(part, name).value)


def _density(bench: Bench) -> float:
    return float(air.density(bench.top("room"), air.pressure_at_altitude(bench.top("altitude"))))


def _coefficient(bench: Bench) -> Working:
    x, y = _shaft(bench)
    slope, rho, across = line(x, y)[0], _density(bench), bench.value("diameter")
    numbers = (
        f"slope through {pairs([math.sqrt(one) for one in x], y, ('turning', 'torque'))} over ω² = {slope:.3g} N·m·s²; "
        f"· (2π)³ / ({rho:.3f} kg/m³ · ({across * 1e3:.0f} mm)⁵)"
    )
    return Working(numbers, slope * (2.0 * math.pi) ** 3 / (rho * across**5))


def _per_turn(bench: Bench) -> tuple[list[float], list[float]]:
    """Turns a second and air through the disc a turn, where an anemometer was held to it. [1/s, m]"""
    kept = [
        (speed / (2.0 * math.pi), row["air_speed"])
        for row, speed in zip(bench.rows("turning"), _speeds(bench, "turning"), strict=True)
        if row["air_speed"]
    ]
    return [turns for turns, _ in kept], [v / turns for turns, v in kept]


def _push(bench: Bench) -> Working:
    turns, advance = _per_turn(bench)
    across, one = bench.value("diameter"), mean(advance)
    numbers = f"½ π · ({one * 1e3:.1f} mm of air a turn, mean of {len(turns)} / {across * 1e3:.0f} mm)²"
    return Working(numbers, 0.5 * math.pi * (one / across) ** 2)


def _flow(bench: Bench) -> Working:
    turns, advance = _per_turn(bench)
    across, one, top = bench.value("diameter"), mean(advance), max(turns)
    numbers = f"{one * 1e3:.1f} mm a turn · {top * 60.0:.0f} rpm · π/4 · ({across * 1e3:.0f} mm)²"
    return Working(numbers, one * top * 0.25 * math.pi * across**2)


def _count(bench: Bench) -> Working:
    return Working(f"{bench.top('blades')}, counted", float(bench.top("blades")))


BLADE = {
    "power_coefficient": Worked(
        "C_P = k_q (2π)³/(ρ D⁵), k_q = slope of (k I − c ω) over ω²", ("uiuc-propellers", *SOURCES), _coefficient
    ),
    "thrust_coefficient": Worked("C_T = ½ π (v/(n D))², from T = 2 ρ A v²", ("uiuc-propellers", GUM), _push),
    "flow": Worked("V = (v/n) n_top π D²/4", ("exact", GUM), _flow),
    "diameter": Worked("D as measured", ("bench",), as_read("diameter", "length")),
    "pitch": Worked("pitch as measured", ("bench",), as_read("pitch", "length")),
    "count": Worked("counted", ("bench",), _count),
}
