"""What force a guard needs to lift the fan, friction included, and what its wax element has."""

from __future__ import annotations

from .geometry import GRAVITY, fan_mass, weight_share
from .guide import FRICTION
from .guide_posts import rub_share
from .pin import pin_gap
from .sections import Build, Guard

WORST = 0.9  # of what presses a guide that is lost by rubbing: beyond it nothing moves, and the force stays a number


def friction(build: Build) -> float:
    """Share of the load by which friction raises the force wanted: the usual one, or more where a short guide rubs harder.

    A guide that loses a share r of the push asks for load / (1 - r).

    Args:
        build: a checked build.

    Returns:
        Share. [-]

    Source: exact for the guide; the usual share from memory.
    """
    rub = min(rub_share(build), WORST)
    return max(FRICTION, rub / (1.0 - rub))


def spring_at(guard: Guard, pushed: float) -> float:
    """What the return spring pushes with when the element has pushed the pin so far, counted from cold.

    `spring_force` is its push with the fan down and the element cold: lost motion squeezes it as well as lift.

    Args:
        guard: with its spring.
        pushed: from where the pin stands cold. [m]

    Returns:
        Force. [N]

    Source: exact.
    Check: 8 N and 0.5 N/mm, 1 mm of lost motion and a stop of 2 mm: 8 + 0.5 x 3 = 9.5 N.
    """
    return guard.spring_force.value + guard.spring_rate.value * pushed


def spring_at_stop(guard: Guard) -> float:
    """What the return spring pushes with when the fan is at its stop, N."""
    return spring_at(guard, pin_gap(guard))


def force_at(build: Build, lift: float) -> float:
    """Force the wax element must give to hold the pin's tip so far above the stove plate, N; before it touches the spring alone.

    Args:
        build: with a guard that lifts.
        lift: of the fan at the pin; while the pin has not reached the plate yet, as far below nought as its way would lift. [m]

    Returns:
        Force, friction included. [N]

    Source: exact.
    """
    guard = build.guard
    load = GRAVITY * fan_mass(build) * weight_share(build) if lift >= 0.0 else 0.0
    spring = spring_at(guard, max(guard.lost_motion.value + lift / guard.lever_ratio.value, 0.0))
    # The return spring stands between pin and base: it does not press the guide.
    return float(load * guard.lever_ratio.value * (1.0 + friction(build)) + spring * (1.0 + FRICTION))


def lifting_force(build: Build) -> tuple[float, float]:
    """Force the wax element must give at full lift, and the force it has, N."""
    guard = build.guard
    has = guard.element.force.value if guard.element is not None else 0.0
    return force_at(build, guard.stop.value), has


def guard_can_lift(build: Build) -> bool:
    """Whether the wax element is strong enough for the guard."""
    wanted, has = lifting_force(build)
    return has >= wanted
