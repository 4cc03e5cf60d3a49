"""The JSON Schema of the shop's topics of words and figures: clamp, stack-up, flatness, wiring, order, parts list."""

from __future__ import annotations

from . import shape_words as s

Schema = s.Schema
WHOLE_NUMBER: Schema = {"description": "A whole number.", "type": "integer"}


def _figures(**keys: str) -> dict[str, Schema]:
    """One figure a key, its unit read from the key's ending."""
    units = {"mm": "mm", "um": "µm", "N": "N", "Nm": "N·m", "MPa": "MPa", "K": "K", "degC": "°C", "min": "min", "EUR": "EUR",
             "mm2": "mm²", "ohm": "Ω", "A": "A", "W": "W", "awg": "AWG", "h": "m³/h"}  # fmt: skip
    return {key: s.figure(says, units[key.rsplit("_", 1)[-1]]) for key, says in keys.items()}


def _maybe(says: str) -> Schema:
    return {"description": f"{says}; null where there is none.", "type": ["string", "null"]}


CLAMP = s.thing(
    "Torque, preload, pressure",
    {
        "screw": s.text("Screw"),
        "count": s.count("How many"),
        **_figures(
            torque_Nm="Torque, cold",
            preload_N="Preload of each screw",
            preload_low_N="Least preload that friction and hand may give",
            preload_high_N="Largest preload that friction and hand may give",
            pressure_cold_MPa="Pressure on the modules, cold",
            pressure_low_MPa="Least pressure over both evenings",
            pressure_high_MPa="Largest pressure over both evenings",
            pressure_wanted_low_MPa="Least pressure the modules want",
            pressure_wanted_high_MPa="Largest pressure the modules bear",
            most_preload_N="Preload at which the screw yields",
            thread_holds_N="Force that tears the thread out, hot",
            engaged_mm="Length of screw in the thread",
        ),
        "held_by_nut": s.yes_no("Whether a nut below is reckoned with"),
        "suggested_washers": _maybe("Disc washers that would keep the pressure in range"),
        "growth": s.rows(
            "What grows, from cold to the tightest instant",
            {
                "part": s.text("Part in the grip"),
                **_figures(thickness_mm="Thickness", rise_K="How much warmer", growth_um="How much it grows"),
            },
        ),
        **_figures(screw_rise_K="How much warmer the screw is", screw_growth_um="How much the screw grows"),
    },
    "when there are no clamp screws",
)
STACK_UP = s.thing(
    "The chain of lengths from the element's seat to the pin's tip",
    {
        "links": s.rows(
            "Lengths in turn",
            {
                "name": s.text("What is measured"),
                "field": _maybe("Key of the build file"),
                "sign": {"description": "Lets the tip lie deeper (1) or brings it out (-1).", "enum": [1, -1]},
                **_figures(length_mm="Length", half_mm="Half of what it may be out"),
                "measured": s.yes_no("Whether the part in hand was measured"),
            },
        ),
        **_figures(
            recess_mm="How far the tip stands short, cold",
            recess_wanted_mm="How far it should",
            worst_case_mm="Out by at most, every length at its worst",
            root_sum_square_mm="Out by, lengths by their squares",
            sampled_low_mm="Least recess of 19 in 20 thrown",
            sampled_high_mm="Largest recess of 19 in 20 thrown",
            file_off_pin_mm="What to file off the pin",
            stroke_at_hottest_mm="How far the element pushes at its hottest",
            gap_low_mm="Least gap when hottest",
            gap_high_mm="Largest gap when hottest",
            stop_mm="Where the stop is",
            element_travel_left_mm="Travel left in the element",
            over_travel_wanted_mm="Over-travel still missing",
        ),
        "fit": s.text("Fit of the pin"),
        **_figures(
            clearance_cold_um="Clearance of the pin, cold",
            clearance_hot_um="Clearance of the pin, hot",
            pin_wander_mm="How far a carrier out of square puts the pin aside",
        ),
    },
    "when there is no guard",
)
_KEY_FIGURES = {
    "starts_at_plate_degC": s.figure("Plate at which it starts", "°C", "when it never does"),
    **_figures(
        air_m3_per_h="Air on the usual plate",
        seat_takes_K="What the seat takes",
        hottest_face_degC="Hottest module face",
        smallest_face_margin_K="Smallest margin of a face",
    ),
}
FLATNESS = s.thing(
    "Lapping the foot",
    {
        **_figures(flatness_now_mm="Out of flat now", flatness_wanted_mm="Wanted"),
        "grits": s.texts("Grits in turn"),
        "before": s.thing("Figures as it is", _KEY_FIGURES),
        "after": s.thing("Figures when lapped", _KEY_FIGURES),
    },
)
WIRING = s.thing(
    "How modules and motor are joined",
    {
        "strings": {
            "description": "Modules in series, string by string.",
            "type": "array",
            "items": s.bare(s.texts("Modules")),
        },
        **_figures(
            wire_mm2="Wire",
            gauge_awg="Wire gauge",
            lead_length_mm="Leads, one way",
            leads_ohm="Resistance of the leads",
            current_A="Current on the usual plate",
            loss_W="Lost in the leads",
            hottest_face_degC="Hottest module face",
        ),
        "solder_degC": s.figure("Where the solder on the joints melts", "°C", "where the build does not say"),
        "diagram_svg": s.text("The diagram as SVG"),
    },
)
ORDER = s.thing(
    "Order of the work",
    {
        "parts": s.texts("Parts"),
        "steps": s.rows(
            "Steps in turn",
            {
                "key": s.text("Name of the step"),
                "says": s.text("What is done"),
                "fits": s.texts("Parts that go in"),
                "needs": s.texts("Steps that must be done before"),
                "tools": s.texts("Tools"),
                "checks": s.texts("Checks before it is closed"),
                "closes_in": s.texts("Parts that cannot be reached afterwards"),
                **_figures(duration_min="Rough minutes"),
            },
        ),
        "ways_back": s.rows(
            "What it costs to reach a part again",
            {
                "part": s.text("Part"),
                "undo": s.texts("Steps to undo"),
                **_figures(duration_min="Rough minutes"),
                "used_up": s.texts("What must be new"),
            },
        ),
    },
)
PARTS = s.thing(
    "Parts and tools",
    {
        "rows": s.rows(
            "Parts",
            {
                "part": s.text("Part"),
                "what": s.text("What it is"),
                "count": WHOLE_NUMBER,
                "look_in": s.text("Scrap to look in", 0),
                "test": s.text("How to test it", 0),
                "price_low_EUR": s.figure("New, at least", "EUR", "when it is not bought"),
                "price_high_EUR": s.figure("New, at most", "EUR", "when it is not bought"),
            },
        ),
        "joints": s.texts("What goes between faces"),
        "tools": s.texts("Tools"),
    },
)
