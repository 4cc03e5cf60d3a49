"""Every value that a build consists of, and the mark by which its answers can be told again."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from ..units import Spread
from .sections import Build

LEFT_OUT = {"records", "file", "sources", "origin", "caution", "hand_on", "found", "new_modules"}


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
