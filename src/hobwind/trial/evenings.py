"""Several evenings of one fan held against its guesses together: the fan's inputs are shared, meters and rooms are each evening's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from .guesses import Floats
from .predict import INPUT, Rig, Unknown, calm_slopes, predict, slopes

ROOM = "stove.room"  # an input, yet every evening has its own


class Evenings:
    """Rigs of one build with the same inputs, as readings of one fit; `count` is of the evenings computed so far."""

    def __init__(self, rigs: Sequence[Rig]) -> None:
        self.rigs = tuple(rigs)
        self.count = 0
        shared: dict[str, int] = {}
        self.unknowns: list[Unknown] = []
        self.own: list[list[int]] = []
        for k, one in enumerate(self.rigs):
            places = []
            for unknown in one.unknowns:
                common = unknown.kind == INPUT and unknown.of != ROOM
                if common and unknown.of in shared:
                    places.append(shared[unknown.of])
                    continue
                if common:
                    shared[unknown.of] = len(self.unknowns)
                places.append(len(self.unknowns))
                self.unknowns.append(replace(unknown, name=f"{unknown.name}, log {k + 1}") if k and not common else unknown)
            self.own.append(places)

    @property
    def measured(self) -> Floats:
        """Every point, evening after evening, (points). [SI]"""
        return np.concatenate([one.measured for one in self.rigs])

    @property
    def noise(self) -> Floats:
        """Spread of each point, (points). [SI]"""
        return np.concatenate([one.noise for one in self.rigs])

    @property
    def reaches(self) -> Floats:
        """Between what each unknown may lie, in its own spreads, (unknowns, 2)."""
        return np.array([unknown.reach for unknown in self.unknowns])

    @property
    def runs(self) -> list[slice]:
        """Each channel of each evening."""
        found, at = [], 0
        for one in self.rigs:
            for points in one.points:
                found.append(slice(at, at + points.time.size))
                at += points.time.size
        return found

    def read(self, x: Floats) -> Floats:
        """What the sensors would read, (points). [SI]"""
        self.count += len(self.rigs)
        return np.concatenate([predict(one, x[own]) for one, own in zip(self.rigs, self.own, strict=True)])

    def slopes(self, x: Floats) -> tuple[Floats, Floats]:
        """What they would read, and by how much more for each spread of each unknown, (points, unknowns). [SI]"""
        reads, parts = zip(*(slopes(one, x[own]) for one, own in zip(self.rigs, self.own, strict=True)), strict=True)
        self.count += sum(len(one.inputs) + 3 for one in self.rigs)
        return np.concatenate(reads), self._put_together(parts)

    def calm_slopes(self, x: Floats, left: Floats) -> Floats:
        """Slopes that no start, stop or lift makes steep, (points, unknowns). [SI]"""
        self.count += sum(2 * len(one.inputs) + 5 for one in self.rigs)
        return self._put_together([calm_slopes(one, x[own], left[own]) for one, own in zip(self.rigs, self.own, strict=True)])

    def _put_together(self, parts: Sequence[Floats]) -> Floats:
        whole, at = np.zeros((sum(len(part) for part in parts), len(self.unknowns))), 0
        for part, own in zip(parts, self.own, strict=True):
            whole[at : at + len(part), own] = part
            at += len(part)
        return whole
