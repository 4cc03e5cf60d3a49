"""From the table of a build file to a `Build`: every section read, every fault noted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ..units import plain
from .handing import hand_on, measured
from .pin import pin_depth, usual_pin
from .reader import Notes, Section
from .sections import (
    BEFORE_LIMITS,
    BEFORE_SINK,
    JOINED,
    BladeUse,
    Build,
    Guard,
    JointFace,
    Joints,
    ModuleUse,
    MotorUse,
    RiserPart,
    Screws,
    Seat,
    SinkUse,
    Slab,
    Stove,
    Tightening,
    Wish,
)
from .shim import shimmed
from .strings import read_wiring

SECTIONS = (
    "stove", "wish", "riser", "seat", "joint", "hot_plate", "modules", "wiring", "clamp", "surround", "spreader", "sink",
    "screws", "motor", "blade", "guard", "fan", "measured", "hand_on",
)  # fmt: skip
ZERO = 273.15
MOST_RISERS, MOST_KINDS = 4, 4
RISER_SHAPES = ("cylinder", "block")
GUARD_KINDS = ("none", "central lift", "edge tilt", "lever tilt")
HELD_IN = ("riser", "hot plate", "spreader", "sink", "plate")
TOOLS = ("torque wrench", "spring scale on the key", "feel")
PIN_FITS = ("H7/g6", "H8/f7", "H9/d9")
STANDS = ("guide", "three pins", "foot")
BY_SCREWS = "screws"  # of hot_plate.held: which ones, the shop chooses
HELD = (BY_SCREWS, "M3", "M4", "M5", "M6", "M8", *JOINED)
UNREAD = plain(0.0)  # holds the place of what depends on the rest of its section
OWN, NEW = "its own", "new"  # of [fan] modules: those that a found fan has, or others that it is opened for
TO_MAKE, FOUND = "to be made", "found"  # of [fan] made: a fan that is still to be made, or one that stands there already


def build_from_table(table: Mapping[str, Any], file: str, notes: Notes) -> Build:
    """Read every section of a build file's table.

    Args:
        table: as the TOML reader gives it.
        file: what to call the file in messages.
        notes: collects problems and records.

    Returns:
        The build; when problems were noted, some of its values only hold places.
    """
    top = Section(notes, "file", table)
    top.known += [*SECTIONS, "format"]
    name = top.words("name", "a fan", 80)
    says = top.words("says", "")
    top.close()
    screws = table.get("screws")
    hot_plate, spreader = _slab(notes, table, "hot_plate"), _slab(notes, table, "spreader")
    modules = _modules(notes, table.get("modules"))
    sink = _sink(notes, table.get("sink"))
    riser = _riser(notes, table.get("riser"))
    joint = _joints(notes, table.get("joint"))
    clamp = Section(notes, "clamp", table.get("clamp"))
    pressure = clamp.quantity("pressure", "pressure", "1.0 ± 0.4 MPa", 1e3, 1e7, "assembly-notes")
    tightening = Tightening(
        torque=clamp.maybe("torque", "torque", 0.01, 100.0),
        friction=clamp.quantity("friction", "number", "0.13 ± 0.05", 0.02, 0.6),
        tool=clamp.choice("tool", TOOLS, "spring scale on the key"),
    )
    clamp.close()
    surround_section = Section(notes, "surround", table.get("surround"))
    fill = surround_section.table.get("fill", "air")
    surround = None if fill == "air" else surround_section.named("fill", "lagging", None)
    surround_section.known.append("fill")
    surround_section.close()
    body = Section(notes, "fan", table.get("fan"))
    mass = body.maybe("mass", "mass", 0.05, 30.0)
    made = body.words("made", TO_MAKE, 40)
    if made not in (TO_MAKE, FOUND):
        notes.complain("fan.made", f'got "{made}"; "{TO_MAKE}" or "{FOUND}" is wanted')
    inside = body.words("modules", OWN, 40)
    if inside not in (OWN, NEW):
        notes.complain("fan.modules", f'got "{inside}"; "{OWN}" or "{NEW}" is wanted')
    elif inside == NEW and made != FOUND:
        notes.complain("fan.modules", f'"{NEW}" is said of a found fan that is opened for them; write made = "{FOUND}" too')
    body.close()
    seat = _seat(notes, table.get("seat"))
    return Build(
        name=name,
        says=says,
        file=file,
        stove=shimmed(_stove(notes, table.get("stove")), seat),
        wish=_wish(notes, table.get("wish")),
        riser=riser,
        seat=seat,
        joint=joint,
        hot_plate=hot_plate,
        modules=modules,
        wiring=read_wiring(notes, table.get("wiring"), modules),
        clamp_pressure=pressure,
        tightening=tightening,
        surround=surround,
        spreader=spreader,
        sink=sink,
        screws=None if screws is None else _screws(notes, screws),
        motor=_motor(notes, table.get("motor")),
        blade=_blade(notes, table.get("blade")),
        guard=_guard(notes, table.get("guard"), riser),
        measured=measured(notes, table.get("measured")),
        hand_on=hand_on(notes, table.get("hand_on")),
        mass=mass,
        records=tuple(notes.records),
        found=made == FOUND,
        new_modules=inside == NEW,
    )


def _stove(notes: Notes, table: object) -> Stove:
    s = Section(notes, "stove", table)
    stove = Stove(
        room=s.quantity("room", "temperature", "20 ± 3 °C", ZERO - 30, ZERO + 45, "practice"),
        altitude=s.quantity("altitude", "length", "100 m", -400.0, 5000.0, "practice"),
        usual_plate=s.quantity("usual_plate", "temperature", "230 °C", ZERO + 60, ZERO + 450, "practice"),
        worst_plate=s.quantity("worst_plate", "temperature", "330 °C", ZERO + 80, ZERO + 500, "practice"),
        plate_material=s.named("plate_material", "material", "grey cast iron"),
        plate_finish=s.named("plate_finish", "finish", "stove paint"),
        plate_thickness=s.quantity("plate_thickness", "length", "6 ± 1 mm", 1e-3, 0.05),
        plate_front=s.quantity("plate_front", "length", "200 ± 50 mm", 0.02, 2.0),
        plate_side=s.quantity("plate_side", "length", "250 ± 50 mm", 0.02, 2.0),
        flame_coefficient=s.quantity("flame_coefficient", "heat_transfer_coefficient", "35 ± 15 W/(m² K)", 1.0, 500.0),
        coating=s.quantity("coating", "length", "0.05 ± 0.03 mm", 0.0, 5e-3),
        coating_conductivity=s.quantity("coating_conductivity", "conductivity", "0.3 ± 0.1 W/(m K)", 0.01, 500.0),
        plume_still=s.quantity("plume_still", "number", "0.12 ± 0.05", 0.0, 0.6),
        plume_blown=s.quantity("plume_blown", "number", "0.05 ± 0.025", 0.0, 0.6),
    )
    s.close()
    return stove


def _wish(notes: Notes, table: object) -> Wish:
    s = Section(notes, "wish", table)
    wish = Wish(
        air=s.quantity("air", "air_flow", "40 m³/h", 0.0, 10.0, "practice"),
        starts_by=s.quantity("starts_by", "temperature", "130 °C", ZERO + 30, ZERO + 400, "practice"),
    )
    s.close()
    return wish


def _riser(notes: Notes, rows: object) -> tuple[RiserPart, ...]:
    if isinstance(rows, Mapping):
        rows = [rows]
    if not isinstance(rows, list) or not 1 <= len(rows) <= MOST_RISERS:
        got = "nothing" if rows is None else f"{len(rows)} of them" if isinstance(rows, list) else repr(rows)[:60]
        notes.complain("riser", f"got {got}; one to {MOST_RISERS} sections headed [[riser]] are wanted, from the foot up")
        rows = []
    parts = []
    for i, row in enumerate(rows):
        s = Section(notes, f"riser[{i + 1}]", row)
        shape = s.choice("shape", RISER_SHAPES, "cylinder")
        if s.table.get("shape", shape) != shape:  # told already; its sizes cannot be judged
            s.known += ["diameter", "width", "depth"]
            width = depth = plain(0.05)
        elif shape == "cylinder":
            width = depth = s.quantity("diameter", "length", None, 5e-3, 0.3)
        else:
            width = s.quantity("width", "length", None, 5e-3, 0.3)
            depth = s.quantity("depth", "length", None, 5e-3, 0.3)
        length = s.quantity("length", "length", None, 2e-3, 0.5)
        material = s.named("material", "material", None)
        finish = _own_finish(s, material)
        s.close()
        parts.append(RiserPart(shape, width, depth, length, material, finish))
    return tuple(parts)


def _own_finish(section: Section, material: Any) -> Any:
    """The finish given, else the material's; None when the material is unknown, which is told already."""
    section.known.append("finish")
    if section.has("finish"):
        return section.named("finish", "finish", None)
    return None if material is None else material.finish


