"""A strut for the motor against hand calculation: what it leads, how fast it sways, where it is drilled."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from builds import example
from hobwind.build.motor_strut import LAP, QUICK, strut_for, sway
from hobwind.shop.made_parts import made_parts
from hobwind.units import plain


def test_sway_of_a_clamped_strip_with_an_end_mass() -> None:
    """Steel 2 x 20 mm, 100 mm free, 0.1 kg: k = 3 E I / L3 = 3 * 206e9 * 13.33e-12 / 1e-3 = 8.24 kN/m, so 45.7 Hz (hand calculation)."""
    assert sway(206e9, 20e-3, 2e-3, 0.1, 0.1) == pytest.approx(45.69, rel=1e-3)
    # Twice as long: stiffness an eighth.
    assert sway(206e9, 20e-3, 2e-3, 0.2, 0.1) == pytest.approx(45.69 / math.sqrt(8.0), rel=1e-3)


def test_strut_of_the_boat_shed_by_hand() -> None:
    """Hub at 230, riser 110, plate 10, modules 3.9, sink 6 + 40 mm: 60.1 mm free over the fins; k A / L within its spread."""
    build = example()
    strut = strut_for(build)
    assert strut is not None
    tall = (
        sum(part.length.value for part in build.riser) + build.sink.part.base_thickness.value + build.sink.part.fin_height.value
    )
    assert build.hot_plate is not None
    tall += build.hot_plate.thickness.value + max(use.part.thickness.value for use in build.modules)
    assert strut.free == pytest.approx(build.blade.height.value - tall)
    wanted = build.motor.mount_conductance
    assert abs(strut.carries - wanted.value) <= wanted.half and strut.sways >= QUICK
    conductivity = {"aluminium 6082": 170.0, "plain steel": 54.0, "stainless 304": 15.0}[strut.metal]
    by_hand = conductivity * strut.thickness * strut.width / strut.free
    assert strut.carries == pytest.approx(by_hand, rel=0.1)  # handbooks give a metal within a tenth


def test_strut_is_listed_drilled_and_left_out_where_it_has_no_fin() -> None:
    part = next(one for one in made_parts(example()) if one.name == "motor strut")
    (holes,) = part.holes
    (first, _), (second, _) = holes.places
    assert 0.0 < second - first < LAP
    for x, _ in holes.places:
        assert 0.5 * part.width - abs(x) >= 0.5 * holes.drill + 1.5e-3 and 0.5 * part.depth >= 0.5 * holes.drill + 1.5e-3
    low = replace(example(), blade=replace(example().blade, height=plain(0.175)))
    assert strut_for(low) is None and not [one for one in made_parts(low) if one.name == "motor strut"]
