"""Every topic of the shop that is words and figures rather than a drawing, for one solved build."""

from __future__ import annotations

from dataclasses import replace

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

THERE_ALREADY = ("clamp", "wiring")


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
    told = [
        clamp_section(squeezed, build),
        stackup_section(stacked, build),
        flatness_section(lapping(build), solved),
        wiring_section(build, solved),
        order_section(made),
        parts_section(build, parts_list(build, made), squeezed),
    ]
    if build.new_modules:
        return [_as_opened(one, squeezed is not None) if one.key == "clamp" else one for one in told]
    return [_as_found(one) if build.found and one.key in THERE_ALREADY else one for one in told]


def _as_opened(one: Section, known: bool) -> Section:
    """The clamp of a found fan that is opened for new modules."""
    says = "This clamp is opened for the new modules; its screws are the fan's own: measure thread, free length and thread in hand anew."
    none = ("advice: the clamp screws are not known, so no torque can be told: measure them and write them under [screws]",)
    return replace(one, lines=(says, *one.lines), findings=one.findings if known else none)


def _as_found(one: Section) -> Section:
    """A topic of a found fan that matters only to who opens it; its findings are not the guard's."""
    return replace(
        one,
        lines=("A found fan has this already: what follows is for who opens it, by guessed figures.", *one.lines),
        findings=(),
    )
