"""The equations behind the figures of the Shop section: the clamp, the stack-up, the leads; tables are in `whys_tables.py`."""

from __future__ import annotations

import math
from collections.abc import Callable

from ..shop.clamp import OTHER_YIELD, TOOL_SPREAD, YIELD, Clamp, clamp
from ..shop.flatness import lapping
from ..shop.metals import tapped
from ..shop.stackup import Stackup, stack_up, worst_case
from ..shop.threads import THREADS, UNLOADED, hole_strip_area
from ..shop.wiring import wires
from ..stack.fields import Seen
from ..stack.keeping import End
from ..stack.steady import Rest
from ..studies.headline import Headline
from .whys_plate import PLATE_WHYS
from .whys_row import Filled, Look, Why
from .whys_tables import TABLE_WHYS

CLAMP = ("vdi-2230-tables",)
NO_CLAMP = Filled("the build names no screws of a coarse thread", None)
NO_STACK = Filled("the build has no guard that reaches a face", None)


def _clamp(look: Look) -> Clamp | None:
    return clamp(look.solved.build, look.solved)


def _ring(one: Clamp) -> float:
    """Mean diameter on which the head rubs, m."""
    return 0.5 * (one.screw.head_diameter.value + THREADS[one.screw.thread].clearance)


def _arm(one: Clamp, mu: float) -> float:
    """Torque for each newton of pull, m."""
    thread = THREADS[one.screw.thread]
    return thread.pitch / (2.0 * math.pi) + 0.577 * mu * thread.pitch_diameter + 0.5 * mu * _ring(one)


def _torque(look: Look) -> Filled:
    one = _clamp(look)
    if one is None:
        return NO_CLAMP
    thread, mu = THREADS[one.screw.thread], look.solved.build.tightening.friction.value
    ring, arm = _ring(one), _arm(one, mu)
    numbers = (
        f"{one.preload:.0f} N · ({thread.pitch * 1e3:g} mm/2π + 0.577 · {mu:.2f} · {thread.pitch_diameter * 1e3:.3f} mm + "
        f"{mu:.2f} · {ring * 1e3:.2f} mm/2)"
    )
    return Filled(numbers, one.preload * arm)


def _preload(look: Look) -> Filled:
    one, wanted = _clamp(look), look.solved.build.clamp_pressure.value
    if one is None:
        return NO_CLAMP
    if look.solved.build.tightening.torque is not None:
        return Filled(f"{one.torque:.3f} N·m as the build gives it, turned back into pull", one.preload)
    return Filled(f"{wanted / 1e6:.2f} MPa · {one.area * 1e6:.0f} mm² / {one.count}", wanted * one.area / one.count)


def _pressure(look: Look) -> Filled:
    one = _clamp(look)
    if one is None:
        return NO_CLAMP
    numbers = f"{one.count} · {one.preload:.0f} N / {one.area * 1e6:.0f} mm²"
    return Filled(numbers, one.count * one.preload / one.area * 1e-6)


def _strips(look: Look) -> Filled:
    one = _clamp(look)
    if one is None:
        return NO_CLAMP
    thread, build = THREADS[one.screw.thread], look.solved.build
    metal = build.hot_plate.material if build.hot_plate is not None else build.riser[-1].material
    shear = tapped("plain steel" if one.nut else metal.name).shear_hot
    carries = max(one.engaged - UNLOADED * thread.pitch, 0.0)
    around = hole_strip_area(thread, 1.0)
    numbers = (
        f"{around * 1e3:.2f} mm² per mm · ({one.engaged * 1e3:.1f} mm - {UNLOADED} · {thread.pitch * 1e3:g} mm) · "
        f"{shear / 1e6:.0f} MPa (hot)"
    )
    return Filled(numbers, around * carries * shear)