def _seat(notes: Notes, table: object) -> Seat:
    s = Section(notes, "seat", table)
    seat = Seat(
        roughness=s.quantity("roughness", "roughness", "4 ± 2 µm", 0.05e-6, 200e-6),
        slope=s.quantity("slope", "number", "0.25 ± 0.08", 0.01, 1.5),
        flatness=s.quantity("flatness", "length", "0.10 ± 0.05 mm", 0.0, 3e-3),
        bow=s.quantity("bow", "number", "0.2 ± 0.1", 0.0, 1.0),
        settle=s.quantity("settle", "length", "20 ± 10 µm", 1e-6, 1e-3),
        shim=s.named("shim", "sheet", None) if s.has("shim") else None,
        shim_count=s.count("shim_count", 1, 1, 20),
    )
    s.known.append("shim")
    s.close()
    return seat


def _joints(notes: Notes, table: object) -> Joints:
    s = Section(notes, "joint", table)
    faces = {}
    for name in ("riser", "hot_plate", "hot", "cold", "sink"):
        s.known.append(name)
        inner = Section(notes, f"joint.{name}", s.table.get(name))
        faces[name] = JointFace(_fill(notes, inner), inner.named("surface", "surface", "milled"))
        inner.close()
    s.close()
    return Joints(**faces)


