"""From outside measurements to a reduced build: what cannot be seen follows by stated rules, with wide spreads.

The rules. Riser: from plate to sink less modules and plate, or a part of the height where that was not seen. Sink: fins from
its foot to the top; its base is as thick as the weight leaves for it. Modules: as many as lie on the smaller plate, two at
most. Motor and blade: the catalogue's nearest by diameter, a guessed
motor spans all that start on a module's volt and are about as wide. What the rules find is
written as a build file and read by the build file's own reader.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..errors import BuildError, Problem
from ..parts.catalogue import Shelf
from ..units import EXACT, NORMAL, Spread, plain, show_spread
from . import build_from_text, geometry
from .heading import FORMAT
from .retrofit_file import Outside
from .sections import Build
from .toml_lines import section_lines, toml_value

SINK_METAL, SINK_FINISH = "aluminium 6061", "black anodised aluminium"
RISER_SHARE, RISER_HALF = 0.62, 0.15  # of the height below the sink where its foot was not seen, and how far that may be off
BASE_FIRST, BASE_LEAST, BASE_SHARE = 6e-3, 2e-3, 0.3  # m; the sink's base: first guess, thinnest, how far it may be off
# What turns on a module's volt or less; toy motors hardly do, and nobody leaves one in a fan that ran (practice).
LIKELY_MOTORS = ("CD spindle motor", "cassette motor", "coreless motor", "solar motor")
ALIKE = 0.25  # of the diameter; a guessed motor may be any of them that is no further off
LEAST = 0.1  # of its middle value: how near to nought a guessed figure may come
SPANNED = {
    "resistance": ("Ω", 1.0), "torque_constant": ("mN·m/A", 1e-3), "friction": ("µN·m", 1e-6), "breakaway": ("µN·m", 1e-6),
    "drag": ("nN·m·s", 1e-9),
}  # fmt: skip
USUAL_MODULES = 2
SHORTEST = 5e-3  # m; riser
GAP = 1e-3  # m; between modules


@dataclass(frozen=True)
class Reduced:
    """A reduced build, its text, what each guess rests on, and the thickness of the sink's base that the weight asks for [m]."""

    build: Build
    text: str
    rules: tuple[str, ...]
    base_asked: float


def nearest(names: list[str], distance: Any) -> str:
    """The name with the smallest distance; the shorter name of two alike."""
    return min(names, key=lambda name: (round(distance(name), 6), len(name), name))


def module_named(outside: Outside, shelf: Shelf) -> str:
    """The catalogue's common module nearest in size."""
    names = [name for name in shelf.names("module") if name.startswith(outside.grade)]
    return nearest(names, lambda name: abs(shelf.find("module", name).width.value - outside.module_size.value))