def _loose(most: bool) -> Callable[[Look], Filled]:
    def fill(look: Look) -> Filled:
        one = _clamp(look)
        if one is None:
            return NO_CLAMP
        how = look.solved.build.tightening
        mu, end, hand = how.friction, max(how.friction.low, 0.04) if most else how.friction.high, TOOL_SPREAD[how.tool]
        other = _arm(one, mu.value) / _arm(one, end)
        by = math.hypot(other - 1.0, hand)
        sign = "+" if most else "−"
        numbers = f"{one.preload:.0f} N · (1 {sign} √(({other:.2f} − 1)² + {hand:g}²)): friction {end:.2f}, not {mu.value:.2f}; {how.tool}"
        return Filled(numbers, one.preload * max(1.0 + by if most else 1.0 - by, 0.0))

    return fill


def _yields(look: Look) -> Filled:
    one, screws = _clamp(look), look.solved.build.screws
    if one is None or screws is None:
        return NO_CLAMP
    thread, mu = THREADS[one.screw.thread], look.solved.build.tightening.friction.value
    strength = screws.strength.value if screws.strength else YIELD.get(one.screw.material.name, OTHER_YIELD)
    across = 0.5 * (thread.pitch_diameter + thread.core_diameter)
    twist = 1.5 * thread.pitch_diameter / across * (thread.pitch / (math.pi * thread.pitch_diameter) + 1.155 * mu)
    area = 0.25 * math.pi * across**2
    numbers = f"{area * 1e6:.2f} mm² · 0.9 · {strength / 1e6:.0f} MPa / √(1 + 3 · {twist:.3f}²), the twist of tightening in it"
    return Filled(numbers, area * 0.9 * strength / math.sqrt(1.0 + 3.0 * twist**2))


def _hot(look: Look) -> Filled:
    one = _clamp(look)
    if one is None:
        return NO_CLAMP
    grown = float(one.difference.max())
    area = f"{one.count} / {one.area * 1e6:.0f} mm²"
    if one.stack is not None:
        numbers = (
            f"{one.hot[1]:.0f} N, parts {grown * 1e6:.1f} µm longer than the screw, taken up by {one.stack.says}; · {area}"
        )
        return Filled(numbers, one.hot[1] * one.count / one.area * 1e-6)
    numbers = f"({one.preload:.0f} N + {grown * 1e6:.1f} µm / {one.compliance * 1e9:.2f} µm/kN) · {area}"
    return Filled(numbers, (one.preload + grown / one.compliance) * one.count / one.area * 1e-6)


def _lapped(read: Callable[[Headline], float | None]) -> Callable[[Look], Filled]:
    def fill(look: Look) -> Filled:
        plan = lapping(look.solved.build)
        if plan.then is None:
            return Filled("the foot is as flat as lapping makes it", None)
        told = ["never" if value is None else f"{value:.1f}" for value in (read(look.solved), read(plan.then))]
        numbers = (
            f"out of flat by {plan.before * 1e3:.3f} mm: {told[0]}; by {plan.wanted * 1e3:.3f} mm, all solved anew: {told[1]}"
        )
        return Filled(numbers, read(plan.then))

    return fill


def _seat_drop(solved: Headline) -> float:
    seen = solved.usual_point.seen
    return float(seen[Seen.local] - seen[Seen.foot])


def _least(solved: Headline) -> float:
    rows = [float(point.seen[Seen.margin]) for point in solved.map.from_rest if point.outcome in (Rest.SETTLED, Rest.HUNTS)]
    return min([*rows, float(solved.worst.end[End.worst_margin])])


def _stack(look: Look) -> Stackup | None:
    return stack_up(look.solved.build, look.solved)


def _recess(look: Look) -> Filled:
    one = _stack(look)
    if one is None:
        return NO_STACK
    numbers = " ".join(f"{'+' if link.sign > 0 else '−'} {link.length * 1e3:.2f} mm ({link.name})" for link in one.links)
    return Filled(numbers, 1e3 * sum(link.sign * link.length for link in one.links))