def _fill(notes: Notes, section: Section) -> Any:
    section.known.append("fill")
    given = section.table.get("fill", "zinc oxide grease")
    place = f"{section.place}.fill"
    if given == "dry":
        notes.record(place, "dry", "given")
        return None
    name = given.get("part") if isinstance(given, Mapping) else given
    kinds = [kind for kind in ("compound", "sheet") if name in notes.shelf.names(kind)]
    if isinstance(given, Mapping) and name is None:
        kinds = ["sheet"] if "thickness" in given else ["compound"]
    if not isinstance(name, str) and not isinstance(given, Mapping) or not kinds:
        both = [*notes.shelf.names("compound"), *notes.shelf.names("sheet")]
        listed = ", ".join(f'"{one}"' for one in ["dry", *both])
        notes.complain(place, f"got {repr(given)[:60]}; one of {listed} is wanted")
        return None
    section.table["fill"] = given
    return section.named("fill", kinds[0], None)


def _slab(notes: Notes, table: Mapping[str, Any], key: str) -> Slab | None:
    if key not in table:
        return None
    s = Section(notes, key, table[key])
    material = s.named("material", "material", None)
    finish = _own_finish(s, material)
    held = s.choice("held", HELD, BY_SCREWS) if key == "hot_plate" else BY_SCREWS
    slab = Slab(
        width=s.quantity("width", "length", None, 5e-3, 0.5),
        depth=s.quantity("depth", "length", None, 5e-3, 0.5),
        thickness=s.quantity("thickness", "length", None, 5e-4, 0.1),
        material=material,
        finish=finish,
        held=None if held == BY_SCREWS else held,
    )
    s.close()
    return slab


