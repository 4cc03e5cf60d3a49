"""The integrator itself: order measured on equations with known answers, and the linear algebra against numpy."""

from __future__ import annotations

import numpy as np
import pytest

from hobwind.stack.rodas import GAMMA, NODES, SLOPES, STAGES, A, C, crest, dense, factor, substitute


def one_step(f, slope, by_time, t: float, y: float, step: float) -> tuple[float, np.ndarray]:
    """One step for a single equation, written from the coefficient tables."""
    stages: list[float] = []
    for s in range(6):
        inner = y + sum(A[s, r] * stages[r] for r in range(s))
        right = f(t + NODES[s] * step, inner) + step * SLOPES[s] * by_time(t, y)
        right += sum(C[s, r] / step * stages[r] for r in range(s))
        stages.append(right / (1.0 / (step * GAMMA) - slope(t, y)))
    return inner + stages[5], np.array(stages)[:, None]


EQUATIONS = {
    "decay": (lambda t, y: -y, lambda t, y: -1.0, lambda t, y: 0.0, lambda t: np.exp(-t)),
    "square": (lambda t, y: -y * y, lambda t, y: -2.0 * y, lambda t, y: 0.0, lambda t: 1.0 / (1.0 + t)),
    "driven": (
        lambda t, y: -2.0 * (y - np.cos(t)) - np.sin(t),
        lambda t, y: -2.0,
        lambda t, y: -2.0 * np.sin(t) - np.cos(t),
        np.cos,
    ),
}


def error(name: str, steps: int) -> float:
    f, slope, by_time, exact = EQUATIONS[name]
    y, step = 1.0, 1.0 / steps
    for i in range(steps):
        y, _ = one_step(f, slope, by_time, i * step, y, step)
    return abs(y - exact(1.0))


@pytest.mark.parametrize("name", EQUATIONS)
def test_order_is_four(name: str) -> None:
    order = np.log2(error(name, 16) / error(name, 32))
    assert 3.8 < order < 4.4, order


def test_curve_within_a_step_is_of_order_three() -> None:
    f, slope, by_time, exact = EQUATIONS["square"]
    errors = []
    for step in (0.1, 0.05):
        after, stages = one_step(f, slope, by_time, 0.0, 1.0, step)
        out = np.empty(1)
        dense(np.array([1.0]), np.array([after]), stages, 0.4, out)
        errors.append(abs(out[0] - exact(0.4 * step)))
    assert np.log2(errors[0] / errors[1]) > 3.5  # local error of an order-3 curve falls with the fourth power


def test_stiff_equation_is_damped_at_once() -> None:
    """L-stable: a step a million times the time constant lands on the slow answer."""
    y, _ = one_step(lambda t, y: -1e6 * y, lambda t, y: -1e6, lambda t, y: 0.0, 0.0, 1.0, 1.0)
    assert abs(y) < 1e-5


@pytest.mark.parametrize("seed", range(20))
def test_linear_systems_with_row_exchanges(seed: int) -> None:
    draw = np.random.default_rng(seed)
    matrix = draw.normal(size=(12, 12))
    matrix[0, 0] = 0.0  # forces an exchange
    right = draw.normal(size=12)
    wanted = np.linalg.solve(matrix, right)
    order, factors = np.empty(12), matrix.copy()
    assert factor(factors, order)
    substitute(factors, order, right)
    assert np.allclose(right, wanted, rtol=1e-8, atol=1e-9)


def test_singular_systems_are_said() -> None:
    assert not factor(np.zeros((3, 3)), np.empty(3))


def test_crest_is_the_highest_point_of_the_steps_curve() -> None:
    """Against the curve itself, looked at ten thousand times; a curve that only rises or falls has none."""
    draw = np.random.default_rng(4)
    shares, out, crests = np.linspace(0.0, 1.0, 10001), np.empty(1), 0
    for _ in range(200):
        before, after, stages = draw.normal(size=1), draw.normal(size=1), 0.02 * draw.normal(size=(STAGES, 1))
        lived = float(draw.uniform(0.2, 1.0))
        curve = []
        for share in shares[shares <= lived]:
            dense(before, after, stages, share, out)
            curve.append(float(out[0]))
        place, highest = crest(before, after, stages, 0, lived), int(np.argmax(curve))
        if 0 < highest < len(curve) - 1:
            crests += 1
            assert place == pytest.approx(shares[highest], abs=1.01e-4)  # the spacing of the looks
        elif min(np.diff(curve)) > 0.0 or max(np.diff(curve)) < 0.0:
            assert place == 0.0
    assert crests > 10
