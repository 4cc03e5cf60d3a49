"""Laws that hold for any numbers: energy, Carnot, order, reciprocity, arrays as scalars."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hobwind.physics import air, contact, convection, drive, plate, radiation, wax
from hobwind.physics import thermoelectric as te


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


MODULES = st.tuples(between(0.005, 0.1), between(0.3, 10.0), between(0.1, 3.0))
COLD, WARMER = between(280.0, 420.0), between(1.0, 250.0)
SHARE = between(0.0, 1.0)  # of the short-circuit current
LENGTH = between(0.005, 0.5)


@given(module=MODULES, cold=COLD, warmer=WARMER, share=SHARE)
def test_heat_in_less_heat_out_is_volts_times_amperes(
    module: tuple[float, float, float], cold: float, warmer: float, share: float
) -> None:
    """First law, to 1e-9 of the heat that flows (the claim of the checks)."""
    seebeck, resistance, _ = module
    current = share * seebeck * warmer / resistance
    volts = seebeck * warmer - current * resistance
    taken = te.hot_heat(*module, cold + warmer, cold, current)
    released = te.cold_heat(*module, cold + warmer, cold, current)
    assert taken - released == pytest.approx(volts * current, abs=1e-9 * taken)


@given(module=MODULES, cold=COLD, warmer=WARMER, share=SHARE)
def test_nothing_beats_carnot(module: tuple[float, float, float], cold: float, warmer: float, share: float) -> None:
    """Second law; 1e-12 for rounding."""
    hot = cold + warmer
    seebeck, resistance, conductance = module
    current = share * seebeck * warmer / resistance
    taken = te.hot_heat(*module, hot, cold, current)
    done = (taken - te.cold_heat(*module, hot, cold, current)) / taken
    merit = seebeck**2 / (resistance * conductance)
    best = te.maximum_efficiency(merit, hot, cold)
    assert best <= 1.0 - cold / hot + 1e-12
    assert done <= best + 1e-12
    assert te.matched_efficiency(merit, hot, cold) <= best + 1e-12


@given(module=MODULES, cold=COLD, warmer=WARMER)
def test_no_current_is_pure_conduction(module: tuple[float, float, float], cold: float, warmer: float) -> None:
    """Fourier; rounding only, of temperatures whose difference is taken."""
    for heat in (te.hot_heat, te.cold_heat):
        assert heat(*module, cold + warmer, cold, 0.0) == pytest.approx(module[2] * warmer, rel=1e-11)


GAPS = st.tuples(between(1e-6, 5e-5), between(0.0, 5e-4), between(0.0, 1.0))


@given(gap=GAPS, low=between(0.0, 2e-3), high=between(0.0, 5e-3), more=between(1e-6, 2e-3))
def test_lifting_never_helps_a_gap(gap: tuple[float, float, float], low: float, high: float, more: float) -> None:
    """1e-3: five Gauss points miss steep wedges (1 micrometre to 5 mm) by up to 3e-4, by adaptive quadrature."""
    standoff, flatness, bow = gap
    here = contact.gap_conductance(0.03, standoff, flatness, bow, low, low + high)
    lifted = contact.gap_conductance(0.03, standoff, flatness, bow, low + more, low + high + more)
    tilted = contact.gap_conductance(0.03, standoff, flatness, bow, low, low + high + more)
    assert lifted <= here * (1.0 + 1e-3)
    assert tilted <= here * (1.0 + 1e-3)
    # Bounds: the widest and the narrowest place, with the same 1e-3.
    assert 0.03 / (standoff + flatness + low + high) * (1.0 - 1e-3) <= here <= 0.03 / (standoff + low) * (1.0 + 1e-3)


@given(width=LENGTH, depth=LENGTH, wide=LENGTH, deep=LENGTH, spacing=between(0.002, 0.3))
def test_facing_views(width: float, depth: float, wide: float, deep: float, spacing: float) -> None:
    """A1 F12 = A2 F21, each from 0 to 1. 1e-8 of the larger area: sixteen corners cancel to about 1e-12."""
    there = radiation.view_facing(width, depth, wide, deep, spacing)
    back = radiation.view_facing(wide, deep, width, depth, spacing)
    assert -1e-8 <= there <= 1.0 + 1e-8
    assert width * depth * there == pytest.approx(wide * deep * back, abs=1e-8 * max(width * depth, wide * deep))


@given(height=between(0.005, 1.0), front=between(0.005, 2.0), side=between(0.005, 2.0), more=between(0.01, 1.0))
def test_view_of_the_stove(height: float, front: float, side: float, more: float) -> None:
    """0 to 1/2, more of a larger plate; rounding only."""
    view = radiation.view_vertical_element(height, front, side)
    assert 0.0 <= view <= 0.5
    assert radiation.view_vertical_element(height, front + more, side) >= view - 1e-14
    assert radiation.view_vertical_element(height, front, side + more) >= view - 1e-14


@given(hot=between(300.0, 700.0), cold=between(250.0, 300.0), first=between(0.02, 1.0), second=between(0.02, 1.0))
def test_glow_runs_downhill_and_below_black(hot: float, cold: float, first: float, second: float) -> None:
    """Second law; no grey pair exchanges more than its less willing face, rounding only."""
    heat = radiation.parallel_grey(first, second, hot, cold)
    black = radiation.parallel_grey(1.0, 1.0, hot, cold)
    assert 0.0 <= heat <= min(first, second) * black * (1.0 + 1e-12)


@given(heat=between(0.0, 100.0), more=between(0.1, 50.0), rise=between(10.0, 400.0))
def test_drawing_more_heat_chills_the_patch(heat: float, more: float, rise: float) -> None:
    case = (3.6e-3, 50.0, 5e-3, 35.0, 40.0, 24.0, rise)
    assert plate.local_shift(heat + more, *case) < plate.local_shift(heat, *case)


@given(emf=between(0.0, 6.0), more=between(0.01, 3.0), load=between(1e-10, 1e-7), friction=between(0.0, 5e-4))
def test_more_volts_never_slow_the_fan(emf: float, more: float, load: float, friction: float) -> None:
    slow = drive.running_speed(emf, 9.0, 7e-3, 0.1, friction, 1e-8, load)
    assert 0.0 <= slow <= drive.running_speed(emf + more, 9.0, 7e-3, 0.1, friction, 1e-8, load)


@given(memory=between(280.0, 400.0), warmth=st.lists(between(280.0, 400.0), min_size=1), hysteresis=between(0.0, 8.0))
def test_play_stays_within_its_width(memory: float, warmth: list[float], hysteresis: float) -> None:
    """By its definition: remembered warmth is never below the element's, nor more than the width above; asked twice,
    it answers the same."""
    for now in warmth:
        memory = wax.play(memory, now, hysteresis)
        assert now <= memory <= now + hysteresis
        assert wax.play(memory, now, hysteresis) == memory


ARRAYS: list[tuple[Callable[..., float], float, float, tuple[float, ...]]] = [
    (air.conductivity, 230.0, 800.0, ()),
    (air.viscosity, 230.0, 800.0, ()),
    (air.specific_heat, 230.0, 800.0, ()),
    (air.prandtl, 230.0, 800.0, ()),
    (air.density, 230.0, 800.0, (101325.0,)),
    (air.kinematic_viscosity, 230.0, 800.0, (90000.0,)),
    (convection.nusselt_vertical_plate, 1e-1, 1e12, (0.7,)),
    (convection.nusselt_horizontal_up, 1e4, 1e11, ()),
    (convection.nusselt_horizontal_down, 1e5, 1e10, ()),
    (convection.nusselt_horizontal_cylinder, 1e-5, 1e12, (0.7,)),
    (convection.nusselt_channel, 1e-2, 1e6, ()),
    (convection.nusselt_fin_gap, 0.2, 100.0, (0.7,)),
    (convection.nusselt_crossflow, 1.0, 1e6, (0.7,)),
    (convection.cubic_blend, 0.0, 100.0, (5.0,)),
]


@pytest.mark.parametrize(("function", "low", "high", "rest"), ARRAYS, ids=lambda value: getattr(value, "__name__", ""))
@settings(max_examples=30)
@given(data=st.data())
def test_array_is_scalars(
    function: Callable[..., float], low: float, high: float, rest: tuple[float, ...], data: st.DataObject
) -> None:
    """1e-13: numpy's powers of arrays and of single numbers may differ in the last digits."""
    values = data.draw(st.lists(between(low, high), min_size=1, max_size=5))
    one_by_one = [function(value, *rest) for value in values]
    np.testing.assert_allclose(function(np.array(values), *rest), one_by_one, rtol=1e-13)


@given(pressure=between(1e4, 3e6), more=between(1.01, 10.0))
def test_pressing_harder_helps_a_joint(pressure: float, more: float) -> None:
    loose = contact.solid_spot_conductance(167.0, 2e-6, 0.15, pressure, 1.1e9)
    assert contact.solid_spot_conductance(167.0, 2e-6, 0.15, more * pressure, 1.1e9) > loose
    apart = contact.plane_separation(2e-6, pressure, 1.1e9)
    assert contact.plane_separation(2e-6, more * pressure, 1.1e9) <= apart
    assert contact.bond_line(100.0, more * pressure) < contact.bond_line(100.0, pressure)