def _modules(notes: Notes, rows: object) -> tuple[ModuleUse, ...]:
    if isinstance(rows, Mapping):
        rows = [rows]
    if not isinstance(rows, list) or not 1 <= len(rows) <= MOST_KINDS:
        got = "nothing" if rows is None else f"{len(rows)} of them" if isinstance(rows, list) else repr(rows)[:60]
        notes.complain("modules", f"got {got}; one to {MOST_KINDS} sections headed [[modules]] are wanted, one a kind")
        rows = []
    uses = []
    for i, row in enumerate(rows):
        s = Section(notes, f"modules[{i + 1}]", row)
        count = s.count("count", 1, 1, 16)
        part = s.whole_part("module")
        s.close()
        uses.append(ModuleUse(part, count))
    return tuple(uses)


def _sink(notes: Notes, table: object) -> SinkUse:
    s = Section(notes, "sink", table)
    use = SinkUse(
        on_base=s.quantity("on_base", "number", "0.75 ± 0.15", 0.05, 1.2),
        in_stream=s.quantity("in_stream", "number", "0.7 ± 0.15", 0.0, 1.0),
        bypass=s.quantity("bypass", "number", "0.6 ± 0.2", 0.01, 1.5),
        blown_power=s.quantity("blown_power", "number", "0.6 ± 0.15", 0.1, 1.0),
        fins_cut=s.quantity("fins_cut", "length", "0 mm", 0.0, 0.05, "practice"),
        part=s.whole_part("sink"),
    )
    s.close()
    return use


def _screws(notes: Notes, table: object) -> Screws:
    s = Section(notes, "screws", table)
    part = s.whole_part("screw")
    size = part.diameter.value if part is not None else 4e-3
    s.known.append("bush")
    bush = s.named("bush", "bush", None) if s.has("bush") else None
    clear = 1.1 * size if bush is None else bush.outer.value + 2e-4  # a bush goes into the hole too
    screws = Screws(
        part=part,
        count=s.count("count", 4, 1, 12),
        free_length=s.quantity("free_length", "length", None, 1e-3, 0.2),
        hole=s.quantity("hole", "length", f"{clear * 1e3:.2f} mm", 1e-3, 0.05, "practice" if bush else "iso-273"),
        circle=s.maybe("circle", "length", 5e-3, 0.5),
        across=s.maybe("across", "length", 5e-3, 0.5),
        along=s.maybe("along", "length", 5e-3, 0.5),
        head_contact=s.quantity("head_contact", "heat_transfer_coefficient", "5000..20000 W/(m² K)", 10.0, 1e6),
        bush=bush,
        washer=s.named("washer", "washer", None) if s.has("washer") else None,
        washers=s.count("washers", 1, 1, 40),
        nested=s.count("nested", 1, 1, 6),
        engaged=s.maybe("engaged", "length", 5e-4, 0.1),
        strength=s.maybe("strength", "pressure", 2e7, 2e9),
    )
    s.known.append("washer")
    round_, straight = s.has("circle"), (s.has("across"), s.has("along"))
    if round_ == any(straight) or (not round_ and not all(straight)):
        notes.complain("screws", 'give either circle = "80 mm", or across and along (centre to centre) of four screws')
    s.close()
    return screws


def _motor(notes: Notes, table: object) -> MotorUse:
    s = Section(notes, "motor", table)
    use = MotorUse(
        mount_conductance=s.quantity("mount_conductance", "thermal_conductance", "0.05 ± 0.02 W/K", 1e-4, 10.0),
        emissivity=s.quantity("emissivity", "number", "0.3 ± 0.1", 0.01, 1.0),
        part=s.whole_part("motor"),
    )
    s.close()
    return use


def _blade(notes: Notes, table: object) -> BladeUse:
    s = Section(notes, "blade", table)
    height = s.quantity("height", "length", "140 ± 20 mm", 0.02, 1.0)
    before = s.quantity("before_sink", "length", BEFORE_SINK, *BEFORE_LIMITS, "practice")
    use = BladeUse(s.whole_part("blade"), height, before)
    s.close()
    return use


