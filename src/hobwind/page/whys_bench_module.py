"""The whys of a module's bench figures: as a generator, by kettle and ice, from prints, and its health."""

from __future__ import annotations

from collections.abc import Callable

from ..bench.asked_module import FAR
from ..bench.module_kinds import new_kind
from ..bench.module_lines import QUICK
from ..bench.ratings import MERIT_NEW
from ..physics.thermoelectric import conductance_shape, resistance_shape, seebeck_shape
from ..units import show
from .whys_bench_row import GUM, Bench, Worked, Working, line, listed, mean, pairs

SHAPES = {"seebeck": seebeck_shape, "resistance": resistance_shape, "conductance": conductance_shape}
KEPT = {"seebeck": "seebeck", "resistance": "ohms", "conductance": "thermal_conductance"}
USUAL = 0.5  # W/K, as in bench/module_kettle.py
GENERATOR, PRINT = ("ioffe-1957", "bi2te3-polynomials", GUM), ("rated-value-method", "bi2te3-polynomials", GUM)


def _mean_face(row: dict[str, float]) -> float:
    return 0.5 * (row["hot"] + row["cold"])


def _opened(bench: Bench) -> tuple[list[float], list[float], float, float]:
    """Differences, open volts at 300 K, and the line through them."""
    rows = bench.rows("open")
    x = [row["hot"] - row["cold"] for row in rows]
    y = [row["volts"] / seebeck_shape(_mean_face(row)) for row in rows]
    slope, foot = line(x, y)
    return (x, y, slope, foot) if slope >= 0.0 else (x, [-one for one in y], -slope, -foot)


def _joint(bench: Bench) -> float:
    return 0.5 * float(bench.top("joints")) if bench.top("faces_read") == FAR else 0.0


def _seebeck(bench: Bench) -> Working:
    x, y, slope, _ = _opened(bench)
    measured = bench.has("conductance") and bool(bench.rows("load"))
    kind, joint = bench.top("kind"), _joint(bench)
    k = bench.value("conductance") if measured else kind.conductance.value if kind else USUAL
    told = pairs(x, y, ("temperature_difference", "voltage"))
    numbers = f"slope through {told} (volts at 300 K) = {show(slope, 'seebeck')}"
    if joint:
        numbers += f"; · (1 + {joint:.2f} K/W · {show(k, 'thermal_conductance')}) for the joints"
    return Working(numbers, slope * (1.0 + joint * k))


def _lost(bench: Bench) -> tuple[list[float], list[float], bool]:
    """Amperes and volts lost inside at 300 K, and whether they were read late."""
    _, _, slope, foot = _opened(bench)
    rows = bench.rows("load")
    quick = [row for row in rows if row["after"] <= QUICK]
    late = len(quick) < min(2, len(rows))
    used = rows if late else quick
    amps = [abs(row["volts"]) / row["ohms"] for row in used]
    lost = [
        ((foot + slope * (row["hot"] - row["cold"])) * seebeck_shape(_mean_face(row)) - abs(row["volts"]))
        / resistance_shape(_mean_face(row))
        for row in used
    ]
    return amps, lost, late


def _resistance(bench: Bench) -> Working:
    kind = bench.top("kind")
    if not bench.rows("load"):
        return Working(f"{show(kind.resistance.value, 'ohms')} of a new {kind.name}; not measured here", kind.resistance.value)
    amps, lost, late = _lost(bench)
    seen = sum(a * b for a, b in zip(amps, lost, strict=True)) / sum(a * a for a in amps)
    numbers = f"slope through nothing and {pairs(amps, lost, ('current', 'voltage'))} lost = {show(seen, 'ohms')}"
    if not late:
        return Working(numbers, seen)
    faces = [_mean_face(row) for row in (*bench.rows("open"), *bench.rows("load"))]
    merit = new_kind(kind).merit if kind else 0.5 * sum(MERIT_NEW)
    zt, joint, k = merit * mean(faces), _joint(bench), bench.value("conductance")
    behind = 0.0 if joint else 0.5
    lowered = (1.0 - behind * zt / (1.0 + zt)) / (1.0 + zt * joint * k / (1.0 + joint * k))
    return Working(f"{numbers}; · {lowered:.2f} for the current's own cooling, read late, ZT {zt:.2f}", seen * lowered)


