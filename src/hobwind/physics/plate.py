"""The stove plate under and round the fan's foot.

Heat drawn through the foot must flow in sideways through the plate, so the plate under the foot is cooler than the
plate where a thermometer stands. An infinite thin plate, heated from below by flame and glow and cooled above. Ribs,
edges and the unevenness of the fire are left out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..compiled import jitable
from . import air, convection
from .fins import bessel_k0, bessel_k1

Floats = NDArray[np.float64]
LIMITS = {"thickness times root of h over k": (0.0, 0.35)}


@jitable
def sideways_conductance(radius: float, conductivity: float, thickness: float, below: float, above: float) -> float:
    """Heat that flows in sideways to a round patch of plate for each kelvin that the patch is colder.

        G = 2 pi a k t m K1(ma)/K0(ma),   m = sqrt((h_below + h_above)/(k t))

    Args:
        radius: of the patch; sqrt(area/pi) for a rectangle. [m]
        conductivity: of the plate. [W/(m K)]
        thickness: of the plate. [m]
        below: coefficient from flame and glow. [W/(m2 K)]
        above: slope of the loss from the upper side. [W/(m2 K)]

    Returns:
        Conductance. [W/K]

    Limits: plate thin (thickness sqrt(h/(k t)) small) and wide (reaching 3/m beyond the foot).
    Source: carslaw-jaeger.
    Check: 60 x 60 mm, t 5, k 50, 35, 40: 1.5559 W/K.

    >>> round(float(sideways_conductance((0.0036 / 3.141592653589793) ** 0.5, 50.0, 0.005, 35.0, 40.0)), 4)
    1.5559
    """
    m = np.sqrt((below + above) / (conductivity * thickness))
    return 2.0 * np.pi * radius * conductivity * thickness * m * bessel_k1(m * radius) / bessel_k0(m * radius)


def local_shift(
    heat: float,
    area: float,
    conductivity: float,
    thickness: float,
    below: float,
    slope: float,
    secant: float,
    rise: float,
) -> float:
    """Plate under the foot less undisturbed plate, settled.

        dT = [A h_secant rise - Q] / (G + A h_below)

    Args:
        heat: drawn through the foot. [W]
        area: of the foot. [m2]
        conductivity: of the plate. [W/(m K)]
        thickness: of the plate. [m]
        below: coefficient from flame and glow. [W/(m2 K)]
        slope: d(loss)/dT of the upper side. [W/(m2 K)]
        secant: loss over rise of the upper side. [W/(m2 K)]
        rise: undisturbed plate above the air. [K]

    Returns:
        Difference, negative when the patch is chilled. [K]

    Limits: as `sideways_conductance`.
    Source: carslaw-jaeger.
    Check: the plate-patch row of the tests: +11.82 K at 0 W, -11.97 K at 40 W.

    >>> round(float(local_shift(40.0, 0.0036, 50.0, 0.005, 35.0, 40.0, 24.0, 230.0)), 2)
    -11.97
    """
    sideways = sideways_conductance(np.sqrt(area / np.pi), conductivity, thickness, below, slope)
    return (area * secant * rise - heat) / (sideways + area * below)


@jitable
def ring_radii(radius: float, decay: float, count: int) -> Floats:
    """Radii between the rings of plate round the foot: in equal ratios from the foot to three decay lengths beyond.

    Args:
        radius: of the foot. [m]
        decay: m of `sideways_conductance`. [1/m]
        count: number of rings. [-]

    Returns:
        Radii, (count + 1). [m]

    Source: carslaw-jaeger.

    >>> [round(float(r), 3) for r in ring_radii(0.03, 15.0, 2)]
    [0.03, 0.083, 0.23]
    """
    outermost = radius + 3.0 / decay
    radii = np.empty(count + 1)
    for i in range(count + 1):
        radii[i] = radius * (outermost / radius) ** (i / count)
    return radii


@jitable
def ladder_link(i: int, radii: Floats, conductivity: float, thickness: float) -> float:
    """Conductance from ring `i` to the next one out; ring 0 is the patch, beyond the last lies the undisturbed plate.

        G = 2 pi k t / ln(r_outer/r_inner), between the rings' geometric middles

    Args:
        i: ring, 0 to count. [-]
        radii: of `ring_radii`, (count + 1). [m]
        conductivity: of the plate. [W/(m K)]
        thickness: of the plate. [m]

    Returns:
        Conductance. [W/K]

    Source: carslaw-jaeger.

    >>> round(float(ladder_link(0, ring_radii(0.03, 15.0, 2), 50.0, 0.005)), 2)
    3.08
    """
    last = radii.size - 1
    inner = radii[0] if i == 0 else np.sqrt(radii[i - 1] * radii[i])
    outer = radii[last] if i == last else np.sqrt(radii[i] * radii[i + 1])
    return 2.0 * np.pi * conductivity * thickness / np.log(outer / inner)


@jitable
def ladder_conductance(conductivity: float, thickness: float, below: float, above: float, radii: Floats) -> float:
    """Settled conductance of the whole ladder of rings as the patch sees it, before it is scaled to the exact form.

    Args:
        conductivity: of the plate. [W/(m K)]
        thickness: of the plate. [m]
        below: coefficient from flame and glow. [W/(m2 K)]
        above: slope of the loss from the upper side. [W/(m2 K)]
        radii: of `ring_radii`, (count + 1). [m]

    Returns:
        Conductance. [W/K]

    Limits: four rings come within a few percent of the exact form.
    Source: carslaw-jaeger.

    >>> radii = ring_radii(0.03385, 17.32, 4)
    >>> 0.9 < float(ladder_conductance(50.0, 0.005, 35.0, 40.0, radii)) / 1.5559 < 1.1
    True
    """
    last = radii.size - 1
    seen = ladder_link(last, radii, conductivity, thickness)
    for i in range(last, 0, -1):
        area = np.pi * (radii[i] ** 2 - radii[i - 1] ** 2)
        seen += (below + above) * area
        seen = 1.0 / (1.0 / ladder_link(i - 1, radii, conductivity, thickness) + 1.0 / seen)
    return seen


@jitable
def top_convection(temperature: float, room: float, pressure: float, size: float) -> float:
    """Heat that the open upper side of the stove plate gives to still air, per area.

    Args:
        temperature: of the plate. [K]
        room: of the air. [K]
        pressure: of the air. [Pa]
        size: side of the square that the plate resembles. [m]

    Returns:
        Heat leaving. [W/m2]

    Limits: as the correlations for faces up and down.
    Scatter: 15 %.
    Source: mcadams-plates.

    >>> bool(1500 < top_convection(523.15, 293.15, 101325.0, 0.5) < 2500)
    True
    """
    film = 0.5 * (temperature + room)
    nu = air.kinematic_viscosity(film, pressure)
    length = 0.25 * size
    rise = temperature - room
    rayleigh = 9.80665 / film * abs(rise) * length**3 / (nu * nu) * air.prandtl(film)
    up, down = convection.nusselt_horizontal_up(rayleigh), convection.nusselt_horizontal_down(rayleigh)
    nusselt = up if rise >= 0.0 else down
    return nusselt * air.conductivity(film) / length * rise