def _guard(notes: Notes, table: object, riser: tuple[RiserPart, ...]) -> Guard:
    if table is None:
        table = {"kind": "none"}
    s = Section(notes, "guard", table)
    kind = s.choice("kind", GUARD_KINDS, None)
    tall = sum(part.length.value for part in riser)
    half = f"{max(0.5 * tall, 1e-3) * 1e3:.3g} mm"
    element = s.named("element", "wax", None) if kind != "none" else None
    s.known.append("element")
    height = s.quantity("element_height", "length", half, 0.0, 1.0, "practice")
    # A block tilts about its whole edge, a round bar about one point of its rim.
    edge = f"{riser[0].depth.value * 1e3!r} mm" if riser and riser[0].shape == "block" else "0 mm"
    guard = Guard(
        kind=kind,
        element=element,
        held_in=s.choice("held_in", HELD_IN, "riser"),
        element_height=height,
        holder_conductance=s.quantity("holder_conductance", "thermal_conductance", "0.25 ± 0.10 W/K", 1e-3, 50.0),
        element_loss=s.quantity("element_loss", "thermal_conductance", "0.010 ± 0.004 W/K", 0.0, 5.0),
        lost_motion=s.quantity("lost_motion", "length", "0.5 ± 0.2 mm", 0.0, 0.05, "practice"),
        lever_ratio=s.quantity("lever_ratio", "number", "1", 0.05, 20.0, "practice"),
        stop=s.quantity("stop", "length", "6 mm", 1e-4, 0.1, "practice"),
        stands=s.choice("stands", STANDS, "guide"),
        foot_radius=s.quantity("foot_radius", "length", "25 mm", 1e-3, 0.3, "practice"),
        pivot_distance=s.quantity("pivot_distance", "length", "50 mm", 2e-3, 0.5, "practice"),
        pivot_edge=s.quantity("pivot_edge", "length", edge, 0.0, 0.5, "practice"),
        pin_offset=s.quantity("pin_offset", "length", "0 mm", 0.0, 0.3, "practice"),
        pin_diameter=s.quantity("pin_diameter", "length", "5 mm", 5e-4, 0.03, "practice"),
        pin_length=UNREAD,
        pin_bore=UNREAD,
        pin_material=s.named("pin_material", "material", "stainless 304"),
        pin_tip=s.quantity("pin_tip", "thermal_conductance", "0.02..0.10 W/K", 1e-5, 10.0),
        spring_force=s.quantity("spring_force", "force", "8 ± 3 N", 0.0, 500.0),
        spring_rate=s.quantity("spring_rate", "spring_rate", "500 ± 200 N/m", 0.0, 1e6),
        plate_slope=s.quantity("plate_slope", "angle", "1 ± 0.4 °", 0.0, 0.3, "practice"),
        piston_out=s.quantity("piston_out", "length", "0 mm", 0.0, 0.05, "practice"),
        carrier_length=s.maybe("carrier_length", "length", 5e-4, 0.2),
        carrier_diameter=s.maybe("carrier_diameter", "length", 2e-3, 0.1),
        carrier_square=s.quantity("carrier_square", "length", "0.05 mm", 0.0, 5e-3, "practice"),
        pin_fit=s.choice("pin_fit", PIN_FITS, "H8/f7"),
        over_travel=s.quantity("over_travel", "length", "0 mm", 0.0, 0.05, "practice"),
    )
    pin = s.quantity("pin_length", "length", _typed(usual_pin(guard, tall)), 1e-3, 0.5, "practice")
    bore = s.quantity("pin_bore", "length", _typed(pin_depth(guard, pin.value)), 1e-3, 0.5, "practice")
    s.close()
    return replace(guard, pin_length=pin, pin_bore=bore)


def _typed(length: float) -> str:
    """A length as a file would have it, to a hundredth of a millimetre."""
    return f"{round(length * 1e3, 2)!r} mm"
