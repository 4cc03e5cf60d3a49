"""The riser's chain of cells against finite elements (scikit-fem), with conductivity and side losses that bend.

The element model takes heat in at the foot and out at the top from the settled state and finds its own profile; the
side losses are written here anew from the published correlations.
"""

from __future__ import annotations

import numpy as np
import pytest
from skfem import Basis, BilinearForm, ElementLineP2, LinearForm, MeshLine, solve
from skfem.helpers import dot, grad

from builds import example, stack
from hobwind.physics import air, convection, radiation
from hobwind.stack.assemble import assemble
from hobwind.stack.fields import P
from hobwind.stack.network import links_at
from hobwind.stack.steady import settled_state


@pytest.mark.parametrize(
    ("name", "plate"), [("boat-shed-no-guard", 200.0), ("boat-shed-no-guard", 320.0), ("boat-shed-soft-solder", 150.0)]
)
def test_riser_profile(name: str, plate: float) -> None:
    prepared, build = stack(name), example(name)
    kelvin = plate + 273.15
    state = settled_state(prepared, kelvin, "free")
    net, p = assemble(prepared.p, state.q), prepared.p
    links = links_at(net, prepared, state.q, state.y, kelvin, state.spin, state.memory, state.mode)
    heat_in = next(float(one.watts) for one in links if one.says == "seat")
    part = build.riser[0]
    width, tall = part.width.value, part.length.value
    area, round_ = width * part.depth.value, 2.0 * (width + part.depth.value)
    ambient = p[P.room] + (p[P.plume_blown] if state.spin else p[P.plume_still]) * (kelvin - p[P.room])

    def side_loss(temperature, z):
        """Heat from the side to air, room and plate, W/m2."""
        film = 0.5 * (temperature + ambient)
        nu, prandtl = air.kinematic_viscosity(film, p[P.pressure]), air.prandtl(film)
        rayleigh = 9.80665 / film * np.abs(temperature - ambient) * tall**3 / nu**2 * prandtl
        h = convection.nusselt_vertical_plate(rayleigh, prandtl) * air.conductivity(film) / tall
        view = radiation.view_vertical_element(z, p[P.plate_front], p[P.plate_side])
        e = part.finish.emissivity.value
        glow = radiation.two_surroundings(e, view, p[P.plate_emissivity], temperature, kelvin, p[P.room])
        return h * (temperature - ambient) + glow

    k300, bend = part.material.conductivity.value, part.material.conductivity_slope.value
    basis = Basis(MeshLine(np.linspace(0.0, tall, 61)), ElementLineP2())
    # One end is pinned where the chain has it, so that only the profile and the heat balance are on trial.
    guess = np.full(basis.N, float(state.y[net.at.foot]))
    for _ in range(12):

        @BilinearForm
        def stiffness(u, v, w):
            return area * k300 * (1.0 + bend * (w["old"] - 300.0)) * dot(grad(u), grad(v))

        @LinearForm
        def losses(v, w):
            return -round_ * side_loss(w["old"], np.maximum(w.x[0], 1e-4)) * v

        old = basis.interpolate(guess)
        matrix, right = stiffness.assemble(basis, old=old), losses.assemble(basis, old=old)
        foot = basis.get_dofs(lambda x: np.isclose(x[0], 0.0)).flatten()[0]
        top = basis.get_dofs(lambda x: np.isclose(x[0], tall)).flatten()[0]
        right[foot] += heat_in
        lost = -float(losses.assemble(basis, old=old).sum())
        right[top] -= heat_in - lost
        half = 0.5 * tall / (net.at.top - net.at.foot + 1)
        matrix = matrix.tolil()
        probe = basis.probes(np.array([[half]]))
        matrix[foot, :] = probe.toarray()[0]
        right[foot] = float(state.y[net.at.foot])
        guess = solve(matrix.tocsr(), right)
    cells = net.at.top - net.at.foot + 1
    middles = (np.arange(cells) + 0.5) * tall / cells
    profile = basis.probes(middles[None, :]) @ guess
    ours = state.y[net.at.foot : net.at.top + 1]
    assert np.abs(profile - ours).max() < 0.3  # the project's mark for what the number of cells may move
    chain_lost = sum(float(one.watts) for one in links if one.first.startswith("riser") and one.second == "air")
    assert chain_lost == pytest.approx(lost, rel=0.02)  # cells feel one temperature each, elements a slope
