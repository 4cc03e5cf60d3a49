"""The order of building, from a graph: which step needs which, what is checked before a step closes something in,
what becomes unreachable then, and what it costs to go back.

A step *fits* parts, *closes in* parts that can no longer be reached afterwards, and *needs* earlier steps. Each closing
step asks its checks first. `faults` reads a plan against its build and against any sequence of its steps.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

UNDOING = 1.5  # times the making: taking apart is half of it, then it is made again. Source: from memory


@dataclass(frozen=True)
class Step:
    """One step: what to do, which parts it fits, what it needs, tools, checks before it, what it closes in, minutes."""

    key: str
    says: str
    fits: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    closes: tuple[str, ...] = ()
    minutes: int = 10
    spent: str = ""


@dataclass(frozen=True)
class Plan:
    """All the parts of a build and the steps that fit them, in an order that works."""

    parts: tuple[str, ...]
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class WayBack:
    """How to reach a part again once the fan is finished: steps to undo, last first, minutes, what is used up."""

    part: str
    undo: tuple[str, ...]
    minutes: int
    spent: tuple[str, ...]


def in_order(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps in an order in which each comes after all it needs and after all that fit what it closes in.

    Args:
        steps: in any order; ties keep it.

    Returns:
        The same steps, ordered.

    Raises:
        ValueError: some steps need each other in a ring; their keys.
    """
    done: set[str] = set()
    left, found = list(steps), []
    wanted = {step.key: _before(step, steps) for step in steps}
    while left:
        ready = next((step for step in left if wanted[step.key] <= done), None)
        if ready is None:
            raise ValueError("these steps wait for each other: " + ", ".join(step.key for step in left))
        left.remove(ready)
        done.add(ready.key)
        found.append(ready)
    return tuple(found)


def _before(step: Step, steps: Sequence[Step]) -> set[str]:
    """Keys of all that must be done before a step: what it needs, and whatever fits a part that it closes in."""
    fitting = {other.key for other in steps if other.key != step.key and set(other.fits) & set(step.closes)}
    return set(step.needs) | fitting


def faults(plan: Plan, sequence: Sequence[str] | None = None) -> list[str]:
    """What is wrong with a plan, or with doing its steps in another sequence.

    Args:
        plan: parts and steps.
        sequence: keys of steps in the order tried; the plan's own when left out.

    Returns:
        One sentence each; none when all is well.
    """
    steps = {step.key: step for step in plan.steps}
    order = list(steps) if sequence is None else list(sequence)
    found = [f'no step is called "{key}"' for key in order if key not in steps]
    found += [f'step "{key}" is left out' for key in steps if key not in order]
    fitted: dict[str, str] = {}
    for step in plan.steps:
        for part in step.fits:
            if part in fitted:
                found.append(f"{part} is fitted twice, in {fitted[part]} and in {step.key}")
            fitted[part] = step.key
    found += [f"{part} is fitted in no step" for part in plan.parts if part not in fitted]
    found += [f"{part} is fitted, but the build has none" for part in fitted if part not in plan.parts]
    for step in plan.steps:
        if step.closes and not step.checks:
            found.append(f"{step.key} closes {', '.join(step.closes)} in without a check")
        found += [f'{step.key} needs "{key}", which is no step' for key in step.needs if key not in steps]
    done: set[str] = set()
    closed: dict[str, str] = {}
    for key in (one for one in order if one in steps):
        step = steps[key]
        found += [f"{key} comes before {need}, which it needs" for need in step.needs if need in steps and need not in done]
        for part in step.fits:
            if part in closed:
                found.append(f"{part} cannot be fitted in {key}: {closed[part]} has closed it in")
        for part in step.closes:
            if part in fitted and fitted[part] not in done and fitted[part] != key:
                found.append(f"{key} closes too early: {part} is not in yet")
            closed.setdefault(part, key)
        done.add(key)
    return list(dict.fromkeys(found))


def way_back(plan: Plan, part: str) -> WayBack:
    """What it costs to reach a part once everything is done.

    Undone must be the step that fitted it, every step that closed it in, and all that rests on those.

    Args:
        plan: parts and steps in order.
        part: to be reached.

    Returns:
        The way back.
    """
    undo = {step.key for step in plan.steps if part in step.fits or part in step.closes}
    grown = True
    while grown:
        more = {step.key for step in plan.steps if set(step.needs) & undo} - undo
        grown = bool(more)
        undo |= more
    backwards = [step for step in reversed(plan.steps) if step.key in undo]
    spent = tuple(dict.fromkeys(step.spent for step in backwards if step.spent))
    return WayBack(part, tuple(step.key for step in backwards), round(UNDOING * sum(step.minutes for step in backwards)), spent)


def figures(plan: Plan) -> dict[str, Any]:
    """The plan as data."""
    return {
        "parts": list(plan.parts),
        "steps": [
            {
                "key": step.key, "says": step.says, "fits": list(step.fits), "needs": list(step.needs),
                "tools": list(step.tools), "checks": list(step.checks), "closes_in": list(step.closes),
                "duration_min": step.minutes,
            }
            for step in plan.steps
        ],
    }  # fmt: skip
