"""A change to a build as lines of a build file, so that a mend can be carried out as it was tried."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import fields
from typing import Any

from ..build import Build
from ..parts.kinds import Part
from ..units import NORMAL, Spread, show, show_spread

# What the sections' own quantities measure, as far as mends change them.
MEASURES = {
    "length": "length", "height": "length", "element_height": "length", "lost_motion": "length", "stop": "length",
    "pin_length": "length", "pin_bore": "length", "flatness": "length", "hole": "length", "pivot_distance": "length",
    "pivot_edge": "length", "over_travel": "length", "pin_offset": "length", "width": "length", "depth": "length", "thickness": "length",
    "across": "length", "along": "length", "circle": "length", "lever_ratio": "number", "emissivity": "number",
    "before_sink": "length", "free_length": "length", "fins_cut": "length", "mount_conductance": "thermal_conductance",
    "holder_conductance": "thermal_conductance", "element_loss": "thermal_conductance", "pin_tip": "thermal_conductance",
}  # fmt: skip
JOINTS = ("riser", "hot_plate", "hot", "cold", "sink")


def _same_value(was: Any, now: Any) -> bool:
    """A value that was tried without its spread, or reckoned anew to the last bits, is the one that the file has."""
    return isinstance(was, Spread) and isinstance(now, Spread) and math.isclose(was.value, now.value, rel_tol=1e-9)


def _differences(place: str, old: Any, new: Any) -> Iterator[str]:
    if type(old) is not type(new) and not (isinstance(new, Part) or old is None):
        return
    for field in fields(new):
        was, now = (None if old is None else getattr(old, field.name)), getattr(new, field.name)
        if was == now or field.name == "strings" or _same_value(was, now):
            continue
        key = f"{place}.{field.name}" if field.name != "part" else f"{place}.part"
        if isinstance(now, Part):
            if isinstance(was, Part) and type(was) is type(now) and was.name == now.name:
                # The same part, worked on (painted, say): its own fields stand beside its name.
                yield from _differences(place if field.name == "part" else key, was, now)
            else:
                yield f'{key} = "{now.name}"'
        elif isinstance(now, Spread) and field.name in MEASURES:
            # Tried with a spread of its own (a foot lapped so well), it goes into the file with it.
            told = show_spread(now, MEASURES[field.name]) if now.shape == NORMAL else show(now.value, MEASURES[field.name])
            yield f'{key} = "{told}"'
        elif isinstance(now, str):
            yield f'{key} = "{now}"'
        elif isinstance(now, int):
            yield f"{key} = {now}"


def in_tables(lines: Iterable[str]) -> list[str]:
    """Such lines as they stand in a build file: the table's head, then its keys, to be put in place of those it has.

    Args:
        lines: as `changed_keys` gives them.

    Returns:
        Lines of TOML; of several tables with one head a comment says which is meant.

    Check: `riser[2].length = "80 mm"` becomes `[[riser]]  # number 2 of the file` and `length = "80 mm"`.
    """
    told: dict[str, list[str]] = {}
    for line in lines:
        place, value = line.split(" = ", 1)
        table, key = place.rsplit(".", 1)
        name, _, count = table.rstrip("]").partition("[")
        told.setdefault(f"[[{name}]]  # number {count} of the file" if count else f"[{table}]", []).append(f"{key} = {value}")
    return [line for head, keys in told.items() for line in (head, *keys)]


def changed_keys(old: Build, new: Build) -> tuple[str, ...]:
    """Lines such as `guard.stop = "2.00 mm"` that turn one build's file into the other's.

    Args:
        old: as it is.
        new: as it was tried.

    Returns:
        Lines, in the order of the sections.
    """
    lines: list[str] = []
    for i, (was, now) in enumerate(zip(old.riser, new.riser, strict=True)):
        lines += _differences(f"riser[{i + 1}]", was, now)
    for i, (use, other) in enumerate(zip(old.modules, new.modules, strict=True)):
        lines += _differences(f"modules[{i + 1}]", use, other)
    for name in JOINTS:
        lines += _differences(f"joint.{name}", getattr(old.joint, name), getattr(new.joint, name))
    if old.clamp_pressure != new.clamp_pressure:
        lines.append(f'clamp.pressure = "{show_spread(new.clamp_pressure, "pressure")}"')
    if old.surround != new.surround:
        lines.append(f'surround.fill = "{"air" if new.surround is None else new.surround.name}"')
    for name in ("seat", "hot_plate", "wiring", "spreader", "sink", "screws", "motor", "blade", "guard"):
        if getattr(old, name) != getattr(new, name):
            lines += _differences(name, getattr(old, name), getattr(new, name))
    if any(line.startswith("guard.pin_bore = ") for line in lines) and not any(
        line.startswith("guard.pin_length") for line in lines
    ):
        # Left out of a file a pin takes a usual length, which another riser or place changes: it goes in with its bore.
        lines.append(f'guard.pin_length = "{show(new.guard.pin_length.value, "length")}"')
    return tuple(lines)
