"""The equations behind the tables of the Shop section: holes, threads, saw, parts. One why stands for a table's figures."""

from __future__ import annotations

import math

from ..shop.clamp import clamp
from ..shop.countersunk import SUNK
from ..shop.holes import all_holes, screw_fit, size
from ..shop.made_part import FACING
from ..shop.made_parts import guard_holes, made_parts
from ..shop.order_plan import plan
from ..shop.parts_list import parts_list
from ..shop.stackup import stack_up
from .whys_row import Filled, Look, Why


def _holes(look: Look) -> Filled:
    found = (*all_holes(look.solved.build), *guard_holes(made_parts(look.solved.build)))
    told, value = [], None
    for one in found:
        if one.thread is not None:
            drill = (one.thread.diameter - one.thread.pitch) * 1e3
            value = drill if value is None else value
            told.append(
                f"{one.part} {one.letter}, {one.thread.name}: {size(one.thread.diameter)} − {size(one.thread.pitch)} mm = {drill:.2f} mm"
            )
        elif one.countersink is not None:
            told.append(
                f"{one.part} {one.letter}: {size(one.drill)} mm, clearance; cone = head + 2 · {size(SUNK)} mm below the face"
            )
        else:
            told.append(f"{one.part} {one.letter}: {size(one.drill)} mm, as the build has it for: {one.use}")
    return Filled("; ".join(told) or "no holes are drilled", value)


def _thread(look: Look) -> Filled:
    fit = screw_fit(look.solved.build)
    if fit is None:
        return Filled("the build names no screws of a coarse thread", None)
    t = fit.thread
    high = math.sqrt(3.0) / 2.0 * t.pitch  # of the thread's triangle
    pitch, inner = t.diameter - 0.75 * high, t.diameter - 1.25 * high
    numbers = (
        f"H = 0.866 · {size(t.pitch)} mm; d₂ = {size(t.diameter)} − 0.75 H = {pitch * 1e3:.3f} mm, D₁ = {size(t.diameter)} − 1.25 H = "
        f"{inner * 1e3:.3f} mm; hole + {t.inner_tolerance * 1e6:.0f} and + {t.hole_pitch_tolerance * 1e6:.0f} µm; screw − "
        f"{t.gap * 1e6:.0f} µm, then − {t.outer_tolerance * 1e6:.0f} and − {t.screw_pitch_tolerance * 1e6:.0f} µm"
    )
    return Filled(numbers, inner * 1e3)


def _saw(look: Look) -> Filled:
    rows = [one for one in made_parts(look.solved.build) if one.sawn]
    told = "; ".join(f"{one.name}: {size(one.tall)} mm + 2 · {size(FACING)} mm" for one in rows)
    return Filled(told or "nothing is sawn", (rows[0].tall + 2.0 * FACING) * 1e3 if rows else None)


def _parts(look: Look) -> Filled:
    build, solved = look.solved.build, look.solved
    rows = parts_list(build, plan(build, clamp(build, solved), stack_up(build, solved)))
    return Filled(", ".join(f"{one.count} {one.part}" for one in rows), float(sum(one.count for one in rows)))


TABLE_WHYS: dict[str, Why] = {
    "shop_holes": Why("Drills", "tap drill = d − P; clearance hole and bush as in the build file", _holes, ("iso-273", "shop-practice")),
    "shop_thread": Why("Limits of the thread", "d₂ = d − 0.75 H, D₁ = d − 1.25 H, H = ½√3 P; tolerances 6H and 6g", _thread,
                       ("iso-261", "iso-965-1")),
    "shop_saw": Why("Where to saw", "saw at = finished + both ends faced", _saw, ("shop-practice",)),
    "shop_parts": Why("How many of each", "as counted in the build file", _parts, ("given",)),
}  # fmt: skip
