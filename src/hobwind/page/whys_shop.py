"""The equations behind the figures of the Shop section: the clamp, the stack-up, the leads."""

from __future__ import annotations

import math

from ..shop.clamp import CUT_SHARE, Clamp, clamp
from ..shop.stackup import Stackup, stack_up, worst_case
from ..shop.threads import THREADS
from ..shop.wiring import wires
from .whys_row import Filled, Look, Why

CLAMP = ("vdi-2230-tables",)
NO_CLAMP = Filled("the build names no screws of a coarse thread", None)
NO_STACK = Filled("the build has no guard that reaches a face", None)


def _clamp(look: Look) -> Clamp | None:
    return clamp(look.solved.build, look.solved)


def _torque(look: Look) -> Filled:
    one = _clamp(look)
    if one is None:
        return NO_CLAMP
    thread, mu = THREADS[one.screw.thread], look.solved.build.tightening.friction.value
    ring = 0.5 * (one.screw.head_diameter.value + thread.clearance)
    arm = thread.pitch / (2.0 * math.pi) + 0.577 * mu * thread.pitch_diameter + 0.5 * mu * ring
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
    wide = THREADS[one.screw.thread].diameter
    shear = one.strips / (math.pi * wide * one.engaged * CUT_SHARE)
    numbers = f"π · {wide * 1e3:g} mm · {one.engaged * 1e3:.1f} mm · {CUT_SHARE} · {shear / 1e6:.0f} MPa (hot)"
    return Filled(numbers, math.pi * wide * one.engaged * CUT_SHARE * shear)


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


SHOP_WHYS: dict[str, Why] = {
    "shop_torque": Why("Torque of a clamp screw", "M = F (P/2π + 0.577 µ d₂ + µ D_m/2)", _torque, CLAMP),
    "shop_preload": Why("Pull of a clamp screw", "F = p A/n", _preload, ("exact",)),
    "shop_pressure": Why("Pressure on the modules, cold", "p = n F/A", _pressure, ("exact",)),
    "shop_strips": Why("Pull at which the thread tears out", "F = π d L · share of metal · τ", _strips, ("vdi-2230",)),
    "shop_recess": Why("Recess of the pin's tip, cold", "Σ of lengths that deepen it − Σ of those that bring it out",
                       _recess, ("exact",)),
    "shop_worst": Why("All lengths at their worst", "Σ of their tolerances", _worst, ("exact",)),
    "shop_loss": Why("Lost in the leads", "P = I² R, R = 2 ρ L/A", _loss, ("iec-60028",)),
}  # fmt: skip
