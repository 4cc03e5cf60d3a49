"""What a bench test comes to: values with their doubts, what was odd about the readings, a plain verdict, a part file."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ..parts.part_fields import FIELDS
from ..units import DIMENSIONS, show_spread
from .measured import Measured


@dataclass(frozen=True)
class Curve:
    """Readings and the curve fitted to them, for a picture; curves with the same titles share one, told apart by name."""

    x_title: str
    y_title: str
    points: Sequence[tuple[float, float]]
    line: Sequence[tuple[float, float]]
    name: str = "readings"


@dataclass(frozen=True)
class Figure:
    """One value found: what it is called, the value, and its kind of quantity (a key of `DIMENSIONS`)."""

    name: str
    says: str
    measured: Measured
    dimension: str

    def text(self, setting: str = "metric") -> str:
        """For the screen, ± two standard uncertainties."""
        return show_spread(self.measured.spread(), self.dimension, setting)


@dataclass(frozen=True)
class Result:
    """One bench test's outcome.

    Args:
        kind: of part that the figures fill; empty when there is no such part, and `lines` say where the figures go.
        title: what was tested.
        figures: what was found.
        fit: worth building with.
        verdict: why, or why not.
        doubts: what was odd about the readings.
        curves: readings on the fitted curve.
        base: a part like it, for what was not measured.
        steps: what to try next.
        source: key of docs/sources.md.
        words: fields of the part that are words, such as the shape of a sink.
        lines: ready for a build file.
        tools: what the readings were reckoned to be off by.
    """

    kind: str
    title: str
    figures: tuple[Figure, ...]
    fit: bool
    verdict: str
    doubts: tuple[str, ...] = ()
    curves: tuple[Curve, ...] = ()
    base: str = ""
    steps: tuple[str, ...] = field(default=())
    source: str = "bench"
    words: Mapping[str, str] = field(default_factory=dict)
    lines: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()

    def figure(self, name: str) -> Measured:
        """One figure by name.

        Raises:
            KeyError: the test did not find it.
        """
        for one in self.figures:
            if one.name == name:
                return one.measured
        raise KeyError(name)

    def part_text(self, name: str) -> str:
        """A part file's section: the figures that are fields of this kind of part, each with the result's source.

        Args:
            name: what to call the part.

        Returns:
            TOML for parts/<kind>.toml.
        """
        fields = FIELDS[self.kind]
        lines = [f"[{json.dumps(name, ensure_ascii=False)}]", f"says = {json.dumps(self.title, ensure_ascii=False)}"]
        lines += [f"{name} = {json.dumps(word, ensure_ascii=False)}" for name, word in self.words.items()]
        for one in self.figures:
            if one.name in fields:
                unit = DIMENSIONS[one.dimension].si
                tail = "" if one.dimension == "number" else f" {unit}"
                value, half = one.measured.value, 2.0 * one.measured.u
                spread = f" ± {half:.3g}" if half > 0.0 else ""
                lines.append(f'{one.name} = ["{value:.6g}{spread}{tail}", "{self.source}"]')
        return "\n".join(lines) + "\n"
