"""The parts list: what each part is, where to look for it in scrap, how to test it, what to buy instead, tools.

Prices are a memory of what small sellers asked, in euros, to within a factor of two.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..build import Build
from ..build.motor_strut import strut_for
from ..lifting.clip import no_clip
from ..lifting.foot import strip_for
from ..lifting.train import steel_length, stub_width, train
from .clamp import Clamp
from .fins_cut import cut_says
from .guard_small import small_parts
from .holes import held_by, size
from .order import Plan
from .order_found import NEW
from .order_guard import guard_parts
from .order_plan import fan_parts
from .section import Section
from .under_heads import besides, bush_says, screw_says, spacer_says, washer_says


@dataclass(frozen=True)
class Row:
    """One line of the list; `low` and `high` are euros when bought, `test` a bench procedure or what to do."""

    part: str
    what: str
    count: int
    scrap: str
    test: str
    low: float
    high: float


# kind: where in scrap, how to test, euros low and high each. Source: from memory.
LOOK = {
    "riser": ("bar ends from a lathe, bus bars, an old cylinder head", "hobwind bench metal: mass and water tell the alloy", 5, 20),
    "hot plate": ("plate offcuts, a cooker's base plate", "hobwind bench metal", 3, 12),
    "plate screws": ("kitchen machines, computer cases; nothing plated", "the mark on its head tells the strength: A2-70, 8.8", 0.1, 0.5),
    "modules": ("electric coolboxes, water dispensers, dehumidifiers", "hobwind bench module; ohms before and after heating", 4, 15),
    "spreader": ("plate offcuts", "hobwind bench metal", 3, 12),
    "sink": ("audio amplifiers, power supplies, car amplifiers", "fins straight, base flat within 0.05 mm", 5, 25),
    "clamp screws": ("cap screws; stainless carries least heat", "magnet: stainless hardly sticks", 0.1, 0.5),
    "bushes": ("turn from PEEK bar; transistor mountings for the cool side only", "rub with a hot iron: must not soften", 0.5, 3),
    "washers": ("clutches and small gears of cordless drills", "press between vice jaws: springs back to its height", 0.1, 0.6),
    "spacers": ("brass or steel tube, a drilled bar end, nuts with the thread drilled out", "all alike by calipers, ends square", 0.2, 1),
    "leads": ("stage lamps, ovens, irons: silicone or glass-braid wire", "flame for a second: silicone chars white, PVC drips", 0.5, 2),
    "motor strut": ("flat bar, aluminium strip of a window or a shelf", "springs back when bent by hand", 0.5, 3),
    "motor": ("disc players, cassette decks, printers", "hobwind bench motor: turns from 0.5 V and less", 2, 8),
    "blade": ("sheet offcuts, ventilator rotors", "balance on a needle; no crack at the hub", 2, 10),
    "lagging": ("cooker doors, boiler jackets; no lagging older than 1990 (asbestos)", "glows clean, no smoke", 1, 5),
    "wax element": ("engine thermostats: tractors, boats, cars", "hobwind bench wax: pan of water, up and down", 5, 20),
    "push pin": ("valve stems, drill shanks, stainless rod", "rolls straight on glass", 1, 4),
    "return spring": ("valve of the same thermostat, pens, locks", "kitchen scale at two lengths", 0.5, 3),
    "thin foot": ("kitchen ware, sheet offcuts", "", 0.5, 2),
    "over-travel spring": ("pumps, lawn mower engines, door closers", "kitchen scale at two lengths", 1, 4),
    "over-travel capsule": ("tube of a gas lighter or an aerial", "", 1, 5),
    "stop sleeve": ("tube, a drilled bar end", "", 0.5, 2),
    "stop collar": ("shaft collar of a printer, brass insert of a plug", "", 0.5, 2),
    "bridge": ("flat bar", "", 0.5, 2),
    "bridge studs": ("studding, long screws", "", 0.3, 1),
    "stud nuts": ("computer cases, furniture", "", 0.1, 0.3),
    "element clip": ("aluminium flat bar, a heat sink's base", "", 0.5, 3),
    "clip screws": ("computer cases, kitchen machines", "", 0.1, 0.5),
    "keeper": ("flat bar", "", 0.2, 1),
    "cooling ring": ("aluminium sheet, a tin lid that is no tinplate", "", 0.5, 2),
    "bead": ("beads of a heating element, an old fuse holder", "", 0.5, 2),
    "lever": ("flat bar", "", 0.5, 3),
    "pivot pin": ("drill shank, a roll pin", "", 0.2, 1),
    "lever cheeks": ("flat bar", "", 0.3, 1),
    "guard base": ("a computer case's back, a shelf bracket: 3 mm sheet", "", 1, 5),
    "guide posts": ("printer rails, stainless rod", "", 1, 4),
    "lower eye": ("flat bar, angle", "", 0.5, 2),
    "upper eye": ("flat bar, angle", "", 0.5, 2),
    "cheek screws": ("computer cases, kitchen machines", "", 0.1, 0.5),
    "eye screws": ("computer cases, kitchen machines", "", 0.1, 0.5),
    "carrier tube": ("brass pipe, bar end drilled through", "ends square on a surface plate", 1, 5),
}  # fmt: skip
UNDER_HEADS = {"clamp screws": screw_says, "bushes": bush_says, "washers": washer_says, "spacers": spacer_says}
OPENED = "A found fan: {} are its own and stay; its clamp is opened for new modules. In the joints: {}. New bushes only for soft ones."
OWN = (
    "A found fan: {} are its own and stay as they are. Dead modules are another matter: see which fit instead, and what opening the clamp "
    "then asks, among the found fan's modules."
)
TOOLS = (
    "drill press, vice, centre punch, scriber, square, calipers",
    "hacksaw, files, drills and taps of the hole sheet, spanners, hex keys, pliers",
    "plate glass 200 x 200 mm, wet-and-dry, marking blue, feelers",
    "meter (ohms, volts), kitchen scale, thermometer, pan, soldering iron",
    "gloves, glasses, spirit and rags; stone slab to set a hot fan on",
)


def _what(build: Build, part: str) -> tuple[str, int]:
    """What this build asks for under a name, and how many."""

    def mm(*lengths: float) -> str:
        return " x ".join(f"{1e3 * one:g}" for one in lengths) + " mm"

    if part.startswith("riser"):
        piece = build.riser[int(part.split()[-1]) - 1 if part[-1].isdigit() else 0]
        across = f"Ø{mm(piece.width.value)}" if piece.shape == "cylinder" else mm(piece.width.value, piece.depth.value)
        return f"{piece.material.name}, {across}, sawn to {mm(piece.length.value)}", 1
    for name, slab in (("hot plate", build.hot_plate), ("spreader", build.spreader)):
        if part == name and slab is not None:
            return f"{slab.material.name}, {mm(slab.width.value, slab.depth.value, slab.thickness.value)}", 1
    screws, guard = build.screws, build.guard
    if part == "plate screws":
        held = held_by(build)
        return ("", 0) if held is None else (f"{held.called}, hexagon socket, {held.metal.name}", len(held.places))
    if screws is not None and part in UNDER_HEADS:
        each = 1
        if part == "washers" and screws.washer is not None:
            each = screws.washers * (screws.nested if screws.washer.dish is not None else 1)
        return UNDER_HEADS[part](build), screws.count * each
    if part == "modules":
        kinds = " and ".join(f"{use.count} {use.part.name}" for use in build.modules)
        return kinds, sum(use.count for use in build.modules)
    strut = strut_for(build)
    simple = {
        "motor strut": "" if strut is None else strut.says,
        "sink": build.sink.part.name,
        "motor": build.motor.part.name,
        "blade": build.blade.part.name,
        "lagging": build.surround.name if build.surround is not None else "",
        "leads": f"{build.wiring.wire_area.value * 1e6:g} mm², {2e3 * build.wiring.lead_length.value:.0f} mm in all",
        "wax element": guard.element.name if guard.element is not None else "",
        "push pin": f"{guard.pin_material.name}, Ø{mm(guard.pin_diameter.value)}, {mm(guard.pin_length.value)} finished",
        "carrier tube": mm(guard.carrier_length.value) + " long" if guard.carrier_length is not None else "",
    }
    small = next((one for one in small_parts(build) if one.name == part), None)
    return (simple.get(part, ""), 1) if small is None else (small.what, small.count)


def parts_list(build: Build, made: Plan) -> tuple[Row, ...]:
    """The list of one build.

    Args:
        build: a checked build.
        made: its build order, whose parts are listed.

    Returns:
        Rows in the order of the stack.
    """
    rows, tests = [], {one.name: one.test for one in small_parts(build)}
    for part in made.parts:
        scrap, test, low, high = LOOK["riser" if part.startswith("riser") else part]
        test = tests.get(part, test)
        what, count = _what(build, part)
        if part == "sink" and cut_says(build):
            what = f"{what}; {cut_says(build)}"
        if part == "push pin":  # here only: whether another build wants another pin, its own length decides
            what += _of_it(build)
        rows.append(Row(part, what, count, scrap, test, float(low), float(high)))
    return tuple(rows)


def guard_extras(build: Build) -> list[str]:
    """What a guard needs beside its listed parts, each with the figure that it is reckoned with."""
    guard = build.guard
    if guard.element is None:
        return []
    found = []
    if no_clip(build):
        found.append(
            f"clip that holds the wax element to the side of the {guard.held_in}: it finds no room there, see the stack-up"
        )
    if guard.held_in == "plate" and strip_for(build) is None:
        found.append(
            f"thin foot for the wax element, {1e3 * guard.holder_conductance.value:.0f} mW/K: no strip of usual sheet carries that"
        )
    if guard.kind != "central lift" and build.riser[0].shape == "cylinder" and guard.pivot_edge.value > 0.0:
        found.append(f"strip {1e3 * guard.pivot_edge.value:.0f} mm long under the round foot's rim, which it tilts about")
    if guard.kind == "central lift" and guard.stands != "guide":
        apart = "foot of" if guard.stands == "foot" else "three pins on a circle of"
        found.append(f"{apart} {1e3 * guard.foot_radius.value:.0f} mm radius, on which the lifted fan stands")
    return found


def _of_it(build: Build) -> str:
    """How much of a push pin is steel, where capsule or bead make up the rest."""
    made = train(build)
    if made is None:
        return ""
    steel = steel_length(build.guard, made)
    rest = " and ".join(name for name, there in (("capsule", made.capsule), ("bead", made.bead)) if there)
    return f", {1e3 * steel:.1f} of it steel, the rest {rest}" if rest else ""


def used_up(build: Build) -> list[str]:
    """What the guard's steps use up, besides its listed parts."""
    names, found = {one.name for one in small_parts(build)}, list[str]()
    if names & {"over-travel capsule", "bead"}:
        found.append("silver solder and flux, a torch for it")
    if "bead" in names:
        found.append(
            f"stainless rod Ø{1e3 * stub_width(build.guard):g} for the bead's stub, exhaust cement (a day in the warm before it is fired)"
        )
    if "cooling ring" in names:
        found.append("filled grease under the ring, thin")
    if "pivot pin" in names:
        found.append(
            "2 split pins and 2 washers for the pivot pin, their holes 2 mm from its ends, drilled half as wide as the pin at most"
        )
    return found


