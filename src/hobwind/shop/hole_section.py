"""The hole and thread sheet: what to drill and tap where, limits to check it by, and what the threads hold."""

from __future__ import annotations

from typing import Any

from ..build import Build
from .hole_checks import Finding, faults
from .holes import Holes, ScrewFit, all_holes, held_by, low_part, screw_fit, size
from .inch_drills import in_inch, nearest_drill
from .made_parts import KERF, bar_needed, guard_holes, made_parts
from .plate_joint import plate_joint
from .plate_words import plate_data, plate_lines
from .rules import HELD
from .section import Section
from .threads import Thread, screw_strip_area
from .under_heads import spacer_for


def _inch_drill(holes: Holes) -> str:
    name, wide = nearest_drill(holes.drill)
    told = f"{in_inch(holes.drill)}: drill {name} ({size(wide)} mm)"
    if holes.thread is not None:
        low, high = holes.thread.hole_inner
        told += "" if low - 1e-6 <= wide <= high + 1e-6 else "; outside the thread's limits"
    return told


def _row(holes: Holes, inch: bool) -> list[str]:
    spots = f"{len(holes.places)} x "
    deep = "" if holes.depth is not None else ", through"
    rows = [f"{holes.part} {holes.letter}: {spots}{holes.use}: {holes.beside}{deep}"]
    if inch:
        rows.append(f"   {_inch_drill(holes)}")
    return rows


def _range(limits: tuple[float, float]) -> str:
    return f"{limits[0] * 1e3:.3f} to {limits[1] * 1e3:.3f}"


def _thread_lines(thread: Thread, inch: bool) -> list[str]:
    lines = [
        f"{thread.name} x {size(thread.pitch)} hole 6H: inner {_range(thread.hole_inner)} mm, pitch {_range(thread.hole_pitch)} mm",
        f"   screw 6g: outer {_range(thread.screw_outer)} mm, pitch {_range(thread.screw_pitch)} mm",
        f"   tap drill {size(thread.tap_drill)}, clearance {size(thread.clearance)}, runout of a blind hole {size(thread.runout)} mm",
    ]
    if inch:
        tap, clear = nearest_drill(thread.tap_drill)[0], nearest_drill(thread.clearance)[0]
        per_inch = 25.4 / (thread.pitch * 1e3)
        lines.append(f"   inch drills: tap {tap}, clearance {clear}; {per_inch:.1f} threads an inch")
    return lines


def _fit_lines(build: Build, fit: ScrewFit) -> list[str]:
    thread, share = fit.thread, fit.holds / fit.load if fit.load > 0.0 else float("inf")
    if fit.nut:
        return [*_nut_lines(fit, share), *_made_up(build, fit)]
    stock = f"{size(fit.screw)} mm long" if fit.screw is not None else f"cut to {size(fit.free + fit.engaged)} mm"
    lines = [
        f"Clamp screw {thread.name}, {stock}: {size(fit.free)} mm free, {size(fit.engaged)} mm in the thread of the "
        f"{low_part(build)} (usual {fit.metal.engagement:g} diameters, {size(fit.usual)}; room {size(max(fit.room, 0.0))}).",
        f"Each is to hold {fit.load:.0f} N; the thread tears out at {fit.holds:.0f} N when hot, {share:.1f} times "
        f"({HELD:g} at least is wanted).",
        f"Tapping: {fit.metal.advice}.",
    ]
    lines[1:1] = _made_up(build, fit)
    if fit.through:
        lines.append("The screw's end stays 0.5 mm or more short of the face below: file it if it stands proud.")
    return lines


def _nut_lines(fit: ScrewFit, share: float) -> list[str]:
    stock = (
        f"{size(fit.screw)} mm long"
        if fit.screw is not None
        else f"cut to {size(fit.free + fit.engaged + fit.thread.pitch)} mm"
    )
    return [
        f"Clamp screw {fit.thread.name}, {stock}: {size(fit.free)} mm from head to nut, the hot plate among them; a nut of "
        f"{size(fit.engaged)} mm below it, a pitch of thread standing out.",
        f"Each is to hold {fit.load:.0f} N; a steel nut's thread tears out at {fit.holds:.0f} N when hot, {share:.1f} times "
        f"({HELD:g} at least is wanted).",
    ]