def module_count(outside: Outside, size: float) -> int:
    """Modules inside: as told, else as many as lie on the smaller plate, two at most."""
    if outside.module_count is not None:
        return outside.module_count
    low = outside.plate[:2] if outside.plate is not None else (outside.base_width, outside.base_depth)
    wide, deep = min(low[0].value, outside.sink_width.value), min(low[1].value, outside.sink_depth.value)
    rows = [max(int((room + GAP + 1e-9) // (size + GAP)), 0) for room in (wide, deep)]
    return max(1, min(rows[0] * rows[1], USUAL_MODULES))


def _spread(value: float, half: float) -> Spread:
    return Spread(value, half, NORMAL if half > 0.0 else EXACT)


def _within(value: float, half: float) -> Spread:
    """A length off by a millimetre at least, and never reaching nought."""
    return _spread(value, min(max(half, 1e-3), 0.8 * value))


def _long(spread: Spread) -> str:
    return show_spread(spread, "length")


def reduced(outside: Outside, settled: Mapping[str, str] | None = None) -> Reduced:
    """The reduced build of a fan seen from outside.

    Args:
        outside: what was measured.
        settled: values that were tuned, by their place such as "seat.flatness", as a build file has them.

    Returns:
        The build and how it came about.

    Raises:
        BuildError: what was measured cannot be a fan, with every problem.
    """
    first, _, _ = _written(outside, BASE_FIRST, settled or {})
    asked = base_asked(outside, build_from_text(first, outside.file))
    standing = outside.height.value - _sink_from(outside, Shelf(None))[0].value
    base = min(max(asked, BASE_LEAST), 0.5 * standing)
    text, rules, thick = _written(outside, base, settled or {})
    if abs(base - asked) > 1e-6:
        rules.append(
            f"the weight asks for a sink base of {asked * 1e3:.1f} mm, which cannot be; taken as {thick}. Weigh it again"
        )
    else:
        rules.append(f"sink base {thick} (what the weight leaves for it)")
    return Reduced(build_from_text(text, outside.file), text, tuple(rules), asked)


def base_asked(outside: Outside, build: Build) -> float:
    """How thick the sink's base must be for the fan to weigh what it weighs.

        m = rho (W D b + n t D (H - b)),  m the weight less every other part's

    Args:
        outside: what was measured.
        build: the reduced build with any base; its other parts are weighed.

    Returns:
        Thickness b. [m]

    Source: exact.
    """
    others = sum(one.mass for one in geometry.masses(build) if one.name != "sink")
    sink = build.sink.part
    fins = sink.fin_count * sink.fin_thickness.value * sink.base_length.value
    tall = sink.base_thickness.value + sink.fin_height.value
    volume = (outside.weight.value - others) / sink.material.density.value
    return float((volume - fins * tall) / (sink.base_width.value * sink.base_length.value - fins))


def _sink_from(outside: Outside, shelf: Shelf) -> tuple[Spread, str]:
    """Height of the sink's foot above the plate, and why."""
    if outside.sink_from is not None:
        return outside.sink_from, "plate to sink"
    tall = outside.height.value
    return _spread(RISER_SHARE * tall, RISER_HALF * tall), f"plate to sink not seen, {RISER_SHARE:.0%} of the height"


def _written(outside: Outside, base: float, settled: Mapping[str, str]) -> tuple[str, list[str], str]:
    """The build file, its rules in words, and the sink's base."""
    shelf = Shelf(None)
    name = module_named(outside, shelf)
    module = shelf.find("module", name)
    thick = outside.module_thickness or module.thickness
    count = module_count(outside, module.width.value)
    below = outside.plate[2] if outside.plate is not None else plain(0.0)
    foot, why = _sink_from(outside, shelf)
    tall = foot.value - thick.value - below.value
    if tall < SHORTEST:
        says = (
            f"leaves {tall * 1e3:.1f} mm for the riser under modules and plate; {SHORTEST * 1e3:.0f} mm at least: measure again"
        )
        raise BuildError(outside.file, (Problem("fan.height" if outside.sink_from is None else "fan.sink_from", says),))
    riser = _within(tall, math.hypot(foot.half, thick.half, below.half))
    standing = outside.height.value - foot.value
    thickness = _within(base, BASE_SHARE * base)
    pitch = (outside.sink_width.value - outside.fin_thickness.value) / (outside.fins - 1)
    fins = _within(standing - base, math.hypot(foot.half, outside.height.half))
    rules = [
        f"riser {_long(riser)} ({why}, less modules{' and plate' if outside.plate else ''})",
        f"{count} x {name} ({'as told' if outside.module_count else 'what lies on the smaller plate, 2 at most'})",
        f"fins {_long(fins)} tall, {pitch * 1e3:.1f} mm apart",
    ]
    shape: dict[str, Any] = {"shape": "cylinder", "diameter": _long(outside.base_width)}
    if not outside.is_round:
        shape = {"shape": "block", "width": _long(outside.base_width), "depth": _long(outside.base_depth)}
    sections: dict[str, dict[str, Any]] = {
        "[stove]": dict(outside.kept.get("stove", {})),
        "[wish]": dict(outside.kept.get("wish", {})),
        "[fan]": {"mass": show_spread(outside.weight, "mass")},
        "[[riser]]": {**shape, "length": _long(riser), "material": outside.metal},
        "[seat]": {"flatness": "0.02..0.3 mm"},
        "[joint.hot_plate]": {"surface": "milled"},
        "[clamp]": {"pressure": "0.4..1.6 MPa"},
        "[[modules]]": {"part": name, "count": count, **({"thickness": _long(thick)} if outside.module_thickness else {})},
    }
    if outside.plate is not None:
        sizes = dict(zip(("width", "depth", "thickness"), map(_long, outside.plate), strict=True))
        sections["[hot_plate]"] = {**sizes, "material": outside.metal}
    sections["[sink]"] = {
        "shape": "plate fins", "material": SINK_METAL, "finish": SINK_FINISH, "base_width": _long(outside.sink_width),
        "base_length": _long(outside.sink_depth), "base_thickness": _long(thickness), "fin_height": _long(fins),
        "fin_thickness": _long(outside.fin_thickness), "fin_pitch": f"{pitch * 1e3:.2f} mm", "fin_count": outside.fins,
        "stands": "on a base",
    }  # fmt: skip
    if "screws" in outside.kept:
        sections["[screws]"] = dict(outside.kept["screws"])
    sections["[motor]"], told = _motor(outside, shelf)
    rules.append(told)
    sections["[blade]"], told = _blade(outside, shelf)
    rules.append(told)
    for place, value in settled.items():
        section, key = place.split(".")
        head = f"[[{section}]]" if section in ("modules", "riser") else f"[{section}]"
        sections.setdefault(head, {})[key] = value
    sections.setdefault("[fan]", {})["made"] = "found"
    lines = [
        f"# {outside.name}: a reduced build from outside measurements ({outside.file}).",
        "# What is not measured follows by rules with wide spreads; a trial fire narrows them.",
        "",
        f"format = {FORMAT}",
        f"name = {toml_value(outside.name)}",
    ]
    lines += [f"says = {toml_value(outside.says)}"] if outside.says else []
    for head, table in sections.items():
        if table:
            lines += section_lines(head, table)
    return "\n".join(lines) + "\n", rules, _long(thickness)


def _motor(outside: Outside, shelf: Shelf) -> tuple[dict[str, Any], str]:
    if "motor" in outside.kept:
        own = dict(outside.kept["motor"])
        return own, f"motor as told ({own.get('part', 'own figures')})"
    wanted = outside.motor_diameter.value
    known = {name: shelf.find("motor", name) for name in LIKELY_MOTORS}
    name = nearest(list(known), lambda one: abs(known[one].diameter.value - wanted))
    alike = [part for part in known.values() if part.name == name or abs(part.diameter.value / wanted - 1.0) <= ALIKE]
    table = {"part": name}
    for key, (unit, size) in SPANNED.items():
        low = min(max(getattr(part, key).low, LEAST * getattr(part, key).value) for part in alike)
        high = max(getattr(part, key).high for part in alike)
        table[key] = f"{low / size:.4g}..{high / size:.4g} {unit}"
    return table, f"{name} (nearest by diameter), its figures spanning {len(alike)} such motors"


def _blade(outside: Outside, shelf: Shelf) -> tuple[dict[str, Any], str]:
    own = dict(outside.kept.get("blade", {}))
    before = {} if outside.hub_before is None else {"before_sink": _long(outside.hub_before)}
    if own:
        return {"height": _long(outside.hub), **before, **own}, f"blade as told ({own.get('part', 'own figures')})"

    def far(name: str) -> float:
        part = shelf.find("blade", name)
        size = math.log(part.diameter.value / outside.blade_diameter.value)
        return float(abs(size) + 0.1 * abs(part.count - outside.vanes))

    name = nearest(shelf.names("blade"), far)
    table = {"part": name, "diameter": _long(outside.blade_diameter), "height": _long(outside.hub), **before}
    return table, f"{name} (nearest by diameter and vanes)"
