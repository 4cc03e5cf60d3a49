"""What is thrown, and that a thrown build is the build one would have written."""

from __future__ import annotations

import numpy as np
import pytest

from builds import build_with, changed, example, text_of
from hobwind.build import build_from_text
from hobwind.stack.fields import CELLS_AT, P
from hobwind.stack.prepare import prepare
from hobwind.studies.odds_inputs import GROUPS, all_inputs, how, inputs_that_matter, thrower


def named(build, name):
    return next(one for one in all_inputs(build) if one.die.name == name)


def test_one_record_in_several_places_is_one_input() -> None:
    """Riser and hot plate of one bar; three joints with one pot of grease; but each face was worked by itself."""
    build = example()
    bar = named(build, "aluminium 6082, conductivity")
    assert set(bar.places) >= {"riser[1].material.conductivity", "hot_plate.material.conductivity"}
    grease = named(build, "zinc oxide grease, conductivity")
    assert {place.split(".")[1] for place in grease.places} == {"hot_plate", "hot", "cold"}
    faces = [one for one in all_inputs(build) if one.die.name.endswith("surface flatness")]
    assert len(faces) == 3 and all(len(one.places) == 1 for one in faces)


def test_a_value_of_its_own_is_an_input_of_its_own() -> None:
    own = build_with(("hot_plate", "material", '{ part = "aluminium 6082", conductivity = "160 ± 5 W/(m K)" }'))
    bars = [one for one in all_inputs(own) if one.die.name == "aluminium 6082, conductivity"]
    assert sorted(one.die.spread.value for one in bars) == [160.0, 185.0]


def test_what_alters_nothing_is_left_out_and_nothing_else() -> None:
    build = example()
    kept, every = inputs_that_matter(build), all_inputs(build)
    names = {one.die.name for one in kept}
    assert len(kept) < len(every)
    # Nothing leans on a modulus or a blade's pitch; a good deal leans on these, some only by way of masses and forces.
    assert not any("modulus" in name for name in names) and "blade pitch" not in names
    for name in (
        "seat flatness", "module conductance", "motor breakaway", "wax element opens", "wax element full", "wax element force",
        "aluminium 6082, density", "aluminium 6082, hardness", "guard spring force", "guard pin tip", "clamp pressure",
        "sink fin height", "stainless 304, conductivity", "blade mass", "stove room", "grey cast iron, specific heat",
    ):  # fmt: skip
        assert name in names, name
    assert {one.die.group for one in kept} <= set(GROUPS)
    assert all(how(one) for one in kept)


def test_a_spread_on_the_stove_reaches_the_fire() -> None:
    build = build_with(("stove", "worst_plate", '"330 ± 30 °C"'))
    assert "stove worst plate" in {one.die.name for one in inputs_that_matter(build)}
    assert "stove worst plate" not in {one.die.name for one in inputs_that_matter(example())}


@pytest.mark.parametrize(
    ("name", "section", "key", "text", "value"),
    [
        ("seat flatness", "seat", "flatness", '"0.09 mm"', 0.09e-3),
        ("clamp pressure", "clamp", "pressure", '"0.8 MPa"', 0.8e6),
        ("guard lost motion", "guard", "lost_motion", '"1.3 mm"', 1.3e-3),
        ("guard pin tip", "guard", "pin_tip", '"0.006 W/K"', 0.006),
    ],
)
def test_a_thrown_build_is_the_one_that_could_be_written(name: str, section: str, key: str, text: str, value: float) -> None:
    """The same figure by way of the file's reader."""
    build, inputs = example(), all_inputs(example())
    row = [value if one.die.name == name else one.die.spread.value for one in inputs]
    thrown, written = prepare(thrower(build, inputs)(row)), prepare(build_with((section, key, text)))
    assert not np.array_equal(written.p, prepare(build).p)
    assert np.allclose(thrown.p, written.p, rtol=1e-12, atol=0.0)
    assert np.array_equal(thrown.q, written.q)


