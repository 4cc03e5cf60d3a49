"""What a section of the page is, and what a visit brings to it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter

from ...build import Build
from ...errors import Problem
from ..workshop import Workshop


@dataclass(frozen=True)
class Visit:
    """One request for a section's page.

    `text` is the build as the server knows it (the file asked for, or what a door made), `file` its name in the folder or
    "", `digest` that of the file as loaded, `build` None when it has problems; `plain` when the browser runs no scripts.
    """

    workshop: Workshop
    text: str
    file: str
    digest: str
    build: Build | None
    problems: tuple[Problem, ...]
    plain: bool


def nothing(visit: Visit) -> Mapping[str, Any]:
    """A section that needs no values of its own."""
    return {}


@dataclass(frozen=True)
class Section:
    """One section: its key in addresses, its title, one line on what it is for, template, routes and script."""

    key: str
    title: str
    says: str
    template: str
    router: APIRouter | None = None
    script: str | None = None
    context: Callable[[Visit], Mapping[str, Any]] = nothing
    more: APIRouter | None = None  # further pages of its own, below its address
