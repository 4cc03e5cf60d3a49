"""The JSON Schema of what `hobwind shop --json` prints, section by section."""

from __future__ import annotations

from . import shape_words as s
from . import shapes_topics as topics

Schema = s.Schema


def _sheets() -> Schema:
    return s.thing(
        "Which sheets there are",
        {
            "paper": s.one_of("What they are laid out for", ("A4", "Letter")),
            "pages": s.rows("Every page", {"key": s.text("Name of its files"), "title": s.text("Its title")}),
            "parts": s.texts("The numbered parts, a heading first, in columns of fixed-width lettering"),
        },
    )


def _holes() -> Schema:
    through = "where the hole goes through"
    spots = s.rows(
        "Middles of the holes, from the middle of the fan",
        {
            "x_mm": s.figure("Across, to the right seen from above", "mm"),
            "y_mm": s.figure("Along the fins, to the back seen from above", "mm"),
        },
    )
    limits: dict[str, Schema] = {"name": s.text("Such as M4")}
    for key, says in (
        ("hole_inner", "inner diameter of a 6H hole"),
        ("hole_pitch", "pitch diameter of a 6H hole"),
        ("screw_outer", "outer diameter of a 6g screw"),
        ("screw_pitch", "pitch diameter of a 6g screw"),
    ):
        limits[f"{key}_low_mm"] = s.figure(f"Smallest {says}", "mm", least=0.0)
        limits[f"{key}_high_mm"] = s.figure(f"Largest {says}", "mm", least=0.0)
    screw = {
        "grip_mm": s.figure("What modules, plates and bush take between head and thread", "mm", least=0.0),
        "free_mm": s.figure(
            "Free length reckoned with: the build's, or what the parts take where that is more", "mm", least=0.0
        ),
        "room_mm": s.figure("Thread that the tapped part has room for, negative when there is none", "mm"),
        "screw_mm": s.figure("Stock length of the screw", "mm", "when none fits and a longer one is cut", 0.0),
        "engaged_mm": s.figure("Length of screw in the thread", "mm", least=0.0),
        "load_N": s.figure("Force one screw is to hold", "N", least=0.0),
        "thread_holds_N": s.figure("Force that tears the thread out when hot, of part or nut", "N", least=0.0),
        "held_by_nut": s.yes_no("Whether a nut below holds it, the part being too thin for a thread"),
        "screw_strip_mm2": s.figure("Area along which the screw's own thread would shear", "mm²", least=0.0),
    }
    plate = {
        "thread": s.text("Such as M4"),
        "count": s.count("How many"),
        "metal": s.text("What they are made of"),
        "screw_mm": s.figure("Whole length, the head included", "mm", least=0.0),
        "engaged_mm": s.figure("Length of screw in the riser's thread", "mm", least=0.0),
        "torque_Nm": s.figure("Torque of each, cold", "N·m", least=0.0),
        "preload_N": s.figure("Pull of each, cold", "N", least=0.0),
        "wanted_N": s.figure("Pull of each that presses the joint as the model reckons", "N", least=0.0),
        "growth_N": s.figure("What heat adds to that pull, negative where it takes some", "N"),
        "load_N": s.figure("Most that a lifted or carried fan puts on one of them", "N", least=0.0),
        "load_when": s.text("When that is"),
        "thread_holds_N": s.figure("Force that tears the thread out when hot", "N", least=0.0),
        "yields_N": s.figure("Force at which the screw yields when hot", "N", least=0.0),
        "covered_mm2": s.figure("Contact that their heads take from the modules", "mm²", least=0.0),
    }
    no_plate = "without a hot plate, where it is one metal with its riser, in a found fan, or where none find a place"
    none = "when there are no clamp screws, or their thread is not known"
    return s.thing(
        "Holes, threads and saw lengths",
        {
            "holes": s.rows(
                "Sets of like holes",
                {
                    "part": s.text("Part they are drilled in"),
                    "letter": s.text("Their letter on the sheet"),
                    "use": s.text("What goes in"),
                    "drill_mm": s.figure("Drill", "mm", least=0.0),
                    "depth_mm": s.figure("Depth at the drill's full width", "mm", through, 0.0),
                    "thread": {"description": "Thread to be tapped; null for a plain hole.", "type": ["string", "null"]},
                    "countersink_mm": s.figure("Width of a countersink of 90° at the face", "mm", "where there is none", 0.0),
                    "thread_depth_mm": s.figure("Depth of full thread", "mm", f"{through} or is plain", 0.0),
                    "places": spots,
                },
            ),
            "thread": s.thing("Limits of the clamp screws' thread", limits, f"{none}, or nuts hold them"),
            "plate_screws": s.thing("Screws that hold the hot plate on its riser", plate, no_plate),
            "clamp_screw": s.thing("How a clamp screw sits in its thread", screw, none),
            "saw": s.rows(
                "What is sawn from bar",
                {
                    "part": s.text("Part"),
                    "saw_mm": s.figure("Where to saw", "mm", least=0.0),
                    "finished_mm": s.figure("Length when both ends are faced", "mm", least=0.0),
                },
            ),
        },
    )


def _section(says: str, data: Schema) -> Schema:
    inside = {"title": s.text("Heading"), "findings": s.texts("What cannot be made, or not well, as described"), "data": data}
    return s.thing(says, inside)


SECTIONS = {
    "sheets": _section("The drawings", _sheets()),
    "holes": _section("What is drilled, tapped and sawn", _holes()),
    "clamp": _section("Torque, preload, pressure on the modules cold and hot", topics.CLAMP),
    "stack-up": _section("The chain of lengths from the plate to the pin's tip", topics.STACK_UP),
    "flatness": _section("How to lap a face and what it buys", topics.FLATNESS),
    "wiring": _section("How the modules and the motor are joined", topics.WIRING),
    "order": _section("Steps of the work, checks before each closing", topics.ORDER),
    "parts": _section("What to look for, how to test it, what to buy", topics.PARTS),
}


def shop() -> Schema:
    """What `hobwind shop BUILD --json` prints."""
    return s.whole(
        "hobwind shop",
        "What the workshop needs of one build",
        {"made_by": s.made_by(), "name": s.name(), "sections": s.thing("Section by section", SECTIONS)},
    )
