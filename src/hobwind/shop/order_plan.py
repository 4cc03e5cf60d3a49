"""The steps of one build, from its parts: what any fan of this kind needs, and what this one adds."""

from __future__ import annotations

from ..build import Build
from ..build.motor_strut import strut_for
from .clamp import Clamp
from .clamp_sheet import order_of
from .fins_cut import cut_says
from .holes import held_by
from .order import Plan, Step, figures, in_order, way_back
from .order_found import NEW, found_order
from .order_guard import guard_checks, guard_parts, guard_steps, proof, proof_tools
from .plate_words import between_risers, plate_checks, plate_step
from .section import Section
from .stackup import Stackup
from .under_heads import spacer_for

COMPOUND = "compound on both module faces"
BOX = "[ ]"  # to tick; the dossier draws it


def parts_of(build: Build) -> tuple[str, ...]:
    """Every part that must be fitted, by the name it has on the sheets; of a found fan only its guard's, and modules that are new."""
    if build.found:
        return (*(NEW if build.new_modules else ()), *guard_parts(build))
    return (*fan_parts(build), *guard_parts(build))


def fan_parts(build: Build) -> tuple[str, ...]:
    """Parts of the fan without its guard."""
    found = [f"riser part {i + 1}" if len(build.riser) > 1 else "riser" for i in range(len(build.riser))]
    found += ["hot plate"] if build.hot_plate is not None else []
    found += ["plate screws"] if held_by(build) is not None else []
    found += ["modules"] + (["lagging"] if build.surround is not None else [])
    found += ["spreader"] if build.spreader is not None else []
    found += ["sink"]
    if build.screws is not None:
        found += ["clamp screws"] + (["bushes"] if build.screws.bush is not None else [])
        found += ["washers"] if build.screws.washer is not None else []
        found += ["spacers"] if spacer_for(build) is not None else []
    return (*found, "leads", *strut_of(build), "motor", "blade")


def strut_of(build: Build) -> tuple[str, ...]:
    """The strut under the name it has on the sheets; none where the sink offers no fin for one."""
    return () if strut_for(build) is None else ("motor strut",)


def _before(build: Build) -> str:
    """Where the blade's middle stands along the fins."""
    before = 1e3 * build.blade.before_sink.value
    return f"{abs(before):.0f} mm {'before' if before >= 0.0 else 'behind'} the sink's front edge"


def _fill(build: Build, joint: str) -> str:
    fill = getattr(build.joint, joint).fill
    return "dry" if fill is None else fill.name


def _foot(build: Build) -> str:
    """How the riser is set up for the work."""
    if len(build.riser) == 1:
        return "Riser on the bench, foot down, on clean paper."
    fill = _fill(build, "riser")
    return f"Riser parts onto each other from the foot up, {fill} between; foot down on clean paper. {between_risers(build)}"


def _fins(build: Build) -> tuple[Step, ...]:
    """Sawing and filing fins away, before the base is lapped: it throws burrs on the face."""
    says = cut_says(build)
    if not says:
        return ()
    tools = ("clamped wooden strips between the fins", "hacksaw, file", "glasses")
    return (
        Step(
            "fins",
            f"Sink's holes drilled as on its sheet, then {says}; burrs off, a head and its key tried in each gap.",
            tools=tools,
            minutes=40,
        ),
    )


