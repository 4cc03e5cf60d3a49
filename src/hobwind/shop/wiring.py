"""Wiring: which lead goes where, hot side down, gauge and loss of the leads, solder and insulation against the heat, a diagram.

Left out: the resistance of clips and crimps, which `wiring.leads` in the build carries with the rest.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from xml.sax.saxutils import escape

import numpy as np

from ..build import Build
from ..stack.fields import Seen
from ..studies.advice import SOFT_SOLDER, TIN_LEAD, solder_unmarked
from ..studies.headline import Headline
from .section import Section

COPPER = 1.7241e-8  # ohm m at 20 °C, annealed copper. Source: iec-60028
WARMING = 0.00393  # 1/K. Source: iec-60028
# Conductors one can buy, mm2. Source: iec-60228
GAUGES = (0.14, 0.22, 0.34, 0.5, 0.75, 1.0, 1.5, 2.5)
MOST_LOSS = 0.03  # share of the modules' power that leads may eat before thicker ones are worth it
SOLDER_ROOM = 25.0  # K that solder must melt above what stands near it. Source: from memory
# What insulation bears for long, K. Source: from memory
INSULATION = (
    (343.15, "PVC"),
    (378.15, "PVC, 105 °C grade"),
    (453.15, "silicone rubber"),
    (523.15, "PTFE"),
    (673.15, "glass braid"),
)
ZERO = 273.15


@dataclass(frozen=True)
class Wires:
    """Leads and what they meet; SI. `resistance` is that of both leads, there and back; `solder` None: nobody has said which."""

    area: float
    length: float
    resistance: float
    allowed: float
    current: float
    loss: float
    power: float
    hot_face: float
    solder: float | None
    limit: float
    better: float | None


def lead_resistance(area: float, length: float, temperature: float = 293.15) -> float:
    """Resistance of two copper leads, there and back.

        R = 2 rho L/A (1 + 0.00393 (T - 293 K))

    Args:
        area: of the conductor. [m2]
        length: of one lead. [m]
        temperature: of the copper. [K]

    Returns:
        Resistance. [ohm]

    Source: iec-60028, iec-60228.
    """
    return 2.0 * COPPER * length / area * (1.0 + WARMING * (temperature - 293.15))


def gauge_number(area: float) -> int:
    """The American wire gauge nearest to a conductor's area, AWG.

        d = 0.127 mm x 92^((36 - n)/39)

    Args:
        area: of the conductor. [m2]

    Returns:
        Gauge number. [-]

    Source: astm-b258.

    >>> gauge_number(0.5176e-6)
    20
    """
    diameter = math.sqrt(4.0 * area / math.pi)
    return round(36.0 - 39.0 * math.log(diameter / 0.127e-3) / math.log(92.0))


def wires(build: Build, solved: Headline) -> Wires:
    """Work the leads through at the highest current of the usual evening.

    Args:
        build: a checked build.
        solved: the same build solved.

    Returns:
        The leads. [SI]
    """
    wiring = build.wiring
    seen = solved.usual.seen
    row = int(np.argmax(seen[:, Seen.current]))
    current, power = float(seen[row, Seen.current]), float(seen[row, Seen.electric])
    hot = solved.peak_face[0]
    warm = 0.5 * (hot + build.stove.room.value)
    area, length = wiring.wire_area.value, wiring.lead_length.value
    ohms = lead_resistance(area, length, warm)
    said = any(one.place == "wiring.solder" and one.origin == "given" for one in build.records)
    better = None
    if power > 0.0 and current**2 * ohms > MOST_LOSS * power:
        enough = [g * 1e-6 for g in GAUGES if current**2 * lead_resistance(g * 1e-6, length, warm) <= MOST_LOSS * power]
        better = enough[0] if enough else GAUGES[-1] * 1e-6
    return Wires(
        area, length, ohms, wiring.leads.value, current, current**2 * ohms, power, hot,
        wiring.solder.value if said else None,
        wiring.limit.value, better,
    )  # fmt: skip


def _names(build: Build) -> list[list[str]]:
    """Modules of each string by number, kind after kind: which physical piece goes where."""
    first, start = 1, []
    for use in build.modules:
        start.append(first)
        first += use.count
    rows = []
    for string in build.wiring.strings:
        row = []
        for kind, number in enumerate(string):
            row += [f"M{start[kind] + i}" for i in range(number)]
            start[kind] += number
        rows.append(row)
    return rows


def diagram(build: Build) -> str:
    """The wiring as an SVG picture in millimetres: strings of modules left to right, the motor at the right.

    Args:
        build: a checked build.

    Returns:
        SVG text.
    """
    rows = _names(build)
    widest = max(len(row) for row in rows)
    pitch, high, left, top = 30.0, 24.0, 14.0, 14.0
    across, deep = left + widest * pitch + 52.0, top + len(rows) * high + 1.0
    pen, wire = 'fill="none" stroke="#222" stroke-width="0.5"', 'stroke="#222" stroke-width="0.5"'
    lines: list[str] = []

    def text(x: float, y: float, said: str, size: float = 3.6) -> None:
        lines.append(f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="middle" fill="#222">{escape(said)}</text>')

    def line(x1: float, y1: float, x2: float, y2: float) -> None:
        lines.append(f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" {wire}/>')

    bus_left, bus_right = left - 6.0, left + widest * pitch + 2.0
    middle = top + 0.5 * (len(rows) - 1) * high + 6.0
    for r, row in enumerate(rows):
        y = top + r * high + 6.0
        for c, name in enumerate(row):
            x = left + c * pitch
            line(x - 6.0 if c == 0 else x - 8.0, y, x, y)
            lines.append(f'<rect x="{x:.1f}" y="{y - 7:.1f}" width="22" height="14" {pen}/>')
            text(x + 11.0, y + 1.3, name, 4.2)
            text(x + 3.0, y - 3.0, "−")
            text(x + 19.0, y - 3.0, "+")
        line(left + (len(row) - 1) * pitch + 22.0, y, bus_right, y)
    first, last = top + 6.0, top + (len(rows) - 1) * high + 6.0
    line(bus_left, first, bus_left, last)
    line(bus_right, first, bus_right, last)
    for x in (bus_left, bus_right) if len(rows) > 1 else ():
        lines.append(f'<circle cx="{x:.1f}" cy="{middle:.1f}" r="1" fill="#222"/>')
    motor = bus_right + 22.0
    lines.append(f'<circle cx="{motor:.1f}" cy="{middle:.1f}" r="9" {pen}/>')
    text(motor, middle + 1.5, "motor", 3.6)
    line(bus_right, middle, motor - 9.0, middle)
    text(motor - 12.0, middle - 2.0, "+")
    floor = last + 13.0
    line(motor + 9.0, middle, motor + 14.0, middle)
    text(motor + 12.0, middle - 2.0, "−")
    line(motor + 14.0, middle, motor + 14.0, floor)
    line(motor + 14.0, floor, bus_left, floor)
    line(bus_left, floor, bus_left, last)
    text(0.5 * across, 5.0, "hot side of every module down; + and − as found by the warm-hand test", 3.4)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{across:.1f}mm" height="{deep:.1f}mm" '
        f'viewBox="0 0 {across:.1f} {deep:.1f}" font-family="Libertinus Serif, sans-serif">{"".join(lines)}</svg>'
    )


def _joined(build: Build) -> str:
    rows = _names(build)
    if len(rows) == 1 and len(rows[0]) == 1:
        return "One module, straight to the motor."
    if len(rows) == 1:
        return f"All in series: {' + to − '.join(rows[0])}; the free − of {rows[0][0]} and the free + of {rows[0][-1]} go to the motor."
    strings = "; ".join(" + to − ".join(row) for row in rows)
    return f"{len(rows)} strings side by side: {strings}. All free + together, all free − together, then to the motor."


def _lines(one: Wires, build: Build) -> Iterator[str]:
    slot = build.wiring.slot or "a slot filed in the spreader's or sink's edge, its corners rounded"
    yield _joined(build)
    yield (
        "Find polarity before closing: each module on a warm (not hot) plate, ice in a bag on top, meter across it. Mark + on the "
        "wire, and an arrow DOWN on the face that was warm; printed colours of scrap modules cannot be trusted."
    )
    yield f"Hot side down. All leads leave on the same side, through {slot}; none may lie under a module's edge or be pinched."
    yield (
        f"Leads {one.area * 1e6:.2f} mm² (about AWG {gauge_number(one.area)}), {one.length * 1e3:.0f} mm each way: "
        f"{one.resistance * 1e3:.0f} mΩ, at {one.current * 1e3:.0f} mA a loss of {one.loss * 1e3:.1f} mW of {one.power * 1e3:.0f} mW."
    )
    yield from _solders(one, build)
    kinds = [name for bears, name in INSULATION if bears >= one.hot_face]
    cover = f"{kinds[0]} or better" if kinds else "bare wire in ceramic beads"
    yield f"Insulation at the modules must bear {one.hot_face - ZERO:.0f} °C: {cover}."
    yield (
        "Strain relief: tie the leads to the sink 20 mm from the slot; leave a loop of 15 mm so that a lifted fan pulls nothing. "
        "Twist the pair; keep it off riser and stove plate."
    )
    yield "Motor turns the wrong way: swap its two leads, not the modules'."


def _solders(one: Wires, build: Build) -> Iterator[str]:
    """What melts where: the solder on the joints, and that inside the modules."""
    hot, needs = one.hot_face - ZERO, one.hot_face + SOLDER_ROOM - ZERO
    if one.solder is None:
        which = (
            f"Which solder is on the joints the build does not say (wiring.solder): tin and lead melt at {TIN_LEAD - ZERO:.0f} °C, the "
            f"softest in use at {SOFT_SOLDER - ZERO:.0f} °C. The hottest face beside it reaches {hot:.0f} °C: use one that melts above "
            f"{needs:.0f} °C."
        )
    else:
        which = (
            f"The solder on the joints melts at {one.solder - ZERO:.0f} °C; the hottest face beside it reaches {hot:.0f} °C."
        )
    yield f"{which} Make joints 30 mm out in the cool, never on the module's own tabs twice."
    told = {}
    for use in build.modules:
        melts = use.part.solder.value
        told[use.part.name] = (
            f"by the catalogue {melts - ZERO:.0f} °C, but it is not marked: {SOFT_SOLDER - ZERO:.0f} °C if it is the softest in use"
            if solder_unmarked(use.part)
            else f"melts at {melts - ZERO:.0f} °C"
        )
    yield f"That inside the modules is another: {'; '.join(f'{name} {says}' for name, says in told.items())}."


def _findings(one: Wires, build: Build) -> Iterator[str]:
    melts = TIN_LEAD if one.solder is None else one.solder
    if melts < one.hot_face + SOLDER_ROOM:
        which = "tin-lead solder" if one.solder is None else "solder"
        yield (
            f"fault: {which} of {melts - ZERO:.0f} °C beside a face of {one.hot_face - ZERO:.0f} °C: use one that melts above "
            f"{math.ceil(one.hot_face + SOLDER_ROOM - ZERO)} °C (wiring.solder), or crimp"
        )
    if one.limit < one.hot_face:
        yield f"danger: the wire bears {one.limit - ZERO:.0f} °C, the face beside it reaches {one.hot_face - ZERO:.0f} °C"
    if one.better is not None:
        yield f"advice: the leads eat {one.loss / one.power:.0%} of the power: {one.better * 1e6:g} mm² instead"
    if one.resistance > build.wiring.leads.high:
        yield (
            f"advice: these leads alone have {one.resistance:.2f} Ω, more than wiring.leads ({build.wiring.leads.value:.2f} Ω) counts on"
        )


def wiring_section(build: Build, solved: Headline) -> Section:
    """The wiring's page.

    Args:
        build: a checked build.
        solved: the same build solved.

    Returns:
        The section.
    """
    one = wires(build, solved)
    data: dict[str, Any] = {
        "strings": _names(build),
        "wire_mm2": round(one.area * 1e6, 3),
        "gauge_awg": gauge_number(one.area),
        "lead_length_mm": round(one.length * 1e3, 1),
        "leads_ohm": round(one.resistance, 5),
        "current_A": round(one.current, 4),
        "loss_W": round(one.loss, 6),
        "hottest_face_degC": round(one.hot_face - ZERO, 1),
        "solder_degC": None if one.solder is None else round(one.solder - ZERO, 1),
        "diagram_svg": diagram(build),
    }
    return Section("wiring", "Wiring", tuple(_lines(one, build)), data, tuple(_findings(one, build)))