def _many(count: int) -> str:
    return f"{count} x " if count > 1 else ""


def changed_parts(before: Build, after: Build) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What turning one build into another takes, and what it leaves over.

    Args:
        before: a checked build.
        after: another.

    Returns:
        Parts to get or make, and parts no longer wanted: "wax element: wax 88", each with its count where there are several.
    """

    def told(build: Build) -> dict[str, str]:
        # Small parts are compared by name: they are sized to the gram, and a few grams more ask for no other spring.
        small = {one.name: f"{one.name}: {_many(one.count)}{one.sizes}, {one.material}" for one in small_parts(build)}
        rows = [(part, *_what(build, part)) for part in (*fan_parts(build), *guard_parts(build)) if part not in small]
        found = [f"{part}: {_many(count) if part != 'modules' else ''}{what}" for part, what, count in rows]
        found += [f"fins of the sink: {cut_says(build)}"] if cut_says(build) else []
        found += guard_extras(build) + [f"between parts: {name}" for name in fills(build)]
        return {one: one for one in found} | small

    old, new = told(before), told(after)
    hub = after.blade.height.value
    raised = () if hub == before.blade.height.value else (f"motor and blade: their hub {size(hub)} mm over the stove plate",)
    return (*(one for key, one in new.items() if key not in old), *raised), tuple(
        one for key, one in old.items() if key not in new
    )


def fills(build: Build) -> list[str]:
    """Compounds and sheets of the joints, each once."""
    joints = build.joint
    used = [joints.hot, joints.cold] + ([joints.hot_plate] if build.plate_joint else [])
    used += [joints.riser] if len(build.riser) > 1 else []
    used += [joints.sink] if build.spreader is not None else []
    return list(dict.fromkeys(joint.fill.name for joint in used if joint.fill is not None))


def _discs_besides(build: Build, squeezed: Clamp | None) -> list[str]:
    if squeezed is None or squeezed.suggested is None or squeezed.stack is not None:
        return []
    told = besides(build, squeezed.suggested, squeezed.preload)
    return [told] if told else []


def _of_the_fan(build: Build, between: str) -> list[str]:
    """What is in the joints, and what of a found fan is its own."""
    if not build.found:
        return [f"In the joints: {between}."]
    own = ", ".join(part for part in fan_parts(build) if not (build.new_modules and part in NEW))
    return [OPENED.format(own, between)] if build.new_modules else [OWN.format(own)]


def parts_section(build: Build, rows: tuple[Row, ...], squeezed: Clamp | None = None) -> Section:
    """The parts list's page.

    Args:
        build: the build.
        rows: its list.
        squeezed: its clamp worked through, for disc washers that it asks for.

    Returns:
        The section.
    """
    lines = []
    for row in rows:
        many = f"{row.count} x " if row.count > 1 and row.part != "modules" else ""
        lines += [f"{row.part}: {many}{row.what}", f"   look in: {row.scrap}", f"   test: {row.test}"]
    low, high = sum(r.low * r.count for r in rows), sum(r.high * r.count for r in rows)
    extras = guard_extras(build)
    between = ", ".join(fills(build)) or "nothing: all joints dry"
    lines += [
        *_of_the_fan(build, between),
        *([f"For the guard besides: {'; '.join(extras)}."] if extras else []),
        *([f"Used up by the guard: {'; '.join(spent)}."] if (spent := used_up(build)) else []),
        *_discs_besides(build, squeezed),
        f"All bought new: about {low:.0f} to {high:.0f} euros (a rough memory of prices).",
        "Tools:",
    ]
    lines += [f"   {tool}" for tool in TOOLS]
    data = {
        "rows": [
            {"part": r.part, "what": r.what, "count": r.count, "look_in": r.scrap, "test": r.test, "price_low_EUR": r.low,
             "price_high_EUR": r.high}
            for r in rows
        ],
        "joints": fills(build),
        "tools": list(TOOLS),
    }  # fmt: skip
    return Section("parts", "Parts and tools", tuple(lines), data, ())
