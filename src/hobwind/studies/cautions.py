"""What can hurt somebody who builds or runs this fan: always some lines, more where the build calls for them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from ..build import Build
from .telling import DANGER, Finding

ALWAYS = (
    "Plate, riser and sink burn skin in a second, the sink too: gloves or tongs, children and animals away.",
    "A fan never replaces a flue, a carbon monoxide alarm or an air inlet: keep all three in order.",
    "First firing attended. The stove maker's instructions, local codes and licensed practice go before this text.",
)
NOW = (
    "If it happens now: slow the fire the stove maker's way (air shut, door closed), lift the fan off with gloves or "
    "tongs and set it on stone. Never use water."
)
LIFTING = "A lifted fan can fall: check that it stands on its pins or guide, cold and hot, before you leave it alone."


def _part_cautions(thing: object) -> Iterator[str]:
    if isinstance(thing, tuple):
        for one in thing:
            yield from _part_cautions(one)
    elif is_dataclass(thing) and not isinstance(thing, type):
        if getattr(thing, "caution", ""):
            yield f"{getattr(thing, 'name', '')}: {getattr(thing, 'caution', '')}"
        for field in fields(thing):
            yield from _part_cautions(getattr(thing, field.name))


def cautions(build: Build, found: list[Finding]) -> list[str]:
    """Cautions for a build, what to do now first when a danger stands.

    Args:
        build: a checked build.
        found: its findings.

    Returns:
        Sentences, each once.
    """
    rows = [NOW] if any(one.severity == DANGER for one in found) else []
    rows += ALWAYS
    if build.guard.kind != "none":
        rows.append(LIFTING)
    return list(dict.fromkeys([*rows, *_part_cautions(build)]))
