"""One operating point as an open network: every node, every link, its watts and the law behind it.

The links are made by the same formulas as the kernel's rates. Given plain temperatures they come out as watts; given
`Traced` ones, as the expressions of a netlist for any general circuit simulator.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..physics import drive
from .assemble import assemble
from .elements import (
    air_at_fan,
    bank,
    gap_heat,
    kind_heat,
    lift_of,
    motor_at,
    motor_skin_loss,
    pin_travel,
    plate_row,
    seat_heat,
    skin_loss,
    stream_of,
    tip_temperature,
    touching_of,
)
from .fields import HELD, RISING, P
from .net import LYING, RADIATING, RINGS, UNDERSIDE, VERTICAL, WARMED, Net
from .prepare import Stack
from .sinks import sink_conductance
from .steady import Rest, settled_state
from .tracing import Traced, Tracer

Floats = NDArray[np.float64]
PLATE, AIR, ROOM, CIRCUIT, MOVED, WIRES = "plate", "air", "room", "circuit", "moved_air", "leads"
SAYS = {
    PLATE: "undisturbed stove plate",
    AIR: "air at the fan",
    ROOM: "walls of the room",
    CIRCUIT: "electric circuit",
    MOVED: "air set in motion",
    WIRES: "leads",
}

SKINS = {
    VERTICAL: "side to air, room and plate",
    UNDERSIDE: "underside to air, room and plate",
    RADIATING: "glow to room and plate",
    WARMED: "glow of the hot plate",
}


@dataclass(frozen=True)
class Link:
    """Heat from one node to another: watts, the law in symbols, where it is from."""

    first: str
    second: str
    says: str
    watts: Any
    formula: str
    source: str


@dataclass(frozen=True)
class Network:
    """Nodes with their temperatures [K], links, and what is left over at each node [W]."""

    plate: float
    outcome: str
    nodes: dict[str, float]
    links: tuple[Link, ...]
    left_over: dict[str, float]
    netlist: str


def node_names(stack: Stack, net: Net) -> list[str]:
    """Name of every state, in the kernel's order."""
    names = ["patch"] + [f"ring{i + 1}" for i in range(RINGS)]
    names += [f"riser{i + 1}" for i in range(net.at.top - net.at.foot + 1)]
    if net.at.low != net.at.top:
        names.append("hot_plate")
    for k in range(net.wired.hot.size):
        names += [f"hot{k + 1}", f"cold{k + 1}"]
    if net.at.high != net.at.sink:
        names.append("spreader")
    return [*names, "sink", "motor", "element"]


def _as_is(_: str, value: Any) -> Any:
    return value