def plan(build: Build, clamp: Clamp | None, stack: Stackup | None) -> Plan:
    """The steps of one build, in order.

    Args:
        build: a checked build.
        clamp: its clamp worked through, for the torque.
        stack: its stack-up, for the recess.

    Returns:
        The plan.
    """
    parts = parts_of(build)
    if build.found:
        return found_order(build, clamp, stack)
    risers = tuple(part for part in parts if part.startswith("riser"))
    guarded = build.guard.kind != "none"
    inside = guarded and build.guard.held_in == "riser"
    hot = tuple(part for part in ("hot plate", "plate screws") if part in parts)
    lower = (*risers, *hot)
    guard = guard_steps(build, "foot" if inside else "clamp") if guarded else []
    checks = guard_checks(build, stack) if guarded else ()
    closed_guard = tuple(p for step in guard for p in step.fits if step.key != "guide") if inside else ()
    below = "element" if inside else "foot"
    steps = [
        *_fins(build),
        Step(
            "lap",
            "Drill, tap and deburr everything first, then lap foot and module faces. Wash with spirit, blow the holes out.",
            tools=("drills and taps of the hole sheet", "wet-and-dry", "plate glass"),
            minutes=90,
        ),
        Step("foot", _foot(build), risers, ("lap",), ("square",), minutes=10),
        *(guard if inside else ()),
    ]
    if hot:
        steps.append(
            Step(
                "hot-plate",
                plate_step(build, _fill(build, "hot_plate")),
                hot,
                (below,),
                (
                    "hex key",
                    "straightedge",
                    *(("torque wrench or scale on the key", "centre punch") if "plate screws" in hot else ()),
                ),
                (*plate_checks(build, _fill(build, "hot_plate")), *(checks if inside else ())),
                closed_guard,
                20,
                "compound under the hot plate",
            )
        )
        below = "hot-plate"
    leads = Step(
        "leads",
        "Test each module (ohms, polarity with a warm hand), mark + and DOWN, lengthen its leads, insulate the joints.",
        ("leads",),
        (),
        ("meter", "soldering iron", "sleeving"),
        (),
        (),
        30,
    )
    modules = Step(
        "modules",
        f"Modules onto the lower plate, hot side down, {_fill(build, 'hot')} below; press and turn 2 mm each way until they drag.",
        ("modules",),
        (below, "leads"),
        ("gloves", "spirit", "card to spread the paste"),
        (
            "arrows DOWN?",
            f"{_fill(build, 'hot')} on the lower faces, thin and whole?",
            "ohms as before, nothing to the metal?",
            *(checks if inside and not hot else ()),
        ),
        closed_guard if not hot else (),
        20,
        COMPOUND,
    )
    steps += [leads, modules]
    last = "modules"
    if build.surround is not None:
        steps.append(
            Step("lagging", f"{build.surround.name} round the modules, leads through it.", ("lagging",), (last,), ("knife",))
        )
        last = "lagging"
    if build.spreader is not None:
        steps.append(
            Step(
                "spreader",
                f"Spreader onto the modules, {_fill(build, 'cold')} between; leads out through their slot.",
                ("spreader",),
                (last,),
                (),
                ("leads through the slot, none under an edge?", f"{_fill(build, 'cold')} on the upper module faces?"),
                ("modules", "leads") + (("lagging",) if build.surround is not None else ()),
                10,
                COMPOUND,
            )
        )
        last = "spreader"
    trapped = ("modules", "leads", *lower) + (("lagging",) if build.surround is not None else ())
    trapped += ("spreader",) if build.spreader is not None else ()
    bits = tuple(part for part in ("clamp screws", "bushes", "washers", "spacers") if part in parts)
    washers = build.screws.washer if build.screws is not None else None
    domes = (
        ("disc washers dome to dome as drawn, none upside down?",) if washers is not None and washers.dish is not None else ()
    )
    torque = (
        "hand-tight"
        if clamp is None
        else f"to {clamp.torque:.2f} N·m in three rounds, order {'-'.join(map(str, order_of(build)))}"
    )
    nut = " Nuts below the plate." if clamp is not None and clamp.nut else ""
    steps.append(
        Step(
            "clamp",
            f"Sink on, {_fill(build, 'cold' if build.spreader is None else 'sink')} between. Screws in, {torque}.{nut}",
            ("sink", *bits),
            (last,),
            ("hex key and scale or torque wrench", "feelers"),
            (
                "leads out through the slot, free to move?",
                f"{_fill(build, 'cold')} on the upper module faces?",
                *(("bushes in every hole, collar under the head?",) if "bushes" in parts else ()),
                *domes,
                "ohms of the string as before, more than 1 MΩ to the metal?",
            ),
            trapped,
            30,
            COMPOUND,
        )
    )
    steps += [
        Step("motor", "Motor on its strut; leads tied, joined by polarity, sleeved.", (*strut_of(build), "motor"), ("clamp",),
             ("iron", "ties", "screwdriver"),
             ("blade shaft turns freely by hand?", "leads clear of riser, plate and blade?"), (), 25),
        Step("blade", f"Blade on the shaft, hub square, set screw tight, its middle {_before(build)}; spun by hand: clear of everything by "
             "5 mm, blowing the way drawn.",
             ("blade",), ("motor",),
             ("hex key",), (), (), 10),
    ]  # fmt: skip
    steps += [] if inside else guard
    needs = ("blade", *(step.key for step in guard))
    steps.append(
        Step(
            "prove",
            proof(build),
            (),
            needs,
            proof_tools(build),
            checks if guarded and not inside else (),
            (),
            30,
        )
    )
    return Plan(parts, in_order(steps))


def order_section(made: Plan) -> Section:
    """The build order's page.

    Args:
        made: the plan.

    Returns:
        The section.
    """
    lines: list[str] = []
    for number, step in enumerate(made.steps, 1):
        if step.checks:
            lines.append(f"Check before step {number}:")
        lines += [f"   {BOX} {check}" for check in step.checks]
        lines.append(f"{number}. {step.says}")
        about = [f"parts: {', '.join(step.fits)}"] if step.fits else []
        about += [f"tools: {', '.join(step.tools)}"] if step.tools else []
        about += [f"about {step.minutes} min"]
        lines.append("   " + "; ".join(about))
        if step.closes:
            lines.append(f"   From here on out of reach: {', '.join(step.closes)}.")
    numbered = {step.key: number for number, step in enumerate(made.steps, 1)}
    closed = list(dict.fromkeys(part for step in made.steps for part in step.closes))
    rows = []
    for part in closed:
        back = way_back(made, part)
        spent = f", uses up {' and '.join(back.spent)}" if back.spent else ""
        rows.append({"part": part, "undo": list(back.undo), "duration_min": back.minutes, "used_up": list(back.spent)})
        steps = ", ".join(str(numbered[key]) for key in back.undo)
        lines.append(f"To reach {part} again: undo and redo steps {steps}; about {back.minutes} min{spent}.")
    return Section("order", "Build order", tuple(lines), figures(made) | {"ways_back": rows}, ())
