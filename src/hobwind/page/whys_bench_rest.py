"""The whys of the bench figures of springs, disc washers, unknown bars and faces."""

from __future__ import annotations

import math
from collections.abc import Callable

from ..bench.asked_faces import MAGNET
from ..bench.flat import BOW, LIGHT
from ..bench.measured import Measured
from ..bench.metal import WATER, candidates
from ..bench.spring import GRAVITY
from ..bench.washers import POISSON, STEEL, WORKING
from ..physics import air
from ..units import show
from .whys_bench_row import GUM, Bench, Worked, Working, as_read, line, pairs


def _squeezed(bench: Bench) -> tuple[list[float], list[float]]:
    rows = bench.rows("squeezed")
    return [row["length"] for row in rows], [row["scale"] * GRAVITY for row in rows]


def _rate(bench: Bench) -> Working:
    x, y = _squeezed(bench)
    return Working(f"slope through {pairs(x, y, ('length', 'force'))}", abs(line(x, y)[0]))


def _free(bench: Bench) -> Working:
    slope, foot = line(*_squeezed(bench))
    return Working(f"where the line reaches no force: {foot:.2f} N / {abs(slope) * 1e-3:.3f} N/mm", -foot / slope)


def _spring_force(bench: Bench) -> Working:
    slope, foot = line(*_squeezed(bench))
    at = bench.top("fitted")
    numbers = f"{abs(slope) * 1e-3:.3f} N/mm · ({-foot / slope * 1e3:.1f} mm − {at * 1e3:.1f} mm)"
    return Working(numbers if slope < 0.0 else f"{foot:.2f} N + {slope * 1e-3:.3f} N/mm · {at * 1e3:.1f} mm", foot + slope * at)


SPRING = {
    "spring_rate": Worked("k = slope of F = m g over length", ("shigley-springs", GUM), _rate),
    "free_length": Worked("L where F = 0 on that line", ("exact", GUM), _free),
    "spring_force": Worked("F = k (L_free − L_fitted)", ("exact", GUM), _spring_force),
}

DISC = ("en-16984", "almen-laszlo-1936", GUM)


def _stack(bench: Bench, squeeze: float) -> float:
    """Force of the stack by size alone: Almen and László's formula put in anew, N."""
    outer, inner, t = (bench.top(key) for key in ("outer", "inner", "thickness"))
    h, s, d = bench.top("height") - t, squeeze / bench.top("packs"), outer / inner
    k1 = ((d - 1.0) / d) ** 2 / math.pi / ((d + 1.0) / (d - 1.0) - 2.0 / math.log(d))
    one = 4.0 * STEEL / (1.0 - POISSON**2) * t**3 * s / (k1 * outer**2) * ((h - s) * (h - 0.5 * s) / t**2 + 1.0)
    return float(bench.top("nested") * one)


def _three_quarters(bench: Bench) -> Working:
    dish, packs = bench.top("height") - bench.top("thickness"), bench.top("packs")
    return Working(f"{WORKING:g} · {dish * 1e3:.3f} mm of dish · {packs} packs", WORKING * dish * packs)


def _pressed(bench: Bench) -> tuple[float, str]:
    """How the scale compares with what size alone gives."""
    rows = bench.rows("pressed")
    if not rows:
        return 1.0, ""
    ratios = [row["scale"] * GRAVITY / _stack(bench, row["by"]) for row in rows]
    told = ", ".join(f"{one:.3f}" for one in ratios)
    return sum(ratios) / len(ratios), f"; · {told} that the scale says of it, the surer weighing more"


def _disc_force(bench: Bench) -> Working:
    squeeze = bench.top("squeeze") or _three_quarters(bench).value
    alone, (scale, told) = _stack(bench, squeeze), _pressed(bench)
    t, s = bench.top("thickness"), squeeze / bench.top("packs")
    h = bench.top("height") - t
    numbers = (
        f"{bench.top('nested')} · disc {bench.top('outer') * 1e3:g} × {bench.top('inner') * 1e3:g} mm, t {t * 1e3:g}, h {h * 1e3:.3g}, "
        f"s {s * 1e3:.3g} mm: {alone:.0f} N by size"
    )
    return Working(numbers + told, alone * scale)


def _disc_rate(bench: Bench) -> Working:
    squeeze = bench.top("squeeze") or _three_quarters(bench).value
    step = 1e-3 * squeeze
    more, less = _stack(bench, squeeze + step), _stack(bench, squeeze - step)
    scale, told = _pressed(bench)
    numbers = f"({more:.2f} N − {less:.2f} N) / {2e3 * step:.5f} mm{told}"
    return Working(numbers, scale * (more - less) / (2.0 * step))


def _disc_pressure(bench: Bench) -> Working:
    force, screws, area = bench.value("force"), bench.top("screws"), bench.top("area")
    return Working(f"{screws} · {force:.0f} N / {area * 1e6:.0f} mm²", screws * force / area)


