"""The JSON Schema of what `hobwind bench --json` prints."""

from __future__ import annotations

from typing import Any

from . import shape_words as s
from .bench.readings import TESTS
from .parts.catalogue import KINDS


def bench() -> dict[str, Any]:
    """What `hobwind bench TEST READINGS --json` prints."""
    pairs = {"type": "array", "items": {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}}
    kind = {
        "description": "Kind of part that the figures fill; null where they go straight into a build.",
        "enum": [*KINDS, None],
    }
    return s.whole(
        "hobwind bench",
        "What one bench test came to",
        {
            "made_by": s.thing("What made these figures", {"hobwind": s.text("Version of hobwind")}),
            "test": s.one_of("Which bench test", tuple(TESTS)),
            "kind": kind,
            "title": s.text("What was tested"),
            "fit": s.yes_no("Whether it is worth building with"),
            "verdict": s.text("Why, or why not"),
            "figures": s.rows(
                "What was found",
                {
                    "name": s.text("Name of the figure; of the part's field where it is one"),
                    "says": s.text("The same in words"),
                    "value_SI": {"description": "Value in the unit of unit_SI.", "type": "number"},
                    "standard_uncertainty_SI": {
                        "description": "Standard uncertainty in the unit of unit_SI; texts show ± two of them.",
                        "type": "number",
                        "minimum": 0.0,
                    },
                    "unit_SI": s.text("Unit of both, SI and kelvin"),
                    "text": s.text("Value with its spread for people, 19 in 20"),
                },
            ),
            "doubts": s.texts("What was odd about the readings"),
            "steps": s.texts("What to try next"),
            "build_lines": s.texts("Lines for a build file, where the figures are no part"),
            "instruments": s.texts("How far the readings were reckoned to be off"),
            "curves": s.rows(
                "Readings and the curve fitted to them",
                {
                    "name": s.text("Which readings"),
                    "x": s.text("What runs across, with its unit"),
                    "y": s.text("What runs up, with its unit"),
                    "readings": {"description": "Readings as pairs of x and y.", **pairs},
                    "line": {"description": "Fitted curve as pairs of x and y.", **pairs},
                },
            ),
        },
    )