def _worst(look: Look) -> Filled:
    one = _stack(look)
    if one is None:
        return NO_STACK
    numbers = " + ".join(f"{link.half * 1e3:.2f} mm" for link in one.links)
    return Filled(numbers, 1e3 * worst_case([link.half for link in one.links]))


def _loss(look: Look) -> Filled:
    one = wires(look.solved.build, look.solved)
    return Filled(
        f"({one.current * 1e3:.0f} mA)² · {one.resistance * 1e3:.1f} mΩ, there and back", one.current**2 * one.resistance * 1e3
    )


FLAT = ("iso-6344", "yovanovich-gap")
# Key of a lapped foot's figure: its label, its name in the shop's data, its unit.
LAPPED = {
    "shop_flat_seat": ("the seat takes, usual plate", "seat_takes_K", "K"),
    "shop_flat_air": ("air, usual plate", "air_m3_per_h", "m³/h"),
    "shop_flat_starts": ("starts at a plate of", "starts_at_plate_degC", "°C"),
    "shop_flat_face": ("hottest face of all", "hottest_face_degC", "°C"),
    "shop_flat_margin": ("faces below their limit by", "smallest_face_margin_K", "K"),
}
SHOP_WHYS: dict[str, Why] = {
    "shop_torque": Why("Torque of a clamp screw", "M = F (P/2π + 0.577 µ d₂ + µ D_m/2)", _torque, CLAMP),
    "shop_preload": Why("Pull of a clamp screw", "F = p A/n", _preload, ("exact",)),
    "shop_pressure": Why("Pressure on the modules, cold", "p = n F/A", _pressure, ("exact",)),
    "shop_strips": Why("Pull at which the thread tears out", "F = A (L − 0.8 P) τ, A what shears off a millimetre", _strips, ("vdi-2230",)),
    "shop_least": Why("Pull of a screw at the least", "F (1 − √((M/F(µ)/M/F(µ_most) − 1)² + hand²))", _loose(False), CLAMP),
    "shop_most": Why("Pull of a screw at the most", "F (1 + √((M/F(µ)/M/F(µ_least) − 1)² + hand²))", _loose(True), CLAMP),
    "shop_yields": Why("Pull at which a screw yields", "F = A 0.9 R_p/√(1 + 3 [3/2 d₂/d₀ (P/(π d₂) + 1.155 µ)]²)", _yields, CLAMP),
    "shop_hot": Why("Most pressure on the modules, hot", "p = n (F + ΔL/c)/A, ΔL = Σ L α ΔT of the parts − that of the screw", _hot,
                    ("vdi-2230", "exact")),
    "shop_flat_seat": Why("What lapping does to the seat", "ΔT = T_plate,local − T_foot", _lapped(_seat_drop), FLAT),
    "shop_flat_air": Why("What lapping does to the air", "V at the usual plate", _lapped(lambda one: one.usual_air * 3600.0), FLAT),
    "shop_flat_starts": Why("What lapping does to the start", "k I_standstill ≥ T_break-away",
                            _lapped(lambda one: None if one.starts_at is None else one.starts_at - 273.15), FLAT),
    "shop_flat_face": Why("What lapping does to the hottest face", "max of T_hot over settled map and over-fired evening",
                          _lapped(lambda one: one.peak_face[0] - 273.15), FLAT),
    "shop_flat_margin": Why("What lapping does to the margin", "least of (limit − T_hot)", _lapped(_least), FLAT),
    **TABLE_WHYS,
    **PLATE_WHYS,
    "shop_chain": Why("Chain of lengths", "Σ of lengths that deepen it − Σ of those that bring it out", _recess, ("exact",)),
    "shop_recess": Why("Recess of the pin's tip, cold", "Σ of lengths that deepen it − Σ of those that bring it out",
                       _recess, ("exact",)),
    "shop_worst": Why("All lengths at their worst", "Σ of their tolerances", _worst, ("exact",)),
    "shop_loss": Why("Lost in the leads", "P = I² R, R = 2 ρ L/A", _loss, ("iec-60028",)),
}  # fmt: skip
