"""Two builds side by side: the parts in which they differ, and the figures they lead to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..build import Build
from ..build.sections import RiserPart, Slab
from ..stack.fields import Seen
from ..stack.keeping import End
from ..stack.steady import Rest
from ..units import show
from .headline import AIR_AT, Headline, headline
from .margins import margins
from .telling import celsius


@dataclass(frozen=True)
class Row:
    """One line: what, as it is in either build, and whether they differ."""

    what: str
    first: str
    second: str

    @property
    def differs(self) -> bool:
        """Whether both say something else."""
        return self.first != self.second


@dataclass(frozen=True)
class Value:
    """One figure of both builds under its key, in the key's unit; None where it never comes about."""

    key: str
    first: float | None
    second: float | None


@dataclass(frozen=True)
class Comparison:
    """Two solved builds, their parts and figures in pairs."""

    first: Headline
    second: Headline
    parts: tuple[Row, ...]
    figures: tuple[Row, ...]
    values: tuple[Value, ...]


def _mm(value: float) -> str:
    return f"{value * 1e3:.4g}"


def _riser(parts: tuple[RiserPart, ...]) -> str:
    told = []
    for part in parts:
        size = (
            f"{_mm(part.width.value)} round"
            if part.shape == "cylinder"
            else f"{_mm(part.width.value)} x {_mm(part.depth.value)}"
        )
        told.append(f"{part.material.name} {size}, {_mm(part.length.value)} mm tall")
    return "; ".join(told)


def _slab(slab: Slab | None) -> str:
    if slab is None:
        return "none"
    return f"{slab.material.name} {_mm(slab.width.value)} x {_mm(slab.depth.value)} x {_mm(slab.thickness.value)} mm"


def _modules(build: Build) -> str:
    return " and ".join(f"{use.count} x {use.part.name}" for use in build.modules)


def _wiring(build: Build) -> str:
    strings = build.wiring.strings
    if sum(use.count for use in build.modules) == 1:
        return "one module"
    if len(strings) == 1:
        return "in series"
    return (
        "in parallel"
        if all(sum(one) == 1 for one in strings)
        else "strings of " + " | ".join("+".join(map(str, one)) for one in strings)
    )


def _screws(build: Build) -> str:
    screws = build.screws
    if screws is None:
        return "none"
    return f"{screws.count} {screws.part.name}" + (f" in {screws.bush.name}" if screws.bush else ", bare")


def _guard(build: Build) -> str:
    guard = build.guard
    if guard.element is None:
        return "none"
    where = "own foot on the plate" if guard.held_in == "plate" else guard.held_in
    return f"{guard.kind}, {guard.element.name}, {where}"


PARTS: tuple[tuple[str, Callable[[Build], str]], ...] = (
    ("riser", lambda build: _riser(build.riser)),
    ("hot plate", lambda build: _slab(build.hot_plate)),
    ("modules", _modules),
    ("wiring", _wiring),
    ("spreader", lambda build: _slab(build.spreader)),
    ("sink", lambda build: build.sink.part.name),
    ("screws", _screws),
    ("motor", lambda build: build.motor.part.name),
    ("blade", lambda build: build.blade.part.name),
    ("hub height", lambda build: show(build.blade.height.value, "length")),
    ("hub before the sink", lambda build: show(build.blade.before_sink.value, "length")),
    ("guard", _guard),
)


def _plate(value: float | None, never: str) -> str:
    return never if value is None else celsius(value)


def _figures(solved: Headline) -> list[tuple[str, str, str, float | None]]:
    """Label, text, JSON key and value of each headline figure."""
    rows: list[tuple[str, str, str, float | None]] = []

    def temperature(label: str, key: str, value: float | None, never: str) -> None:
        rows.append((label, _plate(value, never), key, None if value is None else value - 273.15))

    temperature("starts at a plate of", "starts_at_plate_degC", solved.starts_at, "never")
    temperature("stops at a plate of", "stops_at_plate_degC", solved.stops_at, "not in the evening")
    for point in solved.at.from_rest:
        at = point.plate - 273.15
        flow = float(point.seen[Seen.air_flow]) * 3600.0 if point.outcome is Rest.SETTLED else None
        text = f"{flow:.0f} m³/h" if flow is not None else "hunts" if point.outcome is Rest.HUNTS else "-"
        rows.append((f"air at {at:.0f} °C", text, f"air_at_{at:.0f}_m3_per_h", flow))
    usual = solved.usual_air * 3600.0
    rows.append(("air at the usual plate", f"{usual:.0f} m³/h", "air_usual_m3_per_h", usual))
    temperature("hottest face", "hottest_face_degC", solved.peak_face[0], "-")
    least = margins(solved)
    gap = least[0].margin if least else np.inf
    rows.append(("least margin", f"{gap:+.0f} K, {least[0].part}" if least else "none", "least_margin_K", gap))
    temperature("guard lifts at", "lifts_at_plate_degC", solved.worst.figure(End.lift_at), "never")
    rows.append(("lifts, usual evening", str(solved.usual.lifts), "lifts_usual", float(solved.usual.lifts)))
    rows.append(("lifts, over-fired", str(solved.worst.lifts), "lifts_over_fired", float(solved.worst.lifts)))
    rows.append(("guard hunts", "yes" if solved.hunts else "no", "hunts", float(solved.hunts)))
    return rows


def compare(first: Build, second: Build, at: tuple[float, ...] = AIR_AT) -> Comparison:
    """Solve two builds and lay them side by side, each on its own stove.

    Args:
        first: a checked build.
        second: another one.
        at: plates at which air is compared. [K]

    Returns:
        Both, in pairs.
    """
    return laid_side_by_side(headline(first, at), headline(second, at))


def laid_side_by_side(first: Headline, second: Headline) -> Comparison:
    """Two solved builds in pairs.

    Args:
        first: a solved build.
        second: another one, solved at the same plates.

    Returns:
        Parts and figures, each in pairs.
    """
    parts = tuple(Row(what, tell(first.build), tell(second.build)) for what, tell in PARTS)
    ours, theirs = _figures(first), _figures(second)
    figures = tuple(Row(a[0], a[1], b[1]) for a, b in zip(ours, theirs, strict=True))
    values = tuple(Value(a[2], a[3], b[3]) for a, b in zip(ours, theirs, strict=True))
    return Comparison(first, second, parts, figures, values)
