"""Which single faults a fan withstands on a hard fire: the drill's first column alone, for many builds in a moment."""

from __future__ import annotations

from collections.abc import Sequence

from ..build import Build
from ..stack.prepare import Stack
from .drill_faults import FAULTS, Fault, faulted
from .guards_batch import part_margins, run_stacks


def faults_of(build: Build, faults: Sequence[Fault] = FAULTS) -> list[Fault]:
    """The faults that a build can have: without a guard none of the guard's."""
    return [fault for fault in faults if build.guard.element is not None or not fault.of_guard]


def harming(build: Build, stack: Stack) -> list[Fault]:
    """The single faults of the table that take a part past its limit in the over-fired evening.

    Args:
        build: a checked build.
        stack: the same, prepared.

    Returns:
        Those that harm, in the order of the table.
    """
    faults = faults_of(build)
    cases = [faulted(build, stack, (fault,)) for fault in faults]
    ends = run_stacks([case[0] for case in cases], [case[1] for case in cases])
    return [fault for fault, end in zip(faults, ends, strict=True) if min(part_margins(build, end).values()) <= 0.0]
