"""Heat that glows from face to face: to the room, to the stove plate, and between the two plates round the modules.

Grey, diffuse faces. Reflections are counted between the close parallel faces, and once off the stove plate.
"""

from __future__ import annotations

import numpy as np

from ..compiled import jitable

STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m2 K4)


@jitable
def parallel_grey(first: float, second: float, hot: float, cold: float) -> float:
    """Exchange between two close parallel grey faces, per area.

        q = sigma (T1^4 - T2^4) / (1/e1 + 1/e2 - 1)

    Args:
        first: emissivity of the hot face. [-]
        second: emissivity of the cold face. [-]
        hot: temperature of the first. [K]
        cold: temperature of the second. [K]

    Returns:
        Heat from first to second. [W/m2]

    Limits: gap small against the faces.
    Source: incropera.
    Check: Holman Ex 7.8: .2/.2, 373/313 K, .25 m2: 15.37 W.

    >>> round(0.25 * parallel_grey(0.2, 0.2, 373.0, 313.0), 2)
    15.37
    """
    return STEFAN_BOLTZMANN * (hot**4 - cold**4) / (1.0 / first + 1.0 / second - 1.0)


@jitable
def two_surroundings(
    emissivity: float, view: float, plate_emissivity: float, temperature: float, plate: float, room: float
) -> float:
    """Net heat leaving a small face that sees the stove plate by `view` and the room by the rest, per area.

    What the plate does not absorb it reflects, and what it reflects onto a face small against it is the room's glow,
    not the face's own.

        q = e sigma [T^4 - (1 - F) T_room^4 - F (e_p T_plate^4 + (1 - e_p) T_room^4)]

    Args:
        emissivity: of the face. [-]
        view: share of its sight taken by the plate. [-]
        plate_emissivity: of the stove plate. [-]
        temperature: of the face. [K]
        plate: of the stove plate. [K]
        room: of the room's walls. [K]

    Returns:
        Net heat leaving, negative when the stove heats it. [W/m2]

    Limits: the face is small against plate and room.
    Source: incropera.

    >>> two_surroundings(0.9, 0.3, 0.92, 400.0, 600.0, 293.0) < 0
    True
    """
    own = temperature**4 - room**4
    from_plate = view * plate_emissivity * (plate**4 - room**4)
    return emissivity * STEFAN_BOLTZMANN * (own - from_plate)


@jitable
def view_vertical_element(height: float, front: float, side: float) -> float:
    """Share of the sight of a small upright face that the plate below takes.

        F = (1/pi) [atan(y/z) - z/sqrt(x^2+z^2) atan(y/sqrt(x^2+z^2))]

    Args:
        height: of the element above the plate. [m]
        front: how far the plate reaches in front of it. [m]
        side: how far it reaches to each side. [m]

    Returns:
        View factor, 0 to 0.5. [-]

    Limits: exact for a rectangular plate whose edge stands under the element.
    Source: howell-views.
    Check: z .10, x .20, y .25 m: 0.2592.

    >>> round(float(view_vertical_element(0.10, 0.20, 0.25)), 4)
    0.2592
    """
    far = np.sqrt(front * front + height * height)
    return (np.arctan(side / height) - height / far * np.arctan(side / far)) / np.pi


@jitable
def _corner(u: float, v: float, z: float) -> float:
    a, b = np.sqrt(u * u + z * z), np.sqrt(v * v + z * z)
    return (v * a * np.arctan(v / a) + u * b * np.arctan(u / b) - 0.5 * z * z * np.log(u * u + v * v + z * z)) / (2.0 * np.pi)


@jitable
def view_facing(width: float, depth: float, wide: float, deep: float, spacing: float) -> float:
    """Share of the sight of a rectangle that a parallel rectangle, centred opposite, takes.

    Args:
        width: of the first rectangle. [m]
        depth: of the first rectangle. [m]
        wide: of the other. [m]
        deep: of the other. [m]
        spacing: between them. [m]

    Returns:
        View factor from the first to the other. [-]

    Limits: exact.
    Source: howell-views.
    Check: two unit squares a unit apart 0.1998; against `ht` or quadrature in the tests.

    >>> round(float(view_facing(1.0, 1.0, 1.0, 1.0, 1.0)), 4)
    0.1998
    """
    total = 0.0
    for i in range(2):
        x = (i - 0.5) * width
        for k in range(2):
            u = x - (k - 0.5) * wide
            for j in range(2):
                y = (j - 0.5) * depth
                for n in range(2):
                    sign = 1.0 if (i + j + k + n) % 2 == 0 else -1.0
                    total += sign * _corner(u, y - (n - 0.5) * deep, spacing)
    return total / (width * depth)