def links_at(
    net: Net,
    stack: Stack,
    q: NDArray[np.int64],
    y: Any,
    plate: float,
    spin: int,
    memory: float,
    mode: int,
    named: Callable[[str, Any], Any] = _as_is,
) -> list[Link]:
    """Every heat path at one state.

    Args:
        net: arrays of the build. [SI]
        stack: the prepared build.
        q: choices, the guard's mode among them. [-]
        y: states in the kernel's order, floats or `Traced`. [K]
        plate: undisturbed plate. [K]
        spin: 1 when the blade turns. [-]
        memory: wax memory. [K]
        mode: held, rising or falling. [-]
        named: given a name and a quantity, returns the quantity to go on with.

    Returns:
        The links.
    """
    p, names = stack.p, node_names(stack, net)
    ambient = air_at_fan(p, plate, spin)
    found: list[Link] = []

    def link(first: str, second: str, says: str, watts: Any, formula: str, source: str) -> None:
        found.append(Link(first, second, says, watts, formula, source))

    secant, slope, scale = (plate_row(net.table, plate, i) for i in range(3))
    flame = p[P.flame_coefficient]
    link(PLATE, "patch", "flame under the foot, no loss above it",
         net.ring_area[0] * (secant * (plate - p[P.room]) - flame * y[0]), "A (h_t (T_p - T_room) + h_g (T_p - T))",
         "carslaw-jaeger")  # fmt: skip
    for i in range(RINGS + 1):
        beyond = y[i + 1] if i < RINGS else 0.0
        second = names[i + 1] if i < RINGS else PLATE
        link(names[i], second, "along the plate", scale * net.ring_g[i] * (y[i] - beyond),
             "s 2 pi k t/ln(r2/r1) (T1 - T2)", "carslaw-jaeger")  # fmt: skip
        if i < RINGS:
            link(names[i + 1], PLATE, "flame and upper side of the ring",
                 scale * net.ring_area[i + 1] * (flame + slope) * y[i + 1], "s A (h_g + h_t) (T - T_p)",
                 "carslaw-jaeger")  # fmt: skip
    lift = named("lift", lift_of(p, pin_travel(net.at, p, q, y, memory, mode)))
    local = plate + y[0]
    link("patch", names[net.at.foot], "seat", seat_heat(net.seat, p, local, y[net.at.foot], lift, touching_of(p, lift)),
         "(T1 - T2)/(1/((h_spots + k/(Y + M + u + g) + h_glow) A) + R_foot)", "yovanovich-1969, yovanovich-gap")  # fmt: skip
    if lift > 0.0:
        tip = tip_temperature(net.at, y, plate)
        link(names[net.at.pushed], "element", "push pin", p[P.pin_conductance] * (tip - y[net.at.element]), "G_pin (T1 - T2)",
             "given")  # fmt: skip
    for i in range(net.links.shape[0]):
        a, b = int(net.links[i, 0]), int(net.links[i, 1])
        bent = 1.0 + net.link_slope[i] * (0.5 * (y[a] + y[b]) - 300.0)
        link(names[a], names[b], _conduction(net, q, i), net.link_g[i] * bent * (y[a] - y[b]),
             "G (1 + b (T_mean - 300 K)) (T1 - T2)", "exact-series")  # fmt: skip
    for s in range(net.skins.shape[0]):
        node = int(net.skins[s, 0])
        if net.skins[s, 1] != LYING:
            link(names[node], AIR, SKINS[int(net.skins[s, 1])], skin_loss(net.skins, net.skin, p, s, y[node], plate, ambient),
                 "A (Nu k/H (T - T_air) + e sigma (T^4 - T_room^4 - F e_p (T_p^4 - T_room^4)))",
                 "churchill-chu-1975, howell-views")  # fmt: skip
    past = gap_heat(net.gap_area, net.gap_thickness, p, q, y[net.at.low], y[net.at.high])
    link(names[net.at.low], names[net.at.high], "past the modules", past,
         "A (k/t (T1 - T2) + sigma (T1^4 - T2^4)/(1/e1 + 1/e2 - 1))", "incropera")  # fmt: skip
    if net.plate_link > 0.0:
        link(PLATE, "element", "holder on the plate", net.plate_link * (plate - y[net.at.element]), "G (T1 - T2)", "given")
    link("element", AIR, "element to air", p[P.element_loss] * (y[net.at.element] - ambient), "G (T1 - T2)", "given")
    _circuit(net, p, q, y, plate, spin, ambient, names, link, named)
    return found


def _conduction(net: Net, q: NDArray[np.int64], i: int) -> str:
    a, b = int(net.links[i, 0]), int(net.links[i, 1])
    if a == net.at.low and b == net.at.high:
        return "clamp screws"
    if b == net.at.element:
        return "holder of the wax element"
    if a == net.at.motor:
        return "strut of the motor"
    if a <= net.at.top and b <= net.at.top:
        return "along the riser"
    return "joint, with half of each side and the spreading"


def _circuit(
    net: Net, p: Floats, q: NDArray[np.int64], y: Any, plate: float, spin: int, ambient: float, names: list[str],
    link: Callable[[str, str, str, Any, str, str], None], named: Callable[[str, Any], Any],
) -> None:  # fmt: skip
    """Modules, motor, blade and what the blade does to the sink."""
    emf, ohms = bank(net.wired, y)
    emf, ohms = named("emf", emf), named("ohms", ohms)
    speed, current, _ = motor_at(p, emf, ohms, y[net.at.motor], ambient, spin)
    speed, current = named("speed", speed), named("current", current)
    stream = named("stream", stream_of(p, speed, ambient)) if speed > 0.0 else 0.0
    terminal = named("terminal", emf - current * ohms)
    for k in range(net.wired.hot.size):
        into, out = kind_heat(net.wired, y, k, terminal)
        hot, cold = names[net.wired.hot[k]], names[net.wired.hot[k] + 1]
        link(hot, CIRCUIT, "modules, heat turned into volts", into - out, "Qh - Qc", "ioffe-1957")
        link(hot, cold, "modules, heat passed on", out, "n (a Tc I + I^2 R/2 + K (Th - Tc))", "ioffe-1957")
    link("sink", AIR, "fins to air",
         sink_conductance(p, q, y[net.at.sink], ambient, stream) * (y[net.at.sink] - ambient),
         "eta A h (T - T_air), h^3 = h_free^3 + h_forced^3", "bar-cohen-1984, teertstra-2000")  # fmt: skip
    winding = p[P.motor_resistance] * drive.copper_factor(y[net.at.motor])
    rubbing = (p[P.motor_friction] + p[P.motor_drag] * speed) * speed if speed > 0.0 else 0.0
    heat = current * current * winding + rubbing + p[P.motor_brush] * abs(current)
    link(CIRCUIT, "motor", "winding, brushes, friction", heat, "I^2 R + (T_f + c w) w + V_b I", "mit-motor-notes")
    link(CIRCUIT, WIRES, "leads", current * current * p[P.leads], "I^2 R", "mit-motor-notes")
    constant = p[P.motor_constant] * drive.magnet_factor(y[net.at.motor], p[P.motor_magnet])
    link(CIRCUIT, MOVED, "blade", constant * current * speed - rubbing, "k_q rho w^3", "uiuc-propellers")
    for s in range(net.skins.shape[0]):
        if net.skins[s, 1] == LYING:
            link("motor", AIR, "body to air, room and plate",
                 motor_skin_loss(net.skin, p, s, y[net.at.motor], plate, ambient, stream),
                 "A (Nu k/D (T - T_air) + glow)", "churchill-bernstein-1977")  # fmt: skip


