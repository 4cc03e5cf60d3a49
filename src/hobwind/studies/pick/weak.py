"""Which part limits a fan: each part in turn replaced by every other of its kind that fits, and the whole solved anew.

The yardstick is what lies in the bin, what may be bought, and the catalogue: real parts, not ideal ones.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ...build import Build
from ...build.bin_build import Maker
from ...build.checks import impossible
from ...parts.catalogue import Shelf
from ...stack.prepare import prepare
from ...stack.sifting import Sift, sifted
from . import ranking
from .judging import Judged
from .options import Options

KINDS = ("module", "motor", "blade", "sink")


@dataclass(frozen=True)
class Limit:
    """The part whose replacement would help most: its kind, what it is, what instead, and the points that brings."""

    kind: str
    name: str
    instead: str
    gain: float
    starts: float
    air: float
    margin: float


def _others(bin_parts: dict[str, list[tuple[str, Any]]], kind: str, build: Build) -> list[tuple[str, Build]]:
    """The build with another part of one kind in the place of its own."""
    found = []
    for name, part in bin_parts[kind]:
        if kind == "module":
            changed = replace(build, modules=tuple(replace(use, part=part) for use in build.modules))
        elif kind == "motor":
            changed = replace(build, motor=replace(build.motor, part=part))
        elif kind == "sink":
            changed = replace(build, sink=replace(build.sink, part=part))
        else:
            changed = replace(build, blade=replace(build.blade, part=part))
        if not impossible(changed, []):
            found.append((name, changed))
    return found


def _parts(options: Options) -> dict[str, list[tuple[str, Any]]]:
    """Every part of the kinds that are tried: the bin's, then the catalogue's."""
    shelf = Shelf(None)
    found: dict[str, list[tuple[str, Any]]] = {}
    for kind in KINDS:
        rows = [(item.name, getattr(item.thing, "part", item.thing)) for item in options.bin.of(kind)]
        names = {name for name, _ in rows}
        rows += [(name, shelf.find(kind, name)) for name in shelf.names(kind) if name not in names]
        found[kind] = rows
    return found


def limiting(options: Options, maker: Maker, one: Judged) -> Limit | None:
    """The part that limits a fan.

    Args:
        options: of the bin.
        maker: of its builds.
        one: the fan.

    Returns:
        The limit; None where no other part of any kind brings more.
    """
    wishes, stove = options.bin.wishes, options.bin.base.stove
    parts, kinds, names, builds = _parts(options), [], [], [one.build]
    for kind in KINDS:
        for name, changed in _others(parts, kind, one.build):
            kinds.append(kind)
            names.append(name)
            builds.append(changed)
    stacks = [prepare(build) for build in builds]
    figures = sifted(
        np.stack([stack.p for stack in stacks]), np.stack([stack.q for stack in stacks]), stove.usual_plate.value,
        stove.worst_plate.value,
    )  # fmt: skip
    starts, air = np.nan_to_num(figures[:, Sift.starts], nan=ranking.LATE), np.nan_to_num(figures[:, Sift.air])
    motors = np.array([build.motor.part.limit.value for build in builds])
    margin = np.nan_to_num(np.fmin(figures[:, Sift.margin], motors - figures[:, Sift.motor]), nan=-ranking.ENOUGH)
    face = np.nan_to_num(figures[:, Sift.hot], nan=np.inf)
    calm = ~(figures[:, Sift.lifts] <= stove.usual_plate.value)
    kept = ranking.met(wishes, figures[:, Sift.starts], air, margin, face, calm, np.ones(len(builds), bool)).sum(axis=1)
    marks = ranking.points(wishes, starts, air, margin) + 1e3 * kept
    best = int(np.argmax(marks))
    if best == 0 or marks[best] - marks[0] < 0.3:
        return None
    kind, later = kinds[best - 1], float(figures[best, Sift.starts] - figures[0, Sift.starts])
    gain, blown, spare = (float(row[best] - row[0]) for row in (marks, air, margin))
    return Limit(kind, _name(maker, one, kind), names[best - 1], gain, later, blown, spare)


def _name(maker: Maker, one: Judged, kind: str) -> str:
    if kind == "module":
        return " and ".join(maker.item("module", place).name for place, _ in one.choice.mix.uses)
    return maker.item(kind, getattr(one.choice, kind)).name