WASHERS = {
    "force": Worked("F = n 4E/(1 − ν²) t⁴/(K1 D²) (s/t) [(h/t − s/t)(h/t − s/2t) + 1]", DISC, _disc_force),
    "rate": Worked("k = dF/ds there", DISC, _disc_rate),
    "travel": Worked("¾ h · packs", DISC, _three_quarters),
    **{name: Worked(f"{name} as measured", ("bench",), as_read(name, "length")) for name in ("outer", "inner", "thickness")},
    "pressure": Worked("p = n F/A", ("exact", GUM), _disc_pressure),
}


def _density(bench: Bench) -> Working:
    mass, displaced = bench.top("mass"), bench.top("displaced")
    return Working(f"{mass * 1e3:.0f} g / {displaced * 1e3:.0f} g · {WATER:.0f} kg/m³ of water", mass / displaced * WATER)


def _conducts(bench: Bench) -> Working:
    density = bench.result.figure("density")
    found = candidates(Measured(_density(bench).value, density.u), MAGNET[bench.top("magnet")])
    numbers = " + ".join(f"{one.odds:.2f} · {one.conductivity:.0f} ({one.name})" for one in found)
    return Working(f"{numbers} W/(m K)", sum(one.odds * one.conductivity for one in found))


METAL = {
    "density": Worked("ρ = m/m_displaced · ρ_water", ("exact", GUM), _density),
    "conductivity": Worked("Σ odds · conductivity of every metal that heavy", ("metals-handbook", GUM), _conducts),
}

FACE = ("flatness-practice", "light-gap", GUM)


def _flat(bench: Bench) -> Working:
    gaps = []
    for row in bench.rows("gap"):
        low, high = LIGHT[row["light"]] if row["light"] else (row["goes"], row["stops"])
        gaps.append(0.5 * (low + high))
    edge = bench.top("edge") or bench.top("face")
    stretch = (bench.top("face") / edge) ** 2
    told = ", ".join(f"{one * 1e6:.0f} µm" for one in gaps)
    numbers = f"widest of {told}; · ({bench.top('face') * 1e3:.0f} mm / {edge * 1e3:.0f} mm)²"
    return Working(numbers, max(gaps) * stretch)


def _made(field: str, dimension: str) -> Callable[[Bench], Working]:
    def work(bench: Bench) -> Working:
        made = bench.top("made")
        value = float(getattr(made, field).value)
        return Working(f"{show(value, dimension)}, as {made.name} leaves it", value)

    return work


def _with_other(field: str, dimension: str) -> Callable[[Bench], Working]:
    def work(bench: Bench) -> Working:
        other = bench.top("on")
        mine, theirs = bench.value(field), float(getattr(other, field).value)
        if field == "flatness":
            return Working(f"{show(mine, dimension)} + {show(theirs, dimension)} of {other.name}", mine + theirs)
        return Working(f"√(({show(mine, dimension)})² + ({show(theirs, dimension)})²)", math.hypot(mine, theirs))

    return work


def _carries(bench: Bench) -> Working:
    both = bench.has("seat_flatness")
    flat, rough = bench.value("seat_flatness" if both else "flatness"), bench.value("seat_roughness" if both else "roughness")
    hot = 473.15
    k, jump = air.conductivity(hot), air.molecular_jump(hot, 101325.0)
    stands = 1.53 * rough * 1e-5**-0.097 + jump
    if BOW[bench.top("where")]:
        carried = k * math.atan(math.sqrt(flat / stands)) / math.sqrt(flat * stands)
        shape = "atan(√(δ/s))/√(δ s)"
    else:
        carried, shape = k / flat * math.log(1.0 + flat / stands), "ln(1 + δ/s)/δ"
    numbers = f"{k:.4f} W/(m K) · {shape} with δ = {flat * 1e6:.0f} µm, s = {stands * 1e6:.1f} µm, air at 200 °C"
    return Working(numbers, carried)


FLAT = {
    "flatness": Worked("δ = widest gap · (face/edge)²", FACE, _flat),
    "roughness": Worked("by how the face was made", ("roughness-practice",), _made("roughness", "roughness")),
    "slope": Worked("by how the face was made", ("antonetti",), _made("slope", "number")),
    "seat_flatness": Worked("δ = δ_this + δ_other", FACE, _with_other("flatness", "length")),
    "seat_roughness": Worked("σ = √(σ_this² + σ_other²)", ("antonetti", GUM), _with_other("roughness", "roughness")),
    "seat_slope": Worked("m = √(m_this² + m_other²)", ("antonetti", GUM), _with_other("slope", "number")),
    "carries": Worked(
        "h = mean over the face of k/(Y + M + u), Y = 1.53 σ (P/H)^−0.097", ("yovanovich-gap", "antonetti"), _carries
    ),
}