def _conductance(bench: Bench) -> Working:
    kind, rows = bench.top("kind"), bench.rows("heater")
    if rows:
        _, _, slope, foot = _opened(bench)
        x = [row["hot"] - row["cold"] + foot / slope for row in rows]
        y = [row["watts"] / conductance_shape(_mean_face(row)) for row in rows]
        read = line(x, y)[0] if len(x) > 1 else y[0] / x[0]
        joint = _joint(bench)
        numbers = f"slope through {pairs(x, y, ('temperature_difference', 'power'))} (watts at 300 K) = {read:.3f} W/K"
        return Working(numbers + (f"; less {joint:.2f} K/W of joints" if joint else ""), 1.0 / (1.0 / read - joint))
    if kind is not None:
        told = show(kind.conductance.value, "thermal_conductance")
        return Working(f"{told} of a new {kind.name}; not measured here", kind.conductance.value)
    return _by_merit(bench)


def _by_merit(bench: Bench) -> Working:
    a, r, z = bench.value("seebeck"), bench.value("resistance"), 0.5 * sum(MERIT_NEW)
    return Working(
        f"({show(a, 'seebeck')})² / ({show(r, 'ohms')} · {z * 1e3:.2f}e-3 1/K, usual); not measured", a * a / (r * z)
    )


def _here(name: str) -> Callable[[Bench], Working]:
    def work(bench: Bench) -> Working:
        at = mean([_mean_face(row) for row in (*bench.rows("open"), *bench.rows("load"))])
        ratio, there = SHAPES[name](at), bench.value(name)
        return Working(f"{show(there, KEPT[name])} · {ratio:.4f}, the shape at a mean of {at - 273.15:.1f} °C", there * ratio)

    return work


def _apart(bench: Bench) -> Working:
    _, _, slope, foot = _opened(bench)
    return Working(f"{foot * 1e3:.1f} mV where both read alike / {show(slope, 'seebeck')}", foot / slope)


def _merit(bench: Bench) -> Working:
    a, r, k = (bench.value(name) for name in SHAPES)
    numbers = f"({show(a, 'seebeck')})² / ({show(r, 'ohms')} · {show(k, 'thermal_conductance')})"
    return Working(numbers, a * a / (r * k))


MODULE = {
    "seebeck": Worked("α = slope of V/s over ΔT · (1 + R_joint K)", GENERATOR, _seebeck),
    "resistance": Worked("R = slope of (α ΔT s − V)/r over I, I = V/R_load", GENERATOR, _resistance),
    "conductance": Worked("1/K = ΔT k/Q − R_joint; unmeasured: a new one's, or α²/(R Z)", GENERATOR, _conductance),
    **{f"{name}_here": Worked(f"{sign} = {sign}_300 · shape(T)", GENERATOR, _here(name))
       for name, sign in (("seebeck", "α"), ("resistance", "R"), ("conductance", "K"))},
    "apart": Worked("d = V(ΔT = 0)/α", (GUM,), _apart),
    "merit": Worked("Z = α²/(R K)", ("ioffe-1957", GUM), _merit),
}  # fmt: skip


def _prints(bench: Bench) -> dict[str, list[float]]:
    """Volts per kelvin, ohms and watts per kelvin as printed, by each way."""
    hot, volts, amps, cooled = (float(bench.top(key)) for key in ("hot", "volts", "amperes", "difference"))
    cold, heat = hot - cooled, float(bench.top("heat"))
    scales = [volts / hot] + ([2.0 * heat / (amps * (hot + cooled))] if heat > 0.0 else [])
    ways = {
        "seebeck": scales, "resistance": [a * cold / amps for a in scales],
        "conductance": [0.5 * a * amps * cold / cooled for a in scales],
    }  # fmt: skip
    if bench.top("resistance") > 0.0:
        ways["resistance"] = [*ways["resistance"], float(bench.top("resistance"))]
    return ways


