"""A build with every looked-up value written in, and the mark by which its answers can be told again."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from ..units import Spread
from .sections import Build, Record

LEFT_OUT = {"records", "file", "sources", "origin", "caution"}
NO_VALUES = {"name", "origin", "says", "caution"}


def _values(prefix: str, thing: object) -> Iterator[tuple[str, str]]:
    if isinstance(thing, Spread):
        yield prefix, f"{thing.value:.12g} {thing.shape} {thing.half:.12g}"
    elif is_dataclass(thing) and not isinstance(thing, type):
        for field in fields(thing):
            if field.name not in LEFT_OUT:
                yield from _values(f"{prefix}.{field.name}" if prefix else field.name, getattr(thing, field.name))
    elif isinstance(thing, tuple):
        for i, item in enumerate(thing):
            yield from _values(f"{prefix}[{i + 1}]", item)
    elif thing is not None:
        yield prefix, str(thing)


def every_value(build: Build) -> list[tuple[str, str]]:
    """Place and value (SI, kelvin) of everything a build consists of, looked-up parts included."""
    return list(_values("", build))


def digest(build: Build) -> str:
    """Sixteen letters that change when any value of the build does.

    Args:
        build: a checked build.

    Returns:
        First 16 hexadecimal digits of the SHA-256 of all its values. [-]
    """
    text = "\n".join(f"{place} = {value}" for place, value in every_value(build))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _sourced(build: Build) -> Iterator[Record]:
    """Numbers that came with looked-up parts, and their sources."""
    yield from build.records
    known = {record.place for record in build.records}

    def parts(prefix: str, thing: object) -> Iterator[tuple[str, Any]]:
        if is_dataclass(thing) and not isinstance(thing, type):
            if hasattr(thing, "sources"):
                yield prefix, thing
            for field in fields(thing):
                yield from parts(f"{prefix}.{field.name}" if prefix else field.name, getattr(thing, field.name))
        elif isinstance(thing, tuple):
            for i, item in enumerate(thing):
                yield from parts(f"{prefix}[{i + 1}]", item)

    for prefix, part in parts("", build):
        sources: Mapping[str, str] = part.sources
        place = ".".join(word for word in prefix.split(".") if word != "part")  # as a build file writes it
        for field in fields(part):
            value = getattr(part, field.name)
            where = f"{place}.{field.name}"
            if field.name not in NO_VALUES and isinstance(value, Spread | int | str) and where not in known:
                known.add(where)
                source = sources.get(field.name, "not said")
                text = _typed(value) if isinstance(value, Spread) else str(value)
                yield Record(where, text, f"{part.name}, {part.origin}, {source}")


def _typed(spread: Spread) -> str:
    if spread.half == 0.0:
        return f"{spread.value:.6g} (SI)"
    if spread.shape == "even":
        return f"{spread.low:.6g}..{spread.high:.6g} (SI)"
    return f"{spread.value:.6g} ± {spread.half:.6g} (SI)"


def made_whole(build: Build) -> list[Record]:
    """Every value of the build with where it came from, in the order of the places.

    Args:
        build: a checked build.

    Returns:
        Records: place, text, origin.
    """
    return sorted(_sourced(build), key=lambda record: record.place)
