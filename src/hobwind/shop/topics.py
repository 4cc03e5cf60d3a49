"""Every topic of the shop that is words and figures rather than a drawing, for one solved build."""

from __future__ import annotations

from ..build import Build
from ..studies.headline import Headline
from .clamp import clamp
from .clamp_sheet import clamp_section
from .flatness import flatness_section, lapping
from .order_plan import order_section, plan
from .parts_list import parts_list, parts_section
from .section import Section
from .stackup import stack_up
from .stackup_sheet import stackup_section
from .wiring import wiring_section


def topics(build: Build, solved: Headline) -> list[Section]:
    """Clamp, stack-up, flatness, wiring, build order, parts list.

    Args:
        build: a checked build.
        solved: the same build solved.

    Returns:
        One section a topic.
    """
    squeezed, stacked = clamp(build, solved), stack_up(build, solved)
    made = plan(build, squeezed, stacked)
    return [
        clamp_section(squeezed, build),
        stackup_section(stacked, build),
        flatness_section(lapping(build), solved),
        wiring_section(build, solved),
        order_section(made),
        parts_section(build, parts_list(build, made)),
    ]
