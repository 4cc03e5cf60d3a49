"""One step of RODAS4, the integrator of the evening.

A Rosenbrock method of order 4 with an embedded error of order 3, six stages, L-stable and stiffly accurate, with a
continuous extension of order 3. Linear systems only, no iteration to fail, and it is happy with the stiff, smooth
heat balances of a fan between two events. Coefficients in the form with transformed stages u (no product of the slope
matrix with a vector).

Source: hairer-wanner-1996, chapter IV.7, method RODAS (coefficients from memory; the tests measure the order).
"""

from __future__ import annotations

import numpy as np

from ..compiled import lean_kernel
from .net import Floats

GAMMA = 0.25
STAGES = 6
NODES = np.array([0.0, 0.386, 0.21, 0.63, 1.0, 1.0])
SLOPES = np.array([0.25, -0.1043, 0.1035, -0.03620000000000023, 0.0, 0.0])
A = np.array(
    [
        [0.0, 0.0, 0.0, 0.0, 0.0],
        [1.544, 0.0, 0.0, 0.0, 0.0],
        [0.9466785280815826, 0.2557011698983284, 0.0, 0.0, 0.0],
        [3.314825187068521, 2.896124015972201, 0.9986419139977817, 0.0, 0.0],
        [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950, 0.0],
        [1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950, 1.0],
    ]
)
C = np.array(
    [
        [0.0, 0.0, 0.0, 0.0, 0.0],
        [-5.6688, 0.0, 0.0, 0.0, 0.0],
        [-2.430093356833875, -0.2063599157091915, 0.0, 0.0, 0.0],
        [-0.1073529058151375, -9.594562251023355, -20.47028614809616, 0.0, 0.0],
        [7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160, 0.0],
        [8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054],
    ]
)
DENSE = np.array(
    [
        [10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662],
        [-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872],
    ]
)


@lean_kernel
def factor(matrix: Floats, order: Floats) -> bool:
    """Factor `matrix` in place into L and U with row exchanges, the pivots inverted; False when it is singular.

    Args:
        matrix: (n, n), replaced. [-]
        order: (n), the rows chosen. [-]

    Returns:
        Whether every pivot was usable. [-]
    """
    n = matrix.shape[0]
    for k in range(n):
        best, row = abs(matrix[k, k]), k
        for i in range(k + 1, n):
            if abs(matrix[i, k]) > best:
                best, row = abs(matrix[i, k]), i
        order[k] = row
        if not best > 0.0:
            return False
        if row != k:
            for j in range(n):
                matrix[k, j], matrix[row, j] = matrix[row, j], matrix[k, j]
        over = 1.0 / matrix[k, k]
        matrix[k, k] = over
        for i in range(k + 1, n):
            if matrix[i, k] != 0.0:
                share = matrix[i, k] * over
                matrix[i, k] = share
                for j in range(k + 1, n):
                    matrix[i, j] -= share * matrix[k, j]
    return True


@lean_kernel
def substitute(matrix: Floats, order: Floats, b: Floats) -> None:
    """Solve in place with the factors of `factor`.

    Args:
        matrix: factors, (n, n). [-]
        order: rows chosen, (n). [-]
        b: right side, replaced by the solution, (n). [-]
    """
    n = matrix.shape[0]
    # All exchanges first: `factor` moved whole rows, the shares of earlier columns among them.
    for k in range(n):
        row = int(order[k])
        if row != k:
            b[k], b[row] = b[row], b[k]
    for i in range(1, n):
        total = b[i]
        for j in range(i):
            total -= matrix[i, j] * b[j]
        b[i] = total
    for i in range(n - 1, -1, -1):
        total = b[i]
        for j in range(i + 1, n):
            total -= matrix[i, j] * b[j]
        b[i] = total * matrix[i, i]


@lean_kernel
def dense(before: Floats, after: Floats, stages: Floats, share: float, out: Floats) -> None:
    """Write the state at `share` (0..1) of the step into `out`.

    Args:
        before: state at the start, (n). [K]
        after: state at the end, (n). [K]
        stages: the six stages of the step, (6, n). [K]
        share: place within the step. [-]
        out: result, (n). [K]
    """
    left = 1.0 - share
    for i in range(before.size):
        out[i] = left * before[i] + share * after[i]
    for s in range(5):
        weight = share * left * (DENSE[0, s] + share * DENSE[1, s])
        for i in range(before.size):
            out[i] += weight * stages[s, i]


@lean_kernel
def crest(before: Floats, after: Floats, stages: Floats, i: int, share: float) -> float:
    """Where within a step one state passes its highest point, on the same curve as `dense`.

    Args:
        before: state at the start, (n). [K]
        after: state at the end, (n). [K]
        stages: the six stages of the step, (6, n). [K]
        i: which state. [-]
        share: how much of the step is lived through. [-]

    Returns:
        The place within the step, 0 where it has no crest before `share`. [-]
    """
    first, second = 0.0, 0.0
    for s in range(5):
        first += DENSE[0, s] * stages[s, i]
        second += DENSE[1, s] * stages[s, i]
    # The curve is a cubic; its slope a + 2 b x + c x^2 falls through zero at a crest, of which there is one at most.
    a, b, c = after[i] - before[i] + first, second - first, -3.0 * second
    root = b * b - a * c
    if root <= 0.0:
        return 0.0
    place = a / (np.sqrt(root) - b)
    return place if 0.0 < place < share else 0.0