def network(stack: Stack, plate: float, guard: str = "free") -> Network:
    """The settled operating point at one plate temperature, reached from rest.

    Args:
        stack: a prepared build.
        plate: undisturbed plate. [K]
        guard: "free", "held down" or "held up". [-]

    Returns:
        The network and its netlist.
    """
    state = settled_state(stack, plate, guard)
    net, q = assemble(stack.p, state.q), state.q
    y, mode = state.y, state.mode
    memory = state.memory
    links = tuple(links_at(net, stack, q, y, plate, state.spin, memory, mode))
    names = node_names(stack, net)
    nodes = {name: float(y[i]) + (plate if i <= RINGS else 0.0) for i, name in enumerate(names)}
    nodes |= {PLATE: plate, AIR: float(air_at_fan(stack.p, plate, state.spin)), ROOM: float(stack.p[P.room])}
    left = {name: 0.0 for name in [*names, CIRCUIT]}
    for one in links:
        for end, sign in ((one.first, -1.0), (one.second, 1.0)):
            if end in left:
                left[end] += sign * float(one.watts)
    netlist = _netlist(net, stack, q, state, plate, names)
    return Network(plate, _outcome(state.outcome), nodes, links, left, netlist)


def _outcome(rest: Rest) -> str:
    return rest.value


def _netlist(net: Net, stack: Stack, q: NDArray[np.int64], state: Any, plate: float, names: list[str]) -> str:
    """The same links as behavioural sources: 1 V is 1 K above the reference, 1 A is 1 W."""
    tracer = Tracer()
    reference = float(stack.p[P.room])
    traced = [
        Traced(f"V({name})", float(state.y[i]), tracer)
        if i <= RINGS
        else Traced(f"(V({name}) + {reference:.17g})", float(state.y[i]), tracer)
        for i, name in enumerate(names)
    ]
    mode = state.mode if state.mode in (RISING, HELD) else state.mode
    links = links_at(net, stack, q, traced, plate, state.spin, state.memory, mode, tracer.named)
    lines = [
        f"* hobwind network, stove plate {plate - 273.15:.2f} degC; settled, {'turning' if state.spin else 'standing'}",
        f"* one volt is one kelvin above {reference - 273.15:.3f} degC; patch and rings: kelvin above the plate",
        "* one ampere is one watt; each B source is one law",
        *tracer.lines,
    ]
    fixed = {PLATE, AIR, ROOM, CIRCUIT, MOVED, WIRES}
    for i, one in enumerate(links):
        first = "0" if one.first in fixed else one.first
        second = "0" if one.second in fixed else one.second
        if first == second:
            continue
        text = one.watts.text if isinstance(one.watts, Traced) else f"{float(one.watts):.17g}"
        lines.append(f"* {one.says}: {one.formula}")
        lines.append(f"Bheat{i + 1} {first} {second} I={text}")
    lifted = int(any(line.startswith("Blift ") for line in tracer.lines))
    nodes = {name: float(state.y[i]) - (0.0 if i <= RINGS else reference) for i, name in enumerate(names)}
    guess = " ".join(
        f"V({name})={(0.0 if i <= RINGS and not lifted else round(nodes[name], -1 + lifted)):.0f}"
        for i, name in enumerate(names)
    )
    # Coarse starting values only: tens of kelvin, one digit for helpers; a lifted seat wants whole kelvin, because
    # its law falls off by orders within micrometres. A simulator has to find the rest itself.
    helpers = [f".nodeset V({name})={value:.{1 + 3 * lifted}g}" for name, value in tracer.guesses]
    lines += [f".nodeset {guess}", *helpers, ".options reltol=1e-9 abstol=1e-9 vntol=1e-9 gmin=1e-15 itl1=2000", ".op"]
    lines += [
        ".control",
        "op",
        "set numdgt=10",
        "print " + " ".join(f"V({name})" for name in names),
        ".endc",
        ".end",
        "",
    ]
    return "\n".join(lines)
