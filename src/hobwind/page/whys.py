"""The equation behind every figure, with the numbers in it and its source.

A row of `WHYS` has a function from a settled point (or an evening) to the right-hand side in numbers and the value it
gives; the tests compare that value with the figure that stands on the page.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from ..stack.fields import P, Seen
from ..stack.keeping import End
from ..studies.ledger import ledger
from ..studies.margins import margins
from .whys_bench import ROWS as BENCH_TOLD
from .whys_guard import GUARD_WHYS
from .whys_moments import MOMENT_WHYS
from .whys_odds import ODDS_WHYS
from .whys_row import Filled, Look, Why
from .whys_shop import SHOP_WHYS
from .whys_trial import ROWS as TOLD

ZERO, RPM = 273.15, 30.0 / math.pi
Row = NDArray[np.float64]


__all__ = ["WHYS", "Filled", "Look", "Why"]


def _c(kelvin: float) -> str:
    return f"{kelvin - ZERO:.1f} °C"


def _speed(look: Look) -> Filled:
    s, p = look.seen, look.p
    if s[Seen.spin] < 0.5:
        return Filled(f"twist at standstill {s[Seen.stall_torque] * 1e6:.0f} µN·m, less than the "
                      f"{p[P.motor_breakaway] * 1e6:.0f} µN·m to break away: n = 0", 0.0)  # fmt: skip
    power, diameter = float(s[Seen.shaft_power]), p[P.blade_diameter]
    turns = (power / (p[P.blade_power] * look.density * diameter**5)) ** (1.0 / 3.0)
    numbers = f"({power * 1e3:.3f} mW / ({p[P.blade_power]:.3f} · {look.density:.3f} kg/m³ · ({diameter * 1e3:.0f} mm)⁵))^⅓"
    return Filled(f"{numbers} = {turns:.2f} turns a second", 60.0 * turns)


def _air(look: Look) -> Filled:
    diameter, v = look.p[P.blade_diameter], float(look.seen[Seen.disc_speed])
    push, area = float(look.seen[Seen.thrust]), 0.25 * math.pi * look.p[P.blade_diameter] ** 2
    through = math.sqrt(push / (2.0 * look.density * area)) if push > 0.0 else 0.0
    numbers = (
        f"v = √({push * 1e3:.2f} mN / (2 · {look.density:.3f} kg/m³ · {area * 1e4:.1f} cm²)) = {v:.3f} m/s; "
        f"{v:.3f} m/s · π/4 · ({diameter * 1e3:.0f} mm)²"
    )
    return Filled(numbers, through * area * 3600.0)


def _breeze(look: Look) -> Filled:
    v, diameter = float(look.seen[Seen.disc_speed]), look.p[P.blade_diameter]
    jet = diameter / math.sqrt(2.0)
    return Filled(f"2 · {v:.3f} m/s · 6.2 · {jet * 1e3:.0f} mm / 1 m", 2.0 * v * min(1.0, 6.2 * jet))


def _electric(look: Look) -> Filled:
    s = look.seen
    current = float(s[Seen.current])
    volts = float(s[Seen.motor_voltage]) + current * look.p[P.leads]
    numbers = f"{volts:.4f} V · {current * 1e3:.2f} mA (open it would be {s[Seen.open_voltage]:.3f} V)"
    return Filled(numbers, volts * current)


def _drops(look: Look, s: Row) -> list[tuple[str, float]]:
    rows = [("plate chilled by the foot", s[Seen.plate] - s[Seen.local]), ("seat", s[Seen.local] - s[Seen.foot])]
    rows.append(("riser and what is on it", s[Seen.foot] - s[Seen.hot_plate]))
    rows.append(("joint under the modules", s[Seen.hot_plate] - s[Seen.hot_face]))
    return [(says, float(kelvin)) for says, kelvin in rows]


def _hot_face(look: Look) -> Filled:
    s = look.seen
    rows = _drops(look, s)
    text = f"{_c(s[Seen.plate])} " + " ".join(f"− {kelvin:.1f} K ({says})" for says, kelvin in rows)
    return Filled(text, float(s[Seen.plate]) - ZERO - sum(kelvin for _, kelvin in rows))


def _margin(look: Look) -> Filled:
    s = look.seen
    limit = float(s[Seen.margin] + s[Seen.hot_face])
    return Filled(f"{_c(limit)} − {_c(s[Seen.hot_face])}", limit - float(s[Seen.hot_face]))


def _gap(look: Look) -> Filled:
    s, p = look.seen, look.p
    shape, lift = 0.5 * float(p[P.gap_low] + p[P.gap_high]), float(s[Seen.lift])
    if look.solved.build.guard.element is None:
        return Filled("no guard is fitted: 0", 0.0)
    numbers = (
        f"stroke {s[Seen.stroke] * 1e3:.2f} mm, less {p[P.lost_motion] * 1e3:.2f} mm lost motion, times lever {p[P.lever]:.2g}, "
        f"at most {p[P.stop] * 1e3:.1f} mm: lift {lift * 1e3:.2f} mm; times {shape:.2f} for the gap's shape"
    )
    return Filled(numbers, shape * lift * 1e3)


def _seat(look: Look) -> Filled:
    s, p = look.seen, look.p
    area = look.solved.build.riser[0]
    flat = area.width.value * area.depth.value * (1.0 if area.shape == "block" else math.pi / 4.0)
    coat = float(p[P.coating] / (p[P.coating_conductivity] * flat))
    drop, g = float(s[Seen.local] - s[Seen.foot]), float(s[Seen.seat_conductance])
    numbers = f"{drop:.1f} K / (1/({g:.2f} W/K) + {coat:.3f} K/W for paint on the plate)"
    return Filled(numbers, drop / (1.0 / g + coat) if g > 0.0 else 0.0)


def _starts(look: Look) -> Filled:
    at, p = look.solved.starts_at, look.p
    need = f"{p[P.motor_breakaway] * 1e6:.0f} µN·m"
    if at is None:
        most = max(float(point.seen[Seen.stall_torque]) for point in look.solved.map.from_rest)
        return Filled(f"at most {most * 1e6:.0f} µN·m come about, {need} are needed", None)
    return Filled(f"on the usual evening k·I reaches {need} when the plate is {_c(at)}", at - ZERO)


def _stops(look: Look) -> Filled:
    at, p = look.solved.stops_at, look.p
    if at is None:
        return Filled("it did not stop on the usual evening", None)
    return Filled(f"k·I falls to the running friction of {p[P.motor_friction] * 1e6:.0f} µN·m at {_c(at)}", at - ZERO)


def _peak(look: Look) -> Filled:
    peak, where = look.solved.peak_face
    return Filled(f"the largest of every settled plate and of the over-fired evening: {_c(peak)}, {where}", peak - ZERO)


def _smallest(look: Look) -> Filled:
    one = margins(look.solved)[0]
    return Filled(f"{one.part}: {_c(one.limit)} − {_c(one.peak)} ({one.where})", one.limit - one.peak)


def _lifts(look: Look) -> Filled:
    guard, at = look.solved.build.guard, look.solved.worst.figure(End.lift_at)
    if guard.element is None:
        return Filled("no guard is fitted", None)
    e = guard.element
    opens = e.opens.value + guard.lost_motion.value / e.travel.value * (e.full.value - e.opens.value)
    rule = f"{_c(e.opens.value)} + {guard.lost_motion.value * 1e3:.2f}/{e.travel.value * 1e3:.1f} · " \
           f"{e.full.value - e.opens.value:.1f} K = {_c(opens)} in the element"  # fmt: skip
    return Filled(rule + ("; it does not get there" if at is None else f", reached when the plate is {_c(at)}"),
                  None if at is None else at - ZERO)  # fmt: skip


def _lifts_held(look: Look) -> Filled:
    at = look.solved.lifts_held
    if look.solved.build.guard.element is None:
        return Filled("no guard is fitted", None)
    if at is None:
        return Filled("on no plate of the map does the element, settled, get so warm", None)
    point = next(point for point in look.solved.map.from_rest if point.plate == at)
    says = f"the coolest plate of the map that, held until nothing changes, leaves the fan lifted: {_c(at)}, the element at "
    return Filled(f"{says}{_c(point.seen[Seen.element])}; on a warming fire the element lags behind the plate", at - ZERO)


def _sits(look: Look) -> Filled:
    guard, at = look.solved.build.guard, look.solved.worst.figure(End.sit_at)
    if guard.element is None:
        return Filled("no guard is fitted", None)
    says = f"{guard.element.hysteresis.value:.1f} K lower in the element than on the way up"
    return Filled(says + ("; it does not come to that" if at is None else f", reached when the plate is {_c(at)}"),
                  None if at is None else at - ZERO)  # fmt: skip


def _line(which: int) -> Callable[[Look], Filled]:
    def fill(look: Look) -> Filled:
        s = look.seen
        watts = ledger(s)[which].watts
        parts = {
            0: f"{s[Seen.seat_heat]:.2f} W through the seat + {s[Seen.pin_heat]:.2f} W up the pin + "
               f"{s[Seen.foot_heat]:.2f} W into the guard's own foot",
            1: f"{s[Seen.riser_loss]:.2f} W from the riser + {s[Seen.hot_plate_loss]:.2f} W from the hot plate",
            2: f"{s[Seen.screw_heat]:.2f} W between {_c(s[Seen.hot_plate])} and {_c(s[Seen.spreader])}",
            3: f"{s[Seen.surround_heat]:.2f} W between {_c(s[Seen.hot_plate])} and {_c(s[Seen.spreader])}",
            4: f"{s[Seen.module_heat]:.2f} W, of it {s[Seen.electric]:.4f} W turned into electricity",
            5: "what comes in, less all the lines above",
        }  # fmt: skip
        return Filled(parts[which], float(watts))

    return fill


def _onward(column: Seen, says: Callable[[Row], str]) -> Callable[[Look], Filled]:
    def fill(look: Look) -> Filled:
        return Filled(says(look.seen), float(look.seen[column]))

    return fill


def _volts(s: Row) -> str:
    return (
        f"{s[Seen.motor_voltage]:.4f} V at the motor · {s[Seen.current] * 1e3:.2f} mA, and "
        f"{s[Seen.leads_heat] * 1e3:.2f} mW in the leads"
    )


def _motor_heat(look: Look) -> Filled:
    s = look.seen
    return Filled(f"{s[Seen.motor_heat] * 1e3:.2f} mW in the motor + {s[Seen.leads_heat] * 1e3:.2f} mW in the leads",
                  float(s[Seen.motor_heat] + s[Seen.leads_heat]))  # fmt: skip


def _shed(look: Look) -> Filled:
    s = look.seen
    return Filled(
        f"{s[Seen.sink_loss]:.2f} W from the sink + {s[Seen.spreader_loss]:.2f} W from the spreader + "
        f"{s[Seen.sink_glow]:.2f} W that the plate's glow brought in",
        float(s[Seen.sink_loss] + s[Seen.spreader_loss] + s[Seen.sink_glow]),
    )


def _end(which: End, says: str, scale: float = 1.0, shift: float = 0.0) -> Callable[[Look], Filled]:
    def fill(look: Look) -> Filled:
        value = look.fire().figure(which)
        shown = None if value is None else value * scale + shift
        return Filled(says if shown is not None else "it never came about", shown)

    return fill


def _fire_peak(look: Look) -> Filled:
    fire = look.fire()
    hottest = int(fire.seen[:, Seen.hot_face].argmax())
    rows = _drops(look, fire.seen[hottest])
    text = f"near {fire.time[hottest] / 60.0:.0f} minutes: {_c(fire.seen[hottest, Seen.plate])} "
    text += " ".join(f"− {kelvin:.1f} K ({says})" for says, kelvin in rows)
    return Filled(text, float(fire.end[End.peak_hot]) - ZERO)


HEAT = ("ioffe-1957", "exact-series")
SIDE = ("churchill-chu-1975", "howell-views")
SEAT = ("yovanovich-1969", "yovanovich-gap")
WAX = ("vehicle-limits", "play-operator")
WHYS: dict[str, Why] = {
    "speed": Why("Speed", "k I = T_f + c ω + k_q ρ ω², so n = (P_shaft/(C_P ρ D⁵))^⅓", _speed,
                 ("mit-motor-notes", "uiuc-propellers")),
    "air": Why("Air through the blade", "V = v π D²/4, v = √(T/(2 ρ A))", _air, ("uiuc-propellers",)),
    "breeze": Why("Breeze a metre away", "U = 2 v · 6.2 D_w/x, D_w = D/√2", _breeze, ("round-jet",)),
    "electric": Why("Power", "P = Q_hot − Q_cold = V I", _electric, ("ioffe-1957",)),
    "hot_face": Why("Hottest module face", "T_hot = T_plate − ΔT_plate − ΔT_seat − ΔT_riser − ΔT_joint, each ΔT = Q R",
                    _hot_face, ("exact-series", "carslaw-jaeger", *SEAT)),
    "margin": Why("Margin", "margin = limit − T_hot", _margin, ("exact",)),
    "gap": Why("Gap under the foot", "gap = shape · min(lever (stroke − lost motion), stop)", _gap, WAX),
    "seat_heat": Why("Heat through the seat", "Q = (T_plate,local − T_foot)/(1/G_seat + R_coating)", _seat, SEAT),
    "starts_at": Why("Starts at", "k I_standstill ≥ T_break-away", _starts, ("mit-motor-notes",)),
    "stops_at": Why("Stops at", "k I ≤ T_f", _stops, ("mit-motor-notes",)),
    "peak_face": Why("Hottest face of all", "max of T_hot over the settled map and the over-fired evening", _peak, ("exact",)),
    "smallest_margin": Why("Smallest margin", "least of (limit − peak) over every part with a limit", _smallest, ("exact",)),
    "lifts_at": Why("Guard lifts at", "T_element = T_opens + lost motion/stroke · (T_full − T_opens)", _lifts, WAX),
    "lifts_held": Why("Guard lifts, plate held", "T_element,settled = T_opens + lost motion/stroke · (T_full − T_opens)", _lifts_held, WAX),
    "sits_at": Why("Guard sits back at", "w ← min(max(w, T), T + hysteresis); stroke follows w", _sits, WAX),
    "ledger_0": Why("Heat into the fan", "Q = Q_seat + Q_pin + Q_foot", _line(0), SEAT),
    "ledger_1": Why("Lost from the sides", "Q = Σ A [h (T − T_air) + ε σ (T⁴ − …)]", _line(1), SIDE),
    "ledger_2": Why("Past the modules, screws", "Q = G_screws (T_hot plate − T_cold plate)", _line(2), ("exact-series",)),
    "ledger_3": Why("Past the modules, air or lagging", "Q = A [k/t (T1 − T2) + σ (T1⁴ − T2⁴)/(1/ε1 + 1/ε2 − 1)]",
                    _line(3), ("incropera",)),
    "ledger_4": Why("Through the modules", "Q_hot = α T_h I − ½ I² R + K ΔT", _line(4), HEAT),
    "ledger_5": Why("Through the guard", "Q = Q_in − Σ of the lines above", _line(5), ("exact-series",)),
    "onward_0": Why("Turned into electricity", "P = Q_hot − Q_cold", _onward(Seen.electric, _volts), HEAT),
    "onward_1": Why("Moving air", "P = k I ω − (T_f + c ω) ω = k_q ρ ω³",
                    _onward(Seen.shaft_power, lambda s: f"at {s[Seen.speed]:.2f} rad/s and {s[Seen.current] * 1e3:.2f} mA"),
                    ("uiuc-propellers",)),
    "onward_2": Why("Warming motor and leads", "I² R + (T_f + c ω) ω + V_brush I", _motor_heat, ("mit-motor-notes",)),
    "onward_3": Why("Glow into the sink", "Q = A F ε ε_plate σ (T_plate⁴ − T_room⁴)",
                    _onward(Seen.sink_glow, lambda s: f"plate at {_c(s[Seen.plate])}, seen by the sink's outside"), ("howell-views",)),
    "onward_4": Why("Shed by the sink", "η A h (T − T_air) + glow, h³ = h_free³ + h_forced³", _shed,
                    ("bar-cohen-1984", "teertstra-2000")),
    "evening_starts": Why("Starts at", "k I_standstill ≥ T_break-away",
                          _end(End.starts_at, "the plate when the blade first breaks away", 1.0, -ZERO), ("mit-motor-notes",)),
    "evening_stops": Why("Stops at", "k I ≤ T_f", _end(End.stops_at, "the plate when it last ceases", 1.0, -ZERO),
                         ("mit-motor-notes",)),
    "evening_peak": Why("Hottest face", "max over time of T_hot; T_hot = T_plate − Σ Q R", _fire_peak, ("exact-series",)),
    "evening_above": Why("Minutes above the limit", "Σ of the time with T_hot > limit",
                         _end(End.above, "added up step by step, straight between steps", 1.0 / 60.0), ("exact",)),
    "evening_turning": Why("Minutes turning", "Σ of the time with ω > 0",
                           _end(End.turning, "from each start to each stop", 1.0 / 60.0), ("exact",)),
    "evening_lifts": Why("Lifts", "how often lever (stroke − lost motion) rises through 0",
                         _end(End.lifts, "counted over the evening"), WAX),
    **SHOP_WHYS, **GUARD_WHYS, **ODDS_WHYS, **MOMENT_WHYS,
}  # fmt: skip


def _elsewhere(where: str) -> Callable[[Look], Filled]:
    return lambda look: Filled(f"the numbers are those of {where}, and stand beside the figure there", None)


WHYS |= {key: Why(row.title, row.equation, _elsewhere(row.where), row.sources) for key, row in (TOLD | BENCH_TOLD).items()}