def _printed(name: str, at_300: bool) -> Callable[[Bench], Working]:
    def work(bench: Bench) -> Working:
        ways, hot = _prints(bench)[name], float(bench.top("hot"))
        middle, ratio = 0.5 * (min(ways) + max(ways)), SHAPES[name](hot) if at_300 else 1.0
        numbers = f"middle of {listed(ways, KEPT[name])}, by volts, by heat, as printed"
        return Working(numbers + (f"; / {ratio:.4f}, the shape at {hot - 273.15:.0f} °C" if at_300 else ""), middle / ratio)

    return work


def _print_heat(bench: Bench) -> Working:
    hot, volts, amps, cooled = (float(bench.top(key)) for key in ("hot", "volts", "amperes", "difference"))
    watts = 0.5 * volts * amps * (1.0 + cooled / hot)  # α T I − ½ I² R with α = V/T and R = V (T − ΔT)/(I T)
    return Working(f"½ · {volts:g} V · {amps:g} A · (1 + {cooled:g} K/{hot:.1f} K)", watts)


def _print_apart(bench: Bench) -> Working:
    should, heat = _print_heat(bench).value, float(bench.top("heat"))
    return Working(f"{should:.1f} W / {heat:.1f} W − 1", should / heat - 1.0)


COOLER = {
    **{name: Worked(f"{says}, middle of both ways, / shape(T_hot)", PRINT, _printed(name, True)) for name, says in (
        ("seebeck", "α = V/T_hot or 2 Q/(I (T_hot + ΔT))"), ("resistance", "R = α T_cold/I"), ("conductance", "K = α I T_cold/(2 ΔT)"))},
    **{f"{name}_printed": Worked(says, PRINT, _printed(name, False)) for name, says in (
        ("seebeck", "α = V/T_hot or 2 Q/(I (T_hot + ΔT))"), ("resistance", "R = α T_cold/I"), ("conductance", "K = α I T_cold/(2 ΔT)"))},
    "heat_predicted": Worked("Q = α T_hot I − ½ I² R = ½ V I (1 + ΔT/T_hot)", PRINT, _print_heat),
    "apart": Worked("Q_predicted/Q_printed − 1", PRINT, _print_apart),
}  # fmt: skip


def _sheet(bench: Bench) -> tuple[float, float, float, float]:
    """Difference, mean [K], open volts, ohms of a generator's sheet."""
    hot, cold = float(bench.top("hot")), float(bench.top("cold"))
    opens = [one for one in (float(bench.top("open_volts")), 2.0 * float(bench.top("matched_volts"))) if one > 0.0]
    watts, ohms = float(bench.top("watts")), float(bench.top("ohms"))
    opens = opens or [2.0 * (watts * ohms) ** 0.5]
    volts = 0.5 * (min(opens) + max(opens))
    own = ([volts**2 / (4.0 * watts)] if watts > 0.0 else []) + ([ohms] if ohms > 0.0 else [])
    return hot - cold, 0.5 * (hot + cold), volts, 0.5 * (min(own) + max(own))


def _sheet_figure(name: str, at_300: bool) -> Callable[[Bench], Working]:
    def work(bench: Bench) -> Working:
        difference, at, volts, ohms = _sheet(bench)
        ratio = SHAPES[name](at) if at_300 else 1.0
        tail = f"; / {ratio:.4f}, the shape at a mean of {at - 273.15:.0f} °C" if at_300 else ""
        if name == "seebeck":
            return Working(f"{volts:.3g} V open / {difference:.0f} K{tail}", volts / difference / ratio)
        watts = float(bench.top("watts"))
        told = f"({volts:.3g} V)² / (4 · {watts:g} W)" if watts > 0.0 else f"{ohms:.3g} Ω as printed"
        told += f" and {bench.top('ohms'):g} Ω as printed" if watts > 0.0 and bench.top("ohms") > 0.0 else ""
        return Working(told + tail, ohms / ratio)

    return work