def _made_up(build: Build, fit: ScrewFit) -> list[str]:
    ring = spacer_for(build)
    if ring is None:
        return []
    return [f"Parts fill {size(fit.grip)} of the {size(fit.free)} mm; a spacer {ring.sizes} under each head fills the rest."]


def _hole_data(holes: Holes) -> dict[str, Any]:
    return {
        "part": holes.part,
        "letter": holes.letter,
        "use": holes.use,
        "drill_mm": round(holes.drill * 1e3, 4),
        "depth_mm": None if holes.depth is None else round(holes.depth * 1e3, 4),
        "thread": None if holes.thread is None else holes.thread.name,
        "countersink_mm": None if holes.countersink is None else round(holes.countersink * 1e3, 4),
        "thread_depth_mm": None if holes.thread_depth is None else round(holes.thread_depth * 1e3, 4),
        "places": [{"x_mm": round(x * 1e3, 4), "y_mm": round(y * 1e3, 4)} for x, y in holes.places],
    }


def _limits_data(thread: Thread) -> dict[str, Any]:
    found: dict[str, Any] = {"name": thread.name}
    for key, (low, high) in (
        ("hole_inner", thread.hole_inner), ("hole_pitch", thread.hole_pitch), ("screw_outer", thread.screw_outer),
        ("screw_pitch", thread.screw_pitch),
    ):  # fmt: skip
        found |= {f"{key}_low_mm": round(low * 1e3, 4), f"{key}_high_mm": round(high * 1e3, 4)}
    return found


def _fit_data(fit: ScrewFit) -> dict[str, Any]:
    return {
        "grip_mm": round(fit.grip * 1e3, 4),
        "free_mm": round(fit.free * 1e3, 4),
        "room_mm": round(fit.room * 1e3, 4),
        "screw_mm": None if fit.screw is None else round(fit.screw * 1e3, 4),
        "engaged_mm": round(fit.engaged * 1e3, 4),
        "load_N": round(fit.load, 2),
        "thread_holds_N": round(fit.holds, 1),
        "held_by_nut": fit.nut,
        "screw_strip_mm2": round(screw_strip_area(fit.thread, fit.engaged) * 1e6, 3),
    }


def holes_section(build: Build, inch: bool = False) -> Section:
    """Holes, threads, screw length and saw lengths.

    Args:
        build: a checked build.
        inch: also inches and the nearest inch drills.

    Returns:
        One section; its findings are those of everything drilled or tapped.
    """
    fit, parts = screw_fit(build), made_parts(build)
    holes = (*all_holes(build), *guard_holes(parts))
    findings: tuple[Finding, ...] = faults(build)
    screws = held_by(build)
    lines = [line for one in holes for line in _row(one, inch)]
    if fit is not None:
        lines += ([] if fit.nut else _thread_lines(fit.thread, inch)) + _fit_lines(build, fit)
    if screws is not None:
        lines += _thread_lines(screws.thread, inch) if fit is None or fit.nut or fit.thread != screws.thread else []
        lines += plate_lines(plate_joint(build, screws), build)
    for part in parts:
        if part.sawn:
            inches = f" ({in_inch(part.saw_length)})" if inch else ""
            lines.append(f"Saw {part.name} at {size(part.saw_length)} mm{inches}, finish to {size(part.tall)} mm.")
    for across, material, long in bar_needed(parts):
        lines.append(f"Bar {across}, {material}: {size(long)} mm, with {size(KERF)} mm for each saw cut.")
    data = {
        "holes": [_hole_data(one) for one in holes],
        "thread": None if fit is None or fit.nut else _limits_data(fit.thread),
        "plate_screws": None if screws is None else plate_data(plate_joint(build, screws)),
        "clamp_screw": None if fit is None else _fit_data(fit),
        "saw": [
            {"part": part.name, "saw_mm": round(part.saw_length * 1e3, 4), "finished_mm": round(part.tall * 1e3, 4)}
            for part in parts
            if part.sawn
        ],
    }
    return Section("holes", "Holes and threads", tuple(lines), data, tuple(one.says for one in findings))