def test_a_shared_metal_moves_everything_that_is_made_of_it() -> None:
    """A denser bar: riser, hot plate and the weight on the seat, all three by way of the file's reader."""
    build, inputs = example(), all_inputs(example())
    row = [2800.0 if one.die.name == "aluminium 6082, density" else one.die.spread.value for one in inputs]
    thrown = prepare(thrower(build, inputs)(row))
    text = text_of()
    for section in ("riser", "hot_plate"):
        text = changed(text, section, "material", '{ part = "aluminium 6082", density = "2800 kg/m³" }')
    written = prepare(build_from_text(text, "denser.toml"))
    assert np.allclose(thrown.p, written.p, rtol=1e-12, atol=0.0)
    assert thrown.p[P.fan_weight] > prepare(build).p[P.fan_weight]


def test_a_round_riser_stays_round() -> None:
    text = text_of().replace('shape = "block"', 'shape = "cylinder"')
    text = text.replace('width = "60 mm"\ndepth = "60 mm"\nlength', 'diameter = "62 ± 2 mm"\nlength')
    build = build_from_text(text, "round.toml")
    inputs = all_inputs(build)
    places = {one.die.name: one.places for one in inputs}
    assert places["riser1 width"] == ("riser[1].width", "riser[1].depth")
    row = [0.06 if one.die.name == "riser1 width" else one.die.spread.value for one in inputs]
    made = thrower(build, inputs)(row)
    assert made.riser[0].width.value == made.riser[0].depth.value == 0.06


def test_what_cannot_be_is_put_right() -> None:
    build, inputs = example(), all_inputs(example())
    wrong = {"motor breakaway": 1e-5, "motor friction": 2e-4, "wax element opens": 370.0, "wax element full": 365.0}
    made = thrower(build, inputs)([wrong.get(one.die.name, one.die.spread.value) for one in inputs])
    assert made.motor.part.breakaway.value == 1.02 * 2e-4
    assert made.guard.element is not None and made.guard.element.full.value == 371.0


def test_no_thrown_blade_gives_the_air_more_than_its_shaft_has() -> None:
    """Momentum of an ideal disc, by hand: at 10 turns a second in air of 1.2 kg/m³, a blade of 150 mm with C_T 0.14.

    T = 0.14 · 1.2 · 10² · 0.15⁴ = 8.505 mN; v = √(T/(2 · 1.2 · π/4 · 0.15²)) = 0.4478 m/s; so P is at least 3.809 mW, and
    C_P = P/(1.2 · 10³ · 0.15⁵) at least 0.04180.
    """
    build, inputs = example(), all_inputs(example())

    def coefficients(power: float) -> tuple[float, float]:
        thrown = {"blade power coefficient": power, "blade thrust coefficient": 0.14}
        blade = thrower(build, inputs)([thrown.get(one.die.name, one.die.spread.value) for one in inputs]).blade.part
        return blade.power_coefficient.value, blade.thrust_coefficient.value

    assert coefficients(0.008) == pytest.approx((0.04180, 0.14), rel=1e-3)  # the hand's four figures
    assert coefficients(0.05) == (0.05, 0.14)


def test_values_at_their_middle_give_the_build_itself() -> None:
    build, inputs = example(), all_inputs(example())
    again = prepare(thrower(build, inputs)([one.die.spread.value for one in inputs]))
    assert np.array_equal(again.p, prepare(build).p) and np.array_equal(again.q[CELLS_AT:], prepare(build).q[CELLS_AT:])


def test_without_an_element_the_rest_of_a_guard_decides_nothing() -> None:
    """Spring and lost motion of a guard that is not there are thrown by nobody; with an element they are.

    The slope of the stove plate, which stands under [guard], tips a fan without one as well.
    """
    bare, guarded = (inputs_that_matter(example(name)) for name in ("boat-shed-no-guard", "boat-shed"))
    assert not [one.key for one in bare if one.key.startswith("guard.")]
    tipping = {one.key for one in inputs_that_matter(example("boat-shed-no-guard"), stands=True)} - {one.key for one in bare}
    assert tipping == {"guard.plate_slope", "blade.before_sink"}
    assert {"guard.spring_force", "guard.spring_rate", "guard.lost_motion"} <= {one.key for one in guarded}