def _sheet_heat(bench: Bench) -> Working:
    difference, at, volts, ohms = _sheet(bench)
    heat, hot = float(bench.top("heat")), float(bench.top("hot"))
    if heat <= 0.0:
        return _by_merit(bench)
    amps, ratio = 0.5 * volts / ohms, conductance_shape(at)
    numbers = (
        f"({heat:g} W − {volts / difference * 1e3:.1f} mV/K · {hot:.0f} K · {amps:.2f} A + ½ · ({amps:.2f} A)² · {ohms:.3g} Ω) / "
        f"{difference:.0f} K; / {ratio:.4f}, the shape"
    )
    return Working(numbers, (heat - volts / difference * hot * amps + 0.5 * amps**2 * ohms) / difference / ratio)


SHEET = ("ioffe-1957", "bi2te3-polynomials", GUM)
GENERATOR_SHEET = {
    "seebeck": Worked("α = V_open/ΔT / shape(T)", SHEET, _sheet_figure("seebeck", True)),
    "resistance": Worked("R = V_open²/(4 P) / shape(T)", SHEET, _sheet_figure("resistance", True)),
    "conductance": Worked("K = (Q − α T_hot I + ½ I² R)/ΔT / shape(T), I = V_open/(2 R)", SHEET, _sheet_heat),
    "seebeck_printed": Worked("α = V_open/ΔT", SHEET, _sheet_figure("seebeck", False)),
    "resistance_printed": Worked("R = V_open²/(4 P)", SHEET, _sheet_figure("resistance", False)),
}


def _ohms_seen(bench: Bench) -> Working:
    light, heavy, at = bench.filled.one("light"), bench.filled.one("heavy"), float(bench.top("at"))
    ratio = resistance_shape(at)
    if light is None or heavy is None:
        return Working(f"{show(bench.top('meter'), 'ohms')} by the meter / {ratio:.4f}, the shape", bench.top("meter") / ratio)
    a, b, more = light["volts"], heavy["volts"], heavy["volts"] / heavy["ohms"] - light["volts"] / light["ohms"]
    numbers = (
        f"({a:.3g} V − {b:.3g} V) / ({b:.3g} V/{heavy['ohms']:.3g} Ω − {a:.3g} V/{light['ohms']:.3g} Ω) / {ratio:.4f}, the shape "
        f"at {at - 273.15:.0f} °C"
    )
    return Working(numbers, (a - b) / more / ratio)


def _ohms_ratio(bench: Bench) -> Working:
    seen, kind = _ohms_seen(bench).value, bench.top("kind")
    numbers = f"{show(seen, 'ohms')} / {show(kind.resistance.value, 'ohms')} of a new {kind.name}"
    return Working(numbers, seen / kind.resistance.value)


def _volts_ratio(bench: Bench) -> Working:
    row, kind = bench.rows("open")[0], bench.top("kind")
    seen = abs(row["volts"]) / (row["hot"] - row["cold"]) / seebeck_shape(_mean_face(row))
    numbers = (
        f"{abs(row['volts']):.3g} V / {row['hot'] - row['cold']:.1f} K at 300 K = {show(seen, 'seebeck')}; / "
        f"{show(kind.seebeck.value, 'seebeck')} of a new {kind.name}"
    )
    return Working(numbers, seen / kind.seebeck.value)


def _turned(bench: Bench) -> Working:
    couples, ratio = bench.top("kind").couples, _volts_ratio(bench).value
    return Working(f"½ · {couples} · (1 − {ratio:.3f})", 0.5 * couples * (1.0 - ratio))


HEALTH = {
    "resistance_seen": Worked("R = (V1 − V2)/(V2/R2 − V1/R1) / shape(T)", GENERATOR, _ohms_seen),
    "resistance_ratio": Worked("R/R_new", ("bench-practice", GUM), _ohms_ratio),
    "seebeck_ratio": Worked("(V/ΔT)/α_new, at 300 K", ("bench-practice", GUM), _volts_ratio),
    "couples_turned": Worked("½ N (1 − α/α_new)", ("ioffe-1957", GUM), _turned),
}
